"""How much acid water holds, and when potassium and tartaric acid fall out as cream of tartar.

Grams per 100 g of water, pure acid, no sugar and no alcohol; both change it (sugar lowers it, a little alcohol raises that
of citric). Crystals come late: a solution can stand above its solubility for days. The figures are handbook figures, good
to some 10 % where they are from memory.
"""

from dataclasses import dataclass
from functools import lru_cache
from math import exp, log
from typing import Final

from station.science.electrolyte import Equilibrium, OutOfRange, davies, ph, species
from station.science.numeric import MonotoneCubic


@dataclass(frozen=True, slots=True)
class Solubility:
    """Points of (°C, g of anhydrous acid per 100 g of water), and where they come from."""

    points: tuple[tuple[float, float], ...]
    source: str

    @property
    def range_c(self) -> tuple[float, float]:
        return self.points[0][0], self.points[-1][0]


def _of_mass_pct(*points: tuple[float, float]) -> tuple[tuple[float, float], ...]:
    return tuple((t_c, 100.0 * pct / (100.0 - pct)) for t_c, pct in points)


# Lactic, acetic and phosphoric acid mix with water in any proportion.
MISCIBLE: Final = frozenset({"lactic", "acetic", "phosphoric"})

SOLUBILITY: Final[dict[str, Solubility]] = {
    "citric": Solubility(
        points=((0.0, 96.0), *_of_mass_pct((10.0, 54.0), (20.0, 59.2), (30.0, 64.3), (40.0, 68.6))),
        source="handbook tables, % by mass as anhydrous; at 0 °C from memory, not checked",
    ),
    "malic": Solubility(
        points=_of_mass_pct((0.0, 46.8), (10.0, 51.0), (20.0, 55.5), (25.0, 57.8), (30.0, 60.1), (40.0, 64.7)),
        source="DL-malic: Apelblat et al., J. Chem. Thermodynamics 27 (1995) 35, their equation; below 15 °C extrapolated",
    ),
    "tartaric": Solubility(
        points=((0.0, 115.0), (10.0, 126.0), (20.0, 139.0), (30.0, 156.0), (40.0, 176.0)),
        source="from memory, not checked, low confidence, ±10 %",
    ),
    "ascorbic": Solubility(
        points=((20.0, 33.0), (22.5, 33.0), (25.0, 33.0)),
        source="from memory, not checked, low confidence, ±10 %: one figure for 20 to 25 °C",
    ),
    "succinic": Solubility(
        points=((0.0, 2.75), (12.5, 4.92), (25.0, 8.35), (37.5, 14.0), (50.0, 21.4)),
        source="Marshall & Bain 1910, from memory, not checked, ±10 %; 2.8 at 0 °C in other tables",
    ),
}


def solubility_g_per_100_g(name: str, t_c: float) -> float:
    """Grams of an acid, anhydrous, that 100 g of water hold at a temperature; infinite for an acid of `MISCIBLE`.

    A monotone curve through the points of `SOLUBILITY`, whose `source` says how far to trust them. Raises OutOfRange outside
    their temperatures, KeyError for an acid in neither.
    """
    if name in MISCIBLE:
        return float("inf")
    known = SOLUBILITY[name]
    low, high = known.range_c
    if not low <= t_c <= high:
        raise OutOfRange(f"the solubility of {name} acid is known here from {low:g} to {high:g} °C, not at {t_c:g}")
    return MonotoneCubic.through(known.points)(t_c)


# Potassium bitartrate, g per litre of water and alcohol, saturated: rows by °C, columns by % ABV.
# Berg & Keefer, Am. J. Enol. Vitic. 9 (1958) 180, as reprinted in the wine handbooks, from memory.
BITARTRATE_ABV_PCT: Final = (0.0, 10.0, 12.0, 14.0, 20.0)
BITARTRATE_G_PER_L: Final = {
    0.0: (2.25, 1.26, 1.11, 0.98, 0.68),
    5.0: (2.66, 1.58, 1.49, 1.24, 0.86),
    10.0: (3.42, 2.02, 1.81, 1.63, 1.10),
    15.0: (4.17, 2.45, 2.25, 2.03, 1.51),
    20.0: (4.92, 3.08, 2.77, 2.51, 1.82),
}
BITARTRATE_MOLAR_MASS: Final = 188.177
BITARTRATE_RANGE: Final = "the solubility of potassium bitartrate is known here from 0 to 20 °C and to 20 % ABV"


def bitartrate_g_per_l(t_c: float, abv_pct: float = 0.0) -> float:
    """Potassium bitartrate that a litre of water and alcohol holds, g: 0 to 20 °C, 0 to 20 % ABV, else OutOfRange.

    Monotone curves through the logarithms of Berg & Keefer 1958 (from memory), along the temperature, then the strength. They
    are the lower of the published figures: 4.9 g/l in water at 20 °C where handbooks print 5.7.
    """
    if not (0.0 <= t_c <= 20.0 and 0.0 <= abv_pct <= 20.0):
        raise OutOfRange(BITARTRATE_RANGE)
    by_abv = zip(*BITARTRATE_G_PER_L.values(), strict=True)
    at_t = [MonotoneCubic.through(zip(BITARTRATE_G_PER_L, map(log, column), strict=True))(t_c) for column in by_abv]
    return exp(MonotoneCubic.through(zip(BITARTRATE_ABV_PCT, at_t, strict=True))(abv_pct))


def bitartrate_saturation(tartaric_mol: float, potassium_mol: float, at: Equilibrium, t_c: float, abv_pct: float = 0.0) -> float:
    """How many times over a liquid is saturated with potassium bitartrate: over 1, it can throw crystals.

    The activity product a(K) a(HT) over that of the saturated solution at the temperature and strength; moles per kilogram
    of water, tartaric acid free and bound, `at` the liquid's equilibrium by `electrolyte.ph`. Dissociation and activity are
    those of water at 25 °C on both sides. Wine and juice hold crystals back, often for long (Berg & Keefer 1958). Raises
    OutOfRange outside 0 to 20 °C and 0 to 20 % ABV.
    """
    return _bitartrate_product(tartaric_mol, potassium_mol, at) / _saturated_product(t_c, abv_pct)


def _bitartrate_product(tartaric_mol: float, potassium_mol: float, at: Equilibrium) -> float:
    bitartrate_mol = tartaric_mol * species("tartaric", at.ph, at.ionic_strength)[1]
    return potassium_mol * bitartrate_mol * davies(at.ionic_strength) ** 2


@lru_cache(maxsize=256)
def _saturated_product(t_c: float, abv_pct: float) -> float:
    mol = bitartrate_g_per_l(t_c, abv_pct) / BITARTRATE_MOLAR_MASS
    return _bitartrate_product(mol, mol, ph({"tartaric": mol}, mol))
