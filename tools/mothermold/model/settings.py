"""The book's own settings, ``recipes/book.yaml``."""

from __future__ import annotations

from functools import cache
from typing import Annotated, Final, Literal
from zoneinfo import ZoneInfo, available_timezones

from pydantic import BeforeValidator

from mothermold.model.additions import OwnWords
from mothermold.model.names import Name, plain_text
from mothermold.model.parts import Part, many, must, some
from mothermold.model.scalars import ONE_OR_MANY, Day, Hours, Mass, Positive, Text, fault

# To list them the system's files are gone through, which takes as long as reading forty documents.
_zones: Final = cache(available_timezones)


def _zone(value: object) -> str:
    name = plain_text(value)
    if name not in _zones():
        raise fault("unknown-word", f"`{name}` is not a time zone known here.", "Type one such as `Europe/Berlin`.")
    return name


Weekday = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]


class Scale(Part):
    """A scale on the bench."""

    id: Name = must("The scale's name.", "fine")
    step: Mass = must("The smallest step it shows.", "0.01 g")
    up_to: Mass = must("The most it can weigh.", "200 g")


class Emergency(Part):
    """Whom to call from this place, and what to tell them; shown in the private and the class edition, never in the public."""

    call: Text | None = some("The emergency number of this place.", "112")
    poison: Text | None = some("The number of the poison center.", "the one your country lists")
    address: Text | None = some("Where they must come to.", "Mill Lane 4, back yard, ground floor")
    nearest: Text | None = some("The nearest hospital with an emergency room.", "County hospital, 8 min by car")


class Settings(Part):
    """What holds for the whole book."""

    format: Positive = some("The number of the file format; default: 1.", 1, 1)
    title: Text = must("The book's title.", "Process book of a small workshop")
    notice: Text | None = some(
        "A line every page shows, such as that the book is invented.", "An invented sample book."
    )
    currency: Text | None = some("The currency of its prices.", "EUR")
    time_zone: Annotated[str, BeforeValidator(_zone)] = some("Where the clocks are.", "Europe/Berlin", "UTC")
    hours: dict[Weekday, Hours] = some("Working hours by weekday.", {"mon": "09:00-18:00"}, {})
    holidays: Annotated[tuple[Day, ...], ONE_OR_MANY] = many("Days without work.", ["2026-05-01"])
    scales: tuple[Scale, ...] = many("The scales on the bench.", [{"id": "fine", "step": "0.01 g", "up_to": "200 g"}])
    emergency: Emergency | None = some("Whom to call from this place.", {"call": "112", "address": "Mill Lane 4"})
    adds: OwnWords | None = some("Words and rules this book adds.", {"with": ["ultrasonic-bath"]})

    @property
    def zone(self) -> ZoneInfo:
        """The time zone all clocks of the book are in."""
        return ZoneInfo(self.time_zone)
