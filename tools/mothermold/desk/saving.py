"""Saves a book: looks what changed, gives recipes their next number, and moves the history on by one step."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import Final

from mothermold.book.files import RECIPES
from mothermold.desk.asking import Asking, StoppedError
from mothermold.desk.changed import Item, read_items, told_of
from mothermold.desk.foreseeing import foresee
from mothermold.desk.numbering import Plan, Wish, known_fixes, plan, weigh
from mothermold.desk.telling import Told, message
from mothermold.ground.errors import CannotRunError, MothermoldError, RefusedError
from mothermold.ground.notices import Notice, count, in_order
from mothermold.ground.writing import write_text
from mothermold.history.ledger import Ledger, open_ledger
from mothermold.history.making import make_repository
from mothermold.history.saving import Snapshot, look, look_again, save
from mothermold.history.versions import Versions
from mothermold.model.recipe import Recipe
from mothermold.view.view import View, open_view

# What the save itself puts in order, or cannot make worse.
_SETTLED: Final = frozenset({"draft-on-locked", "version-clash"})
# What a number or a reason that is still to be given may put in order.
_MAY_SETTLE: Final = frozenset({"missing-key", "version-missing"})

# Withdrawn numbers are no measure for what is new.
_SHOWN: Final = ("locked", "retired")

Clock = Callable[[View], datetime]


def now(view: View) -> datetime:
    """The present moment in the book's own time zone."""
    return datetime.now(view.settings.zone)


def save_book(root: Path, wish: Wish, asking: Asking, *, asks: bool, clock: Clock = now) -> None:
    """Saves what changed in a book since its last save, and tells what it did.

    Args:
        root: The book's folder.
        wish: What was asked for beside the save.
        asking: Whom to tell, and to ask where that may be done.
        asks: Whether questions may be asked; else what is proposed is taken, and said.
        clock: When the save is made.

    Raises:
        RefusedError: Documents have errors, a reason is missing, or the history cannot take a save now.
        StoppedError: The save was not agreed to.
        CannotRunError: git is missing or fails, or a file cannot be written.
    """
    ledger = _ledger(root, asking)
    snapshot = look(ledger)
    if not snapshot.changes:
        asking.say("Nothing changed since the last save.")
        return
    view = open_view(root, "private")
    known_fixes(view, wish.fixes)
    items = read_items(root, ledger, snapshot.changes)
    if not wish.with_errors:
        _refuse_errors(view.notices, items, _SETTLED | _MAY_SETTLE)
    plans = _plans(items, view, wish, asking, asks=asks)
    texts = {each.weighed.document.file: each.text for each in plans.values() if each.changes}
    foreseen = foresee(root, texts) if texts else view.notices
    if not wish.with_errors:
        _refuse_errors(foreseen, items, frozenset({"version-clash"}))
    told = [told_of(each, plans, view) for each in items]
    why = wish.why or _asked_why(asking, told, asks=asks)
    words = message(told, why, first=ledger.tip is None)
    _show(asking, words, plans, foreseen, items)
    if asks and not asking.agree("Save this?", default=True):
        raise StoppedError
    _write(root, plans, texts, lambda: _keep(ledger, snapshot, texts, words, clock(view)))
    asking.say(f"Saved: {words.splitlines()[0]}")
    for line in _look_at(told, view):
        asking.say(line)


def _ledger(root: Path, asking: Asking) -> Ledger:
    ledger = open_ledger(root)
    if ledger is not None:
        return ledger
    if missing := make_repository(root):
        raise CannotRunError(missing)
    asking.say("This book had no history yet; from now on it has one, in its folder .git.")
    ledger = open_ledger(root)
    if ledger is None:
        raise CannotRunError(f"git could not make a history in {root}.")
    return ledger


def _refuse_errors(notices: Iterable[Notice], items: Sequence[Item], settled: frozenset[str]) -> None:
    """Refuses documents with errors; an error in a document that is not being saved never stands in the way."""
    files = {each.file for each in items}
    errors = [each for each in notices if each.severity == "error" and each.file in files and each.code not in settled]
    if errors:
        raise RefusedError(
            *in_order(errors),
            Notice(
                "not-saved",
                "error",
                "Nothing was saved, because what would be saved has errors.",
                "Mend them first, or type `mothermold save --with-errors` to save it all the same.",
            ),
        )


def _plans(items: Iterable[Item], view: View, wish: Wish, asking: Asking, *, asks: bool) -> dict[str, Plan]:
    plans = {}
    for each in items:
        if each.new is None or each.place is None or not isinstance(each.new.model, Recipe):
            continue
        if each.changed.action == "renamed":
            _advise_formerly(each, each.new.model, asking)
        address = each.place.address
        versions = view.versions(address) or Versions(address, ())
        plans[each.file] = plan(weigh(each.new, each.original, versions, each.old), view, wish, asking, asks=asks)
    return plans


def _advise_formerly(item: Item, recipe: Recipe, asking: Asking) -> None:
    earlier = item.changed.earlier.removeprefix(f"{RECIPES}/").removesuffix(".yaml")
    assert item.place is not None
    if earlier not in [each.address for each in recipe.formerly]:
        asking.say(
            f"{item.place.address} was called {earlier} before. Type `formerly: [{earlier}]` in it, "
            "so that its earlier versions stay with it."
        )


def _asked_why(asking: Asking, told: Sequence[Told], *, asks: bool) -> str:
    if not asks or any(each.why for each in told):
        return ""
    return asking.text("A word on why? Enter for none")


def _show(
    asking: Asking, words: str, plans: Mapping[str, Plan], notices: Sequence[Notice], items: Sequence[Item]
) -> None:
    for file, made in plans.items():
        if made.changes:
            keys = ", ".join(str(path[0]) for path in made.changes)
            asking.say(f"In {file} this is written first: {keys}.")
    files = {each.file for each in items}
    warnings = count([each for each in notices if each.file in files and each.code != "locked-changed"], "warning")
    if warnings:
        told = "one warning" if warnings == 1 else f"{warnings} warnings"
        asking.say(f"There {'is' if warnings == 1 else 'are'} {told} on what is saved; `mothermold check` says more.")
    asking.say("")
    for line in words.rstrip("\n").split("\n"):
        asking.say(f"    {line}".rstrip())
    asking.say("")


def _keep(ledger: Ledger, snapshot: Snapshot, texts: Mapping[str, str], words: str, moment: datetime) -> None:
    final = look_again(ledger, snapshot, texts) if texts else snapshot
    save(ledger, final.tree, words, moment)


def _write(root: Path, plans: Mapping[str, Plan], texts: Mapping[str, str], keep: Callable[[], None]) -> None:
    """Writes what has to change in the files first, then saves; where that fails, says what was written."""
    written: list[str] = []
    try:
        for file, text in texts.items():
            write_text(root / file, text, replaces=plans[file].weighed.original)
            written.append(file)
        keep()
    except (MothermoldError, KeyboardInterrupt) as problem:
        if not written:
            raise
        raise CannotRunError(
            f"{_reason(problem)}\nNothing was saved, and nothing is lost. Already written: "
            + "; ".join(f"{file} says version {plans[file].version}" for file in written)
            + ".\nType `mothermold save` again when that is mended."
        ) from problem


def _reason(problem: BaseException) -> str:
    return str(problem) or "Stopped."


def _look_at(told: Sequence[Told], view: View) -> list[str]:
    numbered = [each for each in told if each.step == "number"]
    lines: list[str] = []
    for each in numbered[:3]:
        versions = view.versions(each.address)
        rows = versions.rows if versions else ()
        older = [row.number for row in rows if row.number < each.version and row.commit and row.status in _SHOWN]
        deed = f"diff {each.address} {older[-1]} {each.version}" if older else f"versions {each.address}"
        lines.append(f"Look at it with `mothermold {deed}`.")
    return lines
