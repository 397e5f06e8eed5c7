"""How what an edition hands out is known again: each kind of cell with its state; see ``ground.looking``."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mothermold.ground.store import digest
from mothermold.history.versions import Version, Versions

if TYPE_CHECKING:
    from mothermold.view.contents import Collector
    from mothermold.view.view import View, Whole


def open_doors(view: View, whole: Whole, held: Collector | None) -> None:
    """Says how all is known that an edition hands out; the owner's hands out what the book does, which is known already."""
    made = view.made
    if held is not None:
        view.documents.open_to(made)
        made.knows("drawing", lambda file: whole.book.made.state(f"drawing {file}"))
        made.knows("photo", lambda file: whole.book.made.state(f"photo {file}"))
        made.knows("saved", lambda address: _versions_state(view.versions(address)))
        made.knows("now-at", view.today)
    made.knows("recipes", lambda _: digest(*view.recipes))
    made.knows("newest", lambda _: str(view.newest))
    made.knows("settings", lambda _: digest(repr(view.settings), view.words))
    made.knows("book", lambda _: view.state)


def _versions_state(versions: Versions | None) -> str:
    """What the versions of a recipe are known by as an edition shows them."""
    if versions is None:
        return ""
    return digest(versions.address, versions.highest, *map(_version_state, versions.rows), *versions.notices)


def _version_state(row: Version) -> str:
    texts = [row.document, *(text for _moment, text in row.amendments), row.clash, row.saved, row.saved_draft]
    return digest(
        row.number,
        row.status,
        row.commit,
        row.moment,
        row.working_tree,
        *(moment for moment, _text in row.amendments),
        *(text.state if text is not None else "" for text in texts),
    )
