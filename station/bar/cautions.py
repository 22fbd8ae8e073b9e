"""Allergen names and the texts of cautions, each with its source. They orient; the supplier's sheet and local code decide."""

from __future__ import annotations

from dataclasses import dataclass

# EU Regulation 1169/2011 Annex II, with the US FASTER Act's nine where they split finer (wheat, shellfish).
ALLERGENS = (
    "celery",
    "crustaceans",
    "egg",
    "fish",
    "gluten",
    "lupin",
    "milk",
    "molluscs",
    "mustard",
    "nuts",
    "peanut",
    "sesame",
    "soy",
    "sulphites",
    "wheat",
)
UNKNOWN = "?"


@dataclass(frozen=True, slots=True)
class Caution:
    """A sentence a person must see. `word` is STOP (acknowledge first), CHECK or NOTE; `about` names the line or item."""

    code: str
    word: str
    text: str
    source: str
    about: str = ""


def caution(code: str, about: str = "", **values: str) -> Caution:
    """The caution of that code, its text filled in. KeyError on an unknown code."""
    word, text, source = _TEXTS[code]
    return Caution(code, word, text.format(**values), source, about)


_CLP = "EU CLP Annex VI (harmonised entries); the supplier's safety data sheet decides"
_HOUSE = "common practice, no source"

_TEXTS = {
    "concentrate-make": (
        "STOP",
        "{name} is {strength} % w/w {acid}: a corrosive concentrate. Eye protection and gloves; add acid to water, slowly, "
        "never water to acid; label before pouring; see the supplier's safety data sheet.",
        _CLP,
    ),
    "acid-strong": (
        "CHECK",
        "{name} is {strength} % w/w acid: stronger than a drink line usually is. Is this the stock that was meant?",
        _HOUSE,
    ),
    "serve-acid": ("CHECK", "One serve holds {grams} g acid as citric, over 2 g. Is the amount right?", _HOUSE),
    "serve-salt": ("CHECK", "One serve holds {grams} g salt, over 1 g. Is the amount right?", _HOUSE),
    "serve-window": ("CHECK", "{figure} is {value}, over twice the window's upper end of {high}. Is the amount right?", _HOUSE),
    "egg": (
        "CHECK",
        "Holds egg: use pasteurised egg, or follow the consumer-advisory rule that applies where you work; "
        "same shift, at 5 °C or below.",
        "FDA Food Code 3-302.13",
    ),
    "acid-powder": (
        "CHECK",
        "{name}: acid dust and strong solutions hurt eyes. Eye protection; weigh the liquid first, then add the acid to it; "
        "see the supplier's safety data sheet.",
        _CLP,
    ),
    "shake-diluted": (
        "CHECK",
        "This batch is DILUTED. Shaking or stirring it on ice adds water a second time; pour it cold, without ice work.",
        _HOUSE,
    ),
    "solubility-unknown": (
        "NOTE",
        "How much {acid} dissolves so cold is not known here: {reason}. Look for crystals.",
        _HOUSE,
    ),
    "sugar-crystals": (
        "NOTE",
        "At {t} °C sugar stays dissolved to {limit} °Bx; this is {brix} °Bx and may throw crystals: warm it and stir.",
        "Bubník & Kadlec in Mathlouthi & Reiser, Sucrose (1995)",
    ),
    "tartrate": (
        "CHECK",
        "Tartaric acid with the potassium of juice or wine: at {t} °C about {times} times what stays dissolved. It can throw "
        "crystals (cream of tartar) and lose acid; taste it again after a night in the cold.",
        "Berg & Keefer 1958, from memory, not checked in the paper; all strong cation taken as potassium",
    ),
    "tartrate-unknown": (
        "NOTE",
        "Tartaric acid with juice or wine may throw crystals in the cold; {reason}.",
        "Berg & Keefer 1958, from memory, not checked in the paper",
    ),
    "lactic-ester": (
        "NOTE",
        "{name}: part of lactic acid this strong is its own ester. The assay counts all of it; fresh from the bottle it may "
        "titrate low, and comes up over days in water.",
        _HOUSE,
    ),
    "gas": (
        "CHECK",
        "{names} would go flat in a batch: add it last, cold, at the glass, or carbonate the batch in a vessel rated for it.",
        _HOUSE,
    ),
    "order-alcohol": (
        "NOTE",
        "{each} standard drinks of {grams} alcohol for each guest in the drinks planned here, {hours} an hour, "
        "if all drink alike; some drink none and others twice that. Have water and food out; whom one may serve, "
        "and how much, is for local rules and whoever holds the licence.",
        "standard drinks are 8 to 20 g of ethanol by country; the rest " + _HOUSE,
    ),
    "order-past": ("CHECK", "{date} has passed.", "the order's date"),
    "order-vessels": ("CHECK", "{name}: {short}.", "vessels of station.toml"),
    "order-mixing": (
        "CHECK",
        "{name} is mixed in a {vessel}, and all of those stay full of other drinks: mix it before they are filled.",
        "vessels of station.toml",
    ),
    "order-scale": (
        "CHECK",
        "{name}: no scale bears a {vessel} of {grams} gross; fill it on a larger one.",
        "scales of station.toml",
    ),
    "order-keeps": ("CHECK", "{name} {note}.", "the house's own keeps"),
    "order-price": ("CHECK", "{names}: no price, so the cost is at least what is told.", "packs of ingredients"),
    "order-pack": ("CHECK", "{names}: no pack that says how much it holds; buy what is needed.", "packs of ingredients"),
    "order-unshared": ("NOTE", "{count} of the mixed drinks expected are of none of these.", "the order's counts and shares"),
    "freezer-ice": (
        "CHECK",
        "{name}: ice forms from {freezing} °C; at {freezer} °C some {share} % of its water is ice in time, slush. Ice takes more "
        "room than water: leave {room} % of each vessel empty, or set the freezer warmer.",
        "CRC Handbook 102nd ed. for ethanol, sugar and acid in water, added up: an estimate to 1 °C",
    ),
    "freezer-unknown": (
        "CHECK",
        "{name}: where ice forms in it is not known. Look after a night whether it still pours.",
        "CRC Handbook 102nd ed. does not reach so far",
    ),
    "permission": (
        "NOTE",
        "Mixing ahead may need permission where you work; ask your licensing authority. Never fill an emptied spirit bottle.",
        "27 CFR 31.233 and 26 USC 5301(c) in the US; local rules differ",
    ),
    "keeping": (
        "NOTE",
        "How long it keeps is the house's word, agreed with its food authority. Model codes ask for time and temperature control "
        "of what is not heated and packaged unless its pH is under 4.2 or it is dry enough; a pH is no promise about keeping.",
        "FDA Food Code 1-201.10(B), table B; 3-501.17",
    ),
    "allergen-unknown": (
        "CHECK",
        "Allergens of {names} are not known: ask the supplier before anyone is told anything.",
        "EU Regulation 1169/2011 Annex II",
    ),
    "acid-unbuffered": (
        "NOTE",
        "Acid of {names} is counted from the stated TA alone: no pH is stated, so what salts bind on top of it is not known.",
        "AOAC 942.15 measures free acid",
    ),
}
