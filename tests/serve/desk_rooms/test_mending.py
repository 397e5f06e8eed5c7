"""Where nothing can be saved the desk shows the way out, mends what is ticked, and works again."""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from contextlib import contextmanager

from mothermold.pages.page import Page
from mothermold.serve.desk_door import Filled
from mothermold.serve.desk_rooms.table import DeskRooms
from mothermold.view.view import View, open_view
from serve.desk_rooms.sitting_down import Desk


def lock(desk: Desk) -> None:
    path = desk.book / ".git" / "index.lock"
    path.write_bytes(b"")
    os.utime(path, (time.time() - 3600,) * 2)


def test_what_is_wrong_is_said_and_mended_when_it_is_ticked(desk: Desk) -> None:
    desk.go("desk/mend")
    assert "Nothing is wrong with git" in desk.text
    lock(desk)
    desk.go("desk/mend")
    assert "is locked since 60 minutes" in desk.text
    desk.press("Mend what is ticked")
    assert "Nothing is wrong with git" in desk.text
    assert not (desk.book / ".git" / "index.lock").exists()
    assert "not saved" in desk.go("desk/save").text or "Nothing" in desk.text


def test_what_is_not_ticked_is_left(desk: Desk) -> None:
    lock(desk)
    desk.go("desk/mend").press("Mend what is ticked", {"mishap": []})
    assert (desk.book / ".git" / "index.lock").exists()
    assert "is locked since" in desk.text


def test_a_room_that_cannot_be_shown_then_leads_to_the_way_out(desk: Desk) -> None:
    @contextmanager
    def now() -> Iterator[View]:
        yield open_view(desk.book, "private")

    def hang(page: Page) -> bytes:
        return f"{page.title}\n{page.body}".encode()

    rooms = DeskRooms(now, hang)
    for break_it in (lock, lambda desk: (desk.book / ".git" / "index").write_bytes(b"DIRC damaged")):
        break_it(desk)
        for room in ("", "save", "undo"):
            shown = rooms.show(Filled(room, (), lambda: ""))
            assert shown is not None
            assert shown.body.startswith(b"Mend\n")
            assert b"mend this" in shown.body
