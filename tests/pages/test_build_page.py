"""The page of a build: all sheets of a look, and of each patch test what it covers and when, or that it is not known."""

from __future__ import annotations

import re
from pathlib import Path

from mothermold.pages.documents import document_page
from mothermold.pages.rules import rules_page
from mothermold.trade.skin import removers
from mothermold.view.view import open_view
from view.looks import BUILD, CLEARED, lay_out


def words(folder: Path, build: str) -> str:
    """What the page of a build says, without its marks."""
    page = document_page(open_view(lay_out(folder, build), "private"), "build", "night-watchman")
    body = re.sub(r"<(?!/?(?:a|time|span)\b)[^>]+>", " ", page.body)
    return " ".join(re.sub(r"<[^>]+>", "", body).split())


def test_a_look_shows_every_sheet_on_and_off_in_order(tmp_path: Path) -> None:
    said = words(tmp_path, BUILD + CLEARED)
    assert "On: application/face, v1; then application/nose, v1 Off:" in said
    assert "Off: removal/nose, v1; then removal/face, v1" in said


def test_a_look_without_a_removal_says_so(tmp_path: Path) -> None:
    said = words(tmp_path, BUILD.replace("    removal: [removal/nose@1, removal/face@1]\n", ""))
    assert "Off: no removal is written down." in said
    assert "Patch tests read and clear None is written down." in said


def test_a_clearance_shows_what_it_covers_and_both_days(tmp_path: Path) -> None:
    entry = (
        "cleared:\n  - {wearer: W1, application: application/face@1, products: remover-ester, "
        "lots: [{material: adhesive-silicone, lot: 20E5}], tested: 2026-03-01, on: 2026-03-03}\n"
    )
    said = words(tmp_path, BUILD + entry)
    assert (
        "W1: put on 2026-03-01, read 2026-03-03. All that touches skin in application/face, v1. Products: remover-ester."
        in said
    )
    assert "Lots tried: adhesive-silicone 20E5." in said
    assert "48 hours or more after it was put on" in said


def test_what_a_clearance_does_not_say_is_not_known(tmp_path: Path) -> None:
    said = words(tmp_path, BUILD + "cleared:\n  - {wearer: W1}\n")
    assert "when it was put on is not known, when it was read is not known. What it covers is not known." in said


def test_the_page_of_the_rules_tells_what_takes_what_off_with_its_source(tmp_path: Path) -> None:
    body = rules_page(open_view(lay_out(tmp_path), "private")).body
    for row in removers().values():
        assert row.source in body.replace("&#39;", "'")


def test_what_is_accepted_of_a_rule_stands_with_the_rules_and_of_a_habit_at_the_foot(tmp_path: Path) -> None:
    accepts = (
        "accepts:\n"
        "  - {rule: alcohol-paint-on-alcohol-film, where: application/face, because: tried in cup 4}\n"
        "  - {rule: mix-unused, where: cast/cheek, because: kept for the lips}\n"
    )
    said = words(tmp_path, BUILD + accepts)
    assert "alcohol-paint-on-alcohol-film at application/face, because tried in cup 4" in said
    assert "accepts 1" not in said
    assert re.search(r"accepts 2 +rule mix-unused where cast/cheek because kept for the lips", said)
