"""Salts. So far only sodium chloride, and of it what a batch needs: the volume a gram fills and its molar mass. The
volume is the apparent one in water at 10 %; a salt's grows with its strength, from 0.295 ml/g at 1 % to 0.349 at 20 %,
so a strong saline comes out up to 0.6 % too dense and a seasoned drink not measurably wrong."""

from typing import Final

from station.science.solution import apparent_ml_per_g

SALT_MOLAR_MASS: Final = 58.443
# CRC Handbook 102nd ed.: sodium chloride, 10 % m/m, 20 °C, 1.0707 g/ml.
SALT_ML_PER_G: Final = apparent_ml_per_g(0.10, 1.0707)
