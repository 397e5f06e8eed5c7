"""What a new book is called, where its clocks are and in which money it counts: what the computer knows is offered."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Final

from mothermold.desk.asking import Asking
from mothermold.desk.founding import Whereabouts
from mothermold.desk.question import Ask, Said, fits
from mothermold.desk.walking import walk

_USUAL: Final = Whereabouts()
_EURO: Final = "AT BE BG CY DE EE ES FI FR GR HR IE IT LT LU LV MT NL PT SI SK"
# Countries as a locale names them (ISO 3166) and their money (ISO 4217); from memory.
_MONEY_OF: Final[Mapping[str, str]] = {
    **dict.fromkeys(_EURO.split(), "EUR"), "US": "USD", "CA": "CAD", "GB": "GBP", "AU": "AUD", "NZ": "NZD", "CH": "CHF",
    "SE": "SEK", "NO": "NOK", "DK": "DKK", "PL": "PLN", "CZ": "CZK", "HU": "HUF", "JP": "JPY", "KR": "KRW", "IN": "INR",
    "BR": "BRL", "MX": "MXN", "ZA": "ZAR", "SG": "SGD", "IL": "ILS", "TR": "TRY",
}  # fmt: skip
_LOCALES: Final = ("LC_ALL", "LC_MONETARY", "LANG")


def known_whereabouts(
    folder: Path, environment: Mapping[str, str] = os.environ, clock: Path = Path("/etc/localtime")
) -> Whereabouts:
    """What can be told of a new book by its folder's name and by the computer's settings; usual values for the rest.

    Args:
        folder: The book's folder.
        environment: The variables of the terminal.
        clock: What a computer sets its local time by, where it has such a file.
    """
    words = " ".join(re.sub(r"[-_]+", " ", folder.resolve().name).split())
    title = words[:1].upper() + words[1:] if words and words.isprintable() else _USUAL.title
    country = next(
        (found[1] for name in _LOCALES if (found := re.match(r"[a-z]+_([A-Z]{2})", environment.get(name, "")))), ""
    )
    return Whereabouts(title, _zone(environment, clock), _MONEY_OF.get(country, _USUAL.currency))


def _zone(environment: Mapping[str, str], clock: Path) -> str:
    """The zone the terminal says, else the one the computer's clock file is a link to."""
    named = environment.get("TZ", "").removeprefix(":")
    linked = clock.resolve().as_posix().rpartition("zoneinfo/")[2] if clock.is_symlink() else ""
    is_zone = fits("book", "time_zone")
    return next((name for name in (named, linked) if name and not is_zone(name)), _USUAL.zone)


def ask_whereabouts(asking: Asking, known: Whereabouts) -> Whereabouts:
    """Asks for title, zone and money of a new book; Enter takes what is known."""
    questions = (
        Ask("title", "What the book is called", default=known.title),
        Ask("time_zone", "The time zone of its clocks (like Europe/Berlin)", default=known.zone),
        Ask("currency", "The currency of its prices (like EUR)", default=known.currency, refuse=_no_money),
    )
    said = walk(asking, questions, _kind="book")
    return Whereabouts(said["title"], said["time_zone"], said["currency"].upper())


def _no_money(answer: str, _said: Said) -> str:
    fits_in = re.fullmatch(r"[A-Za-z]{3}", answer)
    return (
        "" if fits_in else f"`{answer}` is not how a currency is written here. Type its three letters, like USD or EUR."
    )
