"""A drink's lines in the screens: written, changed, taken out, moved; whole drinks begun, copied, renamed, retired."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest
from screens import LEAST, PLAIN, WIDE, press, screens, shows, text_of
from small_library import demo_copy
from textual.pilot import Pilot

from station.desk.document import Document
from station.desk.opening import Opened
from station.tui.app import StationApp

SIZES = pytest.mark.parametrize("size", [WIDE, PLAIN, LEAST], ids=["120x40", "80x24", "40x16"])


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return demo_copy(tmp_path)


def opened(app: StationApp) -> Document:
    assert app.main.lines.document is not None
    return app.main.lines.document


def items(app: StationApp) -> list[str]:
    return [line.item for line in opened(app).lines]


def fits(app: StationApp, size: tuple[int, int]) -> bool:
    rows = text_of(app)
    return len(rows) == size[1] and all(len(row) <= size[0] for row in rows) and rows[-1].rstrip().endswith(("? keys", "?"))


async def keys(pilot: Pilot[None], words: str) -> int:
    """Press them, and how many they were: a word that is a key's name is one, `_` is a blank."""
    count = 0
    for word in words.split():
        if word.startswith("^"):
            await pilot.press(f"ctrl+{word[1]}")
            count += 1
        else:
            for part in word.replace("_", "\0_\0").split("\0"):
                if part:
                    await press(pilot, "Space" if part == "_" else part)
                    count += 1 if part in {"_", "Enter", "Esc", "Down", "Up", "Right", "Left", "Back"} else len(part)
    await pilot.pause()
    return count


@SIZES
async def test_a_new_drink_is_written_and_balanced_from_nothing_and_saved(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        count = await keys(pilot, "^n Brass_Kettle")
        assert shows(app, "id   brass-kettle") and fits(app, size)
        count += await keys(pilot, "Enter")
        assert shows(app, "Brass Kettle has no line yet")
        for line in ("rum_l Enter 60", "lime_j Enter 18", "syrup_1 Enter 15"):
            count += await keys(pilot, f"n {line} Enter")
            assert fits(app, size)
        # Too little acid for the style: four drops of the citric solution mend it, and the balance says so as they are typed.
        assert shows(app, "▼ low")
        count += await keys(pilot, "n citric-2 Enter 4_drops")
        assert not shows(app, "▼ low")
        count += await keys(pilot, "Enter s")
        assert shows(app, "saved in drinks/brass-kettle.toml")
        assert count == 66
    assert (library / "drinks" / "brass-kettle.toml").read_text(encoding="utf-8") == (
        'name = "Brass Kettle"\nmethod = "shake"\nstyle = "shaken"\n'
        '\n[[lines]]\nitem = "rum-light"\namount = "60 ml"\n'
        '\n[[lines]]\nitem = "lime-juice"\namount = "18 ml"\n'
        '\n[[lines]]\nitem = "syrup-1-1"\namount = "15 ml"\n'
        '\n[[lines]]\nitem = "citric-25"\namount = "4 drops"\n'
    )


@SIZES
async def test_an_item_is_found_misspelt_and_taken_with_arrows_or_left(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await keys(pilot, "tin Enter n grapfruit")
        assert fits(app, size) and shows(app, "Grapefruit cordial") and shows(app, "grapefruit juice")
        await keys(pilot, "Down")
        second = app.main.search.found[1].id
        await keys(pilot, "Enter")
        assert items(app)[1] == second and shows(app, "How much?")
        await keys(pilot, "Esc u n lemon Esc")
        assert not opened(app).unsaved and app.main.on == "lines"
        await keys(pilot, "n zzzz")
        assert shows(app, "no item or stock is called that")
        await keys(pilot, "Enter Esc")
        assert not opened(app).unsaved


@SIZES
async def test_lines_are_taken_out_moved_and_changed_and_undone(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await keys(pilot, "tin Enter")
        before = items(app)
        await keys(pilot, "Down x")
        assert items(app) == [before[0], *before[2:]] and shows(app, "u brings back Lime juice")
        await keys(pilot, "]")
        assert items(app)[1:3] == [before[3], before[2]] and app.main.lines.at == 2
        await keys(pilot, "[ [ [")
        assert items(app)[0] == before[2] and app.main.lines.at == 0
        await keys(pilot, "i syrup-2 Enter")
        assert items(app)[0] == "syrup-2-1" and opened(app).texts[0] == "15 ml"
        await keys(pilot, "w w")
        assert opened(app).when(0) == "finish" and shows(app, "per glass, after dilution") and fits(app, size)
        await keys(pilot, "e")
        assert opened(app).texts[0] == "0.507 oz" and shows(app, "0.507 oz for 15 ml: 0.041 % less")
        await keys(pilot, "u u u u u u u u")
        assert items(app) == before and not opened(app).unsaved
        await keys(pilot, "r r r r r r r r s")
        assert shows(app, "saved in drinks/tin-lantern.toml")
    data = tomllib.loads((library / "drinks" / "tin-lantern.toml").read_text(encoding="utf-8"))
    assert data["lines"][0] == {"item": "syrup-2-1", "amount": "0.507 oz", "when": "finish"}


@SIZES
async def test_drops_become_grams_in_one_key_and_come_back(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await keys(pilot, "tin Enter Down Down Down Down e")
        assert opened(app).texts[4] == "0.105 g" and shows(app, "0.105 g for 2 drops: 0.32 % more")
        await keys(pilot, "e e")
        assert opened(app).texts[4] == "2 drops" and not opened(app).unsaved
        await keys(pilot, "Down Down e")
        assert shows(app, "Lime coin is counted, not weighed")


async def test_a_long_drink_keeps_its_chosen_line_and_the_balance_in_sight(library: Path) -> None:
    async with screens(library, LEAST) as (app, pilot):
        await keys(pilot, "tin Enter")
        for _ in range(6):
            await keys(pilot, "n water Enter 1 Enter")
        for step in ("Down", "Up"):
            for _ in range(14):
                await keys(pilot, step)
                chosen = [row for row in text_of(app) if row.startswith("▸")]
                assert len(chosen) == 1 and opened(app).texts[app.main.lines.at] in chosen[0]
                assert shows(app, "ABV % vol")
        assert any(row.startswith("↓") for row in text_of(app))
        await pilot.click("#lines", offset=(5, 3))
        await pilot.pause()
        assert app.main.lines.at == 2


async def test_everything_can_be_tapped(library: Path) -> None:
    async def tap(words: str) -> None:
        bar = text_of(app)[-1]
        await pilot.click("#keys", offset=(bar.index(words), 0))
        await pilot.pause()

    async with screens(library, (180, 40)) as (app, pilot):
        await keys(pilot, "tin Enter")
        await tap("new line")
        await pilot.click("#search", offset=(4, 2))
        await pilot.pause()
        new = items(app)[1]
        assert len(items(app)) == 8 and opened(app).typing is not None
        await keys(pilot, "5 Enter")
        await tap("other unit, to 0.5 %")
        assert opened(app).texts[1] != "5 ml"
        await tap("other item")
        await tap("next")
        await tap("take it")
        assert items(app)[1] != new
        await tap("when")
        assert opened(app).when(1) == "service"
        await tap("take out")
        assert len(items(app)) == 7
        await tap("undo")
        assert len(items(app)) == 8


async def test_actions_of_the_list_are_found_by_their_names(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await keys(pilot, "tin ? retire Enter")
        assert shows(app, "Tin Lantern is off the list")


@SIZES
async def test_an_unsaved_new_drink_is_in_the_list_at_the_next_start(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (_, pilot):
        await keys(pilot, "^n Brass_Kettle Right Down Enter n gin Enter 6")
    async with screens(library, size) as (app, pilot):
        assert shows(app, "Unsaved edits were kept: Brass Kettle"[: size[0]])
        await keys(pilot, "brass Enter")
        assert opened(app).typing is not None and shows(app, "6") and items(app) == ["gin-dry"]
        await keys(pilot, "0 Enter s")
        assert shows(app, "saved in drinks/brass-kettle.toml")
    data = tomllib.loads((library / "drinks" / "brass-kettle.toml").read_text(encoding="utf-8"))
    assert (data["method"], data["lines"]) == ("stir", [{"item": "gin-dry", "amount": "60 ml"}])


async def test_a_new_drink_without_lines_goes_by_retiring_it(library: Path) -> None:
    async with screens(library) as (app, pilot):
        await keys(pilot, "^n Brass_Kettle Enter n gin Enter Esc Esc ^t")
        assert shows(app, "brass-kettle was never saved and has lines")
        await keys(pilot, "Enter u Esc ^t")
        assert shows(app, "Brass Kettle was never saved and is gone") and app.main.lines.document is None
        assert not list((library / ".station" / "drafts" / "drinks").glob("*.json"))


@SIZES
async def test_a_copy_is_open_at_once(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await keys(pilot, "tin ^d")
        assert shows(app, "A copy of Tin Lantern") and shows(app, "id   tin-lantern-2") and fits(app, size)
        await keys(pilot, "Enter")
        assert opened(app).saved.name == "Tin Lantern 2" and app.main.on == "lines"
    assert (library / "drinks" / "tin-lantern-2.toml").exists()


@SIZES
async def test_a_renamed_drink_keeps_its_open_edit(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await keys(pilot, "tin Enter x Esc ^r")
        assert shows(app, "Another name for Tin Lantern") and fits(app, size)
        await keys(pilot, "_Lit Enter")
        assert shows(app, "Tin Lantern is now Tin Lantern Lit"[: size[0]])
        assert opened(app).saved.id == "tin-lantern-lit" and len(items(app)) == 6 and opened(app).unsaved
    assert not (library / "drinks" / "tin-lantern.toml").exists()


async def test_a_drink_never_saved_can_be_renamed_and_not_copied(library: Path) -> None:
    async with screens(library) as (app, pilot):
        await keys(pilot, "^n Brass_Kettle Enter n gin Enter 60 Enter Esc ^d")
        assert shows(app, "Brass Kettle is not saved yet: save it first")
        await keys(pilot, "^r s Enter")
        assert opened(app).saved.id == "brass-kettles" and items(app) == ["gin-dry"]
        await keys(pilot, "Enter s")
    assert (library / "drinks" / "brass-kettles.toml").exists() and not (library / "drinks" / "brass-kettle.toml").exists()


async def test_a_name_that_is_taken_is_said_and_nothing_is_done(library: Path) -> None:
    async with screens(library) as (app, pilot):
        await keys(pilot, "^n tin_lantern Enter")
        assert shows(app, "the id tin-lantern is taken") and app.main.on == "naming"
        await keys(pilot, "Back Back Back Esc")
        assert app.main.on == "list" and app.main.lines.document is None


@SIZES
async def test_a_retired_drink_is_shown_among_the_retired_and_comes_back(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await keys(pilot, "tin ^t")
        assert shows(app, "no drink holds")
        await keys(pilot, "^o")
        assert shows(app, "Retired") and shows(app, "▸ Tin Lantern")
        await keys(pilot, "^t")
        assert shows(app, "Tin Lantern is on the list again")
        await keys(pilot, "^o tin")
        assert shows(app, "▸ Tin Lantern")
    assert "retired" not in (library / "drinks" / "tin-lantern.toml").read_text(encoding="utf-8")


async def test_a_read_only_library_refuses_in_one_sentence(library: Path) -> None:
    app = StationApp(Opened(library, demo=True))
    async with app.run_test(size=PLAIN) as pilot:
        await pilot.pause()
        for key in ("^n", "^d", "^r", "^t"):
            await keys(pilot, f"Esc tin {key}")
            assert shows(app, "the demo library is read only") and app.main.on == "list", key
    assert not (library / ".station").exists()


async def test_what_another_program_changes_leaves_a_new_drink_alone(library: Path) -> None:
    async with screens(library) as (app, pilot):
        await keys(pilot, "^n Brass_Kettle Enter n gin Enter 60 Enter")
        app.main.look_around()
        (library / "drinks" / "salt-ferry.toml").unlink()
        app.main.look_around()
        await pilot.pause()
        assert shows(app, "what you see is the newest") and items(app) == ["gin-dry"] and shows(app, "▸ Brass Kettle")
        assert not shows(app, "Salt Ferry")


@SIZES
async def test_a_drink_never_saved_can_be_looked_at_in_every_way(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await keys(pilot, "^n Brass_Kettle Enter")
        for key in "vcmaobj":
            await keys(pilot, key)
            if app.on is not app.main:
                await keys(pilot, "Esc")
            assert app.on is app.main and fits(app, size), key
            app.main.put_on("lines")
        await keys(pilot, "n gin Enter 60 Enter n lime_j Enter 20 Enter")
        for key, words in (
            ("v", "Brass Kettle"),
            ("m", "Brass Kettle"),
            ("c", "held against nothing yet"),
            ("b", "Brass Kettle"),
        ):
            await keys(pilot, key)
            assert shows(app, words), key
            await keys(pilot, "Esc")
            assert app.on is app.main
        assert items(app) == ["gin-dry", "lime-juice"] and app.main.on == "lines"


async def test_a_line_merely_opened_for_typing_is_no_edit(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await keys(pilot, "tin Enter Enter")
        assert opened(app).typing is not None and not shows(app, "not saved yet")
        await keys(pilot, "Back")
        assert shows(app, "not saved yet")
        await keys(pilot, "Esc")
        assert not shows(app, "not saved yet")


@SIZES
async def test_before_a_kept_edit_is_decided_other_keys_say_so(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (_, pilot):
        await keys(pilot, "tin Enter Down x")
    for key in ("b", "w", "r", "5", "Enter"):
        async with screens(library, size) as (app, pilot):
            await keys(pilot, f"tin Enter {key}")
            assert shows(app, "First y (take the kept edit up) or n") and app.main.lines.offer and len(items(app)) == 7


async def test_a_kept_edit_is_dated_by_the_houses_clock(library: Path) -> None:
    async with screens(library, PLAIN) as (_, pilot):
        await keys(pilot, "tin Enter Down x")
    draft = library / ".station" / "drafts" / "drinks" / "tin-lantern.json"
    kept = json.loads(draft.read_text(encoding="utf-8"))
    draft.write_text(json.dumps({**kept, "when": "2026-07-28T23:29:00+00:00"}), encoding="utf-8")
    async with screens(library, PLAIN) as (app, pilot):
        await keys(pilot, "tin Enter")
        assert shows(app, "An unsaved edit of 29 Jul 2026, 00:29 was kept: y")  # Lisbon, an hour on in summer


async def test_a_drink_never_saved_has_no_saved_figures(library: Path) -> None:
    async with screens(library) as (app, pilot):
        await keys(pilot, "^n Brass_Kettle Enter n gin Enter 60 Enter")
        rows = ["".join(text for text, _ in row).split() for row in app.main.balance.rows]
        of = [row for row in rows if row[:2] in (["Volume", "ml"], ["ABV", "%"], ["Alcohol", "g"])]
        assert len(of) == 5 and all("–" in row for row in of)
        await keys(pilot, "s")
        rows = ["".join(text for text, _ in row).split() for row in app.main.balance.rows]
        assert not any("–" in row for row in rows if row[:2] == ["Volume", "ml"])


@SIZES
async def test_a_bare_number_says_its_unit_while_it_is_typed(library: Path, size: tuple[int, int]) -> None:
    def field() -> str:
        line = [line for line in text_of(app) if "▸" in line][-1]
        return " ".join(line[line.rindex("▸") + 1 :].split()[:2])

    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter 5")
        assert field() == "5 ml"
        await press(pilot, "Esc Down Down Down Down 1")
        assert field() == "1 drop"
        await press(pilot, "0")
        assert field() == "10 drops"
        await press(pilot, "Space g")
        assert field() == "10 g"
        await press(pilot, "Esc n citric Space acid Enter")
        assert field() == "g Citric"
        await press(pilot, "1 /")
        assert field().startswith("1/") and "g" not in field().split()[0]
        await press(pilot, "2")
        assert field() == "1/2 g"


@SIZES
async def test_an_item_that_is_there_already_is_said_and_taken(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter n lime Space juice Enter")
        assert shows(app, "There already: line 3, 22.5 ml Lime")
        await press(pilot, "1 0 Enter")
        assert not shows(app, "There already") and items(app).count("lime-juice") == 2
        await press(pilot, "Up i lime Space juice Enter")
        assert shows(app, "There already: line 2, 10 ml; line 3, 2")
        await press(pilot, "u u u n gin Enter")
        assert not shows(app, "There already")


async def test_letters_typed_after_a_drink_was_opened_begin_another_search(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "tin Enter Esc")
        assert app.main.specs.words == "tin"
        await press(pilot, "vel")
        assert app.main.specs.words == "vel" and shows(app, "▸ Velvet Ordinance")
        await press(pilot, "Enter Esc Back")
        assert app.main.specs.words == "ve"
        await press(pilot, "l")
        assert app.main.specs.words == "vel"
