"""What a book has to offer when something new is begun: each list as offers someone can choose from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from mothermold.answers.records import run_title
from mothermold.book.files import build_of
from mothermold.desk.asking import Offer
from mothermold.model.build import Build, Thing
from mothermold.model.material import Lot, Material
from mothermold.model.mold import Mold
from mothermold.model.recipe import Recipe
from mothermold.model.run import Run
from mothermold.reckon.lots import lots_in_use
from mothermold.view.view import View


def _lot_state(lot: Lot) -> str:
    return f"opened {lot.opened}" if lot.opened else f"came {lot.got}" if lot.got else "not opened"


@dataclass(frozen=True, slots=True)
class UnnotedTrouble:
    """What went wrong in a run, told in free words.

    Attributes:
        name: The run's name.
        run: The run.
        title: What it is called.
        place: Which of its entries it is, from 0.
    """

    name: str
    run: Run
    title: str
    place: int

    @property
    def words(self) -> str:
        """What the run says."""
        return str(self.run.went_wrong[self.place].what)


class Shop:
    """A book at the moment something new is begun in it.

    Args:
        view: The book.
        now: The time it is; the clock's unless given.
        apart: Whether what is begun goes elsewhere first, so that only what the view holds counts, and never the book's folder.
    """

    def __init__(self, view: View, now: datetime | None = None, *, apart: bool = False) -> None:
        self.view, self.apart = view, apart
        self.now = (now or datetime.now(view.settings.zone)).astimezone(view.settings.zone)

    @property
    def moment(self) -> str:
        """Now, as a document writes it."""
        return self.now.strftime("%Y-%m-%d %H:%M")

    @property
    def day(self) -> str:
        """Today, as a document writes it."""
        return self.now.strftime("%Y-%m-%d")

    def stages(self) -> list[Offer]:
        """The stages of the work."""
        return [Offer(stage) for stage in self.view.words.stages]

    def families(self) -> list[Offer]:
        """The families a material may belong to, always in the same order."""
        return [Offer(word) for word in self.view.words.families]

    def titled(self, kind: str) -> list[Offer]:
        """All documents of a kind that can be read, by name, with their titles."""
        return [
            Offer(name, getattr(document.model, "title", None) or "")
            for name, document in sorted(self.view.on(kind).items())
            if document.model is not None
        ]

    def recipes(self) -> list[Offer]:
        """The recipes of the book's folder, with the version in use."""
        offers = []
        for address in self.view.recipes:
            recipe = self.view.models(Recipe).get(address)
            if recipe is None:
                continue
            versions = self.view.versions(address)
            current = versions.current if versions else None
            state = f"version {current.number} in use" if current else f"version {recipe.version}, a draft"
            offers.append(Offer(address, f"{recipe.title}; {state}"))
        return offers

    def pins(self, *, drafts: bool = False, stage: str = "") -> list[Offer]:
        """Recipe versions that may be named, of one stage where asked: those in use, older ones, drafts where they may be."""
        now: list[Offer] = []
        before: list[Offer] = []
        for address in self.view.recipes:
            versions = self.view.versions(address)
            for row in reversed(versions.rows if versions else ()):
                if row.recipe is None or row.status not in (("locked", "draft") if drafts else ("locked",)):
                    continue
                if stage and row.recipe.stage != stage:
                    continue
                is_first = versions is not None and row in (versions.current, versions.rows[-1])
                words = row.recipe.title if row.status == "locked" else f"{row.recipe.title}; a draft"
                (now if is_first else before).append(Offer(f"{address}@{row.number}", words))
        return now + before

    def recipe_at(self, pin: str) -> Recipe | None:
        """What a recipe version says, by its address and number."""
        address, _, number = pin.partition("@")
        versions = self.view.versions(address)
        row = versions.get(int(number)) if versions and number.isdecimal() and len(number) < 10 else None
        return row.recipe if row else None

    def lots(self, recipe: Recipe) -> dict[Offer, tuple[str, str]]:
        """The lots the book has of what a recipe uses, each with its material and its number; those in use stand first."""
        names = dict.fromkeys(str(part.material) for mix in recipe.mixes for part in mix.parts if part.material)
        names |= dict.fromkeys(str(use.material) for step in recipe.steps for use in step.uses if use.material)
        materials = self.view.models(Material)
        now: dict[Offer, tuple[str, str]] = {}
        before: dict[Offer, tuple[str, str]] = {}
        for name, material in ((name, materials[name]) for name in names if name in materials):
            for lot in material.lots:
                offer = Offer(f"{name} {lot.lot}", f"{material.title}; {_lot_state(lot)}")
                (now if lot in lots_in_use(material) else before)[offer] = (name, str(lot.lot))
        return now | before

    def steps(self) -> list[Offer]:
        """The steps of all recipes as they are now."""
        return [
            Offer(f"{address}#{step.id}", step.title)
            for address, recipe in sorted(self.view.models(Recipe).items())
            for step in recipe.steps
        ]

    def things(self, build: str) -> list[Thing]:
        """What is made for a build."""
        made = self.view.models(Build).get(build)
        return list(made.things) if made else []

    def molds(self, build: str) -> list[Offer]:
        """The molds that can be worked with: the build's own and those of no build."""
        return [
            Offer(name, mold.title if not mold.state else f"{mold.title}; {mold.state}")
            for name, mold, where in self._molds()
            if where in (build, "") and mold.state not in ("broken", "retired")
        ]

    def _molds(self) -> Iterator[tuple[str, Mold, str]]:
        for name, document in sorted(self.view.of(Mold).items()):
            yield name, document.model, build_of(document.file) or ""

    def runs(self) -> list[Offer]:
        """The runs, newest first, with what was done."""
        return [Offer(name, run.title or run.recipe or run.kind) for name, run in self._runs()]

    def troubles(self) -> list[UnnotedTrouble]:
        """What went wrong in runs and has no note yet, newest first."""
        return [
            UnnotedTrouble(name, run, run_title(self.view, run), place)
            for name, run in self._runs()
            for place, entry in enumerate(run.went_wrong)
            if entry.failure is None and entry.what
        ]

    def _runs(self) -> list[tuple[str, Run]]:
        found = [(run.started, name, run) for name, run in self.view.models(Run).items()]
        return [(name, run) for _started, name, run in sorted(found, key=lambda each: each[:2], reverse=True)]

    def pieces(self, build: str) -> set[str]:
        """The labels of the pieces a build has already."""
        return {
            kept.piece
            for document in self.view.of(Run).values()
            if (build_of(document.file) or "") == build
            for kept in document.model.kept
        }

    def is_taken(self, kind: str, name: str, file: str) -> bool:
        """Whether a document goes by this name already, or once did, or its file lies there unread."""
        if kind == "recipe" and self.view.versions(name) is not None:
            return True
        try:
            return name in self.view.on(kind) or (not self.apart and (self.view.root / file).exists())
        except OSError:
            # Nothing can lie where no disk takes the name; that it cannot be is said of the name itself.
            return False
