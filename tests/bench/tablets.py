"""What twenty tablets cost one host: look-ups started at once, each on a terminal of its own (Linux).

Run `python tests/bench/tablets.py [COUNT]` with the package installed. MiB by the kernel's own account (smaps_rollup): private is
what one more tablet takes, the rest is shared by all. CPU is user and system time, of all threads.
"""

from __future__ import annotations

import os
import shutil
import statistics
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from screens import STATION, Watched

from station.files.places import shipped

COUNT = 20
IDLE_S = 10.0
TICK = os.sysconf("SC_CLK_TCK")


def memory_mib(pid: int) -> dict[str, float]:
    """Resident, proportional and private memory."""
    said = (line.split() for line in Path(f"/proc/{pid}/smaps_rollup").read_text(encoding="ascii").splitlines()[1:])
    kib = {words[0].rstrip(":"): int(words[1]) for words in said}
    private = kib["Private_Clean"] + kib["Private_Dirty"]
    return {"resident": kib["Rss"] / 1024, "shared out (PSS)": kib["Pss"] / 1024, "private": private / 1024}


def cpu_s(pid: int) -> float:
    """User and system time so far."""
    fields = Path(f"/proc/{pid}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / TICK


def measured(count: int, library: Path) -> dict[str, float]:
    """The figures of one tablet among `count`, in the median."""
    began = time.perf_counter()
    with ThreadPoolExecutor(count) as pool:
        tablets = [Watched([STATION, "--look", "--library", str(library)]) for _ in range(count)]
        ready = list(pool.map(lambda one: one.until(b"Wool Parliament")[0], tablets))
        list(pool.map(lambda one: one.settle(1.0), tablets))
    started_s = [cpu_s(one.pid) for one in tablets]
    for one in tablets:
        one.cost("tin\rb")
    used = [memory_mib(one.pid) for one in tablets]
    before = [cpu_s(one.pid) for one in tablets]
    time.sleep(IDLE_S)
    idle = [100.0 * (cpu_s(one.pid) - start) / IDLE_S for one, start in zip(tablets, before, strict=True)]
    keys = 100
    busy = cpu_s(tablets[0].pid)
    for _ in range(keys // 2):
        tablets[0].cost("4")
        tablets[0].cost("\x7f")
    key_ms = 1000.0 * (cpu_s(tablets[0].pid) - busy) / keys
    for one in tablets:
        one.close()
    figures = {f"MiB {name}": statistics.median(one[name] for one in used) for name in used[0]}
    return {
        "first frame of the last, s": max(ready),
        "CPU to be ready, s": statistics.median(started_s),
        **figures,
        "CPU at rest, %": statistics.median(idle),
        "CPU a key on a live card, ms": key_ms,
        "all of it, s": time.perf_counter() - began,
    }


def main(count: int) -> None:
    """Print the table: one tablet, and `count` at once."""
    with tempfile.TemporaryDirectory() as folder:
        library = Path(shutil.copytree(shipped("specs"), Path(folder) / "library", ignore=shutil.ignore_patterns(".station")))
        one, many = measured(1, library), measured(count, library)
    print(f"{'':<32}{'alone':>10}{f'of {count}':>10}")
    for name, value in one.items():
        print(f"{name:<32}{value:>10.2f}{many[name]:>10.2f}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else COUNT)
