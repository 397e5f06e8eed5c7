"""The appointment for a cast from life: a table of what is asked, who is there, what the hand says and what goes where.

Each row has its source, or says that it has none; ``appointment.yaml`` is the table. Nothing here decides whether somebody may be
cast: in doubt a doctor does.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from mothermold.ground.reading import read_table


@dataclass(frozen=True, slots=True)
class AppointmentLine:
    """A line of the appointment.

    Attributes:
        what: What is asked, done or written down.
        why: Why.
        source: Where it is from.
    """

    what: str
    why: str
    source: str


@lru_cache(maxsize=1)
def appointment_lines() -> Mapping[str, tuple[AppointmentLine, ...]]:
    """The lines by what they are for: ``asked``, ``on_the_day``, ``there``, ``stop``, ``limit``, ``closed_folder``, ``book_holds``."""
    told = read_table(Path(__file__).with_name("appointment.yaml"))
    return {key: tuple(AppointmentLine(**row) for row in rows) for key, rows in told.items()}
