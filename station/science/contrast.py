"""How well a colour stands out from the one under it."""

from __future__ import annotations

_KNEE, _SLOPE, _SHIFT, _EXPONENT = 0.04045, 12.92, 0.055, 2.4
_WEIGHTS = (0.2126, 0.7152, 0.0722)
_FLARE = 0.05


def relative_luminance(red: float, green: float, blue: float) -> float:
    """Light a colour gives off, 0 for black to 1 for white, from its sRGB channels (each 0 to 1).

    WCAG 2.2, "relative luminance", after IEC 61966-2-1. Raises ValueError outside 0 to 1.
    """
    channels = (red, green, blue)
    if not all(0.0 <= channel <= 1.0 for channel in channels):
        raise ValueError("an sRGB channel is 0 to 1")
    return sum(weight * _linear(channel) for weight, channel in zip(_WEIGHTS, channels, strict=True))


def contrast_ratio(one: float, other: float) -> float:
    """The contrast of two relative luminances, 1 to 21, whichever is lighter. WCAG 2.2, "contrast ratio"."""
    lighter, darker = max(one, other), min(one, other)
    return (lighter + _FLARE) / (darker + _FLARE)


def _linear(channel: float) -> float:
    return channel / _SLOPE if channel <= _KNEE else float(((channel + _SHIFT) / (1.0 + _SHIFT)) ** _EXPONENT)
