"""Asks at the terminal: questions on the output, answers from the input, so that a pipe can answer too."""

from __future__ import annotations

import contextlib
import re
import sys
from collections.abc import Callable, Sequence
from typing import Final

from mothermold.desk.asking import Offer, StoppedError

# More than this is a wall; the rest is found by typing a few letters.
_SHOWN: Final = 12
# A list as short as this is quicker shown again than looked for above.
_SHORT: Final = 4
_WIDTH: Final = 110
_UNREADABLE: Final = re.compile("[\ud800-\udfff]")


class Terminal:
    """Asks whoever sits at the terminal, or whatever is piped into it."""

    def __init__(self) -> None:
        self._listed: set[tuple[Offer, ...]] = set()
        with contextlib.suppress(AttributeError, ValueError):
            # A letter in another encoding is told and asked for again, where it would end in a stack of calls.
            sys.stdin.reconfigure(errors="surrogateescape")  # type: ignore[union-attr]
        if sys.stdin is not None and sys.stdin.isatty():
            with contextlib.suppress(ImportError):
                import readline  # noqa: F401, PLC0415 - the arrow keys work in an answer where it is loaded

    def say(self, text: str) -> None:
        """Prints a text."""
        sys.stdout.write(f"{text}\n")
        sys.stdout.flush()

    def text(
        self, question: str, *, default: str = "", needed: bool = False, check: Callable[[str], str] | None = None
    ) -> str:
        """Asks for a line; Enter takes the default."""
        while True:
            answer = self._ask(question, default) or default
            wrong = check(answer) if check and answer else ""
            if not answer and needed:
                wrong = "An answer is needed here."
            if not wrong:
                return answer
            self.say(f"  {wrong}")

    def choose(
        self, question: str, offers: Sequence[Offer], *, default: str = "", own: bool = False, needed: bool = False
    ) -> str:
        """Asks for one of the offers; a few letters narrow a long list."""
        shown: Sequence[Offer] = offers
        before = ""
        self._list(shown)
        while True:
            answer = self._ask(question, default)
            if not answer:
                if default or not needed:
                    return default
                self.say("  An answer is needed here.")
                continue
            if own and answer == before:
                return answer
            found = _found(answer, offers, shown)
            if len(found) == 1 and self._is_meant(answer, found[0], own=own):
                return found[0].value
            if len(found) <= 1 and own:
                return answer
            if len(found) <= 1:
                self.say(f"  Nothing here is called `{answer}`.{_reach(shown)}")
                continue
            shown, before = found, answer
            self.say(f"  {len(found)} of them fit `{answer}`{'; type it again to keep it as typed' if own else ''}:")
            self._list(shown)

    def several(self, question: str, offers: Sequence[Offer], *, own: bool = False) -> tuple[str, ...]:
        """Asks for any of the offers, parted by commas; Enter chooses none."""
        self._list(offers)
        while True:
            answer = self._ask(f"{question} (several with commas)", "")
            pieces = [piece.strip() for piece in answer.split(",") if piece.strip()]
            lost = [piece for piece in pieces if not own and not _found(piece, offers, offers)]
            if lost:
                self.say(f"  Nothing here is called `{lost[0]}`.{_reach(offers)}")
                continue
            return tuple(dict.fromkeys(self._one_of_several(piece, offers, own=own) for piece in pieces))

    def agree(self, question: str, *, default: bool) -> bool:
        """Asks for a yes or a no."""
        while True:
            answer = self._ask(question, "yes" if default else "no").casefold()
            if not answer:
                return default
            if answer in ("y", "yes", "n", "no"):
                return answer[0] == "y"
            self.say("  Type yes or no.")

    def _one_of_several(self, piece: str, offers: Sequence[Offer], *, own: bool) -> str:
        found = _found(piece, offers, offers)
        if len(found) == 1 and self._is_meant(piece, found[0], own=own):
            return found[0].value
        if len(found) <= 1:
            return piece
        return self.choose(f"Which one is `{piece}`?", found, own=own, needed=True)

    def _is_meant(self, answer: str, offer: Offer, *, own: bool) -> bool:
        """Whether an offer was meant; where any text may stand, a part of its words has to be asked about."""
        if not own or answer.isdigit() or answer.casefold() == offer.value.casefold():
            return True
        return self.agree(f"Is `{offer.value}` meant?", default=True)

    def _list(self, offers: Sequence[Offer]) -> None:
        if len(offers) > _SHORT and tuple(offers) in self._listed:
            self.say(f"       from 1 to {min(len(offers), _SHOWN)} as listed above")
            return
        self._listed.add(tuple(offers))
        for number, offer in enumerate(offers[:_SHOWN], start=1):
            self.say(_cut(f"  {number:>3}  {offer.value}{f'  {offer.words}' if offer.words else ''}"))
        if len(offers) > _SHOWN:
            self.say(f"       and {len(offers) - _SHOWN} more; type a few letters to find one")

    def _ask(self, question: str, default: str) -> str:
        mark = "" if question.endswith(("?", ":")) else ":"
        while True:
            try:
                answer = input(f"{question}{f' [{default}]' if default else ''}{mark} ").strip()
            except (EOFError, KeyboardInterrupt):
                sys.stdout.write("\n")
                raise StoppedError from None
            if not _UNREADABLE.search(answer):
                return answer
            self.say("  A letter in it could not be read; type it again.")


def _cut(line: str) -> str:
    """A line no longer than a terminal is wide, cut at a word."""
    return line if len(line) <= _WIDTH else f"{line[:_WIDTH].rpartition(' ')[0]} ..."


def _reach(offers: Sequence[Offer]) -> str:
    return f" Type a number from 1 to {min(len(offers), _SHOWN)}, or letters of a name." if offers else ""


def _found(answer: str, offers: Sequence[Offer], shown: Sequence[Offer]) -> list[Offer]:
    """The offers an answer may mean: one where it is plain which."""
    if answer.isdigit() and 1 <= int(answer) <= min(len(shown), _SHOWN):
        return [shown[int(answer) - 1]]
    typed = answer.casefold()
    for fits in (_is_value, _begins, _holds):
        if found := [offer for offer in offers if fits(typed, offer)]:
            return found
    return []


def _is_value(typed: str, offer: Offer) -> bool:
    return offer.value.casefold() == typed


def _begins(typed: str, offer: Offer) -> bool:
    value = offer.value.casefold()
    return value.startswith(typed) or value.rpartition("/")[2].startswith(typed)


def _holds(typed: str, offer: Offer) -> bool:
    told = f"{offer.value} {offer.words}".casefold()
    return all(word in told for word in typed.split())
