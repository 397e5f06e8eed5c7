"""What every text was saved as is asked once: an edition opened again reads no text it does not show, and holds the same."""

from __future__ import annotations

from pathlib import Path

import pytest

from mothermold.book.document import Document
from mothermold.view import saved_texts
from mothermold.view.view import open_view


def _told(book: Path) -> tuple[list[str], dict[str, str], set[tuple[str, str, str]]]:
    view = open_view(book, "public")
    assert view._held is not None
    saved = {address: view._held.state(address) for address in view.recipes}
    return sorted(each.address for each in view.documents.every()), saved, view._held.known


def test_an_edition_opened_again_asks_no_text_for_its_names(
    own_sample_book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = _told(own_sample_book)
    asked: list[str] = []

    def counted(text: Document) -> str:
        asked.append(text.file)
        return "public"

    monkeypatch.setattr(saved_texts, "visibility_of", counted)
    assert _told(own_sample_book) == first
    assert asked == []


def test_a_text_that_changed_is_asked_again(own_sample_book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = _told(own_sample_book)[0]
    recipe = next(name for name in before if name.startswith("cast/"))
    file = own_sample_book / "recipes" / f"{recipe}.yaml"
    file.write_text(file.read_text(encoding="utf-8").replace("visibility: public", "visibility: private"), "utf-8")
    assert recipe not in _told(own_sample_book)[0]
