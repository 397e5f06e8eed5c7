"""How castings keep to the approved color, as the page of a build shows it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from typing import Any

from mothermold.answers.drift import drifted
from mothermold.pages.content import Block, Heading, Lead, Remark, Tag, Widget
from mothermold.pages.drawn.drifting import drift_picture
from mothermold.pages.saying import Loose, para, points, quiet, words
from mothermold.pages.wording import spoken
from mothermold.view.view import View


def matching(view: View, name: str) -> Iterator[Block | None]:
    """The swatches of a build against the approved color, light by light, as a picture and as a list; nothing without a swatch."""
    data = drifted(view, name)
    rows = data["runs"]
    if not rows:
        return
    if data["approved"]:
        yield para("Against ", "; ".join(each["words"] for each in data["approved"]), ".", style="quiet")
    lights = sorted({row["light"] or "" for row in rows})
    for light, each in groupby(sorted(rows, key=lambda row: row["light"] or ""), key=lambda row: row["light"]):
        mine = list(each)
        if len(lights) > 1:
            yield Heading(words(light.capitalize() if light else "Light not written"))
        measured = [row for row in mine if row["delta_e00"] is not None]
        picture = drift_picture([(r["run"], r["day"], r["delta_e00"], bool(r["doubts"])) for r in measured])
        yield Widget("drift", picture) if picture else None
        yield points(map(_line, mine), "plain")
    for line in data["said"]:
        yield para(Remark(line), style="quiet")


def _line(row: dict[str, Any]) -> Loose:
    figure = f"{row['delta_e00']:.1f} away" if row["delta_e00"] is not None else ""
    eye = f"by eye: {row['match']}" if row["match"] else "nobody judged it by eye"
    what = spoken(row["thing"]) if row["thing"] else "a test" if row["what"] == "test" else Lead("recipe", row["what"])
    told = "; ".join(filter(None, (figure, eye, row["why"], *row["doubts"])))
    return (
        Tag("the approved one", "good") if row["is_approved"] else None,
        Lead("run", row["run"], row["day"]),
        " ",
        quiet(what, ", ", told),
    )
