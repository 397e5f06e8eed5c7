"""A course on paper: the plan of its meetings, then every recipe it pins, exactly at the version it pins."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from mothermold.answers.changes import changes_since
from mothermold.answers.class_patches import ClassPatches, class_patches, is_on_somebody
from mothermold.answers.result import title_words
from mothermold.book.document import Document
from mothermold.ground.errors import RefusedError
from mothermold.ground.notices import Notice
from mothermold.handouts.buying_list import buying_blocks
from mothermold.handouts.mix_blocks import NOTHING_ASKED, MixBlocks
from mothermold.handouts.pen import TICK, Pen
from mothermold.handouts.prose import Block, Letters
from mothermold.handouts.recipe_sheets import student_leaf, teacher_leaf
from mothermold.handouts.recipe_text import RecipeOnPaper
from mothermold.handouts.risk_sheet import risk_blocks
from mothermold.handouts.sheaf import SheetLeaf, foot_of
from mothermold.model.course import Course, Session
from mothermold.model.names import RecipeRef
from mothermold.pages.addresses import page_of
from mothermold.pages.pinned import pinned_title
from mothermold.pages.saying import Loose, joined, marked, quiet
from mothermold.quantities.wording import as_read
from mothermold.trade.skin import PATCH_TEST_HOURS
from mothermold.view.needs import not_open
from mothermold.view.patch_cover import products_on_a_body
from mothermold.view.view import View


class CourseText:
    """What a course says on paper.

    Attributes:
        texts: The recipes it pins that the edition shows, in its order.
        notices: Why others cannot be printed, and what is said of those that are.
    """

    def __init__(self, view: View, pen: Pen, document: Document[Course]) -> None:
        """Looks up what it pins.

        Args:
            view: The edition.
            pen: What writes.
            document: The course.
        """
        self.view, self.pen, self.name, self.course = view, pen, document.address, document.model
        self.texts: list[RecipeOnPaper] = []
        self.notices: list[Notice] = list(view.touching({document.file}))
        for pin in self.course.pins:
            try:
                self.texts.append(RecipeOnPaper(view, pen, str(pin)))
            except RefusedError as refusal:
                self.notices += refusal.notices
        self.notices += [notice for text in self.texts for notice in text.notices]

    def student(self) -> list[SheetLeaf]:
        """The students' packet: the meetings with their questions, then a sheet for each recipe."""
        blocks = [*self._head(), *self._packed("student"), *self._sessions(answers=False)]
        return [
            self._leaf("Student packet", blocks),
            *(student_leaf(text, MixBlocks(text, NOTHING_ASKED)) for text in self.texts),
        ]

    def teacher(self) -> list[SheetLeaf]:
        """The teacher's packet: the meetings with the answers, what changed since, then a sheet for each recipe."""
        blocks = [
            *self._head(),
            *self._packed("teacher"),
            *self._sessions(answers=True),
            *self._since(),
            *self._record(),
        ]
        return [
            self._leaf("Teacher packet", blocks),
            *(teacher_leaf(text, MixBlocks(text, NOTHING_ASKED)) for text in self.texts),
        ]

    def risk(self) -> list[SheetLeaf]:
        """One risk sheet for all of it."""
        return [self._leaf("Risk sheet", [*self._head(), *risk_blocks(self.view, self.pen, self.texts)])]

    def buying(self) -> list[SheetLeaf]:
        """What the whole class uses up."""
        return [self._leaf("Buying list", [*self._head(), *buying_blocks(self.view, self.pen, self.course)])]

    def consent(self) -> list[SheetLeaf]:
        """Who agreed and whose patch is clear, by code, on a sheet of its own."""
        if not is_on_somebody(self.course):
            told = self.pen.para("Nothing that is taught here comes onto anybody.", style="banner")
            return [self._leaf("Consent and patch tests", [*self._head(), told])]
        return [self._leaf("Consent and patch tests", [*self._head(), *self._record()])]

    def _record(self) -> Iterator[Block]:
        """Who agreed and whose patch was clear, by code, where anything of the course is done on somebody."""
        if not is_on_somebody(self.course):
            return
        pen = self.pen
        known = class_patches(self.view, self.name) if self.view.edition == "private" else None
        products = (
            known.products if known is not None else tuple(products_on_a_body(self.view.ruling, self.course.pins))
        )
        titles = title_words(self.view)
        yield pen.heading("Consent and patch tests, by code")
        yield pen.para(
            "No name and nothing of anybody's health stands here: a code, days, and whether it may begin. What somebody says of "
            "asthma, allergies, skin, a pregnancy or medicines goes on a paper of its own or into the book's folder private/, "
            "and whoever has any of it asks a doctor first. Everybody may stop at any time, and need not say why."
        )
        yield pen.para(
            f"A patch is read {PATCH_TEST_HOURS} hours or more after it was put on; a clear one is no promise, and no entry is "
            "no clearance."
        )
        if products:
            yield pen.heading("What is tried on everybody", level=3)
            yield from pen.points((titles.get(each, each) for each in products), "ticks")
        heads = {
            "Code": "blank",
            "Agreed on": "blank",
            "Patch put on": "blank",
            "Read on": "blank",
            "May begin": "tick",
            "What it covers": "wide",
        }
        codes = [each.code for each in known.students] if known is not None else []
        lines = [*codes, *[""] * (int(self.course.students or 8) - len(codes))]
        rows: list[list[Loose | Letters]] = [[code, "", "", "", TICK, ""] for code in lines]
        yield from pen.table(heads, rows)
        if known is not None:
            yield from self._on_record(known, titles)

    def _on_record(self, known: ClassPatches, titles: Mapping[str, str]) -> Iterator[Block]:
        """What the owner's book knows of each code."""
        pen = self.pen
        yield pen.heading("What the book has on record", level=3)
        if not known.students:
            yield pen.para("No run of this course names a code yet, so nothing is known of anybody.", style="banner")
        yield from pen.table(
            {"Code": "auto", "Read and clear": "wide", "Nothing on record": "wide"},
            (
                [
                    marked("strong", each.code),
                    "; ".join(f"{titles.get(product, product)} ({day})" for product, day in each.clear) or "nothing",
                    "; ".join(titles.get(product, product) for product in each.lacking) or "all is on record",
                ]
                for each in known.students
            ),
        )
        if known.students and known.unnamed:
            yield pen.para(
                f"Of {known.unnamed} more who take part no run names a code: of them nothing is known.", style="banner"
            )

    def _leaf(self, kind: str, blocks: list[Block]) -> SheetLeaf:
        day = self.view.day
        called = f"{self.course.title}{f', {self.course.term}' if self.course.term else ''}{f' (as of {day})' if day else ''}"
        return SheetLeaf(kind, called, foot_of(self.view, page_of("course", self.name)), blocks)

    def _head(self) -> Iterator[Block]:
        course, pen = self.course, self.pen
        yield pen.title(
            course.title, below=joined((course.term, f"{course.students} students" if course.students else None), ", ")
        )
        if (counts := self.view.pins.get(self.name)) and counts[0]:
            yield pen.para(not_open(*counts, self.view.edition), ".", style="banner")

    def _packed(self, whose: str) -> Iterator[Block]:
        """What is in the packet, at which versions."""
        yield self.pen.heading("In this packet")
        rows = [
            (text.recipe.title, text.pin, joined((text.state.partition(", ")[2], self._newer(text)), "; "))
            for text in self.texts
        ]
        if not rows:
            yield self.pen.para(
                f"No recipe of this course is open to the {self.view.edition} edition, so no {whose} sheet follows."
            )
        yield from self.pen.table({"Recipe": "", "Taught at": "", "That is": ""}, rows)

    def _newer(self, text: RecipeOnPaper) -> str:
        current = text.versions.current
        return f"version {current.number} is in use" if current and current.number > text.row.number else ""

    def _sessions(self, *, answers: bool) -> Iterator[Block]:
        pen = self.pen
        if self.course.sessions:
            yield pen.heading("Sessions")
        for number, session in enumerate(self.course.sessions, start=1):
            yield pen.heading(f"{number}. {session.title or 'Session'}", level=3)
            yield from pen.labels(self._facts(session))
            if answers:
                told: list[Loose] = [
                    (
                        each.question,
                        marked("below", each.answer) if each.answer else marked("below", "no answer is written down"),
                    )
                    for each in session.questions
                ]
                yield from pen.points(told, "numbered")
            else:
                for place, each in enumerate(session.questions, start=1):
                    yield pen.para(marked("strong", f"{place}. "), each.question)
                    yield from pen.blanks([" ", " "], across=1)

    def _facts(self, session: Session) -> list[tuple[str, Loose]]:
        return [
            ("Tables", session.tables),
            ("Ready beforehand", joined(map(self._pin, session.prepares), "; ")),
            ("Covers", joined(map(self._pin, session.covers), "; ")),
        ]

    def _pin(self, ref: RecipeRef) -> Loose:
        return (pinned_title(self.view, ref), quiet(f" ({ref})"))

    def _since(self) -> Iterator[Block]:
        """What changed in the recipes since the versions taught, in words."""
        taught = {text.address for text in self.texts}
        changed = [row for row in changes_since(self.view, self.name).data["recipes"] if row["recipe"] in taught]
        if changed:
            yield self.pen.heading("What changed since the versions taught")
        for row in changed:
            newer = f"version {row['from']} to {row['to']}" if row["from"] and row["to"] else "new" if row["to"] else ""
            yield self.pen.heading(f"{row['title']}{f': {newer}' if newer else ''}", level=3)
            yield from self.pen.story(row["why"])
            yield from self.pen.points(as_read(line.replace("*", "")) for line in row["sentences"])
