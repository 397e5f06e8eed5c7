"""What a book is begun, changed and kept with: the deeds of the desk, asked for at the terminal."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, Final

from mothermold.answers import open_needs
from mothermold.answers.question import Option, Typed, argument, deed, flag, option, question
from mothermold.answers.result import Result, notices_text
from mothermold.cli.asked import Call, say
from mothermold.cli.asking import Terminal
from mothermold.desk.bringing import bring_runs
from mothermold.desk.founding import found_book, may_be_founded
from mothermold.desk.numbering import Wish
from mothermold.desk.opening import open_for
from mothermold.desk.putting_back import put_back
from mothermold.desk.saving import save_book
from mothermold.desk.starting import start
from mothermold.desk.undoing import undo_save
from mothermold.desk.whereabouts import ask_whereabouts, known_whereabouts

YES: Final = flag("ask nothing; take what is proposed")
_KIND: Final = argument("KIND", "what begins, like recipe or failure; left out, all kinds are offered")
_FROM: Final = option(
    "RECIPE", "the recipe a new one starts from, like cast/cheek-piece or cast/cheek-piece@3", "--from"
)


def is_attended() -> bool:
    """Whether somebody sits there: nobody else is asked anything."""
    return sys.stdin is not None and sys.stdin.isatty()


@deed("init")
def init(dir: Annotated[str, argument("DIR", "the folder")]) -> None:  # noqa: A002 - as it is typed
    """Makes an empty book."""
    folder = Path(dir)
    may_be_founded(folder)
    about = known_whereabouts(folder)
    if is_attended():
        about = ask_whereabouts(Terminal(), about)
    say(found_book(folder, about))


@deed("new")
def new(call: Call, kind: Annotated[Typed, _KIND] = None, source: Annotated[Typed, _FROM] = None) -> None:
    """Begins a document."""
    start(call.desk(), Terminal(), kind, source=source)


@deed("save")
def save(
    call: Call,
    why: Annotated[str, option("WHY", "why, in a sentence", "-m", "--why")] = "",
    fixes: Annotated[Sequence[str], option("NAME", "the failure notes it answers", nargs="+")] = (),
    *,
    keep_number: Annotated[bool, flag("the change under a locked number only mends a slip of the pen")] = False,
    with_errors: Annotated[bool, flag("save documents with errors too")] = False,
    yes: Annotated[bool, YES] = False,
) -> None:
    """Saves what changed."""
    wish = Wish(why.strip(), tuple(fixes), keep_number, with_errors)
    save_book(call.desk(), wish, Terminal(), asks=not yes and is_attended())


@deed("undo")
def undo(
    call: Call,
    *,
    unsaved: Annotated[bool, flag("back to the last save; the present texts are laid aside")] = False,
    yes: Annotated[bool, YES] = False,
) -> None:
    """Withdraws the last save, or goes back to it."""
    root = call.desk()
    if call.finished == ("put-back" if unsaved else "undo"):
        return
    take_back = put_back if unsaved else undo_save
    take_back(root, Terminal(), asks=not yes and is_attended())


@deed("bring")
def bring(
    call: Call,
    file: Annotated[Sequence[str], argument("FILE", "files or folders; default: the book's inbox", nargs="*")] = (),
    to: Annotated[Typed, option("BUILD", "the build runs belong to; default: the mold's or the thing's")] = None,
) -> None:
    """Takes what was noted at the bench into the book."""
    say(bring_runs(call.desk(), file, Terminal(), to=to, asks=is_attended()))


def _open_text(result: Result) -> str:
    told = open_needs.lines_of(result.data)
    if result.data["opened"]:
        told += ["", "Nothing else in them was touched. `mothermold save` keeps it; only then is it seen."]
    elif result.data["opens"]:
        told += ["", "Nothing was opened. Type it again with `--yes` to open all of it."]
    return "\n".join(told) + "\n" + notices_text(result)


_DOCUMENT: Final[Option] = argument(
    "DOCUMENT", "a course by its name, or a recipe, like cast/cheek-piece or cast/cheek-piece@3"
)


@question("open", empty=open_needs.EMPTY, text=_open_text)
def open_document(
    call: Call,
    document: Annotated[str, _DOCUMENT],
    to: Annotated[Typed, option("EDITION", "class or public")] = None,
    *,
    yes: Annotated[bool, YES] = False,
) -> Result:
    """Says what an edition lacks for a document, and opens it where that is agreed to."""
    asks = not yes and is_attended() and not call.is_for_programs
    return open_for(call.desk(), document, to, Terminal(), yes=yes, asks=asks)
