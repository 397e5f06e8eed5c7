"""Builds and serves: the deeds whose outcome is pages."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, Final

from mothermold.answers.question import Typed, argument, deed, flag, option
from mothermold.cli.asked import FOR, Call, say
from mothermold.desk.story import replay_story
from mothermold.ground.errors import CannotRunError
from mothermold.ground.rendering import as_text
from mothermold.publish import building
from mothermold.view.editions import Edition
from mothermold.view.view import View, open_view

_OUT: Final = option(
    "DIR", "where to; default: site/EDITION in the book; with --one-file and --zip, a file or a folder"
)
_ONE_FILE: Final = option(
    "RECIPE",
    "instead of the site, one file to carry: all recipes in use, those named, a course, or the write-up of a build",
    nargs="*",
)
_ZIP: Final = flag("instead of the site's folder a zip of it for a stick, of the class edition unless told")


@deed("build")
def build(
    call: Call,
    out: Annotated[Typed, _OUT] = None,
    one_file: Annotated[Sequence[str] | None, _ONE_FILE] = None,
    *,
    zip: Annotated[bool, _ZIP] = False,  # noqa: A002 - as it is typed
    strict: Annotated[bool, flag("fail if the site builder warns")] = False,
    forget: Annotated[bool, flag("devices delete their copy of the site instead of keeping one")] = False,
    edition: Annotated[Edition | None, FOR] = None,
) -> None:
    """Builds the site of an edition, or the book as one file or a zip, and says what it lacks."""
    book = call.book()
    place = Path(out) if out else None
    if one_file is not None and (strict or forget or zip):
        raise CannotRunError("--strict, --forget and --zip belong to the site; leave them out with --one-file.")
    if zip and forget:
        raise CannotRunError("No device keeps what stands in a zip; leave --forget out with --zip.")
    if one_file is not None:
        from mothermold.publish.carried.placing import build_one_file, usual_edition  # noqa: PLC0415 - only this needs it

        view = call.view(edition or usual_edition(book, one_file))
        say(build_one_file(view, one_file, place))
    elif zip:
        from mothermold.publish.carried.zipped import build_zip  # noqa: PLC0415 - only this needs it

        view = call.view(edition or "class")
        say(build_zip(view, place, strict=strict))
    else:
        built = building.build_site(book, edition or "public", place, strict=strict, forget=forget)
        view = built.view
        say(built.said)
    _tell_built(view)


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


_PHONE: Final = flag("to a phone on the local network that scanned the square on the screen, with an inbox for runs")
_HOST: Final = option("ADDRESS", "with --phone: which address of this computer, like 192.168.1.20")
_PORT: Final = option("N", "with --phone: the port; default: the first free one from 8000")


_READ_ONLY: Final = flag("nothing of the book can be written from its pages")


@deed("serve")
def serve(
    call: Call,
    *,
    read_only: Annotated[bool, _READ_ONLY] = False,
    phone: Annotated[bool, _PHONE] = False,
    host: Annotated[Typed, _HOST] = None,
    port: Annotated[Typed, _PORT] = None,
    edition: Annotated[Edition, FOR] = "private",
) -> None:
    """Serves the site on this computer, or to a phone, until it is stopped."""
    book = call.desk() if edition == "private" and not (read_only or phone) else call.book()
    if edition != "private":
        _tell_built(open_view(book, edition))
    if not phone:
        if host is not None or port is not None:
            raise CannotRunError("--host and --port go with `serve --phone`; without it this computer alone is served.")
        _serve_here(book, edition, read_only=read_only)
        return
    if read_only:
        raise CannotRunError(
            "--read-only is for this computer; with --phone nothing can be written but runs into the inbox. Leave one out."
        )
    from mothermold.serve.serving import serve_phone  # noqa: PLC0415 - the site builder is heavy

    serve_phone(book, edition, say, host=host, port=_port(port))


def _port(asked: str | None) -> int | None:
    if asked is None:
        return None
    if not (asked.isascii() and asked.isdigit() and len(asked) < 6 and 1024 <= int(asked) <= 65535):
        raise CannotRunError(f"--port: `{asked}` is not a port for this; give a whole number from 1024 to 65535.")
    return int(asked)


def _serve_here(book: Path, edition: Edition, *, read_only: bool = False) -> None:
    from mothermold.serve.serving import serve_here  # noqa: PLC0415 - the site builder is heavy

    serve_here(book, edition, say, read_only=read_only)


_DIR: Final = argument("DIR", "a new or empty folder; default: mothermold-demo")


@deed("demo")
def demo(
    dir: Annotated[str, _DIR] = "mothermold-demo",  # noqa: A002 - as it is typed
    *,
    no_serve: Annotated[bool, flag("stop when the site is built")] = False,
) -> None:
    """Lays out the sample book, builds its site and serves it."""
    folder = Path(dir)
    say(f"Laying out the sample book in {folder} ...")
    say(replay_story(folder))
    say("Building its site ...")
    say(building.build_site(folder, "private", None).said)
    if not no_serve:
        _serve_here(folder, "private")
