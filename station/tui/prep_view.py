"""Today: what to make, in making order, and what to get."""

from __future__ import annotations

from datetime import UTC, datetime

from station.bar import say
from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.bar.shown_as import volume_in
from station.calc.lot_answers import Prep, PrepList
from station.cards.lots import prepared as prep_card
from station.cards.text import until
from station.desk.logging import news
from station.desk.opening import Opened
from station.desk.preparing import prepared
from station.desk.printing import kept_card
from station.tui.pane import KeyAction, Pane
from station.tui.pick_list import Pick, PickList
from station.tui.view import Host, View


class PrepView(View):
    """One row a thing to make or get; Enter opens its making card at that size, or logs what came."""

    KEYS = (
        KeyAction("prep.back", ("escape",), "back", hint="Esc", label="back"),
        KeyAction("prep.keep", ("ctrl+t",), "keep_list", hint="^t", label="list to a file"),
    )

    def __init__(self, host: Host, shelf: Opened) -> None:
        self.shelf = shelf
        self.list = PickList("Today", self.make, "nothing is short of its par")
        super().__init__(host, self.list, name="prep")
        self.answer: PrepList | None = None

    @property
    def active_pane(self) -> Pane:
        return self.list

    def enter(self) -> None:
        self.list.activate(True)
        try:
            self.answer = prepared(self.shelf, "", datetime.now(UTC))
        except (AmountError, CannotAnswer) as error:
            self.answer = None
            self.list.put([])
            self.host.say(str(error), "warn")
            return
        makes = [self._pick(one, f"{place}. {one.name}") for place, one in enumerate(self.answer.make, 1)]
        gets = [self._pick(one, f"Get {one.name}") for one in self.answer.get]
        self.list.put([*makes, *gets], f"To make for {self.answer.day:%d %b %Y}")
        self.host.say(" ".join([*self.answer.notes, *news(self.shelf)]), "warn")

    def again(self) -> None:
        self.enter()

    def make(self, chosen: Pick) -> None:
        if chosen.id not in self.shelf.library.stocks:
            self._receive(chosen.id)
            return
        from station.tui.make_view import MakeView

        wanted = next(one for one in self.answer.make if one.item == chosen.id) if self.answer else None
        view = self.host.view(MakeView)
        view.take(chosen.id, f"{round(wanted.g)} g" if wanted else "")
        self.host.put_on(view)

    def _receive(self, item: str) -> None:
        """What is bought or pressed is logged when it is there."""
        from station.tui.delivery_view import DeliveryView

        view = self.host.view(DeliveryView)
        view.take(item)
        self.host.put_on(view)

    def keep_list(self) -> None:
        """The list as text, in a file one can print."""
        if self.answer is None:
            return
        try:
            path = kept_card(self.shelf, "prep", prep_card(self.answer, self.shelf.library.house), datetime.now(UTC))
        except CannotAnswer as error:
            self.host.say(str(error), "warn")
        else:
            self.host.say(f"the list is in {path}")

    def _pick(self, one: Prep, name: str) -> Pick:
        house = self.shelf.library.house
        size = volume_in(house, one.ml) if one.pieces and one.ml else say.grams(one.g)
        ends = f"use by {until(one.use_by, house)}" if one.use_by else one.store
        fruit = f"about {say.number(one.pieces[0], 6)} fruit, {say.number(one.pieces[1], 6)} lean ones · " if one.pieces else ""
        there = f"there is {say.grams(one.on_hand_g)} of {say.grams(one.needed_g)}"
        return Pick(one.item, name, size, f"{fruit}{one.cap or there} · {ends}")
