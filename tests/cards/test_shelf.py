"""What was done to the library, in words."""

from __future__ import annotations

import pytest

from station.bar.fault import Fault
from station.bar.say import GAP
from station.bar.shelf import ImportPlan, Migration, PlannedDrink, PlannedLine, Reading, Respelled, Shelved, UnknownItem
from station.cards.shelf import import_plan, migration, shelved


@pytest.mark.parametrize(
    ("answer", "said"),
    [
        (Shelved("new", "drink", "b", "", ("drinks/b.toml",)), "b is new: drinks/b.toml"),
        (Shelved("copy", "item", "b", "a", ("ingredients/x.toml",)), "b is a copy of a: ingredients/x.toml"),
        (Shelved("rename", "drink", "b", "a", ("drinks/b.toml",)), "a is now b"),
        (Shelved("rename", "item", "b", "a", ("1", "2")), "a is now b, in 1 other file too"),
        (Shelved("rename", "item", "b", "a", ("1", "2", "3")), "a is now b, in 2 other files too"),
        (Shelved("retire", "drink", "a", "a", ()), "a is retired: off the list, its file stays"),
        (Shelved("unretire", "drink", "a", "a", ()), "a is on the list"),
    ],
)
def test_a_change_is_one_line(answer: Shelved, said: str) -> None:
    assert shelved(answer) == [said]


DRINKS = (
    PlannedDrink("a", "A", "shake", "coupe", (PlannedLine("rum", "60 ml", 2), PlannedLine("jiuce", "5 ml", 3))),
    PlannedDrink("b", "B", "", "", ()),
)


def test_a_plan_shows_drinks_unknown_items_faults_and_how_it_stands() -> None:
    fault = Fault("f.csv", 4, 1, "amount", "bad-quantity", "error", "the amount is zero", "write more")
    unknown = (UnknownItem("ji\x1buce", (3,), ("juice", "ju")), UnknownItem("x", tuple(range(5, 17)), ()))
    plan = ImportPlan("f.csv", DRINKS, unknown, (fault,), ("notes",), False)
    assert import_plan(plan, {"rum": "Light rum"}) == [
        "f.csv: 2 drinks, 2 lines",
        "",
        "a · A · shake · coupe",
        "  60 ml  Light rum",
        "   5 ml  ? jiuce",
        "",
        "b · B",
        "",
        "no one item goes by “ji�uce” (line 3); nearest: juice, ju",
        "no one item goes by “x” (lines 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, …)",
        "f.csv:4:1: amount: the amount is zero (write more)",
        "columns left out: notes",
        "nothing can be written until this is mended",
    ]


def test_a_plan_that_can_be_written_says_how_and_one_that_was_says_so() -> None:
    plan = ImportPlan("f.csv", DRINKS[:1], (), (), (), True)
    assert import_plan(plan, {})[-1] == "nothing is written yet: --write writes it"
    written = ImportPlan("f.csv", DRINKS[:1], (), (), (), True, ("drinks/a.toml",))
    assert import_plan(written, {})[-1] == "written: 1 new file"


def test_a_migration_shows_every_amount_and_its_largest_change() -> None:
    amounts = (Respelled("drinks/a.toml", 4, 1, "lines 1 amount", "1 oz", "1.0408 oz", 29.5735, 29.5723),)
    files = ("drinks/a.toml", "station.toml")
    shown = Migration(Reading(1, "us", "us"), Reading(1, "imperial", "us"), amounts, files, 0.0012, 0.004)
    lines = [
        "ounce: us → imperial",
        "drinks/a.toml:4:1  lines 1 amount  1 oz → 1.0408 oz",
        f"1 amount in 2 files; largest change of one: 0.0012{GAP}ml, 0.004{GAP}% of it",
    ]
    assert migration(shown) == [*lines, "nothing is written yet: --write writes it"]
    done = Migration(shown.was, shown.becomes, amounts, shown.files, 0.0012, 0.004, True, ".station/replaced/migrate-1")
    assert migration(done) == [*lines, "written; the library as it was is in .station/replaced/migrate-1"]


def test_a_library_as_wanted_needs_nothing() -> None:
    same = Reading(1, "30 ml", "au")
    assert migration(Migration(same, same, (), (), 0.0, 0.0)) == ["nothing to do: format 1, ounce 30 ml, spoons au"]
