"""What a person says went into a mix so far: amounts, as the card asked, or what only the scale knows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from station.bar import say
from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.bar.nouns import WATER, Library
from station.bar.units import g_per
from station.calc.answers import Batched
from station.calc.batch import Mix
from station.calc.blend import Blends
from station.calc.scales import VESSEL
from station.calc.weigh import grams_of
from station.desk.asked import some
from station.desk.look import nearest
from station.desk.on_hand_text import called

UNLABELLED = "unlabelled"
# Of a line the card lets down with water: that weaker one, or the item itself.
_LET_DOWN = {"let down": True, "neat": False}
AS_ASKED, AS_READ, BY_SCALE, NOT_YET = "as asked", "as read", "by the scale", "not yet"


@dataclass(frozen=True, slots=True)
class Given:
    """What a person says went in: grams, None where only the scale knows; `asked` as the card asked for it.

    `let_down` is whether the grams are of the weaker solution the card weighs, or of the item itself; None if not said.
    """

    item: str
    g: float | None = None
    asked: bool = False
    let_down: bool | None = None


def given(text: str, blends: Blends) -> Given:
    """`lime-juice=620 g`, `lime-juice=?` where only the scale knows, `lime-juice` as asked; `saline-20=2 g let down` or `neat`.

    Raises AmountError, CannotAnswer.
    """
    name, equals, amount = (part.strip() for part in text.partition("="))
    item = item_called(name, blends.library)
    if not equals:
        return Given(item, asked=True)
    if amount == "?":
        return Given(item)
    if item == UNLABELLED:
        return Given(item, 0.0)
    refuse_nameless(blends.library, item)
    word = next((word for word in _LET_DOWN if amount.endswith(f" {word}")), "")
    grams = grams_of(some(amount.removesuffix(word).strip(), item, "mis-pour"), item, blends.stuff, blends.library)
    return Given(item, grams, let_down=_LET_DOWN.get(word))


def item_called(text: str, library: Library) -> str:
    """The id of what is called so, by id or name, where only one thing is; else the text itself."""
    found = called(text, [*library.items, *library.stocks], library)
    return found[0] if len(found) == 1 else text


def net_reading(
    text: str, gross: str, card: Batched, library: Library, ins: Sequence[Given] = (), tipped: bool = False
) -> float | None:
    """Grams of a reading of the tared vessel or cup, or of vessel and all, its tare off. Raises AmountError, CannotAnswer."""
    if not (text or gross):
        return None
    read = some(text or gross, "the reading", "mis-pour")
    if read.measures != "mass":
        raise AmountError(text or gross, 0, "a scale reads a mass", "write e.g. 1240 g")
    grams = (read.value or 0.0) * g_per(read.unit)
    return grams if text else _net(grams, card.mixes[0], library, ins, tipped)


def _net(grams: float, mix: Mix, library: Library, ins: Sequence[Given], tipped: bool) -> float:
    """Grams without the vessel's tare. Raises CannotAnswer."""
    for one in ins:
        if one.g is None and not one.asked and not tipped and into(mix, one.item) != VESSEL:
            name = library.name_of(one.item)
            raise CannotAnswer(f"{name} is weighed in a cup, and no cup's tare is known", "tare the cup and use --reading")
    vessel = library.house.vessels.get(mix.vessel or "")
    if vessel is None:
        raise CannotAnswer("the mix has no vessel of the house's, so its tare is not known", "tare it and use --reading")
    if grams < vessel.tare_g:
        empty = f"the empty {vessel.name} weighs {say.grams(vessel.tare_g)}"
        raise CannotAnswer(f"the scale reads {say.grams(grams)} and {empty}", "where it was tared, use --reading")
    return grams - vessel.tare_g


def with_tipped(mix: Mix, ins: Sequence[Given]) -> tuple[Given, ...]:
    """What went in once the cup is in the vessel: of its lines, those that nothing is said about, as asked."""
    said = {one.item for one in ins}
    in_cups: dict[str, float] = {}
    for line in mix.lines:
        if line.into != VESSEL and line.item not in said:
            in_cups[line.item] = in_cups.get(line.item, 0.0) + line.weigh_g
    wanted = wanted_by_item(mix)
    tipped = [Given(item, grams, asked=grams == wanted[item], let_down=True) for item, grams in in_cups.items()]
    return (*ins, *tipped)


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
    place = VESSEL if tipped else into(mix, item)
    rest = sum(grams for name, grams in known.items() if tipped or into(mix, name) == place)
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
    whole = sum(grams for name, grams in known.items() if tipped or into(mix, name) == VESSEL)
    scale = next((line.scale for line in mix.lines if line.into == VESSEL), "")
    step = library.house.scales[scale].readability_g if scale in library.house.scales else 1.0
    if abs(whole - reading_g) > max(2.0 * step, library.house.weigh * reading_g):
        raise CannotAnswer(
            f"what is said to be in weighs {say.grams(whole)}, the scale reads {say.grams(reading_g)}",
            "say which amount is unknown, e.g. lime-juice=?",
        )


def how_known(ins: Sequence[Given]) -> Mapping[str, str]:
    """How the amount of each item that is in is known."""
    return {one.item: AS_ASKED if one.asked else BY_SCALE if one.g is None else AS_READ for one in ins}


def wanted_by_item(mix: Mix) -> dict[str, float]:
    """Grams of each item that go on the scale for the mix, over all of its lines."""
    wanted: dict[str, float] = {}
    for line in mix.lines:
        wanted[line.item] = wanted.get(line.item, 0.0) + line.weigh_g
    return wanted


def into(mix: Mix, item: str) -> str:
    return next((line.into for line in mix.lines if line.item == item), VESSEL)


def refuse_nameless(library: Library, item: str) -> None:
    """Raises CannotAnswer for an item nobody knows, with the nearest."""
    if item in library.items or item in library.stocks or item == WATER:
        return
    remedy = nearest(item, [*library.items, *library.stocks], f"what has no label is {UNLABELLED}")
    raise CannotAnswer(f"there is no item or stock {item}", remedy)
