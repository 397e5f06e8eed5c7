"""Asks at the terminal: questions on the output, answers from the input, so that a pipe can answer too."""

from __future__ import annotations

import contextlib
import re
import sys
from collections.abc import Callable, Sequence
from typing import Final

from mothermold.desk.asking import BackError, Offer, StoppedError
from mothermold.desk.matching import alike, sought

# More than this is a wall; the rest is found by typing a few letters.
_SHOWN: Final = 12
# A list as short as this is quicker shown again than looked for above.
_SHORT: Final = 4
_WIDTH: Final = 110
_BACK: Final = "<"
_LIST: Final = "?"
_UNREADABLE: Final = re.compile("[\ud800-\udfff]")


class Terminal:
    """Asks whoever sits at the terminal, or whatever is piped into it."""

    def __init__(self) -> None:
        self._listed: set[tuple[Offer, ...]] = set()
        self._in_sight: Sequence[Offer] = ()
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
            answer = self._ask_or_take(question, default) or default
            wrong = check(answer) if check and answer else ""
            if answer == _LIST:
                wrong = f"There is no list here; type the answer{'' if needed else ', or Enter'}."
            elif not answer and needed:
                wrong = "An answer is needed here."
            if not wrong:
                return answer
            self.say(f"  {wrong}")

    def choose(
        self, question: str, offers: Sequence[Offer], *, default: str = "", own: bool = False, needed: bool = False
    ) -> str:
        """Asks for one of the offers; a few letters narrow a long list, and a number counts in the list last shown."""
        self._list(offers)
        while True:
            answer = self._ask_or_take(question, default)
            chosen = self._settled(answer, offers, question, default, own=own)
            if chosen or default or not needed:
                return chosen or default
            self.say("  An answer is needed here.")

    def several(self, question: str, offers: Sequence[Offer], *, own: bool = False) -> tuple[str, ...]:
        """Asks for any of the offers, parted by commas; Enter chooses none."""
        self._list(offers)
        while True:
            answer = self._ask(f"{question} (several with commas)", "")
            if answer == _LIST:
                self._print(offers, len(offers))
                continue
            pieces = [piece.strip() for piece in answer.split(",") if piece.strip()]
            with contextlib.suppress(BackError):
                shown = self._in_sight
                chosen = []
                for each in pieces:
                    # What was asked about one piece is gone from sight for the next; all were typed from one list.
                    self._in_sight = shown
                    chosen.append(self._settled(each, offers, f"Which one for `{each}` (Enter for none)", own=own))
                return tuple(dict.fromkeys(each for each in chosen if each))

    def agree(self, question: str, *, default: bool) -> bool:
        """Asks for a yes or a no."""
        while True:
            answer = self._ask(question, "yes" if default else "no").casefold()
            if not answer:
                return default
            if answer in ("y", "yes", "n", "no"):
                return answer[0] == "y"
            if answer == "back":
                raise BackError
            self.say("  Type yes or no.")

    def _settled(
        self, answer: str, offers: Sequence[Offer], question: str, default: str = "", *, own: bool = False
    ) -> str:
        """What an answer comes to, asked again until that is plain; nothing for Enter."""
        before = ""
        while answer and not (own and answer == before):
            if answer == _LIST:
                self._print(offers, len(offers))
            elif chosen := self._meant(answer, offers, own=own):
                if chosen.casefold() != answer.casefold():
                    self.say(f"  -> {chosen}")
                return chosen
            before = answer
            answer = self._ask_or_take(question, default)
        return answer

    def _meant(self, answer: str, offers: Sequence[Offer], *, own: bool) -> str:
        """The offer an answer means, or the answer itself where it may stand; nothing where it is not plain yet."""
        found = sought(answer, offers, self._in_sight)
        if found.guess is not None and (found.typed or (found.sure and not own)):
            return found.guess.value
        if re.fullmatch(r"[0-9]{1,4}", answer) and len(self._in_sight) < int(answer) <= len(offers):
            self.say(f"  `{answer}` is not in the list you see.{self._reach()}")
            return ""
        near, guess = found.offers, found.guess
        if not near:
            near = alike(answer, offers)
            guess = near[0] if len(near) == 1 else None
            if near or not own:
                self.say(f"  Nothing here is called `{answer}`.{'' if near else self._reach()}")
        if guess is not None:
            with contextlib.suppress(BackError):
                if self.agree(f"Did you mean `{guess.value}`?", default=True):
                    return guess.value
                if not own and len(near) == 1:
                    self.say(f" {self._reach()}")
                if own and len(near) == 1:
                    return answer
        if len(near) > 1:
            self.say(f"  {len(near)} of them fit `{answer}`{'; type it again to keep it as typed' if own else ''}:")
            self._print(near, _SHOWN)
        return answer if own and not near else ""

    def _list(self, offers: Sequence[Offer]) -> None:
        if len(offers) > _SHORT and tuple(offers) in self._listed:
            self._in_sight = tuple(offers[:_SHOWN])
            self.say(f"       1 to {len(self._in_sight)} as listed above; `?` lists them again")
            return
        self._listed.add(tuple(offers))
        self._print(offers, _SHOWN)

    def _print(self, offers: Sequence[Offer], most: int) -> None:
        """Offers, numbered from 1: from now on these are the numbers that count."""
        self._in_sight = tuple(offers[:most])
        for number, offer in enumerate(self._in_sight, start=1):
            self.say(_cut(f"  {number:>3}  {offer.value}{f'  {offer.words}' if offer.words else ''}"))
        if len(offers) > most:
            self.say(f"       and {len(offers) - most} more; type a few letters to find one, or `?` for all")

    def _reach(self) -> str:
        count = len(self._in_sight)
        numbers = "1" if count == 1 else f"a number from 1 to {count}"
        return f" Type {numbers}, or letters of a name; `?` lists all." if count else ""

    def _ask_or_take(self, question: str, default: str) -> str:
        """Asks; a yes to what is proposed takes it, as Enter does."""
        answer = self._ask(question, default)
        if default and answer.casefold() in ("y", "yes"):
            self.say(f"  -> {default}")
            return ""
        return answer

    def _ask(self, question: str, default: str) -> str:
        mark = "" if question.endswith(("?", ":")) else ":"
        while True:
            try:
                answer = input(f"{question}{f' [{default}]' if default else ''}{mark} ").strip()
            except (EOFError, KeyboardInterrupt):
                sys.stdout.write("\n")
                raise StoppedError from None
            if answer == _BACK:
                raise BackError
            if not _UNREADABLE.search(answer):
                return answer
            self.say("  A letter in it could not be read; type it again.")


def _cut(line: str) -> str:
    """A line no longer than a terminal is wide, cut at a word."""
    return line if len(line) <= _WIDTH else f"{line[:_WIDTH].rpartition(' ')[0]} ..."
