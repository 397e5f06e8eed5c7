"""Who may come in: a token fresh at every start, the cookie it is traded for, and the one address that counts.

Owns no socket and knows no page. A token lives in memory only.
"""

from __future__ import annotations

import hmac
import threading
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final
from urllib.parse import parse_qs

FREE_GUESSES: Final = 5
"""How many wrong tokens in a row an address may give before it has to wait."""
LONGEST_WAIT: Final = 4.0
"""Seconds; longer would only tie up the places for callers."""
_REMEMBERED: Final = 1000
OWN_NAMES: Final = ("127.0.0.1", "localhost", "[::1]")
"""What a computer calls itself."""
SCAN: Final = "Scan the square on the computer's screen again."
OPEN: Final = "Open the address that stands in the terminal; each start of `mothermold serve` has its own."


@dataclass(frozen=True, slots=True)
class Doors:
    """What a request must show.

    Attributes:
        host: The address the server is bound to, in figures.
        port: Its port.
        token: What the square on the screen, or the address in the terminal, holds.
        alone: Whether this computer alone is served, which has more than one name for itself.
    """

    host: str
    port: int
    token: str
    alone: bool = False

    @property
    def place(self) -> str:
        """The address and the port, as a browser names them in `Host`."""
        return f"{self.host}:{self.port}"

    @property
    def places(self) -> frozenset[str]:
        """All that a browser may name in `Host`."""
        names = (self.host, *OWN_NAMES) if self.alone else (self.host,)
        return frozenset(f"{name}:{self.port}" for name in names)

    @property
    def advice(self) -> str:
        """What to do for whoever was not let in."""
        return OPEN if self.alone else SCAN

    @property
    def origin(self) -> str:
        """How every address of this server begins."""
        return f"http://{self.place}"

    @property
    def invitation(self) -> str:
        """The address to open."""
        return f"{self.origin}/?token={self.token}"

    @property
    def cookie(self) -> str:
        """The cookie a right token is traded for; it lasts until the browser is closed."""
        return f"{self._cookie_name}={self.token}; HttpOnly; SameSite=Strict; Path=/"

    @property
    def mark(self) -> str:
        """A cookie scripts may read: it tells a bench page that this server has an inbox, and opens nothing."""
        return f"mothermold-inbox={self.port}; SameSite=Strict; Path=/"

    @property
    def _cookie_name(self) -> str:
        # Browsers keep cookies by host without the port, and two books may be open at once.
        return f"mothermold_{self.port}"

    def is_here(self, hosts: Sequence[str]) -> bool:
        """Whether a request means this server by its own address.

        A page elsewhere can make its own name point here; its requests then come with that name.
        """
        return len(hosts) == 1 and hosts[0] in self.places

    @staticmethod
    def is_own(place: str, origins: Sequence[str], sites: Sequence[str]) -> bool | None:
        """Whether what wants to write comes from a page of this server; None where the browser does not say.

        Args:
            place: What the request named in `Host`.
            origins: What it said in `Origin`.
            sites: What it said in `Sec-Fetch-Site`.
        """
        if not origins and not sites:
            return None
        return list(origins) in ([], [f"http://{place}"]) and list(sites) in ([], ["same-origin"])

    @staticmethod
    def is_pulled(sites: Sequence[str], modes: Sequence[str]) -> bool:
        """Whether a page of somebody else's pulls something of ours into itself, as a browser says it."""
        return list(sites) not in ([], ["same-origin"], ["none"]) and list(modes) != ["navigate"]

    def tokens_in(self, query: str) -> list[str]:
        """The tokens an address was opened with."""
        try:
            return parse_qs(query, keep_blank_values=True, max_num_fields=20).get("token", [])
        except ValueError:
            return [""]

    def cookies_in(self, headers: Sequence[str]) -> list[str]:
        """What a browser brought under the name of our cookie."""
        pairs = (pair.strip().partition("=") for header in headers for pair in header.split(";"))
        return [value for name, _, value in pairs if name == self._cookie_name]

    def opens(self, shown: Sequence[str]) -> bool:
        """Whether what was shown is the token; takes the same time whatever is wrong with it."""
        wanted = self.token.encode()
        return len(shown) == 1 and hmac.compare_digest(shown[0].encode("utf-8", "surrogateescape"), wanted)


class Guesses:
    """Counts wrong tokens in a row by the address they come from."""

    def __init__(self) -> None:
        self._wrong: dict[str, int] = {}
        self._lock = threading.Lock()

    def wrong(self, caller: str) -> float:
        """Counts a wrong token; the seconds its answer has to wait."""
        with self._lock:
            if len(self._wrong) >= _REMEMBERED:
                self._wrong.clear()
            count = self._wrong[caller] = self._wrong.get(caller, 0) + 1
        return min(LONGEST_WAIT, 0.5 * (count - FREE_GUESSES)) if count > FREE_GUESSES else 0.0

    def right(self, caller: str) -> None:
        """Forgets what a caller got wrong."""
        with self._lock:
            self._wrong.pop(caller, None)
