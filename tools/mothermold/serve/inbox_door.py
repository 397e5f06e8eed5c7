"""Takes in what the phone's bench view sends, a run, for the inbox of the book."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from http import HTTPStatus
from typing import Final

from mothermold.ground.errors import CannotRunError, RefusedError
from mothermold.serve.asked import Asked, NotTakenError
from mothermold.serve.doors import Doors
from mothermold.serve.inbox import MOST_BYTES, Inbox, InboxFullError
from mothermold.serve.replies import Reply, data, message

INBOX: Final = "/inbox"
_KINDS: Final = ("text/yaml", "application/yaml")


class InboxDoor:
    """Answers at the address of the inbox."""

    def __init__(self, inbox: Inbox, say: Callable[[str], None]) -> None:
        self._inbox, self._say = inbox, say

    async def read(self, asked: Asked) -> Reply:  # noqa: ARG002 - every room is asked alike
        """Tells a page that there is an inbox."""
        return data(HTTPStatus.OK, {"inbox": True})

    async def take(self, asked: Asked) -> Reply:
        """Keeps a run, and says under which name."""
        sites = asked.all("Sec-Fetch-Site")
        if Doors.is_own(asked.all("Host")[0], asked.all("Origin"), sites) is False:
            return message(HTTPStatus.FORBIDDEN, "Only a page of this book can send runs here.")
        if asked.all("X-Mothermold") != ["run"]:
            return message(HTTPStatus.FORBIDDEN, "Only the bench view can send runs here.")
        if not _is_yaml(asked.all("Content-Type")):
            return message(HTTPStatus.UNSUPPORTED_MEDIA_TYPE, "A run is sent as YAML text in UTF-8.")
        try:
            text = await asked.text("run", MOST_BYTES)
            kept = await asyncio.to_thread(self._inbox.keep, text)
        except NotTakenError as fault:
            return message(fault.status, fault.sentence)
        except InboxFullError as full:
            return message(HTTPStatus.INSUFFICIENT_STORAGE, str(full))
        except (CannotRunError, RefusedError, OSError) as problem:
            self._say(f"A run that came in could not be kept: {problem}")
            told = "The computer could not keep the run; its screen says why."
            return message(HTTPStatus.INTERNAL_SERVER_ERROR, told)
        if kept.new:
            self._say(f"A run came in: {kept.name}, from {asked.caller}.")
        return data(HTTPStatus.CREATED if kept.new else HTTPStatus.OK, {"kept": kept.name})


def _is_yaml(kinds: list[str]) -> bool:
    if len(kinds) != 1:
        return False
    kind, *settings = (part.strip().lower() for part in kinds[0].split(";"))
    return kind in _KINDS and all(setting.replace('"', "") in ("", "charset=utf-8") for setting in settings)
