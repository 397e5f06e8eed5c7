"""Where the one file goes, and that nobody else's file is written over."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Final

from mothermold.book.root import RECIPES
from mothermold.ground.errors import CannotRunError, refused
from mothermold.ground.writing import place_bytes
from mothermold.model.build import Build
from mothermold.model.course import Course
from mothermold.publish.carried.course_file import course_file, pinned
from mothermold.publish.carried.one_file import MARK, chosen, one_file
from mothermold.publish.carried.write_up_file import write_up_file
from mothermold.view.editions import Edition
from mothermold.view.view import View

_COURSES: Final = "courses/"


def build_one_file(view: View, asked: Sequence[str], out: Path | None) -> str:
    """Makes the file and puts it in its place.

    Args:
        view: The edition.
        asked: The recipes wanted, or one course, or one build for its write-up; all recipes in use where none is named.
        out: The file, or the folder it goes into; ``site`` in the book unless given.

    Returns:
        One sentence on what was made.

    Raises:
        RefusedError: ``unknown-recipe``, or ``not-ours`` where somebody else's file stands there.
        CannotRunError: The disk refused.
    """
    if len(asked) == 1 and (course := asked[0].removeprefix(_COURSES)) in view.of(Course):
        return _build_course(view, course, out)
    if len(asked) == 1 and asked[0] in view.of(Build):
        return _build_write_up(view, asked[0], out)
    addresses = chosen(view, asked)
    path = _path(view, addresses if asked else (), out)
    _refuse_foreign(path)
    data = one_file(view, addresses if asked else ()).encode("utf-8")
    place_bytes(path, data)
    count = f"{len(addresses)} recipe{'' if len(addresses) == 1 else 's'}"
    return (
        f"{path} holds {count} of the {view.edition} edition ({_size(len(data))}). "
        "Copy it to the phone and open it there; it needs no signal."
    )


def usual_edition(book: Path, asked: Sequence[str]) -> Edition:
    """The edition a file is made of where nobody says: that of the class where it is a course, else the public one."""
    courses = {path.stem for path in (book / RECIPES / _COURSES).rglob("*.yaml")}
    return "class" if len(asked) == 1 and asked[0].removeprefix(_COURSES) in courses else "public"


def _build_course(view: View, course: str, out: Path | None) -> str:
    path = _named(out) or (out or view.root / "site") / f"{view.edition}-{course}.html"
    _refuse_foreign(path)
    data = course_file(view, course).encode("utf-8")
    place_bytes(path, data)
    count, pins = len(pinned(view, course)), len(view.models(Course)[course].pins)
    return (
        f"{path} holds the course {view.models(Course)[course].title} with {count} of the {pins} recipes it pins, in the "
        f"{view.edition} edition ({_size(len(data))}). It can be given to the class; it asks nothing of anybody."
    )


def _build_write_up(view: View, build: str, out: Path | None) -> str:
    path = _named(out) or (out or view.root / "site") / f"{view.edition}-{build}.html"
    _refuse_foreign(path)
    data = write_up_file(view, build).encode("utf-8")
    place_bytes(path, data)
    return (
        f"{path} holds the write-up of {view.models(Build)[build].title} in the {view.edition} edition "
        f"({_size(len(data))}). It can be given away; it asks nothing of anybody."
    )


def _size(count: int) -> str:
    return f"{count / 1_000_000:.1f} MB" if count >= 1_000_000 else f"{max(count // 1000, 1)} kB"


def _path(view: View, addresses: Sequence[str], out: Path | None) -> Path:
    if (named := _named(out)) is not None:
        return named
    names = [each.rpartition("/")[2] for each in addresses]
    alike = [each.rpartition("/")[2] for each in view.recipes]
    if any(alike.count(name) > 1 for name in names):
        names = [each.replace("/", "-") for each in addresses]
    if len(names) > 3:
        names = [f"{len(names)}-recipes"]
    return (out or view.root / "site") / ("-".join([view.edition, *names]) + ".html")


def _named(out: Path | None) -> Path | None:
    """The file itself, where one is asked for and not the folder it goes into."""
    is_file = out is not None and out.suffix.lower() in (".html", ".htm") and not out.is_dir()
    return out if is_file else None


def _refuse_foreign(path: Path) -> None:
    try:
        with path.open("rb") as stream:
            ours = stream.read(len(MARK.encode())) == MARK.encode()
    except FileNotFoundError:
        return
    except OSError as problem:
        raise CannotRunError(f"{path} could not be read: {problem.strerror or problem}.") from problem
    if not ours:
        raise refused(
            "not-ours",
            f"{path} was put there by somebody else.",
            "Choose another name with `--out`, or move that file away; nothing was written.",
        )
