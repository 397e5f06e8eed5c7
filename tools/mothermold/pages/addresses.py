"""Where each page lies in the site, and how one page points to another from its own depth."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import combinations, pairwise
from typing import Any, ClassVar, Final

from mothermold.answers.labels import pieces_kept
from mothermold.answers.records import dated_title
from mothermold.model.build import Build
from mothermold.model.course import Course
from mothermold.model.kinds import KINDS, PAGED
from mothermold.model.recipe import Recipe
from mothermold.model.run import Run
from mothermold.view.sums import entry_by_entry
from mothermold.view.view import View

HUBS: Final[dict[str, tuple[str, str]]] = {
    kind.word: (f"{kind.plural}.html", kind.plural.capitalize()) for kind in PAGED
}
"""The hub page of each kind: its address and its title."""

_OF_RECIPES: Final = frozenset({"versions", "compare", "bench"})
HOME: Final = "index.html"
NOTICES: Final = "notices.html"
ABOUT: Final = ("about.html", "What notices mean")
FINDER: Final = ("find.html", "Find a fix")
SUMS: Final = ("sums.html", "Sums at the bench")
RULES: Final = ("rules.html", "What must not touch what")
TOUCH: Final = ("touch.html", "May this touch that?")
FIRST_EVENING: Final = ("first-evening.html", "Your first evening")
GUIDE: Final = ("guide.html", "The guide")
HURT: Final = ("hurt.html", "Somebody is hurt")
OFFLINE: Final = ("offline.html", "Not kept on this device yet")
"""What a device without signal shows for a page it does not keep; nothing leads there."""


def leaves(view: View) -> list[tuple[str, str]]:
    """The pages that are no hub, as they stand at the foot of every page; the last two are the owner's alone."""
    found = [HURT, FINDER, SUMS, TOUCH, RULES, (NOTICES, "Notices"), GUIDE]
    return [*found, FIRST_EVENING, ABOUT] if view.edition == "private" else found


def menu_of(address: str) -> str:
    """The page of the menu that one at an address belongs to: its list, the guide, where all is written, or itself."""
    folder, _, inside = address.partition("/")
    if not inside:
        return address
    if folder in ("desk", "send"):
        return f"{folder}/"
    if folder in ("write-ups", "plans", "days", "appointments"):
        return HUBS["build"][0]
    return HUBS["recipe"][0] if folder in _OF_RECIPES else f"{folder}.html"


def page_of(kind: str, address: str) -> str:
    """The permanent page of a document."""
    return f"{KINDS[kind].plural}/{address}.html"


def piece_page(build: str, name: str) -> str:
    """The page of a piece of a build; no build is called with a stroke, so it collides with none."""
    return f"builds/{build}/pieces/{name}.html"


def version_page(address: str, number: int) -> str:
    """The permanent page of one version of a recipe; ``@`` is in no name, so it collides with none."""
    return f"versions/{address}@{number}.html"


def bench_page(address: str, number: int) -> str:
    """The bench view of one version of a recipe."""
    return f"bench/{address}@{number}.html"


def written_page(build: str) -> str:
    """The write-up of a build."""
    return f"write-ups/{build}.html"


def card_page(build: str) -> str:
    """The card of a build, to send around."""
    return f"write-ups/{build}.jpg"


def plan_page(build: str) -> str:
    """The plan of a build; the owner's alone."""
    return f"plans/{build}.html"


def day_page(build: str, day: date) -> str:
    """A day in the chair; the owner's alone."""
    return f"days/{build}/{day.isoformat()}.html"


def appointment_page(build: str, thing: str) -> str:
    """The appointment for a thing that is cast from life; the owner's alone."""
    return f"appointments/{build}/{thing}.html"


def chapter_page(name: str) -> str:
    """A chapter of the guide."""
    return f"guide/{name}.html"


def picture_page(file: str) -> str:
    """Where a drawing lies in the site."""
    return f"pictures/{file}"


def photo_page(file: str, longest: int) -> str:
    """Where a photo lies in the site, made so large."""
    return f"photos/{file.removesuffix('.jpg')}-{longest}.jpg"


_FEW: Final = 5


@entry_by_entry("taught")
def _taught(view: View) -> dict[str, list[int | None]]:
    """By recipe, as named, the versions that courses pin."""
    found: dict[str, list[int | None]] = {}
    for course in view.models(Course).values():
        for pin in course.pins:
            found.setdefault(pin.address, []).append(pin.version)
    return found


def shown_pairs(view: View, address: str) -> list[tuple[int, int]]:
    """The pairs of versions of a recipe that stand beside each other on its page, the older first.

    Up to five versions every pair; above it neighbors, each with the one in use, and each with those a course teaches: so
    the page does not grow with the square of their number.
    """
    versions = view.versions(address)
    numbers = [row.number for row in versions.rows if row.recipe is not None] if versions else []
    current = versions.current if versions else None
    marked = {current.number if current else None, *_taught(view).get(address, ())}
    near, few = set(pairwise(numbers)), len(numbers) <= _FEW
    return [pair for pair in combinations(numbers, 2) if few or pair in near or not marked.isdisjoint(pair)]


def compare_page(address: str, before: object = None, after: object = None) -> str:
    """The page that compares any two versions of a recipe, at the place of one pair."""
    return f"compare/{address}.html" + (f"#v{before}-v{after}" if before is not None else "")


def _held_versions(view: View, address: str) -> tuple[str, Sequence[int]] | None:
    """The address of a recipe today, and the numbers it has; None where the edition holds none. Seldom is a text opened for it."""

    def held() -> list[Any] | None:
        versions = view.versions(address)
        return [versions.address, [row.number for row in versions.rows]] if versions is not None else None

    told: tuple[str, Sequence[int]] | None = view.made.of(f"recipe/{address}: numbers", held)
    return told


@dataclass(frozen=True, slots=True)
class Links:
    """Points from one page of the site to others the edition holds; what carries pages elsewhere points in its own way.

    Attributes:
        view: The edition.
        page: Where the page lies.
        carried: Whether the page is a part of a file that brings its scripts and looks along once for all.
    """

    view: View
    page: str
    carried: ClassVar[bool] = False

    def to(self, address: str) -> str | None:
        """The address of a page, or of a place on it, as seen from this one; None where it is not held."""
        return "../" * self.page.count("/") + address if "/" in self.page else f"./{address}"

    def at(self, place: str) -> str:
        """The id of a place on this page."""
        return place

    def here(self, place: str) -> str | None:
        """What leads to a place on this page; None where the page goes without it."""
        return f"#{self.at(place)}"

    def picture(self, file: str, longest: int = 0) -> str | None:
        """Where a drawing lies, or a photo made so large."""
        return self.to(photo_page(file, longest) if longest else picture_page(file))

    def from_prose(self, target: str) -> str | None:
        """Where a link leads that somebody wrote; None where it leads nowhere."""
        if target[:4].casefold() == "run:":
            return self.document("run", target[4:])
        # Two slashes name another computer, and opened from a folder that is a computer in the same house.
        return None if target.startswith("//") else target

    def document(self, kind: str, address: str, place: str = "") -> str | None:
        """Where a document's page is, or None where the edition holds none."""
        if kind == "recipe":
            held = _held_versions(self.view, address)
            if held is None and address not in self.view.on("recipe"):
                return None
            return self.to(page_of("recipe", held[0] if held else address) + place)
        return self.to(page_of(kind, address)) if address in self.view.on(kind) else None

    def version(self, address: str, number: int, place: str = "") -> str | None:
        """Where the page of one version is."""
        today, numbers = _held_versions(self.view, address) or (address, ())
        return self.to(version_page(today, number) + place) if number in numbers else None

    def current(self, address: str) -> str:
        """Where the version of a recipe in use lies in the site, as it stands on paper: seen from its beginning."""
        return page_of("recipe", address)

    def reference(self, text: str) -> str | None:
        """Where a recipe named with version and step leads."""
        path, _, step = text.partition("#")
        address, _, number = path.partition("@")
        place = f"#step-{step}" if self._has_step(address, number, step) else ""
        if number.isdecimal() and len(number) < 10:
            return self.version(address, int(number), place)
        return self.document("recipe", address, place)

    def compared(self, address: str, before: int, after: int) -> str | None:
        """Where two versions are compared, else where others of the recipe are; None where one of them cannot be read."""
        if self._named(address, str(before)) is None or self._named(address, str(after)) is None:
            return None
        versions = self.view.versions(address)
        address = versions.address if versions else address
        pair = (before, after) if (before, after) in shown_pairs(self.view, address) else ()
        return self.to(compare_page(address, *pair))

    def where(self, to: str, name: str) -> str | None:
        """Where words lead that a page says, or None where the edition holds nothing there.

        Args:
            to: The kind of a document; ``reference`` of a recipe with its version and step, ``mix`` of one of its mixes, ``pair``
                of two versions, ``piece`` of a piece of a build, ``here`` of a place on the same page, ``bench`` of the bench view of
                a version that has one, ``plan`` of a build's, ``day`` in the chair, ``appointment`` for a cast from life, ``touch`` of what a material may touch, ``write-up`` of a build, ``card``
                of one to send around.
            name: What is meant: ``cast/face@3#fill``, ``cast/face@3#base``, ``cast/face@2@3``, ``thing-face``, ``watch/2026-05-04``; else the document's name.
        """
        whole, _, inner = name.partition("#")
        match to:
            case "reference":
                return self.reference(name)
            case "here":
                return self.here(name)
            case "write-up":
                return self.to(written_page(name)) if name in self.view.of(Build) else None
            case "card":
                return self.to(card_page(name)) if name in self.view.of(Build) else None
            case "touch":
                page = self.to(TOUCH[0])
                return f"{page}#use=material/{name}" if page else None
            case "plan":
                return self.to(plan_page(name)) if self.view.edition == "private" else None
            case "day":
                build, _, day = name.partition("/")
                model = self.view.models(Build).get(build) if self.view.edition == "private" else None
                known = model is not None and any(each.day.isoformat() == day for each in model.days)
                return self.to(day_page(build, date.fromisoformat(day))) if known else None
            case "appointment":
                build, _, thing = name.partition("/")
                return self.to(appointment_page(build, thing)) if self.view.edition == "private" else None
            case "bench":
                address, _, number = name.partition("@")
                return self.to(bench_page(address, int(number)))
            case "mix":
                page = self.reference(whole)
                return f"{page}#mix-{inner}" if page else None
            case "piece":
                build, _, piece = name.partition("/")
                return self.to(piece_page(build, piece)) if piece in pieces_kept(self.view).get(build, {}) else None
            case "pair":
                address, before, after = name.rsplit("@", 2)
                return self.compared(address, int(before), int(after))
        return self.document(to, name)

    def called(self, to: str, name: str) -> str:
        """What words lead to is called where the page has no words of its own, see ``where``.

        A run by what was done and when, a recipe as one reads it, all else by its title; by its name where the edition holds none.
        """
        if to in ("recipe", "reference"):
            return self.words(name)
        document = self.view.on(to).get(name)
        model = document.model if document else None
        return dated_title(self.view, model) if isinstance(model, Run) else str(getattr(model, "title", None) or name)

    def words(self, text: str) -> str:
        """A recipe named with version and step, as one reads it: title, version, step."""
        path, _, step = text.partition("#")
        address, _, number = path.partition("@")
        recipe = self._named(address, number)
        if recipe is None:
            return text
        said = recipe.title + (f", v{number}" if number else "")
        told = next((each.title for each in recipe.steps if each.id == step), step)
        return f"{said}: {told}" if step else said

    def meaning(self, code: str) -> str | None:
        """Where a notice is explained; only the owner's edition explains."""
        return self.to(f"{ABOUT[0]}#{code}") if self.view.edition == "private" else None

    def _has_step(self, address: str, number: str, step: str) -> bool:
        """Whether the page a reference leads to shows the step; a name may be misspelled, a step older or newer."""
        recipe = self._named(address, number)
        return recipe is not None and any(each.id == step for each in recipe.steps)

    def _named(self, address: str, number: str) -> Recipe | None:
        """The text a reference means: that of the version, else the one in use, else the newest."""
        versions = self.view.versions(address)
        if versions is None or not versions.rows:
            return None
        row = (
            versions.get(int(number))
            if number.isdecimal() and len(number) < 10
            else versions.current or versions.rows[-1]
        )
        return row.recipe if row is not None else None


LinksOf = Callable[[View, str], Links]
"""What points from the page at an address: ``Links`` for the site."""
