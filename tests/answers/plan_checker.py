"""Reads a plan's JSON and the book again, and says what in it cannot be: an arithmetic of its own, that knows nothing of how plans are made."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, time, timedelta
from itertools import pairwise
from math import ceil
from typing import Any

from mothermold.model.build import Build
from mothermold.model.recipe import Recipe, Step
from mothermold.model.settings import Settings
from mothermold.view.view import View

Row = Mapping[str, Any]
MINUTE = timedelta(minutes=1)
DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
ONCE_STAGES = ("lifecast", "sculpt", "core", "mold")


def at(text: str) -> datetime:
    return datetime.fromisoformat(text)


def minutes(length: timedelta) -> float:
    return length / MINUTE


class PlanChecker:
    """What is wrong with a plan.

    Args:
        data: The plan's JSON.
        view: The book.
        name: The build.
    """

    def __init__(self, data: Mapping[str, Any], view: View, name: str) -> None:
        self.data, self.view, self.build = data, view, view.models(Build)[name]
        self.settings: Settings = view.settings
        self.rows: list[Row] = list(data["tasks"])
        self.shop = [row for row in self.rows if not row.get("chair")]
        self.jobs: dict[str, dict[str, Row]] = defaultdict(dict)
        for row in self.shop:
            self.jobs[row["job"]][row["step"]] = row

    def faults(self) -> list[str]:
        """Every fault, in words; none of a plan that can be followed."""
        return [
            *self._night(), *self._hands(), *self._lengths(), *self._order(), *self._within(), *self._sources(), *self._molds(),
            *self._oven(), *self._patches(), *self._chairs(), *self._dues(), *self._counts(),
        ]  # fmt: skip

    def _recipe(self, ref: str) -> Recipe:
        address, _, number = ref.partition("@")
        versions = self.view.versions(address)
        assert versions is not None
        row = versions.get(int(number))
        assert row is not None
        assert row.recipe is not None
        return row.recipe

    def _step(self, row: Row) -> Step:
        return next(each for each in self._recipe(row["recipe"]).steps if each.id == row["step"])

    def _parts(self, row: Row) -> list[tuple[datetime, datetime]]:
        return [(at(part["start"]), at(part["end"])) for part in row["parts"]]

    # Time at work.

    def _night(self) -> Iterator[str]:
        hours = self.settings.hours or dict.fromkeys(DAYS[:5], "09:00-18:00")
        for row in self.shop:
            for begin, end in self._parts(row):
                if begin == end:
                    continue
                told = hours.get(DAYS[begin.weekday()])
                if told is None or begin.date() in self.settings.holidays:
                    yield f"{row['id']} lies on a day off, {begin}"
                    continue
                opens, closes = (time.fromisoformat(each) for each in str(told).split("-"))
                if begin.date() != end.date() or begin.time() < opens or end.time() > closes:
                    yield f"{row['id']} lies outside of working hours, {begin} to {end}"

    def _hands(self) -> Iterator[str]:
        edges: list[tuple[datetime, int]] = []
        for row in self.rows:
            for begin, end in self._parts(row):
                edges += [(begin, int(row["people"])), (end, -int(row["people"]))]
        busy, most = 0, int(self.build.people or 1)
        for moment, change in sorted(edges):
            busy += change
            if busy > most:
                yield f"{busy} pairs of hands at {moment}, and there are {most}"

    def _rest(self, step: Step, recipe: Recipe) -> float:
        """Minutes that must lie between the end of the work and whatever follows."""
        mixes = {str(mix.id): mix for mix in recipe.mixes}
        found = sum(
            float(c.last.value)
            for c in (step.coats, *(use.coats for use in step.uses))
            if c is not None and c.last is not None
        )
        if step.wait is not None and step.wait.time is not None:
            found += float(step.wait.time.value)
        elif step.wait is not None:
            timed = (
                mixes[str(step.wait.demold)].demold if step.wait.demold else mixes[str(step.wait.full_cure)].full_cure
            )
            found += float(timed.time.value) if timed else 0
        elif step.until is not None and step.until.usual is not None:
            found += float(step.until.usual.value)
        return found

    def _lengths(self) -> Iterator[str]:
        for row in self.shop:
            if row["recipe"] is None:
                continue
            step, recipe = self._step(row), self._recipe(row["recipe"])
            hands = float(step.hands_on.value) if step.hands_on else 0.0
            parts = self._parts(row)
            worked = sum(minutes(end - begin) for begin, end in parts)
            if worked < hands - 0.01:
                yield f"{row['id']} has {worked} min of work, and needs {hands}"
            coats = [c for c in (step.coats, *(use.coats for use in step.uses)) if c is not None and c.count > 1]
            gaps = sum((c.count - 1) * float(c.between.value) for c in coats if c.between)
            if len(parts) > 1 and not step.may_pause and not coats:
                yield f"{row['id']} is cut into parts and may not pause"
            if coats and not step.may_pause and minutes(parts[-1][1] - parts[0][0]) < hands + gaps - 0.01:
                yield f"{row['id']} has no time between its coats"
            over = at(row["waits_until"]) if row["waits_until"] else parts[-1][1]
            in_work = worked - hands if step.holds == "person" else 0.0
            if minutes(over - parts[-1][1]) + in_work < self._rest(step, recipe) - 0.01:
                yield f"{row['id']} waits too short"

    def _over(self, row: Row) -> datetime:
        return at(row["waits_until"] or row["end"])

    def _after(self, recipe: Recipe, step: Step) -> list[str]:
        if step.after:
            return [str(each) for each in step.after]
        place = [each.id for each in recipe.steps].index(step.id)
        return [str(recipe.steps[place - 1].id)] if place else []

    def _order(self) -> Iterator[str]:
        once = {
            (row["recipe"].partition("@")[0], row["step"]): row
            for row in self.shop
            if row["recipe"] and self._step(row).once
        }
        for job in self.jobs.values():
            for row in job.values():
                if row["recipe"] is None:
                    continue
                recipe, step = self._recipe(row["recipe"]), self._step(row)
                for name in self._after(recipe, step):
                    before = job.get(name) or once.get((row["recipe"].partition("@")[0], name))
                    if before is not None and at(row["start"]) < self._over(before):
                        yield f"{row['id']} begins before {before['id']} is over"

    def _within(self) -> Iterator[str]:
        for job in self.jobs.values():
            for row in job.values():
                within = self._step(row).within if row["recipe"] else None
                before = job.get(str(within.after)) if within is not None else None
                if within is None or before is None:
                    continue
                step = self._step(before)
                dries = sum(
                    (
                        float(c.last.value)
                        for c in (step.coats, *(use.coats for use in step.uses))
                        if c is not None and c.last is not None
                    ),
                    0.0,
                )
                begin = self._over(before) if within.from_ == "wait" else at(before["end"]) + dries * MINUTE
                if at(row["start"]) > begin + float(within.time.value) * MINUTE:
                    yield f"{row['id']} begins later than {within.time} after {before['id']}"

    # Things, molds, the oven.

    def _sources(self) -> Iterator[str]:
        things = {str(each.id): each for each in self.build.things}
        for name, job in self.jobs.items():
            thing = next(iter(job.values()))["thing"]
            if thing not in things:
                continue
            label = name.removeprefix(thing).split()
            begin = (
                min(at(row["start"]) for row in job.values() if not self._step(row).once)
                if any(not self._step(row).once for row in job.values())
                else None
            )
            for source in map(str, things[thing].from_):
                same = f"{source} {label[0]}" if label else source
                for other in {key for key in (source, same) if key in self.jobs}:
                    for row in self.jobs[other].values():
                        if begin is not None and begin < self._over(row):
                            yield f"{name} begins before {row['id']} is over"

    def _cycle(self, job: Mapping[str, Row]) -> tuple[str, datetime, datetime] | None:
        """The mold of a casting, and from when until when it is closed over it."""
        rows = sorted((row for row in job.values() if row["recipe"]), key=lambda row: at(row["start"]))
        mold = next((each for row in rows for each in row["resources"] if each.startswith("mold ")), None)
        mine = [row for row in rows if not self._step(row).once]
        if mold is None or not mine:
            return None
        holding = [
            row
            for row in mine
            if self._step(row).holds == "mold"
            or (self._step(row).holds is None and (wait := self._step(row).wait) is not None and wait.demold)
        ]
        last = holding[-1] if holding else mine[-1]
        recipe = self._recipe(last["recipe"])
        out = next((row for row in mine if last["step"] in self._after(recipe, self._step(row))), None)
        return mold, at(mine[0]["start"]), at(out["end"]) if out else self._over(last)

    def _molds(self) -> Iterator[str]:
        cycles = [(name, cycle) for name, job in self.jobs.items() if (cycle := self._cycle(job)) is not None]
        for number, (name, (mold, begin, end)) in enumerate(cycles):
            for other, (same, first, last) in cycles[number + 1 :]:
                if mold == same and begin < last and first < end:
                    yield f"{name} and {other} are in {mold} at once"

    def _oven(self) -> Iterator[str]:
        held = sorted((at(row["end"]), self._over(row), row["id"]) for row in self.shop if "oven" in row["resources"])
        for (_begin, end, name), (begin, _end, other) in pairwise(held):
            if begin < end:
                yield f"{name} and {other} are in the oven at once"

    # Wearers and days.

    def _days(self) -> list[Any]:
        return [each for each in self.build.days if each.day.isoformat() >= self.data["today"]]

    def _moment(self, day: date, clock: time) -> datetime:
        return datetime.combine(day, clock, self.settings.zone)

    def _patches(self) -> Iterator[str]:
        for look in self.build.looks:
            days = sorted(each.day for each in self._days() if each.look == look.id)
            put = [row for row in self.shop if row["recipe"] is None and row["step"] == "put on"]
            read = [row for row in self.shop if row["recipe"] is None and row["step"] == "read"]
            for one in read:
                if days and at(one["end"]).date() >= min(days):
                    yield f"{one['id']} is not before the first day"
                if put and at(one["start"]) < at(put[0]["end"]) + timedelta(hours=48):
                    yield f"{one['id']} is read before 48 hours"
            if bool(put) and not read:
                yield "a patch is put on and never read"

    def _chairs(self) -> Iterator[str]:
        for day in self._days():
            rows = [
                row
                for row in self.rows
                if row.get("chair") and row["day"] == day.day.isoformat() and row["look"] == day.look
            ]
            on = [row for row in rows if str(row["recipe"]).startswith("application/")]
            look = next(each for each in self.build.looks if each.id == day.look)
            wanted = sum(len(self._recipe(str(ref)).steps) for ref in look.application)
            if len(on) != wanted:
                yield f"{len(on)} steps of the application on {day.day}, and it has {wanted}"
            for row in on:
                if day.chair and at(row["start"]) < self._moment(day.day, day.chair):
                    yield f"{row['id']} begins before the wearer sits down"
                if day.ready and self._over(row) > self._moment(day.day, day.ready):
                    yield f"{row['id']} is not over when it must be ready"
            for row in rows:
                if (
                    str(row["recipe"]).startswith("removal/")
                    and day.wrap
                    and at(row["start"]) < self._moment(day.day, day.wrap)
                ):
                    yield f"{row['id']} begins before the day is wrapped"

    def _dues(self) -> Iterator[str]:
        for row in self.shop:
            day = next(
                (each for each in self.build.days if each.day.isoformat() == row["day"] and each.look == row["look"]),
                None,
            )
            if day is not None and day.chair and row["recipe"] and self._over(row) > self._moment(day.day, day.chair):
                yield f"{row['id']} is over only after the chair of its day"
        for approval in self.build.approvals:
            for row in self.shop:
                if (
                    row["thing"] == approval.what
                    and approval.due
                    and self._over(row) > self._moment(approval.due, time())
                ):
                    yield f"{row['id']} is over only after its sign-off"

    def _counts(self) -> Iterator[str]:
        """Enough castings, and every step of each thing that is made."""
        for thing in self.build.things:
            wanted: dict[str, int] = defaultdict(int)
            for look in self.build.looks:
                days = sum(1 for each in self._days() if each.look == look.id)
                for piece in look.pieces:
                    if piece.thing == thing.id and days:
                        wanted[str(piece.piece or "")] += (piece.count or 1) * (days + (look.spares or 0))
            if not wanted:
                continue
            recipe = self._recipe(str(thing.recipe))
            yields = dict(recipe.yields) if isinstance(recipe.yields, tuple) else {"": recipe.yields or 1}
            told = next(each for each in self.data["castings"] if each["thing"] == thing.id)
            jobs = [name for name, job in self.jobs.items() if next(iter(job.values()))["thing"] == thing.id]
            need = max(ceil(count / yields.get(kind, 1)) for kind, count in wanted.items())
            if not told["in_hand"] and len(jobs) != need:
                yield f"{len(jobs)} castings of {thing.id}, and {need} are needed"
        for name, job in self.jobs.items():
            refs = {row["recipe"] for row in job.values() if row["recipe"]}
            for ref in refs:
                missing = {str(step.id) for step in self._recipe(ref).steps if not step.once} - job.keys()
                if missing:
                    yield f"{name} lacks {sorted(missing)}"


def faults(data: Mapping[str, Any], view: View, name: str) -> Sequence[str]:
    """What is wrong with a plan."""
    return PlanChecker(data, view, name).faults()
