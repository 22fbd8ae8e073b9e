"""The balance map: every drink of the library by the sugar and the acid of its glass, with one drink and its window on it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from station.bar.fault import CannotAnswer
from station.bar.nouns import Library, Spec
from station.calc.balance import Balance, balance
from station.calc.blend import Blends
from station.calc.mapped import BalanceMap, Box, Spot, axes
from station.desk.look import find_spec, sound_drink


@dataclass(slots=True)
class Survey:
    """The drinks of one snapshot, reckoned a few at a time, so that a library of thousands never holds up a key."""

    blends: Blends
    _spots: dict[str, Spot | None] = field(default_factory=dict)
    _waiting: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._waiting = sorted(self.blends.library.drinks, reverse=True)

    @property
    def done(self) -> bool:
        return not self._waiting

    def step(self, count: int) -> bool:
        """Reckon that many more drinks. True if there are none left."""
        for _ in range(min(count, len(self._waiting))):
            name = self._waiting.pop()
            spec = self.blends.library.drinks.get(name)
            if spec is not None and not spec.retired:
                self._spots[name] = spot_of(self.blends, spec)
        return self.done

    def map_of(self, spec: Spec | None = None, saved: Spec | None = None) -> BalanceMap:
        """The map as far as it is known, about `spec`, which is `saved` with an edit, or about none."""
        style = spec.style if spec else ""
        here = spot_of(self.blends, spec) if spec else None
        was = spot_of(self.blends, saved) if saved and saved is not spec else None
        others = {name: one for name, one in self._spots.items() if spec is None or name != spec.id}
        spots = tuple(replace(one, alike=bool(style) and one.style == style) for one in others.values() if one)
        box, source = _window(self.blends.library, style)
        sugar_to, acid_to = axes((*spots, *filter(None, (here, was))), box)
        left_out = sum(one is None for one in others.values()) + (spec is not None and here is None)
        return BalanceMap(sugar_to, acid_to, spots, here, was, style, box, source, left_out, len(self._waiting))


def library_map(blends: Blends, name: str = "") -> BalanceMap:
    """The whole map, about the drink of that id where one is named. Raises CannotAnswer if there is none of that id."""
    return balance_map(blends, find_spec(blends.library, name) if name else None)


def balance_map(blends: Blends, spec: Spec | None = None, saved: Spec | None = None) -> BalanceMap:
    """The whole map at once."""
    survey = Survey(blends)
    survey.step(len(blends.library.drinks))
    return survey.map_of(spec, saved)


def spot_of(blends: Blends, spec: Spec) -> Spot | None:
    """Where a drink stands; None where it cannot be reckoned or is no liquid."""
    try:
        glass: Balance = balance(sound_drink(blends, spec).glass)
    except CannotAnswer:
        return None
    if glass.sugar_g_per_100ml is None or glass.acid_g_per_100ml is None:
        return None
    return Spot(spec.id, spec.name, spec.style, glass.sugar_g_per_100ml, glass.acid_g_per_100ml)


def _window(library: Library, style: str) -> tuple[Box | None, str]:
    """The style's sugar and acid as a box; a side that its window leaves open is none to draw."""
    found = library.windows.get(style)
    figures: Mapping[str, tuple[float, float]] = found.figures if found else {}
    if found is None or "sugar" not in figures or "acid" not in figures:
        return None, ""
    return (figures["sugar"], figures["acid"]), found.source
