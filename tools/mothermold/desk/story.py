"""Replays the sample book's story into a fresh repository: the same chapters, the same dates, every time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Final

import yaml

from mothermold.answers.schemas import write_schemas
from mothermold.desk.founding import ATTRIBUTES, IGNORED, must_be_free, program
from mothermold.ground.errors import CannotRunError
from mothermold.ground.writing import place_bytes, settle, write_text
from mothermold.history.making import Recorder

STORY: Final = Path(__file__).parents[1] / "story"
# What a file says last stands in the book of this checkout alone; a package carries that book beside the story.
_PACKED: Final = STORY / "last"
LAST: Final = _PACKED if _PACKED.is_dir() else Path(__file__).parents[3]


@dataclass(frozen=True, slots=True)
class Chapter:
    """One saved moment of the story.

    Attributes:
        id: Its folder.
        moment: When it was saved.
        message: Why, in the artist's words.
        removes: Files that go away, relative to the book.
        last: Files it writes as they stand in the book in the end.
    """

    id: str
    moment: datetime
    message: str
    removes: tuple[str, ...]
    last: tuple[str, ...]

    def files(self) -> Iterator[tuple[str, bytes]]:
        """The files it writes, relative to the book, with all that is in them."""
        folder = STORY / self.id
        earlier = (path for path in (folder / "recipes").rglob("*") if path.is_file())
        found = {path.relative_to(folder).as_posix(): path for path in earlier} | {
            name: LAST / name for name in self.last
        }
        for name, path in sorted(found.items()):
            yield name, path.read_bytes()


def chapters() -> tuple[Chapter, ...]:
    """The story in order: its folders are named by their days."""
    return tuple(_chapter(path) for path in sorted(STORY.glob("*/chapter.yaml")))


def _chapter(path: Path) -> Chapter:
    told = yaml.safe_load(path.read_text(encoding="utf-8"))
    removes, last = (tuple(told.get(key) or ()) for key in ("removes", "last"))
    return Chapter(path.parent.name, _moment(told["date"]), str(told["message"]), removes, last)


def _moment(written: object) -> datetime:
    return written if isinstance(written, datetime) else datetime.fromisoformat(str(written))


def replay_story(folder: Path) -> str:
    """Lays out the sample book with its history in a new or empty folder and says what to look at.

    Raises:
        RefusedError: ``not-empty`` where something already lies there.
        CannotRunError: Without the program git there is no history to lay out.
    """
    must_be_free(folder)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        raise CannotRunError(f"{folder} could not be made: {problem.strerror or problem}.") from problem
    write_text(folder / ".gitignore", IGNORED)
    write_text(folder / ".gitattributes", ATTRIBUTES)
    write_schemas(folder / "schema")
    recorder = Recorder(folder)
    told = chapters()
    for chapter in told:
        for file, data in chapter.files():
            place_bytes(folder / file, data, waits=False)
        for file in chapter.removes:
            (folder / file).unlink()
        recorder.save(chapter.message, chapter.moment)
    settle()
    return (
        f"The sample book, an invented build, lies in {folder} with its {len(told)} saved moments.\n"
        f"Try:  {program()} -C {folder} check\n"
        f"      {program()} -C {folder} versions cast/face-piece\n"
        f"      {program()} -C {folder} diff cast/face-piece 3 4\n"
        f"      {program()} -C {folder} mix cast/face-piece base"
    )
