"""The box in the header and the fix finder: the order of the command, from a folder, with the search in the address."""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from playwright.sync_api import Browser, expect

from browser import Watched, breaches, too_small, too_wide, watched
from campaigns.seeds import short
from mothermold.answers.findable import Findable, findable
from mothermold.cli.main import main
from mothermold.find.ranking import search
from mothermold.find.stems import tokens
from mothermold.view.view import View

QUERIES = Path(__file__).parents[1] / "data" / "find"
ODD = [
    "", "   ", "the", "on off", "Crème brûlée", "ÜBERGRÖSSE", "won't come apart", "two-part", "60 %", "½ ²", "~3", "*", "молд",
    "ﬁlm", "οδος", "ΟΔΟΣ", "µm", "ſtuck", "polysty", "constructor", "__proto__", "toString", "a", "sp", "silcione", "aligante", "mouldd", "resin welded to mold", "x" * 60,
    "hairlace", "hair lace", "edgeline", "pin hole", "F-04", "f 04", "RF-01 F-07", "his", "it froze", "stuk", "gypsum water", "pot life", "urethane on damp stone",
    "20E5", "22b7", "zeppelin broke", "under cut", "plate mold", "overscraped", "not not", "dried", "a-1-b", "x_f-04", "underbaked", "breaker blurry", "car mold", "car", "vulcanised modelling", "gooey silicone busted", "corset zipper", "lunch weld",
]  # fmt: skip


@pytest.fixture(scope="module")
def book(view: View) -> Findable:
    return findable(view)


@pytest.fixture
def home(chromium: Browser, sample_site: Path) -> Iterator[Watched]:
    with watched(chromium, f"{sample_site.as_uri()}/", viewport={"width": 390, "height": 800}) as seen:
        yield seen


def asked(book: Findable) -> list[str]:
    """Golden and odd queries, and made ones: words of the texts, cut short, with a slip, in the wrong order."""
    golden = [
        each["query"] for path in sorted(QUERIES.glob("*.yaml")) for each in yaml.safe_load(path.read_text("utf-8"))
    ]
    some = random.Random(7)
    words = sorted(
        {word for entry in book.index.entries for word in tokens(f"{entry.title} {entry.said} {entry.text}")}
    )
    made = []
    for _ in range(250):
        chosen = some.sample(words, some.randint(1, 4))
        changed = []
        for word in chosen:
            place = some.randrange(len(word))
            changed.append(
                some.choice(
                    [word, word[: place + 1], word[:place] + word[place + 1 :], word[:place] + "q" + word[place:]]
                )
            )
        made.append(" ".join(changed))
    return [*golden, *ODD, *made]


def leading(results: list[dict[str, Any]], most: int = 30) -> list[dict[str, Any]]:
    """The first so many, the last of them given to the best of each kind that would be left out."""
    kinds = {each["kind"] for each in results[:most]}
    others = {each["kind"]: each for each in reversed(results[most:]) if each["kind"] not in kinds}
    return results[: most - len(others)] + sorted(others.values(), key=results.index)


def test_the_script_ranks_as_the_command_does(home: Watched, book: Findable) -> None:
    assert home.open("index.html") == []
    queries = asked(book)
    theirs = home.page.evaluate(
        """async (queries) => {
          const finder = window.mothermoldFinder;
          await new Promise((then) => finder.withLines("./", then));
          return queries.map((query) => {
            const answer = finder.search(query);
            return [answer.unknown, answer.hits.map((hit, place) => [
              finder.entries[hit.place][3], finder.entries[hit.place][2], hit.score, place < 6 ? finder.line(answer.terms, hit.place) : ""])];
          });
        }""",
        queries,
    )
    for query, found in zip(queries, theirs, strict=True):
        answer = search(query, book.index)
        ours = [
            [hit.entry.id, hit.entry.kind, hit.score, answer.line(hit.entry) if place < 6 else ""]
            for place, hit in enumerate(answer.hits)
        ]
        assert found == [answer.unknown, ours], query
    assert sum(bool(found) for _unknown, found in theirs) > 300
    assert sum(bool(unknown) for unknown, _found in theirs) > 10


def test_rules_sums_and_labels_are_found_with_where_they_stand(home: Watched, book: Findable) -> None:
    for query, kind, page in (
        ("urethane on damp stone", "rule", "rules.html#urethane-on-damp-stone"),
        ("gypsum water", "sum", "sums.html#gypsum"),
        ("pot life", "sum", "sums.html#pot-life"),
        ("may touch", "sum", "touch.html#may-touch"),
        ("F-04", "piece", "runs/r-2026-05-27-face-5.html"),
        ("22B7", "lot", "materials/deadener.html"),
    ):
        assert home.open(f"find.html#q={query.replace(' ', '+')}") == []
        item = home.page.locator(".hits > li", has_text=f"{kind}").locator(f"a[href$='{page}']")
        assert item.count() == 1, query
        assert home.page.goto(f"{home.home}{page}") is not None
        if "#" in page:
            assert home.page.locator(f"[id='{page.partition('#')[2]}']").count() == 1


def test_a_run_in_a_list_says_by_which_of_its_lines_it_was_found(home: Watched) -> None:
    assert home.open("find.html#q=22B7") == []
    run = home.page.locator(".hits > li", has=home.page.locator("a[href*='runs/']")).first
    expect(run.locator(".by-line")).to_have_text("deadener, 22B7")


def test_words_found_nowhere_are_said_beside_weak_answers(home: Watched) -> None:
    assert home.open("find.html#q=zeppelin+mold") == []
    assert home.page.locator(".count").inner_text().startswith("Nothing in the book says: zeppelin. ")
    assert home.page.locator(".hits > li").count() > 3
    home.page.get_by_label("Find", exact=True).fill("zeppelin mold")
    assert home.page.locator("#nothing").inner_text() == "Nothing in the book says: zeppelin."


def test_the_box_leaves_no_kind_out_that_answers(home: Watched) -> None:
    assert home.open("recipes.html") == []
    home.page.get_by_label("Find", exact=True).fill("gypsum water")
    kinds = set(home.page.locator("#found li .quiet").all_inner_texts())
    assert {"failure", "recipe", "rule", "sum"} <= kinds
    assert home.page.locator("#found li").count() == 13


def test_the_finder_lists_what_the_command_lists_and_what_to_do_now_is_open(
    home: Watched, sample_book: Path, asked_at_once: None, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["-C", str(sample_book), "find", "wont", "come", "apart", "--format", "json"]) == 0
    results = json.loads(capsys.readouterr().out)["results"]
    assert home.open("find.html") == []
    home.page.get_by_label("What is wrong?").fill("wont come apart")
    titles = home.page.locator(".hits > li > a").all_inner_texts()
    assert titles == [each["title"] for each in leading(results)]
    assert results[0]["kind"] == "failure"
    first = home.page.locator(".hits > li").first
    assert first.locator("details[open] ol li").all_inner_texts() == results[0]["now"]
    assert results[0]["do_not"]
    assert first.locator("details[open] .not li").all_inner_texts() == results[0]["do_not"]
    assert home.told() == []


def test_a_search_stands_in_the_address_and_comes_back_with_it(home: Watched, sample_site: Path) -> None:
    assert home.open("find.html") == []
    home.page.get_by_label("What is wrong?").fill("mold cracked")
    home.page.get_by_text("Narrow it down").click()
    home.page.get_by_label("Stage").select_option("cast")
    home.page.get_by_label("Worst harm").select_option("mold lost")
    address = home.page.url
    assert "q=mold+cracked" in address
    assert "stage=cast" in address
    titles = home.page.locator(".hits > li > a").all_inner_texts()
    assert titles[0] == "Mold cracked while being opened"
    home.page.locator(".hits > li > a").first.click()
    assert home.page.locator("h1").inner_text() == "Mold cracked while being opened"
    home.page.go_back()
    assert home.page.get_by_label("What is wrong?").input_value() == "mold cracked"
    assert home.page.locator(".hits > li > a").all_inner_texts() == titles
    assert home.told() == []


def test_the_sides_narrow_as_the_command_does(
    home: Watched, sample_book: Path, asked_at_once: None, capsys: pytest.CaptureFixture[str]
) -> None:
    assert home.open("find.html") == []
    home.page.get_by_label("What is wrong?").fill("nose")
    home.page.get_by_text("Narrow it down").click()
    for option, label, value in (
        ("--stage", "Stage", "cast"),
        ("--family", "Material", "alginate"),
        ("--answer", "Did the fix hold?", "open"),
    ):
        assert main(["-C", str(sample_book), "find", "nose", option, value, "--format", "json"]) == 0
        titles = [each["title"] for each in leading(json.loads(capsys.readouterr().out)["results"])]
        home.page.get_by_label(label).select_option(value)
        assert titles
        assert home.page.locator(".hits > li > a").all_inner_texts() == titles
        home.page.get_by_label(label).select_option("")


def test_with_nothing_typed_a_side_lists_failures_the_most_pressing_first(home: Watched) -> None:
    assert home.open("find.html#answer=open") == []
    titles = home.page.locator(".hits > li > a").all_inner_texts()
    tags = home.page.locator(".hits > li > .tag").all_inner_texts()
    assert len(titles) >= 2
    assert set(tags) == {"no fix yet"}
    assert home.page.locator(".hits > li .now[open]").count() == 0


def test_nothing_found_is_said_and_an_unknown_side_in_the_address_counts_as_any(home: Watched) -> None:
    assert home.open("find.html#q=zeppelin&stage=moon") == []
    told = "Nothing in the book says: zeppelin. Nothing found. Try other words, or fewer."
    assert home.page.locator(".count").inner_text() == told
    assert home.page.get_by_label("Stage").input_value() == ""


def test_what_is_found_and_narrowed_away_is_said_and_a_link_within_the_page_is_no_search(home: Watched) -> None:
    assert home.open("find.html#q=mold+cracked&stage=removal&harm=somebody+hurt") == []
    assert "none with what is chosen below" in home.page.locator(".count").inner_text()
    home.page.evaluate("window.location.hash = '#content'")
    assert home.page.get_by_label("What is wrong?").input_value() == "mold cracked"


def test_on_a_phone_the_answer_stands_above_what_narrows_it_down(home: Watched) -> None:
    assert home.open("find.html") == []
    home.page.get_by_label("What is wrong?").fill("mold cracked")
    expect(home.page.locator(".hits > li").first).to_be_visible()
    # In one question: the list is made anew once the rules and sums have been fetched.
    assert home.page.evaluate("document.querySelector('.hits > li').getBoundingClientRect().top") < 600
    assert not home.page.get_by_label("Stage").is_visible()


@pytest.mark.parametrize(("width", "theme"), short([(390, "light"), (1280, "dark"), (390, "dark"), (1280, "light")], 1))
def test_the_finder_fits_and_can_be_reached_by_everybody(
    chromium: Browser, sample_site: Path, theme: str, width: int
) -> None:
    how = {"viewport": {"width": width, "height": 800}, "color_scheme": theme}
    with watched(chromium, f"{sample_site.as_uri()}/", bypass_csp=True, **how) as seen:
        assert seen.open("find.html#q=resin") == []
        assert too_wide(seen.page) == []
        assert breaches(seen.page) == []
        if width == 390:
            assert too_small(seen.page, ".finder input, .finder select, .hits summary", 40) == []


def test_without_scripts_every_note_stands_there(chromium: Browser, sample_site: Path, book: Findable) -> None:
    with watched(chromium, f"{sample_site.as_uri()}/", java_script_enabled=False) as seen:
        seen.page.goto(f"{seen.home}find.html")
        failures = [entry for entry in book.index.entries if entry.kind == "failure"]
        assert seen.page.locator("section.all li a").count() == len(failures)
        assert not seen.page.locator(".finder").is_visible()


def test_the_box_in_the_header_says_what_to_do_first(home: Watched, book: Findable) -> None:
    assert home.open("recipes.html") == []
    home.page.get_by_label("Find", exact=True).fill("ran out of silicone")
    (hit, *_) = search("ran out of silicone", book.index).hits
    first = home.page.locator("#found li").first
    assert hit.entry.title in first.inner_text()
    assert first.locator(".now").inner_text() == book.sides_of(hit.entry).now[0]
    # What was typed goes along into the fix finder, where the rest is.
    home.page.get_by_label("Find", exact=True).fill("silicone")
    assert home.page.locator("#found li").last.inner_text().endswith("in the fix finder")
    home.page.locator("#found li").last.click()
    expect(home.page.get_by_label("What is wrong?")).to_have_value("silicone")
