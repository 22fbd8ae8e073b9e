"""Which lines move until a person ticks some: the first suggested that meet the wish as poured; what a person ticked stays."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_library import demo_copy, open_folder

from station.desk import open_tuning as desk
from station.desk.document import Document, open_document
from station.desk.open_tuning import OpenTuning, open_tuning

RUM, LIME, SYRUP, LIQUEUR, CITRIC, SALINE = range(6)


@pytest.fixture(scope="module")
def document(tmp_path_factory: pytest.TempPathFactory) -> Document:
    return open_document(open_folder(demo_copy(tmp_path_factory.mktemp("tuned"))), "tin-lantern")


def wished(document: Document, at: int, **wishes: str) -> OpenTuning:
    found = open_tuning(document, at)
    for figure, text in wishes.items():
        found.wish(figure, text)
    return found


@pytest.mark.parametrize(
    ("at", "acid", "moving", "met"),
    [
        (RUM, "0.95", {CITRIC}, True),
        (LIME, "0.95", {LIME}, False),
        (CITRIC, "0.95", {CITRIC}, True),
        (RUM, "0.8", {LIME}, False),
        (RUM, "0.65", {LIME}, True),
        (RUM, "0.625", {LIME, CITRIC}, True),
        (RUM, "50", {LIME}, False),
        # By the drops alone it would be 79 of them: nobody counts that, so the juice moves.
        (RUM, "1.5", {LIME}, True),
    ],
)
def test_acid_is_set_by_what_meets_it_as_poured(document: Document, at: int, acid: str, moving: set[int], met: bool) -> None:
    found = wished(document, at, acid=acid)
    assert found.moving == moving
    assert not isinstance(found.answer, str) and all(one.met_as_poured for one in found.answer.wishes) is met


def test_two_figures_move_the_drops_and_the_syrup(document: Document) -> None:
    found = wished(document, RUM, acid="0.95", ratio="8")
    assert SYRUP in found.moving and found.moving & {LIME, CITRIC}


@pytest.mark.parametrize(
    ("wishes", "moving"),
    [
        ({"sugar": "6"}, {SYRUP}),
        ({"ratio": "8"}, {SYRUP}),
        ({"abv": "15"}, {RUM}),
        ({"volume": "150"}, {RUM, LIME, SYRUP, LIQUEUR, CITRIC, SALINE}),
    ],
)
def test_the_other_figures_have_one_suggestion(document: Document, wishes: dict[str, str], moving: set[int]) -> None:
    assert wished(document, LIME if "abv" in wishes else RUM, **wishes).moving == moving


def test_what_is_met_first_is_not_tried_on(document: Document, monkeypatch: pytest.MonkeyPatch) -> None:
    tried, real = list[object](), desk.tuned_spec
    monkeypatch.setattr(desk, "tuned_spec", lambda *asked: (tried.append(asked[2]), real(*asked))[1])
    wished(document, RUM, acid="0.95")
    assert tried == [[CITRIC]]
    tried.clear()
    wished(document, RUM, acid="0.8")
    assert tried == [[CITRIC], [LIME], [LIME, CITRIC]]


def test_what_cannot_be_read_yet_is_said_and_asks_nothing(document: Document) -> None:
    found = wished(document, RUM, acid="1.2.3")
    assert isinstance(found.answer, str) and "two decimal marks" in found.answer


@settings(max_examples=25)
@given(
    ticks=st.lists(st.integers(RUM, SALINE), min_size=1, max_size=4),
    wishes=st.lists(st.tuples(st.sampled_from(desk.FIGURES), st.sampled_from(["0.8", "0.95", "8", "", "within"])), max_size=3),
)
def test_what_a_person_ticked_is_never_changed(document: Document, ticks: list[int], wishes: list[tuple[str, str]]) -> None:
    found = open_tuning(document, RUM)
    for place in ticks:
        found.toggle(place)
    own = set(found.moving)
    assert own == {place for place in ticks if ticks.count(place) % 2}
    for figure, text in wishes:
        found.wish(figure, text)
        assert found.moving == own
    again = open_tuning(document, LIME)
    again.as_left(found)
    assert again.moving == own
