"""The food acids: what they weigh, what base they take, what volume they fill, how strong they are.

Molar masses from the IUPAC/CIAAW abridged atomic weights. pKa at 25 °C and zero ionic strength. Volumes are apparent
specific volumes in water at about 10 %, 20 °C; the dilute and the 30 % value lie within 0.02 ml/g of it, except
phosphoric acid's under 5 %.
"""

from dataclasses import dataclass
from typing import Final

from station.science.solution import apparent_ml_per_g

_CRC: Final = "volume: CRC Handbook 102nd ed., density at 10 % m/m"
_REMEMBERED: Final = "volume: apparent molar volume from memory"


@dataclass(frozen=True, slots=True)
class Acid:
    """One acid, anhydrous: g/mol; the protons base has taken from it by pH 8.2; ml/g in water; pKa's, first to last."""

    name: str
    molar_mass: float
    protons: int
    ml_per_g: float
    pka: tuple[float, ...]
    source: str


_ALL: Final = (
    Acid(
        name="citric",
        molar_mass=192.124,
        protons=3,
        ml_per_g=apparent_ml_per_g(0.10, 1.0402),
        pka=(3.128, 4.761, 6.396),
        source=f"pKa: Bates & Pinching 1949 by Goldberg et al. 2002, pK2 and pK3 from memory; {_CRC}",
    ),
    Acid(
        name="malic",
        molar_mass=134.087,
        protons=2,
        ml_per_g=82.6 / 134.087,
        pka=(3.459, 5.097),
        source=f"pKa: Eden & Bates 1959; {_REMEMBERED}, 82.6 cm³/mol",
    ),
    Acid(
        name="tartaric",
        molar_mass=150.087,
        protons=2,
        ml_per_g=83.5 / 150.087,
        pka=(3.036, 4.366),
        source=f"pKa: Bates & Canham 1951, from memory; {_REMEMBERED}, 83.5 cm³/mol",
    ),
    Acid(
        name="lactic",
        molar_mass=90.078,
        protons=1,
        ml_per_g=apparent_ml_per_g(0.10, 1.0199),
        pka=(3.86,),
        source=f"pKa: CRC Handbook 102nd ed.; {_CRC}",
    ),
    # By pH 8.2 base has in fact taken some 1.95 protons of phosphoric acid: pK2 is 7.198.
    Acid(
        name="phosphoric",
        molar_mass=97.995,
        protons=2,
        ml_per_g=apparent_ml_per_g(0.10, 1.0531),
        pka=(2.148, 7.198, 12.35),
        source=f"pKa: Goldberg et al. 2002, from memory; {_CRC}",
    ),
    Acid(
        name="ascorbic",
        molar_mass=176.124,
        protons=1,
        ml_per_g=106.0 / 176.124,
        pka=(4.04, 11.7),
        source=f"pKa: CRC Handbook, from memory, others print 4.10 and 4.17 for the first; {_REMEMBERED}, 106 cm³/mol",
    ),
    Acid(
        name="acetic",
        molar_mass=60.052,
        protons=1,
        ml_per_g=apparent_ml_per_g(0.10, 1.0121),
        pka=(4.756,),
        source=f"pKa: Martell & Smith; {_CRC}",
    ),
    Acid(
        name="succinic",
        molar_mass=118.088,
        protons=2,
        ml_per_g=82.9 / 118.088,
        pka=(4.207, 5.636),
        source=f"pKa: Serjeant & Dempsey 1979 (IUPAC); {_REMEMBERED}, 82.9 cm³/mol",
    ),
)
ACIDS: Final[dict[str, Acid]] = {acid.name: acid for acid in _ALL}

_WATER_MOLAR_MASS: Final = 18.015
# Grams of the monohydrate that hold one gram of anhydrous citric acid.
CITRIC_MONOHYDRATE_FACTOR: Final = (ACIDS["citric"].molar_mass + _WATER_MOLAR_MASS) / ACIDS["citric"].molar_mass


def equivalent_weight(name: str) -> float:
    """Grams of the acid that take one mole of base by pH 8.2: M / protons; KeyError for an acid not in `ACIDS`.

    Phosphoric acid is counted at 2 protons and takes some 1.95.
    """
    acid = ACIDS[name]
    return acid.molar_mass / acid.protons


# Grams of anhydrous citric acid that take as much base as one gram of each acid.
CITRIC_PER_G: Final[dict[str, float]] = {name: equivalent_weight("citric") / equivalent_weight(name) for name in ACIDS}


def as_citric_g(name: str, grams: float) -> float:
    """Grams of anhydrous citric acid that take as much base as `grams` of the acid; KeyError for one not in `ACIDS`."""
    return CITRIC_PER_G[name] * grams
