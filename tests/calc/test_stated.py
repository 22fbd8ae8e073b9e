"""Acidity, pH, salts and purities as a file states them: the liquid they make says the same again, and the cation travels."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from small_library import NOON, demo, drink, open_small, stock

from station.bar.composition import Composition
from station.bar.fault import CannotAnswer
from station.bar.nouns import Item, Library
from station.bar.quantity import Acidity
from station.calc.acidity import ta_g
from station.calc.balance import balance
from station.calc.batch import Target
from station.calc.drink import drink as served
from station.calc.stated import as_bought, liquid
from station.calc.stuff import bought
from station.desk.batching import batched
from station.desk.checking import check
from station.science.salts import ACID_SALTS
from station.science.titration import END_PH, moles

quick = settings(max_examples=60, deadline=None)
STATED = {name: item for name, item in demo().library.items.items() if item.ta}
WITH_PH = {name: item for name, item in STATED.items() if item.ph is not None}


def stated(item: Item) -> float:
    """TA of the liquid on the item's own basis, g/100 ml."""
    whole = liquid(item)
    assert item.ta is not None
    return 100.0 * ta_g(whole, item.ta.acid, item.ta.end_ph or END_PH) / whole.volume_ml


def test_the_demo_states_both_kinds() -> None:
    assert len(STATED) >= 10 and WITH_PH and len(WITH_PH) < len(STATED)


@pytest.mark.parametrize("name", STATED)
def test_a_stated_acidity_comes_back(name: str) -> None:
    item = STATED[name]
    assert item.ta is not None
    assert stated(item) == pytest.approx(item.ta.g_per_100_ml, rel=1e-6)
    assert stated(replace(item, ph=None)) == pytest.approx(item.ta.g_per_100_ml, rel=1e-6)


@pytest.mark.parametrize("name", STATED)
@pytest.mark.parametrize("buffered", [True, False], ids=["as it is", "without its pH"])
def test_so_does_one_as_tartaric_to_ph_7(name: str, buffered: bool) -> None:
    item = replace(STATED[name], ta=Acidity(STATED[name].ta.g_per_100_ml, "tartaric", 7.0))  # type: ignore[union-attr]
    item = item if buffered else replace(item, ph=None)
    assert stated(item) == pytest.approx(item.ta.g_per_100_ml, rel=1e-6)  # type: ignore[union-attr]


@pytest.mark.parametrize("name", WITH_PH)
def test_a_stated_ph_comes_back_with_a_cation_that_makes_it(name: str) -> None:
    item, whole = WITH_PH[name], liquid(WITH_PH[name])
    assert balance(whole).ph == pytest.approx(item.ph, abs=1e-6)
    assert whole["cation_mol"] > 0.0
    # The acid is free and bound together: more of it than the titration finds.
    assert whole.acid_g > liquid(replace(item, ph=None)).acid_g


@pytest.mark.parametrize("name", sorted(set(STATED) - set(WITH_PH)))
def test_without_a_ph_all_of_the_acid_is_free(name: str) -> None:
    assert liquid(STATED[name])["cation_mol"] == 0.0
    assert bought(STATED[name]).unbuffered


@given(
    ta=st.floats(0.2, 6.0),
    over=st.floats(0.15, 1.2),
    split=st.dictionaries(st.sampled_from(["citric", "malic", "tartaric", "lactic"]), st.floats(0.1, 1.0), min_size=1),
    basis=st.sampled_from([("citric", None), ("malic", 8.1), ("tartaric", 7.0)]),
    abv=st.floats(0.0, 18.0),
    brix=st.one_of(st.none(), st.floats(0.0, 20.0)),
)
@quick
def test_acidity_ph_strength_and_sugar_are_all_true_at_once(
    ta: float, over: float, split: dict[str, float], basis: tuple[str, float | None], abv: float, brix: float | None
) -> None:
    shares = {name: part / sum(split.values()) for name, part in split.items()}
    item = Item("x", "x", "wine", abv_pct=abv, brix=brix, ta=Acidity(ta, *basis), acid_split=shares)
    free = balance(liquid(item)).ph
    assume(free is not None)
    assert free is not None
    item = replace(item, ph=free + over)
    try:
        whole = liquid(item)
    except ValueError as refused:
        assert "ionic strength is over 0.5" in str(refused)
        return
    found = balance(whole)
    assert found.ph == pytest.approx(free + over, abs=1e-5)
    assert stated(item) == pytest.approx(ta, rel=1e-5)
    assert found.abv_pct == pytest.approx(abv, abs=1e-4)
    assert found.brix == pytest.approx(brix or 0.0, abs=1e-5)


@pytest.mark.parametrize("over", [0.005, 0.02, 0.05, 0.1])
def test_a_ph_just_over_that_of_the_acid_alone_is_possible_in_a_sweet_strong_liquid_too(over: float) -> None:
    free = Item("x", "x", "liqueur", abv_pct=18.0, per_100_ml={"sucrose": 25.0}, ta=Acidity(1.0), acid_split={"citric": 1.0})
    lowest = balance(liquid(free)).ph
    assert lowest is not None
    item = replace(free, ph=lowest + over)
    assert balance(liquid(item)).ph == pytest.approx(lowest + over, abs=1e-5)
    listed = replace(item, ta=None, acid_split={}, per_100_ml={"sucrose": 25.0, "citric": liquid(free)["citric"]})
    assert balance(liquid(listed)).ph == pytest.approx(lowest + over, abs=1e-5)


def test_listed_acids_and_a_ph_give_the_cation() -> None:
    item = Item("x", "x", "juice", per_100_ml={"citric": 1.0, "malic": 0.2}, ph=3.3)
    whole = liquid(item)
    assert whole.acids == {"citric": pytest.approx(1.0), "malic": pytest.approx(0.2)}
    assert balance(whole).ph == pytest.approx(3.3, abs=1e-6)
    assert ta_g(whole) < ta_g(liquid(replace(item, ph=None)))


def test_listed_cation_and_a_salt_of_it_are_the_same() -> None:
    # 2.58069 g trisodium citrate are 10 mmol: 1.92124 g citric acid and 30 meq.
    salt = liquid(Item("x", "x", "juice", per_100_g={"trisodium-citrate": 2.58069, "citric": 1.0}))
    apart = liquid(Item("x", "x", "juice", per_100_g={"citric": 2.92124, "cation_meq": 30.0, "other": 0.65945}))
    assert balance(salt).ph == pytest.approx(balance(apart).ph, abs=1e-4)
    assert salt.mass_g == pytest.approx(100.0) and apart.mass_g == pytest.approx(100.0)


@pytest.mark.parametrize("name", ACID_SALTS)
def test_a_salt_weighs_what_it_weighs_and_brings_its_cation(name: str) -> None:
    salt = ACID_SALTS[name]
    brought = as_bought({name: 10.0})
    assert brought.mass_g == pytest.approx(10.0, rel=1e-9)
    assert brought["cation_mol"] == pytest.approx(10.0 * salt.cation_mol / salt.molar_mass)
    assert sum(moles(brought.acids).values()) == pytest.approx(10.0 * salt.acid_mol / salt.molar_mass, rel=1e-4)


def test_bicarbonate_takes_acid_away_equivalent_for_equivalent() -> None:
    # 0.84006 g are 10 mmol, and take the base that 0.64041 g of citric acid would have taken.
    sour = as_bought({"citric": 2.0}) + Composition.of(water=200.0)
    assert ta_g(sour) - ta_g(sour + as_bought({"sodium-bicarbonate": 0.84006})) == pytest.approx(0.64041, rel=0.005)


@given(st.floats(10.0, 90.0), st.floats(0.5, 80.0), st.floats(0.0, 30.0))
@quick
def test_the_cation_adds_in_blends(lime: float, orange: float, citric: float) -> None:
    parts = [demo().stuff(name).per_g * g for name, g in (("lime-juice", lime), ("orange-juice", orange), ("citric-25", citric))]
    whole = Composition.total(parts)
    assert whole["cation_mol"] == pytest.approx(sum(one["cation_mol"] for one in parts), rel=1e-12)


def test_the_cation_travels_through_stocks_drinks_and_batches(tmp_path: Path) -> None:
    juice = "[juice]\nname='Juice'\nkind='juice'\nta='1.0 g/100ml'\nph=3.7\nacid_split={citric=0.9, malic=0.1}\nallergens=[]\n"
    inner = stock("juice: 600 g", "sugar: 400 g")
    outer = stock("inner: 500 g", "citric-acid: 20 g", "water: 480 g", more='held_back = "10 %"\nevaporated = "20 %"')
    one = open_small(
        tmp_path,
        {
            "ingredients/juice.toml": juice,
            "stocks/inner.toml": inner,
            "stocks/outer.toml": outer,
            "drinks/d.toml": drink("shake", "spirit: 50 ml", "outer: 30 g", "juice: 20 g"),
        },
    )
    per_g = one.blends.stuff("juice").per_g["cation_mol"]
    assert per_g > 1e-5
    assert one.blends.making("inner").composition["cation_mol"] == pytest.approx(600.0 * per_g, rel=1e-9)
    # 300 g of juice went in, a tenth of everything stayed in the pot; what boils off is water.
    assert one.blends.making("outer").composition["cation_mol"] == pytest.approx(0.9 * 300.0 * per_g, rel=1e-9)
    outer_per_g = one.blends.stuff("outer").per_g["cation_mol"]
    assert outer_per_g == pytest.approx(0.9 * 300.0 * per_g / (0.9 * 800.0), rel=1e-9)
    made = served(one.library.drinks["d"], one.blends)
    brought = 30.0 * outer_per_g + 20.0 * per_g
    assert made.batch["cation_mol"] == pytest.approx(brought, rel=1e-9)
    assert made.glass["cation_mol"] == pytest.approx(brought, rel=1e-9)
    batch = batched(one.blends, "d", Target(serves=40), True, NOON)
    poured = sum(
        mix.count * one.blends.stuff(line.item).per_g["cation_mol"] * (line.g or 0.0) for mix in batch.mixes for line in mix.lines
    )
    assert poured == pytest.approx(40.0 * brought, rel=1e-9)
    assert batch.balance.ph == pytest.approx(balance(made.glass).ph, abs=1e-6)


IMPOSSIBLE = [
    Item("x", "X", "juice", file="f.toml", ta=Acidity(1.0), ph=1.5, acid_split={"citric": 1.0}),
    Item("x", "X", "juice", file="f.toml", ta=Acidity(1.0), ph=9.0, acid_split={"citric": 1.0}),
    Item("x", "X", "juice", file="f.toml", ta=Acidity(1.0, "tartaric", 7.0), ph=7.2, acid_split={"tartaric": 1.0}),
    Item("x", "X", "juice", file="f.toml", per_100_ml={"citric": 1.0}, ph=1.5),
]


@pytest.mark.parametrize("item", IMPOSSIBLE, ids=["too low", "past 8.2", "past 7.0", "acids listed"])
def test_an_impossible_pair_is_refused_with_what_is_possible(item: Item) -> None:
    with pytest.raises(CannotAnswer) as refused:
        bought(item)
    said = str(refused.value)
    assert said.startswith("X cannot be made out: pH ") and "f.toml" in said
    # 1 g of citric in 100 ml alone is pH 2.23 (charge balance, Davies activity).
    assert "7" in said if item.ta and item.ta.end_ph else "2.23" in said


def read(folder: Path, text: str) -> Item | None:
    """The item as its file says it; None where `station check` has an error for it."""
    one = open_small(folder, {"ingredients/x.toml": f'[x]\nname = "X"\nallergens = []\n{text}\n'})
    if any(fault.severity == "error" and fault.file == "ingredients/x.toml" for fault in check(one.blends)):
        return None
    return one.library.items["x"]


# Two figures that speak of the same thing: either the liquid says both again, or they are a fault; never one of them silently.
@pytest.mark.parametrize("ph", ["", "ph = 3.5"], ids=["", "with pH"])
def test_an_acidity_beside_known_cation_is_kept_or_refused(ph: str, tmp_path: Path) -> None:
    item = read(
        tmp_path, f'kind = "juice"\nta = "1.0 g/100ml"\nacid_split = {{ citric = 1 }}\nper_100_ml = {{ cation_meq = 5 }}\n{ph}'
    )
    assert item is None or stated(item) == pytest.approx(1.0, rel=0.001)


def test_an_acidity_beside_the_salt_of_an_acid_is_refused_as_beside_the_acid(tmp_path: Path) -> None:
    for name in ("citric", "trisodium-citrate"):
        text = f'kind = "juice"\nta = "1.0 g/100ml"\nacid_split = {{ citric = 1 }}\nper_100_ml = {{ {name} = 1 }}'
        assert read(tmp_path, text) is None, name


def test_a_ph_beside_known_cation_is_kept_or_refused(tmp_path: Path) -> None:
    item = read(tmp_path, 'kind = "juice"\nper_100_ml = { citric = 1.0, cation_meq = 3.0 }\nph = 3.0')
    assert item is None or balance(liquid(item)).ph == pytest.approx(3.0, abs=0.01)


def test_a_ph_of_what_holds_no_acid_is_refused_not_forgotten(tmp_path: Path) -> None:
    item = read(tmp_path, 'kind = "soda"\nph = 5.0')
    assert item is None or balance(liquid(item)).ph == pytest.approx(5.0, abs=0.1)


@pytest.mark.parametrize("acid", ["citric", "lactic"])
def test_an_acid_of_which_no_water_is_left_does_not_end_the_program(acid: str) -> None:
    item = Item("x", "X", "acid", file="f.toml", per_100_g={acid: 100.0}, ph=2.0)
    try:
        assert bought(item).per_g[acid] == pytest.approx(1.0)
    except CannotAnswer as refused:
        assert "X cannot be made out" in str(refused)


def test_the_hydrate_and_the_anhydrous_acid_differ_by_the_monohydrate_trap(tmp_path: Path) -> None:
    # AOAC 942.15 prints 0.070 g for citric, the monohydrate; anhydrous is 0.064: 210.139 / 192.124 = 1.0938.
    bare = '[mono]\nname="Citric monohydrate"\nkind="acid"\nform="solid"\nhydrate="citric-monohydrate"\nallergens=[]\n'
    library: Library = open_small(tmp_path, {"ingredients/mono.toml": bare}).library
    mono, anhydrous = bought(library.items["mono"]).per_g, bought(library.items["citric-acid"]).per_g
    assert anhydrous["citric"] / mono["citric"] == pytest.approx(1.0938, abs=1e-4)
    assert mono["citric"] + mono["water"] == pytest.approx(1.0)
    assert ta_g(anhydrous) / ta_g(mono) == pytest.approx(1.0938, abs=2e-4)
