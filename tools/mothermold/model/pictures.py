"""What hangs on a document: a drawing or a photo, what it shows, and who may see it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal, Self

from pydantic import BaseModel

from mothermold.ground.memory import once_for_each
from mothermold.model.names import Typed
from mothermold.model.parts import Part, must, some
from mothermold.model.scalars import ANY_TEXT, DayOrMoment, Text, Visibility, YesNo, read_line
from mothermold.model.walk import KeyPath, walk

SeenFrom = Literal["front", "left 3/4", "right 3/4", "left", "right", "back", "detail"]


class PictureFile(Typed):
    """The name of a drawing or a photo; where it lies follows from how it ends."""

    __slots__ = ()

    @classmethod
    def read(cls, value: Any) -> Self:
        """Reads a name as typed; whether there is such a file is not decided here."""
        return cls(read_line(value))

    @classmethod
    def schema(cls) -> dict[str, Any]:
        """What an editor may accept: any text, however it reads it."""
        return dict(ANY_TEXT)

    @property
    def is_drawing(self) -> bool:
        """Whether it is a drawing; all else is a photo."""
        return self.casefold().endswith(".svg")


class Picture(Part):
    """A drawing or a photo of what a document tells."""

    file: PictureFile = must("The picture's file name.", "r-2026-04-18-face-3-1.jpg", names=True)
    alt: Text | None = some("What can be seen, for those who cannot see it.", "The piece in the open mold")
    caption: Text | None = some("What it shows and why it is kept.", "Third casting, chin edge.")
    as_: Literal["good", "bad", "before", "after"] | None = some(
        "Whether it shows how it should look or should not, or how it was before or after.", "good"
    )
    view: SeenFrom | None = some("From where it is seen.", "detail")
    taken: DayOrMoment | None = some("When it was taken: a day, or a day and a time.", "2026-04-18 15:40")
    light: Text | None = some("The light it was taken in.", "north window, overcast")
    camera: Text | None = some("What it was taken with, as far as it matters.", "phone, no flash")
    face: YesNo | None = some(
        "Whether somebody's face can be seen; unless it says no, a photo stays with the owner.", "no", change="never"
    )
    visibility: Visibility | None = some(
        "Who may see it, never wider than the document; needed where a face may be seen by others.",
        "class",
        change="never",
    )

    @property
    def seen_by(self) -> Visibility:
        """Who may see it where its document may be read; what nobody said anything about stays with the owner."""
        if self.visibility is not None:
            return self.visibility
        return "public" if self.file.is_drawing or self.face is False else "private"


Pictures = tuple[Picture, ...]


@once_for_each
def pictures_of(model: BaseModel) -> Mapping[KeyPath, Picture]:
    """The drawings and photos a document shows, by their places in it, in order."""
    places = [path[:-1] for path, value in walk(model) if isinstance(value, PictureFile)]
    return {place: _at(model, place) for place in places}


def _at(group: Any, path: KeyPath) -> Any:
    for step in path:
        group = group[step] if isinstance(step, int) else getattr(group, step)
    return group
