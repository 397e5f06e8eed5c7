"""What is asked for a run or a test."""

from __future__ import annotations

import re
import typing
from collections.abc import Iterator, Mapping
from datetime import datetime
from itertools import count
from typing import Any, Final

from mothermold.desk.asking import Offer
from mothermold.desk.drafts.likely import doubt, doubt_weighed, usual_weight
from mothermold.desk.drafts.moments import said_moment, two_days
from mothermold.desk.drafts.questions import (
    build,
    far_from,
    first_then,
    is_yes_or_no,
    keep,
    names_of,
    no_name,
    unworded,
)
from mothermold.desk.matching import plain_name
from mothermold.desk.question import Ask, Doubt, Know, Node, Repeat, Said, Tell, fits
from mothermold.model.material import Material
from mothermold.model.recipe import Mix
from mothermold.model.run import Asks

_KINDS: Final = (
    Offer("run", "a recipe was worked"),
    Offer("test", "something was tried"),
    Offer("pull", "a mold's first"),
)
_OUTCOMES: Final = tuple(map(Offer, ("good", "usable", "scrapped")))
_GRADES: Final = tuple(map(Offer, ("hero", "second", "spare")))
_ASKS: Final = tuple(map(Offer, typing.get_args(Asks)))


def _things(said: Said) -> list[Offer]:
    return [Offer(thing.id, str(thing.recipe)) for thing in said.shop.things(said["_build"])] if said["_build"] else []


def _pins(said: Said) -> list[Offer]:
    return said.shop.pins(drafts=said["kind"] == "test")


def _likely_pin(said: Said) -> str:
    known = names_of(_pins(said))
    of_thing = next((offer.words for offer in _things(said) if offer.value == said["thing"]), "")
    return of_thing if of_thing in known else "" if said["kind"] == "test" else known[0]


def _worked(said: Said) -> Mapping[str, Any]:
    """What is known of the recipe, and that without one it is a test."""
    recipe = said.shop.recipe_at(said["recipe"])
    return {"_recipe": recipe, "kind": said["kind"] if said["recipe"] else "test"}


def _moment(typed: str, said: Said) -> str:
    began = datetime.fromisoformat(said["started"]).date() if said["started"] else None
    return said_moment(typed, said.shop.now, said.shop.view.settings, day=began, is_end=began is not None)


def _two_days(moment: str, _said: Said) -> str:
    """A day that is one here and another there is refused with both; all else as the model says it."""
    either = two_days(moment)
    return fits("run", "day")(either) if either else fits("run", "started")(moment)


def _too_early(moment: str, said: Said) -> str:
    if (wrong := _two_days(moment, said)) or datetime.fromisoformat(moment) >= datetime.fromisoformat(said["started"]):
        return wrong
    return f"{moment} is before it began, {said['started']}. Type a later end, or Enter."


def _to_come(moment: str, said: Said) -> Doubt | None:
    """A day to come is asked about, because a wrong year stays in the run's name."""
    return Doubt(f"{moment[:10]} is still to come. Keep it?") if moment[:10] > said.shop.day else None


def _weighed_mixes(said: Said) -> Iterator[Mix]:
    """The mixes that go on the scale: a premix is weighed within the mix it goes into."""
    mixes = said["_recipe"].mixes if said["_recipe"] else ()
    inner = {part.mix for mix in mixes for part in mix.parts if part.mix}
    yield from (mix for mix in mixes if mix.id not in inner)


def _weighed(said: Said) -> str:
    mix, materials = said["_each"], said.shop.view.models(Material)
    return f"Weighed for {mix.title or mix.id} ({usual_weight(said['_recipe'].mixes, mix, materials) or 'as 263 g'})"


def _weighed_far(answer: str, said: Said) -> Doubt | None:
    return keep(answer, doubt_weighed(said["_recipe"].mixes, said["_each"], said.shop.view.models(Material))(answer))


def _steps(said: Said) -> list[Offer]:
    return [Offer(step.id, step.title) for step in said["_recipe"].steps] if said["_recipe"] else []


def _trouble(said: Said) -> Mapping[str, Any]:
    return {"failure" if said["_what"] in names_of(said.shop.titled("failure")) else "what": said["_what"]}


def _no_label(label: str, said: Said) -> str:
    if is_yes_or_no(label):
        return "Type the piece's label, like F-07, or Enter."
    taken = said.shop.pieces(said["_build"]) | {kept["piece"] for kept in said.before}
    return f"A piece `{label}` exists already. Give this one another label." if label in taken else ""


def _lots(said: Said) -> dict[Offer, tuple[str, str]]:
    return said.shop.lots(said["_recipe"]) if said["_recipe"] else {}


def _used_lots(said: Said) -> Mapping[str, Any]:
    found = {offer.value: lot for offer, lot in _lots(said).items()}
    return {"lots": tuple({"material": found[value][0], "lot": found[value][1]} for value in said["_lots"])}


def _free_id(said: Said) -> str:
    what = said["thing"] or said["recipe"].partition("@")[0].rpartition("/")[2] or said["kind"]
    # A day that is none is refused where it was typed; the id is a name all the same, else no number would make it one.
    day, stem = plain_name(said["started"][:10]), plain_name(what)[:40].rstrip("-")
    alike = re.compile(rf"r-\d{{4}}-\d\d-\d\d-{stem}-(\d{{1,4}})")
    numbers = [int(match[1]) for name in said.shop.view.on("run") if (match := alike.fullmatch(name))]
    free = (f"r-{day}-{stem}-{number}" for number in count(max(numbers, default=0) + 1))
    return next(name for name in free if not no_name(name, said))


def _figure(key: str, words: str, unit: str, *needs: str) -> Ask:
    # Who did not look at the thermometer has nothing to say of the rest.
    return Ask(f"conditions.{key}", words, unit=unit, doubt=far_from(doubt(key)), when=" ".join(needs))


QUESTIONS: Final[tuple[Node, ...]] = (
    Ask("kind", "What kind of run it was", "choice", _KINDS, "run"),
    build("for practice"),
    Ask("thing", "Which thing of it, if it was one", "choice", _things),
    Ask("recipe", "Recipe", "choice", _pins, _likely_pin),
    Tell(
        "No recipe version is locked yet, and only a test can do without; so it is written as a test.",
        when=lambda said: not said["recipe"] and said["kind"] != "test",
    ),
    Know(_worked),
    Ask(
        "started", "When it began (like yesterday 14:10)", "moment", default=lambda said: said.shop.moment,
        read=_moment, refuse=_two_days, doubt=_to_come,
    ),
    Ask("mold", "In which mold, if one was used", "choice", lambda said: said.shop.molds(said["_build"])),
    _figure("room", "How warm the room was (like 21 degC)", "degC"),
    _figure("humidity", "How humid (like 48 %)", "%", "conditions.room"),
    _figure("mold_temp", "How warm the mold was", "degC", "conditions.room", "mold"),
    _figure("material_temp", "How warm the materials were", "degC", "conditions.room"),
    Repeat("batch", (
        Ask("weighed", _weighed, unit="g", doubt=_weighed_far),
        Know(lambda said: {"mix": str(said["_each"].id)}, when="weighed"),
    ), each=_weighed_mixes),
    Ask("asks", "What the test asks", "several", _ASKS, when=lambda said: said["kind"] == "test"),
    Ask(
        "outcome", "How it ended; Enter while it is under way", "choice", _OUTCOMES,
        when=lambda said: said["kind"] != "test",
    ),
    Ask(
        "finished", "When it ended (like 17:40; Enter if nobody looked)", "moment",
        read=_moment, refuse=_too_early, doubt=_to_come, when="outcome",
    ),
    Repeat("went_wrong", (
        Ask(
            "_what", first_then("What went wrong: a failure from the book, or in your words", "What else"), "choice",
            lambda said: said.shop.titled("failure"), own=True, refuse=unworded,
        ),
        Know(_trouble),
        Ask("step", "At which step", "choice", _steps),
    )),
    Repeat("kept", (
        Ask("piece", first_then("The label of a piece that was kept (like F-07)", "The next"), refuse=_no_label),
        Ask("grade", lambda said: f"How good {said['piece']} is", "choice", _GRADES),
    ), when=lambda said: said["outcome"] in ("good", "usable")),
    Ask("_lots", "Lots used; Enter if nobody looked", "several", lambda said: list(_lots(said))),
    Know(_used_lots),
    Ask("changed.0.note", "Anything to note: what was done differently, what to remember", refuse=unworded),
    Ask("id", "Its id", default=_free_id, refuse=no_name),
)  # fmt: skip
