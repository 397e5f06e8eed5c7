"""Hands out what is taken away: a zip of the site or one file, made when somebody asks, of no wider edition than is served."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass
from http import HTTPStatus
from typing import Final
from urllib.parse import parse_qs

from mothermold.ground.errors import CannotRunError, RefusedError
from mothermold.publish.carried.away import AWAY, editions_of, take_away
from mothermold.serve.asked import Asked
from mothermold.serve.replies import Reply, plain
from mothermold.view.editions import Edition
from mothermold.view.view import View

AWAY_PATH: Final = f"/{AWAY}"
_LONGEST: Final = 300


@dataclass(frozen=True, slots=True)
class AwayDoor:
    """Makes files to take away of the book as it is now.

    Attributes:
        served: The edition that is served.
        view: The book in an edition, while nobody else is answered.
    """

    served: Edition
    view: Callable[[Edition], AbstractContextManager[View]]

    async def read(self, asked: Asked) -> Reply:
        """A file, or why there is none."""
        return await asyncio.to_thread(self.reply, asked.path, asked.query)

    def reply(self, path: str, query: str) -> Reply:
        """Answers with a file to keep.

        Args:
            path: The address.
            query: What, of which document, for whom: ``what=course&of=silicone-autumn&for=class``.
        """
        told = {name: values[0] for name, values in parse_qs(query[:_LONGEST]).items()}
        offered = editions_of(self.served)
        edition = next((each for each in offered if each == told.get("for", offered[0])), None)
        if path != AWAY_PATH or "what" not in told or edition is None:
            return plain(HTTPStatus.NOT_FOUND, "There is no such page.")
        try:
            with self.view(edition) as view:
                made = take_away(view, told["what"], told.get("of", ""))
        except RefusedError as refusal:
            said = " ".join(f"{notice.message} {notice.help}" for notice in refusal.notices[:1])
            return plain(HTTPStatus.NOT_FOUND, said.replace("`", ""))
        except CannotRunError as problem:
            return plain(HTTPStatus.NOT_IMPLEMENTED, str(problem).replace("`", ""))
        # Kept and never shown from here: its pages are not those of this server.
        headers = (("Content-Disposition", f'attachment; filename="{made.name}"'), ("Cache-Control", "no-store"))
        return Reply(HTTPStatus.OK, made.data, made.kind, headers)
