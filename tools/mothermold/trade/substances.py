"""What evaporates, and the limits that issuers name for it, from ``substances.yaml``."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any, Final

from mothermold.ground.reading import read_table
from mothermold.reckon.vapor import in_ppm

_FILE: Final = Path(__file__).with_name("substances.yaml")


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit of the air at work: who issued it, of which kind, in ppm, where and when it was read.

    Issued in mg/m3 it says so in ``mg_m3``; its ppm are then those at the substance's molar mass, 25 degC and 1 atm.
    """

    issuer: str
    kind: str
    ppm: float
    source: str
    read: str
    mg_m3: float | None = None


@dataclass(frozen=True, slots=True)
class Substance:
    """A substance.

    Attributes:
        cas: Its CAS registry number.
        name: Its name.
        molar_mass: In g/mol; of a mixture the lowest told.
        mixture: Whether it is one of changing make.
        lel: Lower explosive limit in percent of the air; None where no table has it.
        limits: What issuers name.
    """

    cas: str
    name: str
    molar_mass: float
    mixture: bool
    lel: float | None
    limits: tuple[Limit, ...]


@lru_cache(maxsize=1)
def substances() -> dict[str, Substance]:
    """All substances by CAS number."""
    return {
        str(cas): Substance(
            str(cas),
            row["name"],
            row["molar_mass"],
            row.get("mixture", False),
            row.get("lel"),
            tuple(_limit(each, row["molar_mass"]) for each in row["limits"]),
        )
        for cas, row in read_table(_FILE).items()
    }


def _limit(told: Mapping[str, Any], molar_mass: float) -> Limit:
    weight = float(told["mg_m3"]) if "mg_m3" in told else None
    ppm = float(told["ppm"]) if weight is None else in_ppm(weight, molar_mass)
    return Limit(told["issuer"], told["kind"], ppm, told["source"], str(told["read"]), weight)


def substance_of(cas: str | None, name: str) -> Substance | None:
    """The substance with a CAS number, else with a name; None where the table has neither."""
    if cas is not None:
        return substances().get(cas)
    return next((each for each in substances().values() if each.name == name.casefold()), None)
