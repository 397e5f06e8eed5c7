"""Where a recipe, or a chain of things, breaks a rule, and where a step keeps it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from mothermold.model.material import Material
from mothermold.model.recipe import Recipe
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.mixes import resolve
from mothermold.trade.keeping import Keeping, dries, minutes_since, same_work
from mothermold.trade.layers import RESINS, Act, Contact, Face, Layer, LayerPlace, damp_since
from mothermold.trade.rules import Met, Rule, Used, rules


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
    at: LayerPlace
    used: str
    meets: str
    surface: str
    since: LayerPlace | None = None
    kept_by: LayerPlace | None = None
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
    if not _is_used(rule.used, recipe, contact, materials):
        return None
    act, used, met = contact.act, rule.used, rule.met
    # A step without a use is there with what stands in it.
    mine = _named(act.materials, used.families, materials) or sorted(act.by & used.by)
    if met is None or met.worn or met.near:
        cause = _cause(met, contact) if met else None
        if met and cause is None:
            return None
        beside = _named(act.materials, used.beside, materials)
        layer = Layer(frozenset(), frozenset(cause.materials if cause else beside), act=cause)
        theirs = _named(layer.materials, met.near, materials) if met and met.near else []
        keeping = Keeping(rule, contact, layer, cause.number if cause else -1)
        return _finding(keeping, mine, theirs or sorted(layer.materials), tests)
    for layer in contact.face.touched(lambda each: bool(each.families & met.through) or _is_remedy(rule, each)):
        since = _meets(met, layer, contact)
        if since is not None:
            left = frozenset(name for trace in layer.traces for name in trace.materials)
            theirs = _named(layer.materials, met.families, materials) or _named(left, met.traces, materials)
            return _finding(Keeping(rule, contact, layer, since), mine, theirs, tests)
    return None


def _is_used(used: Used, recipe: Recipe, contact: Contact, materials: Mapping[str, Material]) -> bool:
    """Whether a contact is the use, or the step with the equipment, that a rule asks for."""
    act = contact.act
    if contact.use is None and (used.families or not used.by):
        return False
    return not (
        (contact.use is not None and (not act.families & used.families or act.role not in used.roles))
        or (used.by and not act.by & used.by)
        or (used.stages and recipe.stage not in used.stages)
        or (used.colder_than is not None and (act.warmest is None or act.warmest >= used.colder_than))
        or (used.beside and not act.families & used.beside)
        or (used.above is not None and _percent(recipe, contact, used, materials) <= used.above)
    )


def _finding(keeping: Keeping, used: Sequence[str], meets: Sequence[str], tests: Sequence[Tried]) -> Finding:
    """The finding, with the step or the test that keeps the rule."""
    rule, contact, laid = keeping.rule, keeping.contact, keeping.layer.act
    finding = Finding(
        rule,
        contact.act.at,
        (*used, "")[0],
        (*meets, "")[0],
        contact.surface,
        laid.at if laid else None,
        keeping.step(),
    )
    if finding.kept_by is not None or rule.severe or not rule.tried:
        return finding
    if trial := keeping.trial():
        return replace(finding, kept_by=trial)
    for test in tests:
        if test.between & set(used) and test.between & set(meets):
            # The latest test wins: a pass of March says nothing after a failure in May.
            passed, failed = (test.run, None) if test.passed else (None, test.run)
            finding = replace(finding, tested=passed, failed=failed)
    return finding


def _is_remedy(rule: Rule, layer: Layer) -> bool:
    """Whether a layer is what should lie between: then what is under it is looked at all the same, to name the step."""
    return any(
        remedy.kind == "layer" and remedy.fits(layer.families, layer.role) for way in rule.kept_by for remedy in way
    )


def _percent(recipe: Recipe, contact: Contact, used: Used, materials: Mapping[str, Material]) -> Fraction:
    """How many percent, by weight, the parts of ``beside`` come to of those of ``families`` in the mix used."""
    if contact.use is None or not contact.use.mix:
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


def _cause(met: Met, contact: Contact) -> Act | None:
    """What a rule asks for that is no layer: the gloves last put on, or what evaporated last before a contact."""
    before = [act for act in contact.earlier if same_work(act, contact.act)]
    if met.near:
        # What is dried is no longer open.
        open_ = [each for each in before if each.role not in ("", "dry") and (each.thinned or each.families & met.near)]
        return max(open_, key=lambda each: each.works_until, default=None)
    worn = [act for act in before if act.role == "protect" and act.everywhere and act.families & met.worn]
    return worn[-1] if worn else None


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
    waited = minutes_since(layer, contact)
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
    return next((each.number for each in face.moments if each.number > laid and dries(each)), None)
