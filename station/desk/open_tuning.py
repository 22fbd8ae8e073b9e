"""A drink being tuned: figures grabbed and set, lines that may move, the answer live; taken into the document as one edit."""

from __future__ import annotations

from collections.abc import Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field

from station.bar.amount import AmountError
from station.bar.composition import Composition
from station.bar.fault import CannotAnswer
from station.bar.nouns import Spec
from station.bar.units import COUNTED
from station.calc.backwards import Tuned
from station.calc.balance import Balance, balance
from station.calc.drink import Drink
from station.calc.movers import movers
from station.calc.tune import FIGURES
from station.desk.document import Document
from station.desk.look import sound_drink
from station.desk.tuning import WITHIN, figure_of, movable, tuned_spec, wish_of
from station.science.weighing import COUNTED_SURELY

__all__ = ["FIGURES", "WITHIN", "OpenTuning", "figure_of", "open_tuning"]

NOTHING_WISHED = "Grab a figure and type what it shall be."
NOTHING_MOVES = "Choose the lines that may move."


@dataclass(slots=True)
class OpenTuning:
    """`wishes` is what was typed beside each figure, `moving` the lines that may move; an `answer` that is text says why.

    Which lines may move follows what is wished, until the person has `chosen` them. `at` is the line one came from.
    """

    document: Document
    spec: Spec
    before: Drink
    # The glass of it: the figures as they are.
    now: Balance
    at: int
    wishes: dict[str, str] = field(default_factory=dict)
    moving: set[int] = field(default_factory=set)
    chosen: bool = False
    answer: Tuned | str = NOTHING_WISHED

    @property
    def window(self) -> Mapping[str, tuple[float, float]]:
        """The usual ranges of the drink's style."""
        found = self.document.opened.library.windows.get(self.spec.style)
        return found.figures if found else {}

    def wish(self, figure: str, text: str) -> None:
        """What a figure shall be: a number in its unit, or `within` its window; nothing takes the wish back."""
        if text:
            self.wishes[figure] = text
        else:
            self.wishes.pop(figure, None)
        self._reckon()

    def toggle(self, place: int) -> bool:
        """Whether a line may move, turned. False for one that cannot."""
        if not self.can_move(place):
            return False
        self.moving ^= {place}
        self.chosen = True
        self._reckon()
        return True

    def as_left(self, other: OpenTuning) -> None:
        """The wishes and the lines that may move of one that was left, if it was of the same drink as it still stands."""
        if other.document is self.document and other.spec == self.spec:
            self.wishes, self.moving, self.chosen = other.wishes, other.moving, other.chosen
            self._reckon()

    def can_move(self, place: int) -> bool:
        return movable(self.before.poured[place])

    def take(self, exactly: bool) -> str:
        """The answer into the document, as one edit, and what that was. Raises CannotAnswer."""
        answer = self.answer
        if isinstance(answer, str):
            raise CannotAnswer("there is nothing to take", answer)
        texts = [line.exact_text if exactly else line.pourable_text for line in answer.lines]
        amounts = dict(zip(sorted(self.moving), texts, strict=True))
        if all(self.document.texts[place] == text for place, text in amounts.items()):
            finer = "" if exactly else ", or take it exactly"
            raise CannotAnswer("no amount would change", f"let another line move{finer}")
        try:
            self.document.set_amounts(amounts)
        except AmountError:
            raise CannotAnswer("a line comes to nothing", "take that line out, or take the amounts as poured") from None
        return f"taken {'exactly' if exactly else 'as it can be poured'}; u takes it back, s saves it"

    @property
    def _brings(self) -> Mapping[int, Composition]:
        return {place: line.composition for place, line in enumerate(self.before.poured) if self.can_move(place)}

    @property
    def _dosed(self) -> frozenset[int]:
        return frozenset(place for place, line in enumerate(self.spec.lines) if line.amount.measures in {"counted", "mass"})

    def _reckon(self) -> None:
        """The answer; by the lines a person chose, else by the first suggested that meet the wishes as poured, with no more drops
        or dashes than one counts surely.

        Where none do, by the first that meet them exactly; where none do that either, by the usual lines (the second suggested).
        """
        if self.chosen:
            self.answer = self._answer(self.moving)
            return
        found = list[tuple[frozenset[int], Tuned | str]]()
        for lines in movers(self._brings, self.wishes.keys(), self.at, self._dosed):
            found.append((lines, self._answer(lines)))
            if _is_met_as_poured(found[-1][1]) and _is_counted_surely(found[-1][1]):
                break
        possible = [one for one in found if not isinstance(one[1], str) and one[1].possible and _is_counted_surely(one[1])]
        poured = [one for one in possible if _is_met_as_poured(one[1])]
        lines, self.answer = (*poured, *possible, *found[1:], *found)[0]
        self.moving = set(lines)

    def _answer(self, lines: AbstractSet[int]) -> Tuned | str:
        opened = self.document.opened
        if not self.wishes:
            return NOTHING_WISHED
        if not lines:
            return NOTHING_MOVES
        try:
            wishes = [wish_of(f"{figure}={text}", self.spec, opened.library) for figure, text in self.wishes.items()]
            return tuned_spec(opened.blends, self.spec, sorted(lines), wishes)
        except (AmountError, CannotAnswer) as error:
            return str(error)


def _is_met_as_poured(answer: Tuned | str) -> bool:
    return not isinstance(answer, str) and answer.possible and all(wish.met_as_poured for wish in answer.wishes)


def _is_counted_surely(answer: Tuned | str) -> bool:
    """Whether no line that is counted grows past what a hand counts without a slip."""
    return isinstance(answer, str) or not any(
        line.unit in COUNTED and line.pourable > max(line.was, COUNTED_SURELY) for line in answer.lines
    )


def open_tuning(document: Document, at: int) -> OpenTuning:
    """The drink as it stands, opened from its line at `at`. Raises CannotAnswer."""
    if lacking := document.lacking:
        raise CannotAnswer(lacking, "write it first")
    spec = document.spec
    before = sound_drink(document.opened.blends, spec)
    return OpenTuning(document, spec, before, balance(before.glass), at)
