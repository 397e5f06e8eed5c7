"""A material: its families, density, packs, lots and the maker's sheet."""

from __future__ import annotations

from typing import Annotated

from pydantic import BeforeValidator

from mothermold.model.names import Name
from mothermold.model.parts import DocumentModel, Materials, Part, many, must, some
from mothermold.model.scalars import (
    ONE_OR_MANY,
    Amount,
    Day,
    Density,
    Duration,
    Mass,
    Number,
    Percent,
    Text,
    one_or_many,
)

Families = Annotated[tuple[Name, ...], ONE_OR_MANY]


class Vapor(Part):
    """A substance that evaporates from the material."""

    substance: Text = must("The substance.", "acetone")
    cas: Text | None = some("Its CAS registry number.", "67-64-1")
    share: Percent | None = some("How much of the material's weight it is.", "60 %")


class Maximum(Part):
    """The maker's upper limit in a mix."""

    percent: Percent = must("At most this many percent.", 250)
    of: Families = must("Of the mix's parts of these families.", ["platinum-silicone"])


class Pack(Part):
    """A size it is sold in."""

    size: Amount = must("How much a pack holds.", "1 kg")
    price: Number | None = some("Its price in the book's currency.", "24.00", own=True)


class Keeps(Part):
    """How long it keeps."""

    closed: Duration | None = some("Unopened.", "24 months")
    opened: Duration | None = some("Once opened.", "12 months")


class Lot(Part):
    """One delivery."""

    lot: Text = must("The number on the label, as typed.", "20E5")
    got: Day | None = some("When it came.", "2026-02-03")
    opened: Day | None = some("When it was opened.", "2026-02-10")
    use_by: Day | None = some("Use by.", "2027-02-01")
    held: Amount | None = some("How much it held when it came.", "1 kg")
    left: Amount | None = some("How much is left.", "640 g")
    weighed: Day | None = some("When that was weighed; what runs took since then is taken off it.", "2026-04-20")


class SafetySheet(Part):
    """The maker's safety data sheet."""

    where: Text | None = some("Where it is kept.", "binder 2")
    dated: Day | None = some("Its date.", "2025-11-02")


class Material(DocumentModel):
    """Something used, with what must be known about it."""

    title: Text = must("What it is, without a brand.", "Deadener fluid for platinum gel")
    families: Families = must("The chemistry classes that decide compatibility and cautions.", ["silicone-deadener"])
    density: Density | None = some("Density; of powders that of the particles.", "0.97 g/ml")
    drop: Mass | None = some("The weight of one drop.", "0.03 g")
    vapor: Annotated[
        tuple[Vapor, ...], BeforeValidator(one_or_many, json_schema_input_type=tuple[Vapor, ...] | Vapor)
    ] = many("What evaporates.", [{"substance": "acetone"}])
    maximum: Maximum | None = some("The maker's upper limit in a mix.", {"percent": 250, "of": ["platinum-silicone"]})
    kit: Materials = many("Materials bought and matched together.", ["gel-silicone-b"])
    packs: tuple[Pack, ...] = many("The packs it comes in.", [{"size": "1 kg", "price": "24.00"}])
    keeps: Keeps | None = some("How long it keeps.", {"closed": "24 months"})
    lots: tuple[Lot, ...] = many("The deliveries in hand.", [{"lot": "20E5"}], own=True)
    sds: SafetySheet | None = some("The maker's safety data sheet.", {"where": "binder 2"})
