"""Acids, strong base and salt in water: which ions they make, how strong these are together, and the pH.

Amounts are moles per kilogram of water, at 25 °C; molality stands for molarity (under 0.01 pH up to 0.5 mol/kg). The
strong cation is counted as monovalent, whatever it is: in juice potassium for the most part. pH is what a meter reads,
-log a(H). Activities by Davies, Ion Association (1962): log γ(z) = -0.509 z² (√I/(1+√I) - 0.3 I). That meets the standard
buffers within 0.013 pH; without it the pH of a juice comes out up to 0.3 too high. No ion pairs: calcium and magnesium
hold on to citrate and tartrate more than they do here.
"""

import math
from collections.abc import Callable, Mapping
from typing import Final, NamedTuple

from station.science.acid import ACIDS
from station.science.numeric import newton, root
from station.science.solution import apparent_ml_per_g

SALT_MOLAR_MASS: Final = 58.443
# CRC Handbook 102nd ed.: sodium chloride, 10 % m/m, 20 °C, 1.0707 g/ml. It grows with the strength, from 0.295 ml/g at 1 %
# to 0.349 at 20 %: a strong saline comes out up to 0.6 % too dense, a seasoned drink not measurably wrong.
SALT_ML_PER_G: Final = apparent_ml_per_g(0.10, 1.0707)

# Davies' own limit, mol/kg.
STRONGEST: Final = 0.5
TOO_STRONG: Final = "its ionic strength is over 0.5 mol/kg, where the activity model ends"

_K_WATER: Final = 10.0**-13.995
_STRENGTH_TOLERANCE: Final = 1e-12
_IMBALANCE_TOLERANCE: Final = 1e-14
_PH_BRACKET: Final = (-2.0, 16.0)
_LN_10: Final = math.log(10.0)
_CONSTANTS: Final = {name: tuple(10.0**-pka for pka in acid.pka) for name, acid in ACIDS.items()}

# Moles of an acid and its constants.
_Part = tuple[float, tuple[float, ...]]


class OutOfRange(ValueError):
    """A model does not reach there. `reason` says why, to be read after the name of the liquid."""

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason


class Equilibrium(NamedTuple):
    """A solution at rest: pH as a meter reads it; the strong cation it holds and its ionic strength, mol/kg of water."""

    ph: float
    cation_mol: float
    ionic_strength: float


def ph(acids_mol: Mapping[str, float], cation_mol: float = 0.0, salt_mol: float = 0.0, *, activity: bool = True) -> Equilibrium:
    """The pH of acids (free and bound together, by name), strong cation and sodium chloride in a kilogram of water, 25 °C.

    Charge balance [H] + [cation] = [OH] + Σ z [A(z)] over every constant of every acid; ionic strength I = ½ Σ c z²,
    consistent to 1e-12 mol/kg. `activity=False` leaves activities out, and the range with them. Raises OutOfRange above
    I = 0.5 mol/kg, KeyError for an acid not in `ACIDS`. Source: Davies 1962; the constants of `ACIDS`.
    """
    parts = _parts(acids_mol)
    gamma = davies if activity else _ideal
    at = 3.0

    if activity and cation_mol + salt_mol > STRONGEST:
        raise OutOfRange(TOO_STRONG)  # what balances that charge only adds to it

    def strength_after(strength: float) -> float:
        nonlocal at
        at = _balanced(parts, cation_mol, gamma(strength), start=at)
        return _ions(parts, at, gamma(strength)).strength(cation_mol, salt_mol)

    strength = _consistent(strength_after, salt_mol + cation_mol + 1e-6 + _whole_strength(parts))
    _demand_range(strength, activity)
    return Equilibrium(at, cation_mol, strength)


def cation_at(ph: float, acids_mol: Mapping[str, float], salt_mol: float = 0.0, *, activity: bool = True) -> Equilibrium:
    """The strong cation that holds these acids at a pH, mol/kg of water: the charge balance the other way round.

    [cation] = [OH] + Σ z [A(z)] - [H]: negative where the acids alone do not come down to that pH. Units, range, errors
    and source as `ph`.
    """
    parts = _parts(acids_mol)
    gamma = davies if activity else _ideal

    def strength_after(strength: float) -> float:
        ions = _ions(parts, ph, gamma(strength))
        return ions.strength(abs(ions.net), salt_mol)

    of_water = _ions((), ph, 1.0)
    strength = _consistent(strength_after, salt_mol + 2.0 * (of_water.hydrogen + of_water.hydroxide) + _whole_strength(parts))
    _demand_range(strength, activity)
    return Equilibrium(ph, _ions(parts, ph, gamma(strength)).net, strength)


def davies(ionic_strength: float) -> float:
    """Activity coefficient of a monovalent ion at 25 °C; an ion of charge z has this to the power z².

    log γ = -0.509 (√I/(1+√I) - 0.3 I), I from 0 to 0.5 mol/kg; above that, the value at 0.5. Source: Davies 1962.
    """
    within = min(ionic_strength, STRONGEST)
    s = math.sqrt(within)
    return math.exp(-0.509 * _LN_10 * (s / (1.0 + s) - 0.3 * within))


def protons_lost(name: str, ph: float, ionic_strength: float) -> float:
    """Protons an acid has let go of by a pH, on average; I as in `davies`, KeyError for an acid not in `ACIDS`."""
    return _ions(_parts({name: 1.0}), ph, davies(ionic_strength)).charge


def species(name: str, ph: float, ionic_strength: float) -> tuple[float, ...]:
    """An acid's species as fractions of it: whole, one proton gone, two, …; I and errors as in `protons_lost`."""
    weights = [1.0]
    for constant, step in zip(_CONSTANTS[name], _steps(ph, davies(ionic_strength)), strict=False):
        weights.append(weights[-1] * constant * step)
    whole = sum(weights)
    return tuple(weight / whole for weight in weights)


class _Ions(NamedTuple):
    """Moles of the water's ions, and of all acids' anions: Σ z c, Σ z² c, and c times the variance of z."""

    hydrogen: float
    hydroxide: float
    charge: float
    squares: float
    spread: float

    @property
    def net(self) -> float:
        return self.charge + self.hydroxide - self.hydrogen

    def strength(self, cation_mol: float, salt_mol: float) -> float:
        return 0.5 * (self.hydrogen + self.hydroxide + cation_mol + self.squares) + salt_mol


def _ideal(_: float) -> float:
    return 1.0


def _demand_range(strength: float, activity: bool) -> None:
    if activity and strength > STRONGEST:
        raise OutOfRange(TOO_STRONG)


def _parts(acids_mol: Mapping[str, float]) -> list[_Part]:
    return [(mol, _CONSTANTS[name]) for name, mol in acids_mol.items()]


def _steps(ph: float, gamma: float) -> tuple[float, float, float]:
    """What makes of K1, K2, K3 the ratio of each species to the one before: γ(z-1) / (γ(z) a(H))."""
    first = 10.0**ph / gamma
    squared = gamma * gamma
    return first, first / squared, first / (squared * squared)


def _ions(parts: list[_Part] | tuple[()], ph: float, gamma: float) -> _Ions:
    # The inner loop of everything here: plain floats, nothing looked up.
    steps = _steps(ph, gamma)
    charge = squares = spread = 0.0
    for mol, constants in parts:
        weight = whole = 1.0
        first = second = z = 0.0
        for constant, step in zip(constants, steps, strict=False):
            z += 1.0
            weight *= constant * step
            whole += weight
            first += z * weight
            second += z * z * weight
        mean, mean_square = first / whole, second / whole
        charge += mol * mean
        squares += mol * mean_square
        spread += mol * (mean_square - mean * mean)
    activity = 10.0**-ph
    return _Ions(activity / gamma, _K_WATER / (activity * gamma), charge, squares, spread)


def _balanced(parts: list[_Part], cation_mol: float, gamma: float, start: float) -> float:
    """The pH at which negative charges equal positive ones, at a given activity coefficient."""

    def imbalance(ph: float) -> tuple[float, float]:
        # The logarithm of their ratio is nearly straight in pH, so that Newton's steps land.
        ions = _ions(parts, ph, gamma)
        negative, positive = ions.charge + ions.hydroxide, cation_mol + ions.hydrogen
        slope = (ions.spread + ions.hydroxide) / negative + ions.hydrogen / positive
        return math.log(negative / positive), _LN_10 * slope

    return newton(imbalance, start, *_PH_BRACKET, _IMBALANCE_TOLERANCE)


def _whole_strength(parts: list[_Part]) -> float:
    """What the acids add to the ionic strength with every proton gone and cation in its place."""
    return 0.5 * sum(mol * len(constants) * (len(constants) + 1) for mol, constants in parts)


def _consistent(strength_after: Callable[[float], float], ceiling: float) -> float:
    """The ionic strength of the ions that form at that ionic strength."""
    return root(lambda strength: strength - strength_after(strength), 0.0, ceiling, _STRENGTH_TOLERANCE)
