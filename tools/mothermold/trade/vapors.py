"""What a material usually gives off to the air by its families, from ``vapors.yaml``: for those whose maker's figures are not written."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any, Final, Literal

from mothermold.ground.reading import read_table
from mothermold.quantities.wording import plain_number
from mothermold.trade.substances import Substance, substances

_FILE: Final = Path(__file__).with_name("vapors.yaml")


@dataclass(frozen=True, slots=True)
class GivesOff:
    """What a family gives off.

    Attributes:
        family: Its name.
        kind: ``usual`` where a usual value is at hand, ``differs`` where nothing can be told, ``nothing`` where it is known to give off nothing.
        words: What is usual, or why nothing can be told, or why nothing is given off.
        substance: What evaporates of a usual one.
        percent: How much of the material's weight evaporates, from and to.
        source: Where the usual value is from.
    """

    family: str
    kind: Literal["usual", "differs", "nothing"]
    words: str
    substance: Substance | None = None
    percent: tuple[float, float] = (0.0, 0.0)
    source: str = ""

    @property
    def share(self) -> str:
        """How much of the weight evaporates, as ``40 to 80 %``."""
        low, high = map(plain_number, self.percent)
        return f"{high} %" if low == high else f"{low} to {high} %"


@lru_cache(maxsize=1)
def vapors() -> dict[str, GivesOff]:
    """What each family of the trade gives off."""
    told: Mapping[str, Mapping[str, Any]] = read_table(_FILE)
    usual = {name: _usual(name, row) for name, row in told["usual"].items()}
    differs = {name: GivesOff(name, "differs", words) for name, words in told["differs"].items()}
    nothing = {name: GivesOff(name, "nothing", words) for name, words in told["nothing"].items()}
    return usual | differs | nothing


def gives_off(families: Iterable[str]) -> tuple[GivesOff, ...]:
    """What a material of these families usually gives off.

    Returns:
        Of those with a usual value the one with the most, and every family that differs or that nobody knows; only where there
        is neither, the families that give off nothing.
    """
    names = list(families)
    plain = [name for name in names if name in vapors() and vapors()[name].kind == "nothing" and name != "water"]
    if plain:
        # Skin care says what it is for; plain jelly beside it says what it is.
        names = [name for name in names if name != "skin-care"]
    found = [vapors().get(name) or GivesOff(name, "differs", "the tool does not know this family") for name in names]
    usual = max((each for each in found if each.kind == "usual"), key=lambda each: each.percent[1], default=None)
    loud = ([usual] if usual else []) + [each for each in found if each.kind == "differs"]
    return tuple(loud or found)


def _usual(name: str, row: Mapping[str, Any]) -> GivesOff:
    low, high = row["percent"]
    return GivesOff(name, "usual", row["words"], substances()[row["cas"]], (float(low), float(high)), row["source"])
