"""Values of a recipe in words, as a sentence about a change shows them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from mothermold.compare.fields import TITLED
from mothermold.compare.pairing import bare
from mothermold.compare.phrases import VALUES
from mothermold.quantities.wording import percent_words

Titles = Mapping[str, str]
"""What materials, mixes and steps are called, by name or id; what is missing is called by its name."""


def titled(name: str, titles: Titles) -> str:
    """What something is called."""
    return titles.get(bare(name), bare(name))


def capital(text: str) -> str:
    """A text with a capital at its head."""
    return text[:1].upper() + text[1:]


def all_of(names: Sequence[Any], field: str, titles: Titles) -> str:
    """Names in a row, as one says them."""
    said = [shown(name, field, titles) for name in names]
    glue = "” and “" if field == "watch" else " and "
    comma = "”, “" if field == "watch" else ", "
    return said[0] if len(said) == 1 else f"{comma.join(said[:-1])}{glue}{said[-1]}"


def shown(value: Any, field: str, titles: Titles) -> str:
    """A value as written, in words."""
    if isinstance(value, Mapping):
        return _GROUPS.get(field, _plain_group)(value, titles)
    if isinstance(value, list | tuple):
        return all_of(value, field, titles) if value else ""
    if field in ("percent", "share"):
        return percent_words(value)
    said = VALUES.get(field, {}).get(str(value), str(value))
    if field == "with":
        return said.replace("-", " ")
    return titled(said, titles) if field in TITLED else said


def amount_words(part: Any, titles: Titles) -> str:
    """How much of a part goes in, with what a percent is of; nothing where the part does not say."""
    said = part if isinstance(part, Mapping) else {}
    if "percent" in said:
        of = of_words(said["of"], titles) if "of" in said else "something not stated"
        return f"{percent_words(said['percent'])} of {of}"
    if "parts" in said:
        return f"{said['parts']} {'part' if str(said['parts']) == '1' else 'parts'}"
    if "match" in said:
        return f"matched by eye to {said['match']}"
    return str(said.get("amount", ""))


def of_words(names: Any, titles: Titles) -> str:
    """What a percent is of."""
    if isinstance(names, list):
        return " + ".join(of_words(name, titles) for name in names)
    premix, slash, inner = str(names).partition("/")
    if slash:
        return f"the {titled(inner, titles)} in {titled(premix, titles)}"
    return {"the-rest": "the rest", "total": "the total"}.get(premix, titled(premix, titles))


def _given(group: Mapping[str, Any], **words: str) -> list[str]:
    """What is said of those keys that the group has."""
    return [pattern.format(group[key]) for key, pattern in words.items() if key in group]


def _coats(group: Mapping[str, Any], _titles: Titles) -> str:
    told = [f"{group['count']} {'coat' if str(group['count']) == '1' else 'coats'}"]
    return ", ".join([*told, *_given(group, between="{} between them", last="{} after the last")])


def _timed(group: Mapping[str, Any], titles: Titles) -> str:
    told = str(group["time"]) + (f" at {group['at']}" if "at" in group else "")
    return told + (f", {shown(group['basis'], 'basis', titles)}" if "basis" in group else "")


def _within(group: Mapping[str, Any], titles: Titles) -> str:
    of = f" from the end of its {shown(group['from'], 'from', titles)}" if "from" in group else ""
    return f"within {group['time']} of {titled(group['after'], titles)}{of and f', counted{of}'}"


def _until(group: Mapping[str, Any], _titles: Titles) -> str:
    told = _given(group, usual="usually {}", longest="at most {}")
    return str(group["what"]).rstrip(".") + (f" ({', '.join(told)})" if told else "")


def _wait(group: Mapping[str, Any], titles: Titles) -> str:
    if "demold" in group:
        return f"until {titled(group['demold'], titles)} can be demolded"
    if "full_cure" in group:
        return f"until {titled(group['full_cure'], titles)} has its full cure"
    return str(group["time"])


def _allowance(group: Mapping[str, Any], _titles: Titles) -> str:
    told = [percent_words(group["percent"])] if "percent" in group else []
    more = _given(
        group, left_in_cups="{} left in cups", smallest_batch="at least {}", largest_batch="at most {} a batch"
    )
    return ", ".join([*told, *more])


def _gives(group: Mapping[str, Any], titles: Titles) -> str:
    names = [titled(str(each["id"]), titles) for each in group.get("surfaces", ())]
    told = [str(group["what"])] if "what" in group else []
    return ", ".join([*told, *([f"with {' and '.join(names)}"] if names else [])])


def _plain_group(group: Mapping[str, Any], titles: Titles) -> str:
    return ", ".join(f"{name.replace('_', ' ')} {shown(value, name, titles)}" for name, value in group.items())


def _covers(group: Mapping[str, Any], _titles: Titles) -> str:
    return f"{group['area']}, {group['thick']} thick"


def _yields(group: Mapping[str, Any], _titles: Titles) -> str:
    return ", ".join(f"{count} {kind}" for kind, count in group.items())


_GROUPS: Final = {
    "coats": _coats, "pot_life": _timed, "demold": _timed, "full_cure": _timed, "within": _within, "until": _until,
    "wait": _wait, "allowance": _allowance, "gives": _gives, "covers": _covers, "yields": _yields,
}  # fmt: skip
