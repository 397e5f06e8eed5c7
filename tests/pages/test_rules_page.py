"""The page of what must not touch what says of which meetings the table knows nothing: silence is no all-clear."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest

from mothermold.pages.all_pages import all_pages
from mothermold.trade.pairs import meetings
from mothermold.trade.vocabulary import family_words
from mothermold.view.editions import EDITIONS
from mothermold.view.view import open_view
from view.own_rule import lay_out


@pytest.mark.parametrize("edition", EDITIONS)
def test_every_meeting_of_which_nothing_is_known_stands_on_the_page_and_no_other(tmp_path: Path, edition: str) -> None:
    view = open_view(lay_out(tmp_path / "book"), edition)  # type: ignore[arg-type]
    (body,) = [page.body for page in all_pages(view) if page.address == "rules.html"]
    _rules, heading, unknown = body.partition('<h2 id="not-known">What is not known</h2>')
    assert heading
    rows = re.findall(r'<tr><th scope="row">(.*?)</th>\s*<td[^>]*>(.*?)</td>\s*<td[^>]*>(.*?)</td></tr>', unknown, re.S)
    shown = {
        (used, met, unescape(doubt))
        for used_all, met_all, doubt in rows
        for used in used_all.split(", ")
        for met in met_all.split(", ")
    }
    silent = [row for row in meetings() if row.not_known]
    wanted = {
        (family_words(used), family_words(met), f"{row.not_known[:1].upper()}{row.not_known[1:]}")
        for row in silent
        for used, met in row.pairs
    }
    assert {each[:2] for each in shown} == {each[:2] for each in wanted}
    assert {each[2].rstrip(".") for each in shown} == {each[2] for each in wanted}
    assert f"For {sum(len(row.pairs) for row in silent)} of them nothing is known" in unescape(unknown)
    assert 'href="#not-known"' in _rules
