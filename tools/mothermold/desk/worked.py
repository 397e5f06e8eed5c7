"""A recipe that was worked: which it likely was, and what a run of it likely says, as the runs before it tell."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from mothermold.answers.records import runs_of
from mothermold.book.files import build_of
from mothermold.desk.asking import Offer
from mothermold.desk.drafts.run import weighed_mixes
from mothermold.desk.forms.trees import Pairs
from mothermold.desk.shop import Shop
from mothermold.model.build import Build
from mothermold.model.recipe import Mix, Recipe
from mothermold.model.run import Run


@dataclass(frozen=True, slots=True)
class Workable:
    """A recipe version that may have been worked.

    Attributes:
        pin: The version.
        title: What it is called.
        draft: Whether it is a draft, of which a run is a test.
        last: The last run of the recipe; None where there is none.
    """

    pin: str
    title: str
    draft: bool
    last: Run | None


def workable(shop: Shop) -> list[Workable]:
    """Every version that may have been worked, that of the last run first, and of recipes never worked the newest first."""
    found = [
        Workable(
            offer.value,
            offer.words.removesuffix("; a draft"),
            offer.words.endswith("; a draft"),
            _last(shop, offer.value),
        )
        for offer in shop.pins(drafts=True)
    ]
    return sorted(found, key=lambda each: each.last.started.timestamp() if each.last else 0.0, reverse=True)


def _last(shop: Shop, pin: str) -> Run | None:
    runs = runs_of(shop.view, pin.partition("@")[0])
    return runs[-1] if runs else None


@dataclass(frozen=True, slots=True)
class Likely:
    """What a run of a recipe version likely says; all of it is shown before it is written.

    Attributes:
        pin: The version.
        recipe: What it says.
        draft: Whether it is a draft, of which a run is a test.
        mixes: The mixes that go on the scale.
        lots: The lots it may have used, those in use first.
        molds: The molds it may have been worked in.
        mold: The one of the last run; empty for none.
        things: For which build and thing it may have been made, as `build` or `build/thing`.
        thing: The one of the last run; empty for none.
    """

    pin: str
    recipe: Recipe
    draft: bool
    mixes: tuple[Mix, ...]
    lots: tuple[Offer, ...]
    molds: tuple[Offer, ...]
    mold: str
    things: tuple[Offer, ...]
    thing: str


def likely(shop: Shop, pin: str) -> Likely | None:
    """What a run of a recipe version likely says; None where the book has no such version."""
    recipe, last = shop.recipe_at(pin), _last(shop, pin)
    if recipe is None:
        return None
    build = (build_of(shop.view.that_says(last).file) if last else None) or ""
    every = [offer for each in ("", *shop.view.models(Build)) for offer in shop.molds(each)]
    molds = tuple({offer.value: offer for offer in [*shop.molds(build), *every]}.values())
    mold = str(last.mold) if last and last.mold and str(last.mold) in [offer.value for offer in molds] else ""
    thing = f"{build}/{last.thing}" if last and last.thing and build else build
    return Likely(
        pin, recipe, recipe.status == "draft", tuple(weighed_mixes(recipe)), tuple(shop.lots(recipe)), molds, mold,
        tuple(_things(shop, pin.partition("@")[0])), thing,
    )  # fmt: skip


def _things(shop: Shop, address: str) -> list[Offer]:
    """The builds, before each the things of it that are made by a recipe."""
    found: list[Offer] = []
    for name, build in sorted(shop.view.models(Build).items()):
        made = [each for each in build.things if each.recipe.address == address]
        found += [Offer(f"{name}/{each.id}", f"{each.id}, {build.title}") for each in made]
        found.append(Offer(name, str(build.title)))
    return found


def lots_sent(shop: Shop, recipe: Recipe, chosen: Iterable[str]) -> Pairs:
    """What a form is sent where these of the lots offered were used."""
    known = {offer.value: lot for offer, lot in shop.lots(recipe).items()}
    pairs: list[tuple[tuple[int | str, ...], str]] = []
    for number, (material, lot) in enumerate((known[each] for each in chosen if each in known), start=1):
        token = f"+{number}"
        pairs += [(("lots",), token), (("lots", token, "material"), material), (("lots", token, "lot"), lot)]
    return pairs


def trouble_sent(shop: Shop, what: str, step: str = "", harm: str = "", row: str = "+1") -> Pairs:
    """What a form is sent where something went wrong: a failure note by its name or its title, or words."""
    words = what.strip()
    if not words:
        return []
    named = next(
        (each.value for each in shop.titled("failure") if words.casefold() in (each.value, each.words.casefold())), ""
    )
    at = ("went_wrong", row)
    rows: list[tuple[tuple[int | str, ...], str]] = [
        (("went_wrong",), row), ((*at, "failure" if named else "what"), named or words)
    ]  # fmt: skip
    return rows + [((*at, key), said) for key, said in (("step", step), ("harm", harm)) if said]
