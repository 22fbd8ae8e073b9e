"""What acid costs: a balance of five acids, and an edited key, beside the same with the acidity left out.

Run `python tests/bench/acid.py` with the package installed. Milliseconds on this machine, the median of many; the aim for a
balance of five acids is under 1 ms. An edited key is one new amount in an open spec and its figures, the draft's file with it.
"""

from __future__ import annotations

import shutil
import statistics
import tempfile
import time
from collections.abc import Callable
from itertools import count
from pathlib import Path

from station.bar.composition import Composition
from station.calc import balance as balance_module
from station.calc import caution
from station.calc.acidity import NO_ACID, Acidity
from station.calc.balance import balance
from station.calc.dissolve import tartrate
from station.desk.document import Document, open_document
from station.desk.opening import opened
from station.files.places import shipped

ROUNDS = 400
SPECS = ("tin-lantern", "noon-librarian", "pillow-magistrate", "salt-ferry")
FIVE = Composition.of(
    water=130.0,
    ethanol=18.0,
    sucrose=8.0,
    citric=0.9,
    malic=0.4,
    tartaric=0.3,
    lactic=0.2,
    phosphoric=0.1,
    salt=0.1,
    cation_mol=0.001,
)


def milliseconds(run: Callable[[int], object]) -> float:
    """The median time of one run; each is given another number, so that nothing is remembered from the one before."""
    times = []
    for number in range(ROUNDS):
        start = time.perf_counter()
        run(number)
        times.append(time.perf_counter() - start)
    return 1000.0 * statistics.median(times)


def stub(on: bool) -> None:
    """Leave acidity out of the engine, or put it back."""
    nothing = Acidity(0.0, None, NO_ACID, {})
    balance_module.acidity = (lambda liquid, abv_pct=None: nothing) if on else _ACIDITY  # type: ignore[attr-defined]
    caution.ta_g = (lambda *_: 0.0) if on else _TA_G  # type: ignore[attr-defined]
    caution.tartrate = (lambda *_: ()) if on else tartrate  # type: ignore[attr-defined, assignment]


def keys(document: Document) -> float:
    """An edited key: another amount of a line, and every figure after it."""
    numbers = count(1)

    def key(_: int) -> object:
        document.type(1, f"{20.0 + next(numbers) / 1000.0:.3f} ml")
        return document.answer

    return milliseconds(key)


def main() -> None:
    five = milliseconds(lambda number: balance(FIVE * (1.0 + number / 1000.0)))
    print(f"balance of five acids        {five:7.3f} ms   aim under 1")
    with tempfile.TemporaryDirectory() as folder:
        own = Path(shutil.copytree(shipped("specs"), Path(folder) / "library", ignore=shutil.ignore_patterns(".station")))
        for name in SPECS:
            real = keys(open_document(opened(str(own)), name))
            stub(True)
            without = keys(open_document(opened(str(own)), name))
            stub(False)
            print(f"edited key, {name:<17}{real:7.3f} ms   {without:7.3f} without acidity   × {real / without:.2f}")


_ACIDITY, _TA_G = balance_module.acidity, caution.ta_g  # type: ignore[attr-defined]

if __name__ == "__main__":
    main()
