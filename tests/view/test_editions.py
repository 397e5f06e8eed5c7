"""Books made at random, a thousand in the campaign, are read in every edition: nothing hidden may be found in what is shown."""

from __future__ import annotations

import multiprocessing
import re
from collections import Counter, defaultdict
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from typing import Any, Final

import pytest
from pydantic import BaseModel

from campaigns.seeds import parts
from mothermold.book.document import Document
from mothermold.model.build import Build
from mothermold.model.course import Course
from mothermold.model.kinds import KINDS
from mothermold.model.names import LookName, MaterialRef, RecipeAddress, RecipeRef, Reference, ThingName
from mothermold.model.recipe import Recipe
from mothermold.model.run import Run
from mothermold.model.walk import walk
from mothermold.view.needs import Opening, reason
from mothermold.view.view import View
from view.books import PRICE, GeneratedBook, make_book
from view.filling import part_models
from view.reading import open_editions, printed, reachable

BOOKS: Final = parts(20, 1000)

_HIDDEN: Final = {
    "private": None,
    "class": re.compile(rf"zq-?(private|comment)[\w-]*|{re.escape(PRICE)}"),
    "public": re.compile(rf"zq-?(private|class|comment)[\w-]*|{re.escape(PRICE)}"),
}
# These say what this very edition lacks.
_OF_ITS_EDITION: Final = {"invisible-material", "open-not-saved", "pins-not-open"}
_MARKER: Final = re.compile(r"zq-?(?:private|class|public)[\w-]*")
_WIDER: Final = {"private": 0, "class": 1, "public": 2}


class Findings:
    """What was found to be wrong, by claim."""

    def __init__(self) -> None:
        self.books = 0
        self.wrong: dict[str, list[str]] = defaultdict(list)
        self.fields: set[tuple[str, str]] = set()
        self.seen: Counter[str] = Counter()

    def say(self, claim: str, seed: int, detail: str) -> None:
        if len(self.wrong[claim]) < 40:
            self.wrong[claim].append(f"book {seed}: {detail}")


@pytest.fixture(scope="module", params=BOOKS)
def findings(request: pytest.FixtureRequest) -> Findings:
    # In two processes, for speed; a seed makes the same book in either.
    books: range = request.param
    with ProcessPoolExecutor(2, multiprocessing.get_context("fork")) as pool:
        one, other = pool.map(look_at_all, (books[::2], books[1::2]))
    one.books = len(books)
    for name, details in other.wrong.items():
        one.wrong[name] += details
    one.seen.update(other.seen)
    one.fields |= other.fields
    return one


def look_at_all(seeds: range) -> Findings:
    found = Findings()
    for seed in seeds:
        look_at(seed, found)
    return found


def look_at(seed: int, found: Findings) -> None:
    book = make_book(seed)
    found.fields |= book.fields
    views = open_editions(book)
    earlier = tuple(plan.earlier for plan in book.plans if plan.earlier)
    for edition, view in views.items():
        hidden = _HIDDEN[edition]
        missing = tuple(address for address in views["private"].recipes if address not in view.recipes)
        if hidden is not None:
            for command, said in printed(view, hidden_recipes=missing):
                for leak in {match[0] for match in hidden.finditer(said)}:
                    found.say("printed", seed, f"{edition} {command}: {leak}")
            for place, text in reachable(view, (*missing, *earlier)):
                if match := hidden.search(text):
                    found.say("reachable", seed, f"{edition} {place}: {match[0]} in {text[:90]!r}")
        for detail in not_sound(view, views["private"], again=seed % 5 == 0):
            found.say("sound", seed, f"{edition} {detail}")
        for detail in not_shown(view, views["private"], found):
            found.say("shown", seed, f"{edition} {detail}")
        for detail in not_foretold(view, views["private"], found):
            found.say("foretold", seed, f"{edition} {detail}")
    for detail in not_in_private(book, views["private"]):
        found.say("private", seed, detail)
    for narrow, wide in (("private", "class"), ("class", "public")):
        for detail in not_in_the_narrower(views[narrow], views[wide]):
            found.say("order", seed, f"{wide} {detail}")


def not_sound(view: View, whole: View, *, again: bool) -> Iterator[str]:
    """Documents that no longer fit their model (read again in some books, for speed), and names of what the edition lacks."""
    if view.edition == "private":
        return
    for document in every_text(view):
        kind = KINDS[document.kind].model
        assert document.model is not None
        if again and kind.model_validate(document.said) != document.model:
            yield f"{document.file} says something else than its text"
        if document.raw is not document.said or document.text or document.notices:
            yield f"{document.file} keeps something of its file"
        for path in (*document.tree.keys, *document.tree.values):
            if not leads_somewhere(document.said, path):
                yield f"{document.file} knows a place of nothing: {path}"
        for path, value in walk(document.model):
            if isinstance(value, RecipeAddress):
                continue
            if isinstance(value, Reference) and not holds(view, value, whole):
                yield f"{document.file} {path} names {value}"
            if (
                path[0] == "accepts"
                and path[-1] == "where"
                and "/" in value
                and not holds(view, RecipeRef(value), whole)
            ):
                yield f"{document.file} {path} names {value}"
    for document in view.documents.on("build").values():
        assert isinstance(document.model, Build)
        yield from loose(document, document.model, document.model, whole.documents.on("build")[document.address])
    for document in view.documents.on("run").values():
        build = re.match(r"recipes/builds/([^/]+)/", document.file)
        if build:
            around = view.documents.on("build")[build[1]]
            assert isinstance(around.model, Build)
            yield from loose(document, document.model, around.model, whole.documents.on("build")[build[1]])


def loose(document: Document, model: Any, build: Build, before: Document) -> Iterator[str]:
    """Names of things and looks that were taken out of the build, though they were in it."""
    assert isinstance(before.model, Build)
    things = {each.id for each in before.model.things} - {each.id for each in build.things}
    looks = {each.id for each in before.model.looks} - {each.id for each in build.looks}
    for path, value in walk(model):
        if (isinstance(value, ThingName) and value in things) or (isinstance(value, LookName) and value in looks):
            yield f"{document.file} {path} names {value}"


def holds(view: View, reference: Reference, whole: View) -> bool:
    if reference.KIND != "recipe":
        return reference.address in view.documents.on(reference.KIND)
    listed, every = view.versions(reference.address), whole.versions(reference.address)
    if reference.version is not None and every is not None and every.get(reference.version):
        return listed is not None and listed.get(reference.version) is not None
    # A number of which no text was ever saved is no secret.
    return listed is not None or reference.address in view.documents.on("recipe")


def leads_somewhere(said: Any, path: tuple[str | int, ...]) -> bool:
    for step in path:
        try:
            said = said[step]
        except (KeyError, IndexError, TypeError):
            return False
    return True


def every_text(view: View) -> Iterator[Document]:
    for kind in view.documents.by_kind().values():
        yield from kind.values()
    for address in view.recipes:
        listed = view.versions(address)
        assert listed is not None
        for row in listed.rows:
            yield row.document
            yield from (earlier for _moment, earlier in row.amendments)
            if row.clash is not None:
                yield row.clash


def not_shown(view: View, whole: View, found: Findings) -> Iterator[str]:
    """Everything an edition admits is shown, but recipes of hidden materials and runs of hidden recipes."""
    if view.edition == "private":
        return
    told = {notice.file: notice for notice in view.notices if notice.code == "invisible-material"}
    for kind, documents in whole.documents.by_kind().items():
        for address, document in documents.items():
            shown = address in view.documents.on(kind)
            if not admitted(document, whole, view.edition):
                if shown:
                    yield f"{document.file} is shown"
                continue
            reason = None
            for _path, value in walk(document.model):
                if (
                    isinstance(document.model, Recipe)
                    and isinstance(value, MaterialRef)
                    and not holds(view, value, whole)
                ):
                    reason = "material"
            if (
                isinstance(document.model, Run)
                and document.model.recipe
                and not holds(view, document.model.recipe, whole)
            ):
                reason = "recipe"
            if shown == bool(reason):
                yield f"{document.file} is {'shown' if shown else 'missing'}, reason {reason}"
            if (reason == "material") != (document.file in told):
                yield f"{document.file}: told {told.get(document.file)}, reason {reason}"
            found.seen[f"{view.edition} {'hidden for its ' + reason if reason else 'shown'}"] += 1
    for notice in told.values():
        if notice.severity != "error" or any(
            name in f"{notice.message} {notice.help}" for name in whole.documents.on("material")
        ):
            yield f"the notice says {notice.message}"


def not_foretold(view: View, whole: View, found: Findings) -> Iterator[str]:
    """Where what the owner is told an edition lacks is not what it lacks."""
    if view.edition == "private":
        return
    opening = Opening(whole.documents, whole.versions, view.edition)
    for address in whole.recipes:
        listed, shown = whole.versions(address), view.versions(address)
        assert listed is not None
        for row in listed.rows:
            reference = RecipeRef(f"{address}@{row.number}")
            needs = opening.recipe(reference)
            # Of a deleted recipe only history knows the last text, which may have got no number.
            if address in whole.documents.on("recipe") and needs.met != (
                shown is not None and shown.get(row.number) is not None
            ):
                yield f"{reference} is {'shown' if not needs.met else 'missing'}: {reason(needs)}"
            found.seen[f"foretold {needs.met}"] += 1
    for address, (missing, pinned) in view.pins.items():
        course = whole.documents.on("course")[address].model
        assert isinstance(course, Course)
        living = [each for each in course.pins if each.address in whole.documents.on("recipe")]
        lacking = [each for each in living if not opening.recipe(each).met]
        shown = {str(each) for each in view.documents.on("course")[address].model.pins}  # type: ignore[union-attr]
        if pinned != len(course.pins) or {str(each) for each in living} - shown != {str(each) for each in lacking}:
            yield f"{address} lacks {missing} of {pinned}, not {lacking}"
        found.seen["foretold pins"] += missing > 0


def admitted(document: Document, whole: View, edition: str) -> bool:
    if document.kind == "book":
        return True
    levels = [getattr(document.model, "visibility", "private")]
    if build := re.match(r"recipes/builds/([^/]+)/", document.file):
        levels.append(getattr(whole.documents.on("build")[build[1]].model, "visibility", "private"))
    return min(_WIDER[level] for level in levels) >= _WIDER[edition]


def not_in_private(book: GeneratedBook, view: View) -> Iterator[str]:
    """Words of the files of today that the owner's own export lost."""
    said = "\n".join(text for command, text in printed_export(view))
    held = set(_MARKER.findall(said))
    for file, text in book.files.items():
        without_comments = re.sub(r"(?m)(^|\s)# .*$", "", text)
        words = set(_MARKER.findall(without_comments)) if "-lost" not in file else set()
        if lost := words - held:
            yield f"{file}: {sorted(lost)[:4]}"
        if file not in said:
            yield f"{file} is not named"


def printed_export(view: View) -> Iterator[tuple[str, str]]:
    for command, text in printed(view):
        if command == "export":
            yield command, text
            return


def not_in_the_narrower(narrow: View, wide: View) -> Iterator[str]:
    """What the wider public sees and the narrower one does not."""
    for kind, documents in wide.documents.by_kind().items():
        for address, document in documents.items():
            if address not in narrow.documents.on(kind):
                yield f"shows {address}"
            elif lost := words_in(document.model) - words_in(narrow.documents.on(kind)[address].model):
                yield f"{document.file} says {sorted(lost)[:3]}"
    for address in wide.recipes:
        ours, theirs = narrow.versions(address), wide.versions(address)
        assert theirs is not None
        if ours is None or not {row.number for row in theirs.rows} <= {row.number for row in ours.rows}:
            yield f"has other versions of {address}"
            continue
        for row in theirs.rows:
            mine = ours.get(row.number)
            assert mine is not None
            if len(row.amendments) > len(mine.amendments) or (row.clash and not mine.clash):
                yield f"has more texts of {address}@{row.number}"
    said = {(notice.code, notice.file, notice.message, notice.help) for notice in narrow.notices}
    for notice in wide.notices:
        key = (notice.code, notice.file, notice.message, notice.help)
        if notice.code not in _OF_ITS_EDITION and key not in said:
            yield f"is told {key}"


def words_in(model: Any) -> set[str]:
    assert isinstance(model, BaseModel)
    return {word for _path, value in walk(model) if isinstance(value, str) for word in _MARKER.findall(value)}


def claim(findings: Findings, name: str) -> None:
    wrong = findings.wrong[name]
    assert not wrong, "\n".join(["", *wrong])


def test_no_command_prints_anything_an_edition_does_not_hold(findings: Findings) -> None:
    claim(findings, "printed")


def test_nothing_hidden_can_be_reached_through_a_view(findings: Findings) -> None:
    claim(findings, "reachable")


def test_what_remains_in_a_view_is_valid_and_names_only_what_the_edition_holds(findings: Findings) -> None:
    claim(findings, "sound")


def test_an_edition_shows_all_it_admits_but_recipes_of_hidden_materials_and_runs_of_hidden_recipes(
    findings: Findings,
) -> None:
    claim(findings, "shown")
    for edition in ("class", "public"):
        for what in ("shown", "hidden for its material", "hidden for its recipe"):
            assert findings.seen[f"{edition} {what}"] > findings.books / 10


def test_what_an_edition_lacks_is_foretold_to_the_owner(findings: Findings) -> None:
    claim(findings, "foretold")
    assert all(findings.seen[f"foretold {what}"] > findings.books / 10 for what in (True, False, "pins"))


def test_the_owner_sees_every_word_of_every_document_the_broken_ones_too(findings: Findings) -> None:
    claim(findings, "private")


def test_whatever_the_public_sees_a_class_sees_too(findings: Findings) -> None:
    claim(findings, "order")


def test_the_books_fill_in_every_field_there_is(findings: Findings) -> None:
    every = {
        (model.__name__, field.alias or name)
        for kind in KINDS.values()
        for model in part_models(kind.model)
        for name, field in model.model_fields.items()
    }
    assert every - findings.fields == set()
    assert findings.fields - every == set()
