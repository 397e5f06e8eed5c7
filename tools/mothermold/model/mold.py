"""A physical mold or core with a life of its own."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Any, Literal

from pydantic import PlainValidator, WithJsonSchema

from mothermold.model.names import RunRef, plain_text
from mothermold.model.parts import DocumentModel, Part, Repair, many, must, some
from mothermold.model.pictures import Pictures
from mothermold.model.scalars import Code, Day, Mass, Positive, Text, Volume, read_day


def _made(value: Any) -> RunRef | date | Literal["unknown"]:
    text = plain_text(value)
    if text == "unknown":
        return "unknown"
    return read_day(text) if text[:2].isdigit() else RunRef.read(text)


Made = Annotated[RunRef | date | Literal["unknown"], PlainValidator(_made), WithJsonSchema({"type": "string"})]


class MoldPart(Part):
    """One part of the mold."""

    what: Text = must("Which part.", "negative")
    made: Made | None = some("The run that made it, a day, or unknown.", "r-2026-03-12-core-1")


class Cavity(Part):
    """How much the mold holds."""

    volume: Volume = must("Its volume.", "218 ml")
    how: Literal["casting", "clay", "water", "scan", "reckoned"] | None = some("How it was found.", "casting")
    date: Day | None = some("When.", "2026-04-20")
    run: RunRef | None = some("The run whose casting was weighed.", "r-2026-04-18-face-3")
    flashing: Literal["included", "trimmed"] | None = some("Whether the flashing was on it.", "included")


class Weight(Part):
    """A weighing."""

    date: Day = must("When.", "2026-04-09")
    weight: Mass = must("How heavy.", "9.8 kg")
    state: Text | None = some("In which state.", "dry")


class Mold(DocumentModel):
    """One mold that exists, or existed."""

    title: Text = must("Its name.", "Face mold 1")
    made: Made = must("The run that made it, a day, or unknown.", "r-2026-04-01-face-mold-1")
    parts: tuple[MoldPart, ...] = many("Its parts.", [{"what": "negative"}])
    wearer: Code | None = some("The wearer's code.", "W1")
    cavity: Cavity | None = some("How much it holds.", {"volume": "218 ml"})
    weights: tuple[Weight, ...] = many("Its weighings.", [{"date": "2026-04-09", "weight": "9.8 kg"}])
    bolts: Positive | None = some("How many bolts or clamps close it.", 8)
    shelf: Text | None = some("Where it stands.", "C2")
    state: Literal["drying", "in use", "repaired", "retired", "broken"] | None = some("Its state now.", "in use")
    repairs: tuple[Repair, ...] = many("Its repairs.", [])
    photos: Pictures = many("Photos of it.", [{"file": "face-mold-1-1.jpg"}])
