"""Publishes an edition into its own folder, so that whoever looks sees whole pages, old or new."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Collection, Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import Any, Final

import yaml

from mothermold.ground.errors import CannotRunError
from mothermold.ground.store import digest
from mothermold.ground.writing import place_bytes, settle
from mothermold.pages.all_pages import addresses
from mothermold.publish.file_list import LIST, files_of, is_rest, listed_before, not_ours, write_list
from mothermold.publish.offline import WORKER
from mothermold.view.editions import Edition
from mothermold.view.view import View, open_view


@dataclass(frozen=True, slots=True)
class Built:
    """What a build made: one sentence on it, and the edition it was made of."""

    said: str
    view: View


def build_site(book: Path, edition: Edition, out: Path | None, *, strict: bool = False, forget: bool = False) -> Built:
    """Builds an edition and publishes it.

    Args:
        book: The book's folder.
        edition: The edition.
        out: Where to; ``site/EDITION`` in the book unless given.
        strict: Whether a warning of the site builder is a failure.
        forget: Whether devices that keep the site for reading without signal are told to delete it.

    Returns:
        What was made, and of what.

    Raises:
        RefusedError: The folder holds a wider edition, or files that are not ours.
        CannotRunError: It could not be built or written, or a page that must be there was not made.
    """
    target = out or book / "site" / edition
    before = listed_before(target, edition)
    view = open_view(book, edition)
    beside = None if forget else beside_the_book(book)
    made_of = None if beside is None else digest(beside, target.resolve())
    # What was kept says nothing of warnings.
    if made_of is not None and not strict and before and view.recall("site", made_of) == _looks(target, before):
        return _built(view, target, before, 0, forget=False)
    from mothermold.publish.plugin import build_into  # noqa: PLC0415 - the site builder is heavy

    with tempfile.TemporaryDirectory(prefix="mothermold-site-") as stage:
        build_into(view, Path(stage), strict=strict, forget=forget)
        files = sorted(files_of(Path(stage)))
        # Reckoned without making a page: a site with a hole must not take the place of a whole one.
        if lost := sorted(addresses(view) - set(files)):
            raise CannotRunError(
                f"{len(lost)} of the pages that must be there were not made, {lost[0]} first; nothing was published."
            )
        changed = _publish(Path(stage), files, target, before, edition)
    if made_of is not None:
        view.keep("site", made_of, _looks(target, files), most=6)
    return _built(view, target, files, changed, forget=forget)


def _built(view: View, target: Path, files: Collection[str], changed: int, *, forget: bool) -> Built:
    pages = sum(1 for file in files if file.endswith(".html"))
    said = f"The {view.edition} edition has {pages} pages in {target} ({changed} files new or changed)."
    if forget:
        return Built(
            f"{said} Put it where the site is: a device that keeps the site deletes it at its next visit.", view
        )
    return Built(f"{said} Open {target / 'index.html'}.", view)


_BUILDERS: Final = ("mkdocs", "material", "markdown", "jinja2", "markupsafe", "markdown_it", "nh3")
_OWN_KEYS: Final = frozenset(
    {"site_name", "docs_dir", "site_dir", "use_directory_urls", "theme", "plugins", "validation"}
)


def beside_the_book(book: Path) -> str | None:
    """A digest of what a site is made of beside the book and this program; None where a book's own mkdocs.yml brings in more."""
    own, prose = book / "mkdocs.yml", book / "site_src"
    told: list[object] = []
    if own.is_file():
        told.append(text := own.read_bytes())
        try:
            asked = yaml.safe_load(text)
        except (yaml.YAMLError, ValueError):
            return None
        if not isinstance(asked, dict) or not asked.keys() <= _OWN_KEYS or not _is_plain(asked):
            return None
        prose = book / str(asked.get("docs_dir", "docs"))
    for path in sorted(prose.rglob("*")):
        told += [path.relative_to(book).as_posix(), path.read_bytes() if path.is_file() else b""]
    for spec in map(find_spec, _BUILDERS):
        told += [spec.origin, Path(spec.origin).stat().st_mtime_ns] if spec is not None and spec.origin else []
    return digest(*told)


def _is_plain(asked: Mapping[str, Any]) -> bool:
    """Whether nothing but this program's plugin and the theme's name is asked for."""
    plugins = asked.get("plugins")
    named = (
        [next(iter(each), None) if isinstance(each, dict) else each for each in plugins]
        if isinstance(plugins, list)
        else []
    )
    return named == ["mothermold"] and asked.get("theme", {}) in ({"name": "material"}, "material")


def _looks(target: Path, files: Collection[str]) -> dict[str, list[int]]:
    """What the files of a site are, without reading them: their sizes and times; those that are gone are left out."""
    looks = {}
    for file in (*files, LIST):
        with suppress(OSError):
            state = os.stat(target / file)  # noqa: PTH116 - asked of every page of a site
            looks[file] = [state.st_size, state.st_mtime_ns]
    return looks


def _publish(stage: Path, files: list[str], target: Path, before: set[str], edition: Edition) -> int:
    if foreign := next((file for file in files if file not in before and (target / file).exists()), None):
        raise not_ours(f"{target / foreign} was put there by somebody else, and a page has to stand there.")
    # Until all is done the list names old and new, so that a build killed here leaves nothing forgotten.
    every = before | set(files)
    write_list(target, sorted(every), edition)
    _sweep(target, every)
    changed = 0
    # A device that finds the new worker must find all that it lists.
    for file in sorted(files, key=lambda file: file == WORKER):
        data = (stage / file).read_bytes()
        path = target / file
        if not path.is_file() or path.read_bytes() != data:
            if file == WORKER:
                settle()
            place_bytes(path, data, waits=False)
            changed += 1
    settle()
    for file in sorted(before - set(files)):
        _remove(target, file)
    write_list(target, files, edition)
    return changed


def _sweep(target: Path, files: Iterable[str]) -> None:
    # A build killed while it wrote a file leaves its beginning under a passing name.
    names: dict[Path, set[str]] = {target: {LIST}}
    for file in files:
        names.setdefault((target / file).parent, set()).add(Path(file).name)
    for folder, known in names.items():
        for path in folder.glob(".*.new"):
            if is_rest(path, known):
                path.unlink()


def _remove(target: Path, file: str) -> None:
    path = target / file
    if not path.resolve().is_relative_to(target.resolve()):
        return  # a list someone tampered with must not reach outside
    path.unlink(missing_ok=True)
    for folder in path.parents:
        if folder == target or not folder.is_dir() or any(folder.iterdir()):
            break
        folder.rmdir()
