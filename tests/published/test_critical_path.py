"""Critical paths against two textbook networks, and small projects with few hands against their proven optima (trade reference, 1.8).

The first network is a management-science textbook's (solutions manual, chapter 8, its first table); the second is a hospital example of
operations management (recipe from memory, its numbers computed there). The makeup network's lengths and the tiny instance's, which a
public test quotes, were proven optimal there.
"""

from __future__ import annotations

import pytest

from mothermold.reckon.critical_path import critical_path
from mothermold.reckon.project import Hold, Order, Project, Task, end_of
from mothermold.reckon.serial_plan import serial_plan
from mothermold.reckon.solved_plan import solved_plan

# Duration, and ES, EF, LS, LF, slack as printed.
ARCS = {
    "1-2": (7, 0, 7, 2, 9, 2), "1-3": (10, 0, 10, 0, 10, 0), "2-4": (6, 7, 13, 9, 15, 2), "3-4": (5, 10, 15, 10, 15, 0),
    "3-5": (4, 10, 14, 14, 18, 4), "4-5": (3, 15, 18, 15, 18, 0), "5-6": (2, 18, 20, 18, 20, 0),
}  # fmt: skip
# Duration, what it waits for, and ES, EF, LS, LF, total and free slack.
HOSPITAL = {
    "A": (2, "", 0, 2, 0, 2, 0, 0), "B": (3, "", 0, 3, 1, 4, 1, 0), "C": (2, "A", 2, 4, 2, 4, 0, 0), "D": (4, "AB", 3, 7, 4, 8, 1, 1),
    "E": (4, "C", 4, 8, 4, 8, 0, 0), "F": (3, "C", 4, 7, 10, 13, 6, 6), "G": (5, "DE", 8, 13, 8, 13, 0, 0), "H": (2, "FG", 13, 15, 13, 15, 0, 0),
}  # fmt: skip
# Days, what it waits for, and whether the artist is at it.
MAKEUP = {
    "lifecast": (1, [], 1), "core": (2, ["lifecast"], 1), "sculpt": (5, ["core"], 1), "mold": (2, ["sculpt"], 1), "dry": (3, ["mold"], 0),
    "test": (1, ["dry"], 1), "run": (3, ["test"], 1), "paint": (2, ["run"], 1), "wig": (6, ["lifecast"], 1), "patch": (2, [], 0),
    "apply": (1, ["paint", "wig", "patch"], 1),
}  # fmt: skip


def test_the_first_textbook_network() -> None:
    after = {arc: [other for other in ARCS if other[-1] == arc[0]] for arc in ARCS}
    found = critical_path({arc: row[0] for arc, row in ARCS.items()}, after)
    told = {a: (ARCS[a][0], t.earliest, t.early_end, t.latest, t.late_end, t.slack) for a, t in found.items()}
    assert told == ARCS
    assert [arc for arc, times in found.items() if times.is_critical] == ["1-3", "3-4", "4-5", "5-6"]


def test_the_second_textbook_network_with_free_slack() -> None:
    found = critical_path({n: row[0] for n, row in HOSPITAL.items()}, {n: list(row[1]) for n, row in HOSPITAL.items()})
    told = {n: (t.earliest, t.early_end, t.latest, t.late_end, t.slack, t.free) for n, t in found.items()}
    assert told == {name: row[2:] for name, row in HOSPITAL.items()}
    assert "".join(name for name, times in found.items() if times.is_critical) == "ACEGH"


def test_tasks_that_wait_for_each_other_in_a_circle_are_refused() -> None:
    with pytest.raises(ValueError, match="circle"):
        critical_path({"a": 1, "b": 1}, {"a": ["b"], "b": ["a"]})


def makeup(artists: int, names: dict[str, str]) -> Project:
    tasks, orders = dict[str, Task](), list[Order]()
    for name, (days, after, hands) in MAKEUP.items():
        mine = names[name]
        tasks[mine] = Task(mine, days, days, holds=(Hold("artist", 0, days),) if hands else ())
        orders += [Order(names[other], mine, MAKEUP[other][0]) for other in after]
    return Project(tasks, tuple(orders), resources={"artist": artists})


@pytest.mark.parametrize("number", range(4))
@pytest.mark.parametrize(("artists", "length"), [(1, 23), (2, 20)])
def test_the_makeup_network_is_as_short_as_its_proven_optimum_however_it_is_numbered(
    artists: int, length: int, number: int
) -> None:
    names = {name: f"{(place * 7 + number * 3) % 11:02}" for place, name in enumerate(MAKEUP)}
    project = makeup(artists, names)
    found = solved_plan(project, "shortest", (0, 40), serial_plan(project))
    assert found.starts is not None
    assert (end_of(project, found.starts), found.is_proven, found.bound) == (length, True, length)


def test_the_makeup_networks_critical_path_is_20_days_with_hands_enough() -> None:
    found = critical_path({n: row[0] for n, row in MAKEUP.items()}, {n: row[1] for n, row in MAKEUP.items()})
    assert max(times.early_end for times in found.values()) == 20
    assert found["wig"].slack == 12


def test_the_tiny_instance_takes_seven() -> None:
    rows = {"2": (3, 2), "3": (2, 2), "4": (2, 1)}
    tasks = {name: Task(name, long, long, holds=(Hold("r", 0, long, use),)) for name, (long, use) in rows.items()}
    project = Project(tasks, resources={"r": 2})
    found = solved_plan(project, "shortest", (0, 20))
    assert found.starts is not None
    assert end_of(project, found.starts) == 7
    assert end_of(project, serial_plan(project) or {}) == 7
