"""The plan of 60 tasks beside fifty restarts of the rule of the hand: `python tests/bench/planning.py [PROJECTS]`.

Both get the same project in the same run. What is told is how long each takes in the processor's seconds, and by how much the length each
finds is over the best that is found with forty times the work. Nothing here is a test.
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from statistics import median

from measuring import TOOLS

sys.path.insert(0, str(TOOLS))

from mothermold.reckon.project import Hold, Order, Project, Task, end_of
from mothermold.reckon.serial_plan import serial_plan
from mothermold.reckon.solved_plan import solved_plan

_TASKS = 60
_GRID = 15
_DAYS = 60
_RESTARTS = 50
_PLENTY = 5.0
"""Forty times the work that the plan of sixty tasks is given."""


def project_of(seed: int) -> Project:
    """Sixty tasks of one shop: chains of steps with waits, two people, three molds, an oven, working hours from nine to six.

    Args:
        seed: Which of them.
    """
    chance = random.Random(seed)
    hours = [(day * 1440 + 9 * 60, day * 1440 + 18 * 60) for day in range(_DAYS) if day % 7 < 5]
    tasks: dict[str, Task] = {}
    orders: list[Order] = []
    chain: list[str] = []
    for number in range(_TASKS):
        name = f"task-{number:02}"
        minutes = chance.randrange(1, 13) * _GRID
        waits = chance.choice([0, 0, 60, 240, 1440])
        holds = [Hold("people", 0, minutes, chance.choice([1, 1, 1, 2]))]
        if chance.random() < 0.5:
            holds.append(Hold(chance.choice(["mold-1", "mold-2", "mold-3", "oven"]), 0, minutes + waits))
        tasks[name] = Task(name, minutes, minutes + waits, "open", tuple(holds), earliest=0)
        if chain and chance.random() < 0.8:
            before = chance.choice(chain[-4:])
            orders.append(Order(before, name, tasks[before].total))
        chain.append(name)
    resources = {"people": 2, "mold-1": 1, "mold-2": 1, "mold-3": 1, "oven": 1}
    return Project(tasks, tuple(orders), resources=resources, hours={"open": hours}, grid=_GRID)


def main(count: int) -> None:
    """Prints a row for each project and the medians."""
    # The solver's library is loaded once for a program; that is told apart.
    loading, _ = _timed(lambda: solved_plan(project_of(-1), "shortest", (0, _DAYS * 1440)))
    print(f"the first plan with the library loaded: {loading * 1000:.0f} ms\n")
    print(
        f"{'project':<10}{'best':>8}{'plan':>10}{'over':>8}{'ms':>8}{'50 by hand':>14}{'over':>8}{'ms':>8}{'ratio':>8}"
    )
    ratios, overs, hands = [], [], []
    for seed in range(count):
        project = project_of(seed)
        used, ours = _timed(partial(_planned, project))
        hand, theirs = _timed(partial(_by_hand, project, seed))
        best = min(ours, theirs, _planned(project, _PLENTY))
        over, behind = ours / best - 1, theirs / best - 1
        print(
            f"{seed:<10}{best:>8}{ours:>10}{over:>8.1%}{used * 1000:>8.0f}{theirs:>14}{behind:>8.1%}{hand * 1000:>8.0f}{used / hand:>8.1f}"
        )
        ratios.append(used / hand)
        overs.append(over)
        hands.append(behind)
    print(
        f"\nmedian {median(ratios):.1f} x fifty restarts (goal <= 3), {median(overs):.1%} over (goal <= 1 %), by hand {median(hands):.1%};"
    )
    print(f"within 1 % {sum(each <= 0.01 for each in overs)} of {count}")


def _planned(project: Project, limit: float | None = None) -> int:
    hint = serial_plan(project)
    found = solved_plan(project, "shortest", (0, end_of(project, hint) if hint else _DAYS * 1440), hint, limit)
    starts = found.starts or hint
    assert starts is not None
    return end_of(project, starts)


def _by_hand(project: Project, seed: int) -> int:
    """The best of fifty plans, each with the tasks' lengths seen a little wrong, so that another one is taken first."""
    chance = random.Random(seed)
    best = _end(project, serial_plan(project))
    for _ in range(_RESTARTS - 1):
        seen = {
            name: replace(task, total=round(task.total * chance.uniform(0.5, 1.5)))
            for name, task in project.tasks.items()
        }
        best = min(best, _end(project, serial_plan(replace(project, tasks=seen))))
    return best


def _end(project: Project, starts: dict[str, int] | None) -> int:
    return end_of(project, starts) if starts is not None else _DAYS * 1440


def _timed(work: Callable[[], int | object]) -> tuple[float, int]:
    begin = time.process_time()
    found = work()
    return time.process_time() - begin, found if isinstance(found, int) else 0


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 12)
