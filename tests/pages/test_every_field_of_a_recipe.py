"""Whatever a recipe says stands on its page: in words or at a place of its own, else in a row under its name."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from html import unescape
from typing import Any, Final

import pytest

from compare.texts import EVERY_FIELD
from history.repositories import FIRST, Repository, empty_book, recipe, start_repository
from mothermold.model.expected import keys_of, model_in
from mothermold.model.parts import Part
from mothermold.model.recipe import Recipe
from mothermold.pages.bench import bench_at
from mothermold.pages.recipes import recipe_page
from mothermold.pages.wording import SHOWN, rows_of, spoken
from mothermold.view.view import View, open_view

Place = tuple[str | int, ...]
# How a field is said where it has words of its own, by its place without numbers; `{}` is what it says, as one reads it.
WORDS: Final[dict[str, str]] = {
    "title": "{}", "stage": "Recipe {}/a-piece", "version": "Version {}", "status": "Version 2 {},", "needs": "{}", "off": "{}",
    "why": "Why this version: {}", "fixes": "It answers {}", "yields.left": "{} left", "yields.right": "{} right",
    "surfaces.id": "{}:", "surfaces.material": ": {}", "surfaces.from": "of {}", "surfaces.surface": "the {}",
    "gives.what": "makes: {}", "gives.surfaces.id": "makes: {}", "gives.surfaces.material": ": {}",
    "gives.surfaces.from": "of {}", "gives.surfaces.surface": "the {}",
    "accepts.rule": "{} at", "accepts.where": "at {}", "accepts.because": "because {}",
    "mixes.title": "{}", "mixes.once": "once for the {}", "mixes.by": "By {}", "mixes.batch": "a batch of {}",
    "mixes.fills": "fills {}", "mixes.covers.area": "covers {}", "mixes.covers.thick": "{} thick",
    "mixes.allowance": "{} extra", "mixes.allowance.percent": "{} extra",
    "mixes.allowance.left_in_cups": "left in cups {}", "mixes.allowance.smallest_batch": "smallest batch {}",
    "mixes.allowance.largest_batch": "largest batch {}", "mixes.density": "density {}",
    "mixes.pot_life.time": "Pot life {}", "mixes.pot_life.at": " at {}", "mixes.pot_life.basis": "({})",
    "mixes.demold.time": "Demold {}", "mixes.demold.at": " at {}", "mixes.demold.basis": "({})",
    "mixes.full_cure.time": "Full cure {}", "mixes.full_cure.at": " at {}", "mixes.full_cure.basis": "({})",
    "mixes.parts.material": "{}", "mixes.parts.mix": "{}", "mixes.parts.parts": "{} part", "mixes.parts.percent": "{} of",
    "mixes.parts.of": "{}", "mixes.parts.amount": "{}", "mixes.parts.match": "to match {}", "mixes.parts.by": "by {}",
    "mixes.parts.temperature": "at {}",
    "steps.phase": "{}", "steps.title": "{}", "steps.do": "{}", "steps.hands_on": "{} hands-on", "steps.people": "{} people",
    "steps.after": "“{}”", "steps.within.time": "within {}", "steps.within.after": "of “{}”",
    "steps.within.from": "counted from the end of its {}ing", "steps.coats.count": "{} coats", "steps.coats.between": "{} between",
    "steps.coats.last": "{} after the last", "steps.with": "{}", "steps.starts": "The pot life of {} starts here",
    "steps.wait": "wait {}", "steps.wait.time": "wait {}", "steps.wait.demold": "wait until {} is firm enough to demold",
    "steps.wait.full_cure": "wait until {} is fully cured", "steps.until.what": "wait until {}", "steps.until.usual": "usually {}",
    "steps.until.longest": "at most {}", "steps.holds": "ties up the {}", "steps.once": "once for the {}",
    "steps.may_pause": "the work may be left here", "steps.zone": "{}", "steps.temperature": "at {}",
    "steps.check": "Right when: {}", "steps.watch": "{}",
    "steps.uses.material": "{}", "steps.uses.mix": "{}", "steps.uses.as": "to {}", "steps.uses.on": "{}",
    "steps.uses.amount": "{}", "steps.uses.how": "by {}", "steps.uses.share": "{} of it", "steps.uses.coats.count": "{} coats",
    "steps.uses.coats.between": "{} between", "steps.uses.coats.last": "{} after the last",
}  # fmt: skip
for _pictures in ("pictures", "steps.pictures"):
    WORDS |= {
        f"{_pictures}.{key}": words
        for key, words in {
            "file": "picture {}", "caption": "{}", "as": "{}", "alt": ": {})", "view": "{},", "taken": "{} ,", "light": "{},",
            "camera": "{},", "face": "face: {}", "visibility": "visibility: {}",
        }.items()
    }  # fmt: skip
# What is no text: the format is the tool's, and an id is where a link leads.
NO_TEXT: Final = {"format", "mixes.id", "steps.id"}
READ: Final = {
    "gel-silicone-a": "Platinum gel silicone, part A", "deadener": "Deadener fluid", "tinted-a": "Tinted part A",
    "tinted-a/gel-silicone-a": "Platinum gel silicone, part A in Tinted part A", "base": "Base silicone",
    "air-at-cheek": "Air at the cheek", "guard": "Guard the hairline", "coat": "Coat", "the-rest": "the rest", "total": "the total",
    "after": "After:", "good": "Like this:", "bad": "Not like this:",
}  # fmt: skip


@pytest.fixture(scope="module")
def view(tmp_path_factory: pytest.TempPathFactory) -> View:
    book: Repository = start_repository(tmp_path_factory.mktemp("every") / "book")
    own = recipe(1).replace("    fills:", "    batch: 60 g\n    covers: {area: 80 cm2, thick: 3 mm}\n    fills:")
    own = own.replace("    wait: 120 min", "    wait: {time: 120 min, demold: base}\n    until: {what: it feels firm}")
    own += "accepts: [{rule: no-waiting, where: '#fill', because: The room is warmed.}]\n"
    files = {"recipes/cast/a-piece.yaml": EVERY_FIELD.read_text(encoding="utf-8"), "recipes/cast/cheek.yaml": own}
    book.save(FIRST, empty_book() | files)
    return open_view(book.folder, "private")


@pytest.fixture(scope="module")
def page(view: View) -> str:
    return recipe_page(view, "cast/a-piece").body


def words(html: str) -> str:
    """What one reads there."""
    html = re.sub(r"(?s)<(script|svg)\b.*?</\1>|</?(?:b|a|span|strong|em)\b[^>]*>", "", html)
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", html)).split())


def leaves(said: Any, at: Place = ()) -> Iterator[tuple[Place, str]]:
    """Every value of a text, with the keys and numbers that lead to it."""
    if isinstance(said, Mapping | list):
        for key, value in said.items() if isinstance(said, Mapping) else enumerate(said):
            yield from leaves(value, (*at, key))
    else:
        yield at, str(said)


def named(place: Place) -> str:
    return ".".join(key for key in place if isinstance(key, str))


def where(page: str, said: Mapping[str, Any], place: Place) -> str:
    """The part of the page that speaks of what holds a field: its part or use, its step or mix, or what is around them all."""
    if place[0] not in ("mixes", "steps") or named(place) == "steps.phase":
        around = re.sub(r'(?s)<section class="notices".*?</section>', "", page)
        return (
            around
            if place[0] == "steps"
            else re.sub(r'(?s)id="mixes".*</ol>\s*</section>\s*(?=<section)', "", around, count=1)
        )
    number, more = place[1], place[2:]
    assert isinstance(number, int)
    one = "mix" if place[0] == "mixes" else "step"
    start = page.index(f'id="{one}-{said[str(place[0])][number]["id"]}"')
    ends = [each.start() for each in re.finditer(rf'id="{one}-|id="steps"|id="rules"', page) if each.start() > start]
    inside = page[start : min(ends)]
    if more[0] == "uses":
        return re.findall(r"(?s)<li>.*?</li>", inside[inside.index('<ul class="uses">') :])[int(more[1])]
    if more[0] == "parts":
        rows = re.findall(r"(?s)<tr><th.*?</tr>", inside[inside.index("<tbody>") :])
        return [row for row in rows if "within it:" not in row][int(more[1])]
    return inside


def expected(place: Place, value: str) -> list[str]:
    """What one may read of a field; one without words of its own stands after its name."""
    said = value.replace(" degC", " °C").replace(" degF", " °F")
    if named(place) == "mixes.parts.percent" and "%" not in said:
        said += " %"
    form = WORDS.get(
        named(place), f"{str(place[-1] if isinstance(place[-1], str) else place[-2]).replace('_', ' ')} {{}}"
    )
    return [form.format(each) for each in (READ.get(value, said), spoken(said), said.capitalize())]


def test_everything_it_says_stands_on_its_page_where_it_belongs(view: View, page: str) -> None:
    said = view.on("recipe")["cast/a-piece"].said
    missing = [
        (named(place), value, words(where(page, said, place))[:300])
        for place, value in leaves(said)
        if named(place) not in NO_TEXT
        and not any(each in words(where(page, said, place)) for each in expected(place, value))
    ]
    assert missing == []
    for key in ("mix", "step"):
        for each in said["mixes" if key == "mix" else "steps"]:
            assert f'id="{key}-{each["id"]}"' in page


def fields(model: type[Part], at: str = "") -> Iterator[str]:
    """Every field of a recipe that holds a value, by its place."""
    for key, field in keys_of(model).items():
        group = model_in(field.annotation)
        yield from fields(group, f"{at}{key}.") if group else [at + key]


def test_the_text_says_every_field_there_is_and_the_words_are_of_no_other(view: View) -> None:
    said = {named(place) for place, _ in leaves(view.on("recipe")["cast/a-piece"].said)}

    assert set(fields(Recipe)) - said == {"format", "yields"}
    assert set(WORDS) <= said


@pytest.mark.parametrize("model", SHOWN)
def test_what_is_claimed_is_a_field_that_is_there(model: type[Part]) -> None:
    known = set(fields(model)) | set(keys_of(model))

    assert [place for place in SHOWN[model] if place not in known] == []


def test_two_sizes_of_a_mix_and_two_waits_of_a_step_are_all_shown(view: View) -> None:
    said = words(recipe_page(view, "cast/cheek").body)

    assert "By weight, fills 100 ml, covers 80 cm2 3 mm thick, a batch of 60 g" in said
    assert "wait 120 min, until Base silicone is firm enough to demold" in said
    assert "wait until it feels firm" in said


def test_advice_that_was_set_aside_stands_there_with_its_reason(view: View) -> None:
    said = words(recipe_page(view, "cast/cheek").body)

    assert "Advice set aside: no-waiting at #fill, because The room is warmed." in said


def test_the_bench_says_for_what_a_step_is_done_once_and_from_when_a_limit_counts(view: View) -> None:
    versions = view.versions("cast/a-piece")
    bench = bench_at(view, "cast/a-piece", versions.rows[-1].number) if versions else None
    assert bench is not None
    said = words(bench.body)

    assert "then wait until the film is clear, usually 2 h, at most 6 h at" in said
    assert "once for the mold" in said
    assert "within 8 h of “Coat”, counted from the end of its waiting" in said


def test_rows_say_what_nothing_claims_within_groups_and_lists_too() -> None:
    said = {
        "a": "1",
        "left_over": "2",
        "group": {"b": "3", "c": "4"},
        "list": [{"b": "5"}, {"b": "6", "d": "7"}],
        "short": "8",
    }

    assert rows_of(said, ("a", "group.b", "list.b", "short.time")) == [("left over", "2"), ("c", "4"), ("d", "7")]
    assert rows_of(said, ("left_over", "group", "list")) == [("a", "1"), ("short", "8")]
