"""The shelf: new, copy, rename, retire, import, migrate."""

from __future__ import annotations

from typing import TYPE_CHECKING

from station.verbs.asking import Answer, Question

if TYPE_CHECKING:
    import argparse

    from station.desk.opening import Opened


def declare(question: Question) -> None:
    """Declare this group's questions."""
    _new_arguments(question("new", "a new drink, or a new stock", _new))
    copy = question("copy", "a copy of a drink, stock or item, to change", _copy)
    _two_ids(copy)
    copy.add_argument("--name", default="", help="its name; without one its id makes it")
    _two_ids(question("rename", "another id; every reference to it follows", _rename))
    retire = question("retire", "a drink off the list; its file stays", _retire)
    retire.add_argument("id", metavar="SPEC")
    retire.add_argument("--undo", action="store_true", help="back on the list")
    sheet = question("import", "drinks from a sheet: drink, item, amount, method, glass; first shown, then written", _import)
    sheet.add_argument("file", metavar="FILE.csv", help="- for standard input")
    sheet.add_argument("--write", action="store_true", help="write what was shown")
    _migrate_arguments(question("migrate", "stored amounts in another ounce or other spoons, rewritten to match", _migrate))


def _new(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards import shelf
    from station.desk.shelving import lines_of, new_drink, new_stock, titled

    said = {"name": asked.name or titled(asked.id), "method": asked.method, "glass": asked.glass, "style": asked.style}
    data = {**{key: value for key, value in said.items() if value}, "lines": lines_of(asked.line)}
    answer = (new_stock if asked.stock else new_drink)(library, asked.id, data)
    return answer, shelf.shelved(answer)


def _copy(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards import shelf
    from station.desk.shelving import duplicate, kind_of

    answer = duplicate(library, asked.kind or kind_of(library, asked.id), asked.id, asked.new, asked.name)
    return answer, shelf.shelved(answer)


def _rename(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards import shelf
    from station.desk.renaming import rename
    from station.desk.shelving import kind_of

    answer = rename(library, asked.kind or kind_of(library, asked.id), asked.id, asked.new)
    return answer, shelf.shelved(answer)


def _retire(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards import shelf
    from station.desk.shelving import retire, unretire

    answer = (unretire if asked.undo else retire)(library, asked.id)
    return answer, shelf.shelved(answer)


def _import(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards import shelf
    from station.desk.importing import imported

    answer = imported(library, asked.file, asked.write)
    known = (*library.library.items, *library.library.stocks, "water")
    return answer, shelf.import_plan(answer, {name: library.library.name_of(name) for name in known})


def _migrate(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards import shelf
    from station.desk.migrating import migrated

    answer = migrated(library, asked.ounce, asked.spoons, asked.write)
    return answer, shelf.migration(answer)


def _new_arguments(new: argparse.ArgumentParser) -> None:
    new.add_argument("id", metavar="ID")
    new.add_argument("--line", action="append", required=True, metavar="ITEM=AMOUNT", help="one line; say it again for the next")
    new.add_argument("--name", default="", help="its name; without one its id makes it")
    new.add_argument("--method", default="", help="how the drink is made: shake, stir, build, …")
    new.add_argument("--glass", default="")
    new.add_argument("--style", default="", metavar="WINDOW", help="which window its balance is held against")
    new.add_argument("--stock", action="store_true", help="a house stock, not a drink")


def _two_ids(one: argparse.ArgumentParser) -> None:
    from station.bar.shelf import KINDS

    one.add_argument("id", metavar="ID")
    one.add_argument("new", metavar="NEW_ID")
    one.add_argument("--kind", choices=KINDS, default="", help="which, where two kinds share the id")


def _migrate_arguments(migrate: argparse.ArgumentParser) -> None:
    from station.bar.units import OUNCES, SPOONS

    migrate.add_argument("--ounce", choices=OUNCES, default="", help="what oz, cup, pint and gal are to mean")
    migrate.add_argument("--spoons", choices=SPOONS, default="", help="what tsp and tbsp are to mean")
    migrate.add_argument("--write", action="store_true", help="write what was shown, after a copy of the library")
