"""How well a dose in grams is known: what is its own error, and what it shares with other lines."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from station.bar.nouns import House, Scale
from station.science import weighing

# One fill of a jigger: a share of what is poured, and no better than this. Common practice, no source.
FILL_SD: Final = 0.03
FILL_LEAST_SD_ML: Final = 0.5
# Powder by the spoon packs as it likes; pieces differ; of a rinse more or less stays. Common practice, no source.
HEAPED_SD: Final = 0.10
PIECE_SD: Final = 0.10
RINSE_SD: Final = 0.20


@dataclass(frozen=True, slots=True)
class Unsure:
    """Standard uncertainty of a dose, g: `own_g` of this line alone, `shared_g` by where it comes from.

    What comes from one source errs the same way in every line that uses it; a weighing does not take it away.
    """

    own_g: float = 0.0
    shared_g: tuple[tuple[str, float], ...] = ()

    @property
    def sd_g(self) -> float:
        """Own and shared together."""
        return math.hypot(self.own_g, *(grams for _, grams in self.shared_g))

    def times(self, factor: float) -> Unsure:
        """Of a multiple of the dose, where all of it errs alike."""
        return Unsure(self.own_g * factor, tuple((source, grams * factor) for source, grams in self.shared_g))

    def weighed(self, times: float, own_g: float) -> Unsure:
        """Of so many doses weighed at once: the error of one count is gone, the scale's is there, what is shared stays."""
        return Unsure(own_g, tuple((source, grams * times) for source, grams in self.shared_g))


SURE = Unsure()


def filled(ml: float, g_per_ml: float) -> Unsure:
    """Of a volume poured with a jigger or a spoon."""
    return Unsure(max(FILL_SD * ml, FILL_LEAST_SD_ML) * g_per_ml)


def weighed(grams: float, house: House) -> Unsure:
    """Of a dose weighed for one drink, on the finest scale that bears it."""
    able = [one for one in house.scales.values() if one.capacity_g >= grams]
    return Unsure(on_scale(grams, min(able, key=lambda one: one.readability_g, default=None), house.weigh))


def on_scale(grams: float, scale: Scale | None, tolerance: float) -> float:
    """Standard uncertainty of a weighing, g; without a scale, of one that just meets the house's tolerance."""
    return sd_of(scale) if scale else weighing.tolerated_sd_g(grams, tolerance)


def sd_of(scale: Scale) -> float:
    """Standard uncertainty of any one net weight on that scale, g."""
    return weighing.repeatability_sd_g(scale.readability_g, scale.repeatability_g)


def finest_sd_g(scales: Mapping[str, Scale]) -> float:
    """Standard uncertainty of a net weight on the house's finest scale, g; 0 where it names none."""
    return min(map(sd_of, scales.values()), default=0.0)
