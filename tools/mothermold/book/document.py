"""One document: its text, what it says, where each thing stands, and what is wrong with it."""

from __future__ import annotations

from functools import cached_property
from typing import Generic, cast

from typing_extensions import TypeVar

from mothermold.book.faults import place_of_key, place_of_value
from mothermold.book.reading import Opened, Understood, open_text, placed, text_of, understand
from mothermold.book.tree import Raw, Tree
from mothermold.ground.looking import saw
from mothermold.ground.notices import Notice, Severity
from mothermold.ground.spans import Span
from mothermold.ground.store import digest
from mothermold.model.parts import Part
from mothermold.model.walk import KeyPath

# A document of which nothing is known may say anything its kind may say, or nothing.
Said_co = TypeVar("Said_co", bound=Part | None, default=Part | None, covariant=True)


class Document(Generic[Said_co]):
    """A document as read from one text; `Document[Run]` is one that can be read, and says what a run may say.

    It is read when somebody asks what it says, and not before.

    Args:
        kind: recipe, material, failure, run, mold, build, course or book.
        address: What others call it: ``cast/cheek-piece`` for a recipe, the bare name for other kinds.
        file: Relative to the book.
        data: The file's bytes.
        cell: What looking into it is called, where what it says may change; see ``ground.looking``.

    Attributes:
        kind: As given.
        address: As given.
        file: As given.
    """

    def __init__(self, kind: str, address: str, file: str, data: bytes = b"", cell: str = "") -> None:
        self.kind, self.address, self.file, self._data, self._cell = kind, address, file, data, cell

    @classmethod
    def closed(cls, kind: str, address: str, file: str, why: Notice, cell: str = "") -> Document:
        """A document that is there and cannot be opened."""
        return cls._known((kind, address, file, cell), Opened(), Understood({}, None, (why,)))

    @classmethod
    def _known(cls, place: tuple[str, str, str, str], opened: Opened, understood: Understood) -> Document:
        kind, address, file, cell = place
        made: Document = Document(kind, address, file, b"", cell)
        # They are cached properties: what is known already is not worked out.
        made.__dict__ |= {"_opened": opened, "_understood": understood}
        return made

    def shown_as(self, model: Part, said: dict[str, Raw], tree: Tree) -> Document:
        """The document as an edition shows it: without its text, and without what is wrong in it."""
        return self._known(
            (self.kind, self.address, self.file, self._cell),
            Opened(tree=tree),
            Understood(said, model, (), self.rest),
        )

    @cached_property
    def _opened(self) -> Opened:
        return open_text(self._data)

    @cached_property
    def _understood(self) -> Understood:
        return understand(self.kind, self.address, self.file, self._data, self._opened)

    def _look(self) -> Understood:
        saw(self._cell)
        return self._understood

    def _bytes(self) -> bytes:
        saw(self._cell)
        return self._data

    @cached_property
    def state(self) -> str:
        """What it is known by: the same file, the same text."""
        if self._data:
            return digest(self.file, self._data)
        understood = self._understood
        return digest(self.file, repr(understood.said), understood.model is None, *understood.notices)

    def has_bytes_of(self, other: Document) -> bool:
        """Whether it and another were read from the very same bytes, told without reading them."""
        return bool(self._bytes()) and self._data == other._bytes()

    def is_text(self, file: str, data: bytes) -> bool:
        """Whether it was read from a file that said just this; whoever asks does not look into it."""
        return bool(data) and self.file == file and self._data == data

    def may_say(self, word: str) -> bool:
        """Whether a word may stand in it, told without reading it: its letters do, or something in quotes may hide them."""
        data = self._bytes()
        return word.encode() in data or b"\\" in data or not data

    @property
    def text(self) -> str:
        """As read, line ends unified; empty where the file could not be decoded."""
        return text_of(self._bytes())

    @property
    def tree(self) -> Tree:
        """The raw tree, and where everything stands for whoever asks."""
        saw(self._cell)
        if not self._opened.tree.usual:
            self._understood  # noqa: B018 - what is complained about is noted in the tree
        return self._opened.tree

    @property
    def said(self) -> dict[str, Raw]:
        """The raw tree as it was understood: without empty values, a draft's gaps filled; the very same where nothing lacks."""
        return self._look().said

    @property
    def model(self) -> Said_co:
        """What it says; None where it cannot be trusted."""
        return cast("Said_co", self._look().model)

    @property
    def notices(self) -> tuple[Notice, ...]:
        """What is wrong within it, with file and line."""
        return self._look().notices

    @property
    def rest(self) -> Part | None:
        """Of a material with a slip what can be read all the same, where that is enough to judge what it meets."""
        return self._look().rest

    @property
    def raw(self) -> dict[str, Raw]:
        """The raw tree of a readable document."""
        return self.tree.raw if isinstance(self.tree.raw, dict) else {}

    def at_key(self, path: KeyPath) -> Span:
        """Where a key stands."""
        return place_of_key(self.tree, path)

    def at_value(self, path: KeyPath) -> Span:
        """Where a value stands."""
        return place_of_value(self.tree, path)

    def notice(
        self, code: str, message: str, advice: str, path: KeyPath, *, severity: Severity = "error", on_key: bool = False
    ) -> Notice:
        """A notice about a place in this document."""
        span = self.at_key(path) if on_key else self.at_value(path)
        return self.placed(Notice(code, severity, message, advice, line=span.line, column=span.column))

    def placed(self, notice: Notice) -> Notice:
        """The notice with this document's file and the line it is about."""
        return placed(notice, self.file, self.text)


def read_document(kind: str, address: str, file: str, data: bytes) -> Document:
    """A document of a known kind; what is wrong with it stands in its notices.

    Args:
        kind: The kind, decided by where the file lies.
        address: What others call it.
        file: Its path relative to the book.
        data: The file's bytes.
    """
    return Document(kind, address, file, data)
