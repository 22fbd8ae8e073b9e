"""Nouns from a file's checked values. What the schema cannot say (sums, pairs, one key forbidding another) is said here."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from station.bar import units
from station.bar.amount import Amount
from station.bar.composition import ACIDS, SUGARS
from station.bar.hydrates import HYDRATES
from station.bar.nouns import (
    Calibration,
    Dispenser,
    Fruit,
    House,
    Item,
    Line,
    Measured,
    Order,
    OrderPour,
    Pack,
    Scale,
    Spec,
    Stock,
    Vessel,
    Window,
)
from station.bar.theme import ROLES, TERMINAL_COLOURS, Theme, too_faint
from station.files.checker import Finding, Path
from station.science.salts import ACID_SALTS

Findings = list[Finding]


def house(values: Mapping[str, Any], findings: Findings) -> House:
    reads, shows, cold, tolerance = (values.get(name, {}) for name in ("reads", "shows", "cold", "tolerance"))
    read = House(**{name: values[name] for name in ("name",) if name in values}, **reads, **shows, **cold, **tolerance)
    return House(
        **{name: getattr(read, name) for name in House.__slots__ if name not in {"jigger_ml", "scales", "vessels"}},
        jigger_ml=tuple(sorted(_ml(read, step) for step in values.get("jiggers", {}).get("steps", ()))),
        scales={name: _scale(name, one, findings) for name, one in values.get("scales", {}).items()},
        vessels={name: _vessel(name, one, read, findings) for name, one in values.get("vessels", {}).items()},
    )


def item(name: str, values: Mapping[str, Any], file: str, findings: Findings, path: Path) -> Item:
    rest = {key: value for key, value in values.items() if key not in {"packs", "fruit", "hydrate", "assay"}}
    findings += [Finding((*path, key), "contradiction", message, "keep one") for key, message in _said_twice(values)]
    if "hydrate" in values:
        rest |= {"per_100_g": HYDRATES[values["hydrate"]], "form": "solid"}
    elif "assay" in values:
        rest["per_100_g"] = _assayed(values["assay"], values.get("form", "liquid"))
    packs = tuple(Pack(**pack) for pack in values.get("packs", ()))
    fruit = values.get("fruit")
    whole = fruit if fruit and {"item", "low_ml", "usual_ml"} <= fruit.keys() else None
    made = Item(id=name, file=file, packs=packs, fruit=Fruit(**whole) if whole else None, **rest)
    for code, key, message, remedy in _item_faults(made):
        findings.append(Finding((*path, key), code, message, remedy))
    return made


def _said_twice(values: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Purity is said once: as shares, by the hydrate, or by the assay."""
    said = [key for key in ("per_100_g", "per_100_ml", "hydrate", "assay") if key in values]
    return [(key, f"{said[0]} says the purity already") for key in said[1:] if {key, said[0]} & {"hydrate", "assay"}]


def _assayed(assay: Mapping[str, float], form: str) -> dict[str, float]:
    """100 g as bought: the acid the sheet states, in water where it is a liquid, in what carries it where it is a powder."""
    return {**assay, "water" if form == "liquid" else "other": 100.0 - sum(assay.values())}


def stock(name: str, values: Mapping[str, Any], file: str, findings: Findings) -> Stock:
    measured = Measured(**values["measured"]) if "measured" in values else None
    made = Stock(id=name, file=file, **{**values, "lines": _lines(values["lines"]), "measured": measured})
    _parts_need_a_total(made, findings)
    made_up = [place for place, line in enumerate(made.lines) if line.amount.role == "to"]
    for place in made_up[1:]:
        path = ("lines", place, "amount")
        findings.append(Finding(path, "contradiction", "another line is made up to a total already", "keep one"))
    return made


def spec(name: str, values: Mapping[str, Any], file: str, revision: str, findings: Findings) -> Spec:
    made = Spec(id=name, file=file, revision=revision, **{**values, "lines": _lines(values["lines"])})
    if made.method == "blend" and made.dilution is None:
        findings.append(
            Finding(
                ("dilution",), "missing-key", "a blended drink's dilution is its own", "add e.g. dilution = “90 % of initial”"
            )
        )
    _parts_need_a_total(made, findings)
    for place, line in enumerate(made.lines):
        path = ("lines", place, "amount")
        if line.amount.role == "to":
            findings.append(Finding(path, "bad-quantity", "“to” is for stocks", "write how much goes in"))
        if line.amount.value is None and not _fills_up(line, made):
            message = f"“{line.amount.text}” does not say how much"
            findings.append(Finding(path, "bad-quantity", message, f"write e.g. {line.amount.role} 60 ml"))
    return made


def order(name: str, values: Mapping[str, Any], file: str, findings: Findings) -> Order:
    made = Order(id=name, file=file, **{**values, "pours": tuple(OrderPour(**one) for one in values["pours"])})
    by_the_hour = made.first_hour is not None or made.per_hour is not None
    if by_the_hour and made.drinks_per_guest is not None:
        message = "first_hour and per_hour say it already"
        findings.append(Finding(("drinks_per_guest",), "contradiction", message, "keep one way of reckoning"))
    if by_the_hour and made.hours is None:
        findings.append(Finding(("hours",), "missing-key", "per_hour needs the hours", "add e.g. hours = 5"))
    for place, one in enumerate(made.pours):
        if (one.share is None) == (one.serves is None):
            said = "neither share nor serves is said" if one.share is None else "share and serves are both said"
            findings.append(Finding(("pours", place), "contradiction", said, "give one of the two"))
    return made


def _fills_up(line: Line, spec: Spec) -> bool:
    """Whether an amount without a number says enough: a top to the washline, a rinse of the usual size."""
    return line.amount.role == "rinse" or (line.amount.role == "top" and spec.washline is not None)


def _parts_need_a_total(owner: Spec | Stock, findings: Findings) -> None:
    for place, line in enumerate(owner.lines):
        if line.amount.measures == "part" and owner.total is None:
            remedy = 'add e.g. total = "90 ml"'
            findings.append(Finding(("lines", place, "amount"), "missing-key", "parts of what? there is no total", remedy))


def dispenser(name: str, values: Mapping[str, Any]) -> Dispenser:
    calibrations = tuple(Calibration(**one) for one in values.get("calibrations", ()))
    return Dispenser(name, values["name"], values["unit"], calibrations)


def window(name: str, values: Mapping[str, Any]) -> Window:
    return Window(name, {key: value for key, value in values.items() if key != "source"}, values["source"])


def line_of(values: Mapping[str, Any]) -> Line:
    """A line, going in when it says, else when its amount does."""
    return Line(**{"when": goes_in(values["amount"]), **values})


def goes_in(amount: Amount) -> str:
    """When a line of that amount goes in if it does not say: a top, a float and a rinse at the finish."""
    return "finish" if amount.role in {"top", "float", "rinse"} else "batch"


def _lines(rows: tuple[dict[str, Any], ...]) -> tuple[Line, ...]:
    return tuple(map(line_of, rows))


def _ml(read: House, amount: Amount) -> float:
    return (amount.value or 0.0) * units.ml_per(amount.unit, read.ounce, read.spoons)


def _scale(name: str, values: Mapping[str, Any], findings: Findings) -> Scale:
    if values["readability_g"] > values["capacity_g"]:
        findings.append(
            Finding(("scales", name, "readability"), "out-of-range", "the readability is over the capacity", "swap the two")
        )
    return Scale(name, **values)


def theme(name: str, values: Mapping[str, Any], findings: Findings) -> Theme:
    made = Theme(id=name, **values)
    named = [role for role in ROLES if getattr(made, role) in TERMINAL_COLOURS]
    if named and len(named) < len(ROLES):
        message = "a theme is all #rrggbb or all terminal colours: how the two stand to each other is not known"
        findings.append(Finding((named[0],), "contradiction", message, "give every colour in the same way"))
        return made
    for ink, paper, ratio in too_faint(made):
        message = f"on {paper} its contrast is {ratio:.1f} to 1, under {made.contrast:g} (WCAG 2.2)"
        findings.append(Finding((ink,), "too-faint", message, "make one of the two lighter or darker"))
    return made


def _vessel(name: str, values: Mapping[str, Any], read: House, findings: Findings) -> Vessel:
    brim, fill = _ml(read, values["brim"]), _ml(read, values["fill"])
    if fill > brim:
        findings.append(Finding(("vessels", name, "fill"), "out-of-range", "the working fill is over the brim", "lower the fill"))
    return Vessel(name, values["name"], brim, fill, values["tare_g"], values.get("count", 1))


def _item_faults(item: Item) -> list[tuple[str, str, str, str]]:
    shares = {**item.per_100_ml, **item.per_100_g}
    given_acids, given_sugars = [name for name in ACIDS if name in shares], [name for name in SUGARS if name in shares]
    bound = [name for name in shares if name in ACID_SALTS or name == "cation_meq"]
    checks = (
        (bool(item.per_100_ml and item.per_100_g), "per_100_g", "per_100_ml says it already", "keep one of the two"),
        (bool(item.ta and given_acids), "ta", "the acids are listed as well", "keep ta with acid_split, or the list"),
        (bool(item.ta and not item.acid_split), "ta", "it does not say which acids", "add e.g. acid_split = { citric = 1 }"),
        (bool(item.ta and bound), "ta", "the salts or the cation of acids are listed as well", "keep ta with ph, or the list"),
        (item.ph is not None and bool(bound), "ph", "the salts or the cation of acids say it already", "keep one"),
        (item.ph is not None and not item.ta and not given_acids, "ph", "there is no acid to give it", "add ta, or the acids"),
        (bool(item.acid_split and not item.ta), "acid_split", "there is no ta to split", "add ta, or remove it"),
        (item.brix is not None and bool(given_sugars), "brix", "the sugars are listed as well", "keep one of the two"),
        (item.form == "solid" and bool(item.per_100_ml or item.ta), "form", "a solid has no 100 ml", "use per_100_g"),
        (item.form == "solid" and item.abv_pct is not None, "abv", "a solid has no ABV", "remove it"),
        (sum(item.per_100_g.values()) > 100.0 + 1e-9, "per_100_g", "it holds more than 100 g", "lower a figure"),
        (bool(item.ta and not 5.0 <= (item.ta.end_ph or 8.2) <= 10.0), "ta", "the end point is no end point", "pH 5 to 10"),
    )
    faults = [("contradiction", key, message, remedy) for wrong, key, message, remedy in checks if wrong]
    if item.acid_split and abs(sum(item.acid_split.values()) - 1.0) > 0.005:
        total = f"the shares sum to {sum(item.acid_split.values()):g}"
        faults.append(("out-of-range", "acid_split", total, "make them sum to 1"))
    return faults
