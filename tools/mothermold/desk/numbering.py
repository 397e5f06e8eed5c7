"""Which number a changed recipe is saved under: whether it needs the next one, keeps its own, or stays a draft."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final

from mothermold.answers.result import title_words
from mothermold.book.document import read_document
from mothermold.book.inside import find_inside_faults
from mothermold.compare.differences import same_process
from mothermold.desk.asking import Asking, Offer
from mothermold.desk.changed_recipe import Case, ChangedRecipe
from mothermold.desk.editing import Value, edited
from mothermold.desk.save_message import SaveStep, sentences_between, title_of
from mothermold.ground.errors import refused
from mothermold.ground.notices import Notice
from mothermold.ground.words import offer
from mothermold.history.versions import as_text
from mothermold.model.recipe import Recipe
from mothermold.model.walk import KeyPath
from mothermold.view.view import View

_NEXT: Final = "next"
_SLIP: Final = "keep"


@dataclass(frozen=True, slots=True)
class Wish:
    """What was asked for beside the save itself.

    Attributes:
        why: The reason.
        fixes: The failure notes that are answered.
        keep_number: Whether what changed under a locked number was only a slip of the pen.
        with_errors: Whether documents with errors are saved too.
    """

    why: str = ""
    fixes: tuple[str, ...] = ()
    keep_number: bool = False
    with_errors: bool = False


@dataclass(frozen=True, slots=True)
class Plan:
    """How a recipe is saved.

    Attributes:
        changed: The recipe.
        step: What the save does to it.
        version: The number it is saved under.
        status: draft, locked or retired.
        why: Its reason, where it gets a number.
        changes: What has to change in its file first.
        answers: The failure notes this number says for the first time that it answers.
    """

    changed: ChangedRecipe
    step: SaveStep
    version: int
    status: str
    why: str
    changes: Mapping[KeyPath, Value]
    answers: tuple[str, ...] = ()

    @property
    def text(self) -> str:
        """The file's text after its changes."""
        changed = self.changed
        return edited(changed.document, self.changes, original=changed.original) if self.changes else changed.original


def plan(changed: ChangedRecipe, view: View, wish: Wish, asking: Asking, *, asks: bool) -> Plan:
    """Decides how a recipe is saved, asking where that may be asked.

    Raises:
        RefusedError: ``needs-why``, or ``unknown-reference`` for a failure note that is not there.
    """
    return _PLANS[changed.case](_Talk(changed, view, wish, asking, asks))


@dataclass(frozen=True, slots=True)
class _Talk:
    """A recipe to be saved, and whoever can be asked about it."""

    changed: ChangedRecipe
    view: View
    wish: Wish
    asking: Asking
    asks: bool

    @property
    def address(self) -> str:
        return self.changed.document.address

    @property
    def recipe(self) -> Recipe:
        return self.changed.recipe


def _locked(talk: _Talk) -> Plan:
    changed, recipe = talk.changed, talk.recipe
    number, following = recipe.version, changed.next_number
    what = sentences_between(talk.view, changed.before, changed.document)
    reopened = recipe.status == "draft"
    said = "it was made a draft again" if reopened else "what it says was changed"
    talk.asking.say(f"{talk.address}: version {number} is locked, and {said} since it was saved.")
    for line in what:
        talk.asking.say(f"  - {line}")
    if talk.wish.keep_number or (talk.asks and _is_slip(talk, number, following)):
        talk.asking.say(f"  It stays version {number}, whose text is corrected.")
        changes: dict[KeyPath, Value] = {("status",): "locked"} if reopened else {}
        return Plan(changed, "corrected", number, "locked" if reopened else recipe.status, "", changes)
    why = _why(talk, following)
    fixes = _fixes(talk)
    finished = (
        talk.asking.agree("Is it finished, so that it is locked?", default=not reopened) if talk.asks else not reopened
    )
    status = "locked" if finished and reopened else "draft" if not finished else recipe.status
    changes = {("version",): str(following)}
    if why != (recipe.why or ""):
        changes[("why",)] = why
    if fixes != tuple(recipe.fixes):
        changes[("fixes",)] = list(fixes) or None
    if status != recipe.status:
        changes[("status",)] = status
    answers = f", answers {', '.join(fixes)}" if fixes else ""
    talk.asking.say(f"  It becomes version {following}, {status}{answers}. Why: {why or 'not said yet'}")
    if status == "draft":
        return Plan(changed, "draft", following, status, why, changes)
    return Plan(changed, "number", following, status, why, changes, fixes)


def _is_slip(talk: _Talk, number: int, following: int) -> bool:
    offers = [
        Offer(_NEXT, f"version {following}; version {number} stays as it was saved"),
        Offer(_SLIP, f"version {number}; it was a slip of the pen, which is corrected"),
    ]
    return talk.asking.choose("Save it under the next number, or keep its own?", offers, default=_NEXT) == _SLIP


def _notes(talk: _Talk) -> Plan:
    recipe = talk.recipe
    return Plan(talk.changed, "notes", recipe.version, recipe.status, "", {})


def _draft(talk: _Talk) -> Plan:
    changed, recipe = talk.changed, talk.recipe
    number, changes = _number(talk)
    stays = Plan(changed, "draft", number, "draft", "", changes)
    title = title_of(changed.document, talk.address)
    if not talk.asks:
        talk.asking.say(f"{talk.address}: version {number} stays a draft.")
        return stays
    if not talk.asking.agree(f"{title} ({talk.address}), version {number}: is this draft finished?", default=False):
        return stays
    why = recipe.why or (_why(talk, number) if number > 1 else "")
    changes = {**changes, ("status",): "locked"}
    if why != (recipe.why or ""):
        changes[("why",)] = why
    finished = Plan(changed, "number", number, "locked", why, changes, _answers(changed))
    lacks = _lacks(finished, talk.view)
    if not lacks:
        return finished
    talk.asking.say("  It stays a draft, because a finished version lacks nothing:")
    for notice in lacks:
        talk.asking.say(f"  - {notice.message} {notice.help}")
    return stays


def _lacks(finished: Plan, view: View) -> list[Notice]:
    old = finished.changed.document
    new = read_document(old.kind, old.address, old.file, finished.text.encode("utf-8"))
    return [each for each in (*new.notices, *find_inside_faults(new, view.words)) if each.severity == "error"]


def _raised(talk: _Talk) -> Plan:
    changed, recipe = talk.changed, talk.recipe
    number, changes = _number(talk)
    if changed.before is not None and _says_the_same(changed):
        talk.asking.say(f"{talk.address}: version {number} says the same as the version before it.")
    why = recipe.why or ""
    if not why and number > 1:
        why = _why(talk, number)
        changes[("why",)] = why
    return Plan(changed, "number", number, recipe.status, why, changes, _answers(changed))


def _number(talk: _Talk) -> tuple[int, dict[KeyPath, Value]]:
    """The number typed by hand, or the next one where a later one was not meant, and what that changes."""
    typed, following = talk.recipe.version, talk.changed.skipped
    if following and talk.asks:
        question = f"Version {following} of {talk.address} is the next; is {typed} meant?"
        if not talk.asking.agree(question, default=False):
            return following, {("version",): str(following)}
    elif following:
        talk.asking.say(f"{talk.address}: it is saved as version {typed}, as typed; {following} would be the next.")
    return typed, {}


def _answers(changed: ChangedRecipe) -> tuple[str, ...]:
    """The failure notes a number typed by hand answers, where they were not only left from the one before."""
    fixes = tuple(changed.recipe.fixes)
    return fixes if fixes != changed.fixes_before else ()


def _says_the_same(changed: ChangedRecipe) -> bool:
    assert changed.before is not None
    a, b = as_text(changed.before), as_text(changed.document)
    return a is not None and b is not None and same_process(a, b)


def _why(talk: _Talk, number: int) -> str:
    """The reason for a number: the recipe's own where it is new, the one given, or the one answered."""
    own, before = talk.recipe.why or "", talk.changed.before
    old = before.model.why if before is not None and isinstance(before.model, Recipe) else None
    if own and (own != old or (before is not None and before.model is None)):
        return own
    if talk.wish.why:
        return talk.wish.why
    if talk.asks:
        return talk.asking.text(f"Why does version {number} differ, in a sentence?", needed=True)
    raise refused(
        "needs-why",
        f"`{talk.address}` becomes version {number}, and nothing says why.",
        'Type `mothermold save -m "why it differs"`, or `--keep-number` where it was a slip of the pen.',
    )


def _fixes(talk: _Talk) -> tuple[str, ...]:
    """The failure notes a new number answers: its own where they are new, those given, or those chosen."""
    own, before = tuple(talk.recipe.fixes), talk.changed.before
    old = tuple(before.model.fixes) if before is not None and isinstance(before.model, Recipe) else ()
    if talk.wish.fixes:
        return talk.wish.fixes
    if own and own != old:
        return own
    titles = title_words(talk.view, "failure")
    if not talk.asks or not titles:
        return ()
    offers = [Offer(name, title) for name, title in titles.items()]
    return talk.asking.several("Which failures does it answer? Enter for none", offers)


def known_fixes(view: View, names: tuple[str, ...]) -> None:
    """Refuses the name of a failure note that is not in the book."""
    notes = view.on("failure")
    for name in names:
        if name not in notes:
            raise refused("unknown-reference", f"No failure note is called `{name}`.", offer(name, notes))


_PLANS: Final[dict[Case, Callable[[_Talk], Plan]]] = {
    "locked": _locked, "notes": _notes, "draft": _draft, "raised": _raised,
}  # fmt: skip
