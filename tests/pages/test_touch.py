"""May this touch that: the page answers what `check` would say, and never that silence is a yes."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import product
from pathlib import Path

import pytest
from playwright.sync_api import expect

from browser import Watched, breaches, too_wide
from campaigns.seeds import short
from mothermold.model.build import Build
from mothermold.model.material import Material
from mothermold.model.recipe import Recipe
from mothermold.pages.all_pages import page_at
from mothermold.pages.touch import SAID
from mothermold.trade.pairs import VERDICTS, meetings
from mothermold.trade.rules import rules
from mothermold.view.editions import EDITIONS, Edition
from mothermold.view.view import View, open_view
from view.own_rule import lay_out

CELL = re.compile(r'<td>(?:<a class="([a-z-]+)" href="#(m-\d+)" aria-label="([a-z ]+)">(.)</a>)?</td>')


def body_of(view: View) -> str:
    page = page_at(view, "touch.html")
    assert page is not None
    return page.body


def reasons(body: str) -> dict[tuple[str, str], str]:
    """By pair of families, the reason the table leads to."""
    head, rows = body.partition("<tbody>")[::2]
    columns = re.findall(r'<th scope="col" data-family="([a-z-]+)"', head)
    articles = dict(re.findall(r'<article id="(m-\d+)"(.*?)</article>', body, re.S))
    found = {}
    for family, cells in re.findall(r'<tr><th scope="row" data-family="([a-z-]+)">.*?</th>(.*?)</tr>', rows, re.S):
        told = CELL.findall(cells)
        assert len(told) == len(columns)
        for column, (style, place, verdict, _sign) in zip(columns, told, strict=True):
            if place:
                assert style == verdict.replace(" ", "-")
                found[family, column] = f'data-verdict="{verdict}" {articles[place]}'
    return found


@pytest.mark.parametrize("edition", EDITIONS)
def test_the_table_says_of_every_meeting_what_the_pairs_say(
    sample_view: Callable[[Edition], View], edition: Edition
) -> None:
    told = reasons(body_of(sample_view(edition)))
    assert told.keys() == {pair for each in meetings() for pair in each.pairs}
    for each in meetings():
        for pair in each.pairs:
            named = set(re.findall(r"rules\.html#([a-z-]+)", told[pair]))
            assert named == set(each.rules), pair
            assert f'data-verdict="{each.verdict}"' in told[pair]
            assert ("Fine: " in told[pair], "Not known: " in told[pair]) == (bool(each.fine), bool(each.not_known))


def test_what_check_finds_where_two_things_meet_is_what_the_page_answers(view: View) -> None:
    told, seen = reasons(body_of(view)), 0
    findings = [
        *(each for name, recipe in view.models(Recipe).items() for each in view.ruling.of_recipe(name, recipe)),
        *(each for name in view.models(Build) for link in view.ruling.build(name) for each in link.findings),
    ]
    for each in findings:
        met = each.rule.met
        if met is None or met.worn or met.near or not each.meets or each.rule.id not in rules():
            continue
        used, lies = (view.ruling.materials[name].families if name in view.ruling.materials else (name,) for name in (each.used, each.meets))  # fmt: skip
        answers = [told[pair] for pair in product(map(str, used), map(str, lies)) if pair in told]
        assert any(f"rules.html#{each.rule.id}" in answer for answer in answers), each
        seen += 1
    assert seen > 20


def test_a_verdict_is_that_of_the_worst_rule_and_not_known_is_worse_than_fine() -> None:
    assert VERDICTS.index("not known") < VERDICTS.index("fine")
    assert set(VERDICTS) == set(SAID)
    for each in meetings():
        told = [rules()[name] for name in each.rules]
        if any(rule.severe for rule in told):
            assert each.verdict == "never"
        elif told:
            assert VERDICTS.index(each.verdict) == min(VERDICTS.index(rule.weighs) for rule in told)
        else:
            assert each.verdict == ("not known" if each.not_known else "fine")


def test_a_book_adds_its_own_rules_and_its_tests(tmp_path: Path, view: View) -> None:
    own = open_view(lay_out(tmp_path / "book"), "private")
    assert own.ruling.own
    body = body_of(own)
    for each in own.ruling.own.values():
        assert f'data-verdict="{each.weighs}"' in body.partition("touch-own")[2]
    tried = body_of(view).partition("Tried in this book")[2]
    for test in view.ruling.tests:
        assert f"runs/{test.run}.html" in tried


def test_a_material_leads_to_what_it_may_touch(view: View) -> None:
    page = page_at(view, "materials/isopropanol-99.html")
    assert page is not None
    assert 'href="../touch.html#use=material/isopropanol-99"' in page.body
    # Without scripts its kind's row stands there.
    (row,) = re.findall(r'<th scope="row" data-family="alcohol">(.*?)</th>', body_of(view))
    assert '<span id="use=material/isopropanol-99"></span>' in row
    assert all(f'id="use=material/{name}"' in body_of(view) for name in view.models(Material))


def test_the_rules_page_leads_there_and_every_rule_it_names_stands_on_it(view: View) -> None:
    index = page_at(view, "rules.html")
    assert index is not None
    assert 'href="./touch.html"' in index.body
    rows = dict(re.findall(r'<tr id="([a-z-]+)">(.*?)</tr>', index.body, re.S))
    for each in rules().values():
        spoken = [number for number, row in enumerate(meetings(), start=1) if each.id in row.rules]
        assert [f"m-{number}" for number in spoken] == re.findall(r"touch\.html#(m-\d+)", rows[each.id])
    for name in set(re.findall(r"rules\.html#([a-z-]+)", body_of(view))):
        assert f'id="{name}"' in index.body


# In a browser


def choose(page: Watched, use: str, on: str) -> str:
    form = page.page.locator("form.touch")
    form.locator("[name=use]").select_option(use)
    form.locator("[name=on]").select_option(on)
    return page.page.locator(".touch-said").inner_text()


def test_two_choices_give_one_answer_that_stands_in_the_address(forgetful: Watched) -> None:
    page = forgetful.page
    forgetful.open("touch.html")
    expect(page.locator(".touch-answer")).to_be_hidden()
    assert choose(forgetful, "gypsum-cement", "skin") == SAID["never"]
    expect(page.locator(".touch-why")).to_contain_text("Stone or plaster on the body")
    assert choose(forgetful, "platinum-silicone", "tin-silicone") == SAID["stops the job"]
    expect(page.locator(".touch-why")).to_contain_text("Instead:")
    forgetful.open("index.html")
    page.go_back()
    expect(page.locator(".touch-said")).to_have_text(SAID["stops the job"])
    assert page.url.endswith("#use=platinum-silicone&on=tin-silicone")
    assert forgetful.told() == []


def test_silence_is_no_all_clear(forgetful: Watched) -> None:
    page = forgetful.page
    forgetful.open("touch.html")
    known = {pair for each in meetings() for pair in each.pairs}
    used = "platinum-silicone"
    values = page.locator("select[name=on] optgroup:last-child option").evaluate_all("(all) => all.map((e) => e.value)")
    silent = [met for met in values if (used, met) not in known]
    assert silent
    for met in silent:
        assert choose(forgetful, used, met) == SAID["not known"]
    doubt = next(pair for each in meetings() if each.not_known for pair in each.pairs)
    assert choose(forgetful, *doubt) == SAID["not known"]


def test_a_sign_of_the_table_gives_its_reason_and_a_material_answers_for_its_kinds_and_its_tests(
    forgetful: Watched, view: View
) -> None:
    page = forgetful.page
    forgetful.open("touch.html")
    page.locator("table.touching a.never").first.click()
    expect(page.locator(".touch-said")).to_have_text(SAID["never"])
    expect(page.locator(".touch-answer")).to_be_focused()
    test = next(each for each in reversed(view.ruling.tests) if len(each.between) == 2)
    one, other = sorted(test.between)
    choose(forgetful, f"material/{one}", f"material/{other}")
    expect(page.locator(".touch-why li").first).to_have_attribute("data-passed", "yes" if test.passed else "no")
    choose(forgetful, f"material/{other}", f"material/{one}")
    expect(page.locator(".touch-why li")).not_to_have_count(0)


@pytest.mark.parametrize(("width", "theme"), short([(320, "light"), (1280, "dark")], 1))
def test_it_reads_well(forgetful: Watched, width: int, theme: str) -> None:
    page = forgetful.page
    page.set_viewport_size({"width": width, "height": 900})
    page.emulate_media(color_scheme=theme)  # type: ignore[arg-type]
    forgetful.open("touch.html#use=platinum-silicone&on=gypsum-cement")
    expect(page.locator(".touch-said")).to_be_visible()
    assert breaches(page) == []
    assert too_wide(page) == []
