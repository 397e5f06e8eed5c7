"""What runs say of failures, on the pages: verdicts with their cautions, the chart, where it begins, what keeps going wrong."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from browser import breaches, too_wide, watched
from campaigns.seeds import short
from mothermold.answers.evidence import CAUTIONS
from mothermold.answers.troubles import troubles
from mothermold.pages.compare import comparison
from mothermold.pages.documents import document_page
from mothermold.pages.hubs import home, hub
from mothermold.pages.recipes import version_page
from mothermold.view.editions import Edition
from mothermold.view.view import View


def words(body: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", body).split())


@pytest.mark.parametrize(
    ("failure", "verdict", "told"),
    [
        ("stiff-rim-at-the-jaw", "fix held", "6 of 7 before (2 molds), none of 3 since (1 mold)."),
        ("rings-in-the-wash", "worse since", "1 of 4 before, 4 of 4 since."),
        (
            "glue-shines-at-the-edge",
            "no better so far",
            "2 of 2 before, 2 of 5 since; 9 more clean runs would settle it.",
        ),
        (
            "cracked-mold",
            "fix likely holds",
            "1 of 2 before (1 mold), none of 8 since (2 molds); 30 more clean runs would settle it.",
        ),
    ],
)
def test_a_note_says_whether_its_fix_held_and_what_to_beware_of(
    view: View, failure: str, verdict: str, told: str
) -> None:
    page = words(document_page(view, "failure", failure).body)
    assert verdict in page
    assert told in page
    assert all(caution in page for caution in CAUTIONS)
    assert page.index("Do this now") < page.index(told)


def test_castings_after_the_day_of_a_mold_fix_out_of_the_old_mold_count_as_before_and_the_chart_shows_it(
    view: View,
) -> None:
    body = document_page(view, "failure", "stiff-rim-at-the-jaw").body
    assert body.count('class="failed" cx') == 6
    assert body.count('class="clean" cx') == 4
    (strips,) = re.findall(r'<svg class="dots".*?</svg>', body, re.DOTALL)
    # Castings by version above, by the mold behind them below.
    assert re.findall(r'class="band"[^>]*>(v\d)<', strips) == ["v1", "v3", "v4", "v1", "v2", "v3"]


def test_where_a_failure_begins_stands_with_what_changed_there(view: View) -> None:
    page = words(document_page(view, "failure", "thin-bands-over-scraped").body)
    assert "has it; 1 run up to v1 did not, and one clean run is no proof." in page
    assert "Try the plate with a spot of gel added" in page


def test_much_like_it_leads_to_other_notes_and_never_to_itself(view: View) -> None:
    body = document_page(view, "failure", "cracked-mold").body
    near = body[body.index("Notes like it") :]
    assert "resin-welded-shut.html" in near
    assert "cracked-mold.html" not in near


def test_a_watch_out_says_how_often_it_happened_at_this_version(view: View) -> None:
    pages = {number: words(page.body) for number in (3, 4) if (page := version_page(view, "cast/face-piece", number))}
    told = "Stiff rim at the jaw where the edge should be film (4 of 7 runs; answered in face mold v3)"
    assert told in pages[4]
    assert "(1 of 1 run; answered in face mold v3)" in pages[3]


def test_a_difference_carries_the_record_of_the_fix_it_brings(view: View) -> None:
    page = comparison(view, "mold/face-mold")
    assert page is not None
    pair = page.body[page.body.index('id="v2-v3"') :]
    told = words(pair)
    assert (
        "Stiff rim at the jaw where the edge should be film : 6 of 7 before (2 molds), none of 3 since (1 mold)."
        in told
    )
    assert CAUTIONS[0] in told
    earlier = page.body[page.body.index('id="v1-v2"') : page.body.index('id="v1-v3"')]
    assert "6 of 7" not in earlier
    assert "1 of 2 before (1 mold), none of 8 since (2 molds)" in earlier


def test_what_keeps_going_wrong_has_open_problems_first_and_then_fixes_that_did_not_hold(view: View) -> None:
    listed = troubles(view)
    ranks = [0 if each.answer == "open" else 1 if each.answer in ("worse", "no better") else 2 for each in listed]
    assert ranks == sorted(ranks)
    assert {each.name for each in listed if each.did_not_hold} == {"rings-in-the-wash", "glue-shines-at-the-edge"}
    by_name = {each.name: place for place, each in enumerate(listed)}
    # Five times before four times; both had a fix that did not hold.
    assert by_name["rings-in-the-wash"] < by_name["glue-shines-at-the-edge"] < by_name["cracked-mold"]
    for page in (home(view), hub(view, "failure")):
        part = page.body[page.body.index("What keeps going wrong") :]
        assert "failures/stiff-rim-at-the-jaw.html" not in part.partition("</ul>")[0], (
            "a fix that held goes wrong no more"
        )
        places = [
            part.index(f"failures/{each.name}.html") for each in listed if each.answer == "open" or each.did_not_hold
        ]
        assert places == sorted(places)


def test_harm_is_the_worst_of_the_note_and_its_runs(view: View) -> None:
    by_name = {each.name: each for each in troubles(view)}
    assert by_name["cracked-mold"].harm == "mold lost"
    assert by_name["cracked-mold"].times == 1


def test_an_edition_counts_only_the_runs_it_holds(sample_view: Callable[[Edition], View], view: View) -> None:
    public = sample_view("public")
    ours, theirs = (each.evidence.runs_of("skin-red-next-morning") for each in (view, public))
    assert {run.id for run, _failed in theirs} <= {run.id for run, _failed in ours}
    assert all(run.id in public.documents.on("run") for run, _failed in theirs)
    # A verdict says on what it rests.
    rests = "Counted over the runs this edition holds."
    assert rests in words(document_page(public, "failure", "cracked-mold").body)
    assert rests not in words(document_page(view, "failure", "cracked-mold").body)


@pytest.mark.parametrize(("width", "theme"), short([(390, "light"), (1280, "dark"), (390, "dark"), (1280, "light")], 1))
def test_a_note_with_chart_and_working_fits_and_can_be_reached_by_everybody(
    chromium: Browser, sample_site: Path, theme: str, width: int
) -> None:
    how = {"viewport": {"width": width, "height": 800}, "color_scheme": theme}
    with watched(chromium, f"{sample_site.as_uri()}/", bypass_csp=True, **how) as seen:
        assert seen.open("failures/stiff-rim-at-the-jaw.html") == []
        seen.page.get_by_text("Show the working").click()
        assert "0.033, for fewer since" in seen.page.locator(".fixes details.working").inner_text()
        seen.page.get_by_text("By room, mold, lot and hands").click()
        assert "21 to 25 °C" in seen.page.locator("details.working").last.inner_text()
        assert too_wide(seen.page) == []
        assert breaches(seen.page) == []
