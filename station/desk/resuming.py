"""An unsaved edit that a killed or hung-up program left: found, judged whole, put back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from station.bar.amount import AmountError
from station.bar.nouns import House, Spec
from station.calc.keeping import in_house
from station.cards.text import moment
from station.desk.document import DRAFT_SHAPE, Document
from station.desk.kept import EDITS, drafts_of
from station.desk.line_edits import typed
from station.desk.open_line import OpenLines, noun_of, unpacked


@dataclass(frozen=True, slots=True)
class Draft:
    """A kept edit that is whole: every state, the one that stands, what was being typed, and when it was kept."""

    states: tuple[OpenLines, ...]
    at: int
    typing: tuple[int, str] | None
    when: str


def draft_of(document: Document) -> Draft | None:
    """The unsaved edit of that document, if one was kept. One that is not whole is put aside, and the document says so once."""
    drafts = drafts_of(document.opened)
    content = drafts.read(EDITS, document.saved.id)
    if content is None:
        return None
    try:
        return _whole(content, document)
    except (ValueError, TypeError, KeyError, IndexError):
        with suppress(OSError):
            drafts.set_aside(EDITS, document.saved.id)
        document.message = f"a kept edit of {document.saved.name} does not fit it any more and was put aside"
        return None


def take_up(document: Document, draft: Draft) -> None:
    """Put a kept edit back: every state, and what was being typed. What is saved now can be got back by undo."""
    _put(document, draft)
    if draft.typing is not None:
        document.type(*draft.typing)


def since(when: str, house: House) -> str:
    """` of` the moment a draft was kept, by the house's clock; "" for one that cannot be read."""
    try:
        return f" of {moment(in_house(datetime.fromisoformat(when), house))}"
    except ValueError:
        return ""


def edited_spec(document: Document) -> Spec | None:
    """The spec as its kept edit leaves it, without what was just being typed; None if none was kept, or one that is no drink yet.

    Nothing is written.
    """
    draft = draft_of(document)
    if draft is None:
        return None
    _put(document, draft)
    return None if document.lacking else document.spec


def _put(document: Document, draft: Draft) -> None:
    states, at = list(draft.states), draft.at
    if states[0] != document.saved_lines:
        states.insert(0, document.saved_lines)
        at += 1
    document.states, document.at = states, at


def _whole(content: Mapping[str, Any], document: Document) -> Draft:
    """A draft as it was read from disk. Raises ValueError, TypeError, KeyError or IndexError where it is not whole."""
    shape = content.get("shape", 1)
    if shape not in (1, DRAFT_SHAPE):
        raise ValueError(f"a draft of shape {shape}")
    states = _of_amounts(content, document) if shape == 1 else _of_lines(content, document)
    at, typing = content["at"], content.get("typing")
    if not isinstance(at, int) or not 0 <= at < len(states):
        raise ValueError(f"no state {at}")
    if typing is not None:
        place, text = typing
        if not isinstance(text, str) or not isinstance(place, int) or not 0 <= place < len(states[at]):
            raise ValueError(f"nothing typed: {typing}")
        typing = (place, text)
    return Draft(tuple(states), at, typing, str(content.get("when", "")))


def _of_lines(content: Mapping[str, Any], document: Document) -> list[OpenLines]:
    lines = [unpacked(one, document.opened.library) for one in content["lines"]]
    states = content["states"]
    if not states or any(not 0 <= place < len(lines) for state in states for place in state):
        raise ValueError("a state of other lines")
    return [tuple(lines[place] for place in state) for state in states]


def _of_amounts(content: Mapping[str, Any], document: Document) -> list[OpenLines]:
    """A draft of the first shape: the amounts of each state. It fits a spec of as many lines that can take them."""
    states = content["states"]
    if not isinstance(states, list) or not states or not all(isinstance(text, str) for state in states for text in state):
        raise ValueError("no states")
    return [_with_amounts(document, state) for state in states]


def _with_amounts(document: Document, texts: Sequence[str]) -> OpenLines:
    try:
        lines = tuple(
            line if line.amount == text else typed(line, text, "") for line, text in zip(document.saved_lines, texts, strict=True)
        )
    except AmountError as error:
        raise ValueError(str(error)) from None
    for line in lines:
        noun_of(replace(line, dispenser=""), document.opened.library)
    return lines
