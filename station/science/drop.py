"""What one drop weighs: Tate's law with the correction of Harkins & Brown.

A drop hangs by its surface tension, so a dropper that gives 50 mg of water gives 20 mg of a 40 % spirit. The outer
radius of the tip is not measured: it is inferred from a known drop and used for another liquid. All at 20 °C.
Against published drops the law holds within some 15 %; a calibration with the liquid itself is always better.
"""

import math
from collections.abc import Callable
from typing import Final

from station.science.numeric import MonotoneCubic, root

# Ph. Eur. 2.1.1 (from memory): 20 drops of water at 20 °C, one a second, weigh 1.000 ± 0.050 g.
PHARMACOPOEIA_DROP_G: Final = 1.000 / 20
# The ± is a limit on the sum of 20 drops. It is read as what one dropper may be off on every drop alike, and taken
# whole as a standard uncertainty; read as a rectangular limit it would be 0.6 of this.
PHARMACOPOEIA_DROP_SD_G: Final = 0.050 / 20

_GRAVITY_M_PER_S2: Final = 9.80665
_TOLERANCE: Final = 1e-13

# mN/m at 20 °C by mass fraction of ethanol: Vazquez, Alvarez & Navaza, J. Chem. Eng. Data 40 (1995) 611, from memory.
_TENSION: Final = MonotoneCubic.through(
    [
        (0.00, 72.75),
        (0.05, 56.41),
        (0.10, 48.14),
        (0.15, 42.72),
        (0.20, 38.56),
        (0.25, 36.09),
        (0.30, 33.53),
        (0.40, 30.69),
        (0.50, 28.51),
        (0.60, 26.72),
        (0.70, 25.48),
        (0.80, 24.32),
        (0.90, 23.23),
        (1.00, 22.31),
    ]
)
# Share of the hanging drop that falls, by r/V^(1/3): Harkins & Brown, J. Am. Chem. Soc. 41 (1919) 499, from memory,
# 0.30 to 1.0. The first point is Tate's law itself: a drop from a vanishing tip falls whole.
_DETACHMENT: Final = MonotoneCubic.through(
    [
        (0.00, 1.0000),
        (0.30, 0.7256),
        (0.35, 0.7011),
        (0.40, 0.6828),
        (0.45, 0.6669),
        (0.50, 0.6515),
        (0.55, 0.6362),
        (0.60, 0.6250),
        (0.65, 0.6171),
        (0.70, 0.6093),
        (0.75, 0.6032),
        (0.80, 0.6000),
        (0.85, 0.5992),
        (0.90, 0.5998),
        (0.95, 0.6034),
        (1.00, 0.6098),
    ]
)


def surface_tension_mn_per_m(mass_fraction: float) -> float:
    """Surface tension of ethanol-water at 20 °C, mN/m, mass fraction of ethanol 0..1, else ValueError.

    Interpolated, always falling, in the values of Vazquez, Alvarez & Navaza 1995 (from memory).
    """
    return _TENSION(mass_fraction)


def detachment(r_over_cube_root_v: float) -> float:
    """Share f of the hanging drop that falls, by tip radius over cube root of drop volume, 0..1, else ValueError.

    Harkins & Brown 1919 (from memory) from 0.30; below it joined to the limit f(0) = 1, good to some 2 %.
    """
    return _DETACHMENT(r_over_cube_root_v)


def drop_g(tip_radius_mm: float, tension: float, density: float) -> float:
    """Mass of a falling drop, g, from a tip of outer radius r, a liquid's tension in mN/m and density in g/ml.

    m g = 2 pi r sigma f(r/V^(1/3)), V = m/rho. With x = r/V^(1/3) that is x³ f(x) = rho g r² / (2 pi sigma), solved for x.
    Raises ValueError for a quantity not above 0 or a tip wider than the correction covers (x over 1).
    """
    _require_positive(tip_radius_mm, tension, density)
    wanted = math.cbrt(density * _GRAVITY_M_PER_S2 * tip_radius_mm**2 / (2.0 * math.pi * tension))
    x = _radius_ratio(lambda x: x * math.cbrt(detachment(x)) - wanted)
    return density * (tip_radius_mm / 10.0 / x) ** 3


def tip_radius_mm(drop_g: float, tension: float, density: float) -> float:
    """Outer radius of the tip that lets fall drops of this mass, mm: the inverse of `drop_g`, the same errors.

    With x = r/V^(1/3), V known: x f(x) = m g / (2 pi sigma V^(1/3)), solved for x.
    """
    _require_positive(drop_g, tension, density)
    cube_root_mm = 10.0 * math.cbrt(drop_g / density)
    wanted = 1000.0 * drop_g * _GRAVITY_M_PER_S2 / (2.0 * math.pi * tension * cube_root_mm)
    return cube_root_mm * _radius_ratio(lambda x: x * detachment(x) - wanted)


def transferred_drop_g(
    known_drop_g: float, known_mass_fraction: float, known_density: float, mass_fraction: float, density: float
) -> float:
    """Mass of a drop of one liquid, g, from a dropper known by its drop of another.

    Mass fractions are of ethanol in ethanol + water, which alone set the tension here: much sugar or salt raises it by up
    to a tenth, oils and soap lower it unseen. Densities in g/ml. Raises what `drop_g` raises.
    """
    radius_mm = tip_radius_mm(known_drop_g, surface_tension_mn_per_m(known_mass_fraction), known_density)
    return drop_g(radius_mm, surface_tension_mn_per_m(mass_fraction), density)


def _radius_ratio(residual: Callable[[float], float]) -> float:
    if residual(1.0) < 0.0:
        raise ValueError("the tip is too wide for its drop: the correction ends where radius = cube root of drop volume")
    return root(residual, 0.0, 1.0, _TOLERANCE)


def _require_positive(*quantities: float) -> None:
    for quantity in quantities:
        if not 0.0 < quantity < math.inf:
            raise ValueError(f"a drop needs mass or radius, tension and density above 0, not {quantity:g}")
