"""What the sheet of a day says before it, in its order: may it be glued, whose hands do what when, then all it takes.

As data, so that the page and the day sheet on paper say the same. What it takes is told in `day_things`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, datetime
from typing import Final

from mothermold.answers.day_clock import LONG_SIT, ClockRow, DayClock, LookClock
from mothermold.answers.day_sheet import Before, Clear, DaySheet, LookDay, next_morning
from mothermold.answers.result import title_words
from mothermold.pages import day_things as things
from mothermold.pages.content import Block, Heading, Lead, Row, Section, Tag, Words
from mothermold.pages.day_things import BAD
from mothermold.pages.saying import Loose, labels, marked, para, quiet, section, table, words
from mothermold.pages.wording import spoken
from mothermold.quantities.wording import minutes_in_words
from mothermold.trade.skin import PATCH_TEST_HOURS
from mothermold.view.view import View

_CLEAR: Final = {"Product": "", "Read": "day", "Lot tried": "", "Lot in hand": "", "Verdict": "across"}
_READ: Final = {"Product": "", "Read": "day", "Verdict": "across"}
_READINGS: Final = {
    "none": "no patch test of it is written down",
    "not read": "the patch was not read",
    "too late": "read on the day or after it",
    "too soon": f"read less than {PATCH_TEST_HOURS} h after it was put on",
    "days not known": "when the patch was put on is not written",
}
_LOTS: Final = {
    "not tried": "the lot in hand was not tried",
    "not known": "which lot was tried, or is in hand, is not written",
}
_HANDS: Final = ("First hands", "Second hands", "Third hands", "Fourth hands")


def plan_sections(view: View, sheet: DaySheet, look: LookDay, *, alone: bool) -> Iterator[Section]:
    """The sections of a look before and on its day, in the order they are needed.

    Args:
        view: The edition.
        sheet: The day.
        look: The look.
        alone: Whether it is the only one of the day; else its name stands in each heading.
    """
    of = "" if alone else f" ({spoken(str(look.look.id))})"
    yield section("may", f"May it be glued?{of}", *_may(view, look), style="wide")
    yield section("clock", f"By the clock{of}", *_clock(sheet.clock, look.clock, sheet, look), style="wide by-clock")
    yield section("pieces", f"Pieces, in gluing order{of}", *things.pieces_told(view, sheet, look), style="wide")
    yield section("glues", f"Glues, in gluing order{of}", *things.glues_told(view, look))
    yield section("palette", f"Palette by zone{of}", *things.palette_told(look.colors), style="wide")
    yield section("before", _titled("The day before", look.before, of), *things.before_told(look))
    yield section("off", f"Off again, what went on last first{of}", *things.off_told(view, look))
    yield section("morning", f"The morning after{of}", *things.morning_told(sheet))
    yield section("pack", f"To pack{of}", *things.pack_told(view, look))


def _titled(words_: str, before: Before | None, of: str) -> Loose:
    return (words_, ": ", before.day, of) if before is not None else f"{words_}{of}"


def glance(sheet: DaySheet, look: LookDay) -> Block:
    """Who, when, which look."""
    clock = look.clock
    ends = f"{clock.done:%H:%M} by the written times" if clock.has_steps else None
    return labels(
        ("What", look.day.what),
        ("Look", Lead("build", sheet.name, spoken(str(look.look.id)))),
        ("Wearer", look.wearer or "nobody said who wears it"),
        (
            "Pairs of hands",
            str(sheet.clock.hands) + (f" (last time {', '.join(look.artists)})" if look.artists else ""),
        ),
        ("In the chair", f"{clock.chair:%H:%M}" + (", not written: the book's opening" if clock.is_guessed else "")),
        ("Ready at", look.day.ready and (look.day.ready, quiet(f" ({ends})") if ends else None)),
        ("Wrap", look.day.wrap),
        style="glance",
    )


# May it be glued?


def _may(view: View, look: LookDay) -> Iterator[Block | None]:
    if view.edition == "private":
        yield from morning_said(look, view.day)
    else:
        yield para(
            "Which lots were tried, and what was said on mornings, stay with whoever keeps the book: ask there.",
            style="quiet",
        )
    if not look.look.recipes:
        yield para("No sheet says what comes on skin, so whether it is clear is not known.", style=BAD)
        return
    if not look.wearer:
        yield para("Nobody said who wears it, so nothing is clear for anybody. Type `wearer:` in the look.", style=BAD)
    titles = title_words(view)
    unread = [str(ref) for ref in look.look.recipes.values() if view.ruling.text(ref) is None]
    if unread:
        yield para(f"What {', '.join(unread)} brings on skin is not known: the book has no such text.", style=BAD)
    never = [titles.get(each.read.product, each.read.product) for each in look.clear if each.read.reading != "clear"]
    lots = [
        each
        for each in look.clear
        if each.read.reading == "clear" and each.lots != "tried" and view.edition == "private"
    ]
    if never:
        yield para(
            f"Not clear for {look.wearer or 'the wearer'}: ", marked("strong", ", ".join(never)), ". None of it goes on skin.", style=BAD,
        )  # fmt: skip
    if lots:
        yield para(
            f"Clear by name, and not by lot: {len(lots)} of {len(look.clear)} products. Look at the bottle before it is opened; a lot nobody "
            "tried is another product until it is.",
            style=BAD,
        )
    if look.clear and not never and not lots and not unread and look.wearer:
        yield para(
            f"All {len(look.clear)} products{', in lots in hand,' if view.edition == 'private' else ''} were read and clear for {look.wearer} before this day. That is no promise; "
            "the skin is asked again this morning.",
            style="banner",
        )
    yield table(
        "Patch tests by product",
        _CLEAR if view.edition == "private" else _READ,
        (_clear(view, titles, each) for each in look.clear),
    )


def _clear(view: View, titles: Mapping[str, str], each: Clear) -> Row:
    read, so = each.read, words(Tag("clear", "good"))
    name, on = words(Lead("material", read.product, titles.get(read.product, read.product))), words(read.on)
    if read.reading != "clear":
        so = words(Tag("not clear", "failed"), " ", _READINGS[read.reading])
    if view.edition != "private":
        return Row((name, on, so))
    if read.reading == "clear" and each.lots != "tried":
        so = words(Tag("which lot?", "open"), " ", _LOTS[each.lots])
    elif each.is_clear and len(each.in_hand) > 1:
        tried = ", ".join(lot for lot in each.in_hand if lot in read.lots)
        so = words(so, f" of the lots in hand only {tried}")
    lots = words(", ".join(read.lots) or quiet("not written"))
    return Row((name, on, lots, words(", ".join(each.in_hand) or quiet("none written")), so))


def morning_said(look: LookDay, today: date | None) -> Iterator[Block]:
    """What was said on the morning after the last day in the chair; where nobody said anything, that."""
    before = look.before
    if look.untold is not None:
        yield _untold(look, look.untold, today)
    if before is None or (look.untold is not None and look.untold > before.day):
        return
    after = next_morning(before.day)
    if before.morning is None:
        yield para(
            "Nobody said how the skin was on the morning of ", after, f", after the last day in the chair. Ask {look.wearer} alone, before "
            "anything is opened; redness, itch or stinging means no glue.",
            style=BAD,
        )  # fmt: skip
    elif before.morning == "not available" and not before.is_cleared_since:
        yield para(
            f"On the morning of {after.isoformat()} {look.wearer} was ", marked("strong", "not available"), ". Nothing is glued before a doctor has "
            "looked and a new patch test is read and clear.",
            style=BAD,
        )  # fmt: skip
    else:
        since = ", and a patch test was read and clear since" if before.morning == "not available" else ""
        yield para(f"The morning after {before.day.isoformat()}: {before.morning}{since}.", style="quiet")


def _untold(look: LookDay, last: date, today: date | None) -> Block:
    """A day before this one of which no run tells: what the skin said to it nobody knows."""
    after = next_morning(last)
    if today is not None and today <= last:
        return para(
            f"{look.wearer} is in the chair on ",
            last,
            " before this; on the morning of ",
            after,
            " comes the question whether to glue again.",
            style="quiet",
        )
    return para(
        f"{look.wearer} was to be in the chair on ", last, ", and no run tells of it; so nobody said how the skin was on the morning of ", after,
        ". Ask before anything is opened; redness, itch or stinging means no glue.", style=BAD,
    )  # fmt: skip


# By the clock.


def _clock(clock: DayClock, look: LookClock, sheet: DaySheet, of: LookDay) -> Iterator[Block | None]:
    if not look.has_steps:
        yield para("No step of an application is known, so no clock can be laid out.", style=BAD)
        return
    took = int((look.done - look.chair).total_seconds()) // 60
    if look.latest is None:
        yield para(
            "When it must be ready is not written, so nothing counts back from it. Type `ready:` for the day.",
            style=BAD,
        )
    elif look.spare is not None and look.spare < 0:
        yield para(
            f"By their written times the steps end {minutes_in_words(-look.spare)} after “ready”. In the chair by ",
            marked("strong", f"{look.latest:%H:%M}"), ", or agree on a later “ready” today.", style=BAD,
        )  # fmt: skip
    else:
        yield para(
            f"The steps take {minutes_in_words(took)}. Counted back from {look.ready:%H:%M} the chair must begin by ",
            marked("strong", f"{look.latest:%H:%M}"), f"; it begins {minutes_in_words(look.spare or 0)} before that." if look.spare else ", and it does.",
        )  # fmt: skip
    if look.longest_sit > LONG_SIT:
        yield para(
            f"Up to {minutes_in_words(look.longest_sit)} in the chair without a break that is written down. Agree on one, before the mouth is covered.",
            style="banner",
        )
    many = max(clock.hands, 1)
    heads = (
        {"At": "day", "To ready": "number"}
        | dict.fromkeys(map(_hands_called, range(many)), "across")
        | {"Then": "across"}
    )
    mine = [row for row in clock.rows if row.look == of.look.id]
    for title, stages in (
        ("From the chair to ready", ("application",)),
        ("Through the day and off", ("wear", "removal")),
    ):
        rows = [row for row in mine if row.stage in stages]
        if rows:
            yield Heading((title,))
            columns = (
                heads
                if stages == ("application",)
                else {key: style for key, style in heads.items() if key != "To ready"}
            )
            yield table(
                title, columns, (_clock_row(row, many, sheet.day, counts="To ready" in columns) for row in rows)
            )


def _hands_called(hand: int) -> str:
    return _HANDS[hand] if hand < len(_HANDS) else f"Hands {hand + 1}"


def _clock_row(row: ClockRow, many: int, day: object, *, counts: bool) -> Row:
    title = Lead("reference", row.recipe, row.title)
    whose: list[Words] = []
    for hand in range(many):
        mine = hand in row.hands
        beside = " with the others" if mine and len(row.hands) > 1 and hand != row.hands[0] else None
        told: Loose = quiet("sits up as well") if row.is_break and not mine else quiet("free")
        if mine:
            told = (
                (Tag("break"), " ") if row.is_break else None,
                title if hand == row.hands[0] else "the same",
                beside,
            )
        whose.append(words(told))
    then = f"waits until {row.over:%H:%M}" if row.over > row.end and row.step is not None else ""
    short = f"; it asks for {row.wanted} pairs of hands" if row.wanted > max(many, 1) else ""
    left = (_left(row.before_ready),) if row.before_ready is not None else ()
    cells_ = [words(_at(row.start, day))]
    cells_ += [words(*left)] if counts else []
    return Row((*cells_, *whose, words((then + short).lstrip("; "))))


def _at(moment: datetime, day: object) -> str:
    return f"{moment:%H:%M}" + ("" if moment.date() == day else " next day")


def _left(minutes: int) -> str:
    hours, rest = divmod(abs(minutes), 60)
    return f"{'−' if minutes >= 0 else '+'}{hours}:{rest:02}"
