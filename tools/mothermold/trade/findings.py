"""Where a recipe, or a chain of things, breaks a rule, and where a step keeps it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from mothermold.model.material import Material
from mothermold.model.recipe import BODY_SURFACES, Recipe
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.mixes import resolve
from mothermold.trade.layers import RESINS, Act, Contact, Face, Layer, Place, damp_since
from mothermold.trade.rules import Met, Remedy, Rule, Used, rules
from mothermold.trade.skin import PATCH_TEST_HOURS

DAY: Final = 24 * 60
_HOT_ENOUGH: Final = 4 * 60
_WARM: Final = 20


@dataclass(frozen=True, slots=True)
class Tried:
    """A test that was made: the materials it put together, and whether it passed."""

    run: str
    between: frozenset[str]
    passed: bool


@dataclass(frozen=True, slots=True)
class Finding:
    """A rule that applies where a use meets something.

    Attributes:
        rule: The rule.
        at: The step where it bites.
        used: The material used.
        meets: The material it meets; empty where the use itself is the matter.
        surface: On which surface; empty where none is named.
        since: The step that laid what is met, where a step did.
        kept_by: The step that keeps the rule; None where none does.
        tested: The test that passed, where that keeps it.
        failed: A test of the same that did not pass.
        accepted: The reason for which it is accepted.
    """

    rule: Rule
    at: Place
    used: str
    meets: str
    surface: str
    since: Place | None = None
    kept_by: Place | None = None
    tested: str | None = None
    failed: str | None = None
    accepted: str | None = None

    @property
    def open(self) -> bool:
        """Whether nothing keeps the rule."""
        return self.kept_by is None and self.tested is None

    @property
    def bites(self) -> bool:
        """Whether nothing keeps the rule and nobody accepted that."""
        return self.open and self.accepted is None


def find_findings(
    recipe: Recipe,
    contacts: Sequence[Contact],
    materials: Mapping[str, Material],
    tests: Sequence[Tried],
    own: Sequence[Rule] = (),
) -> list[Finding]:
    """Every rule, the book's ``own`` too, that applies at contacts: once a step, its open ones before its kept ones."""
    every = (*rules().values(), *own)
    met_once: dict[tuple[str, str], Finding] = {}
    for contact in contacts:
        for rule in every:
            finding = _judged(rule, recipe, contact, materials, tests)
            if finding is None:
                continue
            key = (rule.id, finding.at.step)
            if key not in met_once or (finding.open and not met_once[key].open):
                met_once[key] = finding
    return sorted(met_once.values(), key=lambda each: (each.at.index, not each.open))


def _judged(
    rule: Rule, recipe: Recipe, contact: Contact, materials: Mapping[str, Material], tests: Sequence[Tried]
) -> Finding | None:
    """The finding of one rule at one contact; None where the rule does not apply."""
    act, used = contact.act, rule.used
    if not act.families & used.families or act.role not in used.roles:
        return None
    if used.stages and recipe.stage not in used.stages:
        return None
    if used.colder_than is not None and (act.warmest is None or act.warmest >= used.colder_than):
        return None
    if used.beside and not act.families & used.beside:
        return None
    if used.above is not None and _percent(recipe, contact, used, materials) <= used.above:
        return None
    mine, met = _named(act.materials, used.families, materials), rule.met
    if met is None or met.worn:
        worn = _gloves(met, contact) if met else None
        if met and worn is None:
            return None
        beside = _named(act.materials, used.beside, materials)
        layer = Layer(frozenset(), frozenset(worn.materials if worn else beside), act=worn)
        put_on = worn.number if worn else -1
        return _Weighing(rule, contact, layer, put_on, mine, sorted(layer.materials)).finding(tests)
    for layer in contact.face.touched(lambda each: bool(each.families & met.through) or _is_remedy(rule, each)):
        since = _meets(met, layer, contact)
        if since is not None:
            theirs = _named(layer.materials, met.families, materials) or sorted(layer.materials)
            return _Weighing(rule, contact, layer, since, mine, theirs).finding(tests)
    return None


def _is_remedy(rule: Rule, layer: Layer) -> bool:
    """Whether a layer is what should lie between: then what is under it is looked at all the same, to name the step."""
    return any(
        remedy.kind == "layer" and remedy.fits(layer.families, layer.role) for way in rule.kept_by for remedy in way
    )


def _percent(recipe: Recipe, contact: Contact, used: Used, materials: Mapping[str, Material]) -> Fraction:
    """How many percent, by weight, the parts of ``beside`` come to of those of ``families`` in the mix used."""
    if not contact.use.mix:
        return Fraction(0)
    try:
        resolved = resolve(recipe.mixes, str(contact.use.mix), materials)
    except ReckoningError:
        return Fraction(0)

    def grams(families: frozenset[str]) -> Fraction:
        return sum(
            (
                part.mass
                for part in resolved.materials
                if part.mass and part.name in materials and families & set(materials[part.name].families)
            ),
            Fraction(0),
        )

    base = grams(used.families)
    return grams(used.beside) / base * 100 if base else Fraction(0)


def _named(names: frozenset[str], families: frozenset[str], materials: Mapping[str, Material]) -> list[str]:
    return [name for name in sorted(names) if name in materials and families & set(materials[name].families)]


def _gloves(met: Met, contact: Contact) -> Act | None:
    """The gloves of the kind asked for that were last put on before a contact."""
    worn = [act for act in contact.earlier if act.role == "protect" and act.everywhere and act.families & met.worn]
    return next((act for act in reversed(worn) if _same_work(act, contact.act)), None)


def _same_work(one: Act, other: Act) -> bool:
    return (one.at.thing, one.at.recipe) == (other.at.thing, other.at.recipe)


def _meets(met: Met, layer: Layer, contact: Contact) -> int | None:
    """Since which act a layer is what a rule asks for; None where it is not."""
    here = bool(layer.families & met.families) and (not met.roles or layer.role in met.roles)
    if layer.act and layer.act.zone and _elsewhere(layer.act, contact.act):
        return None
    left = next((trace for trace in layer.traces if trace.families & met.traces), None)
    if not here and left is None:
        return None
    laid = layer.act.number if layer.act else -1
    if met.state == "damp":
        return damp_since(layer, contact.face)
    if met.state == "dry":
        return _dry_since(layer, contact.face)
    if met.state == "uncured" and (layer.act is None or not layer.families & RESINS):
        return None
    if met.state == "solvent" and (layer.act is None or not layer.act.thinned):
        return None
    waited = _waited(layer, contact)
    # What was there before is at least as old as the work of this recipe.
    if met.older_than is not None and (contact.act.starts if waited is None else waited) <= met.older_than:
        return None
    if met.set_after is not None and waited is not None and waited <= met.set_after:
        return None
    return laid


def _elsewhere(laid: Act, now: Act) -> bool:
    """Whether something lies in another zone than is worked on; a guard is only ever where it says."""
    return laid.zone != now.zone and (bool(now.zone) or laid.role == "protect")


def _dry_since(layer: Layer, face: Face) -> int | None:
    """The number of the act that dried stone poured in the work, or -1 for stone that was found; None while it is fresh."""
    if layer.act is None:
        return -1
    laid = layer.act.number
    return next((each.number for each in face.moments if each.number > laid and _dries(each)), None)


def _dries(moment: Act) -> bool:
    """Whether a step dries stone or cures resin: a day's wait, hours in the oven, or drying named as such."""
    return moment.role == "dry" or moment.waits >= DAY or (moment.heated and moment.waits >= _HOT_ENOUGH)


def _waited(layer: Layer, contact: Contact) -> Fraction | None:
    """Minutes from the end of the work on a layer to the contact; None from one thing to another, or for what was there."""
    if layer.act is None or layer.act.at.thing != contact.act.at.thing:
        return None
    return max(contact.act.starts - layer.act.works_until, Fraction(0))


@dataclass(frozen=True, slots=True)
class _Weighing:
    """A rule that applies at a contact with a layer that is what it is since some act, and what keeps it."""

    rule: Rule
    contact: Contact
    layer: Layer
    since: int
    used: Sequence[str]
    meets: Sequence[str]

    def finding(self, tests: Sequence[Tried]) -> Finding:
        """The finding, with the step or the test that keeps the rule."""
        act, layer, meets = self.contact.act, self.layer, self.meets
        laid = layer.act.at if layer.act else None
        finding = Finding(self.rule, act.at, (*self.used, "")[0], (*meets, "")[0], self.contact.surface, laid)
        for way in self.rule.kept_by:
            steps = [self._kept(remedy) for remedy in way]
            if all(steps):
                return replace(finding, kept_by=steps[0])
        if self.rule.severe:
            return finding
        if trial := self._trial():
            return replace(finding, kept_by=trial)
        for test in tests:
            if test.between & set(self.used) and test.between & set(meets):
                # The latest test wins: a pass of March says nothing after a failure in May.
                passed, failed = (test.run, None) if test.passed else (None, test.run)
                finding = replace(finding, tested=passed, failed=failed)
        return finding

    def _kept(self, remedy: Remedy) -> Place | None:
        """The step that applies a remedy between what is met and the contact."""
        if remedy.kind == "layer":
            layers = self.contact.face.layers
            above = layers[next(index for index, each in enumerate(layers) if each is self.layer) + 1 :]
            return next((each.act.at for each in reversed(above) if each.act and self._fits(remedy, each.act)), None)
        if remedy.kind == "waited":
            waited = _waited(self.layer, self.contact)
            if waited is None:
                # From one thing to the next days pass; what was there before has long been there.
                return (self.layer.act or self.contact.act).at
            return self._longest_wait() if waited >= remedy.minutes else None
        if remedy.kind in ("dried", "cured"):
            return self._dried(remedy.kind)
        return next((each.at for each in self._done(remedy)), None)

    def _dried(self, kind: str) -> Place | None:
        """The step that dried stone or cured resin."""
        face, laid = self.contact.face, self.layer.act
        steps = [
            each.at
            for each in (*face.moments, *face.acts)
            if self.since <= each.number and self._sure(each) and _dries(each)
        ]
        if not steps and kind == "cured" and laid is not None and laid.at.thing != self.contact.act.at.thing:
            return laid.at
        return steps[0] if steps else None

    def _done(self, remedy: Remedy) -> list[Act]:
        """What was done since, that may be the remedy: to this surface, or anywhere in the work before."""
        among: Sequence[Act] = self.contact.face.acts
        if remedy.kind != "done":
            among = [each for each in self.contact.earlier if _same_work(each, self.contact.act)]
        since = [each for each in among if self.since < each.number and self._sure(each)]
        if remedy.kind == "heated":
            return [each for each in since if each.heated]
        if remedy.kind == "warmed":
            return [each for each in since if each.warmest is not None and each.warmest >= _WARM and each.waits]
        if remedy.kind == "gloves":
            worn = self.layer.act.families if self.layer.act else frozenset()
            return [each for each in since if each.role == "protect" and each.everywhere and not each.families & worn]
        return [each for each in since if self._fits(remedy, each)]

    def _fits(self, remedy: Remedy, done: Act) -> bool:
        return remedy.fits(done.families, done.role) and self._sure(done)

    def _sure(self, done: Act) -> bool:
        """Whether something is certainly done before: in an earlier thing or step, or earlier in the same step."""
        act = self.contact.act
        if not _same_work(done, act):
            return True
        return done.at.step in act.sure or (done.at.step == act.at.step and done.number < act.number)

    def _longest_wait(self) -> Place:
        step = self.contact.act.at.step
        between = [
            each
            for each in self.contact.earlier
            if self.since <= each.number and self._sure(each) and each.at.step != step
        ]
        return max(between, key=lambda each: each.waits, default=self.contact.act).at

    def _trial(self) -> Place | None:
        """A spot tried a day before, of the same on the same; a patch on a body the hours a patch test takes."""
        rule, layer = self.rule, self.layer
        body = self.contact.surface in BODY_SURFACES
        ahead = PATCH_TEST_HOURS * 60 if body else DAY
        for done in self.contact.earlier:
            if done.role != "test" or not self._sure(done) or not done.families & rule.used.families:
                continue
            if _same_work(done, self.contact.act) and self.contact.act.starts - done.works_until < ahead:
                continue
            on_it = any(done is each for each in self.contact.face.acts) or (body and done.everywhere)
            if on_it or done.materials & layer.materials or done.families & rule.used.beside:
                return done.at
        return None
