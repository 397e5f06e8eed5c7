"""The write-up of a build as one file to give away: its page, its looks and its pictures, and nothing that asks anyone."""

from __future__ import annotations

import base64
from functools import partial

from mothermold.model.build import Build
from mothermold.pages.addresses import written_page
from mothermold.pages.page import render
from mothermold.pages.write_up import write_up_page
from mothermold.publish.carried.links import CarriedLinks
from mothermold.publish.carried.one_file import ASSETS, MARK, looks, policy
from mothermold.view.view import View


def write_up_file(view: View, build: str) -> str:
    """The text of the file.

    Args:
        view: The edition; nothing else is in the file.
        build: A build of it that can be read.
    """
    address = written_page(build)
    page = write_up_page(view, build, partial(CarriedLinks, parts={address: "write-up"}))
    assert page is not None
    styles = [("", looks("mothermold")), ("screen and (prefers-color-scheme: dark)", looks("dark"))]
    model = view.models(Build)[build]
    return render(
        view,
        "write_up_file.html",
        address,
        page.title,
        mark=MARK,
        policy=policy([text for _media, text in styles], []),
        icon=base64.b64encode((ASSETS / "icon.svg").read_bytes()).decode(),
        styles=styles,
        sentence=str(model.brief or "").split(". ")[0].strip(),
        body=page.body,
        day=view.day.isoformat() if view.day else "",
    ).body
