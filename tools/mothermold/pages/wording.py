"""What the parts, uses and steps of a recipe say, in words of a line; and rows for what has no better place."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, Final

from mothermold.book.document import Document
from mothermold.compare.phrases import VALUES
from mothermold.model.parts import Coats, Part
from mothermold.model.recipe import Mix, MixPart, Recipe, Step, Use
from mothermold.model.walk import KeyPath
from mothermold.pages.content import unsaid
from mothermold.quantities.wording import minutes_in_words, percent_words
from mothermold.reckon.work import WorkStep
from mothermold.trade.cautions import HungSheet
from mothermold.trade.vocabulary import ROLES
from mothermold.view.view import View

Rows = list[tuple[str, Any]]

_COATS: Final = "coats.count coats.between coats.last"
_PLACES: Final[Mapping[type[Part], str]] = {
    Recipe: (
        "title stage version status why fixes yields needs mixes steps off pictures accepts.rule accepts.where accepts.because "
        "surfaces.id surfaces.material surfaces.from surfaces.surface gives.what "
        "gives.surfaces.id gives.surfaces.material gives.surfaces.from gives.surfaces.surface"
    ),
    Mix: (
        "id title once by parts batch fills covers.area covers.thick allowance.percent pot_life.time pot_life.at "
        "pot_life.basis demold.time demold.at demold.basis full_cure.time full_cure.at full_cure.basis"
    ),
    MixPart: "material mix parts percent of amount match by temperature",
    Step: (
        "id phase title do hands_on people after within.time within.after within.from uses with starts "
        "wait.time wait.demold wait.full_cure until.what until.usual until.longest holds once may_pause zone "
        f"temperature check watch pictures {_COATS}"
    ),
    Use: f"material mix as on amount how share {_COATS}",
}
SHOWN: Final = {model: tuple(places.split()) for model, places in _PLACES.items()}
"""What the page of a recipe shows in words or at a place of its own; whatever else one says stands there in rows."""


def rows_of(said: Mapping[str, Any], shown: Iterable[str] = ()) -> Rows:
    """What a group of keys says, but what is shown elsewhere, as rows of a table.

    Args:
        said: The keys and their values, as written.
        shown: What is shown elsewhere: a key, or ``key.inner`` where of its groups only that is.
    """
    within: dict[str, list[str]] = {}
    for place in shown:
        key, _, inner = place.partition(".")
        within.setdefault(key, []).append(inner)
    found: Rows = []
    for key, value in said.items():
        if key not in within:
            found.append((key.replace("_", " "), value))
        elif "" not in within[key]:
            # A group may be written short, as one value: that stands for what is shown of it.
            groups = value if isinstance(value, list) else [value]
            found += [row for group in groups if isinstance(group, Mapping) for row in rows_of(group, within[key])]
    return found


def document_rows(view: View, document: Document, said: Iterable[KeyPath] = ()) -> Rows:
    """What a document says and no path of these covers, key by key; who may see it and where it lies only its owner is told."""
    known = (*said, *((key,) for key in _not_told(view)))
    return [*((_label(path), value) for path, value in unsaid(document.said, known)), *_file_row(view, document)]


def recipe_rows(view: View, document: Document) -> Rows:
    """The same for a text of a recipe, whose page shows what ``SHOWN`` names."""
    return [*rows_of(document.said, (*SHOWN[Recipe], *_not_told(view))), *_file_row(view, document)]


def _not_told(view: View) -> tuple[str, ...]:
    return ("format",) if view.edition == "private" else ("format", "visibility")


def _file_row(view: View, document: Document) -> Rows:
    return [("written in", document.file)] if view.edition == "private" else []


def _label(path: KeyPath) -> str:
    """Where something stands, as one reads it: ``cups 2 note``."""
    return " ".join(str(part + 1) if isinstance(part, int) else part.replace("_", " ") for part in path)


def spoken(name: str) -> str:
    """A short name as one reads it: ``mold face`` for ``mold-face``."""
    return name.replace("-", " ")


def gear_words(names: Iterable[str]) -> str:
    """The equipment and actions of a step in a row, to follow "with"."""
    return ", ".join(VALUES["with"].get(name, spoken(name)) for name in names)


def held_words(holder: str) -> str:
    """What a waiting keeps busy, to follow "ties up"."""
    return VALUES["holds"].get(holder, f"the {holder}")


def sheets_by_place(sheets: Iterable[HungSheet]) -> list[tuple[str | None, list[HungSheet]]]:
    """The makers' sheets by where they hang, in order of use; last those the book knows no place of."""
    found: dict[str | None, list[HungSheet]] = {}
    for sheet in sheets:
        found.setdefault(sheet.where, []).append(sheet)
    return sorted(found.items(), key=lambda place: place[0] is None)


def amount_words(part: MixPart, titles: Mapping[str, str]) -> str:
    """How much of a part, as written, its materials by their titles."""
    words = []
    if part.parts is not None:
        words.append(f"{part.parts} {'part' if str(part.parts) == '1' else 'parts'}")
    if part.percent is not None:
        words.append(f"{percent_words(part.percent)} of {' + '.join(_base(of, titles) for of in part.of)}")
    if part.amount is not None:
        words.append(str(part.amount))
    if part.match:
        words.append(f"to match {spoken(str(part.match))}")
    return ", ".join(words) + (f" by {part.by}" if part.by else "")


def _base(of: str, titles: Mapping[str, str]) -> str:
    """What a percent is of, in words: a material, one inside a premix, the rest or the total."""
    premix, inside, name = of.rpartition("/")
    words = {"the-rest": "the rest", "total": "the total", **titles}.get(name, name)
    return f"{words} in {titles.get(premix, premix)}" if inside else words


def coats_words(coats: Coats | None) -> str:
    """How many coats, and the waiting between and after them."""
    if coats is None:
        return ""
    words = [f"{coats.count} {'coat' if int(coats.count) == 1 else 'coats'}"]
    if coats.between:
        words.append(f"{coats.between} between")
    if coats.last:
        words.append(f"{coats.last} after the last")
    return ", ".join(words)


def use_words(use: Use) -> str:
    """What something is used to do, on what, how and how much; every role the tool knows is also a verb."""
    words = [f"to {use.as_}" if use.as_ in ROLES else f"as {use.as_}"]
    if use.on:
        words.append("on " + ", ".join(spoken(name) for name in use.on))
    if use.how:
        words.append(f"by {use.how}")
    if use.amount is not None:
        words.append(str(use.amount))
    if use.share is not None:
        words.append(f"{percent_words(use.share)} of it")
    if use.coats is not None:
        words.append(coats_words(use.coats))
    return ", ".join(words)


def waiting_words(work: WorkStep) -> str:
    """The waiting of a step as written, with its length where that is reckoned; nothing where it waits for a sign."""
    step = work.step
    if step.until is not None and step.wait is None:
        return ""
    minutes = work.minutes - work.hands_on
    reckoned = minutes_in_words(minutes) if minutes else ""
    if step.wait is None:
        return reckoned
    words = [str(step.wait.time)] if step.wait.time is not None else []
    for name, end in ((step.wait.demold, "is firm enough to demold"), (step.wait.full_cure, "is fully cured")):
        if name is not None:
            mix = work.mixes.get(name)
            words.append(f"until {(mix.title if mix else None) or name} {end}")
    said = ", ".join(words)
    if reckoned and (step.coats or any(use.coats for use in step.uses)):
        return f"{said} ({reckoned} in all, with the coats)"
    return f"{said} ({reckoned})" if reckoned and step.wait.time is None else said
