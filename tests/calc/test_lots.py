"""Which lots may be used, which is next, what is left, until when something made of parts keeps."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from log_rows import NOON, a_lot, a_mark, a_measurement, a_weighing, days
from small_library import demo, read_small, stock

from station.bar.logged import Lot, Mark, Weighing
from station.bar.quantity import keeps
from station.calc import deviating, lots, shelf_life, traced
from station.calc.found import BRIX_LEFT_OUT, PH_LEFT_OUT, found_to_be, to_spec
from station.calc.hazards import hazard_words

FIVE = time(5)
LISBON = ZoneInfo("Europe/Lisbon")
AFTERNOON = datetime(2026, 11, 25, 16, tzinfo=LISBON)


def standing(lot: Lot, *rows: Weighing | Mark) -> lots.Standing:
    taken = [row for row in rows if isinstance(row, Weighing)]
    return lots.standings([lot], taken, [], [row for row in rows if isinstance(row, Mark)])[0]


def test_what_is_left_is_what_there_was_less_what_was_taken_and_discarded() -> None:
    lot, batch = a_lot(g=1000.0), a_lot(kind="batch")
    rows = (a_weighing(batch, 0, lot, actual_g=300.0), a_mark(lot, "discarded", g=150.0))
    assert standing(lot, *rows).left_g == pytest.approx(550.0)
    assert standing(lot).left_g == 1000.0
    assert standing(a_lot()).left_g is None


def test_a_lot_is_gone_when_it_was_discarded_used_up_or_weighed_out() -> None:
    lot, batch = a_lot(g=100.0), a_lot(kind="batch")
    assert not standing(lot).gone
    assert not standing(lot, a_mark(lot, "discarded", g=40.0)).gone
    assert standing(lot, a_mark(lot, "discarded")).gone
    assert standing(lot, a_mark(lot, "used up")).gone
    assert standing(lot, a_weighing(batch, 0, lot, actual_g=100.0)).gone


def test_the_lot_that_ends_first_is_taken_first_and_none_that_is_over_gone_or_half_made() -> None:
    over, soon, later = (a_lot(use_by=NOON + days(day)) for day in (-1, 1, 2))
    endless, gone, batch = a_lot(), a_lot(use_by=NOON + days(0.5)), a_lot(kind="batch", item="other")
    found = lots.standings([over, endless, later, soon, gone, batch], [], [], [a_mark(gone, "discarded")])
    assert {item: one.lot for item, one in lots.next_used(found, NOON).items()} == {"sour": soon}
    assert [one.lot for one in lots.to_discard(found, NOON)] == [over]
    assert [one.lot for one in lots.to_discard(found, NOON + days(3))] == [over, soon, later]


def test_the_moment_a_lot_ends_it_is_no_longer_in_date() -> None:
    one = standing(a_lot(use_by=NOON))
    assert one.in_date(NOON - timedelta(seconds=1)) and not one.in_date(NOON)


def test_the_newest_measurement_counts() -> None:
    lot = a_lot()
    old, new = a_measurement(lot, ta="5 g/100ml", at=NOON), a_measurement(lot, ta="6 g/100ml", at=NOON + days(0.1))
    assert lots.standings([lot], [], [new, old], [])[0].measured == new


# Until when something made of parts keeps.


def ends(text: str, *parts: datetime | None, reason: str = "") -> datetime | None:
    return shelf_life.made_of(AFTERNOON, keeps(text) if text else None, parts, FIVE, reason)


def test_a_part_that_goes_in_unchanged_is_not_outlived_but_for_a_reason() -> None:
    tomorrow = AFTERNOON + days(1)
    assert ends("90 days", tomorrow, None) == tomorrow
    assert ends("90 days", tomorrow, reason="half of it is sugar") == ends("90 days")
    assert ends("", tomorrow, AFTERNOON + days(2), reason="no word of its own") == tomorrow
    assert ends("36 hours", AFTERNOON + days(3)) == AFTERNOON + timedelta(hours=36)
    assert ends("") is None


def test_days_count_the_day_made_as_the_first_and_end_with_its_service() -> None:
    """FDA Food Code 3-501.17(A)(1): the day of preparation is day 1."""
    assert ends("1 day") == datetime(2026, 11, 26, 5, tzinfo=LISBON)
    after_midnight = datetime(2026, 11, 26, 2, tzinfo=LISBON)
    assert shelf_life.made_of(after_midnight, keeps("1 day"), (), FIVE) == datetime(2026, 11, 26, 5, tzinfo=LISBON)


def test_hours_are_a_clock_over_a_change_of_summer_time() -> None:
    """Lisbon went back from 02:00 to 01:00 on 25 October 2026: 12 hours are one hour less on the wall."""
    evening = datetime(2026, 10, 24, 20, tzinfo=LISBON)
    end = shelf_life.made_of(evening, keeps("12 hours"), (), FIVE)
    assert end is not None and end.astimezone(UTC) - evening.astimezone(UTC) == timedelta(hours=12)
    assert f"{end:%H:%M}" == "07:00"


def test_what_is_opened_keeps_as_an_opened_one(tmp_path: Path) -> None:
    vermouth = '[wine]\nname = "Wine"\nkind = "wine"\nabv = 16\nkeeps = "300 days"\nkeeps_in = { opened = "3 days" }\n'
    library = read_small(
        tmp_path, {"ingredients/wine.toml": vermouth, "stocks/mix.toml": stock("wine: 1 l", more='keeps = "30 days"')}
    )
    assert library.faults == ()
    assert shelf_life.fresh_until(library, "mix", AFTERNOON, FIVE) == ends("3 days")


def test_a_stock_of_stocks_ends_with_its_shortest_part(tmp_path: Path) -> None:
    files = {"stocks/a.toml": stock("sour: 1 l", more='keeps = "30 days"'), "stocks/b.toml": stock("a: 1 l", "syrup: 1 l")}
    library = read_small(tmp_path, files)
    assert shelf_life.fresh_until(library, "b", AFTERNOON, FIVE) == ends("1 day")
    reason = files | {"stocks/a.toml": stock("sour: 1 l", more='keeps = "30 days"\nkeeps_reason = "boiled"')}
    assert shelf_life.fresh_until(read_small(tmp_path, reason), "b", AFTERNOON, FIVE) == ends("30 days")


def test_a_deep_chain_of_stocks_has_its_end(tmp_path: Path) -> None:
    files = {f"stocks/s{n}.toml": stock(f"s{n - 1}: 1 l" if n else "sour: 1 l") for n in range(1500)}
    assert shelf_life.fresh_until(read_small(tmp_path, files), "s1499", AFTERNOON, FIVE) == ends("1 day")


# Traces.


def test_a_trace_goes_forward_and_backward_over_lots_in_lots() -> None:
    names = {name: a_lot(item=name) for name in ("lime", "cordial", "pitcher", "other", "gin")}
    made = [("cordial", "lime", 500.0), ("pitcher", "cordial", 100.0), ("pitcher", "lime", 200.0), ("other", "gin", 50.0)]
    rows = [a_weighing(names[lot], place, names[part], actual_g=g) for place, (lot, part, g) in enumerate(made)]
    rows.append(a_weighing(names["pitcher"], 9, None, actual_g=1.0))

    def out_of(parts: object) -> list[Weighing]:
        return [row for row in rows if row.part in list(parts)]  # type: ignore[call-overload]

    def into(wanted: object) -> list[Weighing]:
        return [row for row in rows if row.lot in list(wanted)]  # type: ignore[call-overload]

    forward = {link.lot: (link.steps, link.g) for link in traced.forward(names["lime"].uuid, out_of)}
    assert forward == {names["cordial"].uuid: (1, 500.0), names["pitcher"].uuid: (1, 200.0)}
    backward = {link.lot: link.steps for link in traced.backward(names["pitcher"].uuid, into)}
    assert backward == {names["cordial"].uuid: 1, names["lime"].uuid: 1}
    assert traced.forward(names["pitcher"].uuid, out_of) == []


def test_a_circle_in_a_log_ends() -> None:
    one, other = a_lot(), a_lot()
    rows = [a_weighing(one, 0, other), a_weighing(other, 0, one), a_weighing(one, 1, one)]
    found = traced.forward(one.uuid, lambda parts: [row for row in rows if row.part in list(parts)])
    assert [link.lot for link in found] == [other.uuid]


# Deviations.


def test_only_readings_deviate() -> None:
    lot = a_lot(kind="batch")
    said = [("read", 102.0), ("read", 100.0), ("read", 98.5), ("asked", 150.0), ("estimated", 10.0)]
    rows = [a_weighing(lot, place, known=known, actual_g=g) for place, (known, g) in enumerate(said)]
    (one,) = deviating.deviations([*rows, a_weighing(lot, 9, known="read", wanted_g=0.0, actual_g=5.0)])
    assert (one.by, one.item, one.readings) == ("AB", "sour", 3)
    assert one.mean == pytest.approx(0.005 / 3) and one.worst == pytest.approx(0.02)
    assert one.spread == pytest.approx(0.017559, rel=1e-4)


def test_one_reading_has_no_spread() -> None:
    (one,) = deviating.deviations([a_weighing(a_lot(), known="read", actual_g=99.0)])
    assert one.spread is None and one.mean == pytest.approx(-0.01)


# A lot as it was measured.


def test_a_measured_juice_titrates_as_measured_and_keeps_its_sugar() -> None:
    juice = demo().stuff("lime-juice")
    found = found_to_be(juice, a_measurement(a_lot(), ta="5.2 g/100ml", ph=2.4), "lime")
    litre = found.stuff.per_g * (1000.0 * (found.stuff.g_per_ml or 0.0))
    from station.calc.acidity import ta_g

    assert ta_g(litre) == pytest.approx(52.0, rel=1e-6) and found.notes == ()
    assert litre.volume_ml == pytest.approx(1000.0, rel=1e-6)
    assert litre.sugar_g == pytest.approx((juice.per_g * (1000.0 * (juice.g_per_ml or 0.0))).sugar_g, rel=1e-6)


def test_a_refractometer_on_a_juice_is_kept_and_not_counted_and_on_a_syrup_counts() -> None:
    juice, syrup = demo().stuff("lime-juice"), demo().stuff("syrup-1-1")
    assert found_to_be(juice, a_measurement(a_lot(), brix=8.0), "lime").notes == (BRIX_LEFT_OUT,)
    found = found_to_be(syrup, a_measurement(a_lot(), brix=52.0), "syrup")
    assert found.notes == () and found.stuff.per_g.sugar_g == pytest.approx(0.52, rel=1e-6)


def test_a_ph_the_model_cannot_have_is_kept_and_the_ta_counts() -> None:
    juice = demo().stuff("lime-juice")
    found = found_to_be(juice, a_measurement(a_lot(), ta="5.2 g/100ml", ph=0.5), "lime")
    assert found.notes == (PH_LEFT_OUT,)


@pytest.mark.parametrize("ta", ["3 g/100ml", "5.2 g/100ml", "5.999 g/100ml", "6.4 g/100ml", "8 g/100ml"])
def test_the_acid_or_water_for_a_litre_brings_it_to_spec(ta: str) -> None:
    from station.calc import adjust
    from station.calc.acidity import ta_g

    spec = demo().stuff("lime-juice")
    found = found_to_be(spec, a_measurement(a_lot(), ta=ta), "lime").stuff
    made = to_spec(found, spec, {name: adjust.PURE[name] for name in ("citric", "malic")})
    assert 100.0 * ta_g(made.liquid) / made.liquid.volume_ml == pytest.approx(6.0, rel=1e-6)
    assert (made.water_g > 0.0) == (float(ta.split(maxsplit=1)[0]) > 6.0)
    assert (sum(made.acids_g.values()) > 0.0) == (float(ta.split(maxsplit=1)[0]) < 6.0)


# Hazard words.


@pytest.mark.parametrize(
    ("stock_id", "words"),
    [("citric-25", ("IRRITATES eyes",)), ("lactic-10", ("MAY BURN",)), ("syrup-2-1", ()), ("saline-20", ())],
)
def test_a_bottle_of_acid_bears_its_words(stock_id: str, words: tuple[str, ...]) -> None:
    said = hazard_words(demo().stuff(stock_id).per_g)
    assert len(said) == (len(words) + 1 if words else 0)
    assert all(any(one.startswith(word) for one in said) for word in words)
    assert not said or said[-1] == "See the supplier's safety data sheet."


@pytest.mark.parametrize(
    ("acid", "share", "word"),
    [
        ("phosphoric", 0.09, ""),
        ("phosphoric", 0.10, "IRRITATES eyes and skin"),
        ("phosphoric", 0.25, "CONCENTRATE"),
        ("acetic", 0.05, ""),
        ("acetic", 0.30, "CONCENTRATE"),
        ("lactic", 0.05, "MAY BURN"),
        ("lactic", 0.20, "CONCENTRATE"),
        ("tartaric", 0.10, "IRRITATES eyes:"),
        ("citric", 0.0999, ""),
    ],
)
def test_hazard_words_follow_the_published_limits(acid: str, share: float, word: str) -> None:
    """EU CLP Annex VI (phosphoric, acetic), Annex I tables 3.2.3 and 3.3.3 (5 % that corrodes, 10 % that irritates eyes)."""
    from station.bar.composition import Composition

    said = hazard_words(Composition.of({acid: share, "water": 1.0 - share}))
    assert said[:1] == () if not word else said[0].startswith(word)
