"""Every key of every file: its kind, range and meaning, said once. The reader, the hints and README's table come from here."""

from __future__ import annotations

import re

from station.bar import quantity as q
from station.bar.cautions import ALLERGENS
from station.bar.composition import ACIDS, COMPONENTS
from station.bar.hydrates import HYDRATES
from station.bar.kinds import (
    AMOUNT,
    BOOLEAN,
    COLOUR,
    DATE,
    IDENTIFIER,
    TEXT,
    Key,
    Rows,
    Table,
    Tables,
    array,
    by_id,
    choice,
    integer,
    number,
    quantity,
    shares,
    span,
)
from station.bar.nouns import ACIDITIES, BATCHES, FIGURES, KINDS, METHODS, SHARES, STORES, WHENS, YIELDS
from station.bar.theme import LEAST_CONTRAST, MOST_CONTRAST, ROLES
from station.bar.units import COUNTED, OUNCES, SPOONS
from station.science.salts import ACID_SALTS

FORMAT = 1

_SOLUTES = (*(name for name in COMPONENTS if name not in {"ethanol", "cation_mol"}), *ACID_SALTS, "cation_meq")
_MASS = quantity(q.mass_g)
_VOLUME = quantity(q.volume)
_METRIC = quantity(q.metric_ml)
_SHARE = quantity(q.share)
_GIVEN = quantity(q.given)
_SIZE = quantity(q.mass_or_volume)
_TOLERANCE = quantity(q.tolerance)
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
        Key("strained", BOOLEAN, about="its solids are strained out again, its allergens stay"),
        Key("optional", BOOLEAN, about="left out of figures and batches, named on the card"),
        Key("hold_back", _SHARE, about="% a batch leaves out, to be added by taste"),
        Key("batch_amount", _GIVEN, about="what a serve takes of it in a batch, given another way"),
        Key("poured", _VOLUME, about="of a rinse: what goes into the glass"),
        Key("kept", _VOLUME, about="of a rinse: what stays in it"),
        Key("prep", TEXT, about="e.g. muddled, peeled, slapped"),
        Key("note", TEXT),
    )
)

_SHELF = (
    Key("keeps", _KEEPS, about="e.g. 90 days or 36 hours"),
    Key("keeps_in", Table(tuple(Key(place, _KEEPS) for place in (*STORES, "opened"))), about="by place, and once opened"),
    Key("store", choice(*STORES)),
    Key("par", _GIVEN, about="what should be there at the start of a day"),
)
_SAID = (
    Key("may_contain", array(choice(*ALLERGENS)), about="traces the supplier or the house warns of"),
    Key("flavour", TEXT),
    Key("cautions", array(TEXT), about="the house's own, shown with the others"),
    Key("source", TEXT, about="where the figures come from"),
    Key("invented", BOOLEAN, about="made up, for a demonstration"),
)

MEASURED = Table(
    (
        Key("abv", number(0, 100), field="abv_pct"),
        Key("brix", number(0, 90)),
        Key("ta", quantity(q.acidity)),
        Key("ph", number(0, 14)),
    )
)

FRUIT = Table(
    (
        Key("item", IDENTIFIER, required=True, about="the fruit, an item with packs by count"),
        Key("low", quantity(q.metric_ml), required=True, field="low_ml", about="the least one gives"),
        Key("usual", quantity(q.metric_ml), required=True, field="usual_ml", about="what one gives as a rule"),
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
        Key("total", _SIZE, about="what the lines in parts come to, e.g. 90 ml"),
        Key("washline", _VOLUME, about="liquid the glass takes to its line with its ice in: a bare top fills up to it"),
        Key("ice", TEXT),
        Key("strain", TEXT),
        Key("steps", array(TEXT)),
        Key("tuned_by", TEXT),
        Key("tuned_on", DATE),
        Key("price", number(0, 1e6), about="on the menu, in the house's currency"),
        Key("retired", BOOLEAN, about="off the list, kept for what was made from it"),
        Key("cautions", array(TEXT), about="the house's own, shown with the others"),
        Key("source", TEXT),
        Key("invented", BOOLEAN, about="made up, for a demonstration"),
        _NOTES,
        Key("lines", Rows(LINE, least=1), required=True),
    )
)

STOCK = Table(
    (
        Key("name", TEXT, required=True),
        Key("total", _SIZE, about="what the lines in parts come to, e.g. 1 kg or 1 l"),
        Key("evaporated", _SHARE, about="% of the mass boiled off, as water"),
        Key("held_back", _SHARE, about="% of the mass left in pots and filters"),
        Key("yield", _SIZE, field="measured_yield", about="what it came to on the scale or in the jug"),
        Key("measured", MEASURED, about="what instruments said of it"),
        *_SHELF,
        Key("keeps_reason", TEXT, about="why it may outlive what went into it: the house's decision"),
        Key("takes", _KEEPS, about="how long making it takes, e.g. 2 days"),
        Key("method", TEXT),
        Key("steps", array(TEXT)),
        *_SAID,
        _NOTES,
        Key("lines", Rows(LINE, least=1), required=True),
    )
)

PACK = Table((Key("size", _GIVEN, required=True), Key("price", number(0, 1e6))))

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
        Key("hydrate", choice(*HYDRATES), about="what a crystal with its water is, in place of per_100_g"),
        Key("assay", shares(ACIDS, 100), about="% w/w of the acid by the supplier's sheet, in place of per_100_g"),
        Key("density", quantity(q.density), field="density_g_per_ml", about="checked against the model"),
        Key(
            "bulk_density", quantity(q.density), field="bulk_g_per_ml", about="of a powder, so that a spoon of it can be weighed"
        ),
        Key("each", _MASS, field="each_g", about="what one piece weighs"),
        Key("allergens", array(choice(*ALLERGENS)), about="[] if the supplier says none; leave out if unknown"),
        Key("sulphites", quantity(q.mg_per_l), field="sulphites_mg_per_l", about="as SO2, e.g. 30 mg/l"),
        Key("carbonated", BOOLEAN, about="its figures are of the degassed liquid"),
        Key("from", FRUIT, field="fruit", about="what a juice is pressed from"),
        Key("packs", Rows(PACK)),
        *_SHELF,
        *_SAID,
        _NOTES,
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

ORDER = Table(
    (
        Key("name", TEXT, required=True),
        Key("date", DATE, required=True),
        Key("guests", integer(1, 1_000_000), required=True),
        Key("starts", quantity(_clock), about="when the event starts; 18:00 unless said"),
        Key("ready", _KEEPS, about="how long before the start all stands ready; 2 hours unless said"),
        Key("hours", number(0.25, 72)),
        Key("first_hour", number(0, 20), about="drinks per guest in the first hour, then per_hour"),
        Key("per_hour", number(0, 20)),
        Key("drinks_per_guest", number(0, 50), about="in place of first_hour and per_hour"),
        Key("mixed_share", number(0, 1), about="of all drinks; the shares below are within it"),
        Key("shares", choice(*SHARES), about="how shares that do not sum to 1 are meant"),
        Key("on_hand", by_id(_GIVEN), about="what need not be bought"),
        Key("lead", by_id(_KEEPS), about="how long making a stock takes here, or an item takes to come"),
        Key("overage", _SHARE, about="made beyond what is expected; a number of serves is made as it is"),
        Key("waste", _SHARE, about="of what is bought, what stays in bottles and on tools"),
        Key("fruit", choice(*YIELDS), about="the yield fruit is bought at; low unless said"),
        Key("garnish_spoilage", _SHARE, about="garnishes bought beyond what is served; 15 % unless said"),
        Key("ice_per_guest", _MASS, field="ice_per_guest_g", about="680 g to 907 g unless said"),
        Key("water_per_guest", _METRIC, field="water_per_guest_ml", about="drinking water; 500 ml unless said"),
        Key("glasses_per_guest", number(0, 50), about="4 unless said"),
        _NOTES,
        Key("invented", BOOLEAN, about="made up, for a demonstration"),
        Key(
            "pours",
            Rows(
                Table(
                    (
                        Key("spec", IDENTIFIER, required=True, about="a drink"),
                        Key("share", number(0, 1), about="of the mixed drinks"),
                        Key("serves", integer(1, 10_000_000), about="in place of share: comes off first"),
                        Key("batch", choice(*BATCHES), about="with its water or without, here"),
                        Key("into", IDENTIFIER, about="the kind of vessel it is filled into"),
                    )
                ),
                least=1,
            ),
            required=True,
        ),
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
                    Key("acidity", choice(*ACIDITIES), about="a second TA, in the house's own basis"),
                    Key("currency", TEXT),
                    Key("standard_drink", _MASS, field="standard_drink_g"),
                    Key("theme", IDENTIFIER, about="the colours: one of the program's, or of the library's own themes/"),
                )
            ),
        ),
        Key("cold", Table((Key("freezer", quantity(q.freezer_c), field="freezer_c", about="what the freezer is set to"),))),
        Key("tolerance", Table((Key("weigh", _TOLERANCE), Key("weigh_acid", _TOLERANCE), Key("taste", _TOLERANCE)))),
        Key(
            "scales",
            Tables(
                Table(
                    (
                        Key("name", TEXT, required=True),
                        Key("capacity", _MASS, required=True, field="capacity_g"),
                        Key("readability", _MASS, required=True, field="readability_g"),
                        Key("repeatability", _MASS, field="repeatability_g", about="sd of one weight put on again and again"),
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

THEME = Table(
    (
        Key("about", TEXT, required=True, about="one line, shown where themes are chosen"),
        *(Key(role, COLOUR, required=True, about="#rrggbb, or in all of them a terminal colour") for role in ROLES),
        Key("contrast", number(LEAST_CONTRAST, MOST_CONTRAST), about="the least its texts have, 4.5 unless said (WCAG 2.2)"),
    )
)
