"""Which fields a form shows first, and what they are called where neither a question nor a difference has a word for them.

Only what is needed most stands here. Every other field of the model follows by itself, folded, and goes by its name.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from mothermold.compare.phrases import PHRASES
from mothermold.desk.forms.shapes import FieldShape
from mothermold.desk.question import Ask, Inset, Node, Repeat, Said
from mothermold.desk.starting import questions_of

REST: Final = "Everything else"
"""The title of what no section names."""

LAYOUTS: Final[Mapping[str, tuple[tuple[str, str], ...]]] = {
    "recipe": (
        ("What it makes", "title stage version status why fixes"),
        ("Mixes", "mixes"),
        ("Steps", "steps"),
        ("What it touches, and what comes out", "surfaces gives yields needs"),
    ),
    "failure": (
        ("What happened", "title symptoms seen_at noticed harm"),
        ("What to do now", "now do_not"),
        ("Why it happens, and what helps", "causes fixes prevent"),
    ),
    "material": (
        ("What it is", "title families density"),
        ("Lots and packs", "lots packs keeps"),
        ("Safety", "sds vapor maximum"),
    ),
    "run": (
        ("What was done", "recipe kind started finished outcome mold"),
        ("What went wrong", "went_wrong"),
        ("What went in", "batch lots conditions"),
        ("What came out", "kept measured changed photos"),
    ),
    "mold": (
        ("The mold", "title made state shelf"),
        ("How much it holds", "cavity"),
        ("Its parts", "parts wearer bolts"),
    ),
    "build": (
        ("The character", "title brief people wearers"),
        ("What is made", "things"),
        ("What is worn, and when", "looks days"),
        ("Patch tests", "cleared"),
        ("The write-up", "story write_up photos"),
    ),
    "course": (("The course", "title term pins students"), ("Its meetings", "sessions")),
    "book": (
        ("The book", "title currency time_zone"),
        ("The bench", "scales hours"),
        ("When somebody is hurt", "emergency"),
    ),
}  # fmt: skip
"""By kind: the sections with their keys."""

FIRST: Final[Mapping[str, str]] = {
    "recipe.steps": "title do hands_on wait uses check",
    "recipe.steps.uses": "material mix as on amount",
    "recipe.mixes": "title parts fills batch",
    "recipe.mixes.parts": "material mix parts percent of amount",
    "recipe.surfaces": "id material",
    "recipe.gives": "what surfaces",
    "recipe.gives.surfaces": "id material",
    "run.went_wrong": "failure what step harm",
    "run.kept": "piece grade box",
    "run.batch": "mix weighed",
    "build.looks": "wearer pieces application wear removal",
    "build.days": "day what look",
    "build.write_up": "shows thing title text",
    "build.cleared": "wearer application removal tested on",
    "mold.cavity": "volume how date",
    "material.lots": "lot got held opened use_by left weighed",
}
"""Of groups and entries with more than a few fields: those that stand first, the others folded behind them."""

READY: Final = frozenset({"recipe.mixes", "recipe.mixes.parts", "recipe.steps", "material.lots"})
"""Lists of which a first row stands ready in what is new, so that nobody has to add it; left empty it is none."""

LABELS: Final[Mapping[str, str]] = {
    "alt": "What can be seen, for who cannot see it", "camera": "What it was taken with", "face": "Can somebody's face be seen",
    "light": "The light", "taken": "When it was taken", "view": "Seen from", "recipe.pictures.as": "Shows how it is",
    "run.photos.as": "Shows how it is", "failure.photos.as": "Shows how it is", "mold.photos.as": "Shows how it is",
    "build.photos.as": "Shows how it is", "build.things.photos.as": "Shows how it is",
    "as": "As what", "by": "Measured by", "cas": "CAS number", "from": "Made from", "id": "Its id", "of": "Of what", "on": "On what",
    "recipe.steps.title": "What is done", "recipe.mixes.title": "What it is called", "recipe.steps.with": "Equipment and actions",
    "recipe.mixes.once": "Mixed once for", "recipe.steps.once": "Done once for", "recipe.stage": "Stage of the work",
    "recipe.formerly": "Its earlier addresses", "recipe.yields": "Pieces one run makes", "recipe.fixes": "Failures it answers",
    "recipe.steps.wait.time": "For how long", "recipe.steps.wait.demold": "Until this mix can be opened",
    "recipe.steps.wait.full_cure": "Until this mix has its full strength", "recipe.steps.until": "Waits until something is seen",
    "recipe.steps.within.time": "At most this long", "recipe.steps.within.after": "After which step",
    "recipe.steps.may_pause": "May be left here", "recipe.accepts.where": "Where it applies", "recipe.mixes.parts.match": "Matched by eye to",
    "recipe.mixes.pot_life.at": "At which temperature", "recipe.mixes.demold.at": "At which temperature",
    "recipe.mixes.full_cure.at": "At which temperature", "recipe.steps.within.from": "Counted from the end of",
    "recipe.surfaces.from": "Of which thing", "recipe.gives.surfaces.from": "Of which thing",
    "recipe.off": "How it comes off a person now", "recipe.steps.pictures.as": "Shows how it is", "recipe.steps.starts": "Pot life starts for",
    "failure.now": "What to do now, first things first", "failure.symptoms": "What you would shout", "failure.do_not": "What makes it worse",
    "failure.happened": "What was seen", "failure.caused_at": "Stage that causes it", "failure.noticed": "Where it shows",
    "failure.fixes.in": "Recipe version with this fix in it", "material.sds": "Maker's safety data sheet", "material.drop": "Weight of a drop",
    "material.kit": "Bought and matched with", "material.keeps.closed": "Unopened", "material.keeps.opened": "Once opened",
    "run.changed.note": "What was done differently", "run.recipe": "Which recipe, with its version", "run.kind": "What kind of run it was", "run.asks": "What the test asks",
    "run.took": "How long steps took", "run.touch_ups.at": "When", "run.moments.at": "When", "run.moments": "What else the day had",
    "run.morning_after": "May the wearer be glued again, the morning after", "run.used.then": "What became of it", "run.from": "With what earlier runs made",
    "build.days.look": "Which look", "build.cleared.on": "When it was read, and clear", "build.cleared.tested": "When the patch was put on",
    "build.write_up": "Chapters of the write-up, in your order", "build.write_up.shows": "Shows", "build.write_up.text": "What you say before it",
    "build.write_up.photos.as": "Shows how it is", "build.story": "How it went",
    "book.adds": "Words and rules of this book", "book.adds.with": "Equipment and actions", "book.emergency": "Emergency card",
}  # fmt: skip
"""By kind and place, or by the key alone."""


def label_of(kind: str, shape: FieldShape) -> str:
    """What a field is called: its own words, those of the question that asks for it or of a difference, else its key."""
    group = ([kind, *shape.at.split(".")])[-2]
    phrase = PHRASES.get(group, {}).get(shape.key) if kind == "recipe" else None
    named = phrase.name if phrase and "{" not in phrase.name else ""
    asked = re.split(r" \(|; |: ", _question(kind, shape))[0]
    words = LABELS.get(f"{kind}.{shape.at}") or asked or LABELS.get(shape.key) or named
    return _capital((words or shape.key.replace("_", " ")).rstrip(":"))


def help_of(kind: str, shape: FieldShape) -> str:
    """What belongs in a field: what the model says of it, and how its question ends."""
    # What Enter means at the terminal is no matter here.
    hint = re.split(r"(?:; |^)Enter", _question(kind, shape).partition(" (")[2].removesuffix(")"))[0]
    return f"{shape.says} {_capital(hint)}." if hint else shape.says


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _question(kind: str, shape: FieldShape) -> str:
    ask = asks(kind).get(shape.at)
    return ask.words if ask is not None and isinstance(ask.words, str) else ""


def asks(kind: str) -> Mapping[str, Ask]:
    """The questions a new document of a kind is begun with, by the place their answers go to."""
    if kind not in _ASKS:
        _ASKS[kind] = dict(_asks(questions_of(kind), ())) if kind != "book" else {}
    return _ASKS[kind]


def may_be_empty(kind: str, shape: FieldShape) -> bool:
    """Whether an empty list is an answer: it has to stand there, and nobody who begins such a document must give an entry."""
    ask = asks(kind).get(shape.at)
    return shape.needed and not (ask is not None and ask.needed)


_ASKS: Final[dict[str, Mapping[str, Ask]]] = {}


def _asks(nodes: object, at: tuple[str, ...]) -> list[tuple[str, Ask]]:
    found: list[tuple[str, Ask]] = []
    for node in nodes if isinstance(nodes, tuple) else ():
        found += _asked(node, at)
    return found


def _asked(node: Node, at: tuple[str, ...]) -> list[tuple[str, Ask]]:
    match node:
        case Ask(key=key):
            place = (*at, *(step for step in key.split(".") if step and not step.isdecimal()))
            return [] if any(step.startswith("_") for step in place) else [(".".join(place), node)]
        case Repeat(key=key, questions=questions):
            return _asks(questions, (*at, *key.split(".")))
        case Inset(questions=questions):
            return _asks(questions(Said()), at)
    return []
