"""The adapter to MkDocs, and the only place that knows it.

MkDocs builds the hand-written pages and one empty frame page a depth; every page of the book hangs in those.
"""

from __future__ import annotations

import logging
import os
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from mkdocs.commands.build import build as mkdocs_build
from mkdocs.config import load_config
from mkdocs.config.base import Config
from mkdocs.config.config_options import Choice, Type
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import MkDocsException, PluginError
from mkdocs.plugins import BasePlugin, event_priority
from mkdocs.structure.files import File, Files

from mothermold.book.root import SETTINGS_FILE, find_book
from mothermold.ground.errors import CannotRunError, RefusedError
from mothermold.pages.all_pages import addresses, deepest
from mothermold.publish.around import told_to_frames
from mothermold.publish.file_list import LIST, files_of, listed_before, write_list
from mothermold.publish.frames import Frame, frame_file, frame_source, split_frame
from mothermold.publish.made_files import made_files
from mothermold.publish.offline import WORKER, keeping_worker, kept_file
from mothermold.view.editions import Edition
from mothermold.view.view import View, open_view

THEME: Final = Path(__file__).with_name("theme")
POLICY: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; "
    "connect-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'none'; object-src 'none'"
)
_OF_THE_DESK: Final = "assets/desk"


@dataclass(frozen=True, slots=True)
class WantedSite:
    """What our own commands ask of the builder; by ``mkdocs build`` itself nothing is asked.

    Attributes:
        view: The book in an edition.
        forget: Whether devices delete what they keep of the site.
        writes: Where every page leads for writing, and in which words; None where nothing can be written.
    """

    view: View
    forget: bool
    writes: tuple[str, str] | None = None


_wanted: WantedSite | None = None
_LOG: Final = logging.getLogger("mkdocs.plugins.mothermold")


class MothermoldConfig(Config):
    """Options of the plugin in mkdocs.yml."""

    book = Type(str, default=".")
    edition = Choice(("private", "class", "public"), default="public")


class MothermoldPlugin(BasePlugin[MothermoldConfig]):
    """Hangs the pages of a book in frames that MkDocs builds."""

    def __init__(self) -> None:
        self.view: View | None = None
        self._addresses: list[str] = []
        self.deepest = 0
        self.frames: tuple[Frame, ...] = ()

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Reads the book and sets everything the theme needs."""
        self.view = view = _wanted.view if _wanted is not None else self._opened(config)
        if not (view.root / SETTINGS_FILE).is_file():
            # While it is served a book may go away; an empty site would tell everybody that it never held anything.
            raise CannotRunError(f"{SETTINGS_FILE} is gone; put the book back where it was")
        if self._alone:
            self._refuse_wider(Path(config.site_dir), view.edition)
        config.use_directory_urls = False
        config.site_name = view.settings.title
        config.theme.dirs.insert(0, str(THEME))
        config.theme.static_templates.discard("sitemap.xml")
        config.extra["mothermold"] = {
            **told_to_frames(view),
            "keeps": self._keeps,
            "writes": self._writes,
            "policy": POLICY,
        }
        return config

    @property
    def _alone(self) -> bool:
        """Whether MkDocs builds by itself, into the folder that will be published."""
        return _wanted is None

    @property
    def _writes(self) -> tuple[str, str] | None:
        """Where pages lead for writing; nowhere in a site that is built."""
        return _wanted.writes if _wanted is not None else None

    @property
    def _keeps(self) -> bool:
        """Whether devices keep this site; never one that changes while it is served."""
        return _wanted is None or not _wanted.forget

    @staticmethod
    def _refuse_wider(target: Path, edition: Edition) -> None:
        # MkDocs empties the folder itself, whatever lies there; only what an edition left may not be narrowed.
        if not (target / LIST).is_file():
            return
        try:
            listed_before(target, edition)
        except RefusedError as refusal:
            raise PluginError(refusal.notices[0].message) from refusal

    def _opened(self, config: MkDocsConfig) -> View:
        start = Path(config.config_file_path or ".").parent / self.config.book
        root = find_book(start)
        if root is None:
            raise PluginError(f"No book: neither {start} nor a folder above it holds recipes/book.yaml.")
        return open_view(root, self.config.edition)  # type: ignore[arg-type]

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Leaves the theme's own files out, adds one frame page a depth, and says where the book's pages will be."""
        assert self.view is not None
        for file in list(files):
            no_desk = file.dest_uri.startswith(_OF_THE_DESK) and not self._writes
            if no_desk or (file.abs_src_path and _is_theirs(Path(file.abs_src_path), config)):
                files.remove(file)
        # A page of the desk lies up to two folders deeper than the page of the document: `desk/editions/recipe/cast/cheek`.
        self.deepest = deepest(self.view) + (2 if self._writes else 0)
        written = {file.dest_uri: file.src_uri for file in files if file.is_documentation_page()}
        for depth in range(self.deepest + 1):
            files.append(File.generated(config, frame_file(depth), content=frame_source()))
        # They are made one by one when all else is there, together they are larger than the book; only what is written by
        # hand has to know where they will be.
        self._addresses = sorted(addresses(self.view)) if written else []
        for address in self._addresses:
            if address in written:
                _LOG.warning("%s is not shown: a page of the book stands at %s.", written[address], address)
            else:
                files.append(File.generated(config, address, content=""))
        return files

    def on_env(self, env: Any, *, config: MkDocsConfig, files: Files) -> Any:  # noqa: ARG002 - MkDocs names them
        """Forgets the book's pages again: they were there so that hand-written pages can link to them."""
        mine = set(self._addresses)
        for file in [file for file in files if file.src_uri in mine]:
            files.remove(file)
        return env

    @event_priority(-100)  # what other plugins write is of this build too
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """Splits the frames and takes them away; where MkDocs builds by itself, the pages of the book are put beside them."""
        assert self.view is not None
        site = Path(config.site_dir)
        frames = []
        for depth in range(self.deepest + 1):
            path = site / frame_file(depth).replace(".md", ".html")
            frames.append(split_frame(path.read_text(encoding="utf-8")))
            path.unlink()
        for depth in range(self.deepest, 0, -1):
            (site / ("in/" * depth)).rmdir()
        self.frames = tuple(frames)
        if self._alone:
            put_made(self.view, self.frames, site)
            write_list(site, sorted(files_of(site)), self.view.edition)


def _is_theirs(path: Path, config: MkDocsConfig) -> bool:
    """Whether a file comes with MkDocs or its theme, such as the list of pages for search engines."""
    own = {str(THEME), str(config.theme.custom_dir)}
    return any(path.is_relative_to(folder) for folder in config.theme.dirs if str(folder) not in own)


@contextmanager
def _configured(wanted: WantedSite) -> Iterator[str]:
    """The path of a configuration: the book's own mkdocs.yml, or a plain one where it has none."""
    global _wanted  # noqa: PLW0603 - MkDocs makes the plugin itself; there is no other way to hand it something
    _wanted, book = wanted, wanted.view.root
    os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")
    try:
        with tempfile.TemporaryDirectory(prefix="mothermold-") as folder:
            own = book / "mkdocs.yml"
            if own.is_file():
                yield str(own)
                return
            prose = book / "site_src"
            if not prose.is_dir():
                prose = Path(folder) / "site_src"
                prose.mkdir()
            path = Path(folder) / "mkdocs.yml"
            path.write_text(
                f"site_name: Book\ndocs_dir: {str(prose)!r}\ntheme: {{name: material}}\nplugins: [mothermold]\n",
                encoding="utf-8",
            )
            yield str(path)
    finally:
        _wanted = None


def build_around(
    view: View, folder: Path, *, strict: bool = False, forget: bool = False, writes: tuple[str, str] | None = None
) -> tuple[Frame, ...]:
    """Builds what stands around the pages of a book: what they load, the pages written by hand, and the frames.

    Args:
        view: The book in an edition.
        folder: An empty folder.
        strict: Whether a warning of the site builder is a failure.
        forget: Whether devices delete what they keep of the site instead of keeping it.
        writes: Where every page leads for writing, and in which words; None where nothing can be written.

    Returns:
        The frames, by depth of folders.

    Raises:
        CannotRunError: MkDocs refused; its reason.
    """
    logging.getLogger("mkdocs").setLevel(logging.WARNING)
    with _configured(WantedSite(view, forget, writes)) as path:
        try:
            config = load_config(config_file=path, site_dir=str(folder), strict=strict)
            config.plugins.on_startup(command="build", dirty=False)
            mkdocs_build(config)
            config.plugins.on_shutdown()
        except MkDocsException as problem:
            raise CannotRunError(f"The site could not be built: {problem}") from problem
        made = next((each for each in config.plugins.values() if isinstance(each, MothermoldPlugin)), None)
        if made is None or made.view is None:
            raise CannotRunError("mkdocs.yml does not name the plugin `mothermold`; add it under `plugins:`.")
        return made.frames


def put_made(view: View, frames: Sequence[Frame], site: Path) -> None:
    """Puts what is made of a view beside what stands around it, and the worker, which lists them all."""
    for name, make in made_files(view, frames).items():
        if (data := make()) is not None:
            path = site / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
    listed = [kept_file(name, (site / name).read_bytes()) for name in files_of(site)]
    (site / WORKER).write_text(keeping_worker(listed, view.edition), encoding="utf-8", newline="\n")
