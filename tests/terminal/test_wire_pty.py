"""The driver in a real pseudo terminal, with an app of stock widgets: it must look as with the stock driver, and end well."""

import os
import re
import signal
import sys
import termios
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from pty_app import ALTERNATE, PtyApp

DEMO = str(Path(__file__).parent / "demo_app.py")
DOWN, TAB, QUIT, F2, F3, F4, F5 = "\x1b[B", "\t", "\x11", "\x1bOQ", "\x1bOR", "\x1bOS", "\x1b[15~"
TERMINALS = [(80, 24, False), (120, 40, True)]
MOUSE = {1000, 1001, 1002, 1003, 1005, 1006, 1015, 1016}


@contextmanager
def demo(tmp_path: Path, columns: int = 80, lines: int = 24, driver: str = "", **options: bool) -> Iterator[PtyApp]:
    """The demo app, painted and at rest."""
    argv = [sys.executable, DEMO, str(tmp_path / "saved")]
    with PtyApp(argv, {"STATION_DRIVER": driver}, columns, lines, **options) as app:
        app.wait_for("Drink number 05")
        app.wait_for("palette")
        app.wait_quiet()
        yield app


def press(app: PtyApp, *keys: str) -> None:
    for key in keys:
        app.send(key)
        app.wait_quiet(0.2)


def seen(app: PtyApp) -> list[list[tuple[object, ...]]]:
    """What a person sees of every cell: a blank has neither ink nor weight."""
    rows = []
    for row in app.cells:
        rows.append([
            (cell.data, cell.bg, cell.reverse, cell.underscore)
            + ((cell.fg, cell.bold, cell.italics) if cell.data.strip() or cell.reverse or cell.underscore else ())
            for cell in row
        ])  # fmt: skip
    return rows


def assert_alike(ours: PtyApp, stock: PtyApp, after: str = "") -> None:
    """Both show the same in the end; a busy machine may take a while to get there."""
    until = time.monotonic() + 5
    while seen(ours) != seen(stock) and time.monotonic() < until:
        time.sleep(0.1)
    assert ours.screen == stock.screen, after
    assert seen(ours) == seen(stock), after
    assert ours.cursor == stock.cursor, after


def wait_stopped(app: PtyApp) -> None:
    os.waitid(os.P_PID, app.process.pid, os.WSTOPPED | os.WNOWAIT)


@pytest.mark.parametrize(("columns", "lines", "synchronized"), TERMINALS)
def test_the_screen_is_that_of_the_stock_driver(tmp_path: Path, columns: int, lines: int, synchronized: bool) -> None:
    keys = ["1", "2", ".", "5", TAB, DOWN, DOWN, TAB, *[DOWN] * 3, F3, "\x1b[6~", TAB, "\x7f", F2, "\x10", "q", "\x1b"]
    with (
        demo(tmp_path, columns, lines, "stock", synchronized=synchronized) as stock,
        demo(tmp_path, columns, lines, synchronized=synchronized) as ours,
    ):
        assert_alike(ours, stock)
        for key in keys:
            stock.send(key)
            press(ours, key)
            stock.wait_quiet(0.2)
            assert_alike(ours, stock, key)
        sent = ours.raw_bytes_sent_since(0)
        assert len(sent) < stock.mark() / 5
        assert (b"\x1b[?2026h" in sent) == synchronized
        assert sent.count(b"\x1b[?2026h") == sent.count(b"\x1b[?2026l")
        assert b"\x1b]52;c;" in sent
        press(ours, F4)
        ours.wait_for("unknown: 0")


def test_a_key_costs_little_and_rest_nothing(tmp_path: Path) -> None:
    with demo(tmp_path) as app:
        press(app, "1")
        mark = app.mark()
        press(app, "2")
        assert 0 < len(app.raw_bytes_sent_since(mark)) <= 500
        mark = app.mark()
        time.sleep(1)
        assert app.mark() == mark


def test_it_follows_the_size_of_the_terminal(tmp_path: Path) -> None:
    with demo(tmp_path, driver="stock") as stock, demo(tmp_path) as ours:
        for columns, lines in ((120, 40), (40, 16), (80, 24)):
            for app in (stock, ours):
                app.resize(columns, lines)
                app.wait_quiet(0.4)
            assert_alike(ours, stock)


def test_a_size_that_changes_and_changes_back_is_painted_again(tmp_path: Path) -> None:
    with demo(tmp_path) as app:
        before = seen(app)
        app.resize(50, 12)
        app.resize(80, 24)
        app.wait_for("palette")
        app.wait_quiet(0.4)
        assert seen(app) == before
        app.terminal.erase_in_display(2)
        app.signal(signal.SIGWINCH)
        app.wait_for("palette")
        app.wait_quiet()
        assert seen(app) == before


def test_the_mouse_is_asked_for_clicks_and_drags_only(tmp_path: Path) -> None:
    with demo(tmp_path) as app:
        assert app.terminal.ever & MOUSE == {1000, 1002, 1006}
        app.send("\x1b[<0;5;6M\x1b[<0;5;6m")
        app.wait_quiet()
        assert app.cells[5][4].bg != app.cells[8][4].bg, "the list's fifth line is highlighted"


def test_quitting_gives_back_the_terminal_as_it_was(tmp_path: Path) -> None:
    line = f"echo before; {sys.executable} {DEMO} {tmp_path / 'saved'}; echo status $?"
    with PtyApp(["/bin/sh", "-c", line]) as app:
        app.wait_for("Drink number 05")
        assert ALTERNATE in app.terminal.modes
        assert termios.ICANON & app.modes[3] == 0
        app.send(QUIT)
        assert app.wait() == 0
        assert [text.strip() for text in app.screen if text.strip()] == ["before", "status 0"]
        assert app.terminal.modes <= {7, 25}
        assert app.terminal.cursor.attrs == app.terminal.default_char
        assert app.modes == app.modes_before


def test_redirected_errors_leave_the_screens_on_the_terminal(tmp_path: Path) -> None:
    line = f"exec {sys.executable} {DEMO} {tmp_path / 'saved'} 2>{tmp_path / 'errors'}"
    with PtyApp(["/bin/sh", "-c", line]) as app:
        app.wait_for("Drink number 05")
        app.send(QUIT)
        assert app.wait() == 0
        assert (tmp_path / "errors").read_text() == ""


def test_ctrl_z_gives_the_terminal_back_and_waking_paints_all_again(tmp_path: Path) -> None:
    with demo(tmp_path) as app:
        press(app, "4", "2")
        before = seen(app)
        app.send("\x1a")
        wait_stopped(app)
        app.wait_quiet(0.1)
        assert ALTERNATE not in app.terminal.modes
        assert app.modes == app.modes_before
        app.signal(signal.SIGCONT)
        app.wait_for("value: 42")
        app.wait_quiet()
        assert seen(app) == before
        press(app, "7")
        app.wait_for("value: 427")


@pytest.mark.parametrize("shell_took_it", [False, True])
def test_a_stop_from_outside_is_mended_when_woken(tmp_path: Path, shell_took_it: bool) -> None:
    with demo(tmp_path) as app:
        before = seen(app)
        app.signal(signal.SIGSTOP)
        wait_stopped(app)
        raw = app.modes
        app.terminal.erase_in_display(2)
        if shell_took_it:
            termios.tcsetattr(app.fileno, termios.TCSANOW, app.modes_before)
        app.signal(signal.SIGCONT)
        app.wait_for("palette")
        app.wait_quiet()
        assert seen(app) == before
        assert app.modes == raw
        press(app, "7")
        app.wait_for("value: 7")
        app.send(QUIT)
        assert app.wait() == 0
        assert app.modes == app.modes_before


def stall_under_load(app: PtyApp) -> None:
    """Stop reading, and change every cell until the terminal's buffer is full and on; an even number of times."""
    app.stall()
    for _ in range(20):
        app.send(F5)
        time.sleep(0.1)


def test_after_a_stall_the_newest_screen_is_shown_and_the_old_ones_are_not_sent(tmp_path: Path) -> None:
    with demo(tmp_path, 120, 40) as app, demo(tmp_path, 120, 40, "stock") as stock:
        mark = app.mark()
        stall_under_load(app)
        app.send("2.5")
        app.drain()
        app.wait_for("value: 2.5")
        app.wait_quiet()
        press(stock, "2.5")
        assert_alike(app, stock)
        assert len(app.raw_bytes_sent_since(mark)) < 100_000, "20 whole screens are some 240,000 bytes"


def test_a_stall_does_not_keep_it_from_saving_and_ending(tmp_path: Path) -> None:
    with demo(tmp_path, 120, 40) as app:
        press(app, "7", "5")
        stall_under_load(app)
        begin = time.monotonic()
        app.signal(signal.SIGTERM)
        assert app.process.wait(10) == 143
        assert time.monotonic() - begin < 4
        assert (tmp_path / "saved").read_text() == "75"
        assert app.modes == app.modes_before
        app.drain()
        app.wait_quiet()
        assert app.terminal.modes <= {7, 25}, "the terminal was given back, though late"


@pytest.mark.parametrize(("number", "status"), [(signal.SIGTERM, 143), (signal.SIGHUP, 129)])
def test_a_signal_saves_restores_the_terminal_and_shows_in_the_status(tmp_path: Path, number: int, status: int) -> None:
    with demo(tmp_path) as app:
        press(app, "7")
        app.signal(number)
        assert app.wait() == status
        assert (tmp_path / "saved").read_text() == "7"
        assert app.modes == app.modes_before
        assert app.terminal.modes <= {7, 25}


@pytest.mark.parametrize("controlling", [True, False])
def test_a_terminal_that_is_gone_is_a_hang_up(tmp_path: Path, controlling: bool) -> None:
    with demo(tmp_path, controlling=controlling) as app:
        press(app, "7")
        app.hang_up()
        assert app.process.wait(10) == 129
        assert (tmp_path / "saved").read_text() == "7"


def test_garbled_input_is_survived(tmp_path: Path) -> None:
    with demo(tmp_path) as app:
        press(app, "1")
        for garbage in (b"\xff\xfe", b"\xc3", b"\x1b[99999999~", b"\x1b[1:9A", b"\xe2\x82", b"\x1b[19999999948;99999999;u"):
            app.send(garbage)
            time.sleep(0.15)
        press(app, "2")
        app.wait_for(lambda lines: any(re.search(r"value: 1\D*2 *│", line) for line in lines))
