"""Publishes an edition into its own folder, so that whoever looks sees whole pages, old or new."""

from __future__ import annotations

import tempfile
from collections.abc import Collection, Iterable
from dataclasses import astuple, dataclass
from functools import partial
from pathlib import Path
from typing import Any

from mothermold.ground.errors import CannotRunError
from mothermold.ground.store import NOWHERE, digest
from mothermold.ground.writing import place_bytes, settle
from mothermold.publish.around import BuiltAround, around_again, made_of
from mothermold.publish.beside import beside_the_book
from mothermold.publish.file_list import LIST, files_of, is_rest, listed_before, not_ours, write_list
from mothermold.publish.made_files import FRAME, Make, made_files
from mothermold.publish.offline import WORKER, KeptFile, forgetting_worker, keeping_worker, kept_file
from mothermold.publish.placed import PlacedFiles
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
    shelf = PlacedFiles(view.store if beside is not None else NOWHERE, target, before)
    # What was kept says nothing of warnings.
    if beside is not None and not strict and before and shelf.is_of(digest(view.state, beside)):
        return _built(view, target, before, 0, forget=False)
    with tempfile.TemporaryDirectory(prefix="mothermold-site-") as folder:
        stage = Path(folder)
        made = _around(view, stage, shelf, beside, strict=strict, forget=forget)
        ours = _made_of_the_book(view, made, stage, shelf, forget=forget)
        files = {file.address: file for file in (*made.files, *ours)}.values()
        text = forgetting_worker() if forget else keeping_worker(files, edition)
        (stage / WORKER).write_text(text, encoding="utf-8", newline="\n")
        names = sorted([WORKER, *(file.address for file in files)])
        changed = _publish(stage, names, target, before, edition)
    shelf.keep(files, digest(view.state, beside))
    return _built(view, target, names, changed, forget=forget)


def _around(
    view: View, stage: Path, standing: PlacedFiles, beside: str | None, *, strict: bool, forget: bool
) -> BuiltAround:
    """What stands around the pages: as it was made before where it would be the same, else made into the stage."""
    key = digest("around", view.edition)
    if beside is not None and not strict:
        before = around_again(view.store.get("around", key))
        if before is not None and all(map(standing.has, before.files)):
            names = [file.address for file in before.files]
            if before.made_of == made_of(view, beside, names):
                return before
    from mothermold.publish.plugin import build_around  # noqa: PLC0415 - the site builder is heavy

    frames = build_around(view, stage, strict=strict, forget=forget)
    names = sorted(files_of(stage))
    files = tuple(kept_file(name, (stage / name).read_bytes()) for name in names)
    made = BuiltAround(made_of(view, beside or "", names), frames, files)
    if beside is not None:
        view.store.put("around", key, made.as_data(), most=3)
    return made


def _made_of_the_book(
    view: View, around: BuiltAround, stage: Path, standing: PlacedFiles, *, forget: bool
) -> list[KeptFile]:
    """What is made of the book: only that is made, into the stage, of which something changed or which stands nowhere yet."""
    store, key = NOWHERE if forget else view.store, digest("pages", view.edition)
    view.take_up(store.get("pages", key))
    view.made.knows(FRAME, lambda depth: digest(*astuple(around.frames[int(depth)])))

    def put(name: str, make: Make) -> list[Any] | None:
        if (data := make()) is None:
            return None
        path = stage / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
        put_now.add(name)
        return kept_file(name, data).as_data()

    put_now: set[str] = set()
    files, lost = [], []
    for name, make in made_files(view, around.frames).items():
        told = view.made.of(name, partial(put, name, make))
        if told is None:
            lost.append(name)
            continue
        file = KeptFile.of_data(told)
        # Where a page written by hand lies under the same name, that of the book stands.
        if name not in put_now and (not standing.has(file) or (stage / name).exists()):
            put(name, make)
        files.append(file)
    # A site with a hole must not take the place of a whole one; only a drawing may be missing in a book.
    if holes := [name for name in lost if name.endswith(".html")]:
        raise CannotRunError(
            f"{len(holes)} of the pages that must be there were not made, {holes[0]} first; nothing was published."
        )
    if view.made.changed:
        store.put("pages", key, view.made.kept(), most=3, plain=True)
    return files


def _built(view: View, target: Path, files: Collection[str], changed: int, *, forget: bool) -> Built:
    pages = sum(1 for file in files if file.endswith(".html"))
    said = f"The {view.edition} edition has {pages} pages in {target} ({changed} files new or changed)."
    if forget:
        return Built(
            f"{said} Put it where the site is: a device that keeps the site deletes it at its next visit.", view
        )
    return Built(f"{said} Open {target / 'index.html'}.", view)


def _publish(stage: Path, files: list[str], target: Path, before: set[str], edition: Edition) -> int:
    made = set(files_of(stage))
    if foreign := next((file for file in files if file not in before and (target / file).exists()), None):
        raise not_ours(f"{target / foreign} was put there by somebody else, and a page has to stand there.")
    # Until all is done the list names old and new, so that a build killed here leaves nothing forgotten.
    every = before | set(files)
    write_list(target, sorted(every), edition)
    _sweep(target, every)
    changed = 0
    # What is not in the stage stands there already. A device that finds the new worker must find all that it lists.
    for file in sorted(filter(made.__contains__, files), key=lambda file: file == WORKER):
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
