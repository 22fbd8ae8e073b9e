"""The batch card, live: say how much, and every line stands there as grams on a scale."""

from __future__ import annotations

from datetime import UTC, datetime

from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.bar.nouns import ROUNDINGS, Spec
from station.bar.shown_as import in_volume
from station.calc.answers import Batched
from station.cards.text import batch_card
from station.desk.batching import batched_spec, target_of_text, targets_to_pick
from station.desk.logging import news
from station.desk.on_shelf import EMPTY, shelf_of
from station.desk.opening import Opened
from station.desk.pour_log import Place, left_at
from station.desk.printing import kept_card
from station.tui.card_view import CardView, scrolling
from station.tui.field import Card, Field
from station.tui.pane import KeyAction
from station.tui.view import Host

# Keys that do nothing where no card stands.
_OF_A_CARD = frozenset({"batch.pour", "batch.water", "batch.keep", "batch.units"})
_EXAMPLES = "type e.g. 40 serves, 1.5 l, 2 pitchers, lime-juice=400 ml"


class BatchView(CardView):
    """Target above, card below."""

    def __init__(self, host: Host, shelf: Opened) -> None:
        self.shelf = shelf
        super().__init__(host, Field("Make", _EXAMPLES, self.ask, self.tapped), Card(classes="card"), "batch")
        self.spec: Spec | None = None
        self.lots = EMPTY
        self.water: bool | None = None
        self.answer: Batched | None = None
        self.rounding = ""
        # The unit volumes are shown in, "" for the house's; grams always stand beside.
        self.shown_as = ""

    @property
    def KEYS(self) -> tuple[KeyAction, ...]:  # type: ignore[override]  # noqa: N802  # they depend on where one is
        back = KeyAction("batch.back", ("escape",), "back", hint="Esc", label="back")
        moves = scrolling("batch")
        if not self.on_card:
            return (
                KeyAction("batch.type", (), "switch_pane", hint="type", label="how much"),
                KeyAction("batch.card", ("enter", "tab"), "switch_pane", hint="Enter", label="to card"),
                back,
                KeyAction("batch.pick", ("right",), "pick", 1, hint="←→", label="pick a vessel"),
                KeyAction("batch.pick-back", ("left",), "pick", -1),
                *moves,
            )
        water = "without water" if self.answer and self.answer.diluted else "with water"
        keys = (
            KeyAction("batch.pour", ("p",), "pour", hint="p", label="pour"),
            KeyAction("batch.water", ("w",), "toggle_water", hint="w", label=water),
            KeyAction("batch.target", ("tab",), "switch_pane", hint="Tab", label="how much"),
            KeyAction("batch.units", ("o",), "turn_units", hint="o", label="ml or oz"),
            KeyAction("batch.keep", ("t",), "keep_card", hint="t", label="card to a file", writes=True),
            KeyAction("batch.round", ("r",), "round_next", hint="r", label=self._next_rounding() or "exact"),
            back,
            *moves,
        )
        return keys if self.answer else tuple(one for one in keys if one.id not in _OF_A_CARD)

    def take(self, spec: Spec) -> None:
        """The spec to batch, as it stands, from the lots that are there; a pour that was left brings its target back."""
        left, trouble = self._look_into_log(spec.id)
        self.spec, self.answer, self.on_card = spec, None, False
        self.rounding = left.asked.rounding if left and left.asked.rounding in ROUNDINGS else ""
        self.water = left.asked.water if left else None
        self.target.propose(left.asked.target if left else targets_to_pick(self.shelf.library)[0])
        self.target.activate(True)
        self.ask()
        if trouble:
            self.host.say(trouble, "warn")
        elif left and left.lot:
            self.host.say(f"{left.lot.by} left a pour, lines confirmed: {left.done}. Enter, then p takes it up.")

    def _look_into_log(self, spec: str) -> tuple[Place | None, str]:
        """Where a pour was left, and what is wrong with the log, if anything: the card stands without it."""
        self.lots = EMPTY
        try:
            self.lots = shelf_of(self.shelf, datetime.now(UTC))
            return left_at(self.shelf, spec), " ".join(news(self.shelf))
        except CannotAnswer as error:
            return None, str(error)

    def on_resize(self) -> None:
        """The card was broken for another width; what it says stays."""
        if self.answer is not None:
            self.card.put(self._lines(self.answer))

    def tapped(self) -> None:
        """The field was: keys go to it; if they do already, the next of the targets."""
        if self.on_card:
            self.switch_pane()
            self.host.refresh_keys()
        else:
            self.pick(1)

    def ask(self) -> None:
        """Another amount: its card is read from its head."""
        self.card.to_top()
        self.reckon()

    def pick(self, by: int) -> None:
        """The next of the targets there are to pick."""
        ready = targets_to_pick(self.shelf.library)
        place = ready.index(self.target.text) if self.target.text in ready else -1 if by > 0 else 0
        self.target.propose(ready[(place + by) % len(ready)])
        self.ask()

    def keep_card(self) -> None:
        """The card as text, in a file one can print."""
        if self.answer is None:
            return
        try:
            path = kept_card(self.shelf, self.answer.id, batch_card(self.answer, self.shelf.library), datetime.now(UTC))
        except CannotAnswer as error:
            self.host.say(str(error), "warn")
        else:
            self.host.say(f"the card is in {path}")

    def toggle_water(self) -> None:
        if self.answer is not None:
            self.water = not self.answer.diluted
            self.reckon()

    def turn_units(self) -> None:
        """Volumes in the house's unit, in ml, in oz; and round again."""
        self.shown_as = {"": "ml", "ml": "oz"}.get(self.shown_as, "")
        self.reckon()
        self.host.say(f"volumes in {self.shown_as or self.shelf.library.house.volume}; grams are the same")

    def round_next(self) -> None:
        """Rounded the next way there is, then exact again."""
        self.rounding = self._next_rounding()
        self.reckon()
        if self.answer is not None:
            self.host.say(f"rounded by {self.rounding}" if self.rounding else "exact")

    def _next_rounding(self) -> str:
        ways = ("", *ROUNDINGS)
        return ways[(ways.index(self.rounding) + 1) % len(ways)]

    def pour(self) -> None:
        if self.answer is None:
            return
        if self.shelf.look:  # nothing is logged, so nobody need be named
            self._pour()
            return
        from station.tui.who_view import ask_who

        ask_who(self.host, self.shelf, self._pour)

    def _pour(self) -> None:
        from station.tui.pour_view import PourView

        assert self.answer is not None and self.spec is not None
        pour = self.host.view(PourView)
        if pour.take(self.spec, self.answer, self.target.text, self.water, self.rounding, self.lots):
            self.host.put_on(pour)

    def reckon(self) -> None:
        """The card for what stands in the field; what is no target is said, and no card stands then."""
        if self.spec is None:
            return
        wrong = ""
        try:
            target = target_of_text(self.shelf.blends, self.target.text, self.spec)
            moment = datetime.now(UTC)
            self.answer = batched_spec(self.shelf.blends, self.spec, target, self.water, moment, self.rounding, self.lots)
        except (AmountError, CannotAnswer) as error:
            self.answer, wrong = None, str(error)
        self.card.put(self._lines(self.answer) if self.answer else [self.spec.name, "", f"No card: {wrong}"])
        self.host.say("")
        self.host.refresh_keys()

    def _lines(self, answer: Batched) -> list[str]:
        return batch_card(answer, in_volume(self.shelf.library, self.shown_as), max(self.size.width, 40))
