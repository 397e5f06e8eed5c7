"""What can be wrong within one document once every value in it can be read."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, Final

from mothermold.book.document import Document
from mothermold.book.own_rule_faults import find_addition_faults
from mothermold.book.unknown import unknown_family, unknown_names, unknown_word
from mothermold.ground.notices import Notice, Severity
from mothermold.ground.words import offer
from mothermold.model.build import Build
from mothermold.model.failure import Failure
from mothermold.model.material import Material
from mothermold.model.names import MixName
from mothermold.model.parts import Part
from mothermold.model.recipe import Mix, Recipe, Step, Surface
from mothermold.model.run import Run
from mothermold.model.walk import KeyPath
from mothermold.reckon.formula import find_formula_faults
from mothermold.reckon.work import Work, WorkStep, work_of
from mothermold.trade.vocabulary import Vocabulary


def find_inside_faults(document: Document, words: Vocabulary) -> Iterator[Notice]:
    """Faults between the parts of one document: ids, local names, formulas, words of the trade."""
    check = _CHECKS.get(document.kind)
    if check is not None and document.model is not None:
        yield from check(document, document.model, words)


def _recipe(document: Document, recipe: Recipe, words: Vocabulary) -> Iterator[Notice]:
    folder = document.address.split("/")[0]
    if recipe.stage != folder:
        yield document.notice(
            "wrong-stage",
            f"The stage is `{recipe.stage}`, but the file lies in the folder `{folder}`.",
            f"Type `stage: {folder}`, or move the file to `recipes/{recipe.stage}/`."
            if recipe.stage in words.stages
            else f"Type `stage: {folder}`.",
            ("stage",),
        )
    elif recipe.stage not in words.stages:
        yield unknown_word(document, ("stage",), recipe.stage, "a stage", words.stages, addition="stages")
    yield from _needed_when_done(document, recipe)
    yield from _repeated(document, recipe)
    if recipe.gives:
        # A surface that is worked on and handed on carries one id in both lists.
        yield from _repeated(document, recipe.gives, ("gives",))
    yield from _surfaces(document, recipe)
    for fault in find_formula_faults(recipe.mixes):
        on_key = fault.code == "both-given"
        to_do: Severity = "advice" if recipe.status == "draft" and fault.code in _TO_DO else "error"
        path: KeyPath = ("mixes", *fault.path)
        yield document.notice(fault.code, fault.message, fault.advice, path, severity=to_do, on_key=on_key)
    for index, mix in enumerate(recipe.mixes):
        yield from _one_size(document, mix, index)
    work = work_of(recipe)
    for each in work.steps:
        path = ("steps", each.place)
        yield from _order(document, work, each, path)
        yield from _step(document, recipe, each.step, path, words)


# Of a draft these are what is still to be written.
_TO_DO: Final = frozenset({"no-amount", "percent-without-of", "no-parts", "missing-key"})


def _needed_when_done(document: Document, recipe: Recipe) -> Iterator[Notice]:
    severity: Severity = "advice" if recipe.status == "draft" else "error"
    if not recipe.steps and "steps" not in document.raw:
        yield document.notice(
            "missing-key",
            "The recipe has no `steps`.",
            "Type `steps:` and below it at least one step.",
            (),
            severity=severity,
        )
    elif not recipe.steps:
        yield document.notice(
            "missing-key",
            "`steps` holds no step.",
            "Type at least one step below `steps:`.",
            ("steps",),
            severity=severity,
        )
    if recipe.version > 1 and recipe.why is None and ("why",) not in document.tree.doubted:
        yield document.notice(
            "missing-key",
            f"Version {recipe.version} does not say why it differs from the one before.",
            "Type `why:` and the reason in a sentence.",
            (),
            severity=severity,
        )


def _repeated(document: Document, said: Part, at: KeyPath = ()) -> Iterator[Notice]:
    """Ids that stand twice in one list."""
    for key, entries in said:
        seen: set[str | None] = set()
        for index, entry in enumerate(entries if isinstance(entries, tuple) else ()):
            name = getattr(entry, "id", None)
            if name is not None and name in seen:
                yield document.notice(
                    "duplicate-id",
                    f"Two {key} are called `{name}`.",
                    f"Give this one another id, such as `{name}-2`.",
                    (*at, key, index, "id"),
                )
            seen.add(name)


def _surfaces(document: Document, recipe: Recipe) -> Iterator[Notice]:
    listed: list[tuple[KeyPath, Surface]] = [(("surfaces", i), s) for i, s in enumerate(recipe.surfaces)]
    if recipe.gives:
        listed += [(("gives", "surfaces", i), s) for i, s in enumerate(recipe.gives.surfaces)]
    for path, surface in listed:
        if surface.material is None and (surface.from_ is None or surface.surface is None):
            key = "surface" if surface.from_ is not None else "from" if surface.surface is not None else "material"
            yield document.notice(
                "missing-key",
                f"The surface `{surface.id}` has no `{key}`.",
                "Type `material:` with what it is made of, or `from:` and `surface:` of another thing."
                if key == "material"
                else f"Type `{key}:` too, or `material:` instead of both.",
                path,
                severity="advice" if recipe.status == "draft" else "error",
            )
        elif surface.material is not None and surface.from_ is not None:
            yield document.notice(
                "both-given",
                f"The surface `{surface.id}` has both `material` and `from`.",
                "Keep one of them.",
                (*path, "from"),
                on_key=True,
            )


def _one_size(document: Document, mix: Mix, index: int) -> Iterator[Notice]:
    given = [key for key in ("batch", "fills", "covers") if getattr(mix, key) is not None]
    raw_keys = list(document.raw["mixes"][index])
    given.sort(key=raw_keys.index)
    if len(given) > 1:
        yield document.notice(
            "both-given",
            f"The mix `{mix.id}` has both `{given[0]}` and `{given[1]}`.",
            "Keep the one that says how much is mixed.",
            ("mixes", index, given[1]),
            on_key=True,
        )


def _order(document: Document, work: Work, each: WorkStep, path: KeyPath) -> Iterator[Notice]:
    step, once = each.step.id, len(work.named) == len(work.steps)
    named: list[tuple[KeyPath, str]] = [((*path, "after", index), name) for index, name in enumerate(each.step.after)]
    # What closes a circle counts for nothing; two steps of one name are told as that.
    circles = {place for place, name in named if name not in each.after} if once else set()
    if each.step.within is not None:
        named.append(((*path, "within", "after"), each.step.within.after))
    for place, name in named:
        if name not in work.named:
            message = f"No step of this recipe is called `{name}`."
            yield document.notice("unknown-step", message, offer(name, list(work.named)), place)
        elif place in circles:
            message = (
                f"`{step}` waits for `{name}`, and that is {'itself' if name == step else f'done after `{step}`'}."
            )
            instead = f", or write `{name}` above `{step}` where it is done first" if name != step else ""
            yield document.notice("step-circle", message, f"Take `{name}` out here{instead}.", place)


def _step(document: Document, recipe: Recipe, step: Step, path: KeyPath, words: Vocabulary) -> Iterator[Notice]:
    if step.wait is not None and step.until is not None:
        keys = list(document.raw["steps"][path[-1]])
        second = max(("wait", "until"), key=keys.index)
        yield document.notice(
            "both-given",
            f"The step `{step.id}` has both `wait` and `until`.",
            "Keep `wait` for a time, or `until` for something that is seen.",
            (*path, second),
            on_key=True,
        )
    if step.wait is not None:
        for key in ("demold", "full_cure"):
            name = getattr(step.wait, key)
            mix = next((mix for mix in recipe.mixes if mix.id == name), None)
            if mix is not None and getattr(mix, key) is None:
                yield document.notice(
                    "no-time",
                    f"The mix `{name}` does not say its `{key}`, so the wait here has no length.",
                    f"Type `{key}: {{time: 4 h, at: 23 degC}}` in the mix, or a plain time here.",
                    (*path, "wait", key),
                    severity="warning",
                )
    yield from unknown_names(document, step, {MixName: recipe.names[MixName]}, "this recipe", path)
    yield from _uses(document, recipe, step, path, words)
    for index, word in enumerate(step.with_):
        if word not in words.equipment:
            yield unknown_word(
                document, (*path, "with", index), word, "equipment or an action", words.equipment, addition="with"
            )


def _uses(document: Document, recipe: Recipe, step: Step, path: KeyPath, words: Vocabulary) -> Iterator[Notice]:
    for index, use in enumerate(step.uses):
        here = (*path, "uses", index)
        if not use.name:
            yield document.notice(
                "missing-key",
                "This use names no material.",
                "Type `material: name` or `mix: name`.",
                here,
                severity="advice" if recipe.status == "draft" else "error",
            )
        elif use.material and use.mix:
            yield document.notice(
                "both-given",
                "A use names a material and a mix.",
                "Make two entries of it, one for each.",
                (*here, "mix"),
                on_key=True,
            )
        if use.as_ not in words.roles:
            yield unknown_word(document, (*here, "as"), use.as_, "a use", words.roles, addition="as")


def _material(document: Document, material: Material, words: Vocabulary) -> Iterator[Notice]:
    places = [(("families", index), family) for index, family in enumerate(material.families)]
    if material.maximum is not None:
        places += [(("maximum", "of", index), family) for index, family in enumerate(material.maximum.of)]  # type: ignore[misc]
    for path, family in places:
        if family not in words.families:
            yield unknown_family(document, path, family, words.families)
    shares = [each.share.high for each in material.vapor if each.share is not None]
    if sum(shares) > 1:
        yield document.notice(
            "out-of-range",
            "More evaporates here than there is: the shares come to over 100 %.",
            "Give each substance its share of the material's weight, as `share: 60 %`.",
            ("vapor", len(material.vapor) - 1),
        )


def _failure(document: Document, failure: Failure, words: Vocabulary) -> Iterator[Notice]:
    if not failure.symptoms:
        yield document.notice(
            "missing-key", "`symptoms` is an empty list.", "Type below `symptoms:` what one would say.", ("symptoms",)
        )
    for key in ("seen_at", "caused_at"):
        stage = getattr(failure, key)
        if stage is not None and stage not in words.stages:
            yield unknown_word(document, (key,), stage, "a stage", words.stages, addition="stages")


def _run(document: Document, run: Run, _words: Vocabulary) -> Iterator[Notice]:
    if run.id != document.address:
        yield document.notice(
            "id-not-file-name",
            f"The run is called `{run.id}`, its file `{document.address}.yaml`.",
            f"Type `id: {document.address}`, or rename the file to `{run.id}.yaml`.",
            ("id",),
        )
    if run.recipe is None and run.kind != "test":
        yield document.notice(
            "missing-key",
            "The run does not say what was done: it has no `recipe`.",
            "Type `recipe: cast/cheek-piece@3`, with the version.",
            (),
        )
    for index, entry in enumerate(run.went_wrong):
        if entry.failure is None and entry.what is None:
            yield document.notice(
                "missing-key",
                "This entry does not say what went wrong.",
                "Type `failure:` with a failure note, or `what:` in your own words.",
                ("went_wrong", index),
            )
    if run.finished is not None and run.finished < run.started:
        yield document.notice(
            "out-of-range", "The run ends before it begins.", "Correct `started` or `finished`.", ("finished",)
        )


def _build(document: Document, build: Build, _words: Vocabulary) -> Iterator[Notice]:
    yield from _repeated(document, build)
    yield from unknown_names(document, build, build.names, "this build")


_CHECKS: Final[dict[str, Callable[[Document, Any, Vocabulary], Iterator[Notice]]]] = {
    "recipe": _recipe,
    "material": _material,
    "failure": _failure,
    "run": _run,
    "build": _build,
    "book": find_addition_faults,
}
