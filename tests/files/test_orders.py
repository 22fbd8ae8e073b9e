"""Orders as files: read, their references followed, their faults told. What they come to is reckoned elsewhere."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from small_library import drink, open_small

from station.bar.shelf import DRINK, ITEM
from station.desk.renaming import rename

ORDER = """\
name = "Supper"
date = 2027-05-01  # a Saturday
guests = 40
hours = 4
per_hour = 1.5
on_hand = { spirit = "1 l" }

[[pours]]
spec = "d"
share = 1.0
"""


def faults_of(tmp_path: Path, text: str) -> list[str]:
    opened = open_small(tmp_path, {"orders/supper.toml": text, "drinks/d.toml": drink("shake", "spirit: 60 ml")})
    return [str(fault) for fault in opened.library.faults]


def test_an_order_is_read(tmp_path: Path) -> None:
    opened = open_small(tmp_path, {"orders/supper.toml": ORDER, "drinks/d.toml": drink("shake", "spirit: 60 ml")})
    order = opened.library.orders["supper"]
    assert (order.date, order.guests, order.hours, order.per_hour) == (date(2027, 5, 1), 40, 4.0, 1.5)
    assert [(pour.spec, pour.share, pour.serves) for pour in order.pours] == [("d", 1.0, None)]
    assert order.on_hand["spirit"].text == "1 l"
    assert not opened.library.faults


@pytest.mark.parametrize(
    ("was", "now", "said"),
    [
        ('spec = "d"', 'spec = "e"', "orders/supper.toml:9:1: pours 1 spec: there is no drink e"),
        ("guests = 40", "guests = 0", "orders/supper.toml:3:1: guests: 0 is out of range (1 to 1000000)"),
        ("share = 1.0", "", "pours 1: neither share nor serves is said (give one of the two)"),
        ("share = 1.0", "share = 1.0\nserves = 3", "pours 1: share and serves are both said (give one of the two)"),
        ("hours = 4\n", "", "hours: per_hour needs the hours (add e.g. hours = 5)"),
        ("per_hour = 1.5", "per_hour = 1.5\ndrinks_per_guest = 4", "first_hour and per_hour say it already"),
        ("spirit =", "spirt =", "on_hand spirt: there is no item or stock spirt (did you mean spirit?)"),
        ('"1 l"', '"top"', "on_hand spirit: “top” says when it goes in, not how much (write e.g. 60 ml)"),
        ("2027-05-01", '"2027-05-01"', "date: a date is wanted here, not a string"),
    ],
)
def test_what_is_wrong_is_said_in_one_line_where_it_is(was: str, now: str, said: str, tmp_path: Path) -> None:
    assert was in ORDER
    found = faults_of(tmp_path, ORDER.replace(was, now))
    assert len(found) == 1
    assert said in found[0]


def test_a_rename_of_a_drink_or_an_item_is_followed_and_every_comment_stays(tmp_path: Path) -> None:
    opened = open_small(tmp_path, {"orders/supper.toml": ORDER, "drinks/d.toml": drink("shake", "spirit: 60 ml")})
    rename(opened, DRINK, "d", "supper-drink")
    rename(opened, ITEM, "spirit", "plain-spirit")
    text = (tmp_path / "orders" / "supper.toml").read_text(encoding="utf-8")
    assert text == ORDER.replace('"d"', '"supper-drink"').replace("spirit =", "plain-spirit =")
    assert not opened.library.faults
