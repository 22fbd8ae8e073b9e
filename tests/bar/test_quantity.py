"""Quantities as files state them, and the sentence for each that is none."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from station.bar import quantity as q


@pytest.mark.parametrize(
    ("parse", "text", "value"),
    [
        (q.percent, "2 %", 0.02),
        (q.percent, "0,5%", 0.005),
        (q.mass_g, "25 g", 25.0),
        (q.mass_g, "1.2 kg", 1200.0),
        (q.mass_g, "1 oz wt", 28.349523125),
        (q.metric_ml, "0.8 ml", 0.8),
        (q.metric_ml, "1 cl", 10.0),
        (q.keeps, "1 day", q.Keeps(24, True)),
        (q.keeps, "36 hours", q.Keeps(36, False)),
        (q.keeps, "2 weeks", q.Keeps(336, True)),
        (q.density, "1.030 g/ml", 1.030),
        (q.acidity, "6.0 g/100ml", q.Acidity(6.0)),
        (q.acidity, "6.5 g/l as tartaric to pH 7.0", q.Acidity(0.65, "tartaric", 7.0)),
        (q.dilution, "52 % of initial", q.StatedDilution(0.52, "initial")),
        (q.dilution, "34% of final", q.StatedDilution(0.34, "final")),
        (q.dilution, "30 g", q.StatedDilution(30.0, "g")),
    ],
)
def test_a_quantity_is_read(parse: Callable[[str], object], text: str, value: object) -> None:
    assert parse(text) == (pytest.approx(value) if isinstance(value, float) else value)


@pytest.mark.parametrize(
    ("parse", "text", "said"),
    [
        (q.percent, "2", "“2” is no percentage (write e.g. 2 %)"),
        (q.percent, "-2 %", "“-2 %” is no percentage (write e.g. 2 %)"),
        (q.percent, "nan %", "“nan %” is no percentage (write e.g. 2 %)"),
        (q.mass_g, "25 ml", "“25 ml” is no mass (write e.g. 25 g)"),
        (q.mass_g, "1,500 g", "1,500 can be read two ways: 1.5 g or 1500 g? (write it without the comma)"),
        (q.volume, "25 g", "“25 g” is no volume (write e.g. 1.5 l)"),
        (q.metric_ml, "1 oz", "“1 oz” is in no metric unit (write e.g. 0.8 ml)"),
        (q.keeps, "soon", "“soon” is no length of time (write e.g. 36 hours or 90 days)"),
        (q.keeps, "0 days", "“0 days” is out of range (write 1 hour to 3650 days)"),
        (q.keeps, "9999 days", "“9999 days” is out of range (write 1 hour to 3650 days)"),
        (q.density, "1030 g/ml", "a density of 1030 g/ml is out of range (write 0.5 to 2 g/ml)"),
        (q.density, "1.03", "“1.03” is no density (write e.g. 1.030 g/ml)"),
        (q.acidity, "6 %", "“6 %” is no acidity (write e.g. 6.0 g/100ml, or 6.5 g/l as tartaric)"),
        (q.acidity, "6 g/l as lemon", "“6 g/l as lemon” is no acidity (write e.g. 6.0 g/100ml, or 6.5 g/l as tartaric)"),
        (q.acidity, "60 g/100ml", "an acidity of 60 g/100 ml is out of range (write 0 to 30 g/100ml)"),
        # Basis trap: 25 % of final is 33 % of initial, and 25 % of initial 20 % of final.
        (
            q.dilution,
            "25 %",
            "“25 %” has no basis: of initial = 20 % of final, of final = 33.3 % of initial (write e.g. 52 % of initial)",
        ),
        (q.dilution, "100 % of final", "“100 % of final” is out of range (write e.g. 52 % of initial)"),
    ],
)
def test_what_is_no_such_quantity_is_refused_in_one_sentence(parse: Callable[[str], object], text: str, said: str) -> None:
    with pytest.raises(q.QuantityError) as refused:
        parse(text)
    assert str(refused.value) == said


PARSERS = (q.percent, q.mass_g, q.volume, q.metric_ml, q.keeps, q.density, q.acidity, q.dilution)


@given(st.sampled_from(PARSERS), st.one_of(st.text(max_size=20), st.text(alphabet="0123456789.,% ginoftalhdys/mp", max_size=16)))
@settings(max_examples=100, deadline=None)
def test_any_text_is_a_quantity_or_a_quantity_error(parse: Callable[[str], object], text: str) -> None:
    try:
        parse(text)
    except q.QuantityError as error:
        assert error.reason and error.remedy


@pytest.mark.parametrize("text", ["1 day", "90 days", "36 hours", "1 hour"])
def test_how_long_something_keeps_is_said_as_it_was_written(text: str) -> None:
    assert str(q.keeps(text)) == text


@pytest.mark.parametrize(("text", "celsius"), [("-18 °C", -18.0), ("- 12,5 c", -12.5), ("−20°C", -20.0), ("0 °C", 0.0)])
def test_a_freezer_s_temperature(text: str, celsius: float) -> None:
    assert q.freezer_c(text) == celsius


@pytest.mark.parametrize("text", ["18 °C", "-61 °C", "-18", "-18 °F"])
def test_what_is_no_freezer_is_refused(text: str) -> None:
    with pytest.raises(q.QuantityError):
        q.freezer_c(text)
