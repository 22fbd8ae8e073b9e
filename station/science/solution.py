"""A solute in water: from a measured density to the volume a gram of it takes."""

from station.science.ethanol import WATER_G_PER_ML


def apparent_ml_per_g(mass_fraction: float, density_g_per_ml: float) -> float:
    """Apparent specific volume at 20 °C of a solute in water, ml/g, from the density of one solution.

    v = (1/rho - (1-w)/rho_w) / w, mass fraction w over 0 up to 1, else ValueError. A density given to 0.0001 g/ml
    settles v to 0.0005 ml/g at 10 %.
    """
    if not 0.0 < mass_fraction <= 1.0 or not density_g_per_ml > 0.0:
        raise ValueError(f"no solution has mass fraction {mass_fraction:g} and density {density_g_per_ml:g} g/ml")
    return (1.0 / density_g_per_ml - (1.0 - mass_fraction) / WATER_G_PER_ML) / mass_fraction
