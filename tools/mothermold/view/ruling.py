"""The rules of the trade on the documents of a book: along each recipe, and along the things of each build.

A finding of a recipe alone is dropped where every build that uses this version has a thing that keeps it. A finding that
is accepted with a reason stays, with the reason; one that can hurt badly cannot be accepted.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

from mothermold.book.document import Document, read_document
from mothermold.book.files import SETTINGS_FILE
from mothermold.book.shelves import Shelves
from mothermold.ground.errors import CannotRunError
from mothermold.ground.looking import Looked, Remembered, not_looking
from mothermold.ground.made import MadeBefore
from mothermold.ground.reading import read_bytes
from mothermold.history.versions import FindVersions
from mothermold.model.build import STAGES_WORN, Build
from mothermold.model.material import Material
from mothermold.model.names import MaterialRef, RecipeRef
from mothermold.model.parts import Accept
from mothermold.model.recipe import Recipe
from mothermold.model.run import Run
from mothermold.model.settings import Settings
from mothermold.model.walk import references
from mothermold.trade.cautions import Caution, step_cautions
from mothermold.trade.chains import Link, assess_build, assess_recipe
from mothermold.trade.findings import Finding, Tried
from mothermold.trade.own_rules import own_rules
from mothermold.trade.rooms import Limits, limits_of
from mothermold.trade.rules import Rule, rules


class Ruling:
    """What the rules say about documents.

    Args:
        documents: By kind and address; only these are looked at.
        versions: Looks up the versions of a recipe by its address.
        made: What was made of these very documents before.

    Attributes:
        documents: As given.
        materials: Today's materials by name; of one with a slip what can be read of it.
    """

    def __init__(self, documents: Shelves, versions: FindVersions, made: MadeBefore | None = None) -> None:
        self.documents, self._versions, self._made = documents, versions, made or MadeBefore()
        self.materials: Mapping[str, Material] = _MaterialsByName(documents)
        self._tried = Looked("tried", self._find_tests, lambda each: (each.run, sorted(each.between), each.passed))
        self._in_builds = Looked("in-builds", self._find_in_builds)
        for shelf in (self._tried, self._in_builds):
            self._made.opens(shelf)
        # A version stands on several pages and in every difference; each text is judged once. The text is held, so that
        # its identity stays its own.
        self._once = Remembered()

    @property
    def own(self) -> dict[str, Rule]:
        """The rules the book adds, by id."""
        return self._once.of("own", self._find_own)

    def _find_own(self) -> dict[str, Rule]:
        settings = next(iter(self.documents.models(Settings).values()), None)
        return own_rules(settings.adds) if settings is not None else {}

    @property
    def rules(self) -> dict[str, Rule]:
        """Every rule by id: the tool's, then those the book adds."""
        return rules() | self.own

    @property
    def tests(self) -> Sequence[Tried]:
        """The tests of two materials, the oldest first."""
        return tuple(self._tried.values())

    def _find_tests(self) -> dict[str, Tried]:
        """The tests of two materials, the oldest first."""
        runs = self.documents.on("run").items()
        tests = [each for name, run in runs if (each := self._made.of(f"run/{name}: test", partial(_test, run)))]
        return {name: Tried(name, frozenset(between), passed) for _started, name, between, passed in sorted(tests)}

    def build(self, name: str) -> list[Link]:
        """What was found along a build, accepted findings marked; nothing where there is none of that name."""
        return self._once.of(("build", name), lambda: self._assess_build(name))

    def _assess_build(self, name: str) -> list[Link]:
        build = self.documents.models(Build).get(name)
        if build is None:
            return []
        own, tests = tuple(self.own.values()), self.tests
        links = assess_build(self._as_of_today(build), self.text, self.materials, tests, own)
        return [replace(link, findings=self._marked(link, build)) for link in links]

    def _find_in_builds(self) -> dict[str, list[list[Any]]]:
        """By recipe version the builds that use it, each with what was found there."""
        found: dict[str, list[list[Any]]] = {}
        for name in sorted(self.documents.on("build")):
            for ref, told in self._made.of(f"build/{name}: recipes", lambda: self._told_of(name)):  # noqa: B023
                found.setdefault(ref, []).append([name, told])
        return found

    def _told_of(self, name: str) -> list[list[Any]]:
        return [
            [str(each.ref), [[f.rule.id, f.at.step, f.open, repr(f.kept_by), f.tested] for f in each.findings]]
            for each in self.build(name)
        ]

    def _as_of_today(self, build: Build) -> Build:
        """A build that names every recipe by the address it has today."""
        things = [each.model_copy(update={"recipe": self.today(each.recipe)}) for each in build.things]
        looks = [
            each.model_copy(update={stage: tuple(map(self.today, getattr(each, stage))) for stage in STAGES_WORN})
            for each in build.looks
        ]
        return build.model_copy(update={"things": tuple(things), "looks": tuple(looks)})

    def accepts(self, document: Build | Recipe) -> list[Accept]:
        """What a document accepts, each where the recipe it speaks of is today."""
        return [
            each.moved(self.today(RecipeRef(each.address)).address) if each.address else each
            for each in document.accepts
        ]

    def today(self, ref: RecipeRef) -> RecipeRef:
        """A recipe as named, by the address it has today."""
        versions = self._versions(ref.address)
        if versions is None or versions.address == ref.address:
            return ref
        return RecipeRef(versions.address if ref.version is None else f"{versions.address}@{ref.version}")

    def text(self, ref: RecipeRef) -> Recipe | None:
        """The text of a recipe version as named; without a number the one in use, else what the file says."""
        versions = self._versions(ref.address)
        if versions is not None and versions.rows:
            row = versions.get(int(ref.version)) if ref.version is not None else versions.current
            return row.recipe if row is not None else None
        return self.documents.models(Recipe).get(ref.address)

    def of_recipe(self, address: str, recipe: Recipe) -> list[Finding]:
        """What is found along one recipe, with what keeps it there or in the builds that use this version."""
        used = self._where_used(address, int(recipe.version))
        found = []
        for each in self._assessed(address, recipe):
            finding = each
            elsewhere = [there.get((finding.rule.id, finding.at.step)) for there in used]
            kept = next((there for there in elsewhere if there and not there.open), None)
            if finding.open and kept and all(there is None or not there.open for there in elsewhere):
                finding = replace(finding, kept_by=kept.kept_by, tested=kept.tested)
            found.append(_accepted(finding, self.accepts(recipe), int(recipe.version)))
        return found

    def _where_used(self, address: str, version: int) -> list[dict[tuple[str, str], Finding]]:
        builds = dict.fromkeys(name for name, _told in self._in_builds.get(f"{address}@{version}", ()))
        with not_looking():  # at more than that
            return [
                {(each.rule.id, each.at.step): each for each in link.findings}
                for name in builds
                for link in self.build(name)
                if link.ref.address == address and link.ref.version == version
            ]

    def alone(self, address: str, recipe: Recipe) -> list[Finding]:
        """What is found along one recipe by its own words, whoever uses it."""
        return [_accepted(each, self.accepts(recipe), int(recipe.version)) for each in self._assessed(address, recipe)]

    def cautions(self, recipe: Recipe) -> dict[str, tuple[Caution, ...]]:
        """The cautions of each step of a text that has any, worst first."""
        told = self._once.of(("cautions", id(recipe)), lambda: (recipe, step_cautions(recipe, self.materials)))
        return told[1]

    def limits(self, recipe: Recipe) -> Limits:
        """Which temperatures a text asks for."""
        return self._once.of(("limits", id(recipe)), lambda: (recipe, limits_of(recipe, self.materials, self.rules)))[1]

    def _assessed(self, address: str, recipe: Recipe) -> list[Finding]:
        return self._once.of((address, id(recipe)), lambda: (recipe, self._assess(address, recipe)))[1]

    def _assess(self, address: str, recipe: Recipe) -> list[Finding]:
        own, tests = tuple(self.own.values()), self.tests
        return assess_recipe(recipe, address, self.materials, tests, own)

    def _marked(self, link: Link, build: Build) -> Sequence[Finding]:
        recipe, file = self.text(link.ref), self.documents.on("recipe").get(link.ref.address)
        version = int(recipe.version) if recipe is not None else None
        accepts = [*self.accepts(build), *(self.accepts(recipe) if recipe is not None else ())]
        if file is not None and isinstance(file.model, Recipe) and int(file.model.version) == version:
            accepts += self.accepts(file.model)  # a reason is a note, and counts before it is saved
        return [_accepted(finding, accepts, version) for finding in link.findings]


def added_rules(root: Path) -> dict[str, Rule]:
    """The rules a book adds, read from its settings alone; none where those cannot be read."""
    try:
        settings = read_document("book", "book", SETTINGS_FILE, read_bytes(root / SETTINGS_FILE)).model
    except CannotRunError:
        return {}
    return own_rules(settings.adds) if isinstance(settings, Settings) else {}


class _MaterialsByName(Mapping[str, Material]):
    """The materials of some documents; each is looked into when somebody asks for it."""

    def __init__(self, documents: Shelves) -> None:
        self._on = documents.on("material")

    def __getitem__(self, name: str) -> Material:
        document = self._on[name]
        material = document.model or document.rest
        if not isinstance(material, Material):
            raise KeyError(name)
        return material

    def __iter__(self) -> Iterator[str]:
        return (name for name in self._on if name in self)

    def __len__(self) -> int:
        return sum(1 for _name in self)


def _test(document: Document) -> list[Any]:
    """A test of two materials that says something: when, which, between what and whether it passed; else nothing."""
    run = document.model
    if not isinstance(run, Run) or run.kind != "test" or not run.between or not any(cup.result for cup in run.cups):
        return []
    return [run.started.isoformat(), str(run.id), sorted(map(str, run.between)), _passed(run)]


def _passed(run: Run) -> bool:
    """Whether a test says yes: what was chosen passed, or nothing in it failed or stayed unclear."""
    chosen = [cup.result for cup in run.cups if cup.chosen and cup.result]
    return set(chosen or [cup.result for cup in run.cups if cup.result]) == {"passed"}


def _accepted(finding: Finding, accepts: Sequence[Accept], version: int | None) -> Finding:
    if not finding.open or finding.rule.severe:
        return finding
    because = next((str(each.because) for each in accepts if means(each, finding, version)), None)
    return replace(finding, accepted=because) if because else finding


def means(accept: Accept, finding: Finding, version: int | None) -> bool:
    """Whether what is accepted is a finding in this version of a recipe."""
    return accept.rule == finding.rule.id and accept.covers(finding.at.recipe, version, finding.at.step)


def is_sound(documents: Shelves, recipes: Iterable[RecipeRef], faulty: Collection[str | None]) -> bool:
    """Whether no recipe of these, and no material in one, has a slip: a remedy that cannot be read would be missed."""
    for ref in recipes:
        document = documents.on("recipe").get(ref.address)
        if document is None:
            continue
        names = (
            {value for _path, value in references(document.model) if isinstance(value, MaterialRef)}
            if document.model
            else ()
        )
        materials = [documents.on("material")[name] for name in names if name in documents.on("material")]
        files = [document.file, *(each.file for each in materials if each.rest is None)]
        if document.model is None or any(file in faulty for file in files):
            return False
    return True
