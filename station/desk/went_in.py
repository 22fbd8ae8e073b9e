"""What a person says went into a mix so far: amounts, as the card asked, or what only the scale knows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from station.bar import say
from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.bar.nouns import WATER, House, Library
from station.bar.units import g_per
from station.calc.answers import Batched
from station.calc.batch import Mix
from station.calc.blend import Blends
from station.calc.scales import VESSEL
from station.calc.weigh import grams_of
from station.desk.asked import some
from station.desk.look import nearest

UNLABELLED = "unlabelled"
AS_ASKED, AS_READ, BY_SCALE, NOT_YET = "as asked", "as read", "by the scale", "not yet"


@dataclass(frozen=True, slots=True)
class Given:
    """What a person says went in: grams, None where only the scale knows; `asked` as the card asked for it."""

    item: str
    g: float | None = None
    asked: bool = False


def given(text: str, blends: Blends) -> Given:
    """`lime-juice=620 g`, `lime-juice=?` where only the scale knows, `lime-juice` as asked. Raises AmountError, CannotAnswer."""
    item, equals, amount = (part.strip() for part in text.partition("="))
    if not equals:
        return Given(item, asked=True)
    if amount == "?":
        return Given(item)
    if item == UNLABELLED:
        return Given(item, 0.0)
    refuse_nameless(blends.library, item)
    return Given(item, grams_of(some(amount, item, "mis-pour"), item, blends.stuff, blends.library))


def net_reading(text: str, gross: str, card: Batched, house: House) -> float | None:
    """Grams of a reading of the tared vessel, or of vessel and all, its tare taken off. Raises AmountError, CannotAnswer."""
    if not (text or gross):
        return None
    read = some(text or gross, "the reading", "mis-pour")
    if read.measures != "mass":
        raise AmountError(text or gross, 0, "a scale reads a mass", "write e.g. 1240 g")
    grams = (read.value or 0.0) * g_per(read.unit)
    if text:
        return grams
    vessel = house.vessels.get(card.mixes[0].vessel or "")
    if vessel is None:
        raise CannotAnswer("the mix has no vessel of the house's, so its tare is not known", "tare it and use --reading")
    return grams - vessel.tare_g


def known_grams(library: Library, mix: Mix, ins: Sequence[Given], reading_g: float | None, tipped: bool) -> dict[str, float]:
    """Grams of each item that is in, the unknown one from the scale. Raises CannotAnswer."""
    wanted = wanted_by_item(mix)
    known: dict[str, float] = {}
    unknown = [one.item for one in ins if one.g is None and not one.asked]
    for one in ins:
        if one.item in known or unknown.count(one.item) > 1 or (one.item in unknown and one.g is not None):
            raise CannotAnswer(f"{one.item} is said twice", "say each once, with all of it")
        if one.asked and one.item not in wanted:
            raise CannotAnswer(f"{one.item} is in no line of this card", f"say how much of it went in: {one.item}=… g")
        if one.asked or one.g is not None:
            known[one.item] = wanted[one.item] if one.asked else one.g or 0.0
    if len(unknown) > 1:
        raise CannotAnswer(f"{' and '.join(unknown)} are both unknown", "the scale tells one unknown amount; give the others")
    if unknown and reading_g is None:
        raise CannotAnswer(f"how much {unknown[0]} went in is not known", "say what the scale reads with --reading")
    if unknown and reading_g is not None:
        known[unknown[0]] = _by_difference(library, mix, known, unknown[0], reading_g, tipped)
    elif reading_g is not None:
        _agree(library, mix, known, reading_g, tipped)
    return known


def _by_difference(library: Library, mix: Mix, known: dict[str, float], item: str, reading_g: float, tipped: bool) -> float:
    place = VESSEL if tipped else _into(mix, item)
    rest = sum(grams for name, grams in known.items() if tipped or _into(mix, name) == place)
    grams = reading_g - rest
    if grams <= 0.0:
        raise CannotAnswer(
            f"the scale reads {say.grams(reading_g)} and what is known to be in weighs {say.grams(rest)}: nothing is left for "
            f"{library.name_of(item)}",
            "check the tare and the amounts",
        )
    return grams


def _agree(library: Library, mix: Mix, known: dict[str, float], reading_g: float, tipped: bool) -> None:
    """A reading beside known amounts must be their sum, as far as that scale tells. Raises CannotAnswer."""
    whole = sum(grams for name, grams in known.items() if tipped or _into(mix, name) == VESSEL)
    scale = next((line.scale for line in mix.lines if line.into == VESSEL), "")
    step = library.house.scales[scale].readability_g if scale in library.house.scales else 1.0
    if abs(whole - reading_g) > max(2.0 * step, library.house.weigh * reading_g):
        raise CannotAnswer(
            f"what is said to be in weighs {say.grams(whole)}, the scale reads {say.grams(reading_g)}",
            "say which amount is unknown, e.g. lime-juice=?",
        )


def how_known(ins: Sequence[Given], mix: Mix) -> tuple[str, ...]:
    """How each line's amount is known, then those of what has no line."""
    how = {one.item: AS_ASKED if one.asked else BY_SCALE if one.g is None else AS_READ for one in ins}
    names = [line.item for line in mix.lines]
    return tuple(how.get(name, NOT_YET) for name in [*names, *(name for name in how if name not in names)])


def wanted_by_item(mix: Mix) -> dict[str, float]:
    """Grams of each item that go on the scale for the mix, over all of its lines."""
    wanted: dict[str, float] = {}
    for line in mix.lines:
        wanted[line.item] = wanted.get(line.item, 0.0) + line.weigh_g
    return wanted


def _into(mix: Mix, item: str) -> str:
    return next((line.into for line in mix.lines if line.item == item), VESSEL)


def refuse_nameless(library: Library, item: str) -> None:
    """Raises CannotAnswer for an item nobody knows, with the nearest."""
    if item in library.items or item in library.stocks or item == WATER:
        return
    remedy = nearest(item, [*library.items, *library.stocks], f"what has no label is {UNLABELLED}")
    raise CannotAnswer(f"there is no item or stock {item}", remedy)
