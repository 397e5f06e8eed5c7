"""A failure note: symptom, what to do now, cause, fix."""

from __future__ import annotations

from typing import Annotated, Literal

from mothermold.model.names import Name, RecipeRef
from mothermold.model.parts import DocumentModel, Part, Proses, many, must, some
from mothermold.model.pictures import Pictures
from mothermold.model.scalars import ONE_OR_MANY, Harm, Prose, Text


class Cause(Part):
    """Why it happened, and how sure that is."""

    what: Prose = must("The cause.", "Levering with a screwdriver at one edge")
    sure: Literal["seen", "tested", "guess"] | None = some("How sure it is.", "seen")


class Fix(Part):
    """What was changed so that it does not happen again."""

    do: Prose = must("The fix.", "Cut four pry slots")
    in_: RecipeRef | None = some("The recipe version that carries it.", "mold/face-mold@3", pinned=True)


class Failure(DocumentModel):
    """Something that went wrong, told so that it is found and got out of."""

    title: Text = must("What happened, in a few words.", "Mold cracked while being opened")
    seen_at: Name = must("The stage where it shows.", "cast")
    noticed: Annotated[tuple[RecipeRef, ...], ONE_OR_MANY] = many(
        "The steps where it shows.", ["cast/cheek-piece#open"]
    )
    caused_at: Name | None = some("The stage that causes it, where known.", "mold")
    symptoms: Proses = must("The words one would shout at the bench.", ["loud snap when opening"])
    now: Proses = many("What to do now, in order.", ["Stop levering and strap the shell together."])
    do_not: Proses = many("What makes it worse.", ["Do not pull the piece through the crack."])
    happened: Prose | None = some("What was seen.", "At the third opening the shell snapped.")
    photos: Pictures = many("Photos: like this, not like this.", [{"file": "cracked-mold-1.jpg", "as": "bad"}])
    causes: tuple[Cause, ...] = many("Why it happened.", [{"what": "Levering at one edge", "sure": "seen"}])
    fixes: tuple[Fix, ...] = many("What helps; empty for an open problem.", [{"do": "Cut four pry slots"}])
    prevent: Prose | None = some("How to keep it from happening.", "Open evenly, a little at each slot.")
    harm: Harm | None = some("The worst it can cost.", "mold lost")
