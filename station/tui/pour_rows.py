"""The pour view's rows: a step in large figures, the ways on from a mis-pour, the end; what matters least gives way first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from station.bar import say
from station.bar.nouns import OF_EDIT, Library, Vessel, is_of_edit
from station.calc.backwards import Way
from station.calc.batch import Fill
from station.calc.correct import LEAVE, NEAREST, OVER_FILL
from station.cards import poured as cards
from station.cards.backwards import differs, does, ends, off_card, short, title, worst
from station.cards.serving import serves_said
from station.cards.text import state, until
from station.desk.open_pour import OpenPour
from station.desk.wrong_bottle import name_of
from station.tui.figures import HEIGHT, large
from station.tui.pane import Row, columns, row, wrapped

# From so many columns on there is room for the plan beside what is, and for the grams of a way.
_ROOMY = 59
_GRAMS = 72
# What gives way first where the screen is too low, the last named last.
_ALWAYS, _WANTED, _NICE, _LONG, _BLANK = range(5)


@dataclass(frozen=True, slots=True)
class Block:
    """Rows that stand or give way together; the higher its `gives` the sooner. `way` is the number of the way on it is."""

    rows: Sequence[Row]
    gives: int = _ALWAYS
    way: int = 0


def that_fit(blocks: Sequence[Block], height: int) -> list[Block]:
    """The blocks that fit, those that give way soonest left out, of equal ones the later first."""
    kept = list(blocks)
    while sum(len(one.rows) for one in kept) > height:
        place, weakest = max(enumerate(kept), key=lambda at: (at[1].gives, at[0]))
        if weakest.gives == _ALWAYS:
            break
        del kept[place]
    return kept


def low(height: int) -> bool:
    """Whether there is room for one large figure only."""
    return height < 2 * HEIGHT + 9


def head(pour: OpenPour, width: int, height: int) -> list[Block]:
    """The drink, DILUTED or UNDILUTED, how far one is, grams in by now; what was left off the card, for as long as it is."""
    answer = pour.answer
    count = answer.mixes[0].count
    name = ((f"{answer.name}  ", "strong"), (state(answer.diluted), "accent"))
    notes = [(f"one of {count} equal mixes", "dim")] if count > 1 else []
    notes += [(OF_EDIT, "warn")] if is_of_edit(answer.spec_revision) else []
    return [
        Block([*_named(name, notes, width), row(_grams_in(pour, width))]),
        Block(wrapped(pour.brief_mark if low(height) else pour.mark, width, "warn", "  ")),
        Block(wrapped(pour.overflow, width, "warn", "  "), _WANTED if low(height) else _ALWAYS),
        Block([row()], _BLANK),
    ]


def _named(name: Row, notes: Sequence[tuple[str, str]], width: int) -> list[Row]:
    """Which drink, and what is to be known of all of it: beside the name where there is room."""
    rows = [name]
    for text, style in notes:
        beside = (*rows[-1], (f"  {text}", style))
        fits = sum(len(part) for part, _ in beside) <= width
        rows = [*rows[:-1], beside] if fits else [*rows, row(text, style)]
    return rows


def step_screen(pour: OpenPour, typing: str, library: Library, width: int, height: int) -> list[Block]:
    """The step with as many large figures as there is room for."""
    first, last = head(pour, width, height), foot(pour, library, width)
    marks = sum(len(block.rows) for block in first[:3]) - 2
    shapes = _SHAPES[1:] if low(height - marks) else _SHAPES
    brief = [Block(wrapped(cards.at_the_end_brief(pour.come_to), width), _WANTED), *last[1:]]
    # What it comes to is wanted as long as the reading stays large.
    wanted = [(shape, end, len(end[0].rows)) for end in (last, brief) for shape in shapes if shape != _NONE]
    for shape, end, rows in [*wanted, *((shape, last, 0) for shape in shapes)]:
        blocks = [*first, *_step(pour, typing, width, shape), *end]
        if rows + sum(len(block.rows) for block in blocks if block.gives == _ALWAYS) <= height:
            break
    return blocks


# Amount and reading large; the reading alone; that, and all that is asked in one row; nothing large.
_SHAPES = _BOTH, _READING, _CLOSE, _NONE = range(4)


def _step(pour: OpenPour, typing: str, width: int, shape: int) -> list[Block]:
    """What to add and what the scale should read then; what is typed stands in the reading's place."""
    step = pour.steps[0]
    does, reads = f"{step.does} {step.amount} {step.into}", f"{typing} g" if typing else step.reads
    asked = f"it should read {step.reads}; it reads:" if typing else f"until {step.scale} reads:"
    blocks = [Block([row(step.title, "strong")])]
    if shape == _BOTH and any(map(str.isdecimal, step.amount)):
        blocks.append(Block([row(f"{step.does}, {step.into}:", "dim"), *_big(step.amount, width)]))
    elif shape == _CLOSE:
        asked = asked if typing else f"{does}; reads then:"
    else:
        blocks.append(Block([row(does)]))
    blocks.append(Block([row()], _BLANK))
    in_text = wrapped(f"{asked} {reads}", width, "accent")
    blocks.append(Block(in_text if shape == _NONE else [*wrapped(asked, width, "dim"), *_big(reads, width)]))
    blocks.append(Block([row("Enter takes it as read, Esc forgets it", "dim")] if typing else [], _NICE))
    return [*blocks, *_after_reading(pour, width)]


def _after_reading(pour: OpenPour, width: int) -> list[Block]:
    """What was doubted, what is to be known of the step (its row is kept, so that nothing moves), and what follows it."""
    following = pour.steps[1] if len(pour.steps) > 1 else None
    then = f"then: {following.title} {following.amount}" if following else "then: done"
    doubt, note = wrapped(pour.doubt, width, "warn"), wrapped(pour.steps[0].note, width, "warn")
    return [
        Block(doubt),
        Block(note, _WANTED) if note else Block([row()], _LONG),
        Block([row()], _BLANK),
        Block([row(then, "dim")], _NICE),
    ]


def whole_way(pour: OpenPour, at: int, first: list[Block], last: list[Block], width: int, height: int) -> list[Block]:
    """All that the way at hand does, for a screen that is too low for it beside the others; under the head if it fits."""
    way = [
        Block([_way_row(pour.ways[at], at + 1, True, width, pour.pour.taste)], way=at + 1),
        Block(_detail(pour, pour.ways[at], width)),
    ]
    whole = [*first, *way, *last]
    return whole if sum(len(block.rows) for block in whole) <= height else [*way, *last]


def all_told(pour: OpenPour, width: int, height: int) -> bool:
    """Whether every way on has room for what it does, each beside the others."""
    return sum(len(block.rows) for block in _each_way(pour, 0, width)) <= height


def way_blocks(pour: OpenPour, at: int, width: int, height: int) -> list[Block]:
    """What missed, the ways on with their keys, and what each does; on a low screen what the one at hand does."""
    missed, each = _missed(pour, width), _each_way(pour, at, width)
    if sum(len(block.rows) for block in each) <= height:
        return each
    titles = each[len(missed) :: 2]
    return [*missed, *titles, Block([row()], _BLANK), each[len(missed) + 1 + 2 * at]]


def _missed(pour: OpenPour, width: int) -> list[Block]:
    return [Block(wrapped(pour.missed, width, "strong", "  ")), Block([row()], _BLANK)]


def _each_way(pour: OpenPour, at: int, width: int) -> list[Block]:
    """What missed, then a title and what it does by turns."""
    blocks, taste = _missed(pour, width), pour.pour.taste
    for number, way in enumerate(pour.ways, 1):
        blocks.append(Block([_way_row(way, number, number == at + 1, width, taste)], way=number))
        blocks.append(Block(_detail(pour, way, width)))
    return blocks


def other_screen(pour: OpenPour, item: str, into: str, typing: str, library: Library, width: int, height: int) -> list[Block]:
    """Something else went in than was asked: what the scale reads with it in."""
    elsewhere = [place for place in pour.can_go_into(item) if place != into]
    tab = f" Tab: it went into the {elsewhere[0]}." if elsewhere else ""
    asked = f"{pour.read_before(into)}. What does that scale read with it in?{tab}"
    reads = f"{typing} g"
    figure = wrapped(reads, width, "accent") if low(height) else _big(reads, width)
    told = Block([*wrapped(asked, width), *(figure if typing else [])])
    forgets = "Enter takes it as read; Esc: it did not go in"
    return [
        *head(pour, width, height),
        Block(wrapped(f"{name_of(library, item)} went into the {into}", width, "strong")),
        Block(wrapped(f"not asked for: {pour.steps[0].title}", width, "dim"), _NICE),
        Block([row()], _BLANK),
        told,
        Block(wrapped(pour.doubt, width, "warn")),
        Block(wrapped(forgets, width, "dim"), _NICE),
        *foot(pour, library, width),
    ]


def stop_blocks(pour: OpenPour, width: int) -> list[Block]:
    """Why it must be discarded, and what is to be done."""
    return [
        Block(wrapped("DISCARD, do not correct.", width, "warn")),
        Block(wrapped(pour.stop, width, "text", "  ")),
        Block(wrapped(pour.missed, width, "text", "  "), _WANTED),
        Block([row()], _BLANK),
        Block(wrapped("Pour all of it away, wash the vessel and what touched it, begin the card again.", width)),
        Block(wrapped("Enter: it is poured away, and the log says why. ⌫: that did not go in.", width, "dim"), _WANTED),
    ]


def end_blocks(pour: OpenPour, library: Library, width: int, height: int) -> list[Block]:
    """What is in it now, as the vessel's label and who serves it want to know."""
    answer, one = pour.answer, pour.come_to
    share = one.ends.g / one.planned.g if one.planned.g else 1.0
    fills = [fill for fill in answer.fills if fill.count > answer.mixes[0].count]
    said = [_fill(fill, library.house.vessels[fill.vessel], share) for fill in fills]
    said += [f"{line.when}: {library.name_of(line.item)}, {line.each} a glass" for line in answer.service]
    turn = "first" if low(height) else "before the first pour"
    blocks = [Block(wrapped(f"All lines are in. Turn it over {turn}.", width, "strong"))]
    blocks.append(Block(wrapped(pour.logged, width, "accent", "  ")))
    count = answer.mixes[0].count
    blocks.append(Block(wrapped(f"One of {count} equal mixes: close it, then p pours the next.", width) if count > 1 else []))
    blocks.append(Block([row()], _BLANK))
    in_it = cards.in_it(one, library.house.standard_drink_g, beside=width >= _ROOMY)
    blocks += [Block(wrapped(text, width, "text", "  "), _WANTED if at else _ALWAYS) for at, text in enumerate(in_it)]
    blocks += [Block(wrapped(text, width), _WANTED) for text in (*said, f"use by {until(answer.use_by, library.house)}")]
    blocks.append(Block([row()], _BLANK))
    for caution in answer.cautions:
        note = caution.word == "NOTE"
        text = wrapped(f"{caution.word}: {caution.text}", width, "dim" if note else "warn", "  ")
        blocks.append(Block(text, _LONG if note else _NICE))
    return [*blocks, Block(_allergens(pour, width), _WANTED)]


def foot(pour: OpenPour, library: Library, width: int) -> list[Block]:
    """What is in by now and what it comes to by what is in, and the allergens."""
    one, drink_g = pour.come_to, library.house.standard_drink_g
    comes_to = [line for text in cards.at_the_end(one, drink_g) for line in wrapped(text, width, "text", "  ")]
    return [
        Block(comes_to, _WANTED),
        Block(wrapped(cards.in_now(one, drink_g, cups=bool(pour.in_cups_g)), width), _NICE),
        Block(_allergens(pour, width), _WANTED),
    ]


def _grams_in(pour: OpenPour, width: int) -> str:
    """How far one is, and the grams in the vessel; beside it those in a cup still, which the vessel's scale does not show."""
    vessel_g, cups_g = pour.in_vessel_g, pour.in_cups_g
    there = f"{_far(pour)} · {say.grams(vessel_g)} in"
    if pour.over:
        return there
    if not cups_g:
        return f"{there} of {say.grams(pour.come_to.ends.g)}"
    beside = f"{there} of {say.grams(pour.come_to.ends.g)}, {say.grams(cups_g)} in the cup"
    return beside if len(beside) <= width else f"{there}, cup {say.grams(cups_g)}"


def _far(pour: OpenPour) -> str:
    """Which of the lines one pours is at hand; what is stirred, tipped or taken out is none."""
    there = pour.pour
    if pour.over:
        return "done"
    if pour.putting_in or pour.missed:
        return f"line {there.poured + pour.putting_in} of {there.weighings}"
    return f"{there.poured} of {there.weighings} lines in"


def _way_row(way: Way, number: int, chosen: bool, width: int, taste: float) -> Row:
    """A way in one row: its number, marked if chosen, what it makes and what speaks against it, as there is room for."""
    serves, full = f"{serves_said(way.serves)} serves", "" if way.fits_vessel and way.fits_scale else "too full"
    against = ", ".join(part for part in (full, worst(way, taste)) if part)
    style, first = "chosen" if chosen else "text", (f"{'▸' if chosen else ' '}{number}", 2, ">")
    if width >= _GRAMS:
        last = [(say.grams(way.total_g), 9, ">"), (serves, 13, ">"), (against, 24, "<")]
        return columns([first, (short(way), width - 52, "<"), *last], style)
    both = f"{serves}, {against}" if against else serves
    said = next((text for text in (both, against, worst(way, taste)) if text and len(text) <= width - 4 - len(short(way))), full)
    return columns([first, (short(way), width - 4 - len(said), "<"), (said, len(said), ">")], style)


def _detail(pour: OpenPour, way: Way, width: int) -> list[Row]:
    """What the hands do, what it makes, and what of the vessel's figures is not the card's."""
    does_it, makes = (f"{title(way)}: {does(way)}", "text"), (ends(way), "dim")
    # Which line was left is said above; where lines were weighed against one another each is named.
    lines_off = off_card(way) if way.way == NEAREST else ""
    figures = ("; ".join(filter(None, [differs(way, pour.come_to.planned), lines_off])), "dim")
    # What counts of leaving it is what moves; on a low screen only the first rows are seen.
    said = [figures, makes, does_it] if way.way == LEAVE else [does_it, makes, figures]
    return [
        *(part for text, style in said for part in wrapped(f"  {text}", width, style, "   ")),
        *wrapped(f"  does not fit: {way.note}" if way.note else "", width, "warn", "   "),
    ]


def _fill(fill: Fill, vessel: Vessel, share: float) -> str:
    """What each vessel gets of what is really there, `share` of what was planned."""
    over = f", over the {say.volume(vessel.fill_ml)} it is filled to" if fill.ml * share > vessel.fill_ml * OVER_FILL else ""
    return f"Fill {fill.count} × {vessel.name}: {say.grams(fill.g * share)} each{over}"


def _allergens(pour: OpenPour, width: int) -> list[Row]:
    return wrapped(f"Allergens: {say.allergens(pour.answer.allergens)}", width, "text", "  ")


def _big(text: str, width: int) -> list[Row]:
    return [row(line, "accent") for line in large(text, width)]
