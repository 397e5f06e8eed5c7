"""Which handouts there are, of what: a table; and which document somebody means."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final, Literal

from mothermold.answers.wishes import BatchAsked
from mothermold.book.document import Document
from mothermold.book.shelves import M
from mothermold.ground.errors import RefusedError, refused
from mothermold.ground.notices import Notice
from mothermold.ground.words import nearest
from mothermold.handouts import bench_card, wall_sheet
from mothermold.handouts.build_text import SIZES, BuildText
from mothermold.handouts.course_sheets import CourseText
from mothermold.handouts.labels import label_blocks
from mothermold.handouts.mix_blocks import NOTHING_ASKED, MixBlocks
from mothermold.handouts.pen import Pen
from mothermold.handouts.recipe_sheets import student_leaf, teacher_leaf
from mothermold.handouts.recipe_text import RecipeOnPaper
from mothermold.handouts.risk_sheet import risk_blocks
from mothermold.handouts.sheaf import Sheaf, SheetLeaf
from mothermold.model.build import Build
from mothermold.model.course import Course
from mothermold.view.view import View

Subject = Literal["recipe", "course", "build"]


@dataclass(slots=True)
class PrintWish:
    """A handout somebody wants.

    Attributes:
        view: The edition it is written from.
        of: What it is made of, as typed.
        batch: For which mold or fill a recipe's mixes are weighed.
        label_sheet: Which sheet of labels; the usual one of the paper where it names none.
        used: How many labels of the first sheet are used up.
        pen: What writes it.
        notices: What is said of the documents used, and of the batches.
    """

    view: View
    of: str
    batch: BatchAsked = NOTHING_ASKED
    label_sheet: str = ""
    used: int = 0
    pen: Pen = field(init=False)
    notices: list[Notice] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.pen = Pen(self.view)

    def sheaf(self, title: str, of: str, leaves: Sequence[SheetLeaf], **how: object) -> Sheaf:
        """What is written, with the pictures it shows."""
        return Sheaf(title, of, leaves, self.pen.files, **how)  # type: ignore[arg-type]


@dataclass(frozen=True, slots=True)
class HandoutKind:
    """A kind of handout.

    Attributes:
        title: What it is called.
        makers: What makes it, by what it is made of.
    """

    title: str
    makers: Mapping[Subject, Callable[[PrintWish], Sheaf]]


# Recipes.


def _of_recipe(leaf: Callable[[RecipeOnPaper, MixBlocks], SheetLeaf], **how: object) -> Callable[[PrintWish], Sheaf]:
    def make(wish: PrintWish) -> Sheaf:
        text = RecipeOnPaper(wish.view, wish.pen, wish.of)
        mixes = MixBlocks(text, wish.batch)
        leaves = [leaf(text, mixes)]
        said = {(notice.code, notice.message) for notice in text.notices}
        wish.notices += [*text.notices, *(each for each in mixes.notices if (each.code, each.message) not in said)]
        return wish.sheaf(text.recipe.title, text.pin, leaves, **how)

    return make


def _risk_leaf(text: RecipeOnPaper, _mixes: MixBlocks) -> SheetLeaf:
    return text.leaf("Risk sheet", [*text.head(), *risk_blocks(text.view, text.pen, [text])])


# Courses.


def _of_course(leaves: Callable[[CourseText], list[SheetLeaf]]) -> Callable[[PrintWish], Sheaf]:
    def make(wish: PrintWish) -> Sheaf:
        text = CourseText(wish.view, wish.pen, document_of(wish.view, Course, wish.of))
        made = leaves(text)
        wish.notices += text.notices
        return wish.sheaf(text.course.title, text.name, made)

    return make


# Builds.


def _labels(wish: PrintWish) -> Sheaf:
    document = document_of(wish.view, Build, wish.of)
    wish.notices += wish.view.touching({document.file})
    labels = label_blocks(wish.view, wish.pen, document.address, document.model)
    if not labels:
        raise refused(
            "nothing-to-label", f"`{document.address}` has no mold, no piece that is still there, no jar and no lot to label.",
            "Write a mold or a run that kept a piece first.",
        )  # fmt: skip
    return wish.sheaf(
        document.model.title, document.address, (), labels=[*[None] * wish.used, *labels], label_sheet=wish.label_sheet
    )


def _of_build(leaves: Callable[[BuildText], list[SheetLeaf]], *, sides: int = 0) -> Callable[[PrintWish], Sheaf]:
    def make(wish: PrintWish) -> Sheaf:
        document = document_of(wish.view, Build, wish.of)
        wish.notices += wish.view.touching({document.file})
        text = BuildText(wish.view, wish.pen, document)
        made = leaves(text)
        how: dict[str, object] = {"sizes": SIZES, "sides": sides * len(made)} if sides else {}
        return wish.sheaf(text.build.title, document.address, made, **how)

    return make


def _wall(wish: PrintWish) -> Sheaf:
    leaf = wall_sheet.wall_leaf(wish.view, wish.pen)
    return wish.sheaf(
        "Somebody is hurt", wish.of.rpartition("/")[2], [leaf], sizes=wall_sheet.SIZES, sides=wall_sheet.SIDES, margin=9
    )


KINDS: Final[Mapping[str, HandoutKind]] = {
    "student": HandoutKind("student sheet", {"recipe": _of_recipe(student_leaf), "course": _of_course(CourseText.student)}),
    "teacher": HandoutKind("teacher sheet", {"recipe": _of_recipe(teacher_leaf), "course": _of_course(CourseText.teacher)}),
    "bench": HandoutKind("bench card", {"recipe": _of_recipe(bench_card.card_leaf, sizes=bench_card.SIZES, sides=1, margin=11)}),
    "risk": HandoutKind("risk sheet", {"recipe": _of_recipe(_risk_leaf), "course": _of_course(CourseText.risk)}),
    "buying": HandoutKind("buying list", {"course": _of_course(CourseText.buying)}),
    "consent": HandoutKind("consent and patch sheet", {"course": _of_course(CourseText.consent)}),
    "look": HandoutKind("look sheet", {"build": _of_build(BuildText.looks, sides=1)}),
    "packing": HandoutKind("packing list", {"build": _of_build(BuildText.packing, sides=1)}),
    "day": HandoutKind("day sheet", {"build": _of_build(BuildText.days, sides=2)}),
    "labels": HandoutKind("labels", {"build": _labels}),
    "emergency": HandoutKind("sheet for the wall", {"recipe": _wall, "course": _wall, "build": _wall}),
}  # fmt: skip
"""By the word that is typed."""
USUAL: Final[Mapping[Subject, str]] = {"recipe": "student", "course": "student", "build": "look"}
"""What is printed where nobody says what."""
_FOLDERS: Final[Mapping[str, Subject]] = {
    "course": "course", "courses": "course", "build": "build", "builds": "build", "recipes": "recipe",
}  # fmt: skip
_MODELS: Final[Mapping[Subject, type[Course] | type[Build]]] = {"course": Course, "build": Build}


def document_of(view: View, model: type[M], asked: str) -> Document[M]:
    """The document of a course or build that is meant.

    Raises:
        RefusedError: It cannot be read; with its own notices.
    """
    name = asked.rpartition("/")[2].removesuffix(".yaml")
    if (found := view.of(model).get(name)) is None:
        kind = "course" if issubclass(model, Course) else "build"
        raise RefusedError(*view.on(kind)[name].notices)
    return found


def subject_of(view: View, asked: str) -> Subject:
    """What somebody means by a name: a course, a build, else a recipe.

    Raises:
        RefusedError: ``unknown-recipe``: nothing is called so; ``two-of-a-name``: a course and a build are.
    """
    folder, slash, name = asked.partition("/")
    if slash and (subject := _FOLDERS.get(folder)) is not None:
        if subject != "recipe" and name.removesuffix(".yaml") not in view.on(subject):
            raise _nothing(view, asked)
        return subject
    found: list[Subject] = [subject for subject in _MODELS if asked in view.on(subject)]
    if len(found) > 1:
        raise refused(
            "two-of-a-name", f"A course and a build are both called `{asked}`.", f"Type `courses/{asked}` or `builds/{asked}`."
        )  # fmt: skip
    if not found and view.versions(asked.partition("@")[0]) is None and not _is_recipe(view, asked):
        raise _nothing(view, asked)
    return found[0] if found else "recipe"


def _is_recipe(view: View, asked: str) -> bool:
    name = asked.partition("@")[0].removesuffix(".yaml")
    return any(address == name or address.endswith(f"/{name}") for address in (*view.recipes, *view.on("recipe")))


def _nothing(view: View, asked: str) -> RefusedError:
    names = [*view.on("course"), *view.on("build"), *view.recipes]
    near = nearest(asked.partition("@")[0], names)
    told = (
        f"Did you mean `{near}`?"
        if near
        else f"There are {', '.join(f'`{each}`' for each in names[:8])}."
        if names
        else "The book holds none yet."
    )
    return refused(
        "unknown-recipe", f"No recipe, course or build is called `{asked}` in the {view.edition} edition.", told
    )


def kind_of(subject: Subject, asked: str | None) -> str:
    """The kind of handout somebody wants of a subject; the usual one unless said.

    Raises:
        RefusedError: ``unknown-handout``.
    """
    kind = asked or USUAL[subject]
    if kind not in KINDS or subject not in KINDS[kind].makers:
        offered = ", ".join(f"`{each}`" for each, row in KINDS.items() if subject in row.makers)
        near = f"There is no handout `{kind}` of a {subject}."
        raise refused("unknown-handout", near, f"Type `--kind` and one of {offered}.")
    return kind
