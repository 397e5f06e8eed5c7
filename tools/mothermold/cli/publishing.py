"""Builds and serves: the deeds whose outcome is pages."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Final

from mothermold.cli.asked import book_of, edition_of, say, view_of
from mothermold.desk.replaying import replay_story
from mothermold.ground.errors import CannotRunError
from mothermold.ground.rendering import as_text
from mothermold.site import building
from mothermold.view.editions import Edition
from mothermold.view.view import View, open_view


def build(asked: argparse.Namespace) -> None:
    """Builds the site of an edition, or the book as one file, and says what it lacks."""
    edition, book = edition_of(asked), book_of(asked)
    out = Path(asked.out) if asked.out else None
    if asked.one_file is not None:
        _tell_built(_one_file(asked, out))
        return
    built = building.build_site(book, edition, out, strict=asked.strict, forget=asked.forget)
    say(built.said)
    _tell_built(built.view)


def _one_file(asked: argparse.Namespace, out: Path | None) -> View:
    if asked.strict or asked.forget:
        raise CannotRunError("--strict and --forget belong to the site; leave them out with --one-file.")
    from mothermold.site.carried.placing import build_one_file  # noqa: PLC0415 - only this needs it

    view = view_of(asked)
    say(build_one_file(view, asked.one_file, out))
    return view


# What an edition lacks is said where it is asked for, though it is no error.
_NOT_WHOLE: Final = frozenset({"open-not-saved", "pins-not-open"})


def _tell_built(view: View) -> None:
    if not view.recipes:
        say(
            f"No recipe is in the {view.edition} edition. A document is private until it says `visibility: {view.edition}`;\n"
            f"a recipe needs it in its materials too: `mothermold open RECIPE --to {view.edition}` asks once for all of it.\n"
            "For your own eyes: `mothermold build --for private`."
        )
    for notice in view.notices:
        if notice.severity == "error" or (view.edition != "private" and notice.code in _NOT_WHOLE):
            say(as_text(notice))


def serve(asked: argparse.Namespace) -> None:
    """Serves the site on this computer, or to a phone, until it is stopped."""
    edition, book = edition_of(asked), book_of(asked)
    if edition != "private":
        _tell_built(open_view(book, edition))
    if not asked.phone:
        if asked.host is not None or asked.port is not None:
            raise CannotRunError("--host and --port go with `serve --phone`; without it this computer alone is served.")
        _serve_book(book, edition)
        return
    from mothermold.site.phone.serving import serve_phone  # noqa: PLC0415 - the site builder is heavy

    serve_phone(book, edition, say, host=asked.host, port=_port(asked.port))


def _port(asked: str | None) -> int | None:
    if asked is None:
        return None
    if not (asked.isascii() and asked.isdigit() and len(asked) < 6 and 1024 <= int(asked) <= 65535):
        raise CannotRunError(f"--port: `{asked}` is not a port for this; give a whole number from 1024 to 65535.")
    return int(asked)


def _serve_book(book: Path, edition: Edition) -> None:
    from mothermold.site.plugin import serve_book  # noqa: PLC0415 - the site builder is heavy

    say(f"Making the pages of the {edition} edition ...")
    serve_book(book, edition, building.free_address())
    say("Stopped.")


def demo(asked: argparse.Namespace) -> None:
    """Lays out the sample book, builds its site and serves it."""
    folder = Path(asked.dir)
    say(f"Laying out the sample book in {folder} ...")
    say(replay_story(folder))
    say("Building its site ...")
    say(building.build_site(folder, "private", None).said)
    if not asked.no_serve:
        _serve_book(folder, "private")
