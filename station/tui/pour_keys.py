"""The keys of the pour view, by what it asks for."""

from __future__ import annotations

from station.tui.pane import KeyAction

# Labels are short and those of wet hands stand first, so that the least screen has them all.
NEXT = KeyAction("pour.next", ("space",), "next", hint="Space", label="next")
BACK = KeyAction("pour.previous", ("backspace",), "previous", hint="⌫", label="undo")
LEAVE = KeyAction("pour.leave", ("escape",), "leave", hint="Esc", label="leave")
STEP_KEYS = (
    NEXT,
    BACK,
    KeyAction("pour.zeroed", ("z",), "zeroed", hint="z", label="zero"),
    LEAVE,
    KeyAction("pour.read", (), "ask_reading", hint="0-9", label="it reads"),
    KeyAction("pour.other", ("w",), "ask_other", hint="w", label="wrong bottle"),
)
OVER_KEYS = (KeyAction(NEXT.id, NEXT.keys, NEXT.run, hint="Space", label="close"), BACK, LEAVE)
TYPING_KEYS = (
    KeyAction("pour.take", ("enter", "space"), "take_reading", hint="Enter", label="take"),
    KeyAction("pour.rub", ("backspace",), "rub", hint="⌫", label="rub"),
    KeyAction("pour.forget", ("escape",), "forget", hint="Esc", label="forget"),
)
OTHER_KEYS = (
    KeyAction("pour.other-reads", (), "ask_reading", hint="0-9", label="it reads"),
    KeyAction("pour.other-take", ("enter", "space"), "take_reading", hint="Enter", label="take"),
    KeyAction("pour.other-where", ("tab",), "other_place", hint="Tab", label="cup or vessel"),
    KeyAction("pour.other-rub", ("backspace",), "rub", hint="⌫", label="rub"),
    KeyAction("pour.other-forget", ("escape",), "forget", hint="Esc", label="it was none"),
)
STOP_KEYS = (
    KeyAction("pour.discard", ("enter",), "discard", hint="Enter", label="discard"),
    BACK,
    LEAVE,
)
WHOLE = KeyAction("way.whole", ("right", "tab", "left"), "show_whole", hint="→", label="all of it")
LISTED = KeyAction("way.whole", ("right", "tab", "left"), "show_whole", hint="←", label="list")
WAY_TAKE = KeyAction("way.take", ("enter",), "choose_at", hint="Enter", label="do")
WAY_UNDO = KeyAction("way.undo", ("backspace",), "previous", hint="⌫", label="undo")
WHOLE_KEYS = (
    WAY_TAKE,
    WAY_UNDO,
    KeyAction("way.read-down", ("down", "pagedown"), "read_on", 1, hint="↑↓", label="read on"),
    KeyAction("way.read-up", ("up", "pageup"), "read_on", -1),
    LISTED,
    LEAVE,
)
WAY_KEYS = (
    WAY_TAKE,
    WAY_UNDO,
    KeyAction("way.down", ("down",), "move", 1, hint="↑↓", label="mark"),
    KeyAction("way.up", ("up",), "move", -1),
    LEAVE,
    KeyAction("way.number", (), "ask_way", hint="1-9", label="mark"),
)
