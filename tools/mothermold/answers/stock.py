"""What is left of every lot and in every jar, by what runs say they took."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from fractions import Fraction
from functools import partial
from typing import Any

from mothermold.answers.recipes import recipe_at
from mothermold.book.files import build_of
from mothermold.model.material import Material
from mothermold.model.recipe import Mix
from mothermold.model.run import Run
from mothermold.quantities import Quantity
from mothermold.reckon.nesting import materials_inside, mixes_inside
from mothermold.reckon.stock import Draw, Jar, LotStock, lots_now
from mothermold.reckon.taking import Taken, batch_takes, common, jars_in
from mothermold.view.lineage import NO_BUILD
from mothermold.view.sums import entry_by_entry
from mothermold.view.view import View


def stock_of(view: View, name: str) -> tuple[LotStock, ...]:
    """The lots of a material as they stand after all runs."""
    return lots_now(view.models(Material)[name], draws_of(view, name))


def draws_of(view: View, name: str) -> list[Draw]:
    """What runs took of a material, oldest first; a draw without a lot is of a run that names none."""
    return [
        Draw(run, date.fromisoformat(day), tuple(lots), unit, None if amount is None else Fraction(amount))
        for run, day, lots, unit, amount in _draws(view).get(name, ())
    ]


def jars_of(view: View, build: str) -> dict[tuple[str, str], Jar]:
    """The jars of premix of a build, by the address of their recipe and their mix."""
    return {
        (recipe, mix): Jar(recipe, mix, Fraction(made), Fraction(used), tuple(silent), date.fromisoformat(since))
        for recipe, mix, made, used, silent, since in _jars(view).get(build, ())
    }


@entry_by_entry("draws")
def _draws(view: View) -> dict[str, list[list[Any]]]:
    """By material what runs took of it: the run, its day, the lots it names, the unit, how much."""
    found: dict[str, list[list[Any]]] = {}
    made: set[tuple[str, str, str]] = set()
    for told in _told(view):
        lots = told["lots"]
        made |= {(told["build"], told["recipe"], mix) for mix in told["made"]}
        taken = [(name, unit, amount) for name, units in told["took"].items() for unit, amount in units.items()]
        for mix, each in told["jars"].items():
            # Out of a jar it was taken when that was mixed; where no run mixed one, out of the lots now.
            if (told["build"], told["recipe"], mix) not in made:
                taken += [
                    (name, unit, amount) for name, units in each["inside"].items() for unit, amount in units.items()
                ]
        known = {name for name, _unit, _amount in taken}
        jarred = {name for each in told["jars"].values() for name in each["inside"]}
        silent = [name for name in lots if name not in known | jarred or name in told["silent"]]
        for name, unit, amount in taken:
            found.setdefault(name, []).append([told["run"], told["day"], lots.get(name, []), unit, amount])
        for name in silent:
            found.setdefault(name, []).append([told["run"], told["day"], lots[name], "", None])
    return found


@entry_by_entry("jars")
def _jars(view: View) -> dict[str, list[list[Any]]]:
    """By build its jars: recipe, mix, grams made, grams used, the runs that do not say how much, when the newest was mixed."""
    jars: dict[tuple[str, str, str], list[Any]] = {}
    for told in _told(view):
        for mix, grams in told["made"].items():
            jar = jars.setdefault((told["build"], told["recipe"], mix), [Fraction(0), Fraction(0), [], ""])
            jar[0] += Fraction(grams)
            jar[3] = told["day"]
        for mix, each in told["jars"].items():
            if (jar := jars.get((told["build"], told["recipe"], mix), [])) and each["grams"] is not None:
                jar[1] += Fraction(each["grams"])
            elif jar:
                jar[2].append(told["run"])
    found: dict[str, list[list[Any]]] = {}
    for (build, recipe, mix), (made, used, silent, since) in jars.items():
        found.setdefault(build, []).append([recipe, mix, str(made), str(used), silent, since])
    return found


def _told(view: View) -> list[dict[str, Any]]:
    names = view.evidence.lineage.names
    every = (view.made.of(f"run/{name}: took", partial(_taken, view, name)) for name in names)
    told = [each for each in every if each]
    # An address may have changed since.
    return [{**each, "recipe": view.today(each["recipe"]) if each["recipe"] else ""} for each in told]


def _taken(view: View, name: str) -> dict[str, Any]:
    """What a run took, as JSON holds it; nothing of one that says nothing of it."""
    run = view.models(Run)[name]
    lots: dict[str, list[str]] = {}
    for used in run.lots:
        lots.setdefault(str(used.material), []).append(str(used.lot))
    recipe = recipe_at(view, run.recipe)
    if not (lots or run.batch or run.cups):
        return {}
    took, made, silent, unsaid = Taken(), dict[str, str](), set[str](), set[str]()
    mixes = recipe.mixes if recipe is not None else ()
    materials = view.models(Material)
    by_id = {str(mix.id): mix for mix in mixes}
    own = {str(batch.mix) for batch in run.batch}
    kept = jars_in(mixes)
    for mix, weighed in _mixed(run):
        if mix not in by_id or weighed is None:
            silent |= {*materials_inside(mix, by_id)}
            unsaid |= mixes_inside([mix], by_id) - {mix}
            continue
        batch = batch_takes(mixes, mix, weighed, materials, own | kept)
        took.take(Taken(batch.amounts, batch.jars))
        silent |= {*materials_inside(mix, by_id)} if mix in batch.unknown else batch.unknown.keys()
        if mix in kept:
            made[mix] = str(weighed.value if weighed.dimension == "mass" else _grams(batch))
    jars = {mix: _out_of_jar(mixes, mix, grams, materials) for mix, grams in took.jars.items() if mix in kept}
    jars |= {mix: {"grams": None, "inside": {}} for mix in sorted(unsaid & kept - own - jars.keys())}
    for cup in run.cups:
        for part in cup.parts:
            if part.material is not None and part.weighed is not None:
                took.add(str(part.material), *common(part.weighed, materials.get(str(part.material))))
    return {
        "run": str(run.id),
        "day": run.started.date().isoformat(),
        "build": build_of(view.of(Run)[name].file) or NO_BUILD,
        "recipe": run.recipe.address if run.recipe is not None else "",
        "lots": lots,
        "took": _plain(took),
        "jars": jars,
        "made": made,
        "silent": sorted(silent),
    }


def _mixed(run: Run) -> Iterator[tuple[str, Quantity | None]]:
    for batch in run.batch:
        yield str(batch.mix), batch.weighed
    for cup in run.cups:
        for part in cup.parts:
            if part.mix is not None:
                yield str(part.mix), part.weighed


def _grams(taken: Taken) -> Fraction:
    return sum((units.get("g", Fraction(0)) for units in taken.amounts.values()), Fraction(0))


def _out_of_jar(mixes: Sequence[Mix], mix: str, grams: Fraction, materials: Mapping[str, Material]) -> dict[str, Any]:
    inside = batch_takes(mixes, mix, Quantity("mass", grams, grams, f"{grams} g"), materials)
    return {"grams": str(grams), "inside": _plain(inside)}


def _plain(taken: Taken) -> dict[str, dict[str, str]]:
    return {name: {unit: str(amount) for unit, amount in units.items()} for name, units in taken.amounts.items()}
