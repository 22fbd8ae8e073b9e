"""What every open document is: its states one after another, undo and redo, and a draft that outlives a killed program."""

from __future__ import annotations

from abc import ABC, abstractmethod
from typing import Any, ClassVar, Generic, TypeVar

from station.desk.kept import drafts_of
from station.desk.opening import Opened

T = TypeVar("T")


class History(ABC, Generic[T]):
    """`states` are those after each edit, oldest first, `at` the one that stands; `typing` is what is not yet an edit."""

    # Under which kind the drafts are kept.
    KEPT: ClassVar[str]

    opened: Opened
    states: list[T]
    at: int
    typing: Any
    message: str

    @property
    def state(self) -> T:
        """What stands; what is being typed is not yet part of it."""
        return self.states[self.at]

    @property
    @abstractmethod
    def name(self) -> str:
        """The document's id, under which its draft is kept."""

    @property
    @abstractmethod
    def unsaved(self) -> bool:
        """Whether anything is not on the disk as it stands here."""

    def cancel(self) -> None:
        """Forget what was typed since the last edit."""
        self.typing = None
        self._keep()

    def undo(self) -> bool:
        """Back by one edit; what is being typed goes first. False if there is nothing to take back."""
        if self.typing is not None:
            self.cancel()
            return True
        return self._move(-1)

    def redo(self) -> bool:
        return self._move(1)

    def drop_draft(self) -> None:
        drafts_of(self.opened).drop(self.KEPT, self.name)

    def _push(self, state: T) -> None:
        """An edit: what was undone before it is gone."""
        if state != self.state:
            del self.states[self.at + 1 :]
            self.states.append(state)
            self.at += 1
        self._keep()

    def begin(self, *states: T) -> None:
        """Stand on the last of these, the first being what is saved."""
        self.states, self.at = list(states), len(states) - 1

    def _move(self, by: int) -> bool:
        if not 0 <= self.at + by < len(self.states):
            return False
        self.at += by
        self._keep()
        return True

    def _keep(self) -> None:
        """The draft, written now; a folder that cannot be written is said once, and editing goes on."""
        try:
            if self.unsaved:
                drafts_of(self.opened).write(self.KEPT, self.name, self._content())
            else:
                self.drop_draft()
            self.message = ""
        except OSError as error:
            self.message = f"the draft cannot be kept: {error.strerror}"

    @abstractmethod
    def _content(self) -> dict[str, Any]:
        """What the draft holds."""
