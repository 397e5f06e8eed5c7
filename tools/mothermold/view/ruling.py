"""The rules of the trade on the documents of a book: along each recipe, and along the things of each build.

A finding of a recipe alone is dropped where every build that uses this version has a thing that keeps it. A finding that
is accepted with a reason stays, with the reason; one that can hurt badly cannot be accepted.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from functools import cached_property
from pathlib import Path

from mothermold.book.document import Document, read_document
from mothermold.book.files import SETTINGS_FILE
from mothermold.book.shelves import Shelves
from mothermold.ground.errors import CannotRunError
from mothermold.ground.notices import Notice
from mothermold.ground.reading import read_bytes
from mothermold.ground.words import in_words, offer
from mothermold.history.versions import FindVersions
from mothermold.model.build import STAGES_WORN, Build
from mothermold.model.material import Material
from mothermold.model.names import MaterialRef, RecipeRef
from mothermold.model.parts import Accept
from mothermold.model.recipe import Recipe
from mothermold.model.run import Run
from mothermold.model.settings import Settings
from mothermold.model.walk import KeyPath as Place
from mothermold.model.walk import references
from mothermold.trade.cautions import Caution, step_cautions
from mothermold.trade.chains import Link, assess_build, assess_recipe
from mothermold.trade.findings import Finding, Tried
from mothermold.trade.own_rules import own_rules
from mothermold.trade.rules import Rule, rules
from mothermold.trade.unused import ADVISED


class Ruling:
    """What the rules say about documents.

    Args:
        documents: By kind and address; only these are looked at.
        versions: Looks up the versions of a recipe by its address.

    Attributes:
        documents: As given.
        own: The rules the book adds, by id.
    """

    def __init__(self, documents: Shelves, versions: FindVersions) -> None:
        self.documents, self._versions = documents, versions
        settings = next(iter(documents.models(Settings).values()), None)
        self.own = own_rules(settings.adds) if settings is not None else {}
        # A version stands on several pages and in every difference; each text is judged once. The text is held, so that
        # its identity stays its own.
        self._found: dict[tuple[str, int], tuple[Recipe, list[Finding]]] = {}
        self._can_hurt: dict[int, tuple[Recipe, dict[str, tuple[Caution, ...]]]] = {}

    @property
    def rules(self) -> dict[str, Rule]:
        """Every rule by id: the tool's, then those the book adds."""
        return rules() | self.own

    @cached_property
    def materials(self) -> dict[str, Material]:
        """Today's materials by name; of one with a slip what can be read of it."""
        every = {name: each.model or each.rest for name, each in self.documents.on("material").items()}
        return {name: material for name, material in every.items() if isinstance(material, Material)}

    @cached_property
    def _tests(self) -> tuple[Tried, ...]:
        runs = self.documents.models(Run).values()
        return tuple(
            Tried(str(run.id), frozenset(map(str, run.between)), _passed(run))
            for run in sorted(runs, key=lambda run: (run.started, str(run.id)))
            if run.kind == "test" and run.between and any(cup.result for cup in run.cups)
        )

    @cached_property
    def builds(self) -> dict[str, list[Link]]:
        """What was found along each build, accepted findings marked."""
        found = {}
        own = tuple(self.own.values())
        for name, build in sorted(self.documents.models(Build).items()):
            links = assess_build(self._as_of_today(build), self.text, self.materials, self._tests, own)
            found[name] = [replace(link, findings=self._marked(link, build)) for link in links]
        return found

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
        used = [
            {(each.rule.id, each.at.step): each for each in link.findings}
            for links in self.builds.values()
            for link in links
            if link.ref.address == address and link.ref.version == int(recipe.version)
        ]
        found = []
        for each in self._assessed(address, recipe):
            finding = each
            elsewhere = [there.get((finding.rule.id, finding.at.step)) for there in used]
            kept = next((there for there in elsewhere if there and not there.open), None)
            if finding.open and kept and all(there is None or not there.open for there in elsewhere):
                finding = replace(finding, kept_by=kept.kept_by, tested=kept.tested)
            found.append(_accepted(finding, self.accepts(recipe), int(recipe.version)))
        return found

    def alone(self, address: str, recipe: Recipe) -> list[Finding]:
        """What is found along one recipe by its own words, whoever uses it."""
        return [_accepted(each, self.accepts(recipe), int(recipe.version)) for each in self._assessed(address, recipe)]

    def cautions(self, recipe: Recipe) -> dict[str, tuple[Caution, ...]]:
        """The cautions of each step of a text that has any, worst first."""
        if id(recipe) not in self._can_hurt:
            self._can_hurt[id(recipe)] = recipe, step_cautions(recipe, self.materials)
        return self._can_hurt[id(recipe)][1]

    def _assessed(self, address: str, recipe: Recipe) -> list[Finding]:
        key = (address, id(recipe))
        if key not in self._found:
            own = tuple(self.own.values())
            self._found[key] = recipe, assess_recipe(recipe, address, self.materials, self._tests, own)
        return self._found[key][1]

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


def _passed(run: Run) -> bool:
    """Whether a test says yes: what was chosen passed, or nothing in it failed or stayed unclear."""
    chosen = [cup.result for cup in run.cups if cup.chosen and cup.result]
    return set(chosen or [cup.result for cup in run.cups if cup.result]) == {"passed"}


def _accepted(finding: Finding, accepts: Sequence[Accept], version: int | None) -> Finding:
    if not finding.open or finding.rule.severe:
        return finding
    because = next((str(each.because) for each in accepts if _means(each, finding, version)), None)
    return replace(finding, accepted=because) if because else finding


def _means(accept: Accept, finding: Finding, version: int | None) -> bool:
    return accept.rule == finding.rule.id and accept.covers(finding.at.recipe, version, finding.at.step)


def find_rule_faults(documents: Shelves, ruling: Ruling, faulty: Collection[str | None] = ()) -> Iterator[Notice]:
    """A notice for each rule that nothing keeps and nobody accepted, and for what is accepted in vain.

    Args:
        documents: By kind and address.
        ruling: What the rules say about them.
        faulty: Files with a slip in them: that comes first, and a finding might be its consequence.
    """
    said: set[tuple[str, str, str]] = set()
    # While the settings have a slip it may be one in an own rule's remedy, or no own rule can be read at all.
    sure = all(each.model is not None and each.file not in faulty for each in documents.on("book").values())

    def judged(rule: str) -> bool:
        return sure or rule in rules()

    for address, document in documents.of(Recipe).items():
        recipe = document.model
        if recipe.status != "retired" and is_sound(documents, [RecipeRef(address)], faulty):
            findings = [each for each in ruling.of_recipe(address, recipe) if judged(each.rule.id)]
            for finding in findings:
                if finding.bites:
                    said.add((finding.rule.id, address, finding.at.step))
                    yield _notice(document, [finding], ("steps", finding.at.index, *_in_step(finding)))
            told = [(finding, int(recipe.version)) for finding in findings]
            yield from _accepts(document, ruling.accepts(recipe), told, ruling, judged, own=address)
    for name, links in ruling.builds.items():
        build = documents.of(Build)[name]
        if build.file in faulty or not is_sound(documents, map(ruling.today, build.model.recipes), faulty):
            continue
        for link in links:
            # What the recipe says of itself is said once, there.
            bites = [f for f in link.findings if f.bites and (f.rule.id, f.at.recipe, f.at.step) not in said]
            for same in _by_cause([f for f in bites if judged(f.rule.id)]):
                yield _notice(build, same, link.path)
        every = [(finding, link.ref.version) for link in links for finding in link.findings]
        yield from _accepts(build, ruling.accepts(build.model), every, ruling, judged)


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


def _in_step(finding: Finding) -> Place:
    """The use of a step that bites, or what stands in the step."""
    return ("with",) if finding.at.use is None else ("uses", finding.at.use)


def _by_cause(findings: Sequence[Finding]) -> list[list[Finding]]:
    """Findings of one rule about the same two, together: they have one cause."""
    causes: dict[tuple[str, str, str], list[Finding]] = {}
    for finding in findings:
        causes.setdefault((finding.rule.id, finding.used, finding.meets), []).append(finding)
    return list(causes.values())


def _notice(document: Document, same: Sequence[Finding], path: Place) -> Notice:
    finding = same[0]
    steps = in_words([each.at.step for each in same])
    where = f"step {steps}" if path[0] == "steps" else f"`{finding.at.recipe}` at {steps}"
    meeting = f"`{finding.used}`"
    if finding.meets:
        meeting += f" {'meets' if finding.surface else 'with'} `{finding.meets}`"
    if finding.surface:
        meeting += f" on `{finding.surface}`"
    if finding.since is not None and finding.since.thing and finding.since.thing != finding.at.thing:
        meeting += f", there since `{finding.since.thing}`,"
    failed = f" The test `{finding.failed}` did not pass." if finding.failed else ""
    rule = finding.rule
    message = f"{meeting} in {where}: {rule.happens}."
    return document.notice(rule.id, message, rule.instead + failed, path, severity=rule.severity)


def _accepts(
    document: Document,
    accepts: Sequence[Accept],
    told: Sequence[tuple[Finding, int | None]],
    ruling: Ruling,
    judged: Callable[[str], bool],
    *,
    own: str | None = None,
) -> Iterator[Notice]:
    for index, accept in enumerate(accepts):
        path = ("accepts", index, "rule")
        if not judged(str(accept.rule)):
            continue
        rule = ruling.rules.get(str(accept.rule))
        if rule is None and str(accept.rule) in ADVISED:
            continue  # a habit, which `view.advising` looks after
        if rule is None:
            yield document.notice(
                "unknown-rule",
                f"No rule is called `{accept.rule}`.",
                offer(accept.rule, list(ruling.rules)),
                path,
                severity="warning",
            )
            continue
        if rule.severe:
            yield document.notice(
                "not-acceptable",
                f"`{accept.rule}` can hurt somebody badly and cannot be accepted.",
                rule.instead,
                path,
            )
            continue
        if (accept.address or own) in ruling.documents.on("recipe") and not any(
            _means(accept, each, version) and each.open for each, version in told
        ):
            yield document.notice(
                "nothing-to-accept",
                f"`{accept.rule}` is not found at `{accept.where}`, or something keeps it already.",
                "Take the entry out, or mend where it says the finding is.",
                path,
                severity="advice",
            )
