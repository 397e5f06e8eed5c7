"""The page of a piece: what it is, what it lacks, and all that happened to it; and the sets a build has for its days."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Final

from mothermold.answers.labels import pieces_kept
from mothermold.answers.piece_life import LifeEvent, PieceLife, PieceSet, PlaceInSet, lives_of, sets_of
from mothermold.model.build import Build
from mothermold.model.kinds import KINDS
from mothermold.model.pictures import Picture
from mothermold.model.run import Run
from mothermold.pages.addresses import piece_page
from mothermold.pages.content import Block, Content, Labels, Lead, Row, Tag, When, Widget, Words
from mothermold.pages.page import Page, render
from mothermold.pages.pictures import side_by_side
from mothermold.pages.saying import joined, labels, para, quiet, section, table, words
from mothermold.pages.strip import piece_strips
from mothermold.pages.wording import spoken
from mothermold.view.view import View

_LIFE: Final = {"When": "day", "What": "", "Run": "across", "Then": ""}
_SETS: Final = {"Set": "", "Ready?": "", "Pieces": "across", "What is lacking": "across"}


def piece_addresses(view: View) -> Iterator[str]:
    """Where the pages of pieces lie: those of the builds an edition holds."""
    for build in view.on("build"):
        yield from (piece_page(build, name) for name in pieces_kept(view).get(build, {}))


def piece_at(view: View, build: str, name: str) -> Page | None:
    """The page of a piece; None where there is none.

    Args:
        view: The edition.
        build: The build it was cast for.
        name: What its page goes by.
    """
    label = pieces_kept(view).get(build, {}).get(name) if build in view.on("build") else None
    life = next((each for each in lives_of(view, build) if each.label == label), None) if label is not None else None
    if life is None:
        return None
    shown = _content(build, life)
    strips = piece_strips(view, build, life.piece.thing, [event.run for event in life.events])
    return render(
        view, "content.html", piece_page(build, name), shown.title, kind=KINDS["build"], shown=shown, notices=(), rows=(),
        strips=strips,
    )  # fmt: skip


def piece_lead(view: View, build: str, label: str) -> Lead | str:
    """A piece by its label, which leads to its page."""
    name = next((name for name, each in pieces_kept(view).get(build, {}).items() if each == label), None)
    return Lead("piece", f"{build}/{name}", label) if name is not None else label


def _content(build: str, life: PieceLife) -> Content:
    return Content(
        f"{life.label}: {spoken(life.piece.thing) or 'a piece'}",
        words("Piece"),
        words(Lead("build", build)),
        (
            section("glance", "", _glance(life)),
            section(
                "life",
                "What happened to it",
                table("What happened to it", _LIFE, map(_event, life.events)),
                style="wide",
            ),
            section("photos", "Photos", *_photos(life)),
            section("swatches", "Its color", *_swatches(life)),
        ),
    )


def _glance(life: PieceLife) -> Labels:
    piece, kept = life.piece, life.piece.kept
    why = piece.because.removeprefix(piece.what).removeprefix("; ")
    state = words(Tag(piece.what, "good" if life.is_ready else ""), quiet(" ", why) if why else None)
    lacks = f"not yet {', '.join(life.lacks)}" if life.lacks else "nothing" if life.is_fit else None
    return labels(
        ("Today", state),
        ("Lacks", lacks),
        ("Color", piece.paint if piece.is_there else None),
        ("Fits", life.wearer or None),
        ("For the day", kept.day),
        ("Box", kept.box if piece.is_there else None),
        ("Cast as", kept.grade),
        style="glance",
    )


def _event(event: LifeEvent) -> Row:
    run = event.run
    return Row(
        (
            words(When(f"{run.started:%Y-%m-%d}", f"{run.started:%Y-%m-%d}")),
            words(event.did),
            words(Lead("run", run.id)),
            words(event.then),
        )
    )


def _photos(life: PieceLife) -> Iterator[Block | None]:
    """The photos of its runs, in order; those of a run with other pieces in it say so."""
    found: list[Picture] = []
    for event in life.events:
        alone = len(event.run.kept) + len(event.run.used) == 1
        for each in event.run.photos:
            if each.file not in {one.file for one in found}:
                said = f"{event.did.capitalize()} {event.run.started:%Y-%m-%d}" + ("" if alone else ", with others")
                found.append(each.model_copy(update={"caption": f"{said}. {each.caption}" if each.caption else said}))
    yield Widget("pictures", side_by_side(found)) if found else None


def _swatches(life: PieceLife) -> Iterator[Block]:
    for event in life.events:
        if (line := _swatch(event.run)) is not None:
            yield para(f"{event.did.capitalize()} {event.run.started:%Y-%m-%d}: ", line)


def _swatch(run: Run) -> str | None:
    swatch = run.swatch
    if swatch is None:
        return None
    figures = ", ".join(f"{key} {value}" for key in ("L", "a", "b") if (value := getattr(swatch, key)) is not None)
    told = (swatch.match and f"by eye {swatch.match}", figures, swatch.light)
    return "; ".join(str(each) for each in told if each) or None


# The register of a build.


def sets(view: View, name: str, build: Build, today: date | None) -> Iterator[Block | None]:
    """Have I a set for the day? Each day to come and each set to spare, with its pieces and what they lack."""
    found = sets_of(view, name, build, today)
    if not found:
        return
    ready = sum(each.is_ready for each in found)
    yield para(f"{ready} of {len(found)} ready.", style="quiet")
    yield table("Sets", _SETS, (_set(view, name, each) for each in found))
    yield para(
        "A piece stands in one set: first where its casting says for which day, then the one that lacks least. Which is left and which "
        "right goes by the letter before the number on its label. What no run says was done is not taken for done.",
        style="quiet",
    )


def _set(view: View, build: str, each: PieceSet) -> Row:
    day = each.day.isoformat() if each.day else "To spare"
    look = quiet(" ", spoken(each.look), f", {each.wearer}" if each.wearer else None)
    pieces = joined((_part(view, build, part) for part in each.parts), ", ")
    lacking = joined((line for part in each.parts if (line := _lacking(part)) is not None), "; ")
    tag = Tag("ready", "good") if each.is_ready else Tag("not yet", "open")
    return Row((words(day, look), words(tag), pieces, lacking))


def _part(view: View, build: str, part: PlaceInSet) -> Words:
    what = quiet(" ", _called(part))
    if part.life is None:
        return words("none", what)
    box = part.life.piece.kept.box
    return words(piece_lead(view, build, part.life.label), what, quiet(f", box {box}") if box else None)


def _lacking(part: PlaceInSet) -> Words | None:
    if part.life is None:
        return words(f"no {_called(part)} is there")
    if not part.life.lacks:
        return None
    return words(f"{part.life.label}: not yet {', '.join(part.life.lacks)}")


def _called(part: PlaceInSet) -> str:
    return f"{part.kind} {spoken(part.thing)}".strip()
