"""Edits of a book as people and programs make them, one after the other, from a seed."""

from __future__ import annotations

import os
import random
import re
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Final

_LINE: Final = re.compile(r"^(?P<key>[ \-]*(?P<name>[a-z_]+): )(?P<value>\S.*)$")
_REFERS: Final = re.compile(
    r"(?:cast|mold|core|sculpt|lifecast|apply|application|finish|removal|wear)/[a-z0-9-]+(?:@\d+)?"
)


class Edits:
    """Edits of one book.

    Args:
        root: The book, saved at least once.
        seed: The same seed, the same edits.
    """

    def __init__(self, root: Path, seed: int) -> None:
        self.root, self.rng = root, random.Random(seed)
        self.ways: dict[str, Callable[[], str | None]] = {
            "another value": self._another_value,
            "a value of another document": self._borrowed_value,
            "a line less": self._less,
            "a line twice": self._twice,
            "a recipe named elsewhere": self._renamed_reference,
            "visibility": self._visibility,
            "a file gone": self._gone,
            "a file renamed": self._renamed,
            "a file copied": self._copied,
            "settings": self._settings,
            "a note about an old version": self._note,
            "a comment": self._comment,
            "saved": self._saved,
            "as last saved": self._put_back,
            "a save undone": self._undone,
        }

    def one(self) -> str:
        """Makes the next edit; what it was, in words."""
        while True:
            way = self.rng.choice(list(self.ways))
            if (what := self.ways[way]()) is not None:
                return f"{way}: {what}"

    def git(self, *words: str) -> str:
        """Runs git in the book."""
        known = {"GIT_AUTHOR_NAME": "x", "GIT_AUTHOR_EMAIL": "x", "GIT_COMMITTER_NAME": "x", "GIT_COMMITTER_EMAIL": "x"}
        done = subprocess.run(
            ["git", *words], cwd=self.root, env={**os.environ, **known}, capture_output=True, text=True, check=False
        )
        return done.stdout

    def _files(self) -> list[Path]:
        return sorted((self.root / "recipes").rglob("*.yaml"))

    def _file(self) -> Path:
        return self.rng.choice(self._files())

    def _lines(self, file: Path) -> tuple[list[str], list[int]]:
        lines = file.read_text(encoding="utf-8").split("\n")
        return lines, [number for number, line in enumerate(lines) if _LINE.match(line)]

    def _replaced(self, file: Path, change: Callable[[list[str], int], None]) -> str | None:
        lines, typed = self._lines(file)
        if not typed:
            return None
        at = self.rng.choice(typed)
        was = lines[at]
        change(lines, at)
        file.write_text("\n".join(lines), encoding="utf-8")
        return f"{file.relative_to(self.root)}:{at + 1} {was.strip()[:50]}"

    def _another_value(self) -> str | None:
        def change(lines: list[str], at: int) -> None:
            typed = _LINE.match(lines[at])
            assert typed is not None
            value = typed["value"]
            another = re.sub(r"\d+", lambda number: str(int(number[0]) + self.rng.choice([-1, 1, 7])), value)
            lines[at] = typed["key"] + (another if another != value else f"{value}x")

        return self._replaced(self._file(), change)

    def _borrowed_value(self) -> str | None:
        def change(lines: list[str], at: int) -> None:
            typed = _LINE.match(lines[at])
            assert typed is not None
            other, places = self._lines(self._file())
            found = (_LINE.match(other[place]) for place in places)
            values = [each["value"] for each in found if each and each["name"] == typed["name"]]
            lines[at] = typed["key"] + (self.rng.choice(values) if values else "")

        return self._replaced(self._file(), change)

    def _less(self) -> str | None:
        return self._replaced(self._file(), lambda lines, at: lines.pop(at) and None)

    def _twice(self) -> str | None:
        return self._replaced(self._file(), lambda lines, at: lines.insert(at, lines[at]))

    def _comment(self) -> str | None:
        return self._replaced(self._file(), lambda lines, at: lines.insert(at, "# a comment"))

    def _renamed_reference(self) -> str | None:
        file = self._file()
        text = file.read_text(encoding="utf-8")
        named = list(_REFERS.finditer(text))
        if not named:
            return None
        place, another = self.rng.choice(named), self.rng.choice(named)[0].split("@")[0]
        new = f"{another}@{self.rng.randint(1, 4)}"
        file.write_text(text[: place.start()] + new + text[place.end() :], encoding="utf-8")
        return f"{file.relative_to(self.root)} {place[0]} -> {new}"

    def _visibility(self) -> str | None:
        file, level = self._file(), self.rng.choice(["private", "class", "public"])
        text = file.read_text(encoding="utf-8")
        plain = re.sub(r"^visibility:.*\n", "", text, flags=re.MULTILINE)
        file.write_text(plain.rstrip("\n") + f"\nvisibility: {level}\n", encoding="utf-8")
        return f"{file.relative_to(self.root)} {level}"

    def _gone(self) -> str | None:
        file = self._file()
        file.unlink()
        return str(file.relative_to(self.root))

    def _renamed(self) -> str | None:
        file = self._file()
        new = file.with_name(f"{file.stem}-b.yaml")
        if self.rng.random() < 0.5 and "stage:" in file.read_text(encoding="utf-8"):
            address = file.relative_to(self.root / "recipes").with_suffix("").as_posix()
            with file.open("a", encoding="utf-8") as more:
                more.write(f"\nformerly: [{address}]\n")
        file.rename(new)
        return str(new.relative_to(self.root))

    def _copied(self) -> str | None:
        file = self._file()
        new = file.with_name(f"{file.stem}-copy.yaml")
        new.write_bytes(file.read_bytes())
        return str(new.relative_to(self.root))

    def _settings(self) -> str | None:
        file = self.root / "recipes" / "book.yaml"
        if not file.is_file():
            return None
        return self._replaced(file, lambda lines, at: lines.pop(at) and None)

    def _note(self) -> str | None:
        recipes = [each for each in self._files() if "stage:" in each.read_text(encoding="utf-8")]
        if not recipes:
            return None
        address = self.rng.choice(recipes).relative_to(self.root / "recipes").with_suffix("").as_posix()
        number = self.rng.randint(0, 999)
        file = self.root / "recipes" / "failures" / f"note-{number}.yaml"
        file.parent.mkdir(exist_ok=True)
        file.write_text(
            f"title: A rim lifts {number}\nsymptoms: [rim lifts]\ncauses:\n  - what: Too thin\n"
            f"fixes:\n  - do: Thicker\n    in: {address}@{self.rng.randint(1, 3)}\n",
            encoding="utf-8",
        )
        return f"{file.name} about {address}"

    def _saved(self) -> str | None:
        self.git("add", "-A")
        self.git("commit", "-qm", "Saved.")
        return self.git("rev-parse", "--short", "HEAD").strip()

    def _put_back(self) -> str | None:
        self.git("checkout", "-q", "--", ".")
        return ""

    def _undone(self) -> str | None:
        self.git("add", "-A")
        self.git("commit", "-qm", "Saved.")
        self.git("revert", "--no-edit", "HEAD")
        return ""
