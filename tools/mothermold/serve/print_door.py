"""Hands out handouts: a PDF of a recipe, a course or a build, made of the edition that is served when somebody asks; writes nothing."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass
from http import HTTPStatus
from typing import Final
from urllib.parse import parse_qs

from mothermold.ground.errors import CannotRunError, RefusedError
from mothermold.handouts.command import make_handout
from mothermold.handouts.printing import PRINTS
from mothermold.handouts.sheaf import PAPERS
from mothermold.serve.asked import Asked
from mothermold.serve.replies import Reply, plain
from mothermold.view.view import View

PRINT: Final = f"/{PRINTS}"
_LONGEST: Final = 300


@dataclass(frozen=True, slots=True)
class PrintDoor:
    """Makes handouts of the book as it is now.

    Attributes:
        view: The book in the edition that is served, while nobody else is answered.
    """

    view: Callable[[], AbstractContextManager[View]]

    async def read(self, asked: Asked) -> Reply:
        """A handout, or why there is none."""
        return await asyncio.to_thread(self.reply, asked.path, asked.query)

    def reply(self, path: str, query: str) -> Reply:
        """Answers with a handout.

        Args:
            path: The address.
            query: Of what, which kind, on which paper: ``of=cast/face-piece@4&kind=bench&paper=a4``.
        """
        told = {name: values[0] for name, values in parse_qs(query[:_LONGEST]).items()}
        paper = next((each for each in PAPERS if each == told.get("paper", "a4")), None)
        if path != PRINT or "of" not in told or paper is None:
            return plain(HTTPStatus.NOT_FOUND, "There is no such page.")
        try:
            with self.view() as view:
                made = make_handout(view, told["of"], told.get("kind"), paper)
        except RefusedError as refusal:
            said = " ".join(f"{notice.message} {notice.help}" for notice in refusal.notices[:1])
            return plain(HTTPStatus.NOT_FOUND, said.replace("`", ""))
        except CannotRunError as problem:
            return plain(HTTPStatus.NOT_IMPLEMENTED, str(problem).replace("`", ""))
        # Shown in the browser, from where it goes to the printer; kept under its own name.
        headers = (("Content-Disposition", f'inline; filename="{made.name}"'), ("Cache-Control", "no-store"))
        return Reply(HTTPStatus.OK, made.printed.pdf, "application/pdf", headers)
