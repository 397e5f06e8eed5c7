"""*I made one*: which recipe it was, then all of the run on one page."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final
from urllib.parse import urlencode

from mothermold.desk.asking import Offer
from mothermold.desk.drafts.likely import usual_weight
from mothermold.desk.drafts.run import OUTCOMES
from mothermold.desk.forms.trees import name_of
from mothermold.desk.worked import Likely, Workable
from mothermold.ground.notices import Notice
from mothermold.model.material import Material
from mothermold.model.walk import KeyPath
from mothermold.pages.desk.paper import DeskPaper
from mothermold.pages.desk.photo_fields import AGAIN, PhotoFields
from mothermold.pages.page import Page

MADE: Final = "desk/made"
_FIRST: Final = 8
"""So many recipes stand open; the others are one press away."""


def kept_at(pin: str, at: str = MADE) -> str:
    """Under which address a browser keeps what was typed of a run of this version, on the page that lies there."""
    return f"{at}?{urlencode({'recipe': pin})}"


@dataclass(frozen=True, slots=True)
class Blank:
    """A short form as it is filled in: what stands in its fields, and what is said of them.

    Attributes:
        typed: What was typed, by name.
        told: What is said, by name; under nothing what belongs to no field of it.
    """

    typed: Mapping[str, Sequence[str]]
    told: Mapping[str, Sequence[Notice]]

    def said(self, name: str, otherwise: str = "") -> str:
        """What stands in a field."""
        return self.typed[name][-1] if self.typed.get(name) else otherwise

    def chosen(self, name: str) -> Sequence[str]:
        """What is ticked under a name."""
        return self.typed.get(name, ())

    def at(self, name: str) -> Sequence[Notice]:
        """What is said of a field."""
        return self.told.get(name, ())

    def began(self, again: bool) -> str:
        """What stands in its fields, as the page of a whole form says it: typed here, asked in the address, or opened."""
        return "typed" if again else "asked" if any(name != "recipe" for name in self.typed) else "opened"


def blank(
    typed: Sequence[tuple[str, str]], told: Mapping[KeyPath, Sequence[Notice]], names: Mapping[str, str]
) -> Blank:
    """A short form as it was filled in.

    Args:
        typed: What was typed.
        told: What is said of it, by path.
        names: By path, written as a name, the field of the short form it stands in.
    """
    texts: dict[str, list[str]] = {}
    for name, text in typed:
        texts.setdefault(name, []).append(text)
    found: dict[str, list[Notice]] = {}
    for path, notices in told.items():
        place = name_of(path)
        field = next((names[each] for each in names if place == each or place.startswith(f"{each}.")), "")
        found.setdefault(field, []).extend(notices)
    return Blank(texts, found)


def which_page(paper: DeskPaper, recipes: Sequence[Workable], failure: str, note: str, *, again: bool) -> Page:
    """Which recipe it was.

    Args:
        paper: The page.
        recipes: What may have been worked, the likeliest first.
        failure: The failure note that it went wrong by; empty for none.
        note: What that is called.
        again: Whether photos were chosen, and have to be once more.
    """
    # Of each recipe the version that stands first; the others behind all of these.
    newest = {each.pin.partition("@")[0]: each for each in reversed(recipes)}
    shown = [each for each in recipes if each is newest[each.pin.partition("@")[0]]]
    first, rest = shown[:_FIRST], [*shown[_FIRST:], *(each for each in recipes if each not in shown)]
    more = [*([("_what", failure)] if failure else []), *([AGAIN] if again else [])]
    where = lambda pin: f"{paper.address}?{urlencode([('recipe', pin), *more])}"  # noqa: E731
    return paper.page("desk_which.html", "I made one", first=first, rest=rest, where=where, failure=failure, note=note)


def made_page(
    paper: DeskPaper, likely: Likely, blank: Blank, photos: PhotoFields, *, moment: str, failures: Sequence[Offer]
) -> Page:
    """The run of a recipe, on one page.

    Args:
        paper: The page.
        likely: What it likely says.
        blank: What was typed, and what is said of it.
        photos: The places for photos.
        moment: When it is now, as a document writes it.
        failures: The failure notes of the book.
    """
    materials = paper.view.models(Material)
    usual = {str(mix.id): usual_weight(likely.recipe.mixes, mix, materials) for mix in likely.mixes}
    return paper.page(
        "desk_made.html", "I made one", likely=likely, blank=blank, photos=photos, usual=usual, moment=moment, failures=failures,
        outcomes=OUTCOMES, again=bool(blank.typed.get("started")), kept_at=kept_at(likely.pin, paper.address),
    )  # fmt: skip
