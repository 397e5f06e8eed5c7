"""The sums at the bench, by the place each has on its page: what it is called, and the words it is looked for by."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from mothermold.find.index import Entry


@dataclass(frozen=True, slots=True)
class BenchSum:
    """A sum.

    Attributes:
        title: What it is called.
        said: What one looks for it by, a line each.
    """

    title: str
    said: tuple[str, ...]


SUMS: Final[dict[str, BenchSum]] = {
    "gypsum": BenchSum(
        "Gypsum: powder and water",
        (
            "How much water for the powder, how much powder for a volume",
            "Water per 100 g of gypsum, stone or plaster; mix ratio from the bag",
            "How warm it gets while it sets",
        ),
    ),
    "dry": BenchSum(
        "When is the mold dry?",
        ("Dry weight of a gypsum mold", "Two weighings a day apart are equal", "How long a stone mold dries"),
    ),
    "pot-life": BenchSum(
        "Pot life today",
        (
            "Pot life or demold time in another room",
            "How long it can be poured when it is warmer or colder than the label says",
            "Working time, cure time, temperature of the room",
        ),
    ),
    "curve": BenchSum(
        "A flat piece on a curved head",
        ("Whether a flat piece lies down or wrinkles", "Gauge radius, width of a band, curved surface"),
    ),
    "cavity": BenchSum(
        "What a mold holds",
        (
            "Volume of a mold from the clay, the water or the last casting",
            "Weight over density; how much to mix to fill a cavity",
        ),
    ),
}
"""By the name of their place on the page; the same in every edition."""


_TOUCH: Final = (
    "May this touch that, may one material be put on another",
    "Compatible or not: silicone on clay, glue on skin, resin on gelatine, paint on silicone",
    "What hinders a cure, what eats what, what stays sticky",
)


def sum_entries() -> Iterator[Entry]:
    """The sums, to be found, and the table of what may touch what, which answers at the bench as they do."""
    yield Entry("may-touch", "sum", "May this touch that?", "\n".join(_TOUCH), "", ("page", "touch"))
    for name, each in SUMS.items():
        yield Entry(name, "sum", each.title, "\n".join([name, *each.said]), "", ("page", "sums"))
