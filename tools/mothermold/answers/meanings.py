"""What each notice means, why it matters, and what to write instead."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import Annotated, Any, Final

from mothermold.answers.question import Typed, argument, question
from mothermold.answers.result import Result
from mothermold.ground.errors import refused
from mothermold.ground.reading import read_table
from mothermold.ground.words import nearest
from mothermold.trade.rules import Rule, rules
from mothermold.trade.vocabulary import FAMILIES

_FILE: Final = Path(__file__).with_name("meanings.yaml")

EMPTY: dict[str, Any] = {
    "code": None, "severity": None, "title": None, "why": None, "wrong": None, "right": None, "codes": [],
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a notice means.

    Attributes:
        code: Its code.
        severity: Its usual severity.
        title: What it says, in a sentence.
        why: Why it matters and what to do.
        wrong: An example that gives it.
        right: The same, mended.
    """

    code: str
    severity: str
    title: str
    why: str
    wrong: str = ""
    right: str = ""


@lru_cache(maxsize=1)
def meanings() -> dict[str, Meaning]:
    """All notices by code."""
    told = read_table(_FILE)
    return {code: Meaning(code, **fields) for code, fields in told.items()}


@lru_cache(maxsize=1)
def rule_meanings() -> dict[str, Meaning]:
    """The rules of what must not touch what, each told as a notice is."""
    return _meanings_of(rules())


def _meanings_of(told: Mapping[str, Rule]) -> dict[str, Meaning]:
    return {name: Meaning(name, rule.severity, f"{rule.title}.", _rule_in_words(rule)) for name, rule in told.items()}


def _rule_in_words(rule: Rule) -> str:
    happens = rule.happens[:1].upper() + rule.happens[1:]
    accepted = (
        "It can hurt somebody badly and cannot be accepted."
        if rule.severe
        else f"It {rule.weighs}; it can be accepted under `accepts:`, with a reason that stays to be seen."
    )
    because = f" {rule.because}" if rule.because else ""
    return f"{happens}. {rule.instead}{because} {accepted} Source: {rule.source}."


def explain(code: str | None, own: Mapping[str, Rule] = MappingProxyType({})) -> Result:
    """One notice explained, or the list of all of them.

    Args:
        code: Its code; None for the list.
        own: The rules the book adds, where one is asked in a book.

    Raises:
        RefusedError: ``unknown-code`` with the near one.
    """
    known = meanings() | rule_meanings()
    known |= {name: meaning for name, meaning in _meanings_of(own).items() if name not in known}
    if code is None:
        rows = [{"code": each.code, "severity": each.severity, "title": each.title} for each in known.values()]
        return Result({**EMPTY, "codes": rows})
    if code not in known:
        near = nearest(code, known)
        raise refused(
            "unknown-code",
            f"No notice has the code `{code}`.",
            f"Did you mean `{near}`?" if near else "Type `mothermold about` for all of them.",
        )
    told = asdict(known[code])
    if code == "unknown-family":
        told["why"] += f" Known are: {', '.join(FAMILIES)}."
    return Result({**told, "codes": []})


def _text(result: Result) -> str:
    data = result.data
    if data["code"] is None:
        return "".join(f"{row['code']:<24} {row['severity']:<8} {row['title']}\n" for row in data["codes"])
    lines = [f"{data['code']} ({data['severity']})", "", data["title"], "", *textwrap.wrap(data["why"], 96), ""]
    for word in ("wrong", "right"):
        if data[word]:
            lines += [f"{word}:", *(f"    {line}" for line in data[word].rstrip("\n").split("\n")), ""]
    return "\n".join(lines)


@question("about", empty=EMPTY, text=_text, page="about.html")
def explain_here(
    root: Path | None,
    code: Annotated[Typed, argument("CODE", "the notice's code, like unknown-key")] = None,
) -> Result:
    """As ``explain``, with the rules that the book one stands in adds."""
    if root is None:
        return explain(code)
    from mothermold.view.ruling import added_rules  # noqa: PLC0415 - outside of a book nothing reads one

    return explain(code, added_rules(root))
