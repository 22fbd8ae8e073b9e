"""What is in a liquid: alcohol, sugar, titratable acid and their ratio."""

from __future__ import annotations

from dataclasses import dataclass

from station.bar.composition import COMPONENTS, Composition
from station.calc.acidity import NO_ACID, acidity, ta_g
from station.science import freezing
from station.science.ethanol import ETHANOL_G_PER_ML

# Under this, a ratio of sugar to acid says nothing about a drink (g as citric per 100 ml).
LEAST_ACID = 0.05


@dataclass(frozen=True, slots=True)
class Balance:
    """Of the degassed liquid at 20 °C. Acid is titratable, as citric to pH 8.2. Where `ph` is None, `ph_note` says why.

    `freezing_c` is where ice first forms, an estimate (science.freezing); None out of its range.
    """

    ml: float
    g: float
    density_g_per_ml: float | None
    abv_pct: float | None
    ethanol_g: float
    sugar_g_per_100ml: float | None
    acid_g_per_100ml: float | None
    sugar_acid_ratio: float | None
    ph: float | None
    ph_note: str
    brix: float | None
    freezing_c: float | None

    @property
    def figures(self) -> dict[str, float | None]:
        """The figures a window may speak of, under its words."""
        return {
            "abv": self.abv_pct,
            "sugar": self.sugar_g_per_100ml,
            "acid": self.acid_g_per_100ml,
            "ratio": self.sugar_acid_ratio,
            "ph": self.ph,
        }


def abv_pct(liquid: Composition) -> float:
    """% vol at 20 °C; 0 where there is no volume."""
    ml = liquid.volume_ml
    return 100.0 * liquid["ethanol"] / ETHANOL_G_PER_ML / ml if ml > 0.0 else 0.0


def figures(liquid: Composition) -> tuple[float, float, float]:
    """Alcohol in % vol, sugar and acid (as citric) in g/100 ml, without what takes longer; 0 where there is no volume."""
    ml = liquid.volume_ml
    if ml <= 0.0:
        return 0.0, 0.0, 0.0
    return abv_pct(liquid), 100.0 * liquid.sugar_g / ml, 100.0 * ta_g(liquid) / ml


def balance(liquid: Composition) -> Balance:
    """The figures of a liquid; those that need a volume are None where there is none."""
    ml, grams = liquid.volume_ml, liquid.mass_g
    if ml <= 0.0:
        return Balance(0.0, grams, None, None, 0.0, None, None, None, None, NO_ACID, None, None)
    abv_pct = 100.0 * liquid["ethanol"] / ETHANOL_G_PER_ML / ml
    found = acidity(liquid, abv_pct)
    sugar, acid_per_100 = liquid.sugar_g, 100.0 * found.ta_g / ml
    return Balance(
        ml=ml,
        g=grams,
        density_g_per_ml=grams / ml,
        abv_pct=abv_pct,
        ethanol_g=liquid["ethanol"],
        sugar_g_per_100ml=100.0 * sugar / ml,
        acid_g_per_100ml=acid_per_100,
        sugar_acid_ratio=sugar / found.ta_g if acid_per_100 >= LEAST_ACID else None,
        ph=found.ph,
        ph_note=found.ph_note,
        brix=100.0 * sugar / grams,
        freezing_c=freezing_c(liquid),
    )


def freezing_c(liquid: Composition) -> float | None:
    """Where ice first forms in it, °C; None where that is not known."""
    try:
        return freezing.freezing_c(dict(zip(COMPONENTS, liquid.amounts, strict=True)))
    except ValueError:
        return None


def ice_share(liquid: Composition, t_c: float) -> float | None:
    """The part of its water that is ice at `t_c` °C; None where that is not known."""
    try:
        return freezing.ice_share(dict(zip(COMPONENTS, liquid.amounts, strict=True)), t_c)
    except ValueError:
        return None
