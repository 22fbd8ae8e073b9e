"""What is in a liquid or a powder, by mass. Compositions add and multiply; nothing else ever mixes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from operator import add

from station.science import acid, electrolyte, ethanol, sugar

SUGARS = sugar.SUGARS
ACIDS = tuple(acid.ACIDS)
COMPONENTS = ("water", "ethanol", *SUGARS, *ACIDS, "salt", "fat", "other", "cation_mol")

_INDEX = {name: place for place, name in enumerate(COMPONENTS)}
_WATER, _ETHANOL = _INDEX["water"], _INDEX["ethanol"]
_SUGAR = slice(_INDEX[SUGARS[0]], _INDEX[SUGARS[-1]] + 1)
_ACID = slice(_INDEX[ACIDS[0]], _INDEX[ACIDS[-1]] + 1)
_MASS = slice(0, _INDEX["cation_mol"])
_ACID_ML_PER_G = tuple(acid.ACIDS[name].ml_per_g for name in ACIDS)

# Milk fat at 20 °C, in part solid: what measured milk and cream come to (tests/reference); oils are 1 % lighter (from memory).
FAT_ML_PER_G = 1.0 / 0.93
# Pulp, pectin, protein: the apparent volume of a dissolved carbohydrate stands for all (common practice, no source).
OTHER_ML_PER_G = 0.62


@dataclass(frozen=True, slots=True)
class Composition:
    """Grams of each of COMPONENTS, and moles of strong cation last."""

    amounts: tuple[float, ...] = (0.0,) * len(COMPONENTS)

    @classmethod
    def of(cls, grams: Mapping[str, float] | None = None, /, **more: float) -> Composition:
        """A composition from named amounts (g; `cation_mol` in mol). KeyError on a name that is no component."""
        amounts = [0.0] * len(COMPONENTS)
        for name, value in {**(grams or {}), **more}.items():
            amounts[_INDEX[name]] = float(value)
        return cls(tuple(amounts))

    @classmethod
    def total(cls, parts: Iterable[Composition]) -> Composition:
        columns = list(zip(*(part.amounts for part in parts), strict=True))
        return cls(tuple(map(sum, columns))) if columns else cls()

    def __add__(self, other: Composition) -> Composition:
        return Composition(tuple(map(add, self.amounts, other.amounts)))

    def __mul__(self, factor: float) -> Composition:
        return Composition(tuple([amount * factor for amount in self.amounts]))

    def less(self, part: Composition) -> Composition:
        """What is left once a part of it is taken out; of nothing less than nothing, where rounding would leave that."""
        left = [one - other for one, other in zip(self.amounts, part.amounts, strict=True)]
        return Composition((*(max(0.0, one) for one in left[_MASS]), *left[_MASS.stop :]))

    def __getitem__(self, name: str) -> float:
        return self.amounts[_INDEX[name]]

    @property
    def mass_g(self) -> float:
        return sum(self.amounts[_MASS])

    @property
    def sugar_g(self) -> float:
        return sum(self.amounts[_SUGAR])

    @property
    def acid_g(self) -> float:
        return sum(self.amounts[_ACID])

    @property
    def acids(self) -> dict[str, float]:
        """Grams of each acid that is present."""
        return {name: grams for name, grams in zip(ACIDS, self.amounts[_ACID], strict=True) if grams > 0.0}

    @property
    def volume_ml(self) -> float:
        """Volume at 20 °C, ml: water with ethanol by OIML R 22, every solute at its apparent specific volume."""
        amounts = self.amounts
        water, sugars = amounts[_WATER], sum(amounts[_SUGAR])
        volume = ethanol.volume_ml(water, amounts[_ETHANOL])
        if sugars:
            volume += sugars * sugar.apparent_ml_per_g(sugars / (sugars + water))
        volume += sum(map(float.__mul__, amounts[_ACID], _ACID_ML_PER_G))
        volume += amounts[_INDEX["salt"]] * electrolyte.SALT_ML_PER_G
        return volume + amounts[_INDEX["fat"]] * FAT_ML_PER_G + amounts[_INDEX["other"]] * OTHER_ML_PER_G


def with_water_to(volume_ml: float, solutes: Composition) -> Composition:
    """The solutes and as much water as makes `volume_ml` at 20 °C. ValueError if they fill more than that already."""
    short = volume_ml - solutes.volume_ml
    if short < -1e-9 * volume_ml:
        raise ValueError(f"what is dissolved alone fills {solutes.volume_ml:.1f} ml of {volume_ml:.0f} ml")
    whole = solutes
    # A gram of water adds about a millilitre whatever is there, so what is short shrinks tenfold and more a round.
    for _ in range(40):
        if abs(short) <= 1e-12 * volume_ml:
            break
        whole = whole + Composition.of(water=max(short, -whole["water"]))
        short = volume_ml - whole.volume_ml
    return whole
