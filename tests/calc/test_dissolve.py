"""Whether what a stock holds stays dissolved where it is kept, and when cream of tartar is warned of."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_library import NOON, demo, drink, open_small, stock

from station.bar.cautions import Caution
from station.bar.composition import Composition
from station.bar.fault import CannotAnswer
from station.calc.answers import MadeStock
from station.calc.dissolve import COLDEST_C, tartrate
from station.calc.making import Yield
from station.desk.look import show
from station.desk.making import made

ACIDS = """\
[malic-acid]
name = "Malic acid"
kind = "acid"
form = "solid"
per_100_g = { malic = 100 }
allergens = []
[tartaric-acid]
name = "Tartaric acid"
kind = "acid"
form = "solid"
per_100_g = { tartaric = 100 }
allergens = []
[succinic-acid]
name = "Succinic acid"
kind = "acid"
form = "solid"
per_100_g = { succinic = 100 }
allergens = []
[lactic-88]
name = "Lactic acid, 88 %"
kind = "acid"
assay = { lactic = 88 }
allergens = []
[lactic-powder]
name = "Lactic powder, 60 %"
kind = "acid"
form = "solid"
assay = { lactic = 60 }
allergens = []
[grape-juice]
name = "Grape juice"
kind = "juice"
ta = "7.0 g/l as tartaric"
ph = 3.3
acid_split = { tartaric = 0.6, malic = 0.4 }
per_100_ml = { glucose = 7.5, fructose = 8 }
allergens = []
[plain-grape]
name = "Grape juice without its pH"
kind = "juice"
ta = "7.0 g/l as tartaric"
acid_split = { tartaric = 0.6, malic = 0.4 }
per_100_ml = { glucose = 7.5, fructose = 8 }
allergens = []
"""


def making(folder: Path, *lines: str, store: str = "fridge") -> MadeStock:
    text = stock(*lines, more=f'store = "{store}"')
    one = open_small(folder, {"ingredients/acids.toml": ACIDS, "stocks/s.toml": text})
    return made(one.blends, "s", Yield(), NOON, acknowledged=True)


def of_code(cautions: tuple[Caution, ...], code: str) -> list[Caution]:
    return [one for one in cautions if one.code == code]


def plain(text: object) -> str:
    return str(text).replace("\u00a0", " ")


def test_sixty_percent_citric_in_the_fridge_is_refused_with_the_limit_and_its_source(tmp_path: Path) -> None:
    # 60 % w/w is 150 g per 100 g of water; at 4 °C the handbook curve from 96 g (0 °C) to 117 g (10 °C) passes 104.
    with pytest.raises(CannotAnswer) as refused:
        making(tmp_path, "citric-acid: 600 g", "water: 400 g")
    said = plain(refused.value)
    assert said.startswith("A Stock is 150 g citric per 100 g of water; at 4 °C only 10")
    assert "g dissolve (handbook tables, % by mass as anhydrous; at 0 °C from memory, not checked)" in said
    assert said.endswith("(make it weaker, or keep it warmer than the fridge)")


# At 20 °C 59.2 % by mass dissolve, 145 g per 100 g of water.
@pytest.mark.parametrize(
    ("store", "pct", "refused"), [("room", 58, False), ("room", 60, True), ("fridge", 50, False), ("fridge", 53, True)]
)
def test_the_limit_is_that_of_the_coldest_storage(store: str, pct: int, refused: bool, tmp_path: Path) -> None:
    lines = (f"citric-acid: {pct} g", f"water: {100 - pct} g")
    if refused:
        with pytest.raises(CannotAnswer, match="dissolve"):
            making(tmp_path, *lines, store=store)
    else:
        assert making(tmp_path, *lines, store=store).strength["citric"] == pytest.approx(pct)


def test_what_dissolves_badly_is_refused_at_little(tmp_path: Path) -> None:
    with pytest.raises(CannotAnswer, match="Marshall & Bain 1910"):
        making(tmp_path, "succinic-acid: 5 g", "water: 95 g")
    with pytest.raises(CannotAnswer, match="Apelblat"):
        making(tmp_path, "malic-acid: 55 g", "water: 45 g")


def test_lactic_is_never_refused_it_mixes_with_water(tmp_path: Path) -> None:
    assert not of_code(making(tmp_path, "lactic-88: 90 g", "water: 10 g").cautions, "solubility-unknown")


def test_every_demo_stock_stays_dissolved() -> None:
    for name in demo().library.stocks:
        assert made(demo(), name, Yield(), NOON, acknowledged=True).g > 0.0


def test_in_the_freezer_it_is_not_known_and_said_in_words(tmp_path: Path) -> None:
    answer = making(tmp_path, "citric-acid: 25 g", "water: 75 g", store="freezer")
    said = of_code(answer.cautions, "solubility-unknown")
    assert [one.word for one in said] == ["NOTE"]
    assert plain(said[0].text) == (
        "How much citric dissolves so cold is not known here: the solubility of citric acid is known here from 0 to 40 °C, "
        "not at -18. Look for crystals."
    )


def test_a_trace_in_the_freezer_is_not_worth_a_word(tmp_path: Path) -> None:
    assert not of_code(making(tmp_path, "citric-acid: 2 g", "water: 98 g", store="freezer").cautions, "solubility-unknown")


@pytest.mark.parametrize(
    ("sugar", "water", "store", "told"),
    [(667, 333, "fridge", True), (600, 400, "fridge", False), (667, 333, "room", False), (500, 500, "freezer", False)],
    ids=["2:1 in the fridge", "60 °Bx in the fridge", "2:1 in the room", "in the freezer"],
)
def test_sugar_may_come_out_of_a_rich_syrup_in_the_cold(sugar: int, water: int, store: str, told: bool, tmp_path: Path) -> None:
    # Sucrose saturates at 66.7 % by mass at 20 °C, at 64.6 % at 4 °C (Bubník & Kadlec 1995).
    said = of_code(making(tmp_path, f"sugar: {sugar} g", f"water: {water} g", store=store).cautions, "sugar-crystals")
    assert bool(said) is told
    if told:
        assert plain(said[0].text).startswith("At 4 °C sugar stays dissolved to 64.") and "66.7 °Bx" in plain(said[0].text)
        assert "1995" in said[0].source


def test_tartaric_in_a_buffered_juice_is_warned_of(tmp_path: Path) -> None:
    answer = making(tmp_path, "grape-juice: 980 g", "tartaric-acid: 20 g")
    (said,) = of_code(answer.cautions, "tartrate")
    assert said.word == "CHECK" and "at 4 °C about" in plain(said.text) and "Berg & Keefer 1958" in said.source


@pytest.mark.parametrize(
    ("lines", "why"),
    [
        (("sour: 500 g", "water: 500 g"), "no tartaric, no cation"),
        (("water: 800 g", "tartaric-acid: 200 g"), "no cation: nothing to pair with"),
        (("plain-grape: 980 g", "tartaric-acid: 20 g"), "its pH is not stated, so its cation is not known"),
        (("grape-juice: 200 g", "water: 800 g"), "too thin to throw anything"),
    ],
)
def test_and_where_nothing_can_fall_out_it_is_not(lines: tuple[str, ...], why: str, tmp_path: Path) -> None:
    codes = {one.code for one in making(tmp_path, *lines).cautions}
    assert not codes & {"tartrate", "tartrate-unknown"}, why


def test_the_colder_and_the_stronger_the_sooner() -> None:
    wine = Composition.of(water=950.0, tartaric=3.0, cation_mol=0.02)
    spirited = Composition.of(water=850.0, ethanol=95.0, tartaric=3.0, cation_mol=0.02)

    def times(liquid: Composition, t_c: float) -> float:
        found = of_code(tuple(tartrate(liquid, t_c)), "tartrate")
        return float(plain(found[0].text).split("about ")[1].split(" times")[0]) if found else 0.0

    assert times(wine, 20.0) < times(wine, 0.0)
    assert times(wine, 4.0) < times(spirited, 4.0)


@pytest.mark.parametrize(
    "liquid",
    [
        Composition.of(water=500.0, ethanol=300.0, tartaric=3.0, cation_mol=0.02),
        Composition.of(water=100.0, tartaric=30.0, cation_mol=0.2),
    ],
)
def test_outside_its_data_it_is_said_in_words(liquid: Composition) -> None:
    (said,) = tartrate(liquid, 4.0)
    assert (said.code, said.word) == ("tartrate-unknown", "NOTE")
    assert "is known here" in said.text or "where the activity model ends" in said.text


def test_so_is_a_freezer() -> None:
    (said,) = tartrate(Composition.of(water=950.0, tartaric=3.0, cation_mol=0.02), COLDEST_C["freezer"])
    assert "from 0 to 20 °C" in said.text


def test_a_drink_of_buffered_wine_and_tartaric_says_it_too(tmp_path: Path) -> None:
    one = open_small(
        tmp_path,
        {
            "ingredients/acids.toml": ACIDS,
            "stocks/tart.toml": stock("water: 400 g", "tartaric-acid: 100 g"),
            "drinks/on.toml": drink("build", "grape-juice: 100 ml", "tart: 5 g"),
            "drinks/off.toml": drink("build", "sour: 100 ml", "tart: 5 g"),
        },
    )
    assert of_code(show(one.blends, "on").cautions, "tartrate")
    assert not of_code(show(one.blends, "off").cautions, "tartrate")


def test_strong_lactic_is_partly_its_ester(tmp_path: Path) -> None:
    said = of_code(making(tmp_path, "water: 780 g", "lactic-88: 100 g").cautions, "lactic-ester")
    assert [(one.word, one.about, one.source) for one in said] == [("NOTE", "lactic-88", "common practice, no source")]
    assert "may titrate low" in said[0].text.replace("\n", " ")


def test_a_weak_one_is_not(tmp_path: Path) -> None:
    text = {"stocks/s.toml": stock("water: 780 g", "lactic-88: 100 g"), "stocks/t.toml": stock("s: 100 g", "water: 100 g")}
    one = open_small(tmp_path, {"ingredients/acids.toml": ACIDS, **text})
    assert not of_code(made(one.blends, "t", Yield(), NOON, acknowledged=True).cautions, "lactic-ester")


def test_the_ester_is_of_the_liquid_not_of_the_powder(tmp_path: Path) -> None:
    # A dry 60 % powder is lactic acid on its lactate: there is no water in it to be in balance with an ester.
    assert not of_code(making(tmp_path, "water: 900 g", "lactic-powder: 100 g").cautions, "lactic-ester")
