"""The screens over a real SSH session on loopback, started and stopped here."""

from __future__ import annotations

import asyncio
import shutil
import sys
import time
from pathlib import Path

import pytest
from library_state import bytes_in
from small_library import demo_copy
from ssh_link import draft_of, forced_command

STATION = shutil.which("station", path=str(Path(sys.executable).parent)) or ""
DOWN = "\x1b[B"
PITCHER = "UNDILUTED · 15 full serves"


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return demo_copy(tmp_path)


@pytest.mark.parametrize("term", ["xterm-256color", "linux", "screen", "tmux-256color"])
async def test_a_tablet_looks_up_a_drink_and_weighs_a_pitcher(library: Path, term: str) -> None:
    before = bytes_in(library)
    async with forced_command([STATION, "--look", "--library", str(library)]) as server, server.session(term) as tablet:
        await tablet.shows("Borrowed Ladder")
        tablet.send("tin\r")
        await tablet.shows("22.5 ml Lime juice, fresh")
        await tablet.shows("within")
        tablet.send("b")
        await tablet.shows(PITCHER)
        await tablet.shows("reads 1.57 g")
        tablet.resize(60, 20)
        await tablet.shows(PITCHER)
        tablet.send("\rp")
        await tablet.shows("line 1 of 6")
        tablet.send("\x11")
        assert await tablet.ended() == 0
        assert not tablet.terminal.modes & {1049, 1000, 1002, 1006, 2004}
    assert bytes_in(library) == before
    assert not (library / ".station").exists()


async def test_a_terminal_that_cannot_be_painted_gets_one_sentence(library: Path) -> None:
    async with forced_command([STATION, "--look", "--library", str(library)]) as server, server.session("dumb") as tablet:
        assert await tablet.ended() == 2
        said = " ".join(line.strip() for line in tablet.screen if line.strip())
        assert said.startswith("station: this terminal cannot be painted (TERM=dumb)")
        assert "\x1b" not in said and tablet.received < 200


async def test_two_tablets_at_once_know_nothing_of_each_other(library: Path) -> None:
    async with (
        forced_command([STATION, "--look", "--library", str(library)]) as server,
        server.session("xterm-256color") as one,
        server.session("linux", 40, 16) as other,
    ):
        await asyncio.gather(one.shows("Borrowed Ladder"), other.shows("Borrowed Ladder"))
        one.send("tin\r")
        other.send("salt\r")
        await asyncio.gather(one.shows("Lime juice, fresh"), other.shows("Salt Ferry"))
        assert not any("Tin Lantern" in line for line in other.screen)


@pytest.mark.parametrize("seconds", [4.0, pytest.param(60.0, marks=pytest.mark.long)])
async def test_a_tablet_asleep_while_someone_types_at_it_loses_no_key(library: Path, seconds: float) -> None:
    """The link takes nothing for so long: the keys reach the draft all the same, and the newest screen comes when it wakes."""
    async with (
        forced_command([STATION, "--library", str(library)]) as server,
        server.session("xterm-256color", 120, 40) as bar,
    ):
        await bar.shows("Borrowed Ladder")
        bar.send(f"tin\r{DOWN}")
        await bar.shows("22.5 ml Lime juice, fresh")
        bar.stall()
        until = time.monotonic() + seconds
        typed = 0
        while time.monotonic() < until or typed < 100:
            typed += 1
            bar.send(f"\x15{100 + typed}.5")
            await asyncio.sleep(0.02)
        bar.send("\x1529.5")
        last = time.monotonic() + 60.0  # a thousand keys behind it, on a machine as busy as it is
        while '"29.5"' not in draft_of(library, "tin-lantern"):
            assert time.monotonic() < last, draft_of(library, "tin-lantern")
            await asyncio.sleep(0.05)
        before = bar.received
        bar.wake()
        await bar.shows(" 29.5 ")
        await asyncio.sleep(0.5)
        assert bar.received - before < 40_000
        bar.send("\x11")
        assert await bar.ended() == 0


async def test_a_link_that_breaks_keeps_the_edit_and_offers_it_at_the_next(library: Path) -> None:
    async with forced_command([STATION, "--library", str(library)]) as server:
        async with server.session("tmux-256color") as bar:
            await bar.shows("Borrowed Ladder")
            bar.send(f"tin\r{DOWN}31.5")
            await bar.shows("31.5")
        assert await asyncio.to_thread(server.programs[0].wait, 10) == 129
        async with server.session("xterm-256color") as bar:
            await bar.shows("Unsaved edits were kept: Tin Lantern")
            bar.send("tin\r")
            await bar.shows("y takes it up")
            bar.send("y")
            await bar.shows("31.5")
