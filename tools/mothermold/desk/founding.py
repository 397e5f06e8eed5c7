"""Makes a new or empty folder an empty book: folders, settings, editor help, git without a commit.

The settings come last: only with them it is a book, so that one that was stopped half way can be begun again.
"""

from __future__ import annotations

import json
import shutil
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from mothermold.answers.schemas import schema_files
from mothermold.book.files import SETTINGS_FILE
from mothermold.book.root import find_book
from mothermold.desk.scalars import entry_lines
from mothermold.ground.errors import CannotRunError, refused
from mothermold.ground.writing import broken_off, write_text
from mothermold.history.making import make_repository
from mothermold.model.kinds import KINDS
from mothermold.trade.vocabulary import STAGES

IGNORED: Final = """\
# Health facts and original photos never enter the book's history.
private/
# The site is made from the book, never kept in it.
site/
# So are handouts.
/handouts/
# Runs from the bench wait here until `mothermold bring` takes them in.
/inbox/
"""

ATTRIBUTES: Final = """\
* text=auto eol=lf
*.jpg binary
*.jpeg binary
*.png binary
*.webp binary
"""

FOLDERS: Final = (*STAGES, *(kind.folder for kind in KINDS.values() if kind.folder))
"""What a new book holds below `recipes`."""

_SETTINGS: Final = """\
{modelines}{title}
currency: {currency}
time_zone: {zone}
hours:
  mon: 09:00-18:00
  tue: 09:00-18:00
  wed: 09:00-18:00
  thu: 09:00-18:00
  fri: 09:00-18:00
scales:
  - {{id: fine, step: 0.01 g, up_to: 200 g}}
  - {{id: bench, step: 0.1 g, up_to: 5 kg}}
"""


@dataclass(frozen=True, slots=True)
class Whereabouts:
    """What the settings say of a book.

    Attributes:
        title: What it is called.
        zone: Its time zone, as Europe/Berlin.
        currency: Its money in three letters.
    """

    title: str = "My process book"
    zone: str = "UTC"
    currency: str = "EUR"


def modelines(kind: str, file: str) -> str:
    """The two comment lines by which editors find the schema, relative to the file, for either way of asking.

    Args:
        kind: The kind of document.
        file: Its path relative to the book.
    """
    schema = "../" * file.count("/") + f"schema/{kind}.schema.json"
    return f"# yaml-language-server: $schema={schema}\n# $schema: {schema}\n"


def may_be_founded(folder: Path) -> None:
    """Refuses a folder that cannot become a book.

    Raises:
        RefusedError: ``not-empty`` where something already lies there, ``inside-a-book`` where it would lie in another one.
    """
    if not _is_half_laid(folder):
        must_be_free(folder)
    if (outer := find_book(folder.parent)) is not None:
        raise refused(
            "inside-a-book",
            f"{folder} would lie inside the book {outer}.",
            "Choose a folder beside that book, not in it; nothing was written.",
        )


def found_book(folder: Path, about: Whereabouts | None = None) -> str:
    """Makes the folder a book and says what to do next.

    Args:
        folder: A new or empty folder.
        about: Its title, zone and money; the usual ones unless given.

    Raises:
        RefusedError: As ``may_be_founded``.
        CannotRunError: The folder cannot be written.
    """
    may_be_founded(folder)
    about = about or Whereabouts()
    laid = _laid()
    try:
        for name in _LAID_FOLDERS:
            (folder / name).mkdir(parents=True, exist_ok=True)
        for left in broken_off(folder):
            left.unlink()
    except OSError as problem:
        raise CannotRunError(f"{folder} could not be made: {problem.strerror or problem}.") from problem
    for file, text in laid.items():
        if not (folder / file).exists():
            write_text(folder / file, text)
    title = "\n".join(entry_lines("title: ", about.title, 0))
    settings = _SETTINGS.format(
        modelines=modelines("book", SETTINGS_FILE), title=title, zone=about.zone, currency=about.currency
    )
    told = make_repository(folder)
    write_text(folder / SETTINGS_FILE, settings)
    lines = [
        f"{folder} is a book now.",
        *([told] if told else []),
        f"Go there, and type `{program()} new material`; then `new recipe`, and so on: it asks, shows, and writes.",
        '`check` says what is missing, `save` keeps everything, `serve` shows it, with a page "Your first evening".',
    ]
    return "\n".join(lines)


def program() -> str:
    """How to call the tool from any folder: by its name where the terminal finds it, else by its whole path."""
    beside = Path(sys.executable).with_name("mothermold")
    return "mothermold" if not beside.is_file() or shutil.which("mothermold") == str(beside) else str(beside)


def must_be_free(folder: Path) -> None:
    """Refuses a folder in which something already lies."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise refused("not-empty", f"{folder} is not empty.", "Choose a new folder; nothing was written.")


_LAID_FOLDERS: Final = (*(f"recipes/{name}" for name in FOLDERS), "private", "schema", ".vscode")


def _laid() -> dict[str, str]:
    """The files of a new book but its settings, by their names."""
    return {
        ".gitignore": IGNORED,
        ".gitattributes": ATTRIBUTES,
        ".vscode/settings.json": _editor_settings(),
        **{f"schema/{name}": text for name, text in schema_files().items()},
    }


def _is_half_laid(folder: Path) -> bool:
    """Whether all that lies in a folder is what a founding laid there that was stopped before its end."""
    if not folder.is_dir():
        return False
    laid, left = _laid(), set(broken_off(folder))
    folders = {Path(*parts[:end]) for name in _LAID_FOLDERS for parts in (Path(name).parts,) for end in range(1, 3)}
    for path in folder.rglob("*"):
        inside = path.relative_to(folder)
        if inside.parts[0] == ".git":
            if inside.match(".git/refs/heads/*") or inside.match(".git/objects/??/*") or inside.name == "packed-refs":
                return False
        elif path.is_dir():
            if inside not in folders:
                return False
        elif path not in left and laid.get(inside.as_posix(), "").encode() != path.read_bytes():
            return False
    return True


def _editor_settings() -> str:
    schemas = {f"schema/{kind}.schema.json": _globs(kind) for kind in KINDS}
    return json.dumps({"yaml.schemas": schemas, "files.eol": "\n", "editor.insertSpaces": True}, indent=2) + "\n"


def _globs(kind: str) -> list[str]:
    if kind == "recipe":
        return [f"recipes/{stage}/**/*.yaml" for stage in STAGES]
    row = KINDS[kind]
    any_name = "*" if kind == "build" else "**/*"
    return [f"recipes/{row.file_of(any_name)}"] + (
        [f"recipes/builds/*/{row.file_of(any_name)}"] if row.in_builds else []
    )
