"""Pages on the tool itself: the guide, for everybody; the first evening and what notices mean, for the owner; what is not kept.

The guide is Markdown in ``mothermold/guide``: ``the-guide.md`` names its chapters in their order. Within it a link to
``chapter.md`` leads to that chapter, one to ``page.html`` to that page of the site, where the edition has it. A picture that
stands by itself is one of the tool's own drawings, by its name.
"""

from __future__ import annotations

import re
from functools import cache, partial
from pathlib import Path
from typing import Any, Final

from markdown_it import MarkdownIt
from markdown_it.token import Token
from markupsafe import Markup

from mothermold.answers.meanings import explain, meanings, rule_meanings
from mothermold.pages.addresses import ABOUT, FIRST_EVENING, GUIDE, OFFLINE, Links, LinksOf, chapter_page, leaves
from mothermold.pages.drawn.work import work_drawing
from mothermold.pages.glossary import CHAPTER, own_place, own_words, place_of
from mothermold.pages.page import Page, render
from mothermold.pages.prose import led
from mothermold.view.view import View

_TEXTS: Final = Path(__file__).parents[1] / "guide"
_CONTENTS: Final = "the-guide"
_MARKDOWN: Final = MarkdownIt("commonmark", {"html": False}).enable("table")


@cache
def chapters() -> tuple[str, ...]:
    """The names of the guide's chapters, in the order in which its first page leads to them."""
    return tuple(dict.fromkeys(re.findall(r"\]\(([a-z-]+)\.md\)", _text(_CONTENTS))))


def contents(view: View) -> Page:
    """The guide's contents."""
    return guide_page(view, _CONTENTS)


def guide_page(view: View, name: str, linked: LinksOf = Links) -> Page:
    """A chapter of the guide, with the way to its neighbors; or its contents, which come before all of them."""
    order = [_CONTENTS, *chapters()]
    pages = [GUIDE, *((chapter_page(each), _title(each)) for each in chapters())]
    at = order.index(name)
    turns: dict[str, Any] = {
        "before": pages[at - 1] if at > 1 else None,
        "after": pages[at + 1] if at + 1 < len(order) else None,
    }
    address, title = pages[at]
    body = _html(_text(name), linked(view, address), has_words=name == CHAPTER)
    own = [(own_place(number), each) for number, each in enumerate(own_words(view))] if name == CHAPTER else []
    return render(
        view, "guide.html", address, title, linked, body=body, own=own, guide=GUIDE, chapter=bool(at), **turns
    )


def about(view: View) -> Page:
    """What each notice means, each at an anchor of its own code."""
    own = view.ruling.own
    told = [explain(code, own).data for code in dict.fromkeys((*meanings(), *rule_meanings(), *own))]
    return render(view, "about.html", ABOUT[0], ABOUT[1], meanings=told)


def first_evening(view: View) -> Page:
    """How a book is begun in one sitting."""
    return render(view, "first_evening.html", FIRST_EVENING[0], FIRST_EVENING[1])


def offline(view: View) -> Page:
    """What stands where a page was not kept on the device and there is no signal."""
    return render(view, "offline.html", OFFLINE[0], OFFLINE[1])


@cache
def _text(name: str) -> str:
    return (_TEXTS / f"{name}.md").read_text(encoding="utf-8")


def _title(name: str) -> str:
    return _text(name).partition("\n")[0].removeprefix("# ")


def _html(text: str, links: Links, *, has_words: bool) -> Markup:
    """The HTML of a chapter without its title, a place at each of its words; the texts are our own, and no HTML in them is."""
    tokens = _MARKDOWN.parse(text.partition("\n")[2])
    for at, token in enumerate(tokens):
        if token.type == "heading_open":
            token.attrSet("id", links.at(re.sub(r"[^a-z0-9]+", "-", tokens[at + 1].content.lower()).strip("-")))
        elif has_words and token.type == "td_open" and tokens[at - 1].type == "tr_open":
            tokens[at - 1].attrSet("id", links.at(place_of(tokens[at + 1].content)))
        elif token.type == "inline":
            token.children = led(token.children or [], partial(_place, links))
            if [each.type for each in token.children] == ["image"]:
                token.type, token.content, token.children = "html_block", _drawn(token.children[0]), None
                tokens[at - 1].tag = tokens[at + 1].tag = "figure"
        elif token.type == "fence":
            token.type, token.content = "html_block", _typed(token.content)
    return Markup(_MARKDOWN.renderer.render(tokens, _MARKDOWN.options, {}))  # noqa: S704 - made of our own texts


def _place(links: Links, target: str) -> str | None:
    """Where a link of a chapter leads; nowhere if this edition has not that page."""
    address, mark, place = target.partition("#")
    if address.endswith(".md"):
        name = address.removesuffix(".md")
        address = GUIDE[0] if name == _CONTENTS else chapter_page(name)
    elif address not in dict(leaves(links.view)):
        return None
    return links.to(address + mark + place)


def _drawn(image: Token) -> Markup:
    """One of the tool's own drawings, and below it what its picture is called."""
    name = Path(str(image.attrGet("src"))).stem
    return Markup("{}<figcaption>{}</figcaption>").format(work_drawing(name), image.content)


def _typed(text: str) -> Markup:
    """A block of the terminal: what one types in strong letters, without the sign before it, so that it can be copied."""
    lines = [
        Markup("<kbd>{}</kbd>").format(line[2:]) if line.startswith("$ ") else Markup("{}").format(line)
        for line in text.splitlines()
    ]
    return Markup("<pre>{}</pre>\n").format(Markup("\n").join(lines))
