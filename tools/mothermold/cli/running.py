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
from mothermold.cli.asked import book_of, say, view_of
from mothermold.cli.asking import Terminal
from mothermold.cli.commands import Command
from mothermold.cli.publishing import build, demo, serve
from mothermold.cli.texts import TEXTS
from mothermold.desk.asking import StoppedError
from mothermold.desk.bringing import bring_runs
from mothermold.desk.founding import found_book, may_be_founded, write_schemas
from mothermold.desk.numbering import Wish
from mothermold.desk.opening import open_for
from mothermold.desk.putting_back import put_back
from mothermold.desk.saving import save_book
from mothermold.desk.starting import start
from mothermold.desk.undoing import undo_save
from mothermold.desk.whereabouts import ask_whereabouts, known_whereabouts
from mothermold.ground.errors import CannotRunError, RefusedError
from mothermold.ground.notices import Notice, in_order
from mothermold.ground.rendering import as_data, as_text
from mothermold.ground.words import shorter
from mothermold.trade.rules import Rule
from mothermold.view.ruling import added_rules
from mothermold.view.view import View


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
            "out-of-range", f"--castings: `{asked}` is not a number of castings.", "Give a whole number from 1 to 9999."
        )
    return int(asked)


def _mix(asked: argparse.Namespace) -> Result:
    given = _options(asked, batch.Asked) | {"castings": _castings(asked.castings)}
    wish = batch.Asked(**given)
    return batch.mix_batch(view_of(asked), asked.recipe, asked.mix, wish)


def _options(asked: argparse.Namespace, kind: Any) -> dict[str, Any]:
    """The options of a command by name, as the dataclass of what it can be asked has them."""
    return {each.name: getattr(asked, each.name) for each in fields(kind)}


def _schema(asked: argparse.Namespace) -> Result:
    if asked.write is not None:
        write_schemas(Path(asked.write), schemas.schema_files())
    return Result(schemas.all_schemas())


_ANSWERS: Final[Mapping[str, Callable[[argparse.Namespace], Result]]] = {
    "check": lambda asked: check.check_book(view_of(asked)),
    "about": lambda asked: meanings.explain(asked.code, _own_rules(asked)),
    "find": lambda asked: find.find_documents(
        view_of(asked), asked.words, find.Narrowed(**_options(asked, find.Narrowed))
    ),
    "evidence": lambda asked: evidence.weigh_evidence(view_of(asked), asked.failure),
    "versions": lambda asked: versions.list_versions(view_of(asked), asked.recipe),
    "diff": lambda asked: difference.explain_difference(view_of(asked), asked.recipe, asked.a, asked.b),
    "changes": lambda asked: changes.changes_since(view_of(asked), asked.since),
    "mix": _mix,
    "gypsum": lambda asked: gypsum.reckon_gypsum(gypsum.Asked(**_options(asked, gypsum.Asked))),
    "cure": lambda asked: cure.reckon_cure(cure.Asked(**_options(asked, cure.Asked))),
    "vapor": lambda asked: vapor.reckon_vapor(
        view_of(asked), asked.recipe, vapor.Asked(**_options(asked, vapor.Asked))
    ),
    "open": lambda asked: open_for(
        book_of(asked),
        asked.document,
        asked.to,
        Terminal(),
        yes=asked.yes,
        asks=_asks(asked) and asked.format == "text",
    ),
    "curve": lambda asked: curve.reckon_curve(curve.Asked(**_options(asked, curve.Asked))),
    "cavity": lambda asked: cavity.measure_cavity(cavity.Asked(**_options(asked, cavity.Asked))),
    "export": lambda asked: export.export_book(view_of(asked)),
    "schema": _schema,
}

# What a command answers where it refuses: the same keys, with nothing in them.
_EMPTY: Final[Mapping[str, Mapping[str, Any]]] = {
    "check": check.EMPTY, "about": meanings.EMPTY, "find": find.EMPTY, "evidence": evidence.EMPTY, "versions": versions.EMPTY, "diff": difference.EMPTY, "changes": changes.EMPTY,
    "mix": batch.EMPTY, "cavity": cavity.EMPTY, "gypsum": gypsum.EMPTY, "cure": cure.EMPTY, "curve": curve.EMPTY, "vapor": vapor.EMPTY,
    "open": opening.EMPTY, "export": export.EMPTY, "schema": {},
}  # fmt: skip


def _asks(asked: argparse.Namespace) -> bool:
    """Whether questions may be asked: only of someone who sits there."""
    return not asked.yes and sys.stdin is not None and sys.stdin.isatty()


def _init(asked: argparse.Namespace) -> None:
    folder = Path(asked.dir)
    may_be_founded(folder)
    about = known_whereabouts(folder)
    if sys.stdin is not None and sys.stdin.isatty():
        about = ask_whereabouts(Terminal(), about)
    say(found_book(folder, about))


def _save(asked: argparse.Namespace) -> None:
    wish = Wish(asked.why.strip(), tuple(asked.fixes), asked.keep_number, asked.with_errors)
    save_book(book_of(asked), wish, Terminal(), asks=_asks(asked))


def _bring(asked: argparse.Namespace) -> None:
    there = sys.stdin is not None and sys.stdin.isatty()
    say(bring_runs(book_of(asked), asked.file, Terminal(), to=asked.to, asks=there))


def _undo(asked: argparse.Namespace) -> None:
    deed = put_back if asked.unsaved else undo_save
    deed(book_of(asked), Terminal(), asks=_asks(asked))


def _new(asked: argparse.Namespace) -> None:
    start(book_of(asked), Terminal(), asked.kind, source=asked.source)


_DEEDS: Final[Mapping[str, Callable[[argparse.Namespace], None]]] = {
    "init": _init,
    "demo": demo,
    "new": _new,
    "save": _save,
    "bring": _bring,
    "undo": _undo,
    "build": build,
    "serve": serve,
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
