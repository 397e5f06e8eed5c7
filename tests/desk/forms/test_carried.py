"""A text goes through a page and comes back as it was, whatever stands in it."""

from __future__ import annotations

import base64
import re
import zlib

import pytest

from mothermold.desk.forms.carried import packed, unpacked
from mothermold.ground.errors import CannotRunError


@pytest.mark.parametrize(
    "text", ["", "a", "\ufefftitle: A\r\nb\rc\n", "\0\x1b\u2028\U0001f9ea ü", "  \n\n\t", "title: A\n" * 90_000]
)
def test_any_text_comes_back_and_its_letters_are_sent_by_every_browser_as_they_are(text: str) -> None:
    letters = packed(text)
    assert re.fullmatch(r"[\w-]+", letters, re.ASCII)
    assert unpacked(letters) == text


@pytest.mark.parametrize(
    "letters",
    ["", "x", "ä", packed("title: A")[:-4], packed("title: A") + "AAAA=", base64.urlsafe_b64encode(b"title").decode()],
)
def test_letters_that_are_no_whole_text_are_refused(letters: str) -> None:
    with pytest.raises(CannotRunError):
        assert unpacked(letters) == "title: A"


def test_a_text_longer_than_any_file_of_a_book_is_refused_before_it_is_unpacked() -> None:
    letters = base64.urlsafe_b64encode(zlib.compress(b"a" * 50_000_000)).decode().rstrip("=")
    with pytest.raises(CannotRunError):
        unpacked(letters)
