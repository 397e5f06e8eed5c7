"""The write-up of a build: what the book knows of it, chapter by chapter in its maker's order, with the maker's own words between.

Nothing is typed twice: what a thing was made of, how its runs ended and what answered a trouble is what the documents say today.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from mothermold.answers.buy_text import hours_words
from mothermold.answers.recipes import pinned_recipe
from mothermold.answers.records import record_of, went_wrong_in
from mothermold.answers.troubles import ANSWER_WORDS
from mothermold.book.document import Document
from mothermold.model.build import Build, Thing, WornDay, WriteUpChapter
from mothermold.model.failure import Failure
from mothermold.model.kinds import KINDS
from mothermold.model.pictures import Picture
from mothermold.model.recipe import Recipe
from mothermold.model.run import Run
from mothermold.model.walk import KeyPath
from mothermold.pages.addresses import Links, LinksOf, written_page
from mothermold.pages.content import Block, Content, Fold, Heading, Labels, Lead, Remark, Section, Story, Widget, Words
from mothermold.pages.drawn.whole import drawn_build
from mothermold.pages.evidence import FixShown, fixes_shown
from mothermold.pages.page import Page, render
from mothermold.pages.pictures import pictures_widget, side_by_side
from mothermold.pages.pinned import pinned_title
from mothermold.pages.saying import (
    Loose,
    framed,
    joined,
    labels,
    marked,
    numbered,
    para,
    points,
    quiet,
    said,
    section,
    words,
)
from mothermold.pages.wording import spoken
from mothermold.quantities.wording import times_words, weight_in_words
from mothermold.view.view import View


@dataclass(frozen=True, slots=True)
class ToldBuild:
    """A build that is written up, and its runs, the oldest first."""

    view: View
    document: Document[Build]
    runs: Sequence[Run]

    @property
    def build(self) -> Build:
        """What it says."""
        return self.document.model

    def runs_of(self, thing: str) -> list[Run]:
        """The runs in which a thing was made, first pulls too."""
        return [run for run in self.runs if run.thing == thing and run.kind != "test"]


def write_up_page(view: View, name: str, linked: LinksOf = Links) -> Page | None:
    """The write-up of a build; None where the edition holds none that can be read.

    Args:
        view: The edition.
        name: The build.
        linked: What points from the page to places here and elsewhere.
    """
    document = view.of(Build).get(name)
    if document is None:
        return None
    told = ToldBuild(view, document, view.evidence.lineage.of_build(name))
    build = told.build
    chapters = build.write_up or _usual(told)
    shown = Content(
        f"How {build.title} was made",
        words("Write-up"),
        words(Lead("build", name, "to the build"), " ", Lead("card", name, "a card to send around")),
        (
            section("first", "", para(_when(told), style="written quiet"), _first_seen(build)),
            *(_chapter(told, number, chapter) for number, chapter in enumerate(chapters)),
        ),
    )
    return render(
        view,
        "content.html",
        written_page(name),
        shown.title,
        linked,
        kind=KINDS["build"],
        shown=shown,
        notices=(),
        rows=(),
        strips=(),
    )


def _usual(told: ToldBuild) -> Iterator[WriteUpChapter]:
    """All the book has to show, in the order of the work."""
    for shows in ("brief", "route", "story"):
        yield WriteUpChapter(shows=shows)
    for thing in told.build.things:
        if thing.photos or told.runs_of(thing.id):
            yield WriteUpChapter(shows="thing", thing=thing.id)
    for shows in ("days", "troubles", "numbers"):
        yield WriteUpChapter(shows=shows)


def _when(told: ToldBuild) -> str:
    """From when to when it was worked on, as far as runs say."""
    days = sorted({run.started.date().isoformat() for run in told.runs})
    if not days:
        return "No run is written down yet."
    return f"From {days[0]} to {days[-1]}, in {len(told.runs)} runs." if len(days) > 1 else f"Made on {days[0]}."


def _first_seen(build: Build) -> Widget | None:
    """The picture it begins with."""
    first = next((each for each in build.photos if each.as_ != "bad"), None)
    return Widget("first_picture", first) if first is not None else None


def _chapter(told: ToldBuild, number: int, chapter: WriteUpChapter) -> Section:
    """A chapter; where the edition has nothing of what it shows, what is said to it goes too."""
    heading, shown = _shown(told, chapter)
    blocks = [block for block in shown if block is not None]
    if chapter.shows is not None and not blocks:
        return section("", "")
    before = Story(("write_up", number, "text"), chapter.text) if chapter.text else None
    own = side_by_side(chapter.photos)
    return section(
        f"chapter_{number + 1}",
        chapter.title or heading,
        before,
        Widget("pictures", own) if own else None,
        *blocks,
        style="wide" if chapter.shows == "route" else "",
    )


def _shown(told: ToldBuild, chapter: WriteUpChapter) -> tuple[Loose, Iterable[Block | None]]:
    """The usual heading of a chapter, and what it shows."""
    if chapter.shows == "thing":
        thing = next((each for each in told.build.things if each.id == chapter.thing), None)
        return (spoken(thing.id).capitalize(), _thing(told, thing)) if thing is not None else ("", ())
    if chapter.shows is None:
        return "", ()
    heading, show = _SHOWS[chapter.shows]
    return heading, show(told)


def _brief(told: ToldBuild) -> Iterator[Block | None]:
    yield Story(("brief",), told.build.brief) if told.build.brief else None


def _route(told: ToldBuild) -> Iterator[Block | None]:
    drawn = drawn_build(told.view, told.document, told.runs)
    yield Widget("whole", drawn) if drawn else None


def _story(told: ToldBuild) -> Iterator[Block | None]:
    yield Story(("story",), told.build.story) if told.build.story else None


def _thing(told: ToldBuild, thing: Thing) -> Iterator[Block | None]:
    """How a thing was made: by which recipe, of what, with what record, and its photos in order."""
    runs, recipe = told.runs_of(thing.id), pinned_recipe(told.view, thing.recipe)
    origins = joined((spoken(each) for each in thing.from_), ", ")
    version = thing.recipe.version and f", version {thing.recipe.version}"
    yield para(
        Lead("reference", thing.recipe, pinned_title(told.view, thing.recipe)),
        version,
        framed(", from ", origins),
        ". ",
        f"{record_of(runs)}." if runs else None,
    )
    if recipe is not None and recipe.why and recipe.version > 1:
        yield para(quiet(f"Version {recipe.version}: "), Remark(recipe.why))
    if recipe is not None:
        yield labels(("With", joined(_materials(recipe), ", ")))
    photos = [*thing.photos, *(photo for run in runs for photo in run.photos)]
    yield _in_order(photos)
    if wrong := went_wrong_in(runs):
        yield para("What went wrong: ", joined((_failed(*each) for each in wrong.items()), ", "), ".")


def _materials(recipe: Recipe) -> Iterator[Loose]:
    """The materials of a recipe, each once, in the order they are met."""
    parts = [part.material for mix in recipe.mixes for part in mix.parts]
    uses = [use.material for step in recipe.steps for use in step.uses]
    return (Lead("material", each) for each in dict.fromkeys(each for each in (*parts, *uses) if each is not None))


def _failed(name: str, times: int) -> Loose:
    return (Lead("failure", name), f" ({times} times)" if times > 1 else None)


def _in_order(photos: Iterable[Picture]) -> Widget | None:
    """Photos in the order given, each file once."""
    each = {photo.file: photo for photo in photos}
    return Widget("pictures", side_by_side(each.values())) if each else None


def _days(told: ToldBuild) -> Iterator[Block | None]:
    for day in sorted(told.build.days, key=lambda each: each.day):
        mine = [run for run in told.runs if run.day == day.day]
        yield Heading(words(day.day, ": ", day.what or "worn", f", {spoken(day.look)}"))
        yield points(_of_day(day, mine))
        yield _in_order(photo for run in mine for photo in run.photos)


def _of_day(day: WornDay, runs: Iterable[Run]) -> Iterator[Loose]:
    clocks = (("in the chair at ", day.chair), ("ready at ", day.ready), ("wrap at ", day.wrap))
    yield joined((framed(label, clock) for label, clock in clocks), ", ")
    for run in runs:
        yield Lead("run", run.id), framed(", worn ", run.worn)
        for color in run.palette:
            yield framed("Color, ", color.zone), framed(": ", color.note)
        for touch in run.touch_ups:
            yield joined((joined((touch.at, touch.zone), ", "), touch.note), ": ")
        for moment in run.moments:
            yield joined((joined((moment.at, moment.what, moment.zone), ", "), moment.note), ": ")
        for wrong in run.went_wrong:
            yield (
                "Went wrong: ",
                Lead("failure", wrong.failure) if wrong.failure else wrong.what,
                framed(". ", wrong.note),
            )


def _troubles(told: ToldBuild) -> Iterator[Block | None]:
    """What went wrong on the way, how often, and what answered it."""
    notes = told.view.models(Failure)
    for name, times in went_wrong_in(told.runs).items():
        if (note := notes.get(name)) is None:
            continue
        yield Heading(words(Lead("failure", name, note.title), quiet(f" {times_words(times)}")))
        yield para(Remark(note.happened)) if note.happened else None
        fixes = fixes_shown(told.view, told.view.evidence.of(name), note.fixes)
        yield points(map(_answer, fixes))
        if not fixes:
            yield para("Nothing answers it yet.", style="quiet")


def _answer(fix: FixShown) -> Loose:
    place = Lead("reference", fix.recipe, fix.recipe) if fix.recipe else None
    so = ANSWER_WORDS[fix.verdict] if fix.verdict else None
    return (Remark(fix.do) if fix.do else None, framed(" ", marked("quiet", place)), framed("; ", so))


def _numbers(told: ToldBuild) -> Iterator[Block | None]:
    """What it took, as far as it was noted; each figure says of how many runs it comes."""
    done = [run for run in told.runs if run.kind != "test"]
    if done:
        yield _figures(done)


def _figures(done: Sequence[Run]) -> Labels:
    timed = [run for run in done if any(each.hands_on for each in run.took)]
    hands = sum((each.hands_on.value for run in timed for each in run.took if each.hands_on), Fraction(0))
    weighed = [(run, _grams(run)) for run in done]
    mixed = sum((grams for _run, grams in weighed), Fraction(0))
    lost = sum((grams for run, grams in weighed if run.outcome == "scrapped"), Fraction(0))
    worn = [run.worn.value for run in done if run.worn]
    mended = [run.day for run in done for _touch in run.touch_ups]
    kept = [piece for run in done for piece in run.kept]
    counted = sum(1 for _run, grams in weighed if grams)
    return labels(
        ("Runs", str(record_of(done))),
        ("Pieces kept", len(kept) or None),
        ("Hands on", f"{hours_words(float(hands))}, noted in {len(timed)} of {len(done)} runs" if timed else None),
        ("Weighed into cups", f"{_weight(mixed)}, noted in {counted} of {len(done)} runs" if counted else None),
        ("Of it in what was scrapped", _weight(lost) if lost else None),
        (
            "Touch-ups",
            f"{len(mended)}, on {len(set(mended))} {'day' if len(set(mended)) == 1 else 'days'}" if mended else None,
        ),
        ("Meals, breaks, photos noted", sum(len(run.moments) for run in done) or None),
        ("Worn", f"{hours_words(float(sum(worn, Fraction(0))))} on {len(worn)} days" if worn else None),
    )


def _grams(run: Run) -> Fraction:
    batches = (each.weighed for each in run.batch)
    return sum((each.value for each in batches if each is not None and each.dimension == "mass"), Fraction(0))


def _weight(grams: Fraction) -> str:
    return f"{float(grams / 1000):.1f} kg" if grams >= 1000 else weight_in_words(grams)


def _photos(told: ToldBuild) -> Iterator[Block | None]:
    """Every photo of the build, in the order of its runs, those of the whole last."""
    things = [photo for thing in told.build.things for photo in thing.photos]
    yield _in_order((*things, *(photo for run in told.runs for photo in run.photos), *told.build.photos))


_SHOWS: Final[dict[str, tuple[str, Callable[[ToldBuild], Iterator[Block | None]]]]] = {
    "brief": ("What was wanted", _brief),
    "route": ("The way there", _route),
    "story": ("How it went", _story),
    "days": ("The days", _days),
    "troubles": ("What went wrong, and what answered it", _troubles),
    "numbers": ("What it took", _numbers),
    "photos": ("In pictures", _photos),
}
"""What a chapter can show but a thing: its usual heading, and how it is made."""


def chapters_fold(build: Build) -> Fold | None:
    """The chapters of the write-up as they are written down; what they show stands on a page of its own."""
    lines = [_written(*each) for each in numbered(build.write_up, "write_up")]
    pictures = (pictures_widget(each.photos, "write_up", place, "photos") for place, each in enumerate(build.write_up))
    shown = tuple(each for each in pictures if each is not None)
    return Fold(words("Chapters of the write-up"), (points(lines, "numbered"), *shown)) if lines else None


def _written(at: KeyPath, each: WriteUpChapter) -> Words:
    shows = said(*at, shows=each.shows, thing=each.thing and (" ", spoken(each.thing)))
    return joined((said(*at, title=each.title), shows, said(*at, text=each.text)), ": ")
