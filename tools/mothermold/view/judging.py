"""All that is said about a book: every check of one document against the others, and what follows from another told once."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator
from functools import cached_property, partial
from itertools import chain

from mothermold.book.coming_off import NO_WAY_OFF
from mothermold.book.document import Document
from mothermold.book.library import Book
from mothermold.book.links import Names, bears_on_process
from mothermold.ground.looking import Looked
from mothermold.ground.notices import Notice, notices_of
from mothermold.history.timeline import History
from mothermold.trade.unused import UNUSED
from mothermold.view.advising import Advice
from mothermold.view.condition_notices import find_condition_faults
from mothermold.view.glue_removal import find_glue_faults
from mothermold.view.learning import SaidByRuns
from mothermold.view.mornings import find_morning_faults
from mothermold.view.needs import find_open_faults
from mothermold.view.patch_tests import find_clearing_faults
from mothermold.view.pins import Pins
from mothermold.view.pour_notices import find_pour_faults
from mothermold.view.rule_notices import RuleNotices
from mothermold.view.ruling import Ruling


class Judging:
    """Judges the documents of a book against each other, one by one; what nothing bears on any more is not judged again.

    Args:
        book: The book.
        history: What was saved of it.
        ruling: What the rules say about it.
        slips: The files with a slip that leaves their process in doubt: what else is said of them may follow from it.
    """

    def __init__(self, book: Book, history: History, ruling: Ruling, slips: Collection[str | None]) -> None:
        self.book, self.history, self.ruling, self.made = book, history, ruling, book.made
        self.slips = Looked("slip", lambda: {str(file): "" for file in slips})
        self.made.opens(self.slips)
        self.names = Names(book.documents, book.builds, self.made)
        self.pins = Pins(book, history)
        self.rules = RuleNotices(book.documents, ruling, self.slips, self.made)

    def between(self) -> list[Notice]:
        """What is said where documents meet."""
        each = self._each("meets", lambda document: [*self.pins.faults(document), *self._meets(document)])
        return [*each, *self.pins.together(), *self._glues]

    def _meets(self, document: Document) -> Iterator[Notice]:
        yield from self.rules.faults(document)
        for find in (find_clearing_faults, find_condition_faults, find_morning_faults):
            yield from find(document, self.ruling, self.slips)

    @cached_property
    def _glues(self) -> list[Notice]:
        return notices_of(self.made, "glues", lambda: find_glue_faults(self.ruling, self.slips))

    def names_nobody_knows(self) -> list[Notice]:
        """What is said of names that nothing in the book answers to."""
        return self._each("names", self.names.faults)

    def by_itself(self) -> list[Notice]:
        """What a recipe's own numbers say against each other."""
        return self._each("pours", lambda document: find_pour_faults(document, self.ruling, self.slips), "recipe")

    def of_runs(self) -> list[Notice]:
        """Where the runs of a recipe say otherwise than it does."""
        return self._each("runs", SaidByRuns(self.book, self.history).faults, "recipe")

    def of_versions(self) -> list[Notice]:
        """What is wrong with the versions of recipes."""

        def find(address: str) -> Iterable[Notice]:
            return self.history.versions(address).notices

        addresses = self.history.addresses()
        each = (notices_of(self.made, f"recipe/{address}: versions", partial(find, address)) for address in addresses)
        return list(chain.from_iterable(each))

    def advice(self, told: Iterable[Notice]) -> list[Notice]:
        """What good benches would do, where nothing told so far is an error that may be why it is missing."""
        errors = {each.file: "" for each in told if each.severity == "error" and bears_on_process(each)}
        wrong = Looked("wrong", lambda: {str(file): "" for file in errors})
        self.made.opens(wrong)
        newest = self.history.newest
        advice = Advice(self.book, self.ruling, newest.date() if newest else None, wrong)
        return self._each("advice", advice.faults, "recipe", "material")

    def open_faults(self) -> list[Notice]:
        """What other editions lack of what is open to them, with every name: for the owner alone."""
        return self._each(
            "open",
            lambda document: find_open_faults(document, self.book.documents, self.history.versions, self.slips),
            "recipe",
            "course",
        )

    def _each(self, what: str, find: Callable[[Document], Iterable[Notice]], *kinds: str) -> list[Notice]:
        return [
            notice
            for kind in kinds or self.book.documents.by_kind()
            for document in self.book.documents.on(kind).values()
            for notice in notices_of(self.made, f"{document.kind}/{document.address}: {what}", partial(find, document))
        ]


def judge(judging: Judging) -> tuple[Notice, ...]:
    """All that is said about a book, but what became of what is missing, and what is for the owner alone."""
    notices = [*judging.book.notices, *judging.history.notices, *judging.between(), *judging.by_itself()]
    notices += judging.advice(tuple(notices))
    notices += [*judging.of_runs(), *judging.of_versions()]
    judging.history.keep_numbers()
    return tuple(_one_cause(notices))


def _one_cause(notices: list[Notice]) -> list[Notice]:
    """A slip in a locked recipe is told as the slip it is; that it changes the version is its consequence."""
    no_slip = {"locked-changed", NO_WAY_OFF, *UNUSED}
    faulty = {notice.file for notice in notices if notice.severity != "advice" and notice.code not in no_slip}
    return [notice for notice in notices if notice.code != "locked-changed" or notice.file not in faulty]
