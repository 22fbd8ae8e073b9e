import os
import select
import time

import pyte
import pytest
from textual.drivers.linux_driver import LinuxDriver

from station.tui.drivers import driver_class
from station.tui.shadow import Shadow
from station.tui.wire import ChangedCellsDriver, _Outlet

SIZE = (40, 10)
ENTER = "\x1b[?1049h"


def frame(number: int) -> str:
    """A screen full of one number."""
    text = f"\x1b[3{number % 8}m{number:>10}\x1b[0m" * 4
    return "\n".join(f"\x1b[{line + 1};1H{text}" for line in range(10)) + "\x1b[1;1H"


def read_all(fileno: int, quiet: float = 0.3) -> bytes:
    """What comes until nothing comes."""
    data = b""
    while select.select([fileno], [], [], quiet)[0]:
        data += os.read(fileno, 65536)
    return data


def test_the_driver_is_ours_unless_stock_is_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("STATION_DRIVER", raising=False)
    chosen = driver_class()
    assert chosen is ChangedCellsDriver
    assert issubclass(chosen, LinuxDriver)
    monkeypatch.setenv("STATION_DRIVER", "stock")
    assert driver_class() is None


def test_elsewhere_the_driver_is_stock(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("STATION_DRIVER", raising=False)
    monkeypatch.setattr("sys.platform", "win32")
    assert driver_class() is None


def test_what_is_written_arrives_before_the_stop() -> None:
    reads, writes = os.pipe()
    outlet = _Outlet(writes, Shadow(*SIZE), lambda: SIZE)
    outlet.start()
    outlet.write(ENTER)
    outlet.write(frame(7))
    outlet.write("\x1b[?1049l\x1b]52;c;YWJj\x07")
    outlet.stop()
    assert read_all(reads).endswith(b"\x1b[0m\x1b[?1049l\x1b]52;c;YWJj\x07")


def test_a_stalled_reader_gets_the_newest_frame_and_no_old_ones() -> None:
    reads, writes = os.pipe()
    outlet = _Outlet(writes, Shadow(*SIZE), lambda: SIZE)
    outlet.start()
    outlet.write(ENTER)
    for number in range(3000):
        outlet.write(frame(number))
    data = read_all(reads)
    outlet.stop()
    screen = pyte.Screen(*SIZE)
    pyte.ByteStream(screen).feed(data)
    assert screen.display == [f"{2999:>10}" * 4] * SIZE[1]
    assert len(data) < 200_000, "3,000 frames are over a megabyte"


def test_stopping_on_a_reader_that_never_reads_does_not_take_long() -> None:
    reads, writes = os.pipe()
    outlet = _Outlet(writes, Shadow(*SIZE), lambda: SIZE)
    os.set_blocking(writes, False)
    with pytest.raises(BlockingIOError):
        while True:
            os.write(writes, b"x" * 1000)
    outlet.start()
    outlet.write(ENTER + frame(1))
    begin = time.monotonic()
    outlet.stop()
    assert time.monotonic() - begin < 1.8
    os.close(reads)


def test_a_reader_that_is_gone_ends_the_sending_quietly() -> None:
    reads, writes = os.pipe()
    os.close(reads)
    outlet = _Outlet(writes, Shadow(*SIZE), lambda: SIZE)
    outlet.start()
    outlet.write(ENTER)
    begin = time.monotonic()
    outlet.stop()
    assert time.monotonic() - begin < 0.5
    assert not outlet._thread.is_alive()


def test_a_frame_begun_is_not_sent_before_its_end() -> None:
    reads, writes = os.pipe()
    outlet = _Outlet(writes, Shadow(*SIZE), lambda: SIZE)
    outlet.start()
    outlet.write(ENTER)
    read_all(reads, 0.1)
    outlet.write("\x1b[?2026h")
    outlet.write(frame(1))
    assert read_all(reads, 0.1) == b""
    outlet.write("\x1b[?2026l")
    data = read_all(reads, 0.1)
    assert data.startswith(b"\x1b[?2026h")
    assert data.endswith(b"\x1b[?2026l")
    outlet.stop()


def test_a_new_size_is_noticed_and_all_painted_again() -> None:
    size = [SIZE]
    reads, writes = os.pipe()
    shadow = Shadow(*SIZE)
    outlet = _Outlet(writes, shadow, lambda: size[0])
    outlet.start()
    outlet.write(ENTER + frame(1))
    read_all(reads, 0.1)
    size[0] = (41, 11)
    outlet.write("\x1b[1;1H")
    assert (shadow.columns, shadow.lines) == (41, 11)
    assert read_all(reads, 0.1).count(b" ") > 300
    outlet.stop()
