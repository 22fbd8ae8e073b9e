"""Text meant to do harm, through every question: nothing but readable text comes out, and nothing happens elsewhere.

The questions are asked of the parser, so that one that comes later is tried too.
"""

from __future__ import annotations

import argparse
import json
import random
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from hostile import NAMES, TEXTS, harmless, litter, poison
from small_library import demo_copy

from station.cli import _parser, main

# What a question is asked with when all is well; one not listed here is asked with what its arguments are called.
GOOD = {
    "show": ["tin-lantern"],
    "list": ["lime"],
    "batch": ["tin-lantern", "--serves", "40"],
    "make": ["citric-25", "--amount", "500 g"],
    "adjust": ["orange-juice", "--to", "6.0 g/100ml"],
    "replace": ["tin-lantern", "lime-juice"],
    "new": ["cold-ledger", "--method", "stir", "--line", "rum-light=60 ml"],
    "copy": ["tin-lantern", "tin-two"],
    "rename": ["tin-lantern", "tin-two"],
    "retire": ["tin-lantern"],
    "compare": ["tin-lantern", "salt-ferry"],
}
BY_NAME = {"STOCK": "citric-25", "ITEM": "lime-juice", "DISPENSER": "dropper-red", "ORDER": "harbour-wedding"}
HOSTILE = (*TEXTS, *NAMES)


def questions() -> dict[str, argparse.ArgumentParser]:
    actions = _parser()._actions
    return dict(next(one for one in actions if isinstance(one, argparse._SubParsersAction)).choices)


QUESTIONS = questions()


def good(name: str) -> list[str]:
    if name in GOOD:
        return [name, *GOOD[name]]
    wanted = [one for one in QUESTIONS[name]._actions if not one.option_strings and one.nargs not in ("*", "?")]
    return [name, *(BY_NAME.get(str(one.metavar), "tin-lantern") for one in wanted)]


def options(name: str) -> list[str]:
    """The options that take a value."""
    return [one.option_strings[0] for one in QUESTIONS[name]._actions if one.option_strings and one.nargs != 0]


@pytest.fixture
def ask(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Callable[..., tuple[int, str]]:
    """Asks a copy of the demo, and holds that nothing was made beside it."""
    library = demo_copy(tmp_path)
    spare = shutil.copytree(library, tmp_path / "spare")
    here = tmp_path / "here"
    here.mkdir()
    monkeypatch.chdir(here)
    beside = {path.name for path in tmp_path.iterdir()}

    def asked(*arguments: str) -> tuple[int, str]:
        try:
            code = main(["--library", str(library), *arguments])
        except SystemExit as left:
            code = int(left.code or 0)
        said = capsys.readouterr()
        assert code in {0, 1, 2}, said
        assert harmless(said.out) and harmless(said.err), (arguments, said)
        assert "Traceback" not in said.err
        assert {path.name for path in tmp_path.iterdir()} == beside and not any(here.iterdir())
        if {path for path in library.rglob("*.toml") if ".station" not in path.parts} != {
            library / path.relative_to(spare) for path in spare.rglob("*.toml")
        }:
            shutil.rmtree(library)
            shutil.copytree(spare, library)
        return code, said.out

    return asked


def slots(name: str) -> list[tuple[list[str], int]]:
    """The good question with each of its arguments as a gap, and each option as one."""
    words = good(name)
    gaps = [(words, place) for place in range(1, len(words)) if not words[place].startswith("--")]
    return gaps + [([*words, option, ""], len(words) + 1) for option in options(name)]


def tried(name: str, ask: Callable[..., tuple[int, str]], pick: Callable[[], list[str]]) -> None:
    for words, place in slots(name):
        for text in pick():
            ask(*words[:place], text.replace("\x00", ""), *words[place + 1 :])


@pytest.mark.parametrize("name", QUESTIONS)
def test_hostile_arguments_are_refused_or_said_plainly(name: str, ask: Callable[..., tuple[int, str]]) -> None:
    rng = random.Random(f"10 {name}")
    tried(name, ask, lambda: rng.sample(HOSTILE, 2))


@pytest.mark.long
@pytest.mark.parametrize("name", QUESTIONS)
def test_every_hostile_argument_is(name: str, ask: Callable[..., tuple[int, str]]) -> None:
    tried(name, ask, lambda: list(HOSTILE))


@pytest.mark.parametrize("name", QUESTIONS)
def test_a_hostile_library_answers_plainly(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    library = poison(demo_copy(tmp_path))
    for arguments in ([], ["--json"]):
        try:
            code = main(["--library", str(library), *good(name), *arguments])
        except SystemExit as left:
            code = int(left.code or 0)
        said = capsys.readouterr()
        assert code == 0 or name not in ("list", "check", "show", "batch", "make", "compare", "map"), said.err[-2000:]
        assert code in {0, 1, 2} and "Traceback" not in said.err, said.err[-2000:]
        assert harmless(said.out) and harmless(said.err), said
        if arguments and said.out:
            json.loads(said.out)


@pytest.mark.parametrize("name", ["list", "check", "show", "batch"])
def test_files_that_are_no_files_are_told_and_read_by_nobody(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    library = demo_copy(tmp_path)
    litter(library, tmp_path)
    code = main(["--library", str(library), *good(name)])
    said = capsys.readouterr()
    assert code == (1 if name == "check" else 0)
    assert harmless(said.out) and harmless(said.err)
    assert "Secret Of Another House" not in said.out + said.err and "root:" not in said.out + said.err
    told = said.out if name == "check" else said.err
    for reason in ("outside the library", "is not a plain file", "over 1000000", "is no id", "at most 20000"):
        assert reason in told, reason
