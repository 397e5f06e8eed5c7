"""What reading costs: `python tests/bench/reading.py [RECIPES] [VERSIONS]`, by hand, in processor time and memory.

The reference is `yaml.load(CSafeLoader)` of the same texts in the same run: every text the sample book's story tells, and a
book made up. Medians of five, so names and amounts are known by then; the book is opened once, by a program that knows
nothing. Memory is Linux's own account.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

import yaml
from books import LargeBook
from measuring import TOOLS, median, row

sys.path.insert(0, str(TOOLS))

from mothermold.book.characters import decode, find_character_faults
from mothermold.book.document import read_document
from mothermold.book.files import Place, place_of
from mothermold.book.quick import read_quickly
from mothermold.book.tree import read_tree
from mothermold.ground.memory import all_stays

STORY = TOOLS / "mothermold/story"
OPENED = """
import sys, time
from pathlib import Path
from mothermold.view.view import Whole
most = lambda: int(Path("/proc/self/status").read_text().partition("VmHWM:")[2].split()[0]) / 1000
start, before = time.process_time(), most()
whole = Whole.open(Path(sys.argv[1]))
[row.recipe for each in whole.versions.values() for row in each.rows]
print(time.process_time() - start, before, most())
"""

Text = tuple[str, str, str, bytes]
"""What `read_document` is given."""


def told() -> list[Text]:
    found = []
    for path in sorted(STORY.glob("*/recipes/**/*.yaml")):
        place = place_of(path.relative_to(STORY).as_posix().partition("/")[2])
        if isinstance(place, Place):
            found.append((place.kind, place.address, "recipes/it.yaml", path.read_bytes()))
    return found


def made_up(recipes: int, versions: int) -> list[Text]:
    saved = [text for each in LargeBook(recipes, versions, notes=0, runs=0).saves() for text in each.values()]
    return [("recipe", "cast/x", "recipes/cast/x.yaml", text.encode()) for text in saved if "steps:" in text]


def reading(name: str, given: list[Text]) -> float:
    texts = [text for _kind, _address, _file, data in given if isinstance(text := decode(data), str)]
    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    load = median(lambda: [yaml.load(text, loader) for text in texts])
    usual = sum(read_quickly(text) is not None for text in texts)
    print(f"{name}: {len(texts)} texts of {sum(map(len, texts)) // len(texts)} characters, {usual} of them usual")

    def told_row(what: str, work: Callable[[], object], goal: str) -> None:
        row(f"  {what}", median(work), load, "yaml.load(CSafeLoader)", goal)

    told_row("characters", lambda: [list(find_character_faults(text)) for text in texts], "-")
    told_row("tree, places on demand", lambda: [read_quickly(text) or read_tree(text) for text in texts], "<= 0.45")
    told_row("tree, every place", lambda: [read_tree(text) for text in texts], "-")
    told_row("read and checked", all_stays()(lambda: [read_document(*each).model for each in given]), "<= 0.7")
    return load / len(texts)


def main(recipes: int, versions: int) -> None:
    reading("the story of the sample book", told())
    load = reading("a book made up", made_up(max(recipes // 10, 1), versions))
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder) / "book"
        LargeBook(recipes, versions).make(root)
        told_by_it = subprocess.run(
            [sys.executable, "-c", OPENED, str(root)], capture_output=True, check=True, text=True
        )
        took, before, most = map(float, told_by_it.stdout.split())
        row(f"{recipes} x {versions} opened", took, load * recipes * versions, "yaml.load of all versions", "<= 3")
        print(
            f"  memory at most {most:.0f} MB, of which {before:.0f} MB before anything was read; goal <= 150 MB at 300 x 10"
        )


if __name__ == "__main__":
    main(*[int(word) for word in sys.argv[1:3]] or (300, 10))
