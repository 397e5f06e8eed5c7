"""How the bench measures: the processor's seconds of this process or of a program, medians, and a row of the table."""

from __future__ import annotations

import atexit
import os
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

TOOLS = Path(__file__).resolve().parents[2] / "tools"
sys.path.insert(0, str(TOOLS))


# As on a shop's own computer: what Python compiled once is kept, here in a folder that goes again.
_COMPILED = tempfile.mkdtemp(prefix="bench-compiled-")
atexit.register(shutil.rmtree, _COMPILED, ignore_errors=True)
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
os.environ["PYTHONPYCACHEPREFIX"] = _COMPILED

# Starts the program and says how much memory it had: what that costs itself is taken off.
_MOST = """
import os, resource, sys
child = os.posix_spawnp(sys.argv[1], sys.argv[1:], os.environ, file_actions=[(os.POSIX_SPAWN_OPEN, 1, os.devnull, os.O_WRONLY, 0)])
os.waitpid(child, 0)
print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)
"""


def _empty() -> float:
    taken = []
    for _ in range(5):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run([sys.executable, "-c", _MOST, "true"], capture_output=True, check=True)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        taken.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return statistics.median(taken)


_EMPTY = _empty()


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
    used, waited, most = [], [], 0.0
    for _ in range(times):
        before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
        told = subprocess.run(
            [sys.executable, "-c", _MOST, sys.executable, *words], cwd=cwd, capture_output=True, check=False
        )
        waited.append(time.perf_counter() - start - _EMPTY)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        seconds = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
        used.append(seconds - _EMPTY)
        most = max(most, float(told.stdout.split()[-1]) / 1000)
    return statistics.median(used), statistics.median(waited), most


def row(name: str, ours: float, reference: float, what: str, goal: str) -> None:
    """Prints what something took beside what it is held to."""
    print(f"{name:<44} {ours * 1000:>10.1f} ms  {ours / reference:>8.2f} x {what:<36} goal {goal}", flush=True)
