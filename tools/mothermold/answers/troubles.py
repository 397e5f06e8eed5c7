"""What keeps going wrong: open problems first, fixes that did not hold next, each by how often and how badly."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any, Final, Literal, get_args

from mothermold.answers.records import runs_with
from mothermold.model.failure import Failure
from mothermold.model.scalars import Harm
from mothermold.reckon.proportions import Verdict
from mothermold.view.view import View

FixAnswer = Literal["open"] | Verdict
HARMS: Final[tuple[str, ...]] = get_args(Harm)
"""What a failure can cost, the least first."""
_BEST: Final[tuple[Verdict, ...]] = ("held", "likely", "worse", "no better", "too few runs")
"""Of fixes in several recipes the one told: one that holds, else one known not to, else one nobody can tell of yet."""
HOLDS: Final = frozenset({"held", "likely"})
"""Of a fix: it answers the failure."""
_DID_NOT_HOLD: Final = frozenset({"worse", "no better"})
ANSWERS: Final[tuple[FixAnswer, ...]] = ("open", "worse", "no better", "too few runs", "likely", "held")
"""What can be said of a failure's fixes, what is worst first."""
ANSWER_WORDS: Final[dict[FixAnswer, str]] = {
    "open": "no fix yet", "worse": "worse since", "no better": "no better so far", "too few runs": "too few runs to say",
    "likely": "fix likely holds", "held": "fix held",
}  # fmt: skip
"""The same as one says it."""


@dataclass(frozen=True, slots=True)
class Trouble:
    """A failure, and how much of a trouble it is.

    Attributes:
        name: The note's name.
        title: Its title.
        seen_at: The stage where one meets it.
        symptoms: What it looks like.
        times: In how many runs it happened, first pulls too.
        harm: The worst it cost, by its note or in a run.
        answer: ``open`` without a fix, else whether the best of its fixes held.
    """

    name: str
    title: str
    seen_at: str
    symptoms: Sequence[str]
    times: int
    harm: str
    answer: FixAnswer

    @property
    def did_not_hold(self) -> bool:
        """Whether a fix is known, and the runs say that it does not hold."""
        return self.answer in _DID_NOT_HOLD

    @property
    def keeps_going_wrong(self) -> bool:
        """Whether it is open, its fix does not hold, it came more than once with no fix that does, or somebody was hurt."""
        unsettled = self.times > 1 or self.harm == HARMS[-1]
        return self.answer == "open" or self.did_not_hold or (unsettled and self.answer != "held")


def troubles(view: View) -> tuple[Trouble, ...]:
    """Every failure of the edition, the most pressing first; once for all pages of it."""
    return view.once.of("troubles", lambda: tuple(sorted(_found(view), key=_pressing)))


def trouble_of(view: View, name: str) -> Trouble | None:
    """A failure of the edition; None of one that cannot be read."""
    told = view.made.of(f"failure/{name}: trouble", partial(_told, view, name))
    return Trouble(name, *told) if told else None


def _found(view: View) -> Iterator[Trouble]:
    return (trouble for name in view.on("failure") if (trouble := trouble_of(view, name)) is not None)


def _told(view: View, name: str) -> list[Any]:
    """What is told of a failure; nothing of one that cannot be read."""
    failure = view.models(Failure).get(name)
    if failure is None:
        return []
    happened = runs_with(view, name)
    harms = [harm for harm in (failure.harm, *(entry.harm for _run, entry in happened)) if harm is not None]
    # Of each recipe its newest fix alone: that it held once says little where it had to be fixed again.
    newest = {fix.recipe: fix for fix in view.evidence.of(name).fixes}
    verdicts = sorted((fix.verdict for fix in newest.values()), key=_BEST.index)
    answer: FixAnswer = verdicts[0] if verdicts else "too few runs" if failure.fixes else "open"
    worst = max(harms, key=HARMS.index, default="")
    if worst == HARMS[-1] and answer in HOLDS:
        # Faces that went well are no proof for the next person's.
        answer = "too few runs"
    said = [str(failure.title), str(failure.seen_at), list(map(str, failure.symptoms))]
    return [*said, len(happened), str(worst), str(answer)]


def _pressing(each: Trouble) -> tuple[int, int, int, str]:
    rank = 0 if each.answer == "open" else 1 if each.did_not_hold else 2
    return rank, -each.times, -HARMS.index(each.harm) if each.harm else 1, each.name
