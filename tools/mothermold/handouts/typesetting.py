"""Lays a handout out as PDF: tagged, with the fonts that come along, and the same bytes whenever the same is laid out.

What a sheet says goes to the layout as data, never as code, and its files are handed over by name: nothing on the disk is read.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any, Final

from mothermold import pages
from mothermold.ground.errors import CannotRunError
from mothermold.handouts.label_sheets import LABEL_SHEETS, usual_labels
from mothermold.handouts.sheaf import Paper, Sheaf, SheetLeaf
from mothermold.trade.cautions import PICTOGRAMS
from mothermold.view.view import View

_HERE: Final = Path(__file__).parent
_SIGNS: Final = Path(pages.__file__).parent / "templates" / "icons" / "ghs"
_FONTS: Final = ("Atkinson Hyperlegible Next", "DejaVu Sans Mono", "Libertinus Serif", "New Computer Modern Math")
"""The face of the book, then those the layout brings along for letters it lacks."""
NO_GLYPH: Final = "□"
"""What stands for a letter no font has."""
_PAPERS: Final[Mapping[Paper, str]] = {"a4": "a4", "letter": "us-letter"}
_STANDARD: Final = "ua-1"
MARK: Final = "handout of a process book"
"""By this word in it a file is known as a handout, which a newer one may replace."""
_PAGES: Final = re.compile(rb"/Type/Pages/Count (\d+)")


@dataclass(frozen=True, slots=True)
class Printed:
    """A handout as it is printed.

    Attributes:
        pdf: The file.
        pages: How many pages it has.
        not_printed: The letters no font has; ``NO_GLYPH`` stands for each.
        fits: Whether it stands on the sides it should.
    """

    pdf: bytes
    pages: int
    not_printed: tuple[str, ...]
    fits: bool


def print_sheaf(view: View, sheaf: Sheaf, paper: Paper) -> Printed:
    """Lays a handout out.

    Args:
        view: The edition it was written from; the day of its last save is that of the file.
        sheaf: The handout.
        paper: The paper.

    Raises:
        CannotRunError: What lays it out is not installed.
    """
    if not sheaf.sides:
        return laid_out(view, sheaf, paper, sheaf.sizes[0])
    fitting: Printed | None = None
    low, high = 0, len(sheaf.sizes) - 1
    while low <= high:
        middle = (low + high) // 2
        made = laid_out(view, sheaf, paper, sheaf.sizes[middle])
        if made.pages <= sheaf.sides:
            fitting, high = made, middle - 1
        else:
            low = middle + 1
    # Where none fits, the smallest was laid out last.
    return fitting or replace(made, fits=False)


def laid_out(view: View, sheaf: Sheaf, paper: Paper, size: float) -> Printed:
    """A handout in letters of one size, in points."""
    files, missing = _handed(view, sheaf, paper, size)
    stamp = int(view.newest.timestamp()) if view.newest else 0
    pdf = _typst().compile(files, **_with_fonts(), pdf_standards=[_STANDARD], timestamp=stamp)
    count = _PAGES.search(pdf)
    assert count is not None
    return Printed(pdf, int(count[1]), missing, fits=True)


def seen(view: View, sheaf: Sheaf, paper: Paper, size: float, ppi: float) -> list[bytes]:
    """The same as pictures, a PNG for each page, for who wants to look at it."""
    files, _missing = _handed(view, sheaf, paper, size)
    made = _typst().compile(files, **_with_fonts(), format="png", ppi=ppi)
    return made if isinstance(made, list) else [made]


def _handed(view: View, sheaf: Sheaf, paper: Paper, size: float) -> tuple[dict[str, bytes], tuple[str, ...]]:
    """The files the layout sees, and the letters no font has."""
    told: dict[str, Any] = {
        "title": sheaf.title,
        "book": str(view.settings.title),
        "mark": MARK,
        "dated": view.newest is not None,
        "description": f"{sheaf.of}, {view.edition} edition",
        "leaves": [{key: getattr(leaf, key) for key in SheetLeaf.__slots__} for leaf in sheaf.leaves],
        "paper": _PAPERS[paper],
        "margin": sheaf.margin,
        "size": size,
        "fonts": list(_FONTS),
    }
    if sheaf.labels:
        sheet = LABEL_SHEETS[sheaf.label_sheet or usual_labels(paper)]
        told["labels"] = {**asdict(sheet), "paper": _PAPERS[sheet.paper], "labels": list(sheaf.labels)}
    text = json.dumps(told, ensure_ascii=False, sort_keys=True)
    missing = tuple(sorted(letter for letter in set(text) if not letter.isascii() and not _has_glyph(letter)))
    text = text.translate({ord(letter): NO_GLYPH for letter in missing})
    return {**_templates(), **_signs(), **sheaf.files, "told.json": text.encode()}, missing


def _typst() -> Any:
    try:
        import typst  # noqa: PLC0415 - an extra, and only what is printed needs it
    except ImportError:
        raise CannotRunError(
            "Handouts need the extra `print`, which is not installed: type `pip install 'mothermold[print]'`."
        ) from None
    return typst


@lru_cache(maxsize=1)
def _with_fonts() -> dict[str, Any]:
    """The fonts that come along, and none of the computer's."""
    fonts = _typst().Fonts(include_system_fonts=False, font_paths=[str(_HERE / "fonts")])
    return {"font_paths": fonts, "ignore_system_fonts": True}


@lru_cache(maxsize=1)
def _templates() -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted((_HERE / "templates").glob("*.typ"))}


@lru_cache(maxsize=1)
def _signs() -> dict[str, bytes]:
    """The pictograms, whose shapes the pages keep without what stands around them."""
    head, end = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 48 48">', "</svg>"
    return {
        f"signs/{name}.svg": f"{head}{(_SIGNS / f'{name}.svg').read_text(encoding='utf-8')}{end}".encode()
        for name in PICTOGRAMS
    }


_PROBE: Final = '#set document(title: "x")\n#set text(font: json("fonts.json"), lang: "en")\n#text(json("letter.json"))'


@lru_cache(maxsize=10_000)
def _has_glyph(letter: str) -> bool:
    """Whether a font has a letter: the layout refuses to tag a page with one it cannot show."""
    given = {"main.typ": _PROBE, "fonts.json": json.dumps(_FONTS), "letter.json": json.dumps(letter)}
    files = {name: text.encode() for name, text in given.items()}
    try:
        _typst().compile(files, **_with_fonts(), pdf_standards=[_STANDARD])
    except _typst().TypstError:
        return False
    return True


@lru_cache(maxsize=500)
def can_be_drawn(drawing: bytes) -> bool:
    """Whether the layout can draw an SVG: a browser shows some that it does not take."""
    files = {"main.typ": b'#image("it.svg")', "it.svg": drawing}
    try:
        _typst().compile(files, **_with_fonts())
    except (_typst().TypstError, RuntimeError):
        return False
    return True


def names_of(letters: Sequence[str]) -> str:
    """Letters as one reads about them: ``漢 (U+6F22)``."""
    return ", ".join(f"{letter} (U+{ord(letter):04X})" for letter in letters)
