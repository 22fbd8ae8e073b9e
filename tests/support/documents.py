"""Random TOML documents: data, and a text that says it in an untidy person's hand."""

from __future__ import annotations

import random
import re
import tomllib
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta, timezone
from typing import Any

from hypothesis import strategies as st

_BARE = re.compile(r"[A-Za-z0-9_-]+")

names = st.one_of(
    st.sampled_from(["item", "amount", "name", "with", "lines", "a", "b", "1", "ounce-2"]),
    st.text(alphabet="ab.# \"'\\\n=]é", max_size=3),
)
strings = st.one_of(
    st.sampled_from(
        ["2 drops", "3/4 oz", "# no comment", "[[lines]]", '"""', "'''", "a'b", 'say "so"', "C:\\x", "two\nlines", "\r\n", ""]
    ),
    st.text(alphabet="ab1 é\u2028\U0001f378\x85\x1f\x7f\t\n\r\"'\\#=[]{},", max_size=8),
)
zones = st.integers(-14 * 60, 14 * 60).map(lambda minutes: timezone(timedelta(minutes=minutes)))
scalars = st.one_of(
    strings,
    strings,
    st.integers(-(2**63), 2**63 - 1),
    st.floats(),
    st.booleans(),
    st.dates(),
    st.datetimes(timezones=st.one_of(st.none(), zones)),
    st.times(),
)
values = st.recursive(
    scalars,
    lambda inner: st.one_of(st.lists(inner, max_size=4), st.dictionaries(names, inner, max_size=3)),
    max_leaves=5,
)
line_tables = st.lists(
    st.fixed_dictionaries({"item": st.sampled_from("abcd"), "amount": strings}, optional={"with": scalars, "x": values}),
    max_size=5,
)
small_tables = st.dictionaries(names, values, max_size=4)
data = st.dictionaries(
    names, st.one_of(values, small_tables, line_tables, st.dictionaries(names, line_tables, max_size=2)), max_size=5
)


@st.composite
def documents(draw: st.DrawFn) -> tuple[str, dict[str, Any]]:
    """A text, and what tomllib reads in it."""
    content = draw(data)
    writer = Writer(random.Random(draw(st.integers(0, 2**32))))
    return writer.document(content), content


def leaves(value: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple[str | int, ...], Any]]:
    """Every scalar with its path."""
    if isinstance(value, dict):
        for key, one in value.items():
            yield from leaves(one, (*path, key))
    elif isinstance(value, list):
        for index, one in enumerate(value):
            yield from leaves(one, (*path, index))
    else:
        yield path, value


class Writer:
    """One untidy person: `rng` decides on spelling, spacing, comments and the form of every table."""

    def __init__(self, rng: random.Random) -> None:
        self.rng = rng
        self.comments = 0

    def document(self, content: dict[str, Any]) -> str:
        text = self.noise() + self.section("", "", content) + self.noise()
        if self.rng.random() < 0.3:
            text = text.removesuffix("\n")
        return text.replace("\n", "\r\n") if self.rng.random() < 0.3 else text

    def section(self, path: str, header: str, table: dict[str, Any]) -> str:
        """A table in `[header]` form: own lines first, then what has headers of its own; sometimes the other way round."""
        below = {key: value for key, value in table.items() if self.may_have_header(value) and self.rng.random() < 0.7}
        own = [self.lines(key, value) for key, value in table.items() if key not in below]
        self.rng.shuffle(own)
        subs = [
            self.headed(f"{path}{self.gap()}.{self.gap()}{self.key(key)}" if path else self.key(key), below[key]) for key in below
        ]
        head = self.indent() + header + self.line_end() if header else ""
        if header.startswith("[") and not header.startswith("[[") and subs:
            if not own and self.rng.random() < 0.5:
                return "".join(subs)
            if self.rng.random() < 0.2:
                return "".join([*subs, head, *own])
        return "".join([head, *own, *subs])

    def headed(self, path: str, value: Any) -> str:
        if isinstance(value, dict):
            return self.noise() + self.section(path, f"[{self.gap()}{path}{self.gap()}]", value)
        return "".join(self.noise() + self.section(path, f"[[{self.gap()}{path}{self.gap()}]]", one) for one in value)

    @staticmethod
    def may_have_header(value: Any) -> bool:
        return isinstance(value, dict) or (
            isinstance(value, list) and bool(value) and all(isinstance(one, dict) for one in value)
        )

    def lines(self, key: str, value: Any, prefix: str = "") -> str:
        """`key = value`, or for a table several dotted keys."""
        name = prefix + self.key(key)
        if isinstance(value, dict) and value and self.rng.random() < 0.4:
            dot = f"{self.gap()}.{self.gap()}"
            return "".join(self.lines(inner, one, name + dot) for inner, one in value.items())
        noise = self.noise() if self.rng.random() < 0.2 else ""
        return f"{noise}{self.indent()}{name}{self.gap()}={self.gap()}{self.value(value)}{self.line_end()}"

    def key(self, key: str) -> str:
        choices = [self.basic(key)]
        if _BARE.fullmatch(key):
            choices += [key] * 4
        if not set(key) & set("'\n"):
            choices.append(f"'{key}'")
        return self.rng.choice(choices)

    def value(self, value: Any) -> str:
        if isinstance(value, str):
            return self.string(value)
        if isinstance(value, dict):
            pairs = [f"{self.key(key)}{self.gap()}={self.gap()}{self.value(one)}" for key, one in value.items()]
            return "{" + self.gap() + f"{self.gap()},{self.gap()}".join(pairs) + self.gap() + "}"
        if isinstance(value, list):
            return self.array(value)
        if isinstance(value, datetime):
            return value.isoformat(self.rng.choice("T ")).replace("+00:00", self.rng.choice(["Z", "+00:00"]))
        if isinstance(value, date | time):
            return value.isoformat()
        if isinstance(value, bool):
            return str(value).lower()
        if isinstance(value, int) and value >= 0 and self.rng.random() < 0.2:
            return self.rng.choice([hex(value), oct(value), bin(value), f"{value:_}", f"+{value}"])
        return repr(value)

    def array(self, value: list[Any]) -> str:
        if not value:
            return f"[{self.gap()}]"
        if self.rng.random() < 0.5:
            return "[" + f"{self.gap()},{self.gap()}".join(map(self.value, value)) + self.rng.choice(["]", " ]", ",]"])
        rows = [f"{self.noise()}{self.indent()}{self.value(one)}{self.gap()}" for one in value]
        last = self.rng.choice([",", ""])
        return (
            "["
            + self.line_end()
            + "".join(f"{row},{self.line_end()}" for row in rows[:-1])
            + rows[-1]
            + last
            + self.line_end()
            + "]"
        )

    def string(self, value: str) -> str:
        choices = [self.basic(value)] * 2
        printable = all(char.isprintable() or char in "\t\n" for char in value)
        if printable and "'" not in value and "\n" not in value:
            choices.append(f"'{value}'")
        if printable and "'''" not in value and not value.endswith("'"):
            choices.append(f"'''\n{value}'''")
        choices.append(f'"""\n{self.escaped(value, keep_newlines=True)}"""')
        choices.append(f'"""\\\n  {self.escaped(value)}"""' if value[:1].strip() else self.basic(value))
        return self.rng.choice(choices)

    def basic(self, value: str) -> str:
        return f'"{self.escaped(value)}"'

    @staticmethod
    def escaped(value: str, keep_newlines: bool = False) -> str:
        plain = {"\n"} if keep_newlines else set()
        return "".join(
            f"\\{char}" if char in '"\\' else char if char.isprintable() or char in plain else f"\\U{ord(char):08x}"
            for char in value
        )

    def noise(self) -> str:
        return "".join(
            self.rng.choice(["\n", "  \n", self.indent() + self.comment() + "\n"])
            for _ in range(self.rng.choice([0, 0, 1, 2, 3]))
        )

    def comment(self) -> str:
        self.comments += 1
        return "#" + self.rng.choice(["", " [x]", " é", " a = 1", ' "', " '"]) + f" {self.comments}."

    def line_end(self) -> str:
        return self.rng.choice(["", "", " ", "  " + self.comment()]) + "\n"

    def indent(self) -> str:
        return self.rng.choice(["", "", "", "  ", "\t"])

    def gap(self) -> str:
        return self.rng.choice(["", " ", " ", "  ", "\t"])


def parsed(text: str) -> dict[str, Any] | None:
    """What tomllib reads, or None where it refuses."""
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError):
        return None
