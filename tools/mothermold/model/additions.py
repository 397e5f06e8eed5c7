"""What a book adds to the common words and rules, under ``adds:`` in ``recipes/book.yaml``."""

from __future__ import annotations

from typing import Annotated, Literal

from mothermold.model.names import Name
from mothermold.model.parts import Part, many, must, some
from mothermold.model.scalars import ONE_OR_MANY, Duration, Text

AddedNames = Annotated[tuple[Name, ...], ONE_OR_MANY]
Gravity = Literal["can hurt", "stops the job", "damages the result", "is a nuisance"]


class RuleUse(Part):
    """The use an own rule is about."""

    families: AddedNames = must("It holds something of one of these families.", ["bio-gel"])
    as_: AddedNames = many("It is used as one of these; default: those that leave a layer of their own.", ["cast"])
    stages: AddedNames = many("In recipes of these stages; default: any.", ["cast"])


class RuleMeets(Part):
    """What the use of an own rule meets."""

    families: AddedNames = must("Something of one of these families, or `skin`, or `hair`.", ["natural-latex"])
    as_: AddedNames = many("Laid in the work as one of these; default: any, and what was there before.", ["coat"])


class RuleRemedy(Part):
    """One way to keep an own rule; all that stands in it must have been done."""

    layer: AddedNames = many("A layer of one of these families lies between.", ["barrier"])
    done: AddedNames = many("Something of one of these families was used on the surface since.", ["soap"])
    waited: Duration | None = some("So long since what is met was laid.", "30 min")


class OwnRule(Part):
    """A rule of what must not touch what, beside the common ones."""

    id: Name = must("Its name, which follows its findings.", "bio-gel-on-latex")
    title: Text = must("What must not be, in a few words.", "Bio gel on latex")
    weighs: Gravity = must("How bad it is.", "damages the result")
    use: RuleUse = must("What is used.", {"families": ["bio-gel"], "as": ["cast"]})
    meets: RuleMeets | None = some(
        "What it meets; without it the use itself is the matter.", {"families": ["natural-latex"]}
    )
    kept_by: tuple[RuleRemedy, ...] = many("What keeps it right, any one of these.", [{"layer": ["barrier"]}])
    happens: Text = must("What happens otherwise, to follow a colon.", "it stays tacky where they touch")
    instead: Text = must("What to do, in a sentence.", "Use a cap of another material.")
    because: Text | None = some("Why it happens, in a sentence.", "Its starter is stopped by latex.")
    source: Text = some("Where it was read or seen.", "common practice, no source", "this book")


class OwnWord(Part):
    """A word of the workshop or the class, for the guide's words of the trade."""

    word: Text = must("The word.", "rim wax")
    means: Text = must("What it means here, in a few words.", "the soft wax that seals a mold at its rim")
    called: Text | None = some("What the class calls it, in its own language.", "Randwachs")


class OwnWords(Part):
    """Words and rules this book adds to the common ones."""

    stages: AddedNames = many("Stages of the work.", ["restoration"])
    families: AddedNames = many("Chemistry classes.", ["bio-gel"])
    as_: AddedNames = many("What a use is for.", ["burnish"])
    with_: AddedNames = many("Equipment and actions.", ["ultrasonic-bath"])
    same_words: tuple[tuple[Text, ...], ...] = many(
        "Rows of words with one meaning: whoever searches for one finds the others. They are in every edition.",
        [["gunk", "residue"]],
    )
    words: tuple[OwnWord, ...] = many(
        "Words for the guide's words of the trade, and what the class calls them. They are in every edition.",
        [{"word": "rim wax", "means": "the soft wax that seals a mold at its rim", "called": "Randwachs"}],
    )
    rules: tuple[OwnRule, ...] = many(
        "Rules of what must not touch what. They are in every edition, so nothing private belongs in them.",
        [{"id": "bio-gel-on-latex", "weighs": "damages the result"}],
    )
