"""What of a book can be found, and by which sides it can be narrowed down: stage, family, worst harm, answer."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import astuple, dataclass
from functools import partial
from typing import Any, Final

from mothermold.answers.bench_sums import sum_entries
from mothermold.answers.labels import label_entries
from mothermold.answers.records import dated_title
from mothermold.answers.troubles import Trouble, troubles
from mothermold.book.document import Document
from mothermold.find.index import Entry, EntryWords, Index, build_index, entry_words
from mothermold.find.thesaurus import Thesaurus, thesaurus
from mothermold.ground.looking import not_looking
from mothermold.history.versions import Version
from mothermold.model.failure import Failure
from mothermold.model.kinds import FOUND_BESIDE, KINDS, PAGED
from mothermold.model.material import Material
from mothermold.model.recipe import Recipe
from mothermold.model.run import Run
from mothermold.reckon.nesting import materials_used
from mothermold.trade.rules import rules
from mothermold.view.view import View

_SENTENCE: Final = re.compile(r"(?<=[.!?])\s+|\n{2,}")
_SENTENCE_FROM: Final = 3
"""A text of so many gaps between words is a sentence."""
_BESIDE: Final = ("rule", "sum", "piece", "lot")
_ORDER: Final = tuple(
    word
    for _place, word in sorted(
        [*((kind.found, kind.word) for kind in PAGED), *((FOUND_BESIDE, word) for word in _BESIDE)],
        key=lambda each: each[0],
    )
)
"""In which order they are listed."""


@dataclass(frozen=True, slots=True)
class Sides:
    """By what a thing that was found can be narrowed down; empty where it has none.

    Attributes:
        stage: The stage where one meets a failure, or does a recipe or run.
        families: Of the materials in a recipe, or at the steps where a failure is noticed.
        harm: The worst a failure cost.
        answer: Whether a failure is open, or whether its fix held.
        now: What to do now, in order.
        do_not: What makes it worse.
        pressing: A failure's place among those that keep going wrong, from 0.
    """

    stage: str = ""
    families: tuple[str, ...] = ()
    harm: str = ""
    answer: str = ""
    now: tuple[str, ...] = ()
    do_not: tuple[str, ...] = ()
    pressing: int = 0


@dataclass(frozen=True, slots=True)
class Findable:
    """All that can be found in an edition.

    Attributes:
        index: The index of its texts.
        sides: By kind and id.
    """

    index: Index
    sides: Mapping[tuple[str, str], Sides]

    def sides_of(self, entry: Entry) -> Sides:
        """By what an entry can be narrowed down."""
        return self.sides.get((entry.kind, entry.id), Sides())


def findable(view: View) -> Findable:
    """Indexes an edition, with the words a book adds; once until anything of the book changes."""
    return view.once.of("findable", lambda: _findable(view))


def _findable(view: View) -> Findable:
    words_of = _words_of(view)
    if view.made.begun:
        # Whoever goes on from what was made before has the words of each document that did not change.
        made = _indexed(view, words_of)
        with not_looking():
            view.kept("find", "", lambda: _as_data(made))
        return made
    return _read_again(view.kept("find", "", lambda: _as_data(_indexed(view, words_of))), words_of)


def _words_of(view: View) -> Thesaurus:
    own = view.settings.adds
    if own is None:
        return thesaurus()
    return thesaurus((*own.same_words, *((each.word, each.called) for each in own.words if each.called)))


def _indexed(view: View, words_of: Thesaurus) -> Findable:
    found = [
        (kind, address, view.made.of(f"{kind}/{address}: found", partial(_facts, view, kind, address)))
        for kind in (word for word in _ORDER if word in KINDS)
        for address in sorted({*view.on(kind), *(view.recipes if kind == "recipe" else ())})
    ]
    known = {(kind, address): facts["words"] for kind, address, facts in found}
    listed = [Entry(address, kind, *facts["entry"]) for kind, address, facts in found]

    def read(entry: Entry) -> EntryWords | None:
        return known.get((entry.kind, entry.id)) if entry.leads is None else None

    beside = [*_rule_entries(view), *sum_entries(), *label_entries(view)]
    pressing = {each.name: (place, each) for place, each in enumerate(troubles(view))}
    sides = {
        (kind, address): _sides(
            facts["sides"], pressing.get(address, (len(pressing), None)) if kind == "failure" else None
        )
        for kind, address, facts in found
        if facts["sides"] is not None
    }
    return Findable(build_index([*listed, *beside], _ORDER, words_of, read), sides)


def _facts(view: View, kind: str, address: str) -> dict[str, Any]:
    """What is found of a document: its entry, the words in that, and by what it can be narrowed down.

    A document that cannot be read is found by its name alone: its text holds comments, which belong to no edition. What a recipe
    says is what its own page shows.
    """
    row = _shown(view, address) if kind == "recipe" else None
    document = row.document if row else view.on(kind)[address]
    model = document.model
    title = str(getattr(model, "title", None) or document.raw.get("title") or address)
    if isinstance(model, Run):
        title = dated_title(view, model)
    symptoms = said_lines(document, "symptoms") if kind == "failure" else []
    entry = Entry(address, kind, title, "\n".join([address, *symptoms]), "\n".join(_lines(document.said)))
    return {
        "entry": [entry.title, entry.said, entry.text],
        "words": list(entry_words(entry, _words_of(view), near=kind == _ORDER[0])),
        "sides": _sides_of(view, document, row),
    }


def _sides_of(view: View, document: Document, row: Version | None) -> list[Any] | None:
    """Stage, families, what to do now and what not, as far as a document alone says it; None where it has no sides."""
    model, materials = document.model, view.models(Material)
    if document.kind == "failure":
        failure = model if isinstance(model, Failure) else None
        families = _families_at(view, failure, materials) if failure else ()
        doing = [said_lines(document, "now"), said_lines(document, "do_not")]
        return [str(failure.seen_at) if failure else "", list(families), *doing]
    if document.kind == "recipe":
        return [document.address.split("/")[0], list(_families(row.recipe if row else None, materials)), [], []]
    if document.kind == "run":
        recipe = model.recipe if isinstance(model, Run) else None
        return [recipe.address.split("/")[0] if recipe else "", [], [], []]
    return None


def _sides(told: Sequence[Any], pressing: tuple[int, Trouble | None] | None) -> Sides:
    stage, families, now, do_not = told
    place, trouble = pressing or (0, None)
    harm, answer = (trouble.harm, trouble.answer) if trouble else ("", "")
    return Sides(stage, tuple(families), harm, answer, tuple(now), tuple(do_not), place)


def _as_data(book: Findable) -> dict[str, Any]:
    """All of it but the words anybody may type, as JSON holds it."""
    index = book.index
    return {
        "entries": [[each.id, each.kind, each.title, each.said, each.text] for each in index.entries],
        "leads": [list(each.leads or ()) for each in index.entries],
        "words": {word: [*holders, *holders.values()] for word, holders in index.words.items()},
        "meanings": {phrase: list(rows) for phrase, rows in index.words_of.meanings.items()},
        "sizes": list(index.sizes),
        "sides": [
            [*name, *(list(each) if isinstance(each, tuple) else each for each in astuple(sides))]
            for name, sides in book.sides.items()
        ],
    }


def _read_again(kept: Mapping[str, Any], words_of: Thesaurus) -> Findable:
    leads = [(each[0], each[1]) if each else None for each in kept["leads"]]
    entries = tuple(Entry(*[*each, lead]) for each, lead in zip(kept["entries"], leads, strict=True))
    words = {
        word: dict(zip(each[: len(each) // 2], each[len(each) // 2 :], strict=True))
        for word, each in kept["words"].items()
    }
    meanings = {phrase: tuple(rows) for phrase, rows in kept["meanings"].items()}
    apart = sum(1 for lead in leads if lead is None)
    index = Index(entries, words, words_of.meaning(meanings), kept["sizes"], apart)
    sides = {(kind, name): _sides_again(told) for kind, name, *told in kept["sides"]}
    return Findable(index, sides)


def _sides_again(kept: Sequence[Any]) -> Sides:
    again: list[Any] = [tuple(each) if isinstance(each, list) else each for each in kept]
    return Sides(*again)


def _rule_entries(view: View) -> Iterator[Entry]:
    """The rules, those of the book too: the same that their page shows in every edition."""
    for rule in (*rules().values(), *view.ruling.own.values()):
        lines = (f"{rule.happens[:1].upper()}{rule.happens[1:]}.", str(rule.instead), str(rule.because))
        yield Entry(rule.id, "rule", rule.title, rule.id, "\n".join(lines), ("page", "rules"))


def said_lines(document: Document, key: str) -> list[str]:
    """The lines under a key, also of a note that cannot be read for now: who searches has no time to mend it."""
    if document.model is not None:
        return [str(each) for each in getattr(document.model, key)]
    lines = document.raw.get(key)
    said: list[str] = []
    for each in lines if isinstance(lines, list) else [lines] if isinstance(lines, str) else []:
        # A colon inside an entry made a key of its beginning.
        said += [f"{left}: {right}" for left, right in each.items()] if isinstance(each, dict) else [str(each)]
    return said


def _shown(view: View, address: str) -> Version | None:
    """The version a recipe's own page shows."""
    versions = view.versions(address)
    return (versions.current or versions.rows[-1]) if versions and versions.rows else None


def _lines(said: Any) -> list[str]:
    """What a document says, a sentence a line; short values that stand together, as a part of a mix, are one."""
    if isinstance(said, str):
        return [" ".join(each.split()) for each in _SENTENCE.split(said) if each.strip()]
    if isinstance(said, dict) and "file" in said:
        # Of a picture what is seen and told; its name, its side and who may see it are no words to search by.
        said = {key: said[key] for key in ("alt", "caption") if key in said}
    parts = list(said.values() if isinstance(said, dict) else said) if isinstance(said, (dict, list)) else []
    short = [each.strip() for each in parts if isinstance(each, str) and _is_short(each)]
    long = [line for each in parts if not (isinstance(each, str) and _is_short(each)) for line in _lines(each)]
    return [*([", ".join(short)] if short else []), *long]


def _is_short(text: str) -> bool:
    """Whether a text is a name or an amount rather than a sentence."""
    return text.count(" ") < _SENTENCE_FROM


def _families_at(view: View, failure: Failure, materials: Mapping[str, Material]) -> tuple[str, ...]:
    """The families used at the steps where a failure is noticed; of the whole recipe where no step is named."""
    found: set[str] = set()
    for place in failure.noticed:
        row = _shown(view, place.address)
        found.update(_families(row.recipe if row else None, materials, place.step))
    return tuple(sorted(found))


def _families(recipe: Recipe | None, materials: Mapping[str, Material], step: str | None = None) -> tuple[str, ...]:
    if recipe is None:
        return ()
    mixes = {str(mix.id): mix for mix in recipe.mixes}
    uses = [use for each in recipe.steps if step is None or each.id == step for use in each.uses]
    names = {name for use in uses for name in materials_used(use, mixes)}
    return tuple(sorted({str(family) for name in names if name in materials for family in materials[name].families}))
