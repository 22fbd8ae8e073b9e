"""One serve out of a batch: how much of the mix is poured, and how the spec finishes it."""

from __future__ import annotations

from dataclasses import dataclass

from station.bar.nouns import Spec


@dataclass(frozen=True, slots=True)
class Serving:
    """`ml` and `g` of the mix for one serve (0 where all is made at the glass), with its dilution water if `diluted`; `glass_ml`
    is the drink as finished, with the water of the ice and what is added at the glass, without ice and garnish. The rest is the
    spec's own words."""

    ml: float
    g: float
    glass_ml: float
    diluted: bool
    for_freezer: bool
    method: str
    glass: str
    ice: str
    strain: str
    steps: tuple[str, ...]


def serving(spec: Spec, ml: float, g: float, glass_ml: float, diluted: bool) -> Serving:
    """A serve of so much of the mix."""
    return Serving(
        ml=ml,
        g=g,
        glass_ml=glass_ml,
        diluted=diluted,
        for_freezer=spec.batch == "freezer",
        method=spec.method,
        glass=spec.glass,
        ice=spec.ice,
        strain=spec.strain,
        steps=spec.steps,
    )
