"""The rules a book adds, as rules of the same kind as the common ones.

They can be accepted and a passed test keeps them: what can hurt badly stands in the tool's own table alone.
"""

from __future__ import annotations

from mothermold.model.additions import OwnRule, OwnWords, RuleRemedy
from mothermold.trade.rules import BODIES, Met, Remedy, Rule, Used, rules


def own_rules(own: OwnWords | None) -> dict[str, Rule]:
    """The rules a book adds, by id; of one id the tool's comes first, then the first one written."""
    found: dict[str, Rule] = {}
    for each in own.rules if own is not None else ():
        if each.id not in rules():
            found.setdefault(str(each.id), _rule(each))
    return found


def _rule(told: OwnRule) -> Rule:
    use, met = told.use, told.meets
    ways = (_way(each) for each in told.kept_by)
    return Rule(
        str(told.id),
        _phrase(told.title) or str(told.id),
        told.weighs,
        severe=False,
        used=Used(_words(use.families), roles=_words(use.as_) or BODIES, stages=_words(use.stages)),
        met=None if met is None else Met(_words(met.families), _words(met.as_)),
        # Without something met nothing can lie between or dry first; `book.own_rule_faults` says so.
        kept_by=tuple(way for way in ways if way and (met is not None or all(each.kind == "done" for each in way))),
        happens=_phrase(told.happens),
        instead=_sentence(told.instead),
        because=_sentence(told.because) if told.because else "",
        source=_phrase(told.source),
    )


def _way(told: RuleRemedy) -> tuple[Remedy, ...]:
    way = [
        Remedy(kind, _words(families)) for kind, families in (("layer", told.layer), ("done", told.done)) if families
    ]
    if told.waited is not None:
        way.append(Remedy("waited", minutes=told.waited.value))
    return tuple(way)


def _words(names: tuple[str, ...]) -> frozenset[str]:
    return frozenset(map(str, names))


def _phrase(text: str) -> str:
    """A text on one line without its full stop: where it is said, the sentence around it has one."""
    return " ".join(text.split()).rstrip(".")


def _sentence(text: str) -> str:
    """A text on one line that ends as a sentence does: others may follow it."""
    line = " ".join(text.split())
    return line if line.endswith((".", "!", "?", "…")) else f"{line}."
