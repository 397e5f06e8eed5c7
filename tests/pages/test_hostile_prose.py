"""Whatever an author types, in whichever field: no page runs it, asks for it, or links to what a browser would run.

The books are those of the edition tests, with hostile texts instead of words in every field that takes free text.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Final
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, expect

from browser import Watched, watched
from campaigns.seeds import REST, divided, short
from history.repositories import FIRST, start_repository
from mothermold.model.build import Build
from mothermold.model.course import Course
from mothermold.model.failure import Failure
from mothermold.model.material import Material
from mothermold.model.mold import Mold
from mothermold.model.names import plain_text
from mothermold.model.parts import Part
from mothermold.model.recipe import Recipe
from mothermold.model.run import Run
from mothermold.model.scalars import Prose
from mothermold.model.scalars import read_line as one_line
from mothermold.model.settings import Settings
from mothermold.publish.building import build_site
from mothermold.view.view import open_view
from view import books
from view.books import GeneratedBook, make_book
from view.filling import Filler, _options, part_models

RAN: Final = "window.__ran=1"
HOSTILE: Final = (
    f"<script>{RAN}</script>",
    f"<img src=x onerror={RAN}>",
    f"<svg onload={RAN}><script>{RAN}</script></svg>",
    f"<math><mtext><table><mglyph><style><img src=x onerror={RAN}></style></mglyph></table></mtext></math>",
    f"<body onload={RAN}><iframe srcdoc='<script>top.__ran=1</script>'></iframe>",
    f"</title><script>{RAN}</script>",
    f"</textarea></script><script>{RAN}</script>",
    f"<!-- --!><script>{RAN}</script> -->",
    "<!--",
    f"<details open ontoggle={RAN}><summary>x</summary></details>",
    "<style>@import 'http://evil.invalid/style.css';</style><link rel=stylesheet href=http://evil.invalid/l.css>",
    "<base href='http://evil.invalid/'><meta http-equiv=refresh content='0;url=http://evil.invalid/'>",
    "<form action=http://evil.invalid><button autofocus onfocus=alert(1)>x</button></form>",
    f'" onmouseover="{RAN}" autofocus onfocus="{RAN}" x="',
    f"' onmouseover='{RAN}' autofocus onfocus='{RAN}' x='",
    f"` onmouseover=`{RAN}` \\",
    f"words {{ onclick={RAN} .loud #find style=color:red }}",
    f"{{: onclick={RAN} }}",
    f"# heading {{#content onclick={RAN}}}",
    f"[x](javascript:{RAN})",
    f"[x](JaVaScRiPt:{RAN})",
    f"[x](<javascript:{RAN}>)",
    f"[x](&#106;avascript&colon;{RAN})",
    f"[x](java&Tab;script:{RAN})",
    f"[x](java\nscript:{RAN})",
    f"[x](\\javascript:{RAN})",
    f"[x](%6aavascript:{RAN})",
    "[x](data:text/html;base64,PHNjcmlwdD53aW5kb3cuX19yYW49MTwvc2NyaXB0Pg==)",
    "[x](data:image/svg+xml,<svg/onload=alert(1)>)",
    "[x](vbscript:msgbox)",
    "[x](file:///etc/hosts) [y](blob:x) [z](filesystem:x) [w](view-source:x)",
    "[x](//evil.invalid/x) [y](\\\\\\\\evil.invalid\\\\x) [z](/\\evil.invalid)",
    f"<javascript:{RAN}> <data:text/html,x> <http://evil.invalid/&quot;onclick={RAN}>",
    f"[x][bad]\n\n[bad]: javascript:{RAN} 'title\" onclick={RAN}'",
    f'[x](http://evil.invalid/ "title\' onclick={RAN} x=")',
    f"![x](http://evil.invalid/p.png) ![x](javascript:{RAN})",
    f"[x](run:../../../evil) [y](RUN:javascript:{RAN}) [z](run:%0ajavascript:{RAN})",
    f'[x](run:r-1" onclick="{RAN}) <run:javascript:{RAN}>',
    "{{7*7}} {% for x in config %}{{ x }}{% endfor %} {{ view.settings }} {# x #} ${7*7} <%= 7*7 %>",
    "mothermold-title-goes-here <p>mothermold-body-goes-here</p>",
    f"```html onclick={RAN}\n<script>{RAN}</script>\n```",
    f"| a | b |\n|---|---|\n| <script>{RAN}</script> | [x](javascript:{RAN}) |",
    f"- one\n\n  <div onclick={RAN}>\n\n  two\n</div></main></body></html>",
    f"&lt;script&gt;{RAN}&lt;/script&gt; &amp;lt;img src=x onerror={RAN}&amp;gt;",
    "\\u003cscript\\u003e \\x3cscript\\x3e \u202eright to left",
    "[^1] [[link]] [toc] :smile: *[HTML]: x\n\n[^1]: <script>",
    "".join(f"[{letter}](" for letter in "abcdefgh") * 20 + "*" * 200 + "<" * 200,
    "long" * 300,
)
SAFE: Final = {"", "http", "https", "mailto"}
# What the theme and the page templates themselves are made of, and the marks prose may have.
_ELEMENTS: Final = """
    html head meta title link script body a header p div label input ul li nav main footer section h1 h2 h3 h4 h5 h6
    ol dl dt dd span strong em code pre blockquote hr br table thead tbody tr th td time form select optgroup option article template del ins
    details summary figure figcaption img fieldset legend button svg g path circle polyline polygon rect b dialog output caption
    small text kbd desc defs pattern clippath
"""
ELEMENTS: Final = frozenset(_ELEMENTS.split())
SEEDS: Final = (4, 22)


class HostileFiller(Filler):
    """Fills every free text with the next hostile one, and every other time with all of them."""

    turn = 0

    def __init__(self, rng: random.Random, level: str, number: int, fullness: float = 1) -> None:
        super().__init__(rng, level, number, max(fullness, 1))

    def word(self) -> str:
        HostileFiller.turn += 1
        number, every = divmod(HostileFiller.turn, 2)
        return "\n\n".join(HOSTILE[:-2]) if every and number % 5 == 0 else HOSTILE[number % len(HOSTILE)]

    def prose(self) -> str:
        return self.word()


def hostile_book(seed: int) -> GeneratedBook:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(books, "Filler", HostileFiller)
        patch.setattr(HostileFiller, "turn", seed)
        return make_book(seed)


class Read(HTMLParser):
    """The elements of a page and their attributes."""

    def __init__(self) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, {name: value or "" for name, value in attrs}))


def dangers(html: str) -> Iterator[str]:
    """What in a page could run or reach out: handlers, addresses of a wrong scheme, elements that are not ours."""
    reader = Read()
    reader.feed(html)
    reader.close()
    for tag, attributes in reader.elements:
        if tag not in ELEMENTS:
            yield f"<{tag}>"
        for name, value in attributes.items():
            if name.startswith("on") or name in ("style", "srcdoc", "action", "formaction", "ping", "autofocus"):
                yield f"{tag} {name}={value}"
            if name in ("href", "src"):
                bare = "".join(letter for letter in value if letter > " ").casefold()
                if urlsplit(bare).scheme not in SAFE or bare.startswith(("//", "\\\\", "/\\", "\\/")):
                    yield f"{tag} {name}={value}"
                if tag in ("script", "link") and not value.removeprefix("./").replace("../", "").startswith("assets/"):
                    yield f"{tag} {name}={value}"
        # A block of data runs nothing; that it cannot be ended from within, the count of elements shows.
        if tag == "script" and "src" not in attributes and attributes.get("type") != "application/json":
            yield "script without src"


def free_text_fields() -> set[tuple[str, str]]:
    """Every field of every document that takes any text at all."""
    found = set()
    for model in (Settings, Recipe, Run, Mold, Material, Failure, Build, Course):
        for part in part_models(model):
            for name, field in part.model_fields.items():
                if takes_text(field.annotation, field.metadata):
                    found.add((part.__name__, field.alias or name))
    return found


def takes_text(annotation: object, metadata: object) -> bool:
    for target, inner in _options(annotation, metadata):
        if target is Prose or (
            target is str and any(getattr(each, "func", None) in (plain_text, one_line) for each in inner)
        ):
            return True
        if getattr(target, "__origin__", None) is tuple and takes_text(target.__args__[0], ()):
            return True
    return False


@pytest.fixture(scope="module", params=short(SEEDS, 1))
def built(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("hostile")
    book = hostile_book(request.param)
    repository = start_repository(folder / "book")
    repository.save(FIRST, {file: text for file, text in book.files.items() if not file.startswith("recipes/cast")})
    for saved in book.commits:
        repository.write({file: text for file, text in saved.files.items() if text is not None})
        repository.save(FIRST, {})
    repository.save(FIRST, book.files)
    view = open_view(folder / "book", "private")
    unread = [
        plan.file
        for plan in book.plans
        if (document := view.on(plan.kind).get(plan.address)) is None or document.model is None
    ]
    assert unread == [], [notice.message for notice in view.notices if notice.severity == "error"][:3]
    build_site(folder / "book", "private", folder / "site")
    return folder / "site"


@pytest.fixture(scope="module")
def reader(built: Path, chromium: Browser) -> Iterator[Watched]:
    # Without the policy: the pages themselves have to be harmless, and the policy is only the second wall.
    with watched(chromium, f"{built.as_uri()}/", bypass_csp=True) as seen:
        yield seen


def test_every_field_of_free_text_is_filled() -> None:
    filled = set().union(*(hostile_book(seed).fields for seed in SEEDS))
    assert free_text_fields() - filled == set()
    assert len(free_text_fields()) > 60


def test_no_page_holds_anything_that_could_run_or_reach_out(built: Path) -> None:
    pages = {path: list(dangers(path.read_text(encoding="utf-8"))) for path in built.rglob("*.html")}
    assert len(pages) > 30
    # The page for what is not here may be shown at any depth, so it carries its few styles and its way home itself.
    assert sorted(pages.pop(built / "404.html")) == ["<style>", "script without src"]
    assert {str(path.relative_to(built)): found for path, found in pages.items() if found} == {}


def test_templates_in_a_text_stay_text_and_frames_are_not_confused(built: Path) -> None:
    every = "\n".join(path.read_text(encoding="utf-8") for path in built.rglob("*.html"))
    assert "{{7*7}}" in every
    for path in built.rglob("*.html"):
        text = path.read_text(encoding="utf-8")
        assert text.count("</main>") == 1, path
        # What a picture says of its own parts is called a title too.
        head = text.partition("<body")[0]
        assert head.count("<title>") == head.count("</title>") == 1, path
        assert text.count("<title>") == text.count("</title>"), path


@pytest.mark.parametrize("rest", REST)
def test_nothing_runs_or_asks_for_anything_when_the_pages_are_opened(rest: bool, built: Path, reader: Watched) -> None:
    opened = 0
    for path in divided(sorted(built.rglob("*.html")), 3, rest):
        address = path.relative_to(built).as_posix()
        assert reader.open(address) == [], address
        assert reader.page.evaluate("window.__ran") is None, address
        wrong = reader.page.evaluate(
            """() => [...document.querySelectorAll("*")].flatMap((each) => [
              ...[...each.attributes].filter((one) => one.name.startsWith("on")).map((one) => one.name),
              ...[each.href && (each.href.baseVal !== undefined ? new URL(each.href.baseVal, document.baseURI) : each.href)].filter(
                (one) => one && !/^(file|https?|mailto):/.test(String(one))).map(String),
              ...(each.namespaceURI !== "http://www.w3.org/1999/xhtml" && !each.closest("svg.icon, svg.sign, svg.curve, svg.dots, svg.drawn, svg.sample, svg.work") ? [each.namespaceURI] : []),
            ])"""
        )
        assert wrong == [], address
        opened += 1
    assert opened > 10


@pytest.mark.parametrize("words", short(["script", "7*7", "onerror", "javascript", "title", "evil"], 2))
def test_the_find_box_shows_hostile_titles_as_text(words: str, reader: Watched) -> None:
    reader.open("index.html")
    reader.page.locator("#find").press_sequentially(words)
    expect(reader.page.locator("#found")).to_be_visible()
    inside = reader.page.evaluate("[...new Set([...document.querySelectorAll('#found *')].map((e) => e.localName))]")
    assert set(inside) <= {"li", "span"}
    assert reader.told() == []
    assert reader.page.evaluate("window.__ran") is None


def test_clicking_every_link_of_prose_runs_nothing(built: Path, reader: Watched) -> None:
    for path in sorted(built.rglob("failures/*.html")):
        address = path.relative_to(built).as_posix()
        reader.open(address)
        reader.page.evaluate(
            """() => { document.addEventListener("click", (event) => {
              const link = event.target.closest("a");
              if (link && !link.href.startsWith("javascript:")) { event.preventDefault(); }
            }); for (const link of document.querySelectorAll("main *")) { if (link.click) { link.click(); } } }"""
        )
        assert reader.page.evaluate("window.__ran") is None, address
        assert reader.told() == [], address


def test_the_search_for_dangers_can_find_them() -> None:
    for wrong in (
        "<p onclick=x>",
        "<a href='JAVA\tscript:x'>",
        "<a href='//evil.invalid'>",
        "<math>",
        "<script>x</script>",
        "<script src=http://evil.invalid/x.js></script>",
        "<p style='x'>",
    ):
        assert list(dangers(wrong)), wrong
    assert list(dangers("<p><a href='../x.html'>x</a><a href='https://example.invalid'>y</a></p>")) == []


def test_the_models_are_walked_down_to_their_parts() -> None:
    assert ("Failure", "symptoms") in free_text_fields()
    assert ("WentWrong", "note") in free_text_fields()
    assert issubclass(Recipe, Part)
