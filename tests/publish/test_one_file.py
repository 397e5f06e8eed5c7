"""The book as one file: opened from a folder with the network cut it does all the site does at the bench, and asks nothing."""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from browser import THEMES, Theme, Watched, breaches, too_wide, watched
from campaigns.seeds import seeds, thinned
from history.repositories import FIRST, empty_book, recipe, start_repository
from history.repositories import RECIPE as RECIPE_FILE
from mothermold.cli.main import main
from mothermold.ground.errors import RefusedError
from mothermold.pages.addresses import Links
from mothermold.pages.prose import line
from mothermold.publish.carried.links import CarriedLinks
from mothermold.publish.carried.one_file import MARK, one_file
from mothermold.publish.carried.placing import build_one_file
from mothermold.view.editions import EDITIONS
from mothermold.view.view import View, open_view
from pages.test_hostile_prose import Read, hostile_book
from publish.test_site_editions import HIDDEN
from view.books import make_book
from view.reading import open_editions

RECIPE = "#recipe/cast/face-piece"
BENCH = "#bench/cast/face-piece@4"


@pytest.fixture(scope="module")
def carried(view: View, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("phone")
    build_one_file(view, (), folder)
    return folder / "private.html"


@pytest.fixture(scope="module")
def small(view: View, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One recipe alone, for what looks at every element there is."""
    path = tmp_path_factory.mktemp("small") / "one.html"
    build_one_file(view, ["cast/face-piece"], path)
    return path


@pytest.fixture
def phone(chromium: Browser, carried: Path) -> Iterator[Watched]:
    with watched(chromium, carried.as_uri(), viewport={"width": 390, "height": 844}, accept_downloads=True) as seen:
        yield seen
        assert seen.told() == []


def heading(seen: Watched) -> str:
    shown = seen.page.locator("main h1:visible")
    assert shown.count() == 1
    return shown.inner_text()


def test_the_list_leads_to_a_recipe_and_its_bench_view_and_going_back_works(phone: Watched) -> None:
    assert phone.open("") == []
    assert heading(phone) == "What do you want to make?"
    phone.page.locator(f"#recipes a[href='{RECIPE}']").click()
    title = heading(phone)
    assert phone.page.title().startswith(f"{title} · ")
    assert phone.page.evaluate("document.activeElement.tagName") == "H1"
    phone.page.locator(f"article:visible a[href='{BENCH}']").click()
    expect(phone.page.get_by_role("button", name="Begin", exact=True)).to_be_visible()
    assert heading(phone) == "At the bench"
    assert phone.page.locator("body.at-bench").count() == 1
    # A browser tells its page of an address changed only after it has gone there.
    there = phone.page.locator("main h1:visible")
    phone.page.go_back()
    expect(there).to_have_text(title)
    expect(phone.page.locator("body.at-bench")).to_have_count(0)
    phone.page.go_back()
    expect(there).to_have_text("What do you want to make?")
    phone.page.go_forward()
    expect(there).to_have_text(title)


def test_a_place_within_a_recipe_is_found_and_the_skip_link_leaves_the_view(phone: Watched) -> None:
    assert phone.open(f"{RECIPE}:mixes") == []
    title = heading(phone)
    assert phone.page.evaluate("window.scrollY") > 100
    picture = phone.page.locator("article:visible figure img").first
    picture.scroll_into_view_if_needed()
    phone.page.wait_for_function("(image) => image.naturalWidth > 0", arg=picture.element_handle())
    phone.page.evaluate("window.location.hash = '#content'")
    assert heading(phone) == title
    phone.page.evaluate("window.location.hash = '#recipe/cast/no-such'")
    expect(phone.page.locator("#recipes")).to_be_visible()


def test_each_recipe_s_calculator_reckons_with_its_own_numbers(phone: Watched) -> None:
    phone.open("")
    said = []
    for place in (RECIPE, "#recipe/mold/face-mold"):
        phone.page.evaluate("(place) => { window.location.hash = place; }", place)
        phone.page.locator("details.another:visible > summary").first.click()
        form = phone.page.locator("form.calculator:visible").first
        form.get_by_label("How much?").fill("240 ml")
        form.get_by_role("button", name="Work it out").click()
        said.append(form.locator("table").inner_text())
    assert said[0] != said[1]
    assert all(re.search(r"\d g", each) for each in said)
    assert (
        phone.page.locator(f"[id='{RECIPE[1:]}'] .reckons").count()
        == phone.page.locator(f"[id='{RECIPE[1:]}'] form.calculator").count()
    )


def test_a_recipe_is_worked_to_the_download_over_a_reload_and_a_look_at_its_page(phone: Watched) -> None:
    page = phone.page
    phone.open(BENCH)
    page.locator("[name=room]").fill("21")
    page.get_by_role("button", name="Begin", exact=True).click()
    page.locator("[data-do=next]").click()
    page.locator("[data-do=wrong]").click()
    page.locator(".pick").first.click()
    expect(page.locator("dialog .rescue")).to_be_visible()
    assert page.locator("dialog a").count() == 0
    page.get_by_text("Note it in the run").click()
    # A run left half way opens where it was left.
    page.reload()
    expect(page.locator("[data-said=where]")).to_contain_text("2 of")
    page.evaluate("(place) => { window.location.hash = place; }", RECIPE)
    page.go_back()
    expect(page.locator("[data-said=where]")).to_contain_text("2 of")
    for _ in range(20):
        if page.locator("[data-screen=end]").is_visible():
            break
        # The button under the thumb, which is `B meets A` where it does.
        page.locator("[data-said=next]").click()
    page.locator("[data-value=good]").click()
    page.locator("[data-do=next]").click()
    with page.expect_download() as waited:
        page.get_by_text("Save the file").click()
    text = waited.value.path().read_text(encoding="utf-8")
    assert "recipe: cast/face-piece@4" in text
    assert "outcome: good" in text
    assert "went_wrong:" in text


def test_what_went_wrong_is_near_first_and_calls_first_aid_without_any_other_file(phone: Watched) -> None:
    page = phone.page
    phone.open(BENCH)
    page.locator("[name=room]").fill("21")
    page.get_by_role("button", name="Begin", exact=True).click()
    page.locator("[data-do=wrong]").click()
    groups = page.locator("dialog h3").all_inner_texts()
    assert groups == [each for each in ("At this step", "In this recipe", "At this stage") if each in groups]
    assert "In this recipe" in groups
    page.get_by_label("Words").fill("fumes, cant breathe")
    page.locator("dialog .pick").first.click()
    assert page.locator("#hurt-title").is_visible()


def test_cautions_stand_in_full_before_begin_and_are_read_with_a_tap_that_is_kept(phone: Watched) -> None:
    page = phone.page
    phone.open("#bench/mold/face-mold@4")
    assert page.locator("#at-the-bench [data-screen=start] .cautions > li:visible").count() > 4
    page.get_by_role("button", name="Begin", exact=True).click()
    page.locator("[data-do=next]").click()
    shown = page.locator("#at-the-bench .screen:visible > .cautions > li:visible")
    count = shown.count()
    assert count
    page.locator("[data-do=heed]:visible").click()
    expect(shown).to_have_count(0)
    page.reload()
    expect(shown).to_have_count(0)
    expect(page.locator("#at-the-bench .strip:visible summary strong")).to_have_count(count)


def test_a_bench_view_that_was_left_lets_go_of_the_clock_and_the_keys(phone: Watched) -> None:
    page = phone.page
    phone.open(BENCH)
    page.evaluate("""() => { window.cleared = 0; const clear = window.clearInterval;
        window.clearInterval = (id) => { window.cleared += 1; clear.call(window, id); }; }""")
    page.get_by_text("Show it to a class").click()
    assert page.locator("body.projector").count() == 1
    page.evaluate("window.location.hash = '#recipes'")
    expect(page.locator("#recipes")).to_be_visible()
    page.keyboard.press("ArrowRight")
    assert page.evaluate("window.cleared") == 1
    assert page.evaluate("document.body.className") == ""
    assert page.locator("#at-the-bench > *").count() == 0


def test_where_the_browser_keeps_nothing_the_bench_view_says_so(phone: Watched) -> None:
    phone.page.add_init_script(
        "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('no', 'SecurityError'); } });"
    )
    phone.open(BENCH)
    expect(phone.page.locator("[data-said=fault]")).to_contain_text("keeps nothing here")


@pytest.mark.parametrize(
    ("place", "theme"), thinned([(place, theme) for theme in THEMES for place in ("", RECIPE, BENCH)], 2)
)
def test_every_view_reads_well_on_a_phone(chromium: Browser, small: Path, place: str, theme: Theme) -> None:
    how = {"viewport": {"width": 390, "height": 844}, "color_scheme": theme}
    with watched(chromium, small.as_uri(), bypass_csp=True, **how) as seen:
        assert seen.open(place) == []
        assert breaches(seen.page) == []
        assert too_wide(seen.page) == []


def test_the_light_is_chosen_and_kept_and_paper_gets_the_recipe_in_view_alone(phone: Watched) -> None:
    phone.open(RECIPE)
    day = phone.page.evaluate("getComputedStyle(document.body).backgroundColor")
    phone.page.get_by_role("button", name="dark", exact=True).click()
    assert phone.page.evaluate("getComputedStyle(document.body).backgroundColor") != day
    phone.page.reload()
    assert phone.page.evaluate("getComputedStyle(document.body).backgroundColor") != day
    phone.page.emulate_media(media="print")
    assert phone.page.locator("article:visible").count() == 1
    assert phone.page.locator("#recipes:visible, .light:visible").count() == 0


def test_without_scripts_all_recipes_stand_one_below_the_other(chromium: Browser, carried: Path, view: View) -> None:
    with watched(chromium, carried.as_uri(), java_script_enabled=False) as seen:
        seen.page.goto(seen.home)
        assert seen.page.locator("article.carried:visible").count() == len(view.recipes) + 2  # the words, first aid
        expect(seen.page.locator(".without").first).to_be_visible()
        seen.page.locator(f"#recipes a[href='{RECIPE}']").click()
        expect(seen.page.locator(f"article[id='{RECIPE[1:]}'] h1")).to_be_in_viewport()


def test_only_the_scripts_and_looks_it_was_made_with_run(chromium: Browser, carried: Path, tmp_path: Path) -> None:
    spoiled = tmp_path / "spoiled.html"
    text = carried.read_text(encoding="utf-8").replace("</footer>", "<script>window.ran = 1;</script></footer>")
    spoiled.write_text(text, encoding="utf-8")
    with watched(chromium, spoiled.as_uri()) as seen:
        told = seen.open("")
        assert seen.page.evaluate("window.ran") is None
        assert any("script-src" in each for each in told)


def test_the_same_book_gives_the_same_bytes_and_leads_nowhere_outside(view: View, carried: Path) -> None:
    text = carried.read_text(encoding="utf-8")
    assert one_file(open_view(view.root, "private")) == text
    assert len(text.encode()) < 2_600_000
    assert not re.search(
        r"""(?i)(src|href|action|srcset|poster|data)\s*=\s*["']?(?!#|data:)[\w./]""",
        re.sub(r"(?s)<script.*?</script>|<style.*?</style>", "", text),
    )
    assert not re.search(r"url\((?!data:|#)", text)
    assert not re.search(r"https?://(?!www\.w3\.org/)", text)
    assert " style=" not in text
    markup = re.sub(r"(?s)<script>.*?</script>|<style.*?</style>", "", text)
    assert not re.findall(
        r'class="(?:versions|no-script)"|data-home|id="[^"]*:(?:runs|versions)"|<link rel="stylesheet"', markup
    )
    names = re.findall(r'\sid="([^"]+)"', text)
    assert len(names) == len(set(names))
    assert set(re.findall(r'href="#([^"]+)"', text)) <= set(names)


def test_only_the_recipes_named_are_in_it(view: View, tmp_path: Path) -> None:
    said = build_one_file(view, ["face-piece"], tmp_path)
    made = tmp_path / "private-face-piece.html"
    assert f"{made} holds 1 recipe of the private edition" in said
    text = made.read_text(encoding="utf-8")
    assert re.findall(r'<article class="carried" id="([^"]+)"', text) == ["recipe/cast/face-piece", "words", "hurt"]
    assert text.startswith(MARK)
    with pytest.raises(RefusedError) as refusal:
        build_one_file(view, ["cast/face-peice"], tmp_path)
    assert "cast/face-piece" in refusal.value.notices[0].help
    assert [path.name for path in tmp_path.iterdir()] == [made.name]


def test_a_file_of_somebody_else_is_never_written_over(view: View, tmp_path: Path) -> None:
    theirs = tmp_path / "mine.html"
    theirs.write_text("<!doctype html>\n<p>Theirs.", encoding="utf-8")
    with pytest.raises(RefusedError) as refusal:
        build_one_file(view, ["face-piece"], theirs)
    assert refusal.value.notices[0].code == "not-ours"
    assert theirs.read_text(encoding="utf-8") == "<!doctype html>\n<p>Theirs."
    theirs.unlink()
    build_one_file(view, ["face-piece"], theirs)
    build_one_file(view, ["face-piece"], theirs)
    assert [path.name for path in tmp_path.iterdir()] == ["mine.html"]


@pytest.mark.parametrize("seed", seeds(2, 6))
def test_it_says_nothing_its_edition_does_not_hold(seed: int) -> None:
    found = open_editions(make_book(seed))
    for edition in EDITIONS:
        text = one_file(found[edition])
        assert HIDDEN[edition].findall(text) == []
        if edition == "private" and found[edition].recipes:
            assert "zqprivate" in text


def test_whatever_an_author_wrote_nothing_of_it_runs_or_leads_away() -> None:
    view = open_editions(hostile_book(4))["private"]
    text = one_file(view, view.recipes)
    reader = Read()
    reader.feed(text)
    policy = next(each["content"] for tag, each in reader.elements if each.get("http-equiv"))
    scripts = re.findall(r"(?s)<script>(.*?)</script>", text)
    assert len(scripts) == sum(tag == "script" and not each for tag, each in reader.elements)
    for script in scripts:
        assert f"'sha256-{b64encode(sha256(script.encode()).digest()).decode()}'" in policy
    kinds = {each["type"] for tag, each in reader.elements if tag == "script" and each}
    assert kinds == {"application/json"}
    assert sum(tag == "article" for tag, _ in reader.elements) == len(view.recipes) + 2 > 5  # the words, first aid
    for tag, each in reader.elements:
        assert not [name for name in each if name.startswith("on") or name in ("style", "srcdoc", "action")]
        assert each.get("href", "#")[0] == "#" or (tag == "link" and each["href"].startswith("data:image/svg+xml;"))
        assert each.get("src", "data:").startswith("data:image/svg+xml;") or "src" not in each


def test_a_link_of_prose_leads_inside_or_becomes_words(view: View) -> None:
    parts = {"recipes/cast/a.html": "recipe/cast/a", "bench/cast/a@1.html": "bench/cast/a@1"}
    text = (
        "[up](#x) [y](../../bench/cast/a@1.html#step-y) [**a** & b](../../runs/r.html) [left](#runs) [r](run:r-1) [//](//a.invalid) "
        "[there](https://example.invalid/?a=1&b=2) <https://example.invalid/c> <a@example.invalid> [no](javascript:alert(1))"
    )
    said = line(text, CarriedLinks(view, "recipes/cast/a.html", parts)).replace(' rel="noopener noreferrer"', "")
    assert said == (
        '<a href="#recipe/cast/a:x">up</a> <a href="#bench/cast/a@1:step-y">y</a> <strong>a</strong> &amp; b left r // '
        "there (https://example.invalid/?a=1&amp;b=2) https://example.invalid/c a@example.invalid (mailto:a@example.invalid) "
        "[no](javascript:alert(1))"
    )


def test_a_link_of_prose_that_leads_nowhere_on_the_site_is_words_and_no_empty_link(view: View) -> None:
    text = "[gone](run:r-1) [else](//a.invalid/x) [there](https://example.invalid/c) [up](#x)"
    assert line(text, Links(view, "recipes/cast/a.html")).replace(' rel="noopener noreferrer"', "") == (
        'gone else <a href="https://example.invalid/c">there</a> <a href="#x">up</a>'
    )


def test_the_command_makes_the_public_file_unless_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book = start_repository(tmp_path / "book")
    book.save(FIRST, empty_book() | {RECIPE_FILE: recipe(1)})
    asked = ["-C", str(book.folder), "build", "--one-file"]
    assert main(asked) == 0
    said = capsys.readouterr().out
    made = book.folder / "site" / "public.html"
    assert f"{made} holds 0 recipes" in said
    assert "No recipe is in the public edition" in said
    assert "There are no recipes here yet." in made.read_text(encoding="utf-8")
    assert main([*asked, "cheek", "--for", "private"]) == 0
    assert 'id="recipe/cast/cheek"' in (book.folder / "site" / "private-cheek.html").read_text(encoding="utf-8")
    assert main([*asked, "no-such"]) == 1
    assert main([*asked, "--forget"]) == 2
    assert "--forget" in capsys.readouterr().err
