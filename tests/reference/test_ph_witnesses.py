"""Two independent programs given the same constants: pHcalc without activities, PHREEQC with them."""

import random

import numpy
import pytest
from pHcalc import Acid, Inert, System
from phreeqpython import PhreeqPython

from station.science.acid import ACIDS
from station.science.electrolyte import ph

PK_WATER = 13.995


def mixtures(how_many: int, most_mol: float) -> list[tuple[dict[str, float], float]]:
    """Invented: one to five acids of 0.3 mmol/kg up, and in two of three strong cation for some of their protons."""
    chance = random.Random(5)
    drawn = []
    for i in range(how_many):
        names = chance.sample(list(ACIDS), chance.randint(1, 5))
        acids = {name: most_mol * 10.0 ** chance.uniform(-3.0, 0.0) for name in names}
        bound = chance.random() if i % 3 else 0.0
        drawn.append((acids, bound * sum(mol * ACIDS[name].protons for name, mol in acids.items())))
    return drawn


def test_250_mixtures_by_a_solver_without_activities(monkeypatch: pytest.MonkeyPatch) -> None:
    # pHcalc 0.2.0 (Nelson), a minimiser with a tolerance of 1e-5 pH; it calls numpy by a name that numpy 2 has dropped.
    monkeypatch.setattr(numpy, "cumproduct", numpy.cumprod, raising=False)
    misses = []
    for acids, cation in mixtures(250, most_mol=0.3):
        parts = [Acid(pKa=list(ACIDS[name].pka), charge=0, conc=mol) for name, mol in acids.items()]
        solver = System(*parts, Inert(charge=1, conc=cation), Kw=10.0**-PK_WATER)
        solver.pHsolve(guess=4.0)
        misses.append(abs(solver.pH - ph(acids, cation, activity=False).ph))
    assert max(misses) < 0.0001


def short(name: str) -> str:
    return name[:3].capitalize()


def species(name: str, protons: int, charge: int) -> str:
    hydrogens = "" if protons == 0 else "H" if protons == 1 else f"H{protons}"
    return hydrogens + short(name) + ("" if charge == 0 else "-" if charge == 1 else f"-{charge}")


def chemistry() -> str:
    """Our acids for PHREEQC, Davies for every ion; it lets a neutral species' activity grow by 0.1 I unless told not to."""
    masters, reactions = ["SOLUTION_MASTER_SPECIES"], ["SOLUTION_SPECIES"]
    for ion in ("H+", "Na+", "Cl-"):
        reactions += [f"{ion} = {ion}", "log_k 0"]
    reactions += ["H2O = OH- + H+", f"log_k -{PK_WATER}"]
    for name, acid in ACIDS.items():
        bare = species(name, 0, len(acid.pka))
        masters.append(f"{short(name)} {bare} 0 100 100")
        reactions += [f"{bare} = {bare}", "log_k 0"]
        for taken in range(1, len(acid.pka) + 1):
            reactions.append(f"{bare} + {taken}H+ = {species(name, taken, len(acid.pka) - taken)}")
            reactions.append(f"log_k {sum(acid.pka[-taken:])}")
        reactions.append("-gamma 3.0 0.0")
    return "\n".join([*masters, *reactions, "END"])


def test_200_mixtures_by_a_solver_with_activities() -> None:
    # PHREEQC 3 (Parkhurst & Appelo, USGS) by phreeqpython. Its A is 0.510 where Davies' is 0.509 here: 0.001 or so of pH.
    solver = PhreeqPython(database="phreeqc.dat")
    solver.ip.run_string(chemistry())
    misses = []
    for acids, cation in mixtures(300, most_mol=0.1):
        found = ph(acids, cation)
        if found.ionic_strength > 0.4 or found.ph > 6.5:
            continue
        amounts = "".join(f"{short(name)} {mol}\n" for name, mol in acids.items())
        solver.ip.run_string(f"SOLUTION 1\npH 4 charge\nunits mol/kgw\nNa {cation}\n{amounts}END")
        misses.append(abs(solver.get_solution(1).pH - found.ph))
    assert len(misses) >= 200
    assert max(misses) < 0.002
