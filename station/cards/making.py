"""The making card of a stock: what to weigh, water first, and its label."""

from __future__ import annotations

from station.bar import say
from station.bar.nouns import House
from station.calc.answers import MadeStock
from station.cards.labels import label
from station.cards.layout import table
from station.cards.text import WIDTH, acid_in, caution_lines, lot_line, plainly, title, wrapped


@plainly
def making_card(answer: MadeStock, house: House, width: int = WIDTH) -> list[str]:
    """What to weigh for a stock, water first and acid into it, how strong it is by both bases, and its label."""
    rows = [(f"{place}", line.name, say.grams(line.g), acid_in(line.acid_g)) for place, line in enumerate(answer.lines, 1)]
    return [
        *title(answer.name, f"UNDILUTED, a stock: makes {say.grams(answer.g)} = {say.volume(answer.ml)} at 20 °C"),
        *table(rows, right=frozenset({2})),
        "",
        *wrapped(_capital(answer.parts)),
        *wrapped(answer.method),
        *(line for place, step in enumerate(answer.steps, 1) for line in wrapped(f"{place}. {step}")),
        *wrapped(answer.notes),
        *(
            [f"Loss: {say.grams(answer.lost_g)} boils off, stays in pots and filters, or is strained out"]
            if answer.lost_g
            else []
        ),
        "",
        *_strengths(answer),
        f"Density: {say.number(answer.density_g_per_ml, 4)} g/ml at 20 °C",
        *wrapped(answer.yield_note),
        *(line for lot in answer.lots for line in wrapped(f"From {lot_line(lot)}")),
        "",
        "LABEL",
        *(f"  {line}" for line in label(answer.label, house, width - 2)),
        *caution_lines(answer.cautions, width),
    ]


def _strengths(answer: MadeStock) -> list[str]:
    """Each strength by weight and by volume."""
    acids = [(acid, share, answer.strength_wv[acid]) for acid, share in answer.strength.items()]
    whole = [("salt", answer.salt_pct_ww, answer.salt_pct_wv), ("sugar", answer.brix, answer.sugar_pct_wv)]
    said = [(name, ww, wv) for name, ww, wv in (*acids, *whole) if ww > 0.0]
    lines = [f"Strength: {name} {say.number(ww)} % w/w = {say.number(wv)} g per 100 ml (w/v)" for name, ww, wv in said]
    return [*lines, *([f"Sugar: {say.number(answer.brix)} °Bx (g per 100 g)"] if answer.brix else [])]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
