"""What README shows of cards and amounts is what the program prints and reads."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from small_library import NOON, demo

from station.bar.amount import parse_amount
from station.bar.units import MEASURES
from station.calc.batch import Target
from station.cards.text import batch_card
from station.desk.batching import batched

README = (Path(__file__).resolve().parents[2] / "README.md").read_text(encoding="utf-8")
AMOUNTS = README[README.index("Amounts are what people write") : README.index("## Look up, make, check")]


def test_the_sample_card_is_one_the_program_prints() -> None:
    block = re.findall(r"```text\n(.*?)```", README, re.S)[0].rstrip().splitlines()
    card = batch_card(batched(demo(), "tin-lantern", Target(vessel="pitcher"), None, NOON), demo().library)
    assert len(block) > 20 and block == [line.replace("\u00a0", " ") for line in card[: len(block)]]


@pytest.mark.parametrize("unit", sorted(MEASURES))
def test_every_unit_that_is_read_is_listed(unit: str) -> None:
    assert f"`{unit}`" in AMOUNTS


@pytest.mark.parametrize(
    "word", sorted(set(re.findall(r"`([a-z][a-z ]*)`", AMOUNTS)) - {"a", "an", "one", "top", "float", "rinse", "total"})
)
def test_every_unit_that_is_listed_is_read(word: str) -> None:
    assert parse_amount(f"1 {word}").unit in MEASURES
