"""A library full of commands for terminals, on the wire: none of them gets there."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import pytest
from hostile import litter, poison
from pty_app import PtyApp
from small_library import demo_copy

# All that the screens send: modes, queries, cursor, colours; of strings only the framework's pointer shape, word for word.
POINTER = b"\x1b]22;default\x07"
ALLOWED = re.compile(rb"\x1b\[(?:[\d;]*[HCm]|\?[\d;]*[hl$p]+|[<>=]?[\d;]*[utq])")


@pytest.mark.parametrize("driver", ["changed-cells", "stock"])
def test_no_command_of_a_files_text_reaches_the_terminal(tmp_path: Path, driver: str) -> None:
    library = poison(demo_copy(tmp_path))
    litter(library, tmp_path)
    count = tmp_path / "unknown"
    argv = [sys.executable, str(Path(__file__).with_name("counted_app.py")), str(library), str(count)]
    with PtyApp(argv, {"STATION_DRIVER": driver}, 120, 40) as app:
        app.wait_for("faulty")
        for _ in range(12):
            app.send("\x1b[B\r")
            app.wait_quiet(0.1)
            app.send("b\r?\x1b\x1b\x1b\x1b")
            app.wait_quiet(0.1)
        app.send("\x11")
        app.wait()
        raw = app.raw_bytes_sent_since(0).replace(POINTER, b"")
        assert app.modes == app.modes_before
    rest = ALLOWED.sub(b"", raw)
    assert rest.count(b"\x1b") == 0, sorted(set(re.findall(rb"\x1b.{0,6}", rest)))
    assert not re.search(rb"\xc2[\x80-\x9f]|[\x07\x08\x0b\x0c\x0e\x0f\x7f]", raw)
    assert not re.search("[\u200b\u202a-\u202e\u2066-\u2069\ufeff]", raw.decode(errors="replace"))
    if driver == "changed-cells":
        assert count.read_text(encoding="utf-8") == "0"
