"""Text and files meant to do harm, and a library with them in every place a person may write."""

from __future__ import annotations

import itertools
import os
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import tomli_w

from station.bar.kinds import LONGEST_TEXT, TEXT, Kind, Rows, Shape, Table, Tables
from station.files.whole import files_of, shape_of

TEXTS = (
    "[red]loud[/red]",
    "[/] [@click=app.leave]tap[/] [link=file:///etc/passwd]x",
    "\x1b[31m\x1b[2Jred",
    "\x1b]52;c;cm0gLXJm\x07copied",
    "\x1b]8;;http://example.invalid\x1b\\link\x1b]8;;\x1b\\",
    "\x1bP+q544e\x1b\\ \x1b[?1049l \x1bc",
    "\x9b31m \x9d0;title\x9c \x85",
    "\u202edrawkcab\u202c \u2066isolated\u2069 \u200fright",
    "zero\u200bwidth\u200d\ufeff \u2060joined",
    "水酒酸" * 20,
    "\U0001f468\u200d\U0001f469\u200d\U0001f467\ufe0f",
    "e" + "\u0301" * 60,
    "one\ntwo\r\nthree\ttab\x0bvertical\x0cform\u2028line\u2029paragraph",
    "\x00\x07\x08\x7f",
    "x" * LONGEST_TEXT,
    "../../../etc/passwd",
    '=HYPERLINK("http://example.invalid";"x")',
    "@SUM(1+1)*cmd|' /C calc'!A0",
    "%s %n {0} ${HOME} $(touch pwned) `touch pwned` ; touch pwned",
    "CON",
    "/dev/zero",
)
NAMES = ("../outside", "con", "nul", "aux", "a" * 200, "[red]", "\x1b]52;c;!\x07", "new\nline", "\u202eevil", "-rf", "=1+1")
NAMES += ("drinks", " ", "~nobody-of-that-name/x")


def strings() -> Iterator[str]:
    """The texts, over and over."""
    return itertools.cycle(TEXTS)


def poison(library: Path) -> Path:
    """Every key of every file that takes free text, filled with hostile text; everything else as it was."""
    texts = strings()
    for file in files_of(library):
        path = library / file
        data = tomllib.loads(path.read_text(encoding="utf-8"))
        path.write_text(tomli_w.dumps(_filled(data, shape_of(file), texts)), encoding="utf-8")
    return library


def _filled(value: Any, shape: Shape, texts: Iterator[str]) -> Any:
    if isinstance(shape, Kind):
        return next(texts) if shape is TEXT else value
    if isinstance(shape, Rows):
        return [_filled(one, shape.each, texts) for one in value]
    if isinstance(shape, Tables):
        return {name: _filled(one, shape.each, texts) for name, one in value.items()}
    assert isinstance(shape, Table)
    filled = dict(value)
    for key in shape.keys:
        if key.name in value or key.kind is TEXT:
            filled[key.name] = _filled(value.get(key.name), key.kind, texts)
    return filled


def litter(library: Path, outside: Path) -> None:
    """Files no library should have: bad names, links that lead out, pipes, devices, too much of everything."""
    good = (library / "drinks" / "tin-lantern.toml").read_text(encoding="utf-8")
    secret = outside / "secret.toml"
    secret.write_text(good.replace("Tin Lantern", "Secret Of Another House"), encoding="utf-8")
    for folder in ("drinks", "ingredients", "stocks", "orders", "themes"):
        home = library / folder
        home.mkdir(exist_ok=True)
        (home / "leads-out.toml").symlink_to(secret)
        (home / "leads-round.toml").symlink_to(home / "leads-round.toml")
        (home / "endless.toml").symlink_to("/dev/zero")
        (home / "password.toml").symlink_to("/etc/passwd")
        os.mkfifo(home / "pipe.toml")
        (home / "folder.toml").mkdir()
        (home / "large.toml").write_text(f'name = "{"x" * 1_100_000}"\n', encoding="utf-8")
        (home / "long-name.toml").write_text(f'name = "{"y" * 100_000}"\n', encoding="utf-8")
        for name in ("CON", "nul", "[red]x", "\x1b]52;c;!\x07", "new\nline", "\u202eevil", "-rf", "=1+1", "a" * 100):
            (home / f"{name}.toml").write_text(good, encoding="utf-8")
        (home / os.fsdecode(b"bytes-\xff\xfe.toml")).write_text(good, encoding="utf-8")


def harmless(text: str) -> bool:
    """Whether a terminal can show it without its state being changed, and an eye can read it in the order it is written."""
    return all(char in "\n\u00a0" or (char.isprintable() and char not in _UNSEEN) for char in text)


_UNSEEN = {chr(code) for code in (*range(0x200B, 0x2010), *range(0x2028, 0x202F), *range(0x2060, 0x2070), 0xFEFF, 0x061C)}
