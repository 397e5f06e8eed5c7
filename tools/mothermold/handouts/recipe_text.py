"""One version of a recipe as a sheet of paper tells it, block by block: students, teachers and benches take what they need."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property

from mothermold.answers.recipes import find_version, readable
from mothermold.answers.records import record_of, runs_of
from mothermold.answers.result import title_words
from mothermold.book.coming_off import lacks_way_off
from mothermold.book.document import Document
from mothermold.compare.since import since_each
from mothermold.ground.notices import Notice
from mothermold.handouts.pen import Pen
from mothermold.handouts.prose import Block
from mothermold.handouts.sheaf import SheetLeaf, foot_of
from mothermold.history.versions import as_text
from mothermold.model.material import Material
from mothermold.model.recipe import Recipe, Surface
from mothermold.pages.addresses import page_of
from mothermold.pages.hurt import numbers
from mothermold.pages.margin import since_notes
from mothermold.pages.rules import along_recipe
from mothermold.pages.saying import Loose, joined, marked, quiet
from mothermold.pages.steps import StepShown, steps_shown
from mothermold.pages.wording import held_words, recipe_rows, sheets_by_place, spoken
from mothermold.quantities.wording import minutes_in_words
from mothermold.reckon.times import elapsed_minutes, hands_on_minutes
from mothermold.reckon.work import Work, work_of
from mothermold.trade.cautions import Caution, recipe_cautions, sheets
from mothermold.view.view import View

FIRST_OF_ALL = "The maker's safety data sheets, the rules of your place and licensed practice come first."
_TREATED = ("release", "seal", "prime", "separator")


class RecipeOnPaper:
    """What a version of a recipe says on paper.

    Attributes:
        pen: What writes it.
        address: The recipe's address.
        row: The version.
        recipe: Its text.
        notices: What is said about its file and the materials it names.
    """

    def __init__(self, view: View, pen: Pen, asked: str) -> None:
        """Looks a recipe up.

        Args:
            view: The edition.
            pen: What writes.
            asked: Its address, with ``@version`` where not the current one is meant.

        Raises:
            RefusedError: It is not in the edition, or its text cannot be read.
        """
        self.view, self.pen = view, pen
        self.versions, self.row = find_version(view, asked)
        self.address = self.versions.address
        self.document: Document = readable(self.versions, self.row)
        assert isinstance(self.document.model, Recipe)
        self.recipe: Recipe = self.document.model
        self.titles: Mapping[str, str] = title_words(view) | {
            mix.id: mix.title or spoken(mix.id) for mix in self.recipe.mixes
        }

    # What it is.

    @property
    def pin(self) -> str:
        """The version, as it is typed: ``cast/face-piece@4``."""
        return f"{self.address}@{self.row.number}"

    @property
    def state(self) -> str:
        """The version and what it is, since when: ``version 4, locked 2026-03-02``."""
        when = f" {self.row.moment.astimezone(self.view.settings.zone).date()}" if self.row.moment else ""
        unsaved = ", not saved yet" if self.row.working_tree else ""
        return f"version {self.row.number}, {self.row.status}{when}{unsaved}"

    @cached_property
    def notices(self) -> tuple[Notice, ...]:
        """What is said of its file and of the materials it uses."""
        used = {name for each in work_of(self.recipe).steps for name in each.materials}
        every = self.view.on("material")
        return self.view.touching({self.document.file, *(every[name].file for name in used if name in every)})

    def leaf(self, kind: str, blocks: list[Block]) -> SheetLeaf:
        """A leaf of it."""
        called = f"{self.recipe.title}: {self.address}, {self.state}"
        return SheetLeaf(kind, called, foot_of(self.view, page_of("recipe", self.address)), blocks)

    def head(self) -> Iterator[Block]:
        """Its title and version, and what nobody may miss about them."""
        pen, row, current = self.pen, self.row, self.versions.current
        yield pen.title(
            self.recipe.title, below=(marked("tag", f"Version {row.number}"), " ", self.state, ". ", self.address)
        )
        if row.status == "draft":
            yield pen.para("A draft: it may be wrong, and lack steps.", style="banner")
        elif current and current.number != row.number:
            older = "an older version" if current.number > row.number else "not the version in use"
            yield pen.para(f"This is {older}. Version {current.number} is the one in use.", style="banner")
        elif row.status in ("deleted", "retired", "withdrawn"):
            yield pen.para(f"This recipe is {row.status}: it is no longer used.", style="banner")

    def why(self) -> Iterator[Block]:
        """Why this version was made."""
        if self.recipe.why:
            yield self.pen.para(marked("strong", "Why this version: "), self.recipe.why)

    def glance(self) -> list[Block]:
        """Its times, what it makes and its record."""
        recipe = self.recipe
        people = max((int(step.people) for step in recipe.steps if step.people), default=1)
        what = recipe.gives.what if recipe.gives and recipe.gives.what else "piece"
        makes = recipe.yields
        said = f"{makes} {what}" if isinstance(makes, int) else ", ".join(f"{n} {kind}" for kind, n in makes or ())
        return self.pen.labels([
            ("Hands-on", minutes_in_words(hands_on_minutes(recipe))),
            ("From start to finish", minutes_in_words(elapsed_minutes(recipe))),
            ("One run makes", said),
            ("Pairs of hands", f"up to {people}" if people > 1 else ""),
        ])  # fmt: skip

    def record(self) -> str:
        """How the runs of this version ended."""
        return str(record_of(runs_of(self.view, self.address, self.row.number)))

    # What comes before the work.

    @cached_property
    def by_step(self) -> Mapping[str, tuple[Caution, ...]]:
        """The cautions of each step."""
        return self.view.ruling.cautions(self.recipe)

    def cautions(self) -> tuple[Caution, ...]:
        """What can hurt, each once, worst first."""
        return recipe_cautions(self.recipe, self.by_step)

    def before(self) -> Iterator[Block]:
        """What must be read first: whom to call, the makers' sheets, and what can hurt."""
        pen = self.pen
        yield pen.heading("Before you begin")
        if told := numbers(self.view.settings.emergency):
            yield pen.framed(pen.labels([(title, said) for _key, title, said in told]), "loud")
        yield pen.para(FIRST_OF_ALL)
        yield from self.hung()
        yield from (pen.caution(each) for each in self.cautions())
        if lacks_way_off(self.recipe):
            yield pen.para(
                "Nobody wrote down how it comes off a person in the worst minute: ask before you begin.", style="banner"
            )
        if self.recipe.off:
            yield pen.framed(
                [pen.heading("Off a person, now", level=3), *pen.points(self.recipe.off, "numbered")], "loud"
            )

    def hung(self) -> list[Block]:
        """Where the makers' safety sheets hang."""
        found = sheets_by_place(sheets(self.recipe, self.view.models(Material)))
        return self.pen.labels(
            (
                f"Safety sheets, {where or 'place not noted'}",
                joined(
                    ((each.title, ", ", each.dated) if each.dated else each.title if not where else f"{each.title}, date not noted" for each in held),
                    "; ",
                ),
            )
            for where, held in found
        )  # fmt: skip

    def at_hand(self) -> Iterator[Block]:
        """What must be at hand, to be ticked off: things, then materials."""
        names = dict.fromkeys(
            str(part.material) for mix in self.recipe.mixes for part in mix.parts if part.material
        ) | dict.fromkeys(str(use.material) for step in self.recipe.steps for use in step.uses if use.material)
        things, stuff = list(self.recipe.needs), [self.titles.get(name, name) for name in names]
        if things or stuff:
            yield self.pen.heading("At hand")
        yield from self.pen.points(things, "ticks")
        if stuff:
            yield self.pen.para(marked("strong", "Materials: "), "; ".join(stuff), ".")

    def surfaces(self) -> Iterator[Block]:
        """What the work touches, and what is laid on each to release, seal or prime it."""
        laid: dict[str, list[str]] = {}
        for step in self.recipe.steps:
            for use in step.uses:
                if use.as_ in _TREATED:
                    for name in use.on:
                        laid.setdefault(str(name), []).append(f"{self.titles.get(use.name, use.name)} ({use.as_})")
        rows = [
            (spoken(each.id), self._made_of(each), "; ".join(laid.pop(str(each.id), ())))
            for each in self.recipe.surfaces
        ]
        rows += [(spoken(name), "", "; ".join(told)) for name, told in laid.items()]
        gives = self.recipe.gives
        rows += [(f"makes: {spoken(each.id)}", self._made_of(each), "") for each in (gives.surfaces if gives else ())]
        if rows:
            yield self.pen.heading("Surfaces")
            yield from self.pen.table({"Surface": "", "Of": "", "What it gets": "wide"}, rows)

    def _made_of(self, each: Surface) -> str:
        if each.material:
            return self.titles.get(str(each.material), str(each.material))
        whose = f" of {spoken(each.from_)}" if each.from_ else ""
        return f"the {spoken(each.surface or 'surface')}{whose}" if each.surface or each.from_ else ""

    # The steps.

    @cached_property
    def work(self) -> Work:
        """The steps in their order and times."""
        return work_of(self.recipe)

    @cached_property
    def shown(self) -> list[StepShown]:
        """The steps in words."""
        texts = [(row.number, text) for row in self.versions.rows if (text := as_text(row.document))]
        changed = since_each(texts).get(self.row.number, {})
        reasons = {each.number: each.why for each in self.versions.rows}
        sinces = since_notes([changed.get(("steps", step.id)) for step in self.recipe.steps], self.row.number, reasons)
        return steps_shown(self.view, self.recipe, self.document.said.get("steps") or [], sinces)

    def facts(self, each: StepShown) -> Loose:
        """Times, hands and conditions of a step, in a row."""
        step = each.step
        titles = {str(other.id): other.title for other in self.recipe.steps}
        starts = next((mix for mix in self.recipe.mixes if mix.id == step.starts), None)
        pot = starts.pot_life if starts is not None else None
        until = step.until
        told: list[Loose] = [
            (marked("strong", step.hands_on), " hands-on") if step.hands_on else None,
            f"{step.people} {'person' if step.people == 1 else 'people'}" if step.people else None,
            each.coats,
            ("wait ", marked("strong", each.waits)) if each.waits else None,
            ("wait until ", marked("strong", until.what), until.usual and (", usually ", until.usual), until.longest and (", at most ", until.longest)) if until else None,
            f"ties up {held_words(step.holds)}" if step.holds else None,
            ("at ", step.temperature) if step.temperature else None,
            step.zone,
            f"once for the {step.once}" if step.once else None,
            ("after ", joined((f"“{titles.get(str(name), name)}”" for name in step.after), ", ")) if step.after else None,
            ("within ", marked("strong", step.within.time), f" of “{titles.get(str(step.within.after), step.within.after)}”") if step.within else None,
            None if step.may_pause is None else f"the work {'may' if step.may_pause else 'must not'} be left here",
            (f"the pot life of {self.titles.get(str(step.starts), step.starts)} starts here", (": ", marked("strong", pot.time), pot.at and (" at ", pot.at)) if pot else None) if step.starts else None,
        ]  # fmt: skip
        return joined(told, "; ")

    @cached_property
    def ruled(self) -> Mapping[str, list[Loose]]:
        """By step, what must not touch what there."""
        found: dict[str, list[Loose]] = {}
        for each in along_recipe(self.view, self.address, self.recipe).open:
            told: Loose = ("accepted. ", each.because) if each.because else f"{each.rule.happens}. {each.rule.instead}"
            found.setdefault(each.step, []).append((marked("strong", f"{each.rule.title}: "), told))
        return found

    def rest(self) -> list[Block]:
        """What has no better place, so that nothing is lost."""
        rows = recipe_rows(self.view, self.document)
        return self.pen.labels(
            (key, quiet(str(value))) for key, value in rows if key not in ("written in", "visibility")
        )
