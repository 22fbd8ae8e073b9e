"""Large figures: digits of three by five blocks, twice as wide where there is room."""

from __future__ import annotations

_DIGITS = {
    "0": ("###", "# #", "# #", "# #", "###"),
    "1": (" # ", "## ", " # ", " # ", "###"),
    "2": ("###", "  #", "###", "#  ", "###"),
    "3": ("###", "  #", " ##", "  #", "###"),
    "4": ("# #", "# #", "###", "  #", "  #"),
    "5": ("###", "#  ", "###", "  #", "###"),
    "6": ("###", "#  ", "###", "# #", "###"),
    "7": ("###", "  #", "  #", " # ", " # "),
    "8": ("###", "# #", "###", "# #", "###"),
    "9": ("###", "# #", "###", "  #", "###"),
    ".": (" ", " ", " ", " ", "#"),
    "-": ("   ", "   ", "###", "   ", "   "),
}
HEIGHT = 5


def large(text: str, width: int) -> list[str]:
    """`text` (a number and its unit) in HEIGHT rows of at most `width` columns; as plain text where even that is too narrow."""
    number, _, unit = text.replace("\u00a0", " ").rpartition(" ")
    number = number.replace(" ", "")
    for wide in (2, 1):
        rows = [_row(number, row, wide) for row in range(HEIGHT)]
        if len(rows[0]) + 1 + len(unit) <= width:
            rows[-1] = f"{rows[-1]} {unit}"
            return rows
    return [text]


def _row(number: str, row: int, wide: int) -> str:
    cells = (_DIGITS.get(char, ("   ",) * HEIGHT)[row] for char in number)
    return " ".join("".join(("█" if bit == "#" else " ") * wide for bit in cell) for cell in cells)
