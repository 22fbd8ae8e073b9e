"""A theme as the framework knows one."""

from __future__ import annotations

from textual.theme import Theme as Worn

from station.bar.theme import Theme

# What the framework's own parts are painted in is the ground under the panes: no more is carried over.
_OWN = "ansi_default"


def worn(theme: Theme) -> Worn:
    """The theme for the framework, named by its colours: two files may share a name."""
    ground, ink = (_OWN, _OWN) if theme.terminal else (theme.background, theme.foreground)
    name = f"{ground}-{ink}".replace("#", "")
    colours = {"primary": ink, "foreground": ink, "background": ground, "surface": ground, "panel": ground}
    variables = {"ansi-background": _OWN, "ansi-foreground": _OWN} if theme.terminal else {}
    return Worn(name=name, variables=variables, dark=theme.dark, ansi=theme.terminal, **colours)  # type: ignore[arg-type]  # all are texts
