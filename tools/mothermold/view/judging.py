"""All that is said about a book: every check of one document against the others, and what follows from another told once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from mothermold.book.coming_off import NO_WAY_OFF
from mothermold.book.library import Book
from mothermold.ground.notices import Notice, in_order
from mothermold.history.timeline import History
from mothermold.trade.unused import UNUSED
from mothermold.view.advising import find_advice
from mothermold.view.condition_notices import find_condition_faults
from mothermold.view.contents import Collector
from mothermold.view.glue_removal import find_glue_faults
from mothermold.view.missing import keep_house
from mothermold.view.needs import find_open_faults
from mothermold.view.patch_tests import find_clearing_faults
from mothermold.view.pins import find_pin_faults
from mothermold.view.pour_notices import find_pour_faults
from mothermold.view.ruling import Ruling, find_rule_faults
from mothermold.view.speakable import speakable

SaidNotice = tuple[Notice, frozenset[str]]
"""A notice, and the files it is about beside the one it stands in."""


def judge(book: Book, history: History, ruling: Ruling) -> tuple[Notice, ...]:
    """All that is said about a book, but what became of what is missing."""
    notices = [*book.notices, *history.notices, *find_pin_faults(book, history)]
    for find in (find_rule_faults, find_clearing_faults, find_pour_faults, find_condition_faults, find_glue_faults):
        notices += find(book.documents, ruling, book.faulty)
    notices += find_advice(book, ruling, history.newest.date() if history.newest else None, tuple(notices))
    of_versions = [notice for address in history.addresses() for notice in history.versions(address).notices]
    history.keep_numbers()
    return tuple(_one_cause([*notices, *of_versions]))


def said_to_owner(book: Book, history: History, judged: Iterable[Notice]) -> Sequence[SaidNotice]:
    """The same, with what is missing told once, and what other editions lack; in order."""
    lacking = find_open_faults(book.documents, history.versions, book.faulty)
    kept = keep_house([*judged, *lacking], book, history)
    return [(each, kept.touched.get(each, frozenset())) for each in in_order(kept.notices)]


def said_in_edition(judged: Iterable[Notice], held: Collector) -> Sequence[SaidNotice]:
    """What of it an edition may say, in order."""
    return [(each, frozenset()) for each in in_order(speakable(judged, held))]


def _one_cause(notices: list[Notice]) -> list[Notice]:
    """A slip in a locked recipe is told as the slip it is; that it changes the version is its consequence."""
    no_slip = {"locked-changed", NO_WAY_OFF, *UNUSED}
    faulty = {notice.file for notice in notices if notice.severity != "advice" and notice.code not in no_slip}
    return [notice for notice in notices if notice.code != "locked-changed" or notice.file not in faulty]
