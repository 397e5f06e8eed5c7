"""A recipe begun from an old note: each line with what it was taken for, the amounts found in it, and the materials it may mean.

Nothing is taken silently: what was found stands beside the line it was found in, and a material counts only where the line names it
in full or somebody chose it. No amount goes anywhere but to a part of a mix; times and temperatures are only shown.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final, Literal, get_args

from mothermold.desk.asking import Offer
from mothermold.desk.drafts.questions import short_id
from mothermold.desk.matching import sought
from mothermold.desk.shop import Shop
from mothermold.quantities import Dimension, QuantityError, parse
from mothermold.quantities.units import UNITS
from mothermold.view.view import View

TakenFor = Literal["title", "heading", "step", "part", "nothing"]

_UNITS: Final = "|".join(re.escape(unit) for unit in sorted(UNITS, key=len, reverse=True))
_ONE: Final = rf"\d+(?:\.\d+)?(?: ?(?:-|–|to) ?\d+(?:\.\d+)?)? ?(?:{_UNITS})(?![^\W\d_])"
_AMOUNT: Final = re.compile(rf"(?<![\w.,/]){_ONE}(?: (?={_ONE}){_ONE})?")
_PARTS: Final = re.compile(r"(?<![\w.,/])(\d+(?:\.\d+)?) parts?\b(?: of)?", re.IGNORECASE)
_MARK: Final = re.compile(r"\s*(?:[-*•–]|\d{1,2}[.)]|\(\d{1,2}\)|[a-z]\))\s+")
_WEIGHED: Final[frozenset[Dimension]] = frozenset({"mass", "volume", "share", "drops", "pieces"})
_LONGEST_TITLE: Final = 60
# So many words beside an amount may name a material; more tell what is done with it.
_NAMING: Final = 6
_MOST_LINES: Final = 400
_LONGEST: Final = 2_000


@dataclass(frozen=True, slots=True)
class FoundAmount:
    """An amount in a line: as it was written, and from which character to which."""

    text: str
    dimension: Dimension
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class NoteLine:
    """A line of a note.

    Attributes:
        number: Which line, from 1.
        text: The line.
        taken: What it was taken for.
        words: What is left of it without a mark or number before it.
        amounts: The amounts in it.
        materials: The materials of the book a part may be; the first is meant where the line names it in full.
        sure: Whether it does.
    """

    number: int
    text: str
    taken: TakenFor
    words: str = ""
    amounts: tuple[FoundAmount, ...] = ()
    materials: tuple[Offer, ...] = ()
    sure: bool = False


@dataclass(frozen=True, slots=True)
class OldNote:
    """A note, line by line."""

    lines: tuple[NoteLine, ...]

    def said(self, chosen: Mapping[int, str] = MappingProxyType({})) -> Mapping[str, Any]:
        """What a new recipe's form is begun with.

        Args:
            chosen: The materials of parts, by the number of the line, with nothing for none; of a line not among them only what is named in full is one.
        """
        title = next((line.words for line in self.lines if line.taken == "title"), "")
        steps: list[dict[str, str]] = []
        mixes: list[dict[str, Any]] = []
        heading, is_going_on = "", False
        for line in self.lines:
            match line.taken:
                case "heading":
                    heading, is_going_on = line.words, False
                case "part" if material := chosen.get(line.number, line.materials[0].value if line.sure else ""):
                    if not is_going_on:
                        taken = [*(mix["id"] for mix in mixes), *(each.value for each in line.materials)]
                        number = f"mix-{len(mixes) + 1}"
                        mixes.append({"id": short_id(heading, taken, number), "title": heading, "parts": []})
                        is_going_on = True
                    mixes[-1]["parts"].append({"material": material, **_how_much(line.amounts[0])})
                case "step" | "part":
                    # A part of which nobody knows the material keeps its words as a step.
                    steps.append(_step(line, heading, [step["id"] for step in steps]))
                    is_going_on = False
        return {key: each for key, each in (("title", title), ("mixes", mixes), ("steps", steps)) if each}


def from_text(view: View, text: str) -> OldNote:
    """Takes a note apart.

    Args:
        view: The owner's book, for its materials.
        text: The note as it was pasted; of one longer than 400 lines the first.
    """
    materials = Shop(view).titled("material")
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")[:_MOST_LINES]
    first = next((number for number, line in enumerate(lines) if line.strip()), -1)
    return OldNote(
        tuple(_line(number, line[:_LONGEST], materials, is_first=number == first) for number, line in enumerate(lines))
    )


def _line(number: int, text: str, materials: list[Offer], *, is_first: bool) -> NoteLine:
    mark = _MARK.match(text)
    words = text[mark.end() :].strip() if mark else text.strip()
    amounts = tuple(_amounts(text))
    if not re.search(r"\w", words):
        return NoteLine(number + 1, text, "nothing")
    if words.endswith(":") and not amounts:
        return NoteLine(number + 1, text, "heading", words.rstrip(": "))
    if part := _part(number + 1, text, words, amounts, materials):
        return part
    is_title = is_first and mark is None and not amounts and len(words) <= _LONGEST_TITLE
    return NoteLine(number + 1, text, "title" if is_title else "step", words, amounts)


def _amounts(text: str) -> Iterator[FoundAmount]:
    found = [(match[0], match.start(), match.end()) for match in _AMOUNT.finditer(text)]
    found += [(match[1], match.start(), match.end()) for match in _PARTS.finditer(text)]
    for written, start, end in sorted(found, key=lambda each: each[1]):
        try:
            dimension = parse(written, get_args(Dimension)).dimension
        except QuantityError:
            continue
        yield FoundAmount(written, dimension, start, end)


def _part(
    number: int, text: str, words: str, amounts: tuple[FoundAmount, ...], materials: list[Offer]
) -> NoteLine | None:
    """A line that says one amount and names something: a part of a mix."""
    if len(amounts) != 1 or amounts[0].dimension not in (*_WEIGHED, "number"):
        return None
    only = amounts[0]
    mark = len(text) - len(text.lstrip()) if words == text.strip() else text.index(words)
    before, behind = text[mark : only.start].strip(" :,-–="), text[only.end :].strip(" :,-–=.")
    if before and behind:
        return None
    name = re.sub(r"^of ", "", before or behind)
    if not name or len(name.split()) > _NAMING:
        return None
    found = sought(name, materials, ())
    if not found.offers:
        return None
    return NoteLine(number, text, "part", words, amounts, found.offers, sure=found.typed and found.guess is not None)


def _how_much(amount: FoundAmount) -> Mapping[str, str]:
    key = {"number": "parts", "share": "percent"}.get(amount.dimension, "amount")
    return {key: amount.text}


def _step(line: NoteLine, heading: str, taken: list[str]) -> dict[str, str]:
    first = re.split(r"(?<=[.;!])\s", line.words)[0].rstrip(".;")
    title = first if len(first) <= _LONGEST_TITLE else f"{first[:_LONGEST_TITLE].rpartition(' ')[0]} ..."
    step = {"id": short_id(title, taken, f"step-{len(taken) + 1}"), "phase": heading, "title": title}
    step["do"] = line.words if line.words.rstrip(".;") != title else ""
    return {key: each for key, each in step.items() if each}
