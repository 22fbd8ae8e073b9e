"""Generated from units.txt by `python -m station.bar.units`. Do not edit."""

ML = {"ml": 1.0, "cl": 10.0, "dl": 100.0, "l": 1000.0}
G = {"g": 1.0, "kg": 1000.0, "mg": 0.001, "oz wt": 28.349523125, "lb": 453.59237}
OUNCE_ML = {
    "us": {"oz": 29.5735295625, "cup": 236.5882365, "pint": 473.176473, "gal": 3785.411784},
    "imperial": {"oz": 28.413062500000002, "cup": 284.130625, "pint": 568.26125, "gal": 4546.09},
    "30 ml": {"oz": 30.0, "cup": 240.0, "pint": 480.0, "gal": 3840.0},
}
SPOON_ML = {
    "us": {"tsp": 4.928921593749999, "tbsp": 14.78676478125},
    "metric": {"tsp": 5.0, "tbsp": 15.0},
    "au": {"tsp": 5.0, "tbsp": 20.0},
    "imperial": {"tsp": 5.919388020833333, "tbsp": 17.7581640625},
}
