"""What a day in the chair takes: pieces and their spares, glues and the way back, colors, what is packed; and the day before."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import starmap
from typing import Final

from mothermold.answers.day_colors import ZoneColors
from mothermold.answers.day_glues import GluedOn, TakenOff, WayBack
from mothermold.answers.day_sheet import DaySheet, LookDay, next_morning
from mothermold.answers.piece_life import PieceSet, PlaceInSet
from mothermold.answers.result import title_words
from mothermold.model.names import RecipeRef
from mothermold.pages.content import Block, Heading, Lead, Row, Tag, Widget, Words
from mothermold.pages.hurt import numbers
from mothermold.pages.pictures import side_by_side
from mothermold.pages.pieces import piece_lead
from mothermold.pages.pinned import pinned_title
from mothermold.pages.saying import Loose, framed, joined, labels, marked, para, points, quiet, table, words
from mothermold.pages.wording import amount_words, coats_words, spoken
from mothermold.trade.cautions import Caution
from mothermold.view.view import View

BAD: Final = "banner error"
"""How that is said which keeps a day from going as it should."""
_PIECES: Final = {"Place": "", "Piece": "", "Box": "", "It lacks": "across"}
_COLORS: Final = {"Zone": "", "Wanted": "across", "Paints its sheets name": "across", "Used last": "across"}
_MOST_PHOTOS: Final = 6


# Pieces.


def pieces_told(view: View, sheet: DaySheet, look: LookDay) -> Iterator[Block | None]:
    """The set for the day, and those to spare."""
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
    lacks = words(Tag("not yet", "open"), " ", ", ".join(part.life.lacks)) if part.life.lacks else words("nothing")
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


def glues_told(view: View, look: LookDay) -> Iterator[Block | None]:
    """What is glued with what, in order, and what can hurt."""
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


def _glue(titles: Mapping[str, str], each: GluedOn) -> Words:
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


def _remover(titles: Mapping[str, str], off: TakenOff) -> Words:
    names = dict.fromkeys(name for _step, used in off.steps for name in used)
    sure = "" if off.is_sure else " (if its label says so)"
    return words(marked("strong", ", ".join(titles.get(name, name) for name in names) or str(off.ref)), sure)


def off_told(view: View, look: LookDay) -> Iterator[Block | None]:
    """What went on last comes off first, each glue with its remover."""
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


def _back(titles: Mapping[str, str], each: WayBack) -> Words:
    steps = ", ".join(dict.fromkeys(f"“{glued.step.title}”" for glued in each.put_on))
    how = (
        joined((_off_words(titles, off) for off in each.off), "; or ")
        if each.off
        else words(Tag("nothing known takes it off", "failed"))
    )
    return words(marked("strong", titles.get(each.glue, each.glue)), quiet(f" of {steps}"), ": ", how)


def _off_words(titles: Mapping[str, str], off: TakenOff) -> Words:
    steps = (Lead("reference", f"{off.ref}#{step.id}", str(step.title)) for step, _used in off.steps)
    return words(_remover(titles, off), framed(", at ", joined(steps, ", ")))


def morning_told(sheet: DaySheet) -> Iterator[Block]:
    """What is asked the next morning, and what is never written."""
    yield para(
        "By nine on ", next_morning(sheet.day), ", before the call sheet goes out, the wearer is asked alone: may you be glued again? Here stands only ",
        marked("strong", "available"), " or ", marked("strong", "not available"), ", and production hears the same two words. Redness, itch or stinging means no glue "
        "and no chair, and a doctor looks. How the skin was is never written here; the closed folder has a sheet for it, if the wearer agrees.",
    )  # fmt: skip


# Palette, the day before, packing.


def palette_told(colors: Sequence[ZoneColors]) -> Iterator[Block | None]:
    """The palette by zone."""
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
    approved: Loose = ("approved ", target.date) if target and target.date else None
    yield words(joined((figures, target.light if target else None, approved), ", "))
    yield words(", ".join(each.paints))
    yield words(each.used and (each.used[0], " ", quiet(each.used[1])))


def before_told(look: LookDay) -> Iterator[Block | None]:
    """What was mended and went wrong the last day, with its photos."""
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


def pack_told(view: View, look: LookDay) -> Iterator[Block | None]:
    """What is packed, the emergency card before all."""
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
        return words(Tag("lacking", "failed"), " ", f"{_called(part)}{whose}")
    box = part.life.piece.kept.box
    return words(marked("strong", part.life.label), f", {_called(part)}{f', box {box}' if box else ''}{whose}")
