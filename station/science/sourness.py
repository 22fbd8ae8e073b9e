"""How sour acids taste beside citric: an estimate, and not the only one.

Neta, Johanningsmeier, Drake & McFeeters, J. Food Sci. 72 (2007) S352: sour taste rises in a straight line with the moles of
hydrogen ion and of every acid species that still has a carboxyl proton, all equally sour. Counted so for phosphoric and
ascorbic acid too (ours: the species with a proton that base takes by pH 8.2). Other rules disagree: by normality malic
counts 0.96 of citric gram for gram, by moles 1.43, at the bar 1.1 to 1.25 (common practice, no source). Sweetness, cold
and alcohol are left out.
"""

from collections.abc import Mapping
from typing import Final

from station.science.acid import ACIDS
from station.science.electrolyte import Equilibrium, davies, ph, species
from station.science.numeric import root

# Grams of citric with as many molecules as a gram of each acid: how sour it counts while nearly all of it holds its protons.
CITRIC_PER_G_BY_MOLES: Final = {name: ACIDS["citric"].molar_mass / acid.molar_mass for name, acid in ACIDS.items()}

_TOLERANCE_MOL: Final = 1e-10


def sour_mol(acids_mol: Mapping[str, float], at: Equilibrium) -> float:
    """Moles of sour things per kilogram of water: [H] + Σ acid species with a proton left that base takes by pH 8.2.

    `at` is the solution's equilibrium, by `electrolyte.ph`. KeyError for an acid not in `ACIDS`. Source: Neta et al. 2007.
    """
    hydrogen: float = 10.0**-at.ph
    return hydrogen / davies(at.ionic_strength) + sum(mol * _protonated(name, at) for name, mol in acids_mol.items())


def as_sour_as_citric_mol(acids_mol: Mapping[str, float], at: Equilibrium) -> float:
    """Moles of citric acid alone in a kilogram of water that count as sour as the acids at an equilibrium.

    Solved from `sour_mol` on both sides to 1e-10 mol; 0 for what is no sourer than water. Same errors and source; an estimate.
    """
    sour = sour_mol(acids_mol, at)

    def excess(citric_mol: float) -> float:
        alone = {"citric": citric_mol}
        return sour_mol(alone, ph(alone)) - sour

    if excess(0.0) >= 0.0:
        return 0.0
    # Alone in water citric counts for its own moles and more, or, as traces, is gone to ions and counts by its hydrogen.
    return root(excess, 0.0, 1.02 * sour + 1e-6, _TOLERANCE_MOL)


def _protonated(name: str, at: Equilibrium) -> float:
    return sum(species(name, at.ph, at.ionic_strength)[: ACIDS[name].protons])
