"""Labels of a build: for its molds, the pieces that are still there, jars of what is mixed once for all, and the lots in hand.

Each says in letters and in a square code what it is, by which version it was made and when. A camera reads the code as the words
to type into `find`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Final

import segno

from mothermold.answers.molds import GONE, molds_in
from mothermold.answers.pieces import pieces_of
from mothermold.answers.recipes import pinned_recipe
from mothermold.answers.result import title_words
from mothermold.handouts.pen import Pen
from mothermold.handouts.prose import Block
from mothermold.model.build import Build
from mothermold.model.material import Material
from mothermold.model.mold import Mold
from mothermold.model.names import RunRef
from mothermold.model.recipe import Recipe
from mothermold.model.run import Run
from mothermold.pages.wording import spoken
from mothermold.reckon.lots import last_day, lots_in_use
from mothermold.reckon.nesting import materials_inside
from mothermold.view.view import View

QUIET: Final = 4
"""The light margin a camera needs around the code, in fields, as its standard asks."""


def label_blocks(view: View, pen: Pen, name: str, build: Build) -> list[Block]:
    """All labels of a build: molds, pieces, jars, lots."""
    return [
        *_molds(view, pen, name),
        *_pieces(view, pen, name),
        *_jars(view, pen, name, build),
        *_lots(view, pen, build),
    ]


def coded(words: str) -> str:
    """Words as a square code, drawn: a path of its dark fields, with the light margin."""
    code = segno.make(words, error="m", micro=False)
    rows = [[bool(field) for field in row] for row in code.matrix_iter(border=QUIET)]
    path = "".join(f"M{x} {y}h1v1h-1z" for y, row in enumerate(rows) for x, dark in enumerate(row) if dark)
    side = len(rows)
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {side} {side}" shape-rendering="crispEdges">'
    return f'{head}<path fill="#fff" d="M0 0h{side}v{side}h-{side}z"/><path fill="#000" d="{path}"/></svg>'


def _label(pen: Pen, code: str, title: str, below: str, lines: Sequence[str | None]) -> Block:
    file = f"codes/{len(pen.files)}.svg"
    pen.files[file] = coded(code).encode()
    return {
        "is": "label", "file": file, "alt": f"Square code that says: {code}", "title": title, "below": below,
        "lines": [line for line in lines if line], "code": code,
    }  # fmt: skip


def _made_by(view: View, made: RunRef | date | str | None) -> tuple[str | None, str | None]:
    """By which version something was made, and when, as far as the edition knows."""
    if isinstance(made, date):
        return None, f"made {made}"
    run = view.models(Run).get(str(made)) if isinstance(made, RunRef) else None
    if run is None:
        return None, "made: not known"
    return (str(run.recipe) if run.recipe else None), f"made {run.started.date()}"


def _molds(view: View, pen: Pen, build: str) -> Iterator[Block]:
    for name in molds_in(view).get(build, ()):
        mold = view.models(Mold)[name]
        if mold.state in GONE:
            continue
        recipe, when = _made_by(view, mold.made)
        dry = [each for each in mold.weights if each.state == "dry"]
        weight = f"dry {dry[-1].weight} ({dry[-1].date})" if dry else "dry weight: ______"
        holds = f"holds {mold.cavity.volume}" if mold.cavity else "cavity not measured"
        yield _label(pen, f"mold {name}", name, mold.title, [recipe, when, f"{weight}; {holds}", f"shelf {mold.shelf}" if mold.shelf else None])  # fmt: skip


def _pieces(view: View, pen: Pen, build: str) -> Iterator[Block]:
    for each in pieces_of(view, build):
        if not each.is_there:
            continue
        kept, run = each.kept, each.run
        where = "; ".join(filter(None, (f"box {kept.box}" if kept.box else "", f"for {kept.day}" if kept.day else "")))
        lines = [
            str(run.recipe) if run.recipe else None,
            f"cast {run.started.date()}",
            f"{each.what}; {each.paint}",
            where,
        ]
        yield _label(pen, f"piece {kept.piece} {build}", str(kept.piece), f"{spoken(each.thing)}, {build}", lines)


def _recipes(view: View, build: Build) -> Iterator[tuple[str, Recipe]]:
    """The recipe versions by which its things are made."""
    for pin in dict.fromkeys(thing.recipe for thing in build.things):
        if (recipe := pinned_recipe(view, pin)) is not None:
            yield str(pin), recipe


def _jars(view: View, pen: Pen, name: str, build: Build) -> Iterator[Block]:
    """What is mixed once and kept: date and weight are written by hand, for only the bench knows them."""
    for pin, recipe in _recipes(view, build):
        for mix in recipe.mixes:
            if mix.once:
                title = str(mix.title or spoken(mix.id))
                lines = [pin, f"once for the {mix.once}, {name}", "mixed on ________  by ____", "weight ________ g"]
                yield _label(pen, f"jar {mix.id} {pin}", str(mix.id), title, lines)


def _lots(view: View, pen: Pen, build: Build) -> Iterator[Block]:
    materials, titles = view.models(Material), title_words(view)
    names: dict[str, None] = {}
    for _pin, recipe in _recipes(view, build):
        mixes = {str(mix.id): mix for mix in recipe.mixes}
        for mix in mixes:
            names |= dict.fromkeys(materials_inside(mix, mixes))
    for name in names:
        material = materials.get(name)
        for lot in lots_in_use(material) if material is not None else ():
            assert material is not None
            last = last_day(lot, material)
            days = "; ".join(
                f"{word} {day}" for word, day in (("came", lot.got), ("opened", lot.opened or "________")) if day
            )
            lines = [days, f"use by {last}" if last else "use by: not written", "empty jar weighs ________ g"]
            yield _label(pen, f"lot {lot.lot} {name}", str(lot.lot), titles.get(name, name), lines)
