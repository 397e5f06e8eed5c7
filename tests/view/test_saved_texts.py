"""What every text was saved as is asked once: an edition opened again reads no text it does not show, and holds the same."""

from __future__ import annotations

from pathlib import Path

import pytest

from mothermold.book.document import Document
from mothermold.view import saved_texts
from mothermold.view.editions import Edition
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


@pytest.mark.parametrize("edition", ["private", "class", "public"])
def test_a_recipe_renamed_is_another_thing_to_look_at_under_its_old_name(
    edition: Edition, own_sample_book: Path
) -> None:
    """Pages that name it by the old address lead to the new one, so they are made again though no text of it changed."""

    def state() -> str:
        view = open_view(own_sample_book, edition)
        view.take_up(None)
        return view.made.state("saved cast/nose-piece")

    before = state()
    file = own_sample_book / "recipes/cast/nose-piece.yaml"
    text = file.read_text(encoding="utf-8")
    file.with_name("nose-piece-b.yaml").write_text(f"{text.rstrip()}\nformerly: [cast/nose-piece]\n", encoding="utf-8")
    file.unlink()
    assert state() != before
