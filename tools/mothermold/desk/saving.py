"""Saves a book: looks what changed, gives recipes their next number, and moves the history on by one step."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Final

from mothermold.book.files import RECIPES
from mothermold.desk.answered_notes import Answered, answer_notes
from mothermold.desk.asking import Asking, StoppedError
from mothermold.desk.changed import Item, read_items, told_of, told_of_note
from mothermold.desk.changed_recipe import beside_history
from mothermold.desk.check_ahead import foresee
from mothermold.desk.numbering import Plan, Wish, known_fixes, plan
from mothermold.desk.opening import offer_opening
from mothermold.desk.save_gate import refuse_errors, remaining, standing, still_wrong
from mothermold.desk.save_message import Told, message
from mothermold.desk.save_report import answers, doubts, written
from mothermold.ground.errors import CannotRunError, MothermoldError
from mothermold.ground.notices import Notice
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

# What is said of a history that is there and could not be read.
_UNREAD: Final = frozenset({"no-git", "no-repository", "no-commits"})

# Withdrawn numbers are no measure for what is new.
_SHOWN: Final = ("locked", "retired")

TellsTime = Callable[[View], datetime]


def now(view: View) -> datetime:
    """The present moment in the book's own time zone."""
    return datetime.now(view.settings.zone)


@dataclass(frozen=True, slots=True)
class Edit:
    """A file that is written before it is saved.

    Attributes:
        file: Its path relative to the book.
        original: Its text before.
        text: Its text from now on.
        says: What it says from now on, behind its name.
    """

    file: str
    original: str
    text: str
    says: str = ""


@dataclass(frozen=True, slots=True)
class Proposal:
    """What a save would do; nothing of it is written yet.

    Attributes:
        view: The book it was made from.
        ledger: Its history.
        snapshot: The book's folder as it was looked at.
        told: What is saved, as it is told.
        message: The whole message.
        lines: What is written into files first, and what is doubtful in what goes in.
        edits: The files that are written first.
        notes: The failure notes that come to say what answers them.
        others: The errors that stand in the book all the same.
    """

    view: View
    ledger: Ledger
    snapshot: Snapshot
    told: tuple[Told, ...]
    message: str
    lines: tuple[str, ...]
    edits: tuple[Edit, ...]
    notes: tuple[Answered, ...]
    others: tuple[Notice, ...]

    def keep(self, root: Path, moment: datetime) -> None:
        """Writes what has to change in the files first, then saves; where that fails, says what was written.

        Raises:
            RefusedError: Something was changed or saved meanwhile.
            CannotRunError: git fails, or a file cannot be written.
        """
        done: list[str] = []
        try:
            for each in self.edits:
                write_text(root / each.file, each.text, replaces=each.original)
                done.append(f"{each.file}{each.says}")
            texts = [each.file for each in self.edits]
            final = look_again(self.ledger, self.snapshot, texts) if texts else self.snapshot
            save(self.ledger, final.tree, self.message, moment)
        except (MothermoldError, KeyboardInterrupt) as problem:
            if not done:
                raise
            raise CannotRunError(
                f"{_reason(problem)}\nNothing was saved, and nothing is lost. Already written: {'; '.join(done)}"
                ".\nType `mothermold save` again when that is mended."
            ) from problem

    @property
    def kept_words(self) -> tuple[str, ...]:
        """What there is to say once it is saved."""
        said = f"{'Kept in the history' if self.others else 'Saved'}: {self.message.splitlines()[0]}"
        return (said, *still_wrong(self.others), *answers(self.notes))


def save_book(root: Path, wish: Wish, asking: Asking, *, asks: bool, clock: TellsTime = now) -> None:
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
    proposed = propose(root, history_of(root, asking), wish, asking, asks=asks)
    if proposed is None:
        return
    for line in (*proposed.lines, ""):
        asking.say(line)
    for line in proposed.message.rstrip("\n").split("\n"):
        asking.say(f"    {line}".rstrip())
    asking.say("")
    if asks and not asking.agree("Save this?", default=True):
        raise StoppedError
    proposed.keep(root, clock(proposed.view))
    for line in (*proposed.kept_words, *_look_at(proposed.told, proposed.view)):
        asking.say(line)


def propose(root: Path, ledger: Ledger, wish: Wish, asking: Asking, *, asks: bool) -> Proposal | None:
    """What a save would do now; None where nothing changed.

    Nothing is written, but where it is agreed to open what an open course or recipe needs.

    Args:
        root: The book's folder.
        ledger: Its history.
        wish: What was asked for beside the save.
        asking: Whom to tell, and to ask where that may be done.
        asks: Whether questions may be asked; else what is proposed is taken, and said.

    Raises:
        RefusedError: Documents have errors, or a reason is missing.
        StoppedError: A question was not answered.
    """
    view = _opened(root, ledger)
    left_out = [each for each in view.notices if each.code == "left-out"]
    for each in left_out:
        asking.say(f"{each.message} {each.help}")
    snapshot = look(ledger)
    if not snapshot.changes:
        asking.say(f"Nothing {'else ' if left_out else ''}changed since the last save.")
        return None
    if offer_opening(root, view, {each.file for each in snapshot.changes}, asking, asks=asks):
        snapshot, view = look(ledger), _opened(root, ledger)
    known_fixes(view, wish.fixes)
    items = read_items(root, ledger, snapshot.changes)
    files = {each.file for each in items}
    before = standing(root, items, view.notices)
    if not wish.with_errors:
        refuse_errors(view.notices, before, _SETTLED | _MAY_SETTLE)
    plans = _plans(items, view, wish, asking, asks=asks)
    notes, by_hand = answer_notes(root, view, plans.values(), asking, asks=asks)
    edits = (*_recipe_edits(plans), *(Edit(each.file, each.original, each.text) for each in notes))
    texts = {each.file: each.text for each in edits}
    foreseen = foresee(root, texts) if texts else view.notices
    if not wish.with_errors:
        refuse_errors(foreseen, before, frozenset({"version-clash"}))
    numbered = {file for file, made in plans.items() if made.step == "number"}
    others = () if wish.with_errors else tuple(remaining(foreseen, before, numbered))
    foreseen = [each for each in foreseen if each.file in files | set(texts)]
    answered = {each.file: each for each in notes}
    told = [told_of(each, plans, view, answered) for each in items]
    told += [told_of_note(each) for each in notes if each.file not in files]
    why = wish.why or _asked_why(asking, told, asks=asks)
    words = message(told, why, first=ledger.tip is None)
    lines = (*written(plans.values(), notes), *by_hand, *doubts(foreseen, broken=wish.with_errors))
    return Proposal(view, ledger, snapshot, tuple(told), words, lines, edits, tuple(notes), others)


def _opened(root: Path, ledger: Ledger) -> View:
    """The book as it is now; without its history nobody knows which numbers are given, so nothing is saved then."""
    view = open_view(root, "private")
    if ledger.tip and (unread := [each for each in view.notices if each.code in _UNREAD]):
        raise CannotRunError(
            f"{unread[0].message} Nothing was saved. Try again; if it stays so, type `mothermold mend`."
        )
    return view


def history_of(root: Path, asking: Asking) -> Ledger:
    """A book's history, which is begun where it has none yet.

    Raises:
        CannotRunError: git is missing or fails.
    """
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


def _recipe_edits(plans: Mapping[str, Plan]) -> Iterator[Edit]:
    for file, made in plans.items():
        if made.changes:
            yield Edit(file, made.changed.original, made.text, f" says version {made.version}")


def _plans(items: Iterable[Item], view: View, wish: Wish, asking: Asking, *, asks: bool) -> dict[str, Plan]:
    plans = {}
    for each in items:
        if each.new is None or each.place is None or not isinstance(each.new.model, Recipe):
            continue
        if each.changed.action == "renamed":
            _advise_formerly(each, each.new.model, asking)
        address = each.place.address
        versions = view.versions(address) or Versions(address, ())
        plans[each.file] = plan(
            beside_history(each.new, each.original, versions, each.old), view, wish, asking, asks=asks
        )
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
