"""Runs a command and prints its answer: text for people, JSON for programs, notices to both."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Mapping
from dataclasses import fields, replace
from pathlib import Path
from typing import Any, Final

from mothermold.answers import (
    batch,
    cavity,
    changes,
    check,
    cure,
    curve,
    difference,
    evidence,
    export,
    find,
    gypsum,
    meanings,
    opening,
    schemas,
    vapor,
    versions,
)  # fmt: skip
from mothermold.answers.result import Result, refused
from mothermold.book.files import find_book
from mothermold.cli.asking import Terminal
from mothermold.cli.commands import Command
from mothermold.cli.texts import TEXTS
from mothermold.desk.asking import StoppedError
from mothermold.desk.bringing import bring_runs
from mothermold.desk.founding import found_book, may_be_founded, write_schemas
from mothermold.desk.numbering import Wish
from mothermold.desk.opening import open_for
from mothermold.desk.putting_back import put_back
from mothermold.desk.replaying import replay_story
from mothermold.desk.saving import save_book
from mothermold.desk.starting import start
from mothermold.desk.undoing import undo_save
from mothermold.desk.whereabouts import ask_whereabouts, known_whereabouts
from mothermold.ground.errors import CannotRunError, RefusedError
from mothermold.ground.notices import Notice, in_order
from mothermold.ground.rendering import as_data, as_text
from mothermold.ground.words import shorter
from mothermold.site import building
from mothermold.trade.rules import Rule
from mothermold.view.editions import EDITIONS, Edition
from mothermold.view.ruling import added_rules
from mothermold.view.view import View, open_view


def run(command: Command, asked: argparse.Namespace) -> int:
    """Runs one command; prints; returns the exit code."""
    try:
        if command.name in _DEEDS:
            _DEEDS[command.name](asked)
            return 0
        result = _ANSWERS[command.name](asked)
    except RefusedError as refusal:
        _print_refusal(command, asked, RefusedError(*refusal.notices, *_unsettled(asked)))
        return 1
    except StoppedError as stopped:
        sys.stderr.write(f"{stopped}\n")
        return 1
    except CannotRunError as problem:
        sys.stderr.write(f"{shorter(str(problem))}\n")
        return 2
    except BrokenPipeError:
        raise
    except OSError as problem:
        # A name too long for the disk, a full disk, a folder that went away while it was read.
        place = f"`{problem.filename}` cannot be used" if problem.filename else "The computer refused"
        sys.stderr.write(f"{shorter(place)}: {problem.strerror or problem}.\n")
        return 2
    _print(command, asked, replace(result, notices=(*result.notices, *_unsettled(asked))))
    return 0 if result.ok else 1


def _edition(asked: argparse.Namespace) -> Edition:
    if asked.edition not in EDITIONS:
        raise refused("unknown-edition", f"`{asked.edition}` is no edition.", f"Type one of {', '.join(EDITIONS)}.")
    return asked.edition  # type: ignore[no-any-return]


def _book(asked: argparse.Namespace) -> Path:
    start = Path(asked.book or ".")
    if not start.is_dir():
        raise CannotRunError(f"There is no folder {start}.")
    root = find_book(start)
    if root is None:
        raise CannotRunError(
            f"No book here: neither {start.resolve()} nor a folder above it holds recipes/book.yaml.\n"
            "Type `mothermold init DIR` to make one, or `mothermold demo` to look at the sample book."
        )
    return root


def _view(asked: argparse.Namespace) -> View:
    asked.view = open_view(_book(asked), _edition(asked))
    return asked.view  # type: ignore[no-any-return]


def _unsettled(asked: argparse.Namespace) -> tuple[Notice, ...]:
    """Why the settings of the book that was asked cannot be read: every answer may be another with them."""
    view: View | None = getattr(asked, "view", None)
    return view.unsettled if view is not None else ()


def _own_rules(asked: argparse.Namespace) -> dict[str, Rule]:
    """What the book one stands in adds to the rules; nothing outside of one."""
    root = find_book(Path(asked.book or "."))
    return added_rules(root) if root is not None else {}


def _castings(asked: str | None) -> int:
    if asked is None:
        return 1
    # Figures in other positions, as `²`, count as digits for the language, and for nobody else.
    if not (asked.isascii() and asked.isdigit() and len(asked) <= 4 and int(asked) >= 1):
        raise refused(
            "out-of-range", f"--castings: `{asked}` is no number of castings.", "Give a whole number from 1 to 9999."
        )
    return int(asked)


def _mix(asked: argparse.Namespace) -> Result:
    given = _options(asked, batch.Asked) | {"castings": _castings(asked.castings)}
    wish = batch.Asked(**given)
    return batch.mix_batch(_view(asked), asked.recipe, asked.mix, wish)


def _options(asked: argparse.Namespace, kind: Any) -> dict[str, Any]:
    """The options of a command by name, as the dataclass of what it can be asked has them."""
    return {each.name: getattr(asked, each.name) for each in fields(kind)}


def _schema(asked: argparse.Namespace) -> Result:
    if asked.write is not None:
        write_schemas(Path(asked.write), schemas.schema_files())
    return Result(schemas.all_schemas())


_ANSWERS: Final[Mapping[str, Callable[[argparse.Namespace], Result]]] = {
    "check": lambda asked: check.check_book(_view(asked)),
    "about": lambda asked: meanings.explain(asked.code, _own_rules(asked)),
    "find": lambda asked: find.find_documents(
        _view(asked), asked.words, find.Narrowed(**_options(asked, find.Narrowed))
    ),
    "evidence": lambda asked: evidence.weigh_evidence(_view(asked), asked.failure),
    "versions": lambda asked: versions.list_versions(_view(asked), asked.recipe),
    "diff": lambda asked: difference.explain_difference(_view(asked), asked.recipe, asked.a, asked.b),
    "changes": lambda asked: changes.changes_since(_view(asked), asked.since),
    "mix": _mix,
    "gypsum": lambda asked: gypsum.reckon_gypsum(gypsum.Asked(**_options(asked, gypsum.Asked))),
    "cure": lambda asked: cure.reckon_cure(cure.Asked(**_options(asked, cure.Asked))),
    "vapor": lambda asked: vapor.reckon_vapor(_view(asked), asked.recipe, vapor.Asked(**_options(asked, vapor.Asked))),
    "open": lambda asked: open_for(
        _book(asked), asked.document, asked.to, Terminal(), yes=asked.yes, asks=_asks(asked) and asked.format == "text"
    ),
    "curve": lambda asked: curve.reckon_curve(curve.Asked(**_options(asked, curve.Asked))),
    "cavity": lambda asked: cavity.measure_cavity(cavity.Asked(**_options(asked, cavity.Asked))),
    "export": lambda asked: export.export_book(_view(asked)),
    "schema": _schema,
}

# What a command answers where it refuses: the same keys, with nothing in them.
_EMPTY: Final[Mapping[str, Mapping[str, Any]]] = {
    "check": check.EMPTY, "about": meanings.EMPTY, "find": find.EMPTY, "evidence": evidence.EMPTY, "versions": versions.EMPTY, "diff": difference.EMPTY, "changes": changes.EMPTY,
    "mix": batch.EMPTY, "cavity": cavity.EMPTY, "gypsum": gypsum.EMPTY, "cure": cure.EMPTY, "curve": curve.EMPTY, "vapor": vapor.EMPTY,
    "open": opening.EMPTY, "export": export.EMPTY, "schema": {},
}  # fmt: skip


def _say(text: str) -> None:
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


def _build(asked: argparse.Namespace) -> None:
    edition, book = _edition(asked), _book(asked)
    out = Path(asked.out) if asked.out else None
    if asked.one_file is not None:
        _tell_built(_one_file(asked, out))
        return
    built = building.build_site(book, edition, out, strict=asked.strict, forget=asked.forget)
    _say(built.said)
    _tell_built(built.view)


def _one_file(asked: argparse.Namespace, out: Path | None) -> View:
    if asked.strict or asked.forget:
        raise CannotRunError("--strict and --forget are of the site; leave them away with --one-file.")
    from mothermold.site.carried.placing import build_one_file  # noqa: PLC0415 - only this needs it

    view = _view(asked)
    _say(build_one_file(view, asked.one_file, out))
    return view


# What an edition lacks is said where it is asked for, though it is no error.
_NOT_WHOLE: Final = frozenset({"open-not-saved", "pins-not-open"})


def _tell_built(view: View) -> None:
    if not view.recipes:
        _say(
            f"No recipe is in the {view.edition} edition. A document is private until it says `visibility: {view.edition}`;\n"
            f"a recipe needs it in its materials too: `mothermold open RECIPE --to {view.edition}` asks once for all of it.\n"
            "For your own eyes: `mothermold build --for private`."
        )
    for notice in view.notices:
        if notice.severity == "error" or (view.edition != "private" and notice.code in _NOT_WHOLE):
            _say(as_text(notice))


def _serve(asked: argparse.Namespace) -> None:
    edition, book = _edition(asked), _book(asked)
    if edition != "private":
        _tell_built(open_view(book, edition))
    if not asked.phone:
        if asked.host is not None or asked.port is not None:
            raise CannotRunError("--host and --port go with `serve --phone`; without it this computer alone is served.")
        _serve_book(book, edition)
        return
    from mothermold.site.phone.serving import serve_phone  # noqa: PLC0415 - the site builder is heavy

    serve_phone(book, edition, _say, host=asked.host, port=_port(asked.port))


def _port(asked: str | None) -> int | None:
    if asked is None:
        return None
    if not (asked.isascii() and asked.isdigit() and len(asked) < 6 and 1024 <= int(asked) <= 65535):
        raise CannotRunError(f"--port: `{asked}` is no port for this; give a whole number from 1024 to 65535.")
    return int(asked)


def _serve_book(book: Path, edition: Edition) -> None:
    from mothermold.site.plugin import serve_book  # noqa: PLC0415 - the site builder is heavy

    address = building.free_address()
    _say(f"The {edition} edition is at http://{address}/ for this computer alone. Stop it with Ctrl+C.")
    serve_book(book, edition, address)
    _say("Stopped.")


def _demo(asked: argparse.Namespace) -> None:
    folder = Path(asked.dir)
    _say(f"Laying out the sample book in {folder} ...")
    _say(replay_story(folder))
    _say("Building its site ...")
    _say(building.build_site(folder, "private", None).said)
    if not asked.no_serve:
        _serve_book(folder, "private")


def _asks(asked: argparse.Namespace) -> bool:
    """Whether questions may be asked: only of someone who sits there."""
    return not asked.yes and sys.stdin is not None and sys.stdin.isatty()


def _init(asked: argparse.Namespace) -> None:
    folder = Path(asked.dir)
    may_be_founded(folder)
    about = known_whereabouts(folder)
    if sys.stdin is not None and sys.stdin.isatty():
        about = ask_whereabouts(Terminal(), about)
    _say(found_book(folder, about))


def _save(asked: argparse.Namespace) -> None:
    wish = Wish(asked.why.strip(), tuple(asked.fixes), asked.keep_number, asked.with_errors)
    save_book(_book(asked), wish, Terminal(), asks=_asks(asked))


def _bring(asked: argparse.Namespace) -> None:
    there = sys.stdin is not None and sys.stdin.isatty()
    _say(bring_runs(_book(asked), asked.file, Terminal(), to=asked.to, asks=there))


def _undo(asked: argparse.Namespace) -> None:
    deed = put_back if asked.unsaved else undo_save
    deed(_book(asked), Terminal(), asks=_asks(asked))


def _new(asked: argparse.Namespace) -> None:
    start(_book(asked), Terminal(), asked.kind, source=asked.source)


_DEEDS: Final[Mapping[str, Callable[[argparse.Namespace], None]]] = {
    "init": _init,
    "demo": _demo,
    "new": _new,
    "save": _save,
    "bring": _bring,
    "undo": _undo,
    "build": _build,
    "serve": _serve,
}


def _print(command: Command, asked: argparse.Namespace, result: Result) -> None:
    if asked.format == "json":
        _print_json({**result.data, "notices": _notice_data(result.notices)}, command)
        return
    sys.stdout.write(TEXTS[command.name](result))


def _print_refusal(command: Command, asked: argparse.Namespace, refusal: RefusedError) -> None:
    if getattr(asked, "format", "text") == "json":
        _print_json({**_EMPTY[command.name], "notices": _notice_data(refusal.notices)}, command)
        return
    sys.stderr.write("\n".join(as_text(notice) for notice in refusal.notices) + "\n")


def _notice_data(notices: Any) -> list[dict[str, Any]]:
    ordered: list[Notice] = in_order(notices)
    return [as_data(notice) for notice in ordered]


def _print_json(data: Mapping[str, Any], command: Command) -> None:
    if command.name == "check":
        data = {key: data[key] for key in ("notices", "errors", "warnings")}
    elif command.name == "schema":
        data = {key: value for key, value in data.items() if key != "notices"}
    sys.stdout.write(json.dumps(data, ensure_ascii=False, indent=2) + "\n")
