"""An unsaved edit that a killed or hung-up program left: found, judged whole, put back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from station.bar.nouns import Spec
from station.desk.document import Document, texts_of
from station.desk.kept import EDITS, drafts_of


def draft_of(document: Document) -> Mapping[str, Any] | None:
    """The unsaved edit of that document, if one was kept that still fits its lines."""
    content = drafts_of(document.opened).read(EDITS, document.saved.id)
    return content if content and _fits(content, document) else None


def take_up(document: Document, content: Mapping[str, Any]) -> None:
    """Put a kept draft back: every edit, and what was being typed. What is saved now can be got back by undo."""
    states, at = [tuple(state) for state in content["states"]], content["at"]
    if states[0] != texts_of(document.saved):
        states.insert(0, texts_of(document.saved))
        at += 1
    document.states, document.at = states, at
    if content["typing"]:
        place, text = content["typing"]
        document.type(place, text)


def edited_spec(document: Document) -> Spec | None:
    """The spec as its kept edit leaves it, without what was just being typed; None if none was kept. Nothing is written."""
    content = draft_of(document)
    if content is None:
        return None
    document.states, document.at = [tuple(state) for state in content["states"]], content["at"]
    return document.spec


def _fits(content: Mapping[str, Any], document: Document) -> bool:
    """Whether a draft read from disk is whole and speaks of as many lines as the spec has, in amounts they can take."""
    states, at, typing = content.get("states"), content.get("at"), content.get("typing")
    if not isinstance(states, list) or not isinstance(at, int) or not 0 <= at < len(states):
        return False
    lines = len(document.saved.lines)
    whole = all(isinstance(state, list) and len(state) == lines and document.takes(state) for state in states)
    match typing:
        case None:
            return whole
        case [int(place), str()]:
            return whole and 0 <= place < lines
        case _:
            return False
