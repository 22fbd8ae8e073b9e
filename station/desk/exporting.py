"""An order as files in a folder: the whole, the prep list, a sheet a mix and a vessel, shopping as text and CSV, all as JSON."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from station.bar.fault import CannotAnswer
from station.bar.nouns import Library
from station.calc.ordered import Ordered
from station.cards.order import order_card
from station.cards.order_sheets import mix_sheet, prep_sheet, shopping_csv, shopping_sheet, vessel_sheets
from station.desk.opening import Opened
from station.desk.plainly import as_json
from station.files.places import make_private, named_path, private_folder

# Between sheets of one file: a printer begins a page there.
_NEW_PAGE = "\f"


def export(answer: Ordered, library: Library, folder: str) -> tuple[str, ...]:
    """Write the order's files into the folder, made if it is not there; files of these names are replaced. Their paths.

    Raises CannotAnswer where they cannot be written.
    """
    into = named_path(folder)
    try:
        into.mkdir(parents=True, exist_ok=True)
        written = []
        for name, text in _files(answer, library):
            path = into / name
            path.write_text(text, encoding="utf-8", newline="")
            written.append(str(path))
    except OSError as error:
        raise CannotAnswer(f"{folder} cannot be written: {error.strerror}", "name another folder") from None
    return tuple(written)


def export_beside(answer: Ordered, opened: Opened) -> str:
    """The order's files, and no older ones, in the library's private folder, and where that is. Raises CannotAnswer."""
    private = private_folder(opened.folder)
    try:
        make_private(private)
    except OSError as error:
        raise CannotAnswer(f"the sheets cannot be written: {error.strerror}", "use station order --out FOLDER") from None
    folder = private / "cards" / f"order-{answer.id}"
    written = {Path(file).name for file in export(answer, opened.library, str(folder))}
    for old in folder.glob("*.txt"):  # a sheet of a mix the order no longer has would be poured from
        if old.name not in written:
            old.unlink(missing_ok=True)
    return str(folder)


def _files(answer: Ordered, library: Library) -> Iterator[tuple[str, str]]:
    """Each file's name and text. Drinks are named by their ids, which are no paths."""
    yield "order.txt", _text(order_card(answer, library))
    yield "prep.txt", _text(prep_sheet(answer, library))
    yield "shopping.txt", _text(shopping_sheet(answer, library))
    yield "shopping.csv", shopping_csv(answer)
    for one in answer.batches:
        yield f"mix-{one.id}.txt", _text(mix_sheet(answer, one, library))
        if one.fills:
            yield f"vessels-{one.id}.txt", _NEW_PAGE.join(map(_text, vessel_sheets(answer, one, library)))
    yield "order.json", as_json(answer) + "\n"


def _text(lines: list[str]) -> str:
    return "\n".join(lines) + "\n"
