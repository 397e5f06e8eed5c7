"""The way out of every state a book can get into: finds, says, asks, mends."""

from __future__ import annotations

from typing import Annotated, Any, Final

from mothermold.answers.question import question
from mothermold.answers.result import Result, notices_text
from mothermold.cli.asked import Call
from mothermold.cli.asking import Terminal
from mothermold.cli.deeds import YES, is_attended
from mothermold.desk.heard import Heard
from mothermold.desk.mending import Mended, mend_book
from mothermold.ground.notices import Notice
from mothermold.history.mishap import Mishap

EMPTY: Final[dict[str, Any]] = {"found": []}
_LOOKED: Final = (
    "Looked at: whether the book can be written to, git's own folder, locks, the saves, git's list of files, what was begun and "
    "not finished,\nhistories within the book, files with two texts, copies, line ends. What documents say is for `mothermold check`."
)


def _text(result: Result) -> str:
    found = result.data["found"]
    if not found:
        return f"Nothing is wrong that can be mended here.\n{_LOOKED}\n"
    done = sum(1 for each in found if each["done"])
    left = len(found) - done
    said = f"{done} mended." if not left else f"{done} mended, {left} not."
    return f"{said}\n{notices_text(result)}"


@question("mend", empty=EMPTY, text=_text)
def mend(call: Call, *, yes: Annotated[bool, YES] = False) -> Result:
    """Finds what went wrong with git, folders and files, and mends it where that is agreed to."""
    asks = is_attended() and not call.is_for_programs
    asking = Heard(agrees=yes) if call.is_for_programs else Terminal()

    def agrees(_mishap: Mishap) -> bool:
        return yes or (asks and asking.agree("  Shall that be done?", default=True))

    found = mend_book(call.book(), asking, agrees=agrees)
    return Result(
        {"found": [_row(each) for each in found]},
        _left(found, offered=not (yes or asks)),
        all(each.done for each in found),
    )


def _row(mended: Mended) -> dict[str, Any]:
    mishap = mended.mishap
    return {
        "what": mishap.what,
        "where": mishap.where,
        "done": mended.done,
        "says": mishap.says,
        "does": mishap.will,
    }


def _left(found: list[Mended], *, offered: bool) -> list[Notice]:
    """A notice for each that is not mended: what to do now."""
    told = []
    for each in found:
        if each.done:
            continue
        advice = each.why_not or each.mishap.will
        if each.mishap.mend is not None and not each.why_not:
            advice = (
                "Type `mothermold mend --yes` to have it mended."
                if offered
                else "Type `mothermold mend` again when you want it mended."
            )
        told.append(Notice("needs-mending", "error", each.mishap.says, advice))
    return told
