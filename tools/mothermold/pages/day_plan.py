"""What the sheet of a day says before it: may she be glued, when whose hands do what, which pieces, glues, colors, what is packed, how it
comes off. As data, so that the page and the day sheet on paper say the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from itertools import starmap
from typing import Final

from mothermold.answers.day_clock import LONG_SIT, ClockRow, DayClock, LookClock
from mothermold.answers.day_colors import ZoneColors
from mothermold.answers.day_glues import GluedOn, TakenOff, WayBack
from mothermold.answers.day_sheet import Before, Clear, DaySheet, LookDay, next_morning
from mothermold.answers.piece_life import PieceSet, PlaceInSet
from mothermold.answers.result import title_words
from mothermold.model.names import RecipeRef
from mothermold.pages.content import Block, Heading, Lead, Row, Section, Tag, Widget, Words
from mothermold.pages.hurt import numbers
from mothermold.pages.pictures import side_by_side
from mothermold.pages.pieces import piece_lead
from mothermold.pages.pinned import pinned_title
from mothermold.pages.saying import Loose, framed, joined, labels, marked, para, points, quiet, section, table, words
from mothermold.pages.wording import amount_words, coats_words, spoken
from mothermold.quantities.wording import minutes_in_words
from mothermold.trade.cautions import Caution
from mothermold.trade.skin import PATCH_TEST_HOURS
from mothermold.view.view import View

BAD: Final = "banner error"
_CLEAR: Final = {"Product": "", "Read": "day", "Lot tried": "", "Lot in hand": "", "So": "across"}
_PIECES: Final = {"Place": "", "Piece": "", "Box": "", "It lacks": "across"}
_COLORS: Final = {"Zone": "", "Wanted": "across", "Paints its sheets name": "across", "Used last": "across"}
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
_MOST_PHOTOS: Final = 6


def plan_sections(view: View, sheet: DaySheet, look: LookDay, *, alone: bool) -> Iterator[Section]:
    """The sections of a look before and on its day, in the order they are needed.

    Args:
        view: The edition.
        sheet: The day.
        look: The look.
        alone: Whether it is the only one of the day; else its name stands in each heading.
    """
    of = "" if alone else f" ({spoken(str(look.look.id))})"
    yield section("may", f"May it be glued?{of}", *_may(view, sheet, look), style="wide")
    yield section("clock", f"By the clock{of}", *_clock(sheet.clock, look.clock, sheet, look), style="wide")
    yield section("pieces", f"Pieces, in gluing order{of}", *_pieces(view, sheet, look), style="wide")
    yield section("glues", f"Glues, in gluing order{of}", *_glues(view, look))
    yield section("palette", f"Palette by zone{of}", *_palette(look.colors), style="wide")
    yield section("before", _titled("The day before", look.before, of), *_before(look))
    yield section("off", f"Off again, what went on last first{of}", *_off(view, look))
    yield section("morning", f"The morning after{of}", *_morning(sheet))
    yield section("pack", f"To pack{of}", *_pack(view, sheet, look))


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


def _may(view: View, sheet: DaySheet, look: LookDay) -> Iterator[Block | None]:
    yield from morning_said(look)
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
    lots = [each for each in look.clear if each.read.reading == "clear" and each.lots != "tried"]
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
            f"All {len(look.clear)} products, in the lots in hand, were read and clear for {look.wearer} before this day. That is no promise; "
            "the skin is asked again this morning.",
            style="banner",
        )
    yield table("Patch tests by product", _CLEAR, (_clear(titles, each) for each in look.clear))


def _clear(titles: dict[str, str], each: Clear) -> Row:
    read = each.read
    so: Loose = Tag("clear", "good")
    if read.reading != "clear":
        so = (Tag("not clear", "failed"), _READINGS[read.reading])
    elif each.lots != "tried":
        so = (Tag("which lot?", "open"), _LOTS[each.lots])
    return Row(
        (
            words(Lead("material", read.product, titles.get(read.product, read.product))),
            words(read.on),
            words(", ".join(read.lots) or quiet("not written")),
            words(", ".join(each.in_hand) or quiet("none written")),
            words(so),
        )
    )


def morning_said(look: LookDay) -> Iterator[Block]:
    """What was said on the morning after the last day in the chair; where nobody said anything, that."""
    before = look.before
    if before is None:
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
        yield para(f"The morning after {before.day.isoformat()}: {before.morning}.", style="quiet")


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
        beside = quiet(" with the others") if mine and len(row.hands) > 1 and hand != row.hands[0] else None
        told: Loose = quiet("sits up as well") if row.is_break and not mine else quiet("free")
        if mine:
            told = (Tag("break") if row.is_break else None, title if hand == row.hands[0] else "the same", beside)
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


# Pieces.


def _pieces(view: View, sheet: DaySheet, look: LookDay) -> Iterator[Block | None]:
    if look.pieces is not None:
        lacking = [_called(part) for part in look.pieces.parts if part.life is None or part.life.lacks]
        if lacking:
            yield para("Not ready: ", marked("strong", ", ".join(lacking)), ".", style=BAD)
        yield table("Pieces for the day", _PIECES, (_place(view, sheet.name, part) for part in look.pieces.parts))
    for number, each in enumerate(look.spare, start=1):
        many = f", {number} of {len(look.spare)}" if len(look.spare) > 1 else ""
        yield Heading((f"To spare{many}",))
        yield table("A set to spare", _PIECES, (_place(view, sheet.name, part) for part in each.parts))
    if not look.spare:
        yield para("No set to spare is planned: type `spares:` in the look.", style=BAD)
    if look.look.supplied:
        yield Heading(("Brought by others",))
        yield points(
            (each.what, each.who and f", from the {each.who}", each.due and (", due ", each.due))
            for each in look.look.supplied
        )


def _place(view: View, build: str, part: PlaceInSet) -> Row:
    if part.life is None:
        return Row((words(_called(part)), words(Tag("none", "failed")), (), words("no such piece is there: cast one")))
    lacks = words(Tag("not yet", "open"), ", ".join(part.life.lacks)) if part.life.lacks else words("nothing")
    box = part.life.piece.kept.box
    return Row(
        (
            words(_called(part)),
            marked("bold", piece_lead(view, build, part.life.label)),
            words(box or quiet("not written")),
            lacks,
        )
    )


def _called(part: PlaceInSet) -> str:
    return f"{part.kind} {spoken(part.thing)}".strip()


# Glues, and off again.


def _glues(view: View, look: LookDay) -> Iterator[Block | None]:
    if not look.glues:
        yield para("No sheet of the look names a glue.", style=BAD)
        return
    titles = title_words(view)
    yield points((_glue(titles, each) for each in look.glues), "numbered")
    found: dict[str, Caution] = {each.id: each for glue in look.glues for each in glue.cautions}
    yield para(
        "The maker's safety data sheets, the rules of your place and licensed practice come first.", style="quiet"
    )
    yield Widget("cautions", tuple(found.values())) if found else None


def _glue(titles: dict[str, str], each: GluedOn) -> Words:
    pieces = ", ".join(spoken(name) for name in each.pieces)
    name = titles.get(each.glue, each.glue)
    use = each.use
    amount = use.amount and (", ", use.amount)
    share = use.share is not None and each.mix is not None and f", {use.share} of it"
    coats = coats_words(use.coats) if use.coats is not None else ""
    how = (use.how and f", by {use.how}", amount, share, coats and f", {coats}")
    mixed: Loose = None
    if each.mix is not None:
        parts = ", ".join(f"{amount_words(part, titles)} {titles.get(part.name, part.name)}" for part in each.mix.parts)
        mixed = quiet(f"; mixed from {parts}", each.mix.batch and (", ", each.mix.batch, " in all"))
        name = str(each.mix.title or name)
    return words(
        Lead("reference", f"{each.ref}#{each.step.id}", str(each.step.title)),
        each.step.zone and quiet(f", {each.step.zone}"),
        pieces and quiet(f", for {pieces}"),
        ": ", marked("strong", name), how, mixed,
        ("; off with ", joined((_remover(titles, off) for off in each.off), " or ")) if each.off
        else ("; ", Tag("nothing takes it off", "failed")),
    )  # fmt: skip


def _remover(titles: dict[str, str], off: TakenOff) -> Words:
    names = dict.fromkeys(name for _step, used in off.steps for name in used)
    sure = "" if off.is_sure else " (if its label says so)"
    return words(marked("strong", ", ".join(titles.get(name, name) for name in names) or str(off.ref)), sure)


def _off(view: View, look: LookDay) -> Iterator[Block | None]:
    if not look.look.removal:
        yield para("No removal is written down. Nothing is glued before it is known how it comes off.", style=BAD)
        return
    titles = title_words(view)
    yield points((_back(titles, each) for each in look.back), "numbered")
    sheets = joined((_sheet(view, ref) for ref in look.look.removal), "; then ")
    yield para("By its sheets: ", sheets, ". Brush it under the edge, let it work, never pull.")
    for ref in look.look.removal:
        recipe = view.ruling.text(ref)
        if recipe is not None and recipe.off:
            yield para(
                "In an emergency it comes off by the list ",
                Lead("reference", str(ref), f"of {recipe.title}"),
                " and not by this one.",
                style="quiet",
            )


def _sheet(view: View, ref: RecipeRef) -> Words:
    return words(Lead("reference", str(ref), pinned_title(view, ref)), quiet(f" ({ref})"))


def _back(titles: dict[str, str], each: WayBack) -> Words:
    steps = ", ".join(dict.fromkeys(f"“{glued.step.title}”" for glued in each.put_on))
    how = (
        joined((_off_words(titles, off) for off in each.off), "; or ")
        if each.off
        else words(Tag("nothing known takes it off", "failed"))
    )
    return words(marked("strong", titles.get(each.glue, each.glue)), quiet(f" of {steps}"), ": ", how)


def _off_words(titles: dict[str, str], off: TakenOff) -> Words:
    steps = (Lead("reference", f"{off.ref}#{step.id}", str(step.title)) for step, _used in off.steps)
    return words(_remover(titles, off), framed(", at ", joined(steps, ", ")))


def _morning(sheet: DaySheet) -> Iterator[Block]:
    yield para(
        "By nine on ", next_morning(sheet.day), ", before the call sheet goes out, the wearer is asked alone: may you be glued again? Here stands only ",
        marked("strong", "available"), " or ", marked("strong", "not available"), ", and production hears the same two words. Redness, itch or stinging means no glue "
        "and no chair, and a doctor looks. How the skin was is never written here; the closed folder has a sheet for it, if the wearer agrees.",
    )  # fmt: skip


# Palette, the day before, packing.


def _palette(colors: Sequence[ZoneColors]) -> Iterator[Block | None]:
    if not colors:
        yield para("No zone has a color yet: no target, no sheet that paints, nothing used before.")
        return
    yield table("Palette by zone", _COLORS, (Row(tuple(_zone(each))) for each in colors))


def _zone(each: ZoneColors) -> Iterator[Words]:
    target = each.target
    yield words(marked("strong", each.zone))
    figures = ", ".join(
        f"{key} {getattr(target, key)}" for key in ("L", "a", "b") if target and getattr(target, key) is not None
    )
    yield words(joined((figures, target and target.light, target and target.date and ("approved ", target.date)), ", "))
    yield words(", ".join(each.paints))
    yield words(each.used and (each.used[0], " ", quiet(each.used[1])))


def _before(look: LookDay) -> Iterator[Block | None]:
    before = look.before
    if before is None:
        yield para("The wearer was in no chair of this build before.")
        return
    told = [(run.id, each) for run in before.runs for each in run.touch_ups]
    yield points((joined((each.at, each.zone, each.note), ", "), " ", quiet(Lead("run", name))) for name, each in told)
    wrong = [(run.id, each) for run in before.runs for each in run.went_wrong]
    yield points(
        ("Went wrong: ", Lead("failure", each.failure) if each.failure else each.what, framed(". ", each.note), " ", quiet(Lead("run", name)))
        for name, each in wrong
    )  # fmt: skip
    if not told and not wrong:
        yield para("Its runs tell of no touch-up and of nothing that went wrong.")
    photos = list({str(each.file): each for run in before.runs for each in run.photos}.values())[:_MOST_PHOTOS]
    yield (
        Widget("pictures", side_by_side(photos))
        if photos
        else para("No photo of that day is in the book.", style="quiet")
    )


def _pack(view: View, sheet: DaySheet, look: LookDay) -> Iterator[Block | None]:
    told = numbers(view.settings.emergency)
    yield Heading(("Before all: the emergency card",))
    if told:
        yield labels(*((title, each) for _key, title, each in told))
    else:
        yield para(
            "Nobody has written the numbers of this place yet: type them under `emergency:` in recipes/book.yaml.",
            style=BAD,
        )
    for number, layer in enumerate(look.bag):
        yield Heading((layer.title,))
        yield points(layer.things, "ticks") if layer.things else para(
            "Everything of it lies above." if number and any(each.things for each in look.bag[:number]) else "Nothing is written down: think of it now.",
            style="" if number and any(each.things for each in look.bag[:number]) else BAD,
        )  # fmt: skip
    yield Heading(("The pieces, and the set to spare",))
    sets: Iterable[PieceSet] = filter(None, (look.pieces, *look.spare))
    lines = [line for each in sets for line in starmap(_packed, ((each, part) for part in each.parts))]
    yield points(lines, "ticks") if lines else para("No piece is there that can be worn.", style=BAD)


def _packed(each: PieceSet, part: PlaceInSet) -> Words:
    whose = "" if each.day else " (to spare)"
    if part.life is None:
        return words(Tag("lacking", "failed"), f"{_called(part)}{whose}")
    box = part.life.piece.kept.box
    return words(marked("strong", part.life.label), f", {_called(part)}{f', box {box}' if box else ''}{whose}")
