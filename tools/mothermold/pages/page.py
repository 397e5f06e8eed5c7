"""One page, and how it is made from a template. Knows no site builder."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import jinja2
from markupsafe import Markup, escape

from mothermold.answers.troubles import ANSWER_WORDS
from mothermold.ground.rendering import around
from mothermold.pages.addresses import Links, LinksOf
from mothermold.pages.compiled import CompiledTemplates
from mothermold.pages.content import flat
from mothermold.pages.glossary import marking
from mothermold.pages.pictures import alt_words, readers_words, taken_words
from mothermold.pages.prose import line, prose, typed
from mothermold.pages.source import without_comments
from mothermold.pages.wording import gear_words, held_words, spoken
from mothermold.quantities import Quantity
from mothermold.quantities.wording import as_read, on_scale, percent_words, times_words
from mothermold.trade.vocabulary import family_words
from mothermold.view.showing import SMALL
from mothermold.view.view import View


@dataclass(frozen=True, slots=True)
class Page:
    """One page.

    Attributes:
        address: Where it lies in the site.
        title: Its title, plain text.
        body: Its HTML.
    """

    address: str
    title: str
    body: str

    @property
    def depth(self) -> int:
        """How many folders deep it lies."""
        return self.address.count("/")


@lru_cache(maxsize=1)
def _templates() -> jinja2.Environment:
    made = jinja2.Environment(
        loader=jinja2.PackageLoader("mothermold.pages"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_as_read,
        # What is written into a template may be finalized when it is compiled.
        bytecode_cache=CompiledTemplates(Path(__file__).read_bytes()),
    )
    made.filters["flat"] = flat
    made.globals["SMALL"] = SMALL
    return made


def _as_read(value: Any) -> Any:
    """What a page shows of a value: of an amount how it is read aloud."""
    return as_read(value) if isinstance(value, Quantity) else value


def _link(where: str | None, words: object) -> Markup:
    """A link; where it leads nowhere its words."""
    return Markup('<a href="{}">{}</a>').format(where, words) if where else escape(words)


def render(
    view: View, template: str, page: str, title: str, linked: LinksOf = Links, *, glossed: bool = False, **context: Any
) -> Page:
    """A page from a template.

    Args:
        view: The edition.
        template: The template's name.
        page: Where the page lies.
        title: Its title.
        linked: What points from the page to places here and elsewhere.
        glossed: Whether words of the trade lead to their meaning where they first occur in what it tells.
        context: What the template shows.
    """
    links = linked(view, page)
    body = (
        _templates()
        .get_template(template)
        .render(
            title=title,
            view=view,
            links=links,
            a=_link,
            at=links.at,
            here=links.here,
            to=links.to,
            carried=links.carried,
            prose=lambda text: prose(text, links),
            line=lambda text: line(text, links),
            glossed=marking(view, links) if glossed else Markup,
            source=without_comments,
            around=around,
            typed=typed,
            on_scale=on_scale,
            percent=percent_words,
            spoken=spoken,
            family=family_words,
            gear=gear_words,
            held=held_words,
            alt_words=alt_words,
            taken_words=taken_words,
            readers_words=readers_words,
            times=times_words,
            answer_words=ANSWER_WORDS,
            **context,
        )
    )
    return Page(page, title, body)
