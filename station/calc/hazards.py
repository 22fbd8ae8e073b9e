"""The words a bottle of acid bears. They orient; the supplier's safety data sheet decides."""

from __future__ import annotations

from collections.abc import Iterator

from station.bar.composition import Composition
from station.calc.caution import MAKE_LIMIT

CORROSIVE = "CONCENTRATE, CORROSIVE: eye protection and gloves; add it to water, slowly, never water to it; never a drink line"
BURNS = "MAY BURN eyes and skin: eye protection; rinse long with water"
IRRITATES = "IRRITATES eyes: rinse long with water"
IRRITATES_SKIN = "IRRITATES eyes and skin: rinse long with water"
SHEET = "See the supplier's safety data sheet."
# EU CLP: Annex VI for phosphoric and acetic acid (their own limits); Annex I tables 3.2.3 and 3.3.3 for mixtures with an acid
# that corrodes (lactic, from 5 %) or irritates eyes (citric, malic, tartaric, from 10 %). Mass fractions.
_FROM = {"phosphoric": 0.10, "acetic": 0.10, "lactic": 0.05, "citric": 0.10, "malic": 0.10, "tartaric": 0.10}
_WORDS = {"phosphoric": IRRITATES_SKIN, "acetic": IRRITATES_SKIN, "lactic": BURNS}
_ROUNDING = 1.0 - 1e-9


def hazard_words(per_g: Composition) -> tuple[str, ...]:
    """What stands on the bottle of a liquid that holds these acids; nothing where none is so strong."""
    words = tuple(dict.fromkeys(_words(per_g)))
    return (*words, SHEET) if words else ()


def _words(per_g: Composition) -> Iterator[str]:
    for acid, limit in MAKE_LIMIT.items():
        if per_g[acid] >= limit * _ROUNDING:
            yield CORROSIVE
    for acid, least in _FROM.items():
        if least * _ROUNDING <= per_g[acid] < MAKE_LIMIT.get(acid, 1.0) * _ROUNDING:
            yield _WORDS.get(acid, IRRITATES)
