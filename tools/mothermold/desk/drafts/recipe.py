"""What is asked for a recipe: from nothing, or from another recipe or an older version of one."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, Final

from mothermold.answers.recipes import find_version, readable
from mothermold.desk.asking import Offer
from mothermold.desk.drafts.likely import doubt
from mothermold.desk.drafts.mixing import MIXES, with_parts
from mothermold.desk.drafts.questions import NAME, far_from, first_then, short_id, unworded
from mothermold.desk.drafts.using import USES, used
from mothermold.desk.editing import Value, edited
from mothermold.desk.question import Ask, Inset, Know, Node, Repeat, Said, Tell
from mothermold.model.walk import KeyPath

_NOTHING: Final = "nothing"
_NO_MATERIAL: Final = "The book has no material yet, so no mix can name one; `mothermold new material` makes one."
# What belongs to the recipe that is copied and not to the one begun.
_NOT_COPIED: Final = ("why", "fixes", "formerly", "accepts", "visibility")
_FOR_EDITORS: Final = re.compile(r"(?m)^# (?:yaml-language-server: )?\$schema[:=].*\n")


def _copied(said: Said) -> Mapping[str, Any]:
    """The recipe it starts from, with a version where one was chosen or named."""
    number = said["_version"].removeprefix("version ")
    return {"_copied": readable(*find_version(said.shop.view, f"{said['_source']}{number and f'@{number}'}"))}


def _sources(said: Said) -> list[Offer]:
    recipes = said.shop.recipes()
    return recipes and [Offer(_NOTHING), *recipes]


def _something(chosen: str, _said: Said) -> str:
    return "" if chosen == _NOTHING else chosen


def _versions(said: Said) -> Mapping[str, Any]:
    """The versions of what it starts from, newest first, where there are several; and the one in use."""
    versions = said.shop.view.versions(said["_source"])
    rows = [row for row in versions.rows if row.recipe is not None] if versions else []
    current = (versions.current if versions else None) or rows[-1]
    # A bare number would be taken for the place in the list.
    offers = [Offer(f"version {row.number}", row.why or row.status) for row in reversed(rows)]
    return {"_offers": offers if len(rows) > 1 else [], "_version": f"version {current.number}"}


def _text(said: Said) -> Mapping[str, Any]:
    """What it starts from, with a title, stage and number of its own."""
    own: dict[KeyPath, Value] = {(key,): said[key] for key in ("title", "stage", "version", "status")}
    text = edited(said["_copied"], {**own, **{(key,): None for key in _NOT_COPIED}})
    return {"_text": _FOR_EDITORS.sub("", text)}


def _step_id(said: Said) -> Mapping[str, Any]:
    return {"id": short_id(said["title"], [step["id"] for step in said.before], f"step-{len(said.before) + 1}")}


_FROM_NOTHING: Final[tuple[Node, ...]] = (
    Tell(_NO_MATERIAL, when=lambda said: not said.shop.titled("material")),
    MIXES,
    Know(lambda said: {"mixes": with_parts(said["mixes"])}),
    Repeat("steps", (
        Ask("title", first_then("The first step, in a few words", "The next step"), refuse=unworded),
        Know(_step_id),
        Ask("do", "How it is done, in a line"),
        Ask("hands_on", "Hands busy for (like 10 min)", unit="min", doubt=far_from(doubt("hands_on"))),
        Ask("wait", "Waiting after it (like 4 h)"),
    )),
    USES,
    Know(lambda said: used(said, said["_uses"])),
)  # fmt: skip
QUESTIONS: Final[tuple[Node, ...]] = (
    Know(_copied, when="_source"),
    Ask(
        "stage", "At which stage", "choice", lambda said: said.shop.stages(), needed=True,
        default=lambda said: said["_copied"].address.partition("/")[0] if said["_copied"] else "",
    ),
    Ask("title", "What it makes", needed=True),
    Ask("_source", "Start from", "choice", _sources, _NOTHING, read=_something, when=lambda said: not said["_copied"]),
    Know(_versions, when=lambda said: said["_source"] and not said["_copied"]),
    Ask("_version", "Which of its versions", "choice", lambda said: said["_offers"], lambda said: said["_version"]),
    Know(_copied, when="_source"),
    NAME,
    Know(lambda _said: {"format": "1", "version": "1", "status": "draft"}),
    Know(_text, when="_copied"),
    Inset(lambda said: () if said["_copied"] else _FROM_NOTHING),
)  # fmt: skip
