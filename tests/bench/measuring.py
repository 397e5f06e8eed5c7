"""How the bench measures: the processor's seconds of this process or of a program, medians, and a row of the table."""

from __future__ import annotations

import resource
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

TOOLS = Path(__file__).resolve().parents[2] / "tools"
sys.path.insert(0, str(TOOLS))


def median(work: Callable[[], object], times: int = 5) -> float:
    """Seconds of the processor."""
    taken = []
    for _ in range(times):
        start = time.process_time()
        work()
        taken.append(time.process_time() - start)
    return statistics.median(taken)


def program(*words: str, cwd: Path | None = None, times: int = 5) -> tuple[float, float, float]:
    """Seconds of the processor and seconds by the clock of a Python program, medians, and the most memory it had, in MB."""
    used, waited = [], []
    for _ in range(times):
        before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
        subprocess.run([sys.executable, *words], cwd=cwd, capture_output=True, check=False)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        used.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
        waited.append(time.perf_counter() - start)
    told = subprocess.run(
        [sys.executable, "-c", _MOST, *words], cwd=cwd, capture_output=True, text=True, check=False
    ).stdout
    return statistics.median(used), statistics.median(waited), float(told.split()[-1]) / 1000


_MOST = """
import resource, subprocess, sys
subprocess.run([sys.executable, *sys.argv[1:]], capture_output=True)
print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)
"""


def row(name: str, ours: float, reference: float, what: str, goal: str) -> None:
    """Prints what something took beside what it is held to."""
    print(f"{name:<44} {ours * 1000:>10.1f} ms  {ours / reference:>8.2f} x {what:<36} goal {goal}", flush=True)
