"""*May this touch that?*: two choosers and one answer, and every kind of material against every surface, out of the table of pairs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final

from mothermold.answers.result import title_words
from mothermold.desk.asking import Offer
from mothermold.model.material import Material
from mothermold.model.run import Run
from mothermold.pages.addresses import TOUCH
from mothermold.pages.page import Page, render
from mothermold.trade.pairs import VERDICTS, Meeting, Pair, TouchVerdict, meetings
from mothermold.trade.rules import Rule, rules
from mothermold.trade.vocabulary import family_words
from mothermold.view.view import View

SIGNS: Final[Mapping[TouchVerdict, str]] = {
    "never": "✕", "can hurt": "■", "stops the job": "▲", "damages the result": "◆", "is a nuisance": "◇", "not known": "?", "fine": "○",
}  # fmt: skip
"""What stands in the table, so that it is told by its shape as by its color."""
SAID: Final[Mapping[TouchVerdict, str]] = {
    "never": "Never: somebody can be hurt, and nothing at the bench makes it right.",
    "can hurt": "Not just like that: it can hurt somebody. Only as said below.",
    "stops the job": "Not just like that: it stops the job. Only as said below.",
    "damages the result": "Not just like that: it damages the result. Only as said below.",
    "is a nuisance": "It is a nuisance, unless it is done as said below.",
    "not known": "Nobody here knows. That is no all-clear: try a spot first, and check both makers' sheets.",
    "fine": "Fine in its usual use, by common practice without a source. The makers' sheets override it.",
}
"""The answer in a sentence."""


@dataclass(frozen=True, slots=True)
class MeetingShown:
    """A row of the table of pairs.

    Attributes:
        id: Where it stands on the page.
        used: What is put on, in words.
        met: What it is put on.
        verdict: The worst that is said of it.
        rules: The rules that speak of it, worst first.
        fine: Why it is fine; empty where it is not said to be.
        not_known: What is not known of it.
    """

    id: str
    used: str
    met: str
    verdict: TouchVerdict
    rules: Sequence[Rule]
    fine: str
    not_known: str


@dataclass(frozen=True, slots=True)
class TriedShown:
    """A test of two materials: the run, when, what it put together, in words too, and whether it passed."""

    run: str
    day: str
    between: Sequence[str]
    words: str
    passed: bool


def touch_page(view: View) -> Page:
    """The page; what a book adds, its materials and its tests are those of the edition."""
    rows = meetings_shown()
    at: dict[Pair, MeetingShown] = {
        pair: row for row, each in zip(rows, meetings(), strict=True) for pair in each.pairs
    }
    used, met = (list(dict.fromkeys(pair[side] for pair in at)) for side in (0, 1))
    places: dict[str, list[str]] = {}
    for name, material in view.models(Material).items():
        row = next((str(family) for family in material.families if str(family) in used), "")
        places.setdefault(row, []).append(name)
    order = {family: place for place, family in enumerate(("skin", "hair", *view.words.families))}
    used.sort(key=lambda family: order[family])
    met.sort(key=lambda family: order[family])
    return render(
        view, "touch.html", TOUCH[0], TOUCH[1], rows=rows, signs=SIGNS, said=SAID, verdicts=VERDICTS,
        used=used, met=met, table=[(family, [at.get((family, other)) for other in met]) for family in used],
        materials=[(name, str(each.title), " ".join(each.families)) for name, each in _by_title(view)],
        families=_offers(view.words.families), surfaces=_offers(["skin", *view.words.families]),
        places_of=places, rowless=places.get("", ()), own=list(view.ruling.own.values()), tests=_tried(view),
    )  # fmt: skip


@cache
def meetings_shown() -> tuple[MeetingShown, ...]:
    """Every row of the table of pairs, as it stands on the page."""
    return tuple(_shown(f"m-{number}", each) for number, each in enumerate(meetings(), start=1))


def _shown(place: str, meeting: Meeting) -> MeetingShown:
    told = sorted(
        (rules()[each] for each in meeting.rules), key=lambda rule: (not rule.severe, VERDICTS.index(rule.weighs))
    )
    return MeetingShown(
        place, _names(meeting.used), _names(meeting.met), meeting.verdict, told, meeting.fine, meeting.not_known
    )  # fmt: skip


def _names(families: Iterable[str]) -> str:
    return ", ".join(map(family_words, families))


def _by_title(view: View) -> list[tuple[str, Material]]:
    return sorted(view.models(Material).items(), key=lambda each: (str(each[1].title).casefold(), each[0]))


def _offers(families: Iterable[str]) -> list[Offer]:
    return sorted((Offer(family, family_words(family)) for family in families), key=lambda offer: offer.words)


def _tried(view: View) -> list[TriedShown]:
    """The tests of two materials, newest first: of several of the same pair the newest counts, as in the rules."""
    titles, runs = title_words(view), view.models(Run)
    return [
        TriedShown(
            each.run, f"{runs[each.run].started:%Y-%m-%d}", sorted(each.between),
            ", ".join(titles.get(name, name) for name in sorted(each.between)), each.passed,
        )
        for each in reversed(view.ruling.tests)
    ]  # fmt: skip
