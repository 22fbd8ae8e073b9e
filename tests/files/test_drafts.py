"""Drafts outlive the program."""

from __future__ import annotations

import stat
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from station.files.drafts import Drafts

content = st.dictionaries(
    st.text(max_size=5), st.one_of(st.text(alphabet='aé🍋\n"\\', max_size=9), st.integers(), st.none()), max_size=4
)


@given(content)
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_a_draft_is_read_back_as_it_was_written(tmp_path: Path, kept: dict[str, object]) -> None:
    Drafts(tmp_path / ".station").write("drinks", "sour", kept)
    assert Drafts(tmp_path / ".station").read("drinks", "sour") == kept


def test_no_draft_is_none(tmp_path: Path) -> None:
    drafts = Drafts(tmp_path / ".station")
    assert drafts.read("drinks", "sour") is None
    assert list(drafts.names("drinks")) == []
    drafts.drop("drinks", "sour")
    assert list(tmp_path.iterdir()) == [], "looking made a folder"


def test_drafts_are_listed_by_kind_and_dropped_one_by_one(tmp_path: Path) -> None:
    drafts = Drafts(tmp_path)
    for kind, name in (("drinks", "b"), ("drinks", "a"), ("pours", "c")):
        drafts.write(kind, name, {})
    assert (list(drafts.names("drinks")), list(drafts.names("pours"))) == (["a", "b"], ["c"])
    drafts.drop("drinks", "a")
    assert list(drafts.names("drinks")) == ["b"]


def test_a_private_folder_is_private_and_kept_out_of_git(tmp_path: Path) -> None:
    private = tmp_path / ".station"
    Drafts(private).write("drinks", "sour", {})
    assert stat.S_IMODE(private.stat().st_mode) == 0o700
    assert (private / ".gitignore").read_text() == "*\n"


def test_a_gitignore_of_ones_own_is_left_alone(tmp_path: Path) -> None:
    private = tmp_path / ".station"
    private.mkdir()
    (private / ".gitignore").write_text("# mine\n")
    Drafts(private).write("drinks", "sour", {})
    assert (private / ".gitignore").read_text() == "# mine\n"


@pytest.mark.parametrize("raw", [b"", b"{", b"[1]", b"\xff\xfe", b"3", b'"x"'])
def test_a_draft_that_cannot_be_read_is_set_aside_never_deleted(raw: bytes, tmp_path: Path) -> None:
    drafts = Drafts(tmp_path)
    drafts.write("drinks", "sour", {"good": 1})
    path = tmp_path / "drafts" / "drinks" / "sour.json"
    path.write_bytes(raw)
    assert drafts.read("drinks", "sour") is None
    assert path.with_suffix(".unreadable").read_bytes() == raw
    assert list(drafts.names("drinks")) == []
    drafts.write("drinks", "sour", {"new": 1})
    assert drafts.read("drinks", "sour") == {"new": 1}


# Deep nesting ends the parser of JSON with a RecursionError, not a ValueError: a torn or hostile draft must not stop the start.
def test_a_draft_nested_too_deeply_is_set_aside(tmp_path: Path) -> None:
    drafts = Drafts(tmp_path)
    drafts.write("drinks", "sour", {})
    (tmp_path / "drafts" / "drinks" / "sour.json").write_text("[" * 100_000)
    assert drafts.read("drinks", "sour") is None


def test_a_half_written_draft_does_not_replace_a_whole_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    drafts = Drafts(tmp_path)
    drafts.write("drinks", "sour", {"whole": 1})

    def dies(self: Path, text: str, **_: object) -> None:
        self.write_bytes(text.encode()[:4])
        raise OSError("killed")

    monkeypatch.setattr(Path, "write_text", dies)
    with pytest.raises(OSError, match="killed"):
        drafts.write("drinks", "sour", {"half": 1})
    assert drafts.read("drinks", "sour") == {"whole": 1}
