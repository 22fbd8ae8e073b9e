"""Every key of every file: its kind, range and meaning, said once. The reader, the hints and README's table come from here."""

from __future__ import annotations

import re

from station.bar import quantity as q
from station.bar.cautions import ALLERGENS
from station.bar.composition import ACIDS, COMPONENTS
from station.bar.kinds import (
    AMOUNT,
    BOOLEAN,
    DATE,
    IDENTIFIER,
    TEXT,
    Key,
    Rows,
    Table,
    Tables,
    array,
    choice,
    integer,
    number,
    quantity,
    shares,
    span,
)
from station.bar.nouns import BATCHES, FIGURES, KINDS, METHODS, STORES, WHENS
from station.bar.units import COUNTED, OUNCES, SPOONS

FORMAT = 1

_SOLUTES = tuple(name for name in COMPONENTS if name not in {"ethanol", "cation_mol"})
_MASS = quantity(q.mass_g)
_VOLUME = quantity(q.volume)
_METRIC = quantity(q.metric_ml)
_PERCENT = quantity(q.percent)
_KEEPS = quantity(q.keeps)
_NOTES = Key("notes", TEXT, about="anything worth saying")


def _clock(text: str) -> str:
    if not re.fullmatch(r"([01]\d|2[0-3]):[0-5]\d", text):
        raise q.QuantityError(f"“{text}” is no time of day", "write e.g. 05:00")
    return text


def _zone(text: str) -> str:
    from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

    try:
        ZoneInfo(text)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise q.QuantityError(f"“{text}” is no time zone", "write e.g. Europe/Lisbon") from None
    return text


LINE = Table(
    (
        Key("item", IDENTIFIER, required=True, about="a bought item or a stock"),
        Key("amount", AMOUNT, required=True, about="a number and a unit, e.g. 22.5 ml or 2 drops"),
        Key("with", IDENTIFIER, field="dispenser", about="the dispenser that counts it"),
        Key("when", choice(*WHENS), about="batch (in the vessel), service (per glass, before ice) or finish (after dilution)"),
        Key("strained", BOOLEAN, about="its solids are strained out again"),
        Key("note", TEXT),
    )
)

DRINK = Table(
    (
        Key("name", TEXT, required=True),
        Key("method", choice(*METHODS), required=True),
        Key("glass", TEXT),
        Key("style", IDENTIFIER, about="which window of windows.toml"),
        Key("dilution", quantity(q.dilution), about="e.g. 52 % of initial, 34 % of final, or 30 g"),
        Key("batch", choice(*BATCHES), about="how a batch leaves the station: with its water or without"),
        Key("tags", array(TEXT)),
        Key("ounce", choice(*OUNCES), about="this spec's own reading of oz"),
        _NOTES,
        Key("lines", Rows(LINE, least=1), required=True),
    )
)

STOCK = Table(
    (
        Key("name", TEXT, required=True),
        Key("keeps", _KEEPS, about="e.g. 90 days or 36 hours"),
        Key("store", choice(*STORES)),
        Key("method", TEXT),
        Key("evaporated", _PERCENT, about="% of the mass boiled off, as water"),
        Key("held_back", _PERCENT, about="% of the mass left in pots and filters"),
        _NOTES,
        Key("lines", Rows(LINE, least=1), required=True),
    )
)

PACK = Table((Key("size", AMOUNT, required=True), Key("price", number(0, 1e6))))

ITEM = Table(
    (
        Key("name", TEXT, required=True),
        Key("kind", choice(*KINDS), required=True),
        Key("form", choice("liquid", "solid")),
        Key("abv", number(0, 100), field="abv_pct", about="% vol at 20 °C"),
        Key("brix", number(0, 90), about="g sucrose per 100 g"),
        Key("ta", quantity(q.acidity), about="titratable acidity, g/100ml as citric to pH 8.2"),
        Key("ph", number(0, 14)),
        Key("acid_split", shares(ACIDS, 1.0), about="shares of the total acid, by mass"),
        Key("per_100_ml", shares(_SOLUTES, 200), about="g per 100 ml of liquid at 20 °C"),
        Key("per_100_g", shares(_SOLUTES, 100), about="g per 100 g as bought"),
        Key("density", quantity(q.density), field="density_g_per_ml", about="checked against the model"),
        Key(
            "bulk_density", quantity(q.density), field="bulk_g_per_ml", about="of a powder, so that a spoon of it can be weighed"
        ),
        Key("each", _MASS, field="each_g", about="what one piece weighs"),
        Key("allergens", array(choice(*ALLERGENS)), about="[] if the supplier says none; leave out if unknown"),
        Key("packs", Rows(PACK)),
        Key("keeps", _KEEPS),
        Key("store", choice(*STORES)),
        Key("source", TEXT, about="where the figures come from"),
    )
)
ITEMS = Tables(ITEM)

CALIBRATION = Table(
    (
        Key("item", IDENTIFIER, required=True, about="the liquid that was weighed"),
        Key("date", DATE, required=True),
        Key("by", TEXT),
        Key("count", integer(1, 1000), required=True, about="drops, dashes or spoons in one weighing"),
        Key(
            "reads",
            array(_MASS, least=1, most=100),
            required=True,
            field="reads_g",
            about="what the scale read, each time from zero",
        ),
    )
)

MEASURES = Table(
    (
        Key(
            "defaults",
            Table(tuple(Key(unit, _METRIC, about="what the house believes of an uncalibrated one") for unit in COUNTED)),
        ),
        Key(
            "dispensers",
            Tables(
                Table(
                    (
                        Key("name", TEXT, required=True),
                        Key("unit", choice(*COUNTED), required=True),
                        Key("calibrations", Rows(CALIBRATION)),
                    )
                )
            ),
        ),
    )
)

_FIGURE_RANGES = {"abv": (0, 100), "sugar": (0, 100), "acid": (0, 20), "ratio": (0, 200), "ph": (0, 14)}
WINDOWS = Tables(
    Table(
        (
            *(Key(name, span(*_FIGURE_RANGES[name])) for name in FIGURES),
            Key("source", TEXT, required=True, about="whose ranges these are"),
        )
    )
)

HOUSE = Table(
    (
        Key("format", integer(1, 10**6), required=True),
        Key("name", TEXT),
        Key(
            "reads",
            Table(
                (
                    Key("ounce", choice(*OUNCES)),
                    Key("spoons", choice(*SPOONS)),
                    Key("timezone", quantity(_zone)),
                    Key("day_ends", quantity(_clock)),
                )
            ),
        ),
        Key(
            "shows",
            Table(
                (
                    Key("volume", choice("ml", "cl", "oz")),
                    Key("currency", TEXT),
                    Key("standard_drink", _MASS, field="standard_drink_g"),
                )
            ),
        ),
        Key("tolerance", Table((Key("weigh", _PERCENT), Key("weigh_acid", _PERCENT), Key("taste", _PERCENT)))),
        Key(
            "scales",
            Tables(
                Table(
                    (
                        Key("name", TEXT, required=True),
                        Key("capacity", _MASS, required=True, field="capacity_g"),
                        Key("readability", _MASS, required=True, field="readability_g"),
                    )
                )
            ),
        ),
        Key(
            "vessels",
            Tables(
                Table(
                    (
                        Key("name", TEXT, required=True),
                        Key("brim", _VOLUME, required=True),
                        Key("fill", _VOLUME, required=True, about="what it is filled to in service"),
                        Key("tare", _MASS, required=True, field="tare_g"),
                        Key("count", integer(1, 10_000), about="how many there are"),
                    )
                )
            ),
        ),
        Key("jiggers", Table((Key("steps", array(_VOLUME)),))),
    )
)
