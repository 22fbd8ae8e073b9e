"""Acid questions asked of a whole library: adjust a juice, replace one in a drink, what is bought for it."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_library import SMALL, demo, drink, open_small, stock

from station.bar.amount import AmountError
from station.bar.composition import Composition
from station.bar.fault import CannotAnswer
from station.calc.acidity import ta_g
from station.calc.answers import AdjustedJuice, AdjustedSize
from station.calc.blend import Blends
from station.cards.acid import adjusted as adjusted_card
from station.cards.acid import replaced as replaced_card
from station.desk.adjusting import adjusted, parse_parts, replaced
from station.desk.look import show

JUICE = """\
[juice]
name = "Juice"
kind = "juice"
ta = "1.0 g/100ml"
ph = 3.7
acid_split = { citric = 0.9, malic = 0.1 }
per_100_ml = { fructose = 4, glucose = 4 }
flavour = "orange oil and pulp."
allergens = []

[sharp]
name = "Sharp juice"
kind = "juice"
ta = "6.0 g/100ml"
ph = 2.4
acid_split = { citric = 0.9, malic = 0.1 }
per_100_ml = { fructose = 1.6 }
allergens = []
"""
SYRUP = {"stocks/plain.toml": stock("water: 500 g", "sugar: 500 g")}


def blends(folder: Path, bought: str = "", **files: str) -> Blends:
    more = {f"drinks/{name}.toml": text for name, text in files.items()}
    return open_small(folder, {"ingredients/juice.toml": JUICE + bought, **SYRUP, **more}).blends


def plain(lines: object) -> str:
    return "\n".join(lines if isinstance(lines, list) else [str(lines)]).replace("\u00a0", " ")


def juice_lines() -> list[tuple[str, str]]:
    """Every line of a demo drink that is a juice, or a stock made of one without alcohol."""
    library = demo().library
    juices = {name for name, item in library.items.items() if item.kind == "juice"}
    juices |= {name for name, one in library.stocks.items() if any(line.item in juices for line in one.lines)}
    juices -= {name for name in juices if demo().stuff(name).per_g["ethanol"]}
    return [(spec.id, line.item) for spec in library.drinks.values() for line in spec.lines if line.item in juices]


# --- adjust


def test_towards_an_item_it_takes_that_items_acidity_and_kinds() -> None:
    found = adjusted(demo(), "orange-juice", "lime-juice")
    assert found.target_g_per_100ml == pytest.approx(6.0, rel=1e-6)
    for size in (found.add_to, found.make_up_to):
        assert size.result.acid_g_per_100ml == pytest.approx(6.0, rel=1e-6)
        assert size.result.brix is not None and size.result.ph is not None and size.result.ml > 0.0
    assert found.kinds == pytest.approx({"citric": 0.91, "malic": 0.09}, abs=0.005)
    assert found.target_kinds == pytest.approx({"citric": 0.91, "malic": 0.09})
    assert found.alike is not None and found.alike > 0.99
    assert adjusted(demo(), "orange-juice", "lime-juice", {"lactic": 1.0}).alike < 0.3  # type: ignore[operator]


def test_without_a_size_it_is_for_a_litre_both_ways() -> None:
    found = adjusted(demo(), "orange-juice", "6.0 g/100ml")
    assert found.add_to.juice_ml == pytest.approx(1000.0) and found.add_to.result.ml > 1020.0
    assert found.make_up_to.result.ml == pytest.approx(1000.0) and found.make_up_to.juice_ml < 980.0
    assert (found.target_kinds, found.alike) == ({}, None)


def test_made_to_a_volume() -> None:
    found = adjusted(demo(), "orange-juice", "6.0 g/100ml", made="2.5 l")
    assert found.make_up_to.result.ml == pytest.approx(2500.0)
    assert found.add_to.juice_ml == pytest.approx(1000.0)


@pytest.mark.parametrize(
    "said", ["orange-juice=900 ml", " orange-juice = 900 ml", "orange-juice=0.9 l", "orange-juice=942.5465 g"]
)
def test_from_what_is_on_hand(said: str) -> None:
    found = adjusted(demo(), "orange-juice", "6.0 g/100ml", on_hand=said)
    assert found.add_to.juice_ml == pytest.approx(900.0, rel=1e-5)
    assert found.make_up_to.juice_ml == pytest.approx(900.0, rel=1e-5)


@pytest.mark.parametrize(
    ("to", "acid", "end_ph", "per_100_ml"),
    [
        ("6.0 g/100ml", "citric", 8.2, 6.0),
        ("60 g/l", "citric", 8.2, 6.0),
        ("6.0 g/100ml as malic", "malic", 8.2, 6.0),
        ("6.0 g/100ml as citric to pH 8.1", "citric", 8.1, 6.0),
        ("6.0 g/100ml as tartaric to pH 7.0", "tartaric", 7.0, 6.0),
    ],
)
def test_titrated_as_the_target_was_stated_it_is_what_was_asked(to: str, acid: str, end_ph: float, per_100_ml: float) -> None:
    found = adjusted(demo(), "orange-juice", to, {"citric": 1.0})
    orange = demo().stuff("orange-juice").per_g * found.add_to.juice_g
    whole = orange + Composition.of(found.add_to.acids_g)
    assert 100.0 * ta_g(whole, acid, end_ph) / whole.volume_ml == pytest.approx(per_100_ml, rel=0.001)


def test_a_juice_that_is_sharper_already_is_refused_and_one_that_is_there_needs_nothing() -> None:
    with pytest.raises(CannotAnswer, match="already"):
        adjusted(demo(), "lime-juice", "orange-juice")
    same = adjusted(demo(), "lime-juice", "lime-juice")
    assert same.add_to.acids_g == {} and same.add_to.as_bought == () and same.alike == pytest.approx(1.0)
    assert "nothing to add: it is there" in plain(adjusted_card(same, demo().library))


@pytest.mark.parametrize(
    ("item", "to", "error"),
    [
        ("nothing-such", "6.0 g/100ml", CannotAnswer),
        ("orange-juice", "nothing-such", CannotAnswer),
        ("citric-acid", "6.0 g/100ml", CannotAnswer),
        ("orange-juice", "citric-acid", CannotAnswer),
        ("lime-coin", "6.0 g/100ml", CannotAnswer),
        ("orange-juice", "lime-coin", CannotAnswer),
        ("orange-juice", "lactic-acid-88", CannotAnswer),
        ("orange-juice", "31 g/100ml", AmountError),
        ("orange-juice", "6 g/100g", AmountError),
        ("orange-juice", "six/100ml", AmountError),
        ("orange-juice", "-6 g/100ml", AmountError),
    ],
)
def test_what_cannot_be_adjusted_is_said(item: str, to: str, error: type[Exception]) -> None:
    with pytest.raises(error) as refused:
        adjusted(demo(), item, to)
    assert len(str(refused.value)) > 10 and "\n" not in str(refused.value)


@pytest.mark.parametrize("made", ["1 kg", "2 drops", "1 each", "a lot", "top", "0,5"])
def test_a_volume_to_make_is_a_volume(made: str) -> None:
    with pytest.raises((AmountError, CannotAnswer)):
        adjusted(demo(), "orange-juice", "6.0 g/100ml", made=made)


def test_making_nothing_is_refused() -> None:
    with pytest.raises(CannotAnswer, match="makes no juice"):
        adjusted(demo(), "orange-juice", "6.0 g/100ml", made="0 l")
    with pytest.raises(CannotAnswer, match="makes no juice"):
        adjusted(demo(), "orange-juice", "6.0 g/100ml", on_hand="orange-juice=0 ml")


@pytest.mark.parametrize("said", ["lime-juice=900 ml", "900 ml", "orange-juice", "orange-juice="])
def test_what_is_on_hand_is_of_the_juice_itself(said: str) -> None:
    with pytest.raises((AmountError, CannotAnswer)):
        adjusted(demo(), "orange-juice", "6.0 g/100ml", on_hand=said)


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("citric=2,malic=1", {"citric": 2.0, "malic": 1.0}),
        ("Citric = 2 , malic", {"citric": 2.0, "malic": 1.0}),
        ("lactic", {"lactic": 1.0}),
    ],
)
def test_parts_are_read(text: str, parts: dict[str, float]) -> None:
    assert parse_parts(text) == parts


@pytest.mark.parametrize(
    "text", ["", "citric=0", "citric=-1", "citric=nan", "citric=inf", "oxalic=1", "citric=two", "citric=1,,", "=1"]
)
def test_parts_that_are_none_are_refused(text: str) -> None:
    with pytest.raises(AmountError, match="part"):
        parse_parts(text)


def test_an_acid_named_twice_is_refused_not_half_forgotten() -> None:
    with pytest.raises(AmountError):
        parse_parts("citric=2,malic=1,citric=3")


# --- what is bought for it

MONO = SMALL["ingredients/items.toml"].replace("per_100_g = { citric = 100 }", 'hydrate = "citric-monohydrate"')
LACTIC = '[lactic-88]\nname = "Lactic, 88 %"\nkind = "acid"\nassay = { lactic = 88 }\nallergens = []\n'


def by_purchase(size: AdjustedSize, found: AdjustedJuice, one: Blends) -> float:
    """TA of the juice with the acids as they were bought, g/100 ml: what a bar that follows the card titrates."""
    parts = [one.stuff(bought.item).per_g * (bought.g or 0.0) for bought in size.as_bought]
    whole = Composition.total([one.stuff(found.item).per_g * size.juice_g, *parts])
    return 100.0 * ta_g(whole) / whole.volume_ml


def test_monohydrate_is_weighed_9_percent_heavier_than_anhydrous(tmp_path: Path) -> None:
    anhydrous = adjusted(blends(tmp_path / "a"), "juice", "6.0 g/100ml").add_to
    one = open_small(tmp_path / "m", {"ingredients/items.toml": MONO, "ingredients/juice.toml": JUICE}).blends
    mono = adjusted(one, "juice", "6.0 g/100ml").add_to
    assert [bought.item for bought in mono.as_bought] == ["citric-acid"]
    # The acid the answer names is pure and anhydrous; what is put on the scale is 210.139 / 192.124 of it (AOAC's trap).
    assert mono.as_bought[0].g == pytest.approx(1.0938 * mono.acids_g["citric"], rel=1e-4)
    assert anhydrous.as_bought[0].g == pytest.approx(anhydrous.acids_g["citric"])
    assert "as bought" in plain(adjusted_card(adjusted(one, "juice", "6.0 g/100ml"), one.library))


@pytest.mark.parametrize("acid", ["citric", "lactic"])
def test_the_acids_as_bought_make_the_acidity_with_the_water_they_bring(acid: str, tmp_path: Path) -> None:
    files = {"ingredients/items.toml": MONO, "ingredients/juice.toml": JUICE + LACTIC}
    one = open_small(tmp_path, files).blends
    found = adjusted(one, "juice", "6.0 g/100ml", {acid: 1.0})
    assert by_purchase(found.add_to, found, one) == pytest.approx(6.0, rel=0.001)
    assert by_purchase(found.make_up_to, found, one) == pytest.approx(6.0, rel=0.001)


def test_the_acid_of_a_liquid_is_weighed_by_its_assay(tmp_path: Path) -> None:
    one = blends(tmp_path, LACTIC)
    (bought,) = adjusted(one, "juice", "3.0 g/100ml", {"lactic": 1.0}).add_to.as_bought
    found = adjusted(one, "juice", "3.0 g/100ml", {"lactic": 1.0})
    assert bought.item == "lactic-88" and bought.g == pytest.approx(found.add_to.acids_g["lactic"] / 0.88, rel=0.02)


def test_an_acid_the_house_does_not_buy_is_said(tmp_path: Path) -> None:
    one = blends(tmp_path)
    found = adjusted(one, "juice", "6.0 g/100ml", {"malic": 1.0})
    assert [(bought.item, bought.g) for bought in found.add_to.as_bought] == [("", None)]
    assert "malic" in plain(adjusted_card(found, one.library)) and "the house buys none" in plain(
        adjusted_card(found, one.library)
    )


def test_a_faulty_acid_elsewhere_does_not_stop_it(tmp_path: Path) -> None:
    bad = '[bad]\nname = "Bad"\nkind = "acid"\nper_100_ml = { lactic = 1 }\nph = 1.0\nallergens = []\n'
    assert adjusted(blends(tmp_path, bad), "juice", "6.0 g/100ml").add_to.as_bought[0].item == "citric-acid"


# --- how far its pH is good


def test_the_ph_of_an_adjusted_wine_is_an_estimate_on_the_card_too() -> None:
    found = adjusted(demo(), "dry-vermouth", "1.0 g/100ml")
    assert "estimate" in found.add_to.result.ph_note
    card = plain(adjusted_card(found, demo().library))
    assert "estimate" in card
    assert f"pH {found.add_to.result.ph:.2f}" not in card


def test_where_an_adjusted_liquid_has_no_ph_the_card_says_why() -> None:
    found = adjusted(demo(), "pomegranate-syrup", "2.0 g/100ml")
    assert found.add_to.result.ph is None
    assert found.add_to.result.ph_note in plain(adjusted_card(found, demo().library))


# --- replace


@pytest.mark.parametrize(("spec", "item"), juice_lines(), ids="/".join)
def test_every_juice_line_can_stand_as_acid_sugar_and_water_at_equal_figures(spec: str, item: str) -> None:
    # Pomegranate syrup is 66 °Bx itself: only dry sugar is as strong.
    sugar = "sugar" if item == "pomegranate-syrup" else ""
    found = replaced(demo(), spec, item, acid="citric-acid" if sugar else "", sugar=sugar)
    was, now = found.before, found.after
    assert now.ml == pytest.approx(was.ml, rel=0.001)
    assert now.acid_g_per_100ml == pytest.approx(was.acid_g_per_100ml, rel=0.001)
    assert now.sugar_g_per_100ml == pytest.approx(was.sugar_g_per_100ml, rel=0.001)
    assert now.abv_pct == pytest.approx(was.abv_pct, rel=0.001, abs=1e-9)
    assert found.loses and sum(found.kinds.values()) == pytest.approx(1.0) == pytest.approx(sum(found.stand_in_kinds.values()))


def test_there_are_such_lines() -> None:
    assert len(juice_lines()) >= 14


def test_it_takes_the_acid_nearest_in_kinds_and_the_plainest_syrup() -> None:
    by_item = {
        item: [line.item for line in replaced(demo(), spec, item).lines]
        for spec, item in (("tin-lantern", "lime-juice"), ("green-timetable", "apple-juice"))
    }
    assert by_item == {
        "lime-juice": ["citric-25", "syrup-1-1", "water"],
        "apple-juice": ["malic-20", "syrup-1-1", "water"],
    }


def test_the_lines_weigh_what_the_juice_did_to_the_drink(tmp_path: Path) -> None:
    one = blends(tmp_path, d=drink("shake", "spirit: 50 ml", "sharp: 25 ml", "syrup: 20 ml"))
    found = replaced(one, "d", "sharp")
    assert [line.name for line in found.lines] == ["Citric solution", "A Stock", "water"]
    whole = Composition.total(one.stuff(line.item).per_g * line.g for line in found.lines)
    assert whole.volume_ml == pytest.approx(25.0, rel=1e-3)
    assert ta_g(whole) == pytest.approx(1.5, rel=1e-3)
    assert whole.sugar_g == pytest.approx(0.4, rel=1e-3)


def test_what_it_loses_is_what_the_house_wrote_of_its_flavour(tmp_path: Path) -> None:
    one = blends(tmp_path, d=drink("shake", "spirit: 50 ml", "juice: 25 ml", "sharp: 25 ml"))
    said = replaced(one, "d", "juice").loses
    assert said == "Lost with Juice: orange oil and pulp. Acid, sugar and volume stay."
    assert said in plain(replaced_card(replaced(one, "d", "juice"), one.library)).replace("\n", " ")
    assert replaced(one, "d", "sharp").loses == (
        "Lost with Sharp juice: aroma, colour, pulp and its salts' roundness. Taste it before it is poured."
    )


def test_a_wine_loses_its_alcohol_as_well_and_that_is_said() -> None:
    found = replaced(demo(), "slow-semaphore", "dry-sherry")
    assert found.before.abv_pct is not None and found.after.abv_pct is not None
    assert found.after.abv_pct < 0.95 * found.before.abv_pct
    assert "alcohol" in found.loses


@pytest.mark.parametrize(
    ("acid", "sugar"),
    [
        # 25 ml of 5 % vinegar for 22.5 ml of lime.
        ("cider-vinegar", ""),
        ("syrup-1-1", ""),
        ("nothing-such", ""),
        ("", "nothing-such"),
        ("", "citric-25"),
        ("", "saline-20"),
        ("lime-coin", ""),
        # A concentrate is never a drink line, 88 % w/w lactic least of all.
        ("lactic-acid-88", ""),
    ],
)
def test_a_source_that_cannot_stand_in_is_refused(acid: str, sugar: str) -> None:
    with pytest.raises(CannotAnswer):
        replaced(demo(), "tin-lantern", "lime-juice", acid, sugar)


@pytest.mark.parametrize("item", ["rum-light", "syrup-1-1", "saline-20", "lime-coin", "orange-juice", "nothing-such"])
def test_what_is_no_juice_line_is_refused(item: str) -> None:
    with pytest.raises(CannotAnswer):
        replaced(demo(), "tin-lantern", item)


def test_without_an_acid_stock_or_a_syrup_it_is_said_what_to_name(tmp_path: Path) -> None:
    spec = {"drinks/d.toml": drink("shake", "spirit: 50 ml", "sharp: 25 ml"), "ingredients/juice.toml": JUICE}
    bare = ("stocks/citric-25.toml", "drinks/sour.toml", "measures.toml")
    with pytest.raises(CannotAnswer, match="--acid"):
        replaced(open_small(tmp_path / "a", {**spec, **SYRUP}, without=bare).blends, "d", "sharp")
    with pytest.raises(CannotAnswer, match="--sugar"):
        replaced(open_small(tmp_path / "b", spec).blends, "d", "sharp")
    found = replaced(open_small(tmp_path / "c", spec).blends, "d", "sharp", "citric-acid", "sugar")
    assert [line.item for line in found.lines] == ["citric-acid", "sugar", "water"]


def test_a_line_in_parts_is_replaced_and_the_others_stay_as_they_are(tmp_path: Path) -> None:
    text = drink("shake", "spirit: 2 parts", "sharp: 1 part", "syrup: 1 part", more='total = "100 ml"')
    found = replaced(blends(tmp_path, d=text), "d", "sharp")
    assert found.after.ml == pytest.approx(found.before.ml, rel=0.001)
    assert found.after.acid_g_per_100ml == pytest.approx(found.before.acid_g_per_100ml, rel=0.001)
    assert found.after.abv_pct == pytest.approx(found.before.abv_pct, rel=0.001)


def test_a_top_of_juice_is_replaced(tmp_path: Path) -> None:
    text = drink("build", "spirit: 40 ml", "juice: top", more='washline = "150 ml"')
    found = replaced(blends(tmp_path, d=text), "d", "juice")
    assert found.after.ml == pytest.approx(found.before.ml, rel=0.001)
    assert found.after.acid_g_per_100ml == pytest.approx(found.before.acid_g_per_100ml, rel=0.001)


def test_a_faulty_stock_elsewhere_does_not_stop_it(tmp_path: Path) -> None:
    bad = '[bad]\nname = "Bad"\nkind = "juice"\nper_100_ml = { lactic = 1 }\nph = 1.0\nallergens = []\n'
    files = {
        "ingredients/juice.toml": JUICE,
        "ingredients/bad.toml": bad,
        "stocks/rests.toml": stock("bad: 10 g", "water: 10 g"),
        "drinks/d.toml": drink("shake", "spirit: 50 ml", "sharp: 25 ml"),
        **SYRUP,
    }
    assert replaced(open_small(tmp_path, files).blends, "d", "sharp").lines[0].item == "citric-25"


# By equivalents 1 g of citric is 1.1718 g of tartaric. To pH 7.0 citric has given up 97.1 % of its protons against 99.8 % at
# pH 8.2, and tartaric all of its own (charge balance, Davies, I = 0.05): a wine house reads dilute citric 2.6 % low.
def test_a_house_may_read_acid_in_its_own_basis(tmp_path: Path) -> None:
    house = 'format = 1\n[shows]\nacidity = "tartaric to pH 7.0"\n'
    files = {"drinks/d.toml": drink("none", "water: 992 g", "citric-25: 8 g"), "station.toml": house}
    one = show(open_small(tmp_path, files).blends, "d")
    assert one.ta_in_house_basis == pytest.approx(1.1718 * 0.974 * (one.glass.acid_g_per_100ml or 0.0), rel=0.002)
    assert show(demo(), "tin-lantern").ta_in_house_basis is None


def test_a_juice_sharpened_with_powders_is_no_acid_stock_to_replace_one_with(tmp_path: Path) -> None:
    """Of the juice's own kinds, it would else be taken for the nearest."""
    opened = open_small(
        tmp_path,
        {
            "ingredients/more.toml": JUICE,
            "stocks/sharpened.toml": stock("sharp: 500 g", "citric-acid: 60 g", "water: 500 g"),
            "stocks/through.toml": stock("sharpened: 500 g", "citric-acid: 20 g"),
            "stocks/sweet.toml": stock("sugar: 100 g", "water: 100 g"),
            "drinks/d.toml": drink("shake", "spirit: 50 ml", "sharp: 25 ml", "sweet: 20 ml"),
        },
    )
    assert opened.blends.stuff("sharpened").acid_like and opened.blends.stuff("through").acid_like
    assert [line.item for line in replaced(opened.blends, "d", "sharp").lines] == ["citric-25", "sweet", "water"]
