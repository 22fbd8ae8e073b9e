"""The batch card, live: say how much, and every line stands there as grams on a scale."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from typing import ClassVar

from textual.strip import Strip

from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.bar.nouns import Spec
from station.calc.answers import Batched
from station.cards.text import batch_card
from station.desk.batching import batched_spec, target_of_text
from station.desk.opening import Opened
from station.desk.pouring import left_at
from station.tui.pane import KeyAction, Pane, Row, row
from station.tui.view import Host, View

_STYLES = {"DILUTED": "accent", "UNDILUTED": "accent", "STOP": "warn", "CHECK": "warn", "NOTE": "dim"}
_EXAMPLES = "  40 · 1.5 l · pitcher · 2 pitchers · lime-juice=400 ml"


class TargetField(Pane):
    """What is to be made: serves, a volume, vessels, or an item on hand. The first key replaces what is proposed."""

    KEYS: ClassVar[tuple[KeyAction, ...]] = (
        KeyAction("target.type", (), "paint", hint="type", label="how much"),
        KeyAction("target.rub", ("backspace",), "rub"),
        KeyAction("target.empty", ("ctrl+u",), "rub_all"),
    )

    def __init__(self, changed: Callable[[], None]) -> None:
        super().__init__(id="target", classes="one-row")
        self._changed = changed
        self.text = ""
        self.proposed = True

    def propose(self, text: str) -> None:
        self.text, self.proposed = text, True
        self.paint()

    def typed(self, character: str) -> bool:
        self._put(character if self.proposed else self.text + character)
        return True

    def rub(self) -> None:
        self._put("" if self.proposed else self.text[:-1])

    def rub_all(self) -> None:
        self._put("")

    def paint(self) -> None:
        style = "chosen" if self.proposed and self.active else "field"
        cursor = "cursor" if self.active and not self.proposed else "text"
        self.show([(("Make ", "dim"), (self.text or " ", style), (" ", cursor), (_EXAMPLES, "dim"))])

    def _put(self, text: str) -> None:
        self.text, self.proposed = text, False
        self.paint()
        self._changed()


class Card(Pane):
    """The card's text, as far as it fits; arrows move it."""

    def render_line(self, y: int) -> Strip:
        below = len(self.rows) - self.first - self.size.height
        if y == self.size.height - 1 and below > 0:
            return self.strip(row(f"↓ {below + 1} more rows", "key"))
        return super().render_line(y)

    def scroll_by(self, by: int) -> bool:
        """Move by that many rows. False if it stands at that end already."""
        last = max(0, len(self.rows) - self.size.height)
        first = max(0, min(last, self.first + by))
        moved = first != self.first
        self.show(self.rows, first)
        return moved

    def on_mouse_scroll_down(self) -> None:
        self.scroll_by(3)

    def on_mouse_scroll_up(self) -> None:
        self.scroll_by(-3)


class BatchView(View):
    """Target above, card below."""

    def __init__(self, host: Host, shelf: Opened) -> None:
        self.shelf = shelf
        self.target, self.card = TargetField(self.reckon), Card(id="card")
        super().__init__(host, self.target, self.card, name="batch")
        self.spec: Spec | None = None
        self.water: bool | None = None
        self.answer: Batched | None = None
        self.on_card = False

    @property
    def active_pane(self) -> Pane:
        return self.card if self.on_card else self.target

    @property
    def KEYS(self) -> tuple[KeyAction, ...]:  # type: ignore[override]  # noqa: N802  # they depend on where one is
        back = KeyAction("batch.back", ("escape",), "back", hint="Esc", label="back")
        moves = (
            KeyAction("batch.down", ("down",), "scroll_card", 1),
            KeyAction("batch.up", ("up",), "scroll_card", -1),
            KeyAction("batch.page-down", ("pagedown",), "scroll_card", 10),
            KeyAction("batch.page-up", ("pageup",), "scroll_card", -10),
        )
        if not self.on_card:
            return (KeyAction("batch.card", ("enter", "tab"), "switch_pane", hint="Enter", label="to the card"), back, *moves)
        water = "without water" if self.answer and self.answer.diluted else "with water"
        return (
            KeyAction("batch.pour", ("p", "enter"), "pour", hint="p", label="pour"),
            KeyAction("batch.water", ("w",), "toggle_water", hint="w", label=water),
            KeyAction("batch.target", ("tab",), "switch_pane", hint="Tab", label="how much"),
            back,
            *moves,
        )

    def take(self, spec: Spec) -> None:
        """The spec to batch, as it stands; a pour that was left brings its target back."""
        left = left_at(self.shelf, spec.id)
        self.spec, self.answer, self.on_card = spec, None, False
        self.water = left.water if left else None
        self.target.propose(left.target if left else next(iter(self.shelf.library.house.vessels), "1"))
        self.target.activate(True)
        self.card.first = 0
        self.reckon()
        if left:
            self.host.say(f"A pour was left after {left.done} lines: Enter, then p takes it up.")

    def on_resize(self) -> None:
        self.reckon(quietly=True)

    def back(self) -> None:
        self.host.switch("main")

    def switch_pane(self) -> None:
        self.on_card = not self.on_card
        self.target.activate(not self.on_card)
        self.card.activate(self.on_card)

    def scroll_card(self, by: int) -> None:
        if not self.on_card or (not self.card.scroll_by(by) and by < 0):
            self.switch_pane()

    def toggle_water(self) -> None:
        if self.answer is not None:
            self.water = not self.answer.diluted
            self.reckon()

    def pour(self) -> None:
        if self.answer is not None:
            self.host.switch("pour")

    def reckon(self, quietly: bool = False) -> None:
        """The card for what stands in the field; what is no target is said, and no card stands then."""
        if self.spec is None:
            return
        wrong = ""
        try:
            target = target_of_text(self.shelf.blends, self.target.text)
            self.answer = batched_spec(self.shelf.blends, self.spec, target, self.water, datetime.now(UTC))
        except (AmountError, CannotAnswer) as error:
            self.answer, wrong = None, str(error)
        lines = (
            batch_card(self.answer, self.shelf.library, max(self.size.width, 40)) if self.answer else [self.spec.name, "", wrong]
        )
        self.card.show([_styled(line) for line in lines], min(self.card.first, max(0, len(lines) - self.card.size.height)))
        if not quietly:
            self.host.say("")
        self.host.refresh_keys()


def _styled(line: str) -> Row:
    return row(line, _STYLES.get(line.split(" ", 1)[0].rstrip(":"), "text"))
