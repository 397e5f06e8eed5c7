"""Names and references: how one document, step, mix or surface is called in another.

A reference is ``[folder/]name[@version][#step]``. It stays the text it was typed as; whether anything answers
to it is not decided here.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache, lru_cache
from typing import Any, ClassVar, Final, Self, TypeVar

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import PydanticCustomError, core_schema

NAME: Final = re.compile(r"[a-z0-9]+(?:-+[a-z0-9]+)*")
NAME_LENGTH: Final = 60
# File names that one common operating system keeps for devices, whatever their ending.
DEVICE_NAMES: Final = frozenset(
    {"con", "prn", "aux", "nul"} | {f"{port}{digit}" for port in ("com", "lpt") for digit in "123456789"}
)
_REFERENCE: Final = re.compile(r"(?P<path>[^@#]*)(?:@(?P<version>[^#]*))?(?:#(?P<step>.*))?", re.DOTALL)
_VERSION: Final = re.compile(r"[1-9][0-9]{0,5}")


def name_fault(name: str) -> str | None:
    """What is wrong with a name, as the rest of a sentence; None where it is fine."""
    if not NAME.fullmatch(name):
        return "may hold only small letters, digits and hyphens between them"
    if len(name) > NAME_LENGTH:
        return f"is longer than {NAME_LENGTH} letters"
    if name in DEVICE_NAMES:
        return "is a word some computers keep for themselves"
    return None


def mended_name(text: str) -> str:
    """The nearest valid name to what was typed."""
    plain = re.sub(r"[^a-z0-9]+", "-", text.casefold().strip()).strip("-")[:NAME_LENGTH].strip("-")
    return f"{plain}-1" if plain in DEVICE_NAMES else plain or "a-name"


_T = TypeVar("_T")


@cache
def _once(read: Callable[[Any], _T]) -> Callable[[Any], _T]:
    """The same reader, which looks only once at a text that comes again: names and prose stand there in every version."""
    kept = lru_cache(maxsize=4096)(read)
    return lambda value: kept(value) if isinstance(value, str) else read(value)


class Typed(str):
    """A text that is read in one way and stays the text it was typed as."""

    __slots__ = ()

    @classmethod
    def read(cls, value: Any) -> Self:
        """Reads the raw value; raises a ``PydanticCustomError`` that says what to type instead."""
        return cls(plain_text(value))

    @classmethod
    def schema(cls) -> dict[str, Any]:
        """What an editor may accept."""
        return {"type": "string"}

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        return core_schema.no_info_plain_validator_function(_once(cls.read))

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: Any, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return cls.schema()


class Name(Typed):
    """An id or a name of the author's own."""

    __slots__ = ()
    PATTERN: ClassVar[str] = r"^[a-z0-9]+(-+[a-z0-9]+)*$"
    WORD: ClassVar[str] = "name"

    @classmethod
    def read(cls, value: Any) -> Self:
        """Reads a name as typed.

        Raises:
            PydanticCustomError: ``wrong-shape`` or ``bad-name``.
        """
        text = plain_text(value)
        if fault := name_fault(text):
            raise PydanticCustomError(
                "bad-name",
                "{message}",
                {"message": f"`{text}` cannot be a name: it {fault}.", "help": f"Type `{mended_name(text)}`."},
            )
        return cls(text)

    @classmethod
    def schema(cls) -> dict[str, Any]:
        """What an editor may accept."""
        return {"type": ["string", "integer"], "pattern": cls.PATTERN}


class LocalName(Name):
    """A name that must stand elsewhere in the same document, or in the one it leans on."""

    __slots__ = ()


class StepName(LocalName):
    """The id of a step."""

    __slots__ = ()
    WORD = "step"


class MixName(LocalName):
    """The id of a mix of the recipe."""

    __slots__ = ()
    WORD = "mix"


class SurfaceName(LocalName):
    """The id of a surface; ``skin`` and ``hair`` always exist."""

    __slots__ = ()
    WORD = "surface"


class ThingName(LocalName):
    """The id of a thing of the build."""

    __slots__ = ()
    WORD = "thing"


class LookName(LocalName):
    """The id of a look of the build."""

    __slots__ = ()
    WORD = "look"


class PartName(Typed):
    """What an ``of`` names: a part of this mix, or ``premix/material`` inside one, ``the-rest`` or ``total``."""

    __slots__ = ()

    @classmethod
    def read(cls, value: Any) -> Self:
        """Reads the name of a part; raises ``bad-reference`` with what to type."""
        text = plain_text(value)
        for piece in text.split("/"):
            if name_fault(piece):
                mended = "/".join(mended_name(part) for part in text.split("/"))
                raise _bad_reference(text, mended, "a part of this mix")
        return cls(text)

    @classmethod
    def schema(cls) -> dict[str, Any]:
        """What an editor may accept."""
        return {"type": "string", "pattern": r"^[a-z0-9-]+(/[a-z0-9-]+)*$"}


class Reference(Typed):
    """A document named in another one. Subclasses fix the kind and what may follow the name."""

    __slots__ = ()
    KIND: ClassVar[str] = ""
    EXAMPLE: ClassVar[str] = ""
    FOLDERS: ClassVar[bool] = False
    PINS: ClassVar[bool] = False

    @property
    def address(self) -> str:
        """The document itself: the name, with folders where the kind has them."""
        return str(_REFERENCE.fullmatch(self)["path"])  # type: ignore[index]

    @property
    def version(self) -> int | None:
        """The version pinned with ``@``, where one is."""
        match = _REFERENCE.fullmatch(self)
        # Where an accepted finding bites is free text, and may say anything there.
        number = match["version"] if match else None
        return int(number) if number and _VERSION.fullmatch(number) else None

    @property
    def step(self) -> str | None:
        """The step named with ``#``, where one is."""
        match = _REFERENCE.fullmatch(self)
        return match["step"] if match else None

    @classmethod
    def read(cls, value: Any) -> Self:
        """Reads a reference as typed.

        Raises:
            PydanticCustomError: ``wrong-shape`` or ``bad-reference``.
        """
        text = plain_text(value)
        match = _REFERENCE.fullmatch(text)
        assert match is not None
        path, version, step = match["path"], match["version"], match["step"]
        pieces = path.split("/")
        fine = not any(name_fault(piece) for piece in pieces) and (cls.FOLDERS or len(pieces) == 1)
        fine &= not (cls.FOLDERS and len(pieces) < 2)
        fine &= version is None or (cls.PINS and _VERSION.fullmatch(version) is not None)
        fine &= step is None or (cls.PINS and name_fault(step) is None)
        if not fine:
            raise _bad_reference(text, cls._mended(pieces, version, step), f"a {cls.KIND}")
        return cls(text)

    @classmethod
    def _mended(cls, pieces: list[str], version: str | None, step: str | None) -> str:
        if cls.FOLDERS and len(pieces) < 2:
            return cls.EXAMPLE
        mended = "/".join(mended_name(piece) for piece in (pieces if cls.FOLDERS else pieces[-1:]))
        if cls.PINS and version is not None:
            digits = re.sub(r"\D", "", version).lstrip("0")
            mended += f"@{digits or 1}"
        if cls.PINS and step:
            mended += f"#{mended_name(step)}"
        return mended

    @classmethod
    def schema(cls) -> dict[str, Any]:
        """What an editor may accept."""
        name = r"[a-z0-9-]+"
        path = rf"{name}(/{name})+" if cls.FOLDERS else name
        tail = rf"(@[1-9][0-9]*)?(#{name})?" if cls.PINS else ""
        return {"type": "string", "pattern": f"^{path}{tail}$"}


class RecipeRef(Reference):
    """A recipe, with a version and a step where wanted: ``cast/cheek-piece@3#open``."""

    __slots__ = ()
    KIND = "recipe"
    EXAMPLE = "cast/cheek-piece"
    FOLDERS = True
    PINS = True


class RecipeAddress(Reference):
    """A recipe's address without a version: ``cast/cheek-piece``."""

    __slots__ = ()
    KIND = "recipe"
    EXAMPLE = "cast/cheek-piece"
    FOLDERS = True


class MaterialRef(Reference):
    """A material by its name."""

    __slots__ = ()
    KIND = "material"


class FailureRef(Reference):
    """A failure note by its name."""

    __slots__ = ()
    KIND = "failure"


class RunRef(Reference):
    """A run by its id."""

    __slots__ = ()
    KIND = "run"


class MoldRef(Reference):
    """A mold by its name."""

    __slots__ = ()
    KIND = "mold"


class CourseRef(Reference):
    """A course by its name."""

    __slots__ = ()
    KIND = "course"


def plain_text(value: Any) -> str:
    """The text of a scalar as it was typed.

    Raises:
        PydanticCustomError: ``wrong-shape`` where a list or a group of keys stands.
    """
    if isinstance(value, str):
        return value.strip()
    given = "a list" if isinstance(value, list) else "a group of keys" if isinstance(value, dict) else "nothing"
    raise PydanticCustomError(
        "wrong-shape",
        "{message}",
        {"message": f"There is {given} here; plain text is wanted.", "help": "Type one text after the colon."},
    )


def _bad_reference(text: str, mended: str, word: str) -> PydanticCustomError:
    message = f"`{text}` cannot be read as the name of {word}."
    return PydanticCustomError("bad-reference", "{message}", {"message": message, "help": f"Type `{mended}`."})
