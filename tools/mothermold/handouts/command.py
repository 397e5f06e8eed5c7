"""The command `handout`: writes one handout as PDF and says what was written where."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any, Final, cast

from mothermold.answers.question import Typed, argument, option, question
from mothermold.answers.result import Result, notices_text
from mothermold.answers.wishes import BatchAsked
from mothermold.ground.errors import CannotRunError, refused
from mothermold.ground.notices import Notice
from mothermold.ground.writing import place_bytes, write_new
from mothermold.handouts.kinds import KINDS, PrintWish, kind_of, subject_of
from mothermold.handouts.label_sheets import LABEL_SHEETS
from mothermold.handouts.sheaf import PAPERS, Paper, Sheaf
from mothermold.handouts.typesetting import MARK, Printed, names_of, print_sheaf
from mothermold.view.view import View

EMPTY: Final[dict[str, Any]] = {"of": None, "kind": None, "paper": None, "edition": None, "file": None, "pages": None}
_OF: Final = argument("NAME", "a recipe like cast/cheek-piece@3, a course or a build")
_FOLDER: Final = "handouts"


def _used(text: str) -> int:
    if not (text.isascii() and text.isdigit() and len(text) <= 3):
        raise refused(
            "out-of-range", f"--used: `{text}` is not a number of labels.", "Give a whole number from 0 to 999."
        )
    return int(text)


@dataclass(frozen=True, slots=True)
class HandoutAsked:
    """What is asked for, as typed."""

    kind: Annotated[Typed, option("KIND", f"{', '.join(KINDS)}; default: student, of a build look")] = None
    paper: Annotated[Typed, option("PAPER", "a4 or letter; default: a4", choices=tuple(PAPERS))] = None
    out: Annotated[Typed, option("FILE", "where to; default: handouts/EDITION/NAME.pdf in the book")] = None
    mold: Annotated[Typed, option("ID", "of a recipe: weigh its mixes for this mold")] = None
    labels: Annotated[
        Typed,
        option(
            "SIZE",
            f"of labels: {', '.join(LABEL_SHEETS)}; default: the first of the paper",
            choices=tuple(LABEL_SHEETS),
        ),
    ] = None
    used: Annotated[int, option("N", "of labels: how many of the first sheet are used up", read=_used)] = 0
    fill: Annotated[Typed, option("Q", "of a recipe: weigh its mixes for this cavity, like '185 ml'")] = None


_ASKED: Final = HandoutAsked()


@dataclass(frozen=True, slots=True)
class MadeHandout:
    """A handout, before it lies anywhere.

    Attributes:
        of: What it is made of, at which version.
        kind: Its kind.
        printed: The file.
        name: What it is called where nobody says.
        notices: What is said about it.
    """

    of: str
    kind: str
    printed: Printed
    name: str
    notices: tuple[Notice, ...]


def _text(result: Result) -> str:
    told = result.data
    pages = f"{told['pages']} {'page' if told['pages'] == 1 else 'pages'} of {PAPERS[told['paper']]}"
    first = f"{KINDS[told['kind']].title.capitalize()} of {told['of']}, {pages}: {told['file']}\n"
    if told["edition"] == "private":
        first += "It is made of all you see yourself. To hand it out: `--for class`, which leaves out what a class may not read.\n"
    return first + notices_text(result)


@question("handout", empty=EMPTY, text=_text)
def write_handout(view: View, root: Path | None, of: Annotated[str, _OF], asked: HandoutAsked = _ASKED) -> Result:
    """Writes one handout.

    Args:
        view: The edition it is made of.
        root: The book's folder.
        of: A recipe, with ``@version`` where not the current one is meant, a course or a build.
        asked: Its kind, paper and place.

    Raises:
        RefusedError: What is asked for is not there or cannot be made, or something else lies where it should.
        CannotRunError: What lays it out is not installed, or the disk refused.
    """
    paper = cast("Paper", asked.paper or "a4")
    if (
        asked.out is not None
        and not asked.out.casefold().endswith((".pdf", "/", "\\"))
        and not Path(asked.out).is_dir()
    ):
        raise refused(
            "wrong-suffix", f"`{asked.out}` is not a PDF by its name.", f"Type `--out {Path(asked.out).stem}.pdf`."
        )
    wish = PrintWish(view, of, BatchAsked(mold=asked.mold, fill=asked.fill), asked.labels or "", asked.used)
    made = _made(wish, asked.kind, paper)
    folder = (root or view.root) / _FOLDER / view.edition
    place = folder / made.name if asked.out is None else Path(asked.out)
    if asked.out is not None and (place.is_dir() or asked.out.endswith(("/", "\\"))):
        place /= made.name
    _put(place, made.printed.pdf)
    shown = place.relative_to(view.root).as_posix() if place.is_relative_to(view.root) else str(place)
    data = {
        "of": made.of, "kind": made.kind, "paper": paper, "edition": view.edition, "file": shown, "pages": made.printed.pages,
    }  # fmt: skip
    return Result(data, made.notices)


def make_handout(view: View, of: str, kind: str | None, paper: Paper, batch: BatchAsked | None = None) -> MadeHandout:
    """Makes one handout, and writes nothing.

    Args:
        view: The edition it is made of.
        of: A recipe, with ``@version`` where not the current one is meant, a course or a build.
        kind: Its kind; the usual one of its subject unless given.
        paper: The paper.
        batch: For which mold or fill a recipe's mixes are weighed.

    Raises:
        RefusedError: What is asked for is not there or cannot be made.
        CannotRunError: What lays it out is not installed.
    """
    return _made(PrintWish(view, of, batch or BatchAsked()), kind, paper)


def _made(wish: PrintWish, kind: str | None, paper: Paper) -> MadeHandout:
    subject = subject_of(wish.view, wish.of)
    word = kind_of(subject, kind)
    if subject != "recipe" and (wish.batch.mold or wish.batch.fill):
        raise refused("not-a-recipe", "`--mold` and `--fill` go with one recipe.", "Leave them out, or name a recipe.")
    sheaf = KINDS[word].makers[subject](wish)
    printed = print_sheaf(wish.view, sheaf, paper)
    name = f"{sheaf.of.replace('/', '-').replace('@', '-v')}-{word}-{paper}.pdf"
    return MadeHandout(sheaf.of, word, printed, name, (*dict.fromkeys(wish.notices), *_of_print(sheaf, printed)))


def _of_print(sheaf: Sheaf, printed: Printed) -> Iterator[Notice]:
    if printed.not_printed:
        yield Notice(
            "letter-not-printed",
            "warning",
            f"No font here has {names_of(printed.not_printed)}; on paper a box stands for it.",
            "Write the word in letters the fonts have, or add it by hand to the sheet.",
        )
    if not printed.fits:
        yield Notice(
            "card-too-long",
            "advice",
            f"Even in letters of {sheaf.sizes[-1]:g} points it takes {printed.pages} sides, not {sheaf.sides}.",
            "Print it on both sides, or make two recipes of a long one.",
        )


def _put(place: Path, pdf: bytes) -> None:
    """Lays the file down; over an earlier handout, and over nothing else."""
    try:
        before = place.read_bytes() if place.exists() else None
    except OSError as problem:
        raise CannotRunError(f"{place} could not be read: {problem.strerror or problem}.") from problem
    if before is None:
        write_new(place, pdf)
    elif MARK.encode() in before:
        place_bytes(place, pdf)
    else:
        raise refused(
            "already-there", f"`{place}` is there already and no handout of a book.", "Choose another name for `--out`."
        )
