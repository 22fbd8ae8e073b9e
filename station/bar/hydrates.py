"""Crystals sold with their water: what 100 g of each hold. Molar masses from the IUPAC/CIAAW abridged atomic weights."""

from __future__ import annotations

from station.science.acid import ACIDS

_WATER = 18.015
_GLUCOSE = 180.156


def _with_one_water(name: str, molar_mass: float) -> dict[str, float]:
    whole = molar_mass + _WATER
    return {name: 100.0 * molar_mass / whole, "water": 100.0 * _WATER / whole}


HYDRATES = {
    "citric-monohydrate": _with_one_water("citric", ACIDS["citric"].molar_mass),
    "glucose-monohydrate": _with_one_water("glucose", _GLUCOSE),
}
