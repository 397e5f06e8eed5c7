"""The site of an edition as one zip for a stick: taken apart into a folder it opens by a double click, with no server and no signal."""

from __future__ import annotations

import io
import tempfile
import zipfile
from collections.abc import Mapping
from datetime import date
from html import escape
from pathlib import Path
from typing import Final

from mothermold.ground.errors import CannotRunError, refused
from mothermold.ground.writing import place_bytes
from mothermold.pages.addresses import OFFLINE
from mothermold.publish.file_list import files_of
from mothermold.publish.made_files import made_files
from mothermold.publish.offline import WORKER
from mothermold.publish.plugin import build_around
from mothermold.view.editions import EDITIONS
from mothermold.view.view import View

DOOR: Final = "open-the-book.html"
"""What is clicked: it stands alone beside the folder of pages, so that nobody looks for the first of hundreds."""
INSIDE: Final = "book"
_MARK: Final = "A book of mothermold, the {} edition"
"""What the zip says of itself, where no page shows it: by this it is known again, and for whom it was made."""
# They serve a site that has a server.
_OF_A_SERVER: Final = frozenset({"404.html", WORKER, OFFLINE[0]})
_PACKED: Final = frozenset({".jpg", ".woff2", ".png"})
_POLICY: Final = "default-src 'none'; style-src 'self'; font-src 'self'; base-uri 'none'; form-action 'none'"
_EARLIEST: Final = date(1980, 1, 1)
"""No file in a zip is older."""


def build_zip(view: View, out: Path | None, *, strict: bool = False) -> str:
    """Makes the zip and puts it in its place.

    Args:
        view: The edition.
        out: The file, or the folder it goes into; ``site`` in the book unless given.
        strict: Whether a warning of the site builder is a failure.

    Returns:
        One sentence on what was made.

    Raises:
        RefusedError: ``not-ours`` where somebody else's file stands there, ``wider-edition`` where it shows more.
        CannotRunError: It could not be made, or the disk refused.
    """
    named = out is not None and out.suffix.lower() == ".zip" and not out.is_dir()
    path = out if out is not None and named else (out or view.root / "site") / zip_name(view)
    _refuse(path, view)
    files = site_files(view, strict=strict)
    data = zipped(view, files)
    place_bytes(path, data)
    pages = sum(1 for name in files if name.endswith(".html"))
    return (
        f"{path} holds the {pages} pages of the {view.edition} edition ({len(data) / 1_000_000:.1f} MB). "
        f"Take it apart on the stick, all of it, and open {DOOR} there; it needs no server and no signal."
    )


def zip_name(view: View) -> str:
    """What the zip is called where nobody says."""
    return f"{view.edition}-book.zip"


def site_files(view: View, *, strict: bool = False) -> dict[str, bytes]:
    """Every file of the site that is of use without a server, by its name in it.

    Raises:
        CannotRunError: The site builder refused, or a page that must be there was not made.
    """
    with tempfile.TemporaryDirectory(prefix="mothermold-zip-") as folder:
        # A copy on a stick asks no device to keep it.
        frames = build_around(view, Path(folder), strict=strict, forget=True)
        files = {name: (Path(folder) / name).read_bytes() for name in files_of(Path(folder))}
    lost = []
    for name, make in made_files(view, frames).items():
        if (data := make()) is not None:
            files[name] = data
        elif name.endswith(".html"):
            lost.append(name)
    if lost:
        raise CannotRunError(f"{len(lost)} of the pages that must be there were not made, {lost[0]} first.")
    return {name: data for name, data in files.items() if name not in _OF_A_SERVER}


def zipped(view: View, files: Mapping[str, bytes]) -> bytes:
    """The zip: the same bytes of the same files, in their order, all of the day of the newest save.

    Args:
        view: The edition.
        files: What the site consists of.
    """
    day = max(view.day or _EARLIEST, _EARLIEST)
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        archive.comment = _MARK.format(view.edition).encode()
        for name, data in [
            (DOOR, _door(view).encode()),
            *((f"{INSIDE}/{name}", files[name]) for name in sorted(files)),
        ]:
            entry = zipfile.ZipInfo(name, (day.year, day.month, day.day, 0, 0, 0))
            entry.create_system, entry.external_attr = 3, 0o644 << 16
            packed = Path(name).suffix in _PACKED
            archive.writestr(entry, data, zipfile.ZIP_STORED if packed else zipfile.ZIP_DEFLATED, 9)
    return made.getvalue()


def _door(view: View) -> str:
    """The page that leads in: by itself, and by a tap where a browser does not."""
    start = f"{INSIDE}/index.html"
    title, day = escape(view.settings.title), f", as of {view.day}" if view.day else ""
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f'<meta http-equiv="refresh" content="0; url={start}">\n<title>{title}</title>\n'
        f'<link rel="stylesheet" href="{INSIDE}/assets/mothermold.css">\n</head>\n<body>\n'
        f'<main id="content">\n<h1>{title}</h1>\n<p class="lead"><a href="{start}">Open the book</a></p>\n'
        f"<p>The {view.edition} edition{day}. Take the whole zip apart first: without the folder <code>{INSIDE}</code> beside "
        "it this page leads nowhere. A carried copy goes stale, and so does paper.</p>\n</main>\n</body>\n</html>\n"
    )


def _refuse(path: Path, view: View) -> None:
    """Refuses to write over what is not ours, or shows more."""
    try:
        if not path.exists():
            return
        with zipfile.ZipFile(path) as archive:
            told = archive.comment.decode(errors="replace")
    except zipfile.BadZipFile:
        told = ""
    except OSError as problem:
        raise CannotRunError(f"{path} could not be read: {problem.strerror or problem}.") from problem
    before = next((each for each in EDITIONS if told == _MARK.format(each)), None)
    if before is None:
        raise refused(
            "not-ours", f"{path} was put there by somebody else.",
            "Choose another name with `--out`, or move that file away; nothing was written.",
        )  # fmt: skip
    if EDITIONS.index(before) < EDITIONS.index(view.edition):
        raise refused(
            "wider-edition", f"{path} was last made of the {before} edition, which shows more.",
            "Choose another name with `--out`, or delete this one; nothing was written.",
        )  # fmt: skip
