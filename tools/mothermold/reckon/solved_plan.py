"""The best plan within a set amount of work, by constraint programming (CP-SAT): one worker, a fixed seed, no clock.

The solver is the extra ``plan`` and is imported when somebody asks for a plan. Its limit counts work and not seconds, so a plan is
the same on every computer and on every run. Of plans that are equally good the one whose tasks start latest is taken (of those forward
from a moment earliest), and of those the one in which later names weigh more.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, Literal

from mothermold.reckon.project import Project, Task, Window, end_of
from mothermold.reckon.serial_plan import serial_plan

Aim = Literal["latest", "earliest", "shortest", "least late", "any"]
"""What a plan is to be: as late (once what is wished for is kept as far as can be) or as early as its deadlines let it, as short
as can be, as little late as can be, or any that keeps them."""

_EACH: Final = 0.01
"""How much work is spent on a plan for each task of it, in the solver's own deterministic unit, of some two seconds."""
_EACH_OF_SHORTEST: Final = 0.002
"""The same for how short a plan can be: most of sixty tasks are then within a hundredth of the best that is known."""
_SEED: Final = 1
_NEAR: Final = 0.001
"""Of how late all tasks start together a thousandth is not fought for."""


@dataclass(frozen=True, slots=True)
class SolvedPlan:
    """What the solver found.

    Attributes:
        starts: The start of each task; None where there is none that keeps everything, or none was found.
        is_proven: Whether it is proven that there is none better; without starts, that there is none.
        bound: No plan is better than this: the length of the shortest, or how late the least late are together.
    """

    starts: dict[str, int] | None
    is_proven: bool
    bound: int | None = None


def has_solver() -> bool:
    """Whether the extra is installed."""
    from importlib.util import find_spec  # noqa: PLC0415 - nothing else of this module needs it

    return find_spec("ortools") is not None


def solved_plan(
    project: Project, aim: Aim, window: Window, hint: Mapping[str, int] | None = None, limit: float | None = None
) -> SolvedPlan:
    """Solves a project.

    Args:
        project: What is to be planned.
        aim: What for; ``shortest`` and ``least late`` look at deadlines as wishes.
        window: No task starts before it, and none ends after it.
        hint: A plan to begin with.
        limit: How much work may be spent; default: by the number of tasks.
    """
    model = _PlanModel(project, aim, *window)
    model.hint(hint)
    if limit is None:
        limit = len(project.tasks) * (_EACH_OF_SHORTEST if aim == "shortest" else _EACH)
    return model.solved(limit)


class _PlanModel:
    def __init__(self, project: Project, aim: Aim, begin: int, end: int) -> None:
        from ortools.sat.python import cp_model  # noqa: PLC0415 - the extra `plan`, imported where it is used

        self._cp: Any = cp_model
        self._project, self._aim, self._begin, self._end = project, aim, begin, end
        self._model: Any = cp_model.CpModel()
        self._grid = project.grid
        self._is_empty = False
        self._starts = {name: self._start(task) for name, task in project.tasks.items()}
        self._late: list[Any] = []
        self._order()
        self._resources()
        self._deadlines()
        self._length: Any = None
        if aim == "shortest":
            self._length = self._model.new_int_var(0, end - begin, "length")
            for name, task in project.tasks.items():
                self._model.add(self._length >= self._at(name) + task.total - begin)

    def _at(self, name: str) -> Any:
        return self._starts[name] * self._grid

    def _start(self, task: Task) -> Any:
        grid, windows = self._grid, self._project.windows(task)
        low = max(self._begin, task.earliest if task.earliest is not None else self._begin)
        high = self._end - task.minutes
        every = [(low, high)] if windows is None else [(max(low, o), min(high, c - task.minutes)) for o, c in windows]
        fitting = [[-(-first // grid), last // grid] for first, last in every if -(-first // grid) <= last // grid]
        if not fitting:
            self._is_empty = True
            fitting = [[0, 0]]
        return self._model.new_int_var_from_domain(self._cp.Domain.from_intervals(fitting), task.id)

    def _order(self) -> None:
        for each in self._project.orders:
            self._model.add(self._at(each.after) >= self._at(each.before) + each.least)
            if each.most is not None:
                self._model.add(self._at(each.after) <= self._at(each.before) + each.most)
            if each.wish is not None and self._aim == "latest":
                self._short_by(self._at(each.before) + each.wish - self._at(each.after))

    def _resources(self) -> None:
        needs: dict[str, list[tuple[Any, int]]] = defaultdict(list)
        project, model = self._project, self._model
        for name, task in project.tasks.items():
            for number, hold in enumerate(task.holds):
                if hold.minutes > 0:
                    at = self._at(name) + hold.start
                    interval = model.new_fixed_size_interval_var(at, hold.minutes, f"{name} {number}")
                    needs[hold.resource].append((interval, hold.amount))
        for span in project.spans:
            begin, end = self._at(span.first) + span.head, self._at(span.last) + span.tail
            size = model.new_int_var(0, 2 * (self._end - self._begin), "")
            interval = model.new_interval_var(begin, size, end, f"{span.resource} {span.first}")
            needs[span.resource].append((interval, 1))
        for name, begin, end, amount in project.busy:
            needs[name].append((model.new_fixed_size_interval_var(begin, end - begin, ""), amount))
        for resource, every in sorted(needs.items()):
            most = project.resources[resource]
            if most == 1 and all(amount == 1 for _interval, amount in every):
                model.add_no_overlap([interval for interval, _amount in every])
            else:
                model.add_cumulative([interval for interval, _ in every], [amount for _, amount in every], most)

    def _deadlines(self) -> None:
        for name, task in self._project.tasks.items():
            if task.due is None or self._aim == "shortest":
                continue
            if self._aim == "least late":
                self._short_by(self._at(name) + task.total - task.due)
            else:
                self._model.add(self._at(name) + task.total <= task.due)
            if self._aim == "latest" and task.wish is not None:
                self._short_by(self._at(name) + task.total - task.wish)

    def _short_by(self, minutes: Any) -> None:
        """What is to be small: by how much something is late, or short of what is wished for."""
        short = self._model.new_int_var(0, 4 * (self._end - self._begin), "")
        self._model.add(short >= minutes)
        self._late.append(short)

    def hint(self, starts: Mapping[str, int] | None) -> None:
        if starts is not None:
            for name, variable in self._starts.items():
                self._model.add_hint(variable, starts[name] // self._grid)

    def solved(self, limit: float) -> SolvedPlan:
        if self._is_empty:
            return SolvedPlan(None, is_proven=True)
        first = self._length if self._aim == "shortest" else sum(self._late) if self._late else None
        bound, is_proven = None, True
        if first is not None:
            self._model.minimize(first)
            found = self._solve(limit)
            if found.starts is None:
                return SolvedPlan(None, found.is_proven)
            bound, is_proven = found.bound, found.is_proven
            if self._aim == "least late":
                return SolvedPlan(found.starts, is_proven, bound)
            pulled = serial_plan(self._project, found.starts) if self._aim == "shortest" else None
            if pulled is not None and end_of(self._project, pulled) <= self._begin + found.value:
                # Nothing stands later than it must for those before it, as good as what much more of the solver's work gives.
                return SolvedPlan(pulled, is_proven, bound)
            self._model.add(first <= found.value)
            self._model.clear_hints()
            self.hint(found.starts)
        if self._aim != "any":
            # Later names weigh a little more, so that of two plans with the same sum one is chosen.
            count = len(self._starts)
            is_early = self._aim in ("earliest", "shortest")
            edge, sign = (self._begin // self._grid, 1) if is_early else (self._end // self._grid, -1)
            self._model.minimize(
                sum((1000 * count + place) * sign * (start - edge) for place, start in enumerate(self._starts.values()))
            )
        found = self._solve(limit, gap=_NEAR)
        return SolvedPlan(found.starts, is_proven and (found.is_proven or first is not None), bound)

    def _solve(self, limit: float, gap: float = 0.0) -> _Outcome:
        solver = self._cp.CpSolver()
        solver.parameters.relative_gap_limit = gap
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = _SEED
        solver.parameters.max_deterministic_time = limit
        status = solver.solve(self._model)
        if status not in (self._cp.OPTIMAL, self._cp.FEASIBLE):
            return _Outcome(None, status == self._cp.INFEASIBLE, None, 0)
        starts = {name: solver.value(variable) * self._grid for name, variable in self._starts.items()}
        bound = -(-solver.best_objective_bound // 1)
        return _Outcome(starts, status == self._cp.OPTIMAL, int(bound), round(solver.objective_value))


@dataclass(frozen=True, slots=True)
class _Outcome:
    starts: dict[str, int] | None
    is_proven: bool
    bound: int | None
    value: int
