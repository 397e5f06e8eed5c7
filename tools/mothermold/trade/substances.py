"""What evaporates, and the limits that issuers name for it, from ``substances.yaml``."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Final

from mothermold.ground.reading import read_table

_FILE: Final = Path(__file__).with_name("substances.yaml")


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit of the air at work: who issued it, of which kind, in ppm, where and when it was read."""

    issuer: str
    kind: str
    ppm: float
    source: str
    read: str


@dataclass(frozen=True, slots=True)
class Substance:
    """A substance.

    Attributes:
        cas: Its CAS registry number.
        name: Its name.
        molar_mass: In g/mol; None for a mixture.
        lel: Lower explosive limit in percent of the air; None where no table has it.
        limits: What issuers name.
    """

    cas: str
    name: str
    molar_mass: float | None
    lel: float | None
    limits: tuple[Limit, ...]


@lru_cache(maxsize=1)
def substances() -> dict[str, Substance]:
    """All substances by CAS number."""
    return {
        str(cas): Substance(
            str(cas),
            row["name"],
            row.get("molar_mass"),
            row.get("lel"),
            tuple(Limit(each["issuer"], each["kind"], float(each["ppm"]), each["source"], str(each["read"])) for each in row["limits"]),
        )
        for cas, row in read_table(_FILE).items()
    }  # fmt: skip


def substance_of(cas: str | None, name: str) -> Substance | None:
    """The substance with a CAS number, else with a name; None where the table has neither."""
    if cas is not None:
        return substances().get(cas)
    return next((each for each in substances().values() if each.name == name.casefold()), None)
