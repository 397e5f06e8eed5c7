"""*It went wrong*: the words, first aid where somebody is hurt, whether it is one of these, and what comes of a yes or a no."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from mothermold.answers.records import dated_title, runs_with
from mothermold.answers.troubles import HARMS
from mothermold.model.run import Run
from mothermold.pages.addresses import HURT, page_of
from mothermold.pages.desk.paper import DeskPaper, form_at, new_at
from mothermold.pages.desk.photo_fields import PhotoFields, PhotoSlot, photo_fields
from mothermold.pages.hurt import numbers
from mothermold.pages.page import Page

WRONG: Final = "desk/wrong"
NEXT: Final = "desk/next"
_MOST: Final = 8
_FEW_RUNS: Final = 10


@dataclass(frozen=True, slots=True)
class MaybeThis:
    """A failure note that may be meant.

    Attributes:
        hit: What the finder says of it.
        page: Where its page lies.
        times: In how many runs it happened.
        last: When it last did; empty for never.
        photos: The places for photos of how it happened again.
    """

    hit: Mapping[str, Any]
    page: str
    times: int
    last: str
    photos: PhotoFields


def wrong_page(
    paper: DeskPaper,
    words: str,
    hits: Sequence[Mapping[str, Any]],
    unknown: Sequence[str],
    chosen: Mapping[str, Sequence[PhotoSlot]],
) -> Page:
    """What was shouted, and what it may be.

    Args:
        paper: The page.
        words: The words; empty where nothing was said yet.
        hits: What answers to them, as `find` says it.
        unknown: Words the book knows nothing of.
        chosen: By failure note, photos that were chosen with it and come back.
    """
    view = paper.view
    failures = [each for each in hits if each["kind"] == "failure"][:_MOST]
    maybe = [
        _maybe(paper, each, replace(photo_fields("run", chosen.get(each["id"], ())), first=100 * number))
        for number, each in enumerate(failures, start=1)
    ]
    # Of runs under way the newest first: it is likely one of these.
    runs = sorted(
        view.models(Run).items(),
        key=lambda each: (each[1].outcome is None and each[1].kind == "run", each[1].started),
        reverse=True,
    )
    offered = [
        (name, dated_title(view, run), run.outcome is None and run.kind == "run") for name, run in runs[:_FEW_RUNS]
    ]
    return paper.page(
        "desk_wrong.html", "It went wrong", words=words, hurt=[each for each in hits if each["kind"] == "hurt"], maybe=maybe,
        unknown=unknown, runs=offered, numbers=numbers(view.settings.emergency), harms=HARMS, hurt_page=HURT[0],
        new_note=new_at("failure", begun_note(words)), sample=[title for _name, title in _titles(paper)[:3]],
    )  # fmt: skip


def begun_note(words: str, where: str = "", step: str = "", stages: Sequence[str] = ()) -> list[tuple[str, str]]:
    """What a failure note is begun with.

    Args:
        words: What was shouted.
        where: The recipe it went wrong with; empty for unknown.
        step: The step of it, likewise.
        stages: The stages of the work.
    """
    said = " ".join(words.split())
    pairs = [("title", said[:1].upper() + said[1:]), ("symptoms", ""), ("symptoms", said)] if said else []
    stage = where.partition("/")[0]
    pairs += [("seen_at", stage)] if stage in stages else []
    return pairs + ([("noticed", ""), ("noticed", f"{where}#{step}" if step else where)] if where else [])


def next_page(paper: DeskPaper, recipes: Sequence[tuple[str, str]], because: str, told: str) -> Page:
    """Of which recipe a next version is begun, and because of what.

    Args:
        paper: The page.
        recipes: Addresses and titles, that of the last run first.
        because: What it is because of already; empty for nothing.
        told: What that tells.
    """
    view = paper.view
    runs = sorted(view.models(Run).items(), key=lambda each: each[1].started, reverse=True)
    wrong = [
        (f"{NEXT}/{run.recipe.address}?because=run/{name}", dated_title(view, run), _what(paper, run))
        for name, run in runs
        if run.went_wrong and run.recipe is not None and run.recipe.address in view.on("recipe")
    ]
    at = lambda address: f"{NEXT}/{address}" + (f"?because={because}" if because else "")  # noqa: E731
    return paper.page(
        "desk_next.html", "Next version, because of this", recipes=recipes, wrong=wrong[:_MOST] if not because else [],
        where=at, because=because, why=told,
    )  # fmt: skip


def _what(paper: DeskPaper, run: Run) -> str:
    titles = dict(_titles(paper))
    return "; ".join(str(each.what or titles.get(str(each.failure), each.failure)) for each in run.went_wrong)


def _titles(paper: DeskPaper) -> list[tuple[str, str]]:
    return [(name, str(getattr(each.model, "title", name))) for name, each in paper.view.on("failure").items()]


def _maybe(paper: DeskPaper, hit: Mapping[str, Any], photos: PhotoFields) -> MaybeThis:
    happened = runs_with(paper.view, hit["id"])
    last = f"{happened[0][0].started:%Y-%m-%d}" if happened else ""
    return MaybeThis(hit, page_of("failure", hit["id"]), len(happened), last, photos)


@dataclass(frozen=True, slots=True)
class NextDeed:
    """Something to go on with: where it is, what it is called, and what it is for."""

    address: str
    words: str
    hint: str = ""


def deeds_of_run(paper: DeskPaper, name: str, run: Run) -> list[NextDeed]:
    """What to go on with after a run: what went wrong gets its note, and the recipe its next version."""
    stages, recipe = paper.view.words.stages, run.recipe.address if run.recipe is not None else ""
    found = []
    for each in run.went_wrong:
        if each.failure is None and each.what:
            query = begun_note(str(each.what), recipe, str(each.step or ""), list(stages))
            found.append(NextDeed(new_at("failure", query), "Write the failure note", str(each.what)))
    if run.went_wrong:
        where = f"{NEXT}/{recipe}" if recipe in paper.view.on("recipe") else NEXT
        found.append(NextDeed(f"{where}?because=run/{name}", "Next version, because of this", recipe))
    return [
        *found,
        NextDeed("desk/made", "I made another one"),
        NextDeed(form_at("run", name), "All other fields of it"),
    ]
