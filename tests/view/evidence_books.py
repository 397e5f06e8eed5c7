"""Writes small books about one failure, a recipe that fixes it and the runs that tell whether it did.

Owns the texts of recipes, notes, runs and molds, and the sums a table of four counts leads to, worked out in the
plainest way. Knows nothing of the package under test but how a folder is opened.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from itertools import combinations
from math import sqrt
from pathlib import Path
from typing import Any

from history.repositories import FIFTH, FIRST, FOURTH, SECOND, SEVENTH, SIXTH, THIRD, Repository, start_repository

SETTINGS = {"recipes/book.yaml": "title: A small book\ntime_zone: Europe/Berlin\n"}
MOMENTS = (FIRST, SECOND, THIRD, FOURTH, FIFTH, SIXTH, SEVENTH)
Z = 1.959963984540054


def recipe(
    address: str,
    version: int,
    *,
    status: str = "locked",
    fixes: Sequence[str] = (),
    formerly: Sequence[str] = (),
    visibility: str = "private",
) -> dict[str, str]:
    """One recipe of one step, whose hands-on time is its version's number in minutes."""
    lines = [f"title: {address.rpartition('/')[2].capitalize()}", f"stage: {address.partition('/')[0]}"]
    lines += [f"version: {version}", f"status: {status}", f"visibility: {visibility}", "why: It went wrong."]
    lines += [f"fixes: [{', '.join(fixes)}]"] if fixes else []
    lines += [f"formerly: [{', '.join(formerly)}]"] if formerly else []
    lines += ["steps:", "  - id: open", "    title: Open", f"    hands_on: {version} min"]
    return {f"recipes/{address}.yaml": "\n".join(lines) + "\n"}


def note(
    name: str = "air", *, noticed: Sequence[str] = (), fixed_in: Sequence[str] = (), visibility: str = "private"
) -> dict[str, str]:
    """One failure note."""
    lines = ["title: Air at the cheek", "seen_at: cast", "symptoms: a bubble", f"visibility: {visibility}"]
    lines += ["noticed:", *(f"  - {each}" for each in noticed)] if noticed else []
    lines += ["fixes:"] if fixed_in else []
    for each in fixed_in:
        lines += ["  - do: Something else", f"    in: {each}"]
    return {f"recipes/failures/{name}.yaml": "\n".join(lines) + "\n"}


def run(
    name: str,
    pin: str,
    *,
    went: Sequence[str] = (),
    outcome: str = "good",
    kind: str = "run",
    mold: str = "",
    came_from: Sequence[str] = (),
    started: str = "2026-03-02",
    visibility: str = "private",
    more: str = "",
) -> dict[str, str]:
    """One run; without an outcome it is under way."""
    lines = [f"id: {name}", f"kind: {kind}", f"recipe: {pin}", f"started: {started} 09:00"]
    lines += [f"visibility: {visibility}"]
    lines += [f"outcome: {outcome}"] if outcome else []
    lines += [f"mold: {mold}"] if mold else []
    lines += [f"from: [{', '.join(came_from)}]"] if came_from else []
    lines += ["went_wrong:", *(f"  - failure: {each}" for each in went)] if went else []
    return {f"recipes/runs/{name}.yaml": "\n".join(lines) + "\n" + more}


def runs(prefix: str, pin: str, failed: int, clean: int, **rest: Any) -> dict[str, str]:
    """Some runs of the same version in which the failure happened, and some in which it did not."""
    files: dict[str, str] = {}
    for number in range(failed):
        files |= run(f"{prefix}-failed-{number}", pin, went=["air"], **rest)
    for number in range(clean):
        files |= run(f"{prefix}-clean-{number}", pin, **rest)
    return files


def mold(name: str, made: str, *parts: str, visibility: str = "private") -> dict[str, str]:
    """One physical mold; each of its parts with what made it."""
    lines = [f"title: Mold {name}", f"made: {made}", f"visibility: {visibility}"]
    lines += ["parts:"] if parts else []
    for number, each in enumerate(parts):
        lines += [f"  - what: part {number}", f"    made: {each}"]
    return {f"recipes/molds/{name}.yaml": "\n".join(lines) + "\n"}


def written(folder: Path, *files: Mapping[str, str]) -> Path:
    """A book without a repository."""
    repository = Repository(folder)
    for each in (SETTINGS, *files):
        repository.write(each)
    return folder


def saved(folder: Path, *states: Iterable[Mapping[str, str | None]]) -> Path:
    """A book whose states were saved one after another; each state adds to the one before."""
    repository = start_repository(folder)
    repository.write(SETTINGS)
    for moment, state in zip(MOMENTS, states, strict=False):
        files: dict[str, str | None] = {}
        for each in state:
            files |= each
        repository.save(moment, files)
    return folder


def p_fewer(before: tuple[int, int], after: tuple[int, int]) -> Fraction:
    """How often so few or fewer failures fall among the runs after when they are dealt out blindly."""
    (failed, number), (still, later) = before, after
    return _dealt(failed + still, number, later, lambda among: among <= still)


def p_more(before: tuple[int, int], after: tuple[int, int]) -> Fraction:
    """How often so many or more failures fall among the runs after when they are dealt out blindly."""
    (failed, number), (still, later) = before, after
    return _dealt(failed + still, number, later, lambda among: among >= still)


def p_fewer_by_dealing(before: tuple[int, int], after: tuple[int, int]) -> Fraction:
    """The same as `p_fewer` by going through every single way to deal: for small tables only."""
    (failed, number), (still, later) = before, after
    ways = [sum(place >= number for place in way) for way in combinations(range(number + later), failed + still)]
    return Fraction(sum(among <= still for among in ways), len(ways))


def _dealt(failures: int, before: int, after: int, wanted: object) -> Fraction:
    assert callable(wanted)
    ways = {among: _ways(after, among) * _ways(before, failures - among) for among in range(failures + 1)}
    return Fraction(sum(count for among, count in ways.items() if wanted(among)), sum(ways.values()))


def _ways(of: int, chosen: int) -> int:
    if not 0 <= chosen <= of:
        return 0
    product = Fraction(1)
    for step in range(chosen):
        product *= Fraction(of - step, step + 1)
    return int(product)


def settled_after(before: tuple[int, int], after: tuple[int, int]) -> int | None:
    """The smallest number of clean runs more that brings p to a twentieth; None above 200."""
    for more in range(201):
        if p_fewer(before, (after[0], after[1] + more)) <= Fraction(1, 20):
            return more
    return None


def verdict(before: tuple[int, int], after: tuple[int, int]) -> str:
    """The verdict by the order of DESIGN 11."""
    if before[0] == 0 or after[1] == 0:
        return "too few runs"
    if after[0] * before[1] > before[0] * after[1] and p_more(before, after) <= Fraction(1, 5):
        return "worse"
    p = p_fewer(before, after)
    if p <= Fraction(1, 20):
        return "held"
    if p <= Fraction(1, 5):
        return "likely"
    return "too few runs" if p_fewer(before, (0, after[1])) > Fraction(1, 20) else "no better"


def wilson(failed: int, number: int) -> tuple[float, float]:
    """Wilson's interval: where the score test of a rate just reaches z, found by halving."""

    def beyond(rate: float) -> bool:
        return abs(failed / number - rate) > Z * sqrt(rate * (1 - rate) / number)

    def edge(outside: float, inside: float) -> float:
        if not beyond(outside):
            return outside
        for _ in range(200):
            middle = (outside + inside) / 2
            outside, inside = (middle, inside) if beyond(middle) else (outside, middle)
        return inside

    return edge(0.0, failed / number), edge(1.0, failed / number)


def newcombe(before: tuple[int, int], after: tuple[int, int]) -> tuple[float, float, float]:
    """The difference after minus before, and Newcombe's hybrid score interval (his method 10)."""
    one, other = after[0] / after[1], before[0] / before[1]
    (low, high), (other_low, other_high) = wilson(*after), wilson(*before)
    below = sqrt((one - low) ** 2 + (other_high - other) ** 2)
    above = sqrt((high - one) ** 2 + (other - other_low) ** 2)
    return one - other, one - other - below, one - other + above
