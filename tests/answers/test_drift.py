"""Swatches are compared with the approved color under its light alone; what else differs, and what is not known, is said."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from answers.stocked import BUILD, lay_out, run
from mothermold.answers.drift import drifted
from mothermold.cli.main import main
from mothermold.pages.documents import document_page
from mothermold.view.view import open_view

TARGET = "targets: [{zone: cheeks, date: 2026-04-01, light: daylight, L: 70, a: 9, b: 15}]"
LIKE = "thick: 3 mm, backing: white, age: 24 h"


def book(folder: Path, *swatches: str, target: str = TARGET) -> Path:
    build = BUILD.replace("spares: 1}", f"spares: 1, {target}}}" if target else "spares: 1}")
    root = lay_out(folder, build=build)
    for number, swatch in enumerate(swatches, 1):
        run(root, f"r-{number}", f"2026-04-{number:02}", f"outcome: good\nswatch: {{{swatch}}}")
    return root


def rows(root: Path, zone: str | None = None) -> list[dict[str, Any]]:
    return list(drifted(open_view(root, "private"), "mask", zone)["runs"])


def test_a_swatch_under_the_approved_light_has_its_distance(tmp_path: Path) -> None:
    same, off = rows(
        book(
            tmp_path,
            f"match: same, light: daylight, L: 70, a: 9, b: 15, {LIKE}",
            f"light: Daylight, L: 71, a: 9, b: 15, {LIKE}",
        )
    )
    assert (same["delta_e00"], same["match"], same["doubts"]) == (0, "same", [])
    # One step of L* about 70 weighs 1 / 1.25 (S_L of the formula, worked out by hand: 1 + 0.015 * 20.5**2 / sqrt(20 + 20.5**2)).
    assert off["delta_e00"] == pytest.approx(1 / (1 + 0.015 * 20.5**2 / (20 + 20.5**2) ** 0.5), abs=1e-6)


def test_another_light_is_not_compared_and_says_so(tmp_path: Path) -> None:
    (row,) = rows(book(tmp_path, f"match: same, light: tungsten, L: 70, a: 9, b: 15, {LIKE}"))
    assert (row["delta_e00"], row["why"]) == (None, "read under tungsten, the approved one under daylight")


def test_another_thickness_backing_or_age_is_compared_and_told(tmp_path: Path) -> None:
    _first, other, bare = rows(
        book(
            tmp_path,
            f"match: same, light: daylight, L: 70, a: 9, b: 15, {LIKE}",
            "light: daylight, L: 70, a: 9, b: 15, thick: 4 mm, backing: black, age: 8 d",
            "L: 70, a: 9, b: 15",
        )
    )
    assert (other["delta_e00"], other["doubts"]) == (
        0,
        ["4 mm thick, not 3 mm", "backing black, not white", "192 h old, not 24 h"],
    )
    assert bare["doubts"] == [
        "the light of one is not written", "its thickness is not written", "its backing is not written", "its age is not written",
    ]  # fmt: skip


def test_a_swatch_by_eye_alone_stands_beside_the_others(tmp_path: Path) -> None:
    (row,) = rows(book(tmp_path, "match: a shade paler, light: daylight"))
    assert (row["delta_e00"], row["match"], row["why"]) == (None, "a shade paler", "judged by eye only")


def test_without_a_target_the_first_swatch_found_the_same_is_the_approved_one(tmp_path: Path) -> None:
    redder, first, later = rows(
        book(
            tmp_path,
            f"match: redder, light: daylight, L: 68, a: 13, b: 16, {LIKE}",
            f"match: same, light: daylight, L: 70, a: 9, b: 15, {LIKE}",
            f"match: same, light: daylight, L: 70, a: 9, b: 15, {LIKE}",
            target="",
        )
    )
    assert (redder["is_approved"], first["is_approved"], later["is_approved"]) == (False, True, False)
    assert redder["delta_e00"] > 1
    assert (first["delta_e00"], later["delta_e00"]) == (0, 0)


def test_where_nothing_is_approved_nothing_is_compared(tmp_path: Path) -> None:
    root = book(tmp_path, f"match: redder, light: daylight, L: 68, a: 13, b: 16, {LIKE}", target="")
    data = drifted(open_view(root, "private"), "mask")
    assert (data["runs"][0]["delta_e00"], data["runs"][0]["why"]) == (None, "nothing is approved yet")
    assert data["said"][0].startswith("Nothing is approved with figures")


def test_of_several_zones_the_first_is_taken_and_another_can_be_asked_for(tmp_path: Path) -> None:
    target = TARGET.replace("]", ", {zone: nose, light: daylight, L: 66, a: 12, b: 15}]")
    root = book(tmp_path, f"light: daylight, L: 66, a: 12, b: 15, {LIKE}", target=target)
    data = drifted(open_view(root, "private"), "mask")
    assert "2 zones (cheeks, nose)" in data["said"][0]
    assert data["runs"][0]["delta_e00"] > 1
    assert rows(root, "nose")[0]["delta_e00"] == 0


def test_the_command_answers_in_the_promised_shape_and_names_no_limit(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    root = book(tmp_path, f"match: same, light: daylight, L: 70, a: 9, b: 15, {LIKE}")
    assert main(["-C", str(root), "drift", "mask", "--format", "json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert (list(told)[:2], list(told["runs"][0])[:2]) == (["build", "runs"], ["run", "delta_e00"])
    assert main(["-C", str(root), "drift", "mask"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "no number here is a limit" in said
    assert "0.59 for light and 1.75 for dark skin" in said
    assert "2026-04-01 0.0 mask by eye: same" in said
    assert main(["-C", str(root), "drift", "mask", "--zone", "chin"]) == 1
    assert main(["-C", str(root), "drift", "masks"]) == 1
    assert "Did you mean `mask`?" in capsys.readouterr().err


def test_a_build_without_a_swatch_says_how_to_write_one(tmp_path: Path) -> None:
    data = drifted(open_view(book(tmp_path), "private"), "mask")
    assert data["runs"] == []
    assert data["said"][0].startswith("No run has a swatch yet")


def test_the_page_draws_the_swatches_and_lists_them_for_who_reads(tmp_path: Path) -> None:
    root = book(
        tmp_path,
        f"match: same, light: daylight, L: 70, a: 9, b: 15, {LIKE}",
        f"match: redder, light: daylight, L: 68, a: 13, b: 16, {LIKE}",
        "match: same by the lamp, light: tungsten",
    )
    body = document_page(open_view(root, "private"), "build", "mask").body
    assert body.count('<circle class="mark"') == 2
    said = " ".join(re.sub(r"<[^>]+>", " ", body).split())
    assert "Does the color keep?" in said
    assert "Daylight" in said
    assert re.search(r"2026-04-02 mask, [0-9]\.[0-9] away; by eye: redder", said)
    assert "2026-04-03 mask, by eye: same by the lamp; judged by eye only" in said
