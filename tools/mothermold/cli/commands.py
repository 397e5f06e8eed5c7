"""The table of commands: what each is called, which module declares it (``answers.question``), and one line of help.

It stands here so that the help imports none of them. A new command is a row, and its module.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Final, NamedTuple

if TYPE_CHECKING:
    from mothermold.answers.question import QuestionEntry


class CommandRow(NamedTuple):
    """A command: the module that declares it, and one line of help."""

    module: str
    summary: str


COMMANDS: Final[dict[str, CommandRow]] = {
    "demo": CommandRow("cli.publishing", "lay out the sample book with its whole history in a fresh folder, build its site and serve it"),
    "init": CommandRow("cli.deeds", "turn a new or empty folder into an empty book"),
    "new": CommandRow("cli.deeds", "begin a document: it asks what it needs, shows you the file, and writes it"),
    "save": CommandRow("cli.deeds", "save what changed, a changed recipe under its next number"),
    "undo": CommandRow("cli.deeds", "withdraw the last save with a new one, or take back what is not saved yet"),
    "mend": CommandRow("cli.mending", "find what went wrong with git, folders or files, say it, and mend it after a yes"),
    "bring": CommandRow("cli.deeds", "take what was noted at the bench into the book, each once however often you bring it"),
    "photo": CommandRow("cli.photos", "take photos into the book: upright, without where and when they were taken, named in a document"),
    "check": CommandRow("answers.check", "say everything that is wrong or doubtful in the book"),
    "about": CommandRow("answers.meanings", "what a notice means, and what to write instead"),
    "find": CommandRow("answers.find", "search by the words you would shout: failures first, with what to do now"),
    "evidence": CommandRow("answers.evidence", "what the runs say about a failure: how often at which version, and whether each fix held"),
    "versions": CommandRow("answers.versions", "which versions a recipe has, since when and why"),
    "diff": CommandRow("answers.difference", "what changed between two versions, what it leads to, and why"),
    "changes": CommandRow("answers.changes", "what changed in the whole book since a day or since a course, in words"),
    "plan": CommandRow("answers.plan", "when what is done for a build: backward from its days in the chair, or forward from a moment"),
    "mix": CommandRow("answers.batch", "a batch sheet: grams of each part"),
    "buy": CommandRow("answers.buy", "how many castings to make, which packs to buy beyond the lots in hand, what a good piece costs"),
    "drift": CommandRow("answers.drift", "how the castings of a build keep to the approved color, swatch by swatch"),
    "vapor": CommandRow("answers.vapor", "what evaporates in a recipe's steps, against the limits for workplace air: an estimate, not a clearance"),
    "gypsum": CommandRow("answers.gypsum", "powder and water for a volume, or about what a mold will weigh when dry"),
    "cure": CommandRow("answers.cure", "a pot life or demold time in another room, as a band"),
    "curve": CommandRow("answers.curve", "how a piece cast flat fits a curved head"),
    "cavity": CommandRow("answers.cavity", "how much a mold holds: from clay, water, a casting, or scans"),
    "handout": CommandRow("handouts.command", "print a recipe, a course or a build: sheets for students, the teacher, the bench and the wall, as PDF"),
    "build": CommandRow("cli.publishing", "build the site of an edition; default: the public one"),
    "serve": CommandRow("cli.publishing", "serve the site on this computer, or to your phone; edits show up by themselves"),
    "open": CommandRow("cli.deeds", "what a class or the public must be allowed to read for a course or a recipe; opens it after one yes"),
    "export": CommandRow("answers.export", "the whole book as JSON"),
    "schema": CommandRow("answers.schemas", "the JSON Schemas of all documents, for editors"),
}  # fmt: skip


def question_of(name: str) -> QuestionEntry:
    """What the module of a command declares; imported now."""
    import_module(f"mothermold.{COMMANDS[name].module}")
    from mothermold.answers.question import declared  # noqa: PLC0415 - whatever declares a command has imported it

    return declared(name)
