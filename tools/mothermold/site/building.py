"""Publishes an edition into its own folder, so that whoever looks sees whole pages, old or new."""

from __future__ import annotations

import json
import socket
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

from mothermold.ground.errors import CannotRunError, RefusedError
from mothermold.ground.notices import Notice
from mothermold.ground.writing import place_bytes
from mothermold.view.editions import EDITIONS, Edition

LIST: Final = ".mothermold-pages.json"


def build_site(book: Path, edition: Edition, out: Path | None, *, strict: bool = False) -> str:
    """Builds an edition and publishes it.

    Args:
        book: The book's folder.
        edition: The edition.
        out: Where to; ``site/EDITION`` in the book unless given.
        strict: Whether a warning of the site builder is a failure.

    Returns:
        One sentence on what was made.

    Raises:
        RefusedError: The folder holds a wider edition, or files that are not ours.
        CannotRunError: It could not be built or written.
    """
    from mothermold.site.plugin import build_into  # noqa: PLC0415 - the site builder is heavy

    target = out or book / "site" / edition
    before = _listed(target, edition)
    with tempfile.TemporaryDirectory(prefix="mothermold-site-") as stage:
        build_into(book, edition, Path(stage), strict=strict)
        files = sorted(_files(Path(stage)))
        changed = _publish(Path(stage), files, target, before, edition)
    pages = sum(1 for file in files if file.endswith(".html"))
    return f"The {edition} edition has {pages} pages in {target} ({changed} files new or changed). Open {target / 'index.html'}."


def _files(folder: Path) -> Iterator[str]:
    # The builder packs its list of pages with the time in it; ours has no use for it.
    for path in folder.rglob("*"):
        if path.is_file() and not path.name.startswith("sitemap.xml"):
            yield path.relative_to(folder).as_posix()


def _listed(target: Path, edition: Edition) -> set[str]:
    if not target.exists() or not any(target.iterdir()):
        return set()
    try:
        told: dict[str, Any] = json.loads((target / LIST).read_text(encoding="utf-8"))
        other, files = told["edition"], set(told["files"])
    except (OSError, ValueError, KeyError, TypeError):
        raise RefusedError(
            Notice(
                "not-ours",
                "error",
                f"{target} holds files that no edition was built into.",
                "Choose an empty folder with `--out`, or delete this one; nothing was written.",
            )
        ) from None
    if EDITIONS.index(other) < EDITIONS.index(edition):
        raise RefusedError(
            Notice(
                "wider-edition",
                "error",
                f"{target} was last built for the {other} edition, which shows more.",
                "Choose another folder with `--out`, or delete this one; nothing was written.",
            )
        )
    return files


def _publish(stage: Path, files: list[str], target: Path, before: set[str], edition: Edition) -> int:
    # Until all is in place the list names old and new, so that a build killed here leaves nothing forgotten.
    _write_list(target, sorted(before | set(files)), edition)
    changed = 0
    for file in files:
        data = (stage / file).read_bytes()
        path = target / file
        if not path.is_file() or path.read_bytes() != data:
            place_bytes(path, data)
            changed += 1
    _write_list(target, files, edition)
    for file in sorted(before - set(files)):
        _remove(target, file)
    return changed


def _write_list(target: Path, files: list[str], edition: Edition) -> None:
    text = json.dumps({"edition": edition, "files": files}, indent=1) + "\n"
    place_bytes(target / LIST, text.encode())


def _remove(target: Path, file: str) -> None:
    path = target / file
    if not path.resolve().is_relative_to(target.resolve()):
        return  # a list someone tampered with must not reach outside
    path.unlink(missing_ok=True)
    for folder in path.parents:
        if folder == target or any(folder.iterdir()):
            break
        folder.rmdir()


def free_address(wanted: int = 8000) -> str:
    """A loopback address nothing listens on yet."""
    for port in range(wanted, wanted + 50):
        with socket.socket() as probe:
            if probe.connect_ex(("127.0.0.1", port)):
                return f"127.0.0.1:{port}"
    raise CannotRunError(f"Every port from {wanted} to {wanted + 49} is taken.")
