"""Drawings a document shows: plain SVG in ``recipes/pictures``, rebuilt from the shapes that can do no harm.

What is published is never the file itself: programs leave names of folders and people in it, and it may carry scripts.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from mothermold.book.document import Document
from mothermold.book.files import PICTURES
from mothermold.book.photos import photo_fault
from mothermold.ground.looking import saw
from mothermold.ground.notices import Notice
from mothermold.model.pictures import PictureFile, pictures_of

_LARGEST: Final = 1_000_000
_DEEPEST: Final = 100
_WIDEST: Final = 100_000
_SVG: Final = "{http://www.w3.org/2000/svg}"
_SHAPES: Final = frozenset({
    "svg", "g", "path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "text", "tspan", "title", "desc",
    "defs", "linearGradient", "radialGradient", "stop", "clipPath", "marker",
})  # fmt: skip
_SAYS: Final = frozenset({
    "id", "viewBox", "width", "height", "d", "x", "y", "x1", "y1", "x2", "y2", "cx", "cy", "r", "rx", "ry", "dx", "dy",
    "points", "transform", "fill", "fill-opacity", "fill-rule", "stroke", "stroke-width", "stroke-linecap",
    "stroke-linejoin", "stroke-dasharray", "stroke-opacity", "opacity", "font-size", "font-family", "font-weight",
    "text-anchor", "offset", "stop-color", "stop-opacity", "clip-path", "marker-end", "marker-start", "orient", "refX",
    "refY", "markerWidth", "markerHeight", "gradientUnits", "gradientTransform", "preserveAspectRatio",
})  # fmt: skip


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing as it may be shown: its bytes, and its size in user units."""

    data: bytes
    width: int
    height: int


def read_drawing(root: Path, file: str) -> Drawing | str:
    """A drawing of the book, rebuilt from its shapes; or, as the rest of a sentence, why it cannot be shown."""
    if not file.endswith(".svg") or "/" in file or "\\" in file or file.startswith("."):
        return "is not a drawing: its name must end in .svg and name no folder"
    path = root / PICTURES / file
    saw(f"drawing {file}")
    try:
        if path.is_symlink() or not path.is_file():
            return f"is not in {PICTURES}"
        if path.stat().st_size > _LARGEST:
            return "is larger than 1 MB"
        text = path.read_text(encoding="utf-8", errors="replace")
    except OSError as problem:
        return f"could not be opened: {problem.strerror or problem}"
    if "<!DOCTYPE" in text or "<!ENTITY" in text:
        return "begins with a DOCTYPE, which a drawing does without"
    try:
        drawn = ET.fromstring(text)  # noqa: S314 - no DOCTYPE, so no entities; and only known shapes are kept
    except ET.ParseError as problem:
        return f"cannot be read at line {problem.position[0]}"
    if _is_deeper(drawn, _DEEPEST):
        return f"has groups within groups, more than {_DEEPEST} deep"
    box = drawn.get("viewBox", "").replace(",", " ").split()
    if drawn.tag != f"{_SVG}svg" or len(box) != 4:
        return "has no viewBox, so nobody knows how large it is"
    try:
        sides = float(box[2]), float(box[3])
    except ValueError:
        return "has a viewBox without four numbers"
    if not all(0 < side <= _WIDEST for side in sides):
        return f"has a viewBox no page can show: its width and height lie between 0 and {_WIDEST:,}"
    width, height = (max(1, round(side)) for side in sides)
    ET.register_namespace("", _SVG[1:-1])
    return Drawing(ET.tostring(_rebuilt(drawn), encoding="utf-8"), width, height)


def _is_deeper(drawn: ET.Element, depth: int) -> bool:
    """Whether shapes lie deeper within each other; told level by level, for a call within a call would end."""
    level = [drawn]
    for _ in range(depth):
        level = [child for each in level for child in each]
    return bool(level)


def _rebuilt(drawn: ET.Element) -> ET.Element:
    said = {name: value for name, value in drawn.attrib.items() if name in _SAYS and _stays_here(value)}
    kept = ET.Element(drawn.tag, said)
    kept.text = drawn.text
    for child in drawn:
        if isinstance(child.tag, str) and child.tag.removeprefix(_SVG) in _SHAPES and child.tag.startswith(_SVG):
            kept.append(_rebuilt(child))
            kept[-1].tail = child.tail
    return kept


_REMARK: Final = re.compile(r"/\*.*?(?:\*/|\Z)", re.DOTALL)
_CALLED: Final = re.compile(r"([^\s,;:(){}'\"]*)\(")
_HERE: Final = re.compile(r"url\(\s*(?:#[\w.:-]+|'#[\w.:-]+'|\"#[\w.:-]+\")\s*\)")
_REACHES_NOWHERE: Final = frozenset({
    "", "matrix", "translate", "scale", "rotate", "skewx", "skewy", "rgb", "rgba", "hsl", "hsla", "calc",
})  # fmt: skip


def _stays_here(value: str) -> bool:
    """Whether a value, read as a browser reads it, points nowhere, or only to shapes of the same drawing."""
    if "\\" in value or "@" in value:
        # Behind a backslash a letter can be written as a number: `u\\72 l(` is `url(` to a browser. No drawing needs one.
        return False
    plain = _REMARK.sub(" ", value).casefold()
    return all(name in _REACHES_NOWHERE for name in _CALLED.findall(_HERE.sub(" ", plain)))


def find_picture_faults(root: Path, document: Document) -> Iterator[Notice]:
    """Drawings and photos of a document that cannot be shown, tell more than their picture, or say nothing to the blind."""
    if document.model is None:
        return
    for place, picture in pictures_of(document.model).items():
        path, file = (*place, "file"), picture.file
        told, beside = _fault(root, file)
        if told:
            yield document.notice(
                "picture-unusable", f"The picture `{file}` {told}.", _INSTEAD[file.is_drawing], path, severity="warning"
            )
        if beside:
            message = f"The photo `{file}` tells more than its picture: {', '.join(beside)}."
            yield document.notice("photo-tells", message, _CLEAN.format(file), path, severity="advice")
        if not (told or file.is_drawing or picture.alt):
            message = f"Nobody wrote what can be seen in the photo `{file}`."
            yield document.notice("photo-without-words", message, _DESCRIBE, path, severity="advice")


def _fault(root: Path, file: PictureFile) -> tuple[str, tuple[str, ...]]:
    if not file.is_drawing:
        return photo_fault(root, file)
    drawing = read_drawing(root, file)
    return (drawing, ()) if isinstance(drawing, str) else ("", ())


_INSTEAD: Final = {
    True: f"Put a drawing of that name into {PICTURES}, or delete the entry.",
    False: "Take the photo in with `mothermold photo FILE --to` and what it shows, or delete the entry.",
}
_CLEAN: Final = (
    "No page shows that, but it goes wherever the book goes; `mothermold photo recipes/photos/{} --to` and what it shows "
    "makes it anew."
)
_DESCRIBE: Final = (
    "Type it as `alt:`, as you would say it on the phone: `alt: The piece in the open mold, from the front`."
)
