"""Titratable acidity: the strong base that brings a liquid to an end-point pH, and what that says of its acids.

A sample holding more than 10 g of acid or 0.18 mol of salt per kilogram of water is diluted to that first, as it is in the
laboratory, and the answer scaled back: titrated as it stands it would leave the activity model. At 10 g/kg of any acid in
`ACIDS` the end point stays under I = 0.5 mol/kg. End points: pH 8.1 or 8.2 for citric (IFU 3 and AOAC 942.15; US practice,
from memory), 7.0 for tartaric and malic (IFU 3; OIV-MA-AS313-01, from memory).
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Final

from station.science.acid import ACIDS
from station.science.electrolyte import cation_at, ph, protons_lost
from station.science.numeric import root

END_PH: Final = 8.2
DILUTED_ACID_G: Final = 10.0
DILUTED_SALT_MOL: Final = 0.18

_CONVERGED: Final = 1e-10
_NO_CATION_MOL: Final = 1e-11
_SAME_PH: Final = 1e-9
_MAX_ROUNDS: Final = 100


class ImpossiblePair(ValueError):
    """No acid of that split has that titratable acidity at that pH. At that acidity the pH is from `lowest_ph`, of the acid
    free of cation, to below `end_ph`, where base is no longer needed; `least_base` is what is possible at that pH."""

    def __init__(self, at_ph: float, lowest_ph: float, end_ph: float) -> None:
        super().__init__(f"pH {at_ph:g} is not from {lowest_ph:.2f}, of the acid alone, to under {end_ph:g}, the end point")
        self.lowest_ph = lowest_ph
        self.end_ph = end_ph


@dataclass(frozen=True, slots=True)
class Buffered:
    """Acid, free and bound together, and the strong cation that binds it, per kilogram of water."""

    acid_g: float
    cation_mol: float


def moles(grams: Mapping[str, float]) -> dict[str, float]:
    """Moles of each acid from grams of it, anhydrous; KeyError for an acid not in `ACIDS`."""
    return {name: g / ACIDS[name].molar_mass for name, g in grams.items()}


def titratable(acids_mol: Mapping[str, float], cation_mol: float = 0.0, salt_mol: float = 0.0, end_ph: float = END_PH) -> float:
    """Strong base that brings acids, strong cation and salt in a kilogram of water to a pH, mol/kg of water.

    [base] = [cation at the end point] - [cation], by charge balance at that pH (`electrolyte.cation_at`) in the diluted
    sample. Below zero where the liquid stands above the end point already. Any strength; KeyError for an acid not in `ACIDS`.
    """
    acid_g = sum(mol * ACIDS[name].molar_mass for name, mol in acids_mol.items())
    share = min(1.0, DILUTED_ACID_G / acid_g if acid_g else 1.0, DILUTED_SALT_MOL / salt_mol if salt_mol else 1.0)
    sample = {name: mol * share for name, mol in acids_mol.items()}
    return cation_at(end_ph, sample, salt_mol * share).cation_mol / share - cation_mol


@cache
def base_per_g(name: str, end_ph: float = END_PH) -> float:
    """Moles of base that one gram of an acid, anhydrous, in 100 ml of water takes to a pH; KeyError off `ACIDS`."""
    return titratable(moles({name: 10.0}), end_ph=end_ph) / 10.0


def equivalents(grams: float, name: str = "citric", end_ph: float = END_PH) -> float:
    """Moles of base that a titratable acidity stated as grams of an acid, to a pH, stands for."""
    return grams * base_per_g(name, end_ph)


def stated_as_g(base_mol: float, name: str = "citric", end_ph: float = END_PH) -> float:
    """Grams of an acid that take so much base to a pH: the way a titratable acidity is stated."""
    return base_mol / base_per_g(name, end_ph)


def unbuffered(base_mol: float, split: Mapping[str, float], end_ph: float = END_PH) -> float:
    """Grams of acid, all of it free, per kilogram of water that take `base_mol`, above 0, to a pH; `split` is parts by mass.

    KeyError for an acid not in `ACIDS`; ArithmeticError where no amount of it does.
    """
    gram = _one_gram(split)
    return _scaled(base_mol / titratable(gram, end_ph=end_ph), lambda g: base_mol / titratable(_times(g, gram), end_ph=end_ph))


def buffered(
    base_mol: float, at_ph: float, split: Mapping[str, float], salt_mol: float = 0.0, end_ph: float = END_PH
) -> Buffered:
    """The acid and the strong cation that together have a titratable acidity and a pH, per kilogram of water.

    `base_mol` is base to `end_ph`, mol/kg of water, above 0; `split` is parts by mass of the acid, free and bound. Two
    unknowns from two charge balances, at `at_ph` and at the end point. Raises ImpossiblePair below the pH of the acid free
    of cation and from the end point up, OutOfRange above I = 0.5 mol/kg at `at_ph`, KeyError for an acid not in `ACIDS`.
    """
    gram = _one_gram(split)
    free_acid = unbuffered(base_mol, split, end_ph)
    lowest_ph = ph(_times(free_acid, gram), 0.0, salt_mol).ph
    if not lowest_ph - _SAME_PH <= at_ph < end_ph:
        raise ImpossiblePair(at_ph, lowest_ph, end_ph)

    # What the acid takes grows with it; what free hydrogen takes does not.
    hydrogen: float = 10.0**-at_ph

    def short_by(g: float) -> float:
        cation = cation_at(at_ph, _times(g, gram), salt_mol).cation_mol
        return (base_mol - hydrogen) / (titratable(_times(g, gram), cation, salt_mol, end_ph) - hydrogen)

    acid_g = _scaled(free_acid, short_by)
    return Buffered(acid_g, max(0.0, cation_at(at_ph, _times(acid_g, gram), salt_mol).cation_mol))


def least_base(at_ph: float, split: Mapping[str, float], salt_mol: float = 0.0, end_ph: float = END_PH) -> float:
    """The least titratable acidity an acid can have at a pH under 7, as base to `end_ph`, mol/kg of water: that of the acid
    free of cation. Errors as `buffered`."""
    gram = _one_gram(split)
    # More than enough: half as much again for an activity coefficient, on an acid that lets go of the least.
    enough = 1.5 * 10.0**-at_ph / sum(mol * protons_lost(name, at_ph, 0.0) for name, mol in gram.items())
    acid_g = root(lambda g: cation_at(at_ph, _times(g, gram), salt_mol).cation_mol, 0.0, enough, _NO_CATION_MOL)
    return titratable(_times(acid_g, gram), 0.0, salt_mol, end_ph)


def _one_gram(split: Mapping[str, float]) -> dict[str, float]:
    whole = sum(split.values())
    return moles({name: part / whole for name, part in split.items()})


def _times(grams: float, one_gram: Mapping[str, float]) -> dict[str, float]:
    return {name: grams * mol for name, mol in one_gram.items()}


def _scaled(grams: float, short_by: Callable[[float], float]) -> float:
    """The grams that are short by a factor of 1, found by multiplying up: what is asked here is nearly proportional."""
    for _ in range(_MAX_ROUNDS):
        factor = short_by(grams)
        grams *= factor
        if abs(factor - 1.0) <= _CONVERGED:
            return grams
    raise ArithmeticError(f"no amount of acid found within {_MAX_ROUNDS} rounds")
