"""What the rules say on pages: beside the step where one bites, below the steps what keeps the others, and all of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from mothermold.answers.result import title_words
from mothermold.model.build import Build
from mothermold.model.parts import Accept
from mothermold.model.recipe import Recipe
from mothermold.pages.addresses import RULES
from mothermold.pages.page import Page, render
from mothermold.pages.touch import meetings_shown
from mothermold.trade.findings import Finding
from mothermold.trade.pairs import can_meet, meetings
from mothermold.trade.rules import WEIGHTS, Rule, rules
from mothermold.trade.skin import removers
from mothermold.trade.unused import ADVISED
from mothermold.trade.vocabulary import family_words
from mothermold.view.view import View


@dataclass(frozen=True, slots=True)
class FindingShown:
    """A finding in the words of a page.

    Attributes:
        rule: The rule.
        meeting: What meets what, as ``Isopropanol on Film``.
        step: Where, by the step's id.
        title: The step's title.
        thing: The thing of a build, where the finding is of one.
        kept: What keeps it, in words; empty where nothing does.
        because: The reason for which it is accepted; empty where it is not.
    """

    rule: Rule
    meeting: str
    step: str
    title: str
    thing: str
    kept: str
    because: str


@dataclass(frozen=True, slots=True)
class ToldRules:
    """The findings of a recipe or a build: those that bite or are accepted, the rules that are kept, idle acceptances, advice set aside."""

    open: Sequence[FindingShown]
    kept: Sequence[FindingShown]
    idle: Sequence[Accept] = ()
    advice: Sequence[Accept] = ()

    def at(self, step: str) -> list[FindingShown]:
        """Those that bite, or are accepted, at a step."""
        return [each for each in self.open if each.step == step]


def along_recipe(view: View, address: str, recipe: Recipe) -> ToldRules:
    """What the rules say along one recipe version."""
    return _told(view.ruling.of_recipe(address, recipe), title_words(view), recipe.accepts)


def along_build(view: View, name: str, build: Build) -> ToldRules:
    """What they say along the things of a build, where one thing meets what another left."""
    titles = title_words(view)
    findings = [finding for link in view.ruling.build(name) for finding in link.findings]
    across = [each for each in findings if each.open or (each.kept_by and each.kept_by.thing != each.at.thing)]
    return _told(across, titles, build.accepts)


def _told(findings: Sequence[Finding], titles: Mapping[str, str], accepts: Sequence[Accept]) -> ToldRules:
    shown = [_shown(each, titles) for each in findings if each.open]
    kept: dict[tuple[str, str], FindingShown] = {}
    for each in findings:
        if not each.open:
            # A rule kept by one step is told once, however often it applies.
            words = _shown(each, titles)
            kept.setdefault((each.rule.id, words.kept), words)
    said = {(each.rule.id, each.because) for each in shown}
    return ToldRules(
        shown,
        list(kept.values()),
        [each for each in accepts if (each.rule, str(each.because)) not in said and each.rule not in ADVISED],
        [each for each in accepts if each.rule in ADVISED],
    )


def _shown(finding: Finding, titles: Mapping[str, str]) -> FindingShown:
    used, meets = (titles.get(name, name) for name in (finding.used, finding.meets))
    meeting = used
    if meets:
        meeting += f" {'on' if finding.surface else 'with'} {meets}"
    kept = ""
    if finding.kept_by is not None:
        kept = f"“{finding.kept_by.title}”"
        if finding.kept_by.thing and finding.kept_by.thing != finding.at.thing:
            kept += f" at {finding.kept_by.thing.replace('-', ' ')}"
    elif finding.tested is not None:
        kept = f"the test {finding.tested}"
    thing = (finding.at.thing or "").replace("-", " ")
    because = finding.accepted or ""
    return FindingShown(finding.rule, meeting, finding.at.step, finding.at.title, thing, kept, because)


def rules_page(view: View) -> Page:
    """All rules, worst first, those the book adds, and what no rule knows; the same in every edition."""
    groups = [(weight, [each for each in rules().values() if each.weighs == weight]) for weight in WEIGHTS]
    own = sorted(view.ruling.own.values(), key=lambda each: list(WEIGHTS).index(each.weighs))
    unknown = [each for each in meetings() if each.not_known]
    return render(
        view,
        "rules.html",
        RULES[0],
        RULES[1],
        groups=groups,
        own=own,
        removers=removers(),
        speaks=lambda rule: [each for each in meetings_shown() if rule in each.rules],
        unknown=[(_names(each.used), _names(each.met), each.not_known) for each in unknown],
        meeting=len(can_meet()),
        in_doubt=sum(len(each.pairs) for each in unknown),
    )


def _names(families: Sequence[str]) -> str:
    return ", ".join(map(family_words, families))
