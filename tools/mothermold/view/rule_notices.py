"""What the rules of the trade say of recipes and builds, as notices of a book."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from functools import partial

from mothermold.book.document import Document
from mothermold.book.shelves import Shelves
from mothermold.ground.looking import Looked
from mothermold.ground.made import MadeBefore
from mothermold.ground.notices import Notice
from mothermold.ground.words import in_words, offer
from mothermold.model.build import Build
from mothermold.model.names import RecipeRef
from mothermold.model.parts import Accept
from mothermold.model.recipe import Recipe
from mothermold.model.settings import Settings
from mothermold.model.walk import KeyPath as Place
from mothermold.trade.findings import Finding
from mothermold.trade.rules import rules
from mothermold.trade.unused import ADVISED
from mothermold.view.ruling import Ruling, is_sound, means


class RuleNotices:
    """A notice for each rule that nothing keeps and nobody accepted, and for what is accepted in vain.

    Args:
        documents: By kind and address.
        ruling: What the rules say about them.
        faulty: Files with a slip in them: that comes first, and a finding might be its consequence.
        made: What was made of these very documents before.
    """

    def __init__(self, documents: Shelves, ruling: Ruling, faulty: Collection[str | None], made: MadeBefore) -> None:
        self.documents, self.ruling, self.faulty, self._made = documents, ruling, faulty, made
        self._said = Looked("said-of-recipe", self._find_said)
        made.opens(self._said)

    def faults(self, document: Document) -> Iterator[Notice]:
        """What is said of a recipe by itself, or of what the things of a build leave each other."""
        if isinstance(document.model, Recipe):
            yield from self._recipe(document, document.model)
        if isinstance(document.model, Build):
            yield from self._build(document, document.model)

    def _judged(self, rule: str) -> bool:
        # While the settings have a slip it may be one in an own rule's remedy, or no own rule can be read at all.
        return rule in rules() or self._sure

    @property
    def _sure(self) -> bool:
        settings = self.documents.on("book").values()
        return all(isinstance(each.model, Settings) and each.file not in self.faulty for each in settings)

    def _findings(self, address: str, recipe: Recipe) -> list[Finding] | None:
        """What is found along a recipe; None where it is not asked."""
        if recipe.status == "retired" or not is_sound(self.documents, [RecipeRef(address)], self.faulty):
            return None
        return [each for each in self.ruling.of_recipe(address, recipe) if self._judged(each.rule.id)]

    def _recipe(self, document: Document, recipe: Recipe) -> Iterator[Notice]:
        findings = self._findings(document.address, recipe)
        if findings is None:
            return
        for finding in findings:
            if finding.bites:
                yield _notice(document, [finding], ("steps", finding.at.index, *_in_step(finding)))
        told = [(finding, int(recipe.version)) for finding in findings]
        yield from self._accepts(document, self.ruling.accepts(recipe), told, own=document.address)

    def _find_said(self) -> dict[str, str]:
        """What is said of every recipe by itself."""
        every = self.documents.on("recipe").items()
        return {
            said: ""
            for address, each in every
            for said in self._made.of(f"recipe/{address}: said", partial(self._said_of, each))
        }

    def _said_of(self, document: Document) -> list[str]:
        recipe = document.model
        found = self._findings(document.address, recipe) if isinstance(recipe, Recipe) else None
        return [_spot(each.rule.id, document.address, each.at.step) for each in found or () if each.bites]

    def _build(self, document: Document, build: Build) -> Iterator[Notice]:
        ruling = self.ruling
        if document.file in self.faulty or not is_sound(self.documents, map(ruling.today, build.recipes), self.faulty):
            return
        links = ruling.build(document.address)
        for link in links:
            # What the recipe says of itself is said once, there.
            bites = [f for f in link.findings if f.bites and _spot(f.rule.id, f.at.recipe, f.at.step) not in self._said]
            for same in _by_cause([f for f in bites if self._judged(f.rule.id)]):
                yield _notice(document, same, link.path)
        every = [(finding, link.ref.version) for link in links for finding in link.findings]
        yield from self._accepts(document, ruling.accepts(build), every)

    def _accepts(
        self,
        document: Document,
        accepts: Sequence[Accept],
        told: Sequence[tuple[Finding, int | None]],
        *,
        own: str | None = None,
    ) -> Iterator[Notice]:
        for index, accept in enumerate(accepts):
            path = ("accepts", index, "rule")
            if not self._judged(str(accept.rule)):
                continue
            rule = self.ruling.rules.get(str(accept.rule))
            if rule is None and str(accept.rule) in ADVISED:
                continue  # a habit, which `view.advising` looks after
            if rule is None:
                yield document.notice(
                    "unknown-rule",
                    f"No rule is called `{accept.rule}`.",
                    offer(accept.rule, list(self.ruling.rules)),
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
            if (accept.address or own) in self.documents.on("recipe") and not any(
                means(accept, each, version) and each.open for each, version in told
            ):
                yield document.notice(
                    "nothing-to-accept",
                    f"`{accept.rule}` is not found at `{accept.where}`, or something keeps it already.",
                    "Take the entry out, or mend where it says the finding is.",
                    path,
                    severity="advice",
                )


def _spot(rule: str, recipe: str, step: str) -> str:
    return f"{rule} {recipe}#{step}"


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
