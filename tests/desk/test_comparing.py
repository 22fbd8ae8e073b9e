"""Two drinks or two versions side by side."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_library import SOUR, demo, open_small

from station.bar.fault import CannotAnswer
from station.calc.compared import Compared, compared
from station.cards.compared import compared_card, signed
from station.desk.comparing import compare, compare_versions, version, versions
from station.desk.document import open_document
from station.desk.look import show
from station.desk.opening import Opened

DRINKS = sorted(demo().library.drinks)


def saved_with(opened: Opened, place: int, text: str) -> None:
    document = open_document(opened, "sour")
    document.type(place, text)
    document.save()


def line(answer: Compared, item: str) -> tuple[str, str, float | None]:
    one = next(one for one in answer.lines if one.item == item)
    return one.left.amount if one.left else "", one.right.amount if one.right else "", one.difference_g


def test_the_saved_drink_against_its_unsaved_edit(tmp_path: Path) -> None:
    opened = open_small(tmp_path)
    document = open_document(opened, "sour")
    document.type(1, "30 ml")
    document.commit()
    before = {path: path.read_bytes() for path in tmp_path.rglob("*.json")}
    answer = compare(opened, "sour", "sour@edited")
    assert (answer.left.version, answer.right.version) == ("saved", "edited")
    left, right, grams = line(answer, "sour")
    assert (left, right) == ("22.5 ml", "30 ml") and grams == pytest.approx(7.5 * 1.0, rel=0.05)
    assert line(answer, "spirit")[2] == 0.0
    assert next(one for one in answer.figures if one.figure == "acid_g_per_100ml").difference > 0.0  # type: ignore[operator]
    assert {path: path.read_bytes() for path in tmp_path.rglob("*.json")} == before


def test_saves_that_were_replaced_can_be_asked_for_the_last_first(tmp_path: Path) -> None:
    opened = open_small(tmp_path)
    saved_with(opened, 0, "50 ml")
    saved_with(opened, 0, "45 ml")
    assert [one.asked for one in versions(opened, "sour")] == ["sour", "sour@1", "sour@2"]
    assert [version(opened, f"sour@{n}").spec.lines[0].amount.text for n in (1, 2)] == ["50 ml", "60 ml"]
    answer = compare(opened, "sour@2", "sour")
    assert line(answer, "spirit")[:2] == ("60 ml", "45 ml")
    assert answer.left.version.startswith("20") and answer.left.version.endswith("+00:00")
    assert "until" in compared_card(answer)[0]


def test_a_version_that_is_not_there_is_refused_with_those_that_are(tmp_path: Path) -> None:
    opened = open_small(tmp_path)
    saved_with(opened, 0, "50 ml")
    for asked, said in (
        ("sour@2", r"there is no sour@2 that can be read \(there is sour, sour@1\)"),
        ("sour@edited", r"sour has no unsaved edit \(there is sour, sour@1\)"),
        ("sour@yesterday", "“yesterday” is no version of sour"),
        ("sour@²", "is no version"),
        ("sour@../x", "is no version"),
        ("nothing@1", "there is no drink nothing"),
    ):
        with pytest.raises(CannotAnswer, match=said):
            version(opened, asked)


def test_a_copy_that_is_broken_or_foreign_is_passed_over(tmp_path: Path) -> None:
    opened = open_small(tmp_path)
    saved_with(opened, 0, "50 ml")
    folder = tmp_path / ".station" / "replaced"
    (folder / "20300101T000000.000000000Z~drinks~sour.toml").write_text("name = \n", encoding="utf-8")
    (folder / "notastamp~drinks~sour.toml").write_text(SOUR, encoding="utf-8")
    (folder / "20300101T000000.000000000Z~drinks~sour2.toml").write_text(SOUR, encoding="utf-8")
    outside = tmp_path.parent / f"{tmp_path.name}-outside.toml"
    outside.write_text(SOUR, encoding="utf-8")
    (folder / "20310101T000000.000000000Z~drinks~sour.toml").symlink_to(outside)
    assert [one.asked for one in versions(opened, "sour")] == ["sour", "sour@3"]


def test_an_item_that_is_gone_is_said_of_its_side(tmp_path: Path) -> None:
    opened = open_small(tmp_path, {"drinks/sour.toml": SOUR.replace('"syrup"', '"lost"')}, without=("ingredients/x",))
    (tmp_path / "drinks" / "sour.toml").write_text(SOUR, encoding="utf-8")
    folder = tmp_path / ".station" / "replaced"
    folder.mkdir(parents=True)
    text = SOUR.replace('"syrup"', '"lost"')
    (folder / "20300101T000000.000000000Z~drinks~sour.toml").write_text(text, encoding="utf-8")
    opened.reread()
    with pytest.raises(CannotAnswer, match="sour@1: there is no item or stock lost"):
        compare(opened, "sour@1", "sour")


@settings(max_examples=20)
@given(st.sampled_from(DRINKS), st.sampled_from(DRINKS))
def test_turned_round_every_difference_changes_its_sign(left: str, right: str) -> None:
    one, other = show(demo(), left), show(demo(), right)
    forth, back = compared(one, "saved", other, "saved"), compared(other, "saved", one, "saved")
    for ahead, behind in zip(forth.figures, back.figures, strict=True):
        assert ahead.difference is None or ahead.difference == pytest.approx(-(behind.difference or 0.0))
    differences = sorted((line.item, line.difference_g or 0.0) for line in forth.lines)
    assert differences == sorted((line.item, -(line.difference_g or 0.0)) for line in back.lines)
    assert sum(1 for one in forth.lines if one.left) == len(show(demo(), left).lines)
    for width in (78, 56, 38):
        assert all(len(row) <= width for row in compared_card(forth, width))


@pytest.mark.parametrize("name", DRINKS)
def test_a_drink_against_itself_is_the_same(name: str) -> None:
    one = show(demo(), name)
    answer = compared(one, "saved", one, "saved")
    assert all(line.left == line.right and not line.difference_g for line in answer.lines)
    assert all(not figure.difference for figure in answer.figures)
    assert all("same" in row for row in compared_card(answer)[3 : 3 + len(answer.lines)])


def test_an_item_that_stands_twice_is_aligned_in_order(tmp_path: Path) -> None:
    twice = SOUR.replace('item = "syrup"', 'item = "spirit"')
    opened = open_small(tmp_path, {"drinks/two.toml": twice})
    answer = compare(opened, "sour", "two")
    assert [(one.item, bool(one.left), bool(one.right)) for one in answer.lines] == [
        ("spirit", True, True),
        ("sour", True, True),
        ("syrup", True, False),
        ("citric-25", True, True),
        ("twist", True, True),
        ("spirit", False, True),
    ]
    assert compare_versions(opened.blends, version(opened, "sour"), version(opened, "two")) == answer


@pytest.mark.parametrize(("value", "said"), [(0.5, "+0.5"), (-0.5, "−0.5"), (0.0, "0"), (-0.0, "0"), (1e-12, "0")])
def test_a_difference_has_its_sign_in_one_way(value: float, said: str) -> None:
    assert signed(value, lambda one: f"{one:.3f}".rstrip("0").rstrip(".")) == said
