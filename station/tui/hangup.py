"""Leaving on SIGTERM and SIGHUP: save, give the terminal back, and say by the exit status which it was."""

import asyncio
import signal
from collections.abc import Callable
from functools import partial
from typing import Any

from textual.app import App


def install(app: App[Any], on_signal: Callable[[], object]) -> None:
    """From within the running `app`: on SIGTERM or SIGHUP call `on_signal` to save, then exit with 143 or 129.

    Unlike a plain signal handler it runs between two events of the app, so it may touch anything. A save that raises does
    not keep the app: what went wrong is printed once the terminal is back.
    """
    loop = asyncio.get_running_loop()
    for number in (signal.SIGTERM, signal.SIGHUP):
        loop.add_signal_handler(number, partial(_leave, app, on_signal, number))


def _leave(app: App[Any], on_signal: Callable[[], object], number: int) -> None:
    message = None
    try:
        on_signal()
    except Exception as error:  # whatever it is, the terminal must be given back
        message = f"station: not saved: {error}"
    app.exit(return_code=128 + number, message=message)
