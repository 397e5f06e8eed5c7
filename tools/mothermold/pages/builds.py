"""The page of a build: what is made from what, who wears it when, which pieces exist, how it went."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from typing import Final

from mothermold.answers.appointment import STAGE
from mothermold.answers.molds import molds_in
from mothermold.answers.pieces import Piece, pieces_of
from mothermold.answers.records import record_of
from mothermold.book.document import Document
from mothermold.model.build import (
    Approval,
    Build,
    Clearance,
    Thing,
)
from mothermold.model.mold import Mold
from mothermold.model.pictures import Picture
from mothermold.model.run import Run
from mothermold.model.walk import KeyPath
from mothermold.pages.build_looks import day_told, look_told, plan_told
from mothermold.pages.buying import buying
from mothermold.pages.content import (
    Block,
    Content,
    FieldWords,
    Heading,
    Labels,
    Lead,
    Row,
    Story,
    Tag,
    Widget,
    Words,
)
from mothermold.pages.drawn.whole import drawn_build
from mothermold.pages.matching import matching
from mothermold.pages.pictures import pictures_widget
from mothermold.pages.pieces import piece_lead, sets
from mothermold.pages.pinned import newer_version, pinned_title, to_pair
from mothermold.pages.rules import along_build
from mothermold.pages.runs import ending, entries, run_line
from mothermold.pages.saying import (
    Loose,
    framed,
    joined,
    labels,
    listed,
    listing,
    marked,
    numbered,
    para,
    points,
    quiet,
    said,
    section,
    table,
    words,
)
from mothermold.pages.supply import supplies
from mothermold.pages.wording import spoken
from mothermold.pages.write_up import chapters_fold
from mothermold.trade.skin import PATCH_TEST_HOURS
from mothermold.trade.unused import ADVISED
from mothermold.view.view import View


def content(view: View, document: Document[Build]) -> Content:
    """What the page of a build shows."""
    build, name = document.model, document.address
    runs = view.evidence.lineage.of_build(name)
    pieces = pieces_of(view, name)
    today = view.day
    things = (_thing(view, name, runs, *each) for each in numbered(build.things, "things"))
    looks = (look_told(*each) for each in numbered(build.looks, "looks"))
    days = map(partial(day_told, view, name), sorted(numbered(build.days, "days"), key=lambda each: each[1].day))
    # What a habit advises stands beside no rule: accepted in a build, it is left to the foot.
    accepts = [at for at, each in numbered(build.accepts, "accepts") if each.rule not in ADVISED]
    accepted = tuple((*at, key) for at in accepts for key in ("rule", "where", "because"))
    return Content(
        build.title,
        words("Build"),
        words(name),
        (
            section(
                "whole",
                "",
                Widget("whole", drawn) if (drawn := drawn_build(view, document, runs)) else None,
                style="wide",
            ),
            section("brief", "", Story(("brief",), build.brief, "story") if build.brief else None),
            section("glance", "", _glance(build)),
            section("written", "", para(Lead("write-up", name, "How it was made: the write-up"))),
            section("story", "How it went", Story(("story",), build.story, "story") if build.story else None),
            section("photos", "Photos", pictures_widget(build.photos, "photos")),
            section("things", "What is made from what", table("What is made", _THINGS, things), style="wide"),
            section("pieces_seen", "What is made, in pictures", *_seen(build)),
            section("molds", "Its molds", points(_molds(view, name), "plain")),
            section("looks", "Looks", *looks),
            section("days", "Days", table("Days", _DAYS, days), *plan_told(view, name, build), style="wide"),
            section("supply", "Enough pieces?", *supplies(build, pieces, today)),
            section("matching", "Does the color keep?", *matching(view, name)),
            section("buying", "To cast, to buy, to pay", *buying(view, name), style="wide"),
            section("sets", "Have I a set?", *sets(view, name, build, today), style="wide"),
            section("pieces", "Pieces", *_pieces(view, name, pieces)),
            listing("approvals", "To be approved", build.approvals, _approval),
            section("cleared", "Patch tests read and clear", *_cleared(view, build)),
            section("rules", "", Widget("rules", along_build(view, name, build), accepted)),
            section("runs", "Runs", *_by_thing(view, build, runs)),
            section("write_up", "", chapters_fold(build)),
        ),
    )


_THINGS: Final = {"What": "", "Recipe": "across", "From": "", "For": "", "So far": "across"}
_DAYS: Final = {"Day": "day", "What": "", "Look": "", "Chair": "day", "Ready": "day", "Wrap": "day"}


def _glance(build: Build) -> Labels:
    days = sorted(day.day for day in build.days)
    return labels(
        ("Wearer" if len(build.wearers) == 1 else "Wearers", listed(build.wearers, ", ", "wearers")),
        ("Pairs of hands", said(people=build.people)),
        ("First day", days[0] if days else None),
        ("Last day", days[-1] if days else None),
        style="glance",
    )


def _named(name: str) -> str:
    return spoken(name).capitalize()


def _to_thing(name: str) -> Lead:
    return Lead("here", f"thing-{name}", spoken(name))


def _thing(view: View, name: str, runs: Sequence[Run], at: KeyPath, thing: Thing) -> Row:
    pin, newer = thing.recipe, newer_version(view, thing.recipe)
    use = f"v{newer} is in use now"
    pair = to_pair(view, pin.address, pin.version, newer, use) if newer and pin.version else None
    worn = None if thing.worn is None else "worn" if thing.worn else "not worn"
    mine = [run for run in runs if run.thing == thing.id]
    return Row(
        (
            words(said(*at, id=spoken(thing.id)), _appointment(view, name, thing)),
            words(
                said(*at, recipe=(Lead("reference", pin, pinned_title(view, pin)), " ", quiet(str(pin)))),
                (" ", quiet("(", pair or use, ")")) if newer else None,
            ),
            listed(map(_to_thing, thing.from_), ", ", *at, "from"),
            joined((said(*at, wearer=thing.wearer), said(*at, worn=worn)), ", "),
            words(_so_far(mine)),
        ),
        f"thing-{thing.id}",
    )


def _appointment(view: View, name: str, thing: Thing) -> Loose:
    """Where somebody sits for it before anything is made: a cast from life has an appointment."""
    if view.edition != "private" or thing.recipe.address.partition("/")[0] != STAGE:
        return None
    return marked("below", Lead("appointment", f"{name}/{thing.id}", "the appointment"))


def _seen(build: Build) -> Iterator[Block | None]:
    for (_, place), thing in numbered(build.things, "things"):
        if thing.photos:
            yield Heading((_to_thing(thing.id),))
            yield pictures_widget(thing.photos, "things", place, "photos")


def _so_far(runs: Sequence[Run]) -> str:
    """The record of a thing, and how the last of several runs ended."""
    ends = f"; the last {ending(runs[-1])}, {runs[-1].started.date().isoformat()}" if len(runs) > 1 else ""
    return f"{record_of(runs)}{ends}" if runs else ""


def _molds(view: View, build: str) -> Iterator[Loose]:
    for name in molds_in(view).get(build, ()):
        mold = view.models(Mold)[name]
        state = Tag(mold.state, mold.state) if mold.state else None
        yield state, Lead("mold", name), (" ", quiet(mold.cavity.volume)) if mold.cavity else None


# Pieces.


def _as_cast(piece: Piece) -> Picture | None:
    """A photo of the run that made a piece, from the front where there is one, under the label of the piece."""
    photos = sorted(piece.run.photos, key=lambda each: each.view != "front")
    label = f"{piece.kept.piece}, {spoken(piece.thing)}"
    return photos[0].model_copy(update={"caption": label, "as_": None}) if photos else None


def _pieces(view: View, build: str, pieces: Iterable[Piece]) -> Iterator[Block | None]:
    told = [(each, _piece(view, build, each)) for each in pieces]
    yield points((line for each, line in told if each.is_there), "plain")
    shown = [(seen,) for each, _line in told if each.is_there and (seen := _as_cast(each)) is not None]
    yield Widget("pictures", shown) if shown else None
    if gone := [line for each, line in told if not each.is_there]:
        yield Heading(("Worn, torn or scrapped",))
        yield points(gone, "plain")


def _piece(view: View, build: str, each: Piece) -> Words:
    kept, reason = each.kept, each.because != each.what
    by = (": " if reason else "; in ", Lead("run", each.by.id)) if each.by else None
    return words(
        Tag(each.what, "good" if each.can_be_worn else ""),
        piece_lead(view, build, str(kept.piece)),
        " ",
        quiet(
            spoken(each.thing),
            f", box {kept.box}" if kept.box and each.is_there else None,
            kept.day and (", for ", kept.day),
            f"; {each.because}" if reason else None,
            by,
            f"; {each.paint}" if each.is_there else None,
        ),
    )


# What must be seen and tried before.


def _approval(at: KeyPath, each: Approval) -> Words:
    return said(*at, what=each.what, due=each.due and (" by ", each.due))


def _cleared(view: View, build: Build) -> Iterator[Block]:
    if build.cleared:
        yield points(_clearance(view, *each) for each in numbered(build.cleared, "cleared"))
        yield para(
            f"All this says is that it was clear. A patch counts when it is read {PATCH_TEST_HOURS} hours or more after it was put "
            "on and before the first day; a new product, or another lot where lots are written, opens the question again. A clear "
            "patch is no promise.",
            style="quiet",
        )
    elif any(look.recipes for look in build.looks):
        yield para("None is written down.")


def _clearance(view: View, at: KeyPath, each: Clearance) -> Words:
    skin = joined((FieldWords((*at, *place), words(ref)) for place, ref in each.recipes.items()), "; ")
    products = listed(each.products, ", ", *at, "products")
    lots = joined(
        (said(*here, material=used.material, lot=(" ", used.lot)) for here, used in numbered(each.lots, *at, "lots")),
        ", ",
    )
    tested = ("put on ", each.tested) if each.tested else "when it was put on is not known"
    read = ("read ", each.on) if each.on else "when it was read is not known"
    nothing = not (skin or products or lots) and view.edition == "private"
    return words(
        said(*at, wearer=(each.wearer, ": "), tested=(tested, ", "), on=(read, ".")),
        framed(" All that touches skin in ", skin, "."),
        framed(" Products: ", products, "."),
        framed(" Lots tried: ", lots, "."),
        " What it covers is not known." if nothing else None,
    )


def _by_thing(view: View, build: Build, runs: Sequence[Run]) -> Iterator[Block]:
    """The runs of the build, thing by thing in the order they are made, then the days on the face and the tests."""
    known = [str(thing.id) for thing in build.things]
    groups = [(name, [run for run in runs if run.thing == name]) for name in known]
    rest = [run for run in runs if run.thing not in known]
    groups += [
        ("days on the face", [run for run in rest if run.day is not None]),
        ("other runs and tests", [run for run in rest if run.day is None]),
    ]
    for name, mine in groups:
        if mine:
            yield Heading((_named(name),))
            yield points(map(run_line, entries(view, mine)), "plain runs")
