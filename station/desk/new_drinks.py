"""A drink that has no file yet: named, written in its draft, put in the library by its first save."""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Mapping
from itertools import count
from os.path import lexists

from station.bar.fault import CannotAnswer
from station.bar.kinds import LONGEST_ID, is_id
from station.bar.listed import Listed
from station.bar.nouns import METHODS, Spec
from station.bar.shelf import DRINK
from station.desk.document import Document
from station.desk.kept import EDITS, drafted, drafts_of
from station.desk.opening import Opened
from station.desk.renaming import rename_drink
from station.desk.shelving import must_be_free, path_of

# A blended drink's dilution is its own: it is first written with it, by hand or by `station new`.
NEW_METHODS = tuple(method for method in METHODS if method != "blend")

_APOSTROPHES = "'’"
_NO_LETTER = re.compile(r"[^a-z0-9]+")


def id_of(opened: Opened, name: str, own: str = "") -> str:
    """The id a drink of that name gets: its letters and digits without accents; of a name that has none, the next `drink-1`.

    It may be its `own` already. Raises CannotAnswer for no name, and for one whose id is another drink's, saved or not.
    """
    if not name.strip():
        raise CannotAnswer("it has no name yet", "type one")
    spelled = unicodedata.normalize("NFKD", name.casefold())
    plain = "".join(char for char in spelled if not unicodedata.combining(char) and char not in _APOSTROPHES)
    made = _NO_LETTER.sub("-", plain).strip("-")[:LONGEST_ID].strip("-") or _next_number(opened)
    if made == own:
        return made
    must_be_free(opened, DRINK, made)
    if made in unwritten(opened):
        raise CannotAnswer(f"the id {made} is taken by a drink not saved yet", "choose another name, or open that one")
    return made


def usual_style(opened: Opened, method: str) -> str:
    """The window most of the house's drinks of that method stand in; none where none does."""
    styles = Counter(one.style for one in opened.find() if one.method == method and one.style)
    return min(styles, key=lambda style: (-styles[style], style), default="")


def begun(opened: Opened, name: str, method: str, style: str) -> Document:
    """A new drink without lines, open; its draft is kept from now on. Raises CannotAnswer."""
    head = {"name": name.strip(), "method": method, **({"style": style} if style else {})}
    document = _blank(opened, id_of(opened, name), head)
    document.cancel()
    return document


def unwritten(opened: Opened) -> dict[str, Listed]:
    """The new drinks that only drafts hold, by id, as they stand in the list."""
    return {
        name: Listed(name, head["name"], head["method"], head.get("style", ""), (), False)
        for name in drafted(opened)
        if is_id(name) and not lexists(opened.folder / path_of(DRINK, name)) and (head := _head(opened, name))
    }


def reopened(opened: Opened, name: str) -> Document:
    """A drink that only a draft holds, without its lines yet: they are taken up like any kept edit. Raises CannotAnswer."""
    head = _head(opened, name)
    if not head:
        raise CannotAnswer(f"there is no drink {name}", "it was not saved")
    return _blank(opened, name, head)


def renamed(opened: Opened, name: str, new: str, called: str) -> None:
    """Another name and id for a drink, saved or not. Raises CannotAnswer."""
    head = {} if name in opened.library.drinks else _head(opened, name)
    if not head:
        rename_drink(opened, name, new, called)
        return
    drafts = drafts_of(opened)
    content = drafts.read(EDITS, name) or {}
    try:
        drafts.write(EDITS, new, {**content, "unwritten": {**head, "name": called}})
    except OSError as error:
        raise CannotAnswer(f"nothing was changed: the draft cannot be kept: {error.strerror}") from None
    if new != name:
        drafts.drop(EDITS, name)


def let_go(opened: Opened, name: str) -> None:
    """Forget a new drink that has no lines. Raises CannotAnswer if it has."""
    content = drafts_of(opened).read(EDITS, name) or {}
    states, at = content.get("states"), content.get("at")
    if isinstance(states, list) and isinstance(at, int) and 0 <= at < len(states) and states[at]:
        raise CannotAnswer(f"{name} was never saved and has lines", "take them out first, then it can go")
    drafts_of(opened).drop(EDITS, name)


def _blank(opened: Opened, name: str, head: Mapping[str, str]) -> Document:
    spec = Spec(name, head["name"], head["method"], (), file=path_of(DRINK, name), style=head.get("style", ""))
    return Document(opened, spec, unwritten=dict(head))


def _head(opened: Opened, name: str) -> dict[str, str]:
    """What a draft says of a new drink beside its lines; empty where it is none."""
    head = (drafts_of(opened).read(EDITS, name) or {}).get("unwritten")
    if not isinstance(head, dict) or not all(isinstance(said, str) for said in head.values()):
        return {}
    sound = bool(head.get("name")) and head.get("method") in NEW_METHODS and head.keys() <= {"name", "method", "style"}
    return head if sound else {}


def _next_number(opened: Opened) -> str:
    begun = unwritten(opened)
    names = (f"drink-{number}" for number in count(1))
    return next(name for name in names if name not in begun and not lexists(opened.folder / path_of(DRINK, name)))
