"""Cards as text: what stands on them, and what never does."""

from __future__ import annotations

import re
import unicodedata
from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from small_library import NOON, SMALL, demo, open_small

from station.bar.nouns import House
from station.calc.batch import Target
from station.calc.making import Yield
from station.cards import text
from station.cards.labels import label
from station.cards.making import making_card
from station.desk.batching import batched
from station.desk.look import show
from station.desk.making import made

DRINKS, STOCKS = sorted(demo().library.drinks), sorted(demo().library.stocks)
HOUSE = demo().library.house
PROMISES = re.compile(r"\b(safe|safely|non-?toxic|preserv\w*|shelf[- ]?stable|approved|legal|legally|free from|good|bad)\b", re.I)
# A document's name, not a promise.
SHEET = re.compile(r"safety\s+data\s+sheet", re.I)


def serve(name: str) -> list[str]:
    return text.shown(show(demo(), name), demo().library)


def batch(name: str, target: Target | None = None, water: bool | None = None, width: int = text.WIDTH) -> list[str]:
    return text.batch_card(batched(demo(), name, target or Target(serves=12), water, NOON), demo().library, width)


def making(name: str) -> list[str]:
    return making_card(made(demo(), name, Yield(), NOON, acknowledged=True), HOUSE)


def spaced(lines: list[str]) -> str:
    return "\n".join(lines).replace("\u00a0", " ")


@pytest.mark.parametrize("name", DRINKS)
def test_no_card_of_a_drink_promises_anything(name: str) -> None:
    for lines in (serve(name), batch(name), batch(name, water=True), batch(name, water=False)):
        assert PROMISES.findall(SHEET.sub("", " ".join(lines))) == []


@pytest.mark.parametrize("name", STOCKS)
def test_no_card_of_a_stock_promises_anything(name: str) -> None:
    assert PROMISES.findall(SHEET.sub("", " ".join(making(name)))) == []


@pytest.mark.parametrize("name", DRINKS)
def test_a_batch_card_says_first_whether_it_is_diluted(name: str) -> None:
    for water, word in ((True, "DILUTED"), (False, "UNDILUTED")):
        assert batch(name, water=water)[1].startswith(f"{word} ·")


@pytest.mark.parametrize("name", DRINKS)
def test_lines_are_in_the_order_of_the_pour_and_grams_as_the_scale_reads_them(name: str) -> None:
    card = batched(demo(), name, Target(serves=12), None, NOON)
    shown = spaced(text.batch_card(card, demo().library))
    places = [shown.index(f"reads {_read(line.reads_g, HOUSE.scales[line.scale].readability_g)}") for line in card.mixes[0].lines]
    assert places == sorted(places)


def _read(grams: float, readability: float) -> str:
    decimals = {0.01: 2, 1.0: 0, 5.0: 0}[readability]
    number = f"{round(grams / readability) * readability:.{decimals}f}"
    number = number.rstrip("0").rstrip(".") if "." in number else number
    return f"{number} g"


@pytest.mark.parametrize("name", [*DRINKS])
@pytest.mark.parametrize("width", [40, 48, 60, text.WIDTH])
def test_a_card_is_no_wider_than_asked_but_for_one_row_of_figures(name: str, width: int) -> None:
    for line in batch(name, width=width):
        assert len(line) <= max(width, text.WIDTH) + 25
        assert line == line.rstrip()


def test_the_numbers_of_a_card_follow_the_rules_of_writing_them() -> None:
    for name in DRINKS:
        shown = spaced(batch(name)) + spaced(serve(name))
        assert re.findall(r"(?<![\d.])\.\d", shown) == [], "no leading zero"
        assert re.findall(r"\d\.\d*0(?= (?:g|ml|L)\b)", shown) == [], "a trailing zero"
        assert re.findall(r"\d(?:g|ml|L)\b", shown.replace("100ml", "").replace("100 ml", "")) == [], "no space before a unit"
        assert re.findall(r"\b\d+ l\b", shown) == [], "l looks like 1"


def test_a_percentage_on_a_making_card_has_its_basis() -> None:
    for name in STOCKS:
        for line in spaced(making(name)).splitlines():
            if line.startswith(("Strength:", "Salt:")):
                assert "% w/w" in line


def test_the_small_card_in_full() -> None:
    assert spaced(batch("tin-lantern", Target(vessel="pitcher"))).splitlines()[:16] == [
        "Tin Lantern",
        "UNDILUTED · 15 full serves",
        "",
        "1.5 L = 1525 g in all",
        "100 ml = 102 g a serve, before ice",
        "",
        "Mix in Pitcher: 1.5 L, 1525 g",
        "",
        "First, together in a tared cup:",
        "Citric solution, 25 % w/w  1.57 g  1.41 ml  reads 1.57 g  Pocket scale",
        "  0.392 g of it citric · Red-cap dropper, 3 weighings, 4 Nov 2026 ·",
        "  ± 0.015 g",
        "Saline, 20 % w/w           2.46 g  2.13 ml  reads 4.03 g  Pocket scale",
        "  Red-cap dropper, 3 weighings, 3 Nov 2026 · ± 0.019 g",
        "",
        "Then into the tared vessel:",
    ]


def test_where_allergens_are_unknown_the_card_shows_a_question_mark() -> None:
    assert "Allergens: ?" in spaced(serve("paper-anvil"))


def test_no_allergen_stated_is_not_called_free() -> None:
    assert "Allergens: none stated by the suppliers" in spaced(serve("tin-lantern"))


@pytest.mark.parametrize(
    ("moment", "said"),
    [
        (datetime(2026, 11, 26, 5, tzinfo=UTC), "Thu 26 Nov 2026, 05:00"),
        (datetime(2026, 11, 26, 15, 30, tzinfo=UTC), "Thu 26 Nov 2026, 15:30"),
        (datetime(2026, 7, 1, 23, 30, tzinfo=UTC), "Thu 2 Jul 2026, 00:30"),
        (None, "–"),
    ],
)
def test_a_use_by_is_the_moment_itself_by_the_houses_clock(moment: datetime | None, said: str) -> None:
    assert text.until(moment, House(timezone="Europe/Lisbon", day_ends="05:00")) == said


def test_cards_labels_and_orders_say_a_use_by_in_the_same_words() -> None:
    """One moment has one reading, wherever it stands: never the end of the day before."""
    card = batched(demo(), "tin-lantern", Target(serves=12), None, NOON)
    stock = made(demo(), "citric-25", Yield(), NOON, acknowledged=True)
    said = text.until(card.use_by, HOUSE)
    assert f"Use by: {said}" in batch("tin-lantern")
    assert f"Use by {text.until(stock.label.use_by, HOUSE)}" in label(stock.label, HOUSE)
    assert text.until(card.use_by, HOUSE) == said and re.fullmatch(r"\w{3} \d{1,2} \w{3} \d{4}, \d\d:\d\d", said)


def test_the_list_says_what_is_faulty(tmp_path: Path) -> None:
    opened = open_small(tmp_path, {"drinks/bad.toml": "broken ="})
    assert text.listed(opened.find()) == ["bad   FAULTY", "sour  Plain Sour  shake  shaken"]


# A library is other people's text. A name in it may hold an escape: a card may not pass it on to the terminal.
ESCAPES = "\\u001b]0;owned\\u0007\\u001b[2J\\u202e"


def spoiled(content: str) -> str:
    return re.sub(r'^(name|source) = "(.*)"$', lambda found: f'{found[1]} = "{found[2]}{ESCAPES}"', content, flags=re.MULTILINE)


@pytest.fixture
def hostile(tmp_path: Path) -> object:
    files = {name: spoiled(content) for name, content in SMALL.items()}
    files["drinks/sour.toml"] = files["drinks/sour.toml"].replace(
        "method", f'glass = "coupe{ESCAPES}"\nnotes = "n{ESCAPES}"\nmethod', 1
    )
    files["stocks/citric-25.toml"] = f'method = "m{ESCAPES}"\nnotes = "n{ESCAPES}"\n' + files["stocks/citric-25.toml"]
    files["station.toml"] += (
        '[vessels.bottle]\nname = "Bottle' + ESCAPES + '"\nbrim = "0.8 l"\nfill = "0.7 l"\ntare = "0.5 kg"\ncount = 9\n'
    )
    opened = open_small(tmp_path, files)  # type: ignore[arg-type]
    assert opened.library.faults == ()
    return opened


@pytest.mark.parametrize("card", ["list", "serve", "batch", "bottles", "narrow", "make"])
def test_no_card_passes_an_escape_on(card: str, hostile: object) -> None:
    opened = hostile
    blends, library = opened.blends, opened.library  # type: ignore[attr-defined]
    bottled = Target(serves=30, into="bottle")
    lines = {
        "list": lambda: text.listed(opened.find()),
        "serve": lambda: text.shown(show(blends, "sour"), library),
        "batch": lambda: text.batch_card(batched(blends, "sour", Target(serves=12), None, NOON), library),
        "bottles": lambda: text.batch_card(batched(blends, "sour", bottled, None, NOON), library),
        "narrow": lambda: text.batch_card(batched(blends, "sour", Target(serves=12), None, NOON), library, 48),
        "make": lambda: making_card(made(blends, "citric-25", Yield(), NOON), library.house),
    }[card]()
    for line in lines:
        odd = [char for char in line if unicodedata.category(char) in {"Cc", "Cf", "Zl", "Zp"}]
        assert odd == [], ascii(line)


def test_local_time_stands_on_the_label(tmp_path: Path) -> None:
    summer = datetime(2026, 7, 1, 12, tzinfo=UTC)
    card = made(open_small(tmp_path).blends, "citric-25", Yield(), summer)
    assert card.label.made == summer and card.label.made.tzinfo == ZoneInfo("Europe/Lisbon")
    assert any("Made 1 Jul 2026, 13:00" in line for line in making_card(card, House()))


@pytest.mark.parametrize("name", DRINKS)
@pytest.mark.parametrize("serves", [7, 12, 40])
def test_a_card_whose_grams_do_not_add_up_to_its_readings_says_why(name: str, serves: int) -> None:
    """A person adds up what is shown: either that is the reading, or the card says why it is not."""
    card = "\n".join(batch(name, Target(serves=serves))).replace("\u00a0", " ")
    into, adds_up = 0.0, True
    for line in card.splitlines():
        if line.endswith(("tared cup:", "tared vessel:")):
            into = 0.0
        found = re.search(r" ([\d ]*\d(?:\.\d+)?) g (?:.* )?reads ([\d ]*\d(?:\.\d+)?) g  ", line)
        if found and not re.search(r"\d × reads", line):
            grams, reads = (float(one.replace(" ", "")) for one in found.groups())
            adds_up &= abs(into + grams - reads) < 0.005
            into = reads
    assert ("Pour to the readings" in card) == (not adds_up)
