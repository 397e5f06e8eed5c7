"""What every document shares: how its fields are declared, and small groups used by several kinds."""

from __future__ import annotations

from typing import Annotated, Any, Final, Literal, Self, cast
from weakref import WeakValueDictionary

from pydantic import BaseModel, ConfigDict, Field, ModelWrapValidatorHandler, model_validator

from mothermold.model.names import FailureRef, MaterialRef, RecipeRef
from mothermold.model.scalars import (
    ONE_OR_MANY,
    Code,
    Day,
    Duration,
    Positive,
    Prose,
    SignedNumber,
    Temperature,
    Text,
    Visibility,
)
from mothermold.model.traits import Traits


def _written_key(field: str) -> str:
    # `as`, `from`, `with` and `in` are words of Python, so the fields carry an underscore.
    return field.rstrip("_")


def some(description: str, example: Any, default: Any = None, **traits: Any) -> Any:
    """A field that may be left out; what else it is, as in ``Traits``."""
    return _declared(description, example, traits, default=default, validate_default=False)


def many(description: str, example: Any, **traits: Any) -> Any:
    """A list that may be left out; what else it is, as in ``Traits``."""
    return _declared(description, example, traits, default=(), validate_default=False)


def must(description: str, example: Any, **traits: Any) -> Any:
    """A field that must stand there; what else it is, as in ``Traits``."""
    return _declared(description, example, traits)


def _declared(description: str, example: Any, traits: dict[str, Any], **more: Any) -> Any:
    return Field(description=description, examples=[example], json_schema_extra=Traits(**traits), **more)


class Part(BaseModel):
    """A group of keys with fixed names; anything else in it is refused."""

    model_config = ConfigDict(
        extra="forbid",
        frozen=True,
        alias_generator=_written_key,
        arbitrary_types_allowed=True,
        use_enum_values=True,
        # Who asks for a recipe does not wait for what runs and builds may say.
        defer_build=True,
    )


class Shared(Part):
    """A long entry of a list, which the versions of a document mostly repeat word for word: read once, and the same in all."""

    @model_validator(mode="wrap")
    @classmethod
    def _once(cls, value: Any, read: ModelWrapValidatorHandler[Self]) -> Self:
        if not isinstance(value, dict):
            return read(value)
        written = (cls, repr(value))
        entry = _SHARED.get(written)
        if entry is None:
            _SHARED[written] = entry = read(value)
        return cast("Self", entry)


# What no document holds any more is forgotten.
_SHARED: Final[WeakValueDictionary[tuple[type[Shared], str], Shared]] = WeakValueDictionary()


class DocumentModel(Part):
    """What every kind of document may say about itself."""

    format: Positive = some("The number of the file format; default: 1.", 1, 1, change="never")
    visibility: Visibility = some(
        "Who may read it: only the owner, a class, or everybody.", "public", "private", change="never"
    )


RecipeRefs = Annotated[tuple[RecipeRef, ...], ONE_OR_MANY]


class Coats(Part):
    """How many coats, and the waiting between and after them."""

    count: Positive = must("How many coats.", 8)
    between: Duration | None = some("The wait between two coats.", "10 min")
    last: Duration | None = some("The wait after the last coat.", "60 min")


class Timed(Part):
    """A time that holds at a temperature."""

    time: Duration = must("How long.", "25 min")
    at: Temperature | None = some("At which temperature it holds.", "23 degC")
    basis: Literal["label", "measured"] | None = some("Where the figure comes from.", "label")


class Accept(Part):
    """A finding of the rules that is accepted, with the reason."""

    rule: Text = must("The rule's id.", "alcohol-paint-on-alcohol-film")
    where: Text = must("Where it applies.", "application/full#spatter")
    because: Prose = must("Why it is accepted.", "Sealed twice and tested in cup 4.")

    def covers(self, address: str, version: int | None, step: str) -> bool:
        """Whether it speaks of a step: what ``where`` leaves out, any recipe, version or step, it means all of."""
        _, _, its_step = str(self.where).partition("#")
        _, _, its_version = str(self.where).partition("#")[0].partition("@")
        return (
            self.address in ("", address)
            and its_version in ("", str(version) if version is not None else "")
            and its_step in ("", step)
        )

    @property
    def address(self) -> str:
        """The recipe ``where`` speaks of, without version and step; empty where it leaves it out."""
        return str(self.where).partition("#")[0].partition("@")[0]

    def moved(self, address: str) -> Accept:
        """The same of a recipe that lies at another address now."""
        return self.model_copy(update={"where": address + str(self.where).removeprefix(self.address)})


class Color(Part):
    """A color by eye or by instrument."""

    light: Text | None = some("The light it was seen in.", "daylight")
    L: SignedNumber | None = some("Lightness, CIE 1976 L*.", 71.2)
    a: SignedNumber | None = some("Green to red, CIE 1976 a*.", 8.9)
    b: SignedNumber | None = some("Blue to yellow, CIE 1976 b*.", 14.3)


class UsedLot(Part):
    """The lot a material came from."""

    material: MaterialRef = must("The material.", "gel-silicone-a")
    lot: Text = must("The number on the label, as typed.", "20E5")


class Repair(Part):
    """A repair of a mold."""

    date: Day | None = some("When.", "2026-04-21")
    what: Prose | None = some("What was done.", "Brow crack pinned and filled.")
    failure: FailureRef | None = some("The failure note it answers.", "cracked-mold")


Proses = Annotated[tuple[Prose, ...], ONE_OR_MANY]
Codes = Annotated[tuple[Code, ...], ONE_OR_MANY]
Failures = Annotated[tuple[FailureRef, ...], ONE_OR_MANY]
Materials = Annotated[tuple[MaterialRef, ...], ONE_OR_MANY]
