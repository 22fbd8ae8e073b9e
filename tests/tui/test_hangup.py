import asyncio
import os
import signal
from collections.abc import Iterator

import pytest
from textual.app import App

from station.tui import hangup


@pytest.fixture(autouse=True)
def _handlers_are_put_back() -> Iterator[None]:
    before = {number: signal.getsignal(number) for number in (signal.SIGTERM, signal.SIGHUP)}
    yield
    for number, handler in before.items():
        signal.signal(number, handler)


class _App(App[None]):
    saves = 0

    def save(self) -> None:
        self.saves += 1


@pytest.mark.parametrize(("number", "status"), [(signal.SIGTERM, 143), (signal.SIGHUP, 129)])
async def test_a_signal_saves_and_exits_with_its_number(number: int, status: int) -> None:
    app = _App()
    async with app.run_test():
        hangup.install(app, app.save)
        os.kill(os.getpid(), number)
        await asyncio.sleep(0.1)
    assert app.saves == 1
    assert app.return_code == status


async def test_a_save_that_fails_does_not_keep_the_app_and_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    def fail() -> None:
        raise OSError("disk full")

    app = _App()
    async with app.run_test():
        hangup.install(app, fail)
        os.kill(os.getpid(), signal.SIGTERM)
        await asyncio.sleep(0.1)
    assert app.return_code == 143
    told = capsys.readouterr()
    assert "not saved: disk full" in told.out + told.err
