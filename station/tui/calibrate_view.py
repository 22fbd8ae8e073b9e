"""Calibrating at the scale: choose dispenser and liquid, type one reading after another, see what it changes, save."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

from station.bar import say
from station.bar.amount import AmountError, spell_unit
from station.bar.fault import CannotAnswer
from station.calc.calibrating import FIRST_DASH, Calibrated
from station.cards.calibration import believed, changes, figures
from station.desk.at_the_scale import AtTheScale, Choice, dispensers, found, liquids
from station.desk.opening import Opened
from station.tui.card_view import scrolling
from station.tui.field import Card, Field
from station.tui.pane import KeyAction, Pane
from station.tui.view import Host, View

DISPENSER, LIQUID, COUNT, READING = range(4)


class ReadingField(Field):
    """Where readings are typed; rubbing where nothing is typed takes the last one back."""

    def __init__(self, changed: Callable[[], None], tapped: Callable[[], None], take_back: Callable[[], None]) -> None:
        super().__init__("Scale reads ", "", changed, tapped)
        self._take_back = take_back

    def rub(self) -> None:
        if self.text:
            super().rub()
        else:
            self._take_back()


class CalibrateView(View):
    """Four fields, and under them what the readings make."""

    def __init__(self, host: Host, shelf: Opened) -> None:
        self.shelf = shelf
        self.sheet = AtTheScale(shelf)
        self.dispenser = Field("Dispenser   ", "", self.find_dispenser, lambda: self.go(DISPENSER))
        self.liquid = Field("Liquid      ", "", self.find_liquid, lambda: self.go(LIQUID))
        self.count = Field("How many    ", "", self.type_count, lambda: self.go(COUNT))
        self.reading = ReadingField(self.type_reading, lambda: self.go(READING), self.take_back)
        self.fields: tuple[Field, ...] = (self.dispenser, self.liquid, self.count, self.reading)
        self.card = Card(classes="card")
        super().__init__(host, *self.fields, self.card, name="calibrate")
        self.at, self.first = DISPENSER, DISPENSER
        self.on_card = False
        self.answer: Calibrated | str = ""
        self.doubted = False

    @property
    def active_pane(self) -> Pane:
        return self.card if self.on_card else self.fields[self.at]

    @property
    def KEYS(self) -> tuple[KeyAction, ...]:  # type: ignore[override]  # noqa: N802  # they depend on where one is
        leave = KeyAction("calibrate.leave", ("escape",), "leave", hint="Esc", label="back")
        if self.on_card:
            return (*self._card_keys(), leave)
        moves = (
            KeyAction("calibrate.next-field", ("down",), "move", 1),
            KeyAction("calibrate.previous-field", ("up", "shift+tab"), "move", -1),
            KeyAction("calibrate.to-card", ("tab",), "to_card", hint="Tab", label="card"),
        )
        if self.at == READING:
            type_it = KeyAction("calibrate.type", (), "take", hint="0-9", label="reading")
            return (type_it, KeyAction("calibrate.take", ("enter",), "take", hint="Enter", label="take"), *moves, leave)
        on = KeyAction("calibrate.next", ("enter",), "move", 1, hint="Enter", label="next")
        if self.at == COUNT:
            return (on, *moves, leave)
        return (
            KeyAction("calibrate.find", (), "move", 0, hint="a-z", label="find"),
            on,
            KeyAction("calibrate.pick", ("right",), "pick", 1, hint="←→", label="choose"),
            KeyAction("calibrate.pick-back", ("left",), "pick", -1),
            *moves,
            leave,
        )

    def _card_keys(self) -> tuple[KeyAction, ...]:
        running = "zeroed each time" if self.sheet.running else "not zeroed between"
        first = "count the first too" if self.sheet.without_first else "leave the first out"
        anyway = (KeyAction("calibrate.anyway", ("k",), "take_anyway", hint="k", label="anyway"),)
        return (
            KeyAction("calibrate.save", ("s", "ctrl+s"), "save", hint="s", label="save"),
            *(anyway if self.doubted else ()),
            KeyAction("calibrate.running", ("z",), "toggle_running", hint="z", label=running),
            KeyAction("calibrate.first", ("f",), "toggle_first", hint="f", label=first),
            KeyAction("calibrate.more", ("tab", "enter"), "go", READING, hint="Tab", label="readings"),
            KeyAction("calibrate.back", ("backspace",), "take_back", hint="⌫", label="last one back"),
            *scrolling("calibrate"),
        )

    def take_line(self, dispenser: str, item: str) -> None:
        """The liquid of a line, and the dispenser that counts it; readings that are under way stay."""
        if not self.sheet.reads and dispenser in self.shelf.library.dispensers:
            self.sheet.choose_dispenser(dispenser)
            self.sheet.item = item
            self.first = READING

    def enter(self) -> None:
        """Readings that were kept are there again."""
        library = self.shelf.library
        if not self.sheet.reads and self.sheet.take_up():
            self.host.say(f"Readings that were kept: {len(self.sheet.reads)}. Go on, or rub them out.")
        if self.sheet.dispenser not in library.dispensers:
            self.sheet.choose_dispenser(next((one.id for one in dispensers(library)), ""))
        self._propose()
        self.go(READING if self.sheet.reads or self.sheet.typing else self.first)
        self.first = DISPENSER

    def on_resize(self) -> None:
        self.reckon()

    def leave(self) -> None:
        self.sheet.keep()
        self.host.back()

    def go(self, place: int) -> None:
        """To that field."""
        self.at, self.on_card = place, False
        for one, pane in enumerate(self.fields):
            pane.activate(one == place)
        self.card.activate(False)
        self.reckon()

    def move(self, by: int) -> None:
        place = self.at + by
        if place > READING:
            self.to_card()
        else:
            self._propose()
            self.go(max(0, place))

    def to_card(self) -> None:
        self.on_card = True
        self.fields[self.at].activate(False)
        self.card.activate(True)
        self.reckon()

    def scroll_card(self, by: int) -> None:
        """On the card; a row up from its head leads to the readings, a page up stays on it."""
        if not self.card.scroll_by(by) and by == -1:
            self.go(READING)

    def pick(self, by: int) -> None:
        """The next to choose of what is found, or of all."""
        library, of_dispenser = self.shelf.library, self.at == DISPENSER
        choices = dispensers(library) if of_dispenser else liquids(library, self.sheet.dispenser)
        here = self.sheet.dispenser if of_dispenser else self.sheet.item
        if choices:
            place = next((place for place, one in enumerate(choices) if one.id == here), 0)
            self._choose(choices[(place + by) % len(choices)])
            self._propose()

    def find_dispenser(self) -> None:
        self._find(dispensers(self.shelf.library), self.dispenser)

    def find_liquid(self) -> None:
        self._find(liquids(self.shelf.library, self.sheet.dispenser), self.liquid)

    def type_count(self) -> None:
        self.sheet.count = self.count.text
        self.sheet.keep()
        self.reckon()

    def type_reading(self) -> None:
        self.sheet.typing = self.reading.text
        self.sheet.keep()
        self.host.say("")

    def take(self) -> None:
        """The reading as typed; with none typed, on to what they make."""
        if not self.sheet.typing.strip():
            self.to_card()
            return
        try:
            self.sheet.take()
        except (AmountError, CannotAnswer) as error:
            self.host.say(str(error), "warn")
            return
        self.host.say("")
        self._propose()
        self.reckon()

    def take_back(self) -> None:
        self.sheet.take_back()
        self._propose()
        self.go(READING)

    def take_anyway(self) -> None:
        self.sheet.anyway = True
        self.reckon()

    def toggle_running(self) -> None:
        self.sheet.running, self.sheet.anyway = not self.sheet.running, False
        self._kept()

    def toggle_first(self) -> None:
        self.sheet.without_first = not self.sheet.without_first
        self._kept()

    def save(self) -> None:
        """Into measures.toml; the drinks are reckoned by it from now on."""
        try:
            answer = self.sheet.save(datetime.now(UTC))
        except (AmountError, CannotAnswer) as error:
            self.host.say(str(error), "warn")
            return
        self._propose()
        self.go(LIQUID)
        self.host.say(f"saved: a {answer.unit} is {say.number(answer.mean_g)}{say.GAP}g by {answer.name}")

    def reckon(self) -> None:
        """What the readings make, or why they make nothing yet."""
        if not self.sheet.reads:
            self.answer, self.doubted = "", False
            self.card.put(self._how())
        else:
            self.answer = self.sheet.answer(datetime.now(UTC))
            self.doubted = isinstance(self.answer, str) and self.sheet.only_doubted(datetime.now(UTC))
            self.card.put(self._made(self.answer))
        self._paint_hints()
        self.host.refresh_keys()

    def _made(self, answer: Calibrated | str) -> list[str]:
        width = max(self.size.width, 40)
        mode = "not zeroed between" if self.sheet.running else "zeroed each time"
        typed = f"Typed ({mode}): {' · '.join(self.sheet.reads)}{', the first left out' if self.sheet.without_first else ''}"
        if isinstance(answer, str):
            ways = "Backspace rubs the last one out; Tab, then k, takes it anyway." if self.doubted else ""
            return [f"CHECK {answer}", *([ways] if ways else []), "", typed]
        return [*figures(answer, width), "", *changes(answer.changes, width), "", typed]

    def _how(self) -> list[str]:
        one = self.shelf.library.dispensers.get(self.sheet.dispenser)
        if one is None:
            return ["There is no dispenser yet: station calibrate ID ITEM --name … --unit drop adds one."]
        many, width = spell_unit(one.unit, 2), max(self.size.width, 40)
        weight = believed(self.shelf.library.name_of(self.sheet.item), one.unit, self.sheet.believed(), width)
        lines = [f"Zero the scale with a cup on it, give {self.sheet.count or 'so many'} {many}, type what it reads, Enter."]
        lines += ["Do it again, three times or more, zeroed each time; if you do not zero between: Tab, then z."]
        return [*weight, "", *lines, *([f"The first differs: {FIRST_DASH}: Tab, then f."] if one.unit == "dash" else [])]

    def _find(self, choices: list[Choice], pane: Field) -> None:
        matching = found(choices, pane.text)
        if matching:
            self._choose(matching[0])
        self._paint_hints()
        if not matching:
            pane.examples = "nothing is called that"
            pane.paint()

    def _choose(self, one: Choice) -> None:
        if self.at == DISPENSER:
            self.sheet.choose_dispenser(one.id)
        else:
            self.sheet.item = one.id
        self._kept()

    def _kept(self) -> None:
        self.sheet.keep()
        self.reckon()

    def _propose(self) -> None:
        """Every field as the calibration stands; the first key replaces it."""
        library, sheet = self.shelf.library, self.sheet
        one = library.dispensers.get(sheet.dispenser)
        self.dispenser.propose(one.name if one else "")
        self.liquid.propose(library.name_of(sheet.item))
        self.count.propose(sheet.count)
        self.reading.text, self.reading.proposed = sheet.typing, False
        self.reading.paint()
        self._paint_hints()

    def _paint_hints(self) -> None:
        """Beside what is typed, what it means."""
        library, sheet = self.shelf.library, self.sheet
        one = library.dispensers.get(sheet.dispenser)
        self.dispenser.examples = "" if self.dispenser.proposed or one is None else f"→ {one.name}"
        self.liquid.examples = "" if self.liquid.proposed else f"→ {library.name_of(sheet.item)}"
        self.count.examples = f"{spell_unit(one.unit, 2)} a weighing" if one else ""
        self.reading.examples = f"g · {len(sheet.reads)} taken"
        for pane in self.fields:
            pane.paint()
