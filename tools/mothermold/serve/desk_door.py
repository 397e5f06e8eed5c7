"""The way to the desk: forms of the owner's own pages on the owner's own computer, each taken once.

What the pages show and what becomes of what is typed is the desk's; it is handed a `Filled` form and gives a `Reply`.
"""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable
from dataclasses import dataclass, replace
from http import HTTPStatus
from typing import Final, Protocol
from urllib.parse import parse_qsl

from mothermold.ground.errors import MothermoldError
from mothermold.pages.desk.photo_fields import MOST_BYTES as MOST_PHOTO_BYTES
from mothermold.pages.desk.photo_fields import PHOTO
from mothermold.serve.asked import Asked, NotTakenError
from mothermold.serve.doors import Doors
from mothermold.serve.forms import Forms, Pairs, typed
from mothermold.serve.parts import KIND, SentFile, boundary_in, parts_in
from mothermold.serve.replies import Reply, plain

PREFIX: Final = "/desk/"
MOST_BYTES: Final = 4 * 1024 * 1024
"""The longest form: the longest file a book may hold, 1 MB, as a form spells it."""
MOST_FIELDS: Final = 10_000
_LANES: Final = 2
"""Forms with photos that are taken at once; whoever comes meanwhile waits, and none of it is heard before."""
_PACE: Final = 512 * 1024
"""Bytes a second at which photos have to arrive; a slow wireless network carries twice that."""
_PLAIN: Final = "application/x-www-form-urlencoded"
_LOST: Final = "The computer could not take this in. What was typed stands below, and only here: copy it."
# A browser that tells nobody where it comes from sends its forms without their origin, so it may tell us.
_HEADERS: Final = (
    ("Cache-Control", "no-store"),
    ("Referrer-Policy", "same-origin"),
    (
        "Content-Security-Policy",
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; font-src 'self'; "
        "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
    ),
)


@dataclass(frozen=True, slots=True)
class Filled:
    """What the desk is asked.

    Attributes:
        path: The address below the desk's, as it was sent, like `next/cast/cheek`.
        typed: Pairs of path and text as typed, in the order of the form; when a page is asked for, what stood behind
            the question mark.
        seal: Makes the hidden fields that each form on a page needs; each form its own.
        said: Why what was typed was not taken, to be shown above the form; else empty.
        files: Files that were chosen in it.
    """

    path: str
    typed: Pairs
    seal: Callable[[], str]
    said: str = ""
    files: tuple[SentFile, ...] = ()


class Desk(Protocol):
    """What writes the book from its pages."""

    def show(self, form: Filled) -> Reply | None:
        """The page at an address with its fields filled with what was typed; None where there is none.

        It is asked from several threads at once, and writes nothing.
        """

    def take(self, form: Filled) -> Reply:
        """Writes what was typed into the book; one form after the other.

        Returns:
            Where to go now (`led_to`), or the page again with what is wrong beside its fields.

        Raises:
            MothermoldError: It cannot be; the page is shown again with that sentence.
        """


class DeskDoor:
    """Answers below the desk's address."""

    def __init__(
        self, desk: Desk, key: str, say: Callable[[str], None], *, prefix: str = PREFIX, most: int = MOST_BYTES
    ) -> None:
        """Opens it.

        Args:
            desk: The desk.
            key: A secret of this start of the server.
            say: Tells the person at the computer something.
            prefix: Its address.
            most: The longest form, in bytes.
        """
        self._desk, self._say, self._prefix, self._most = desk, say, prefix, most
        self._forms = Forms(key)
        self._one_by_one = threading.Lock()
        self._lanes = asyncio.Semaphore(_LANES)

    async def read(self, asked: Asked) -> Reply:
        """A page of the desk."""
        try:
            pairs = parse_qsl(asked.query, keep_blank_values=True, errors="strict", max_num_fields=MOST_FIELDS)
        except ValueError:
            return plain(HTTPStatus.BAD_REQUEST, "That is not an address of this server.")
        return await asyncio.to_thread(self._shown, self._filled(asked, pairs))

    async def take(self, asked: Asked) -> Reply:
        """Takes what was typed into a form, or gives the form back as it was filled and says why."""
        if not Doors.is_own(asked.all("Host")[0], asked.all("Origin"), asked.all("Sec-Fetch-Site")):
            return plain(HTTPStatus.FORBIDDEN, "Only a page of this book can write to it.")
        kinds = asked.all("Content-Type")
        kind = kinds[0].partition(";")[0].strip().lower() if len(kinds) == 1 else ""
        if kind not in (_PLAIN, KIND):
            return plain(HTTPStatus.UNSUPPORTED_MEDIA_TYPE, "A form is sent as plain fields, or as fields with photos.")
        try:
            if kind == KIND:
                async with self._lanes:
                    return await self._take_with_files(asked, kinds[0])
            text = await asked.text("form", self._most)
            pairs = parse_qsl(text, keep_blank_values=True, errors="strict", max_num_fields=MOST_FIELDS)
        except NotTakenError as fault:
            return plain(fault.status, fault.sentence)
        except ValueError:
            return plain(HTTPStatus.BAD_REQUEST, "The form did not arrive whole; go back and send it again.")
        return await asyncio.to_thread(self._taken, self._filled(asked, pairs), pairs)

    async def _take_with_files(self, asked: Asked, kind: str) -> Reply:
        boundary = boundary_in(kind)
        if boundary is None:
            raise ValueError("no boundary")
        body = await asked.body("form with photos", MOST_PHOTO_BYTES + self._most, pace=_PACE)
        pairs, files = await asyncio.to_thread(parts_in, body, boundary, MOST_FIELDS)
        del body
        # A photo that comes back with its form is one of its fields.
        if sum(len(text) for name, text in pairs if not name.startswith(PHOTO)) > self._most:
            told = f"What is typed into a form may have {self._most // 1024} KB, photos aside; this is more."
            raise NotTakenError(HTTPStatus.REQUEST_ENTITY_TOO_LARGE, told)
        if any("\0" in text for pair in pairs for text in pair):
            raise ValueError("no text")
        filled = replace(self._filled(asked, pairs), files=tuple(files))
        return await asyncio.to_thread(self._taken, filled, pairs)

    def _taken(self, form: Filled, pairs: list[tuple[str, str]]) -> Reply:
        if (fault := self._forms.judge(pairs)) is not None:
            status, said = fault
        else:
            try:
                with self._one_by_one:
                    return _headed(self._desk.take(form))
            except MothermoldError as problem:
                status, said = HTTPStatus.CONFLICT, str(problem)
            except Exception as problem:  # whatever it is, what was typed comes back
                self._say(f"A form could not be taken ({type(problem).__name__}).")
                status, said = HTTPStatus.INTERNAL_SERVER_ERROR, _LOST
        return replace(self._shown(replace(form, said=said)), status=status)

    def _shown(self, form: Filled) -> Reply:
        shown = self._desk.show(form)
        return plain(HTTPStatus.NOT_FOUND, form.said or "There is no such page.") if shown is None else _headed(shown)

    def _filled(self, asked: Asked, pairs: list[tuple[str, str]]) -> Filled:
        return Filled(asked.path.removeprefix(self._prefix), typed(pairs), self._forms.seal)


def _headed(reply: Reply) -> Reply:
    own = {name for name, _ in reply.headers}
    return replace(reply, headers=(*reply.headers, *((name, value) for name, value in _HEADERS if name not in own)))
