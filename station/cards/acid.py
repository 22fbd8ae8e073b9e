"""Answers about acid as plain text: a juice adjusted, a juice replaced, the acids of a liquid by kind."""

from __future__ import annotations

from collections.abc import Mapping

from station.bar import say
from station.bar.nouns import Library
from station.calc.answers import AdjustedJuice, AdjustedSize, BoughtAcid, ReplacedJuice
from station.cards.layout import table, wrap
from station.cards.text import WIDTH, figure_rows, ph_note, plainly


@plainly
def adjusted(answer: AdjustedJuice, library: Library) -> list[str]:
    """Both ways to bring a juice to an acidity, and how near its acids come to the juice it imitates."""
    start = f"{say.number(answer.start.acid_g_per_100ml)} g/100 ml"
    target = f"{say.number(answer.target_g_per_100ml)} g/100 ml as citric"
    return [
        answer.name,
        f"from {start} to {target}" + (f", as {library.name_of(answer.to)}" if "/" not in answer.to else ""),
        "",
        f"Add to {say.volume(answer.add_to.juice_ml)} = {say.grams(answer.add_to.juice_g)} of it:",
        *_size(answer.add_to, library),
        "",
        f"Or make up to {say.volume(answer.make_up_to.result.ml)}:",
        f"  juice {say.volume(answer.make_up_to.juice_ml)} = {say.grams(answer.make_up_to.juice_g)}",
        *_size(answer.make_up_to, library),
        "",
        f"Acids of the result: {_kinds(answer.kinds)}",
        *([f"Acids of {library.name_of(answer.to)}: {_kinds(answer.target_kinds)}"] if answer.target_kinds else []),
        *([f"In common by kind: {say.percent(answer.alike, 'of all acid, w/w')}"] if answer.alike is not None else []),
    ]


@plainly
def replaced(answer: ReplacedJuice, library: Library) -> list[str]:
    """What stands in for a juice line, and the glass before and after."""
    rows = [(line.name, say.grams(line.g), say.volume(line.ml) if line.ml is not None else "") for line in answer.lines]
    return [
        f"{answer.name}: in place of {library.name_of(answer.item)}",
        "",
        *table(rows, right=frozenset({1, 2})),
        "",
        *table([("", "before", "after", "", ""), *figure_rows(answer.before, answer.after, {})], right=frozenset({1, 2})),
        *ph_note(answer.after),
        "",
        f"Its acids were {_kinds(answer.kinds)}; now {_kinds(answer.stand_in_kinds)}.",
        *wrap(answer.loses, WIDTH, hang=""),
    ]


def _size(one: AdjustedSize, library: Library) -> list[str]:
    result = one.result
    ph = f", pH {say.ph(result.ph, bool(result.ph_note))}" if result.ph is not None else ""
    note = [f"  pH: {result.ph_note}"] if result.ph_note else []
    return [
        *([] if one.acids_g else ["  nothing to add: it is there"]),
        *(f"  {_acid(name, grams, one.as_bought, library)}" for name, grams in one.acids_g.items()),
        f"  makes {say.volume(result.ml)}: TA {say.number(result.acid_g_per_100ml)} g/100 ml as citric{ph}, "
        f"{say.number(result.brix)} °Bx (sugar, w/w)",
        f"  by weight all its acids: {say.number(one.acid_pct_ww)} % w/w = {say.number(one.acid_g_per_100ml)} g per 100 ml (w/v)",
        *note,
    ]


def _acid(name: str, grams: float, bought: tuple[BoughtAcid, ...], library: Library) -> str:
    source = next((one for one in bought if one.acid == name), None)
    if source is None or source.g is None:
        return f"{name} {say.grams(grams)} (the house buys none)"
    return f"{library.name_of(source.item)} {say.grams(source.g)} as bought, {say.grams(grams)} of it {name}"


def _kinds(shares: Mapping[str, float]) -> str:
    return ", ".join(f"{name} {say.percent(share, 'w/w')}" for name, share in shares.items())
