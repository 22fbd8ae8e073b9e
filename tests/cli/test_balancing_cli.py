"""compare, map, show --card, show --sources: names of the JSON, text, exit codes."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from small_library import SOUR, write_library

from station import cli
from station.bar.glyphs import use_ascii
from station.files.places import shipped


def ask(capsys: pytest.CaptureFixture[str], *arguments: object) -> tuple[int, str, str]:
    try:
        code = cli.main([str(one) for one in arguments])
    except SystemExit as left:
        code = int(left.code or 0)
    captured = capsys.readouterr()
    return code, captured.out.replace("\u00a0", " "), captured.err


def demo(capsys: pytest.CaptureFixture[str], *arguments: object) -> tuple[int, str, str]:
    return ask(capsys, "--library", shipped("specs"), *arguments)


def test_the_names_of_compare(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = demo(capsys, "compare", "tin-lantern", "salt-ferry", "--json")
    answer = json.loads(out)
    assert code == 0
    assert set(answer) == {"left", "right", "lines", "figures", "left_window", "right_window"}
    assert set(answer["left"]) == {"id", "name", "version", "method", "served_in"}
    assert set(answer["lines"][0]) == {"item", "name", "left", "right", "difference_g"}
    assert [set(one) for one in answer["figures"]] == [{"figure", "left", "right", "difference"}] * 7
    figures = {one["figure"]: one for one in answer["figures"]}
    assert figures["abv_pct"]["difference"] == figures["abv_pct"]["right"] - figures["abv_pct"]["left"]


def test_the_names_of_map(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = demo(capsys, "map", "tin-lantern", "--json")
    answer = json.loads(out)
    assert code == 0
    names = ["sugar_to", "acid_to", "spots", "here", "was", "style", "window", "window_source", "left_out", "waiting"]
    assert list(answer) == names
    assert set(answer["here"]) == {"id", "name", "style", "sugar", "acid", "alike"}
    assert (answer["left_out"], answer["waiting"]) == (0, 0)


def test_the_names_of_sources(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = demo(capsys, "show", "tin-lantern", "--json")
    sources = json.loads(out)["sources"]
    assert [set(one) for one in sources] == [{"item", "name", "ethanol", "sugar", "acid", "water", "volume"}] * len(sources)
    assert sources[-1]["item"] == "" and sources[-1]["ethanol"] == 0.0


def test_texts(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = demo(capsys, "show", "tin-lantern", "--sources")
    assert code == 0 and any(row.split() == ["Light", "rum", "97", "%", "31", "%", "39", "%"] for row in out.splitlines())
    code, out, _ = demo(capsys, "show", "tin-lantern", "--card")
    assert code == 0 and "   22.5 ml  Lime juice, fresh" in out and len(out.splitlines()) <= 20
    code, out, _ = ask(capsys, "--ascii", "--library", shipped("specs"), "map", "tin-lantern")
    use_ascii(False)
    assert code == 0 and "X this drink" in out and "⠒" not in out and "Salt Ferry" in out
    assert demo(capsys, "show", "tin-lantern", "--card", "--sources")[0] == 2


def test_what_is_not_there_is_said_on_stderr_alone(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    folder = write_library(tmp_path / "library")
    for arguments, said in (
        (("compare", "sour", "sour@1"), "station: there is no sour@1 that can be read (there is sour)"),
        (("compare", "soor", "sour"), "station: there is no drink soor (did you mean sour?)"),
        (("map", "soor"), "station: there is no drink soor (did you mean sour?)"),
    ):
        code, out, err = ask(capsys, "--library", folder, *arguments, "--json")
        assert (code, out) == (1, "") and err.strip() == said
    assert not (folder / ".station").exists()
    assert ask(capsys, "compare", "sour")[0] == 2
    assert SOUR in (folder / "drinks" / "sour.toml").read_text(encoding="utf-8")
