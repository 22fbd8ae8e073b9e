"""Acids, strong base and salt in water: which ions they make, how strong they are together, and the pH.

Amounts are moles per kilogram of water, at 25 °C; molality stands for molarity (under 0.01 pH up to 0.5 mol/kg). The
strong cation is counted as monovalent, whatever it is: potassium for the most part in juice. pH is what a meter reads,
-log a(H+). Activities by Davies (1962): log γ(z) = -A z² (√I/(1+√I) - 0.3 I), A = 0.509. It reproduces the standard
buffers within 0.013 pH; without it the pH of a juice is up to 0.3 too high. No ion pairs: calcium and magnesium hold on
to citrate and tartrate more than they do here.
"""

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from station.science.acid import ACIDS
from station.science.numeric import newton, root
from station.science.solution import apparent_ml_per_g

SALT_MOLAR_MASS: Final = 58.443
# Sodium chloride's apparent volume in water at 10 % grows with its strength, from 0.295 ml/g at 1 % to 0.349 at 20 %, so a
# strong saline comes out up to 0.6 % too dense and a seasoned drink not measurably wrong.
# CRC Handbook 102nd ed.: 10 % m/m, 20 °C, 1.0707 g/ml.
SALT_ML_PER_G: Final = apparent_ml_per_g(0.10, 1.0707)

# Davies' own limit, mol/kg.
STRONGEST: Final = 0.5
TOO_STRONG: Final = "its ionic strength is over 0.5 mol/kg, where the activity model ends"

_DAVIES_A: Final = 0.509
_PK_WATER: Final = 13.995
_K_WATER: Final = 10.0**-_PK_WATER
_STRENGTH_TOLERANCE: Final = 1e-12
_PH_TOLERANCE: Final = 1e-13
_PH_BRACKET: Final = (-2.0, 16.0)
_LN_10: Final = math.log(10.0)
_CONSTANTS: Final = {name: tuple(10.0**-pka for pka in acid.pka) for name, acid in ACIDS.items()}

# Moles of an acid, and its constants.
type_of_pair = tuple[float, tuple[float, ...]]


class OutOfRange(ValueError):
    """The model does not reach there. `reason` says why, to be read after the name of the liquid."""

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason


@dataclass(frozen=True, slots=True)
class Equilibrium:
    """A solution at rest: pH as a meter reads it, the strong cation it holds and its ionic strength, mol/kg."""

    ph: float
    cation_mol: float
    ionic_strength: float


def davies(ionic_strength: float) -> float:
    """Activity coefficient of a monovalent ion at 25 °C; one of charge z has this to the power z².

    log γ = -0.509 (√I/(1+√I) - 0.3 I), I in mol/kg, 0 to 0.5; above that the value at 0.5. Source: Davies, Ion
    Association (1962).
    """
    within = min(ionic_strength, STRONGEST)
    s = math.sqrt(within)
    return float(10.0 ** (-_DAVIES_A * (s / (1.0 + s) - 0.3 * within)))
