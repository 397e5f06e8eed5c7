"""What the page of a day says once it was worn: its times beside the planned ones, what was mended, what held, what is to change."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Final

from mothermold.answers.day_record import DayRecord, TimeRow, WornPiece
from mothermold.answers.day_sheet import DaySheet, LookDay, next_morning
from mothermold.model.run import Run, TouchUp
from mothermold.pages.content import Block, Heading, Lead, Row, Section, Tag, Widget, Words
from mothermold.pages.day_things import BAD
from mothermold.pages.pictures import side_by_side
from mothermold.pages.pieces import piece_lead
from mothermold.pages.runs import ending
from mothermold.pages.saying import Loose, framed, joined, marked, para, points, quiet, section, table, words
from mothermold.pages.wording import spoken
from mothermold.quantities.wording import minutes_in_words
from mothermold.view.view import View

_TIMES: Final = {"What": "", "Planned": "day", "As it was": "day", "Difference": "across"}
_MENDED: Final = {"At": "day", "Zone": "", "What was done": "across"}
_WORN: Final = {"Piece": "", "What it is": "", "Cast in": "across", "Then": ""}
_ON_TIME: Final = 5
"""Minutes that nobody calls late."""
_EXACT: Final = 3


def record_sections(view: View, sheet: DaySheet, look: LookDay, record: DayRecord, *, alone: bool) -> Iterator[Section]:
    """The sections of the record of a look on a day.

    Args:
        view: The edition.
        sheet: The day.
        look: The look.
        record: What became of it.
        alone: Whether it is the only one of the day; else its name stands in each heading.
    """
    of = "" if alone else f" ({spoken(str(look.look.id))})"
    yield section("held", f"What held, and what did not{of}", *_held(record))
    yield section("times", f"Planned, and as it was{of}", *_times(record), style="wide")
    yield section("mended", f"Touch-ups by hour and zone{of}", *_mended(record), style="wide")
    yield section("moments", f"Meals, breaks, photos{of}", *_moments(record))
    yield section("worn", f"Pieces worn{of}", *_worn(view, sheet, record), style="wide")
    yield section("photos", f"Photos{of}", _photos(record))
    yield section("skin", f"The morning after{of}", *_morning(sheet, record))
    yield section("change", f"For the next day{of}", *_change(record))
    yield section("runs", f"Its runs{of}", points(_runs(record), "plain runs"))


def _held(record: DayRecord) -> Iterator[Block | None]:
    yield points(
        (
            Tag(each.harm or "went wrong", "open"),
            " ",
            Lead("failure", each.failure) if each.failure else each.what,
            framed(". ", each.note),
            " ",
            quiet(Lead("run", run.id)),
        )
        for run, each in record.wrong
    )
    if not record.wrong:
        yield para(
            "Its runs tell of nothing that went wrong."
            if record.is_over
            else "Nothing that went wrong is noted so far."
        )
    elif record.is_over:
        yield para("Of anything else its runs tell nothing.", style="quiet")


def _times(record: DayRecord) -> Iterator[Block | None]:
    yield table("The day", _TIMES, map(_time, (each for each in record.times if each.planned or each.real)))
    if record.steps:
        yield Heading(("Its steps, when they were done",))
        yield table(
            "Its steps", _TIMES, map(_time, sorted(record.steps, key=lambda each: (each.real is None, each.real)))
        )


def _time(row: TimeRow) -> Row:
    late, so = row.late, ""
    if late is not None:
        so = (
            "on time"
            if abs(late) <= _ON_TIME
            else f"{minutes_in_words(abs(late))} {'later' if late > 0 else 'earlier'}"
        )
    return Row(
        (
            words(row.what),
            words(f"{row.planned:%H:%M}" if row.planned else quiet("not written")),
            words(f"{row.real:%H:%M}" if row.real else quiet("not noted")),
            words(so),
        )
    )


def _mended(record: DayRecord) -> Iterator[Block | None]:
    if not record.mended:
        yield para("None is noted.")
        return
    zones = Counter(str(each.zone or "where is not noted") for _run, each in record.mended)
    often = ", ".join(f"{zone} {count} times" for zone, count in zones.items() if count > 1)
    yield para(f"{len(record.mended)} in all", f"; {often}" if often else None, ".")
    yield table("Touch-ups", _MENDED, (_touch_up(each) for _run, each in record.mended))


def _touch_up(each: TouchUp) -> Row:
    return Row((words(each.at or quiet("when?")), words(each.zone or quiet("where?")), words(each.note)))


def _moments(record: DayRecord) -> Iterator[Block | None]:
    told = (
        (marked("bold", each.at), " ", each.what, framed(", ", each.zone), framed(": ", each.note))
        for _run, each in record.moments
    )
    yield points(told) if record.moments else para("None is noted.")


def _worn(view: View, sheet: DaySheet, record: DayRecord) -> Iterator[Block | None]:
    if not record.pieces:
        yield para("No run says which pieces were worn.", style=BAD)
        return
    yield table("Pieces worn", _WORN, (_piece(view, sheet.name, each) for each in record.pieces))


def _piece(view: View, build: str, each: WornPiece) -> Row:
    piece = each.piece
    cast: Loose = (
        (Lead("run", piece.run.id), framed(", box ", piece.kept.box))
        if piece
        else quiet("its casting is not in the book")
    )
    return Row(
        (
            words(marked("bold", piece_lead(view, build, str(each.used.piece)))),
            words(spoken(piece.thing) if piece else ""),
            words(cast),
            words(each.used.then or quiet("not noted")),
        )
    )


def _photos(record: DayRecord) -> Block | None:
    return Widget("pictures", side_by_side(record.photos)) if record.photos else None


def _morning(sheet: DaySheet, record: DayRecord) -> Iterator[Block]:
    after = next_morning(sheet.day)
    if record.morning is None:
        yield para(
            "Nobody said how the skin was on the morning of ",
            after,
            ". That is no yes: ask before anything is glued again.",
            style=BAD,
        )
    elif record.morning == "not available":
        yield para(
            after,
            ": ",
            Tag("not available", "failed"),
            " Nothing is glued before a doctor has looked and a new patch test is read and clear.",
        )
    else:
        yield para(after, ": ", Tag("available", "good"))


def _change(record: DayRecord) -> Iterator[Block | None]:
    lines: list[Loose] = []
    for each in record.change:
        newer = joined((Lead("reference", name, name) for name in each.answered), ", ")
        answer: Words = words("; answered since by ", newer, ", which the look does not name yet") if newer else ()
        lines.append((Lead("failure", each.failure, each.title), framed(": ", each.prevent), answer))
    lines += [
        ("Done differently", step and f" at “{spoken(step)}”", ": ", note, " ", quiet("Write it into the next version, or let it be; "), quiet(Lead("run", run.id)))
        for run, step, note in record.changed
    ]  # fmt: skip
    slow = [each for each in record.steps if (each.late or 0) > _ON_TIME]
    if len(slow) >= _EXACT:
        lines.append(
            f"{len(slow)} of {len(record.steps)} noted steps ended later than planned; what they really take is said on their recipes' pages."
        )
    yield points(lines) if lines else para("Nothing its runs tell asks for a change.")


def _runs(record: DayRecord) -> Sequence[Loose]:
    return [_run(each) for each in record.runs]


def _run(run: Run) -> Words:
    ended = ending(run)
    return words(
        Tag(ended, ended), f"{run.started:%H:%M} ", Lead("run", run.id), framed(" by ", ", ".join(map(str, run.who)))
    )
