"""The table of commands: name, one line of help, options. What each does stands in ``running``."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

Option = tuple[tuple[str, ...], dict[str, Any]]


@dataclass(frozen=True, slots=True)
class Command:
    """A command.

    Attributes:
        name: What is typed.
        summary: One line of help.
        options: Its arguments and options.
        reads: Whether it reads a book in an edition.
        answers: Whether it answers in text or JSON.
    """

    name: str
    summary: str
    options: tuple[Option, ...] = ()
    reads: bool = True
    answers: bool = True


def _argument(name: str, text: str, **settings: Any) -> Option:
    return (name.lower(),), {"metavar": name, "help": text, **settings}


def _option(name: str, metavar: str, text: str, **settings: Any) -> Option:
    return (name,), {"metavar": metavar, "help": text, "default": None, **settings}


_NO_SERVE: Final[Option] = (("--no-serve",), {"action": "store_true", "help": "stop when the site is built"})
_YES: Final[Option] = (("--yes",), {"action": "store_true", "help": "ask nothing; take what is proposed"})
_RECIPE: Final = _argument("RECIPE", "the recipe, like cast/cheek-piece")

COMMANDS: Final[dict[str, Command]] = {
    command.name: command
    for command in (
        Command(
            "demo", "lay out the sample book with its whole history in a fresh folder, build its site and serve it",
            (
                _argument("DIR", "a new or empty folder; default: mothermold-demo", nargs="?", default="mothermold-demo"),
                _NO_SERVE,
            ),
            reads=False, answers=False,
        ),
        Command(
            "init", "turn a new or empty folder into an empty book",
            (_argument("DIR", "the folder"),), reads=False, answers=False,
        ),
        Command(
            "new", "begin a document: it asks what it needs, shows you the file, and writes it",
            (
                _argument("KIND", "recipe, material, failure, run, mold, build or course; left out, it is asked for", nargs="?",
                          choices=("recipe", "material", "failure", "run", "mold", "build", "course")),
                _option("--from", "RECIPE", "the recipe a new one starts from, like cast/cheek-piece or cast/cheek-piece@3",
                        dest="source"),
            ),
            reads=False, answers=False,
        ),
        Command(
            "save", "save what changed, a changed recipe under its next number",
            (
                (("-m", "--why"), {"metavar": "WHY", "help": "why, in a sentence", "default": ""}),
                (("--fixes",), {"metavar": "NAME", "help": "the failure notes it answers", "nargs": "+", "default": []}),
                (("--keep-number",), {"action": "store_true", "help": "the change under a locked number only mends a slip of the pen"}),
                (("--with-errors",), {"action": "store_true", "help": "save documents with errors too"}),
                _YES,
            ),
            reads=False, answers=False,
        ),
        Command(
            "undo", "withdraw the last save with a new one, or take back what is not saved yet",
            (
                (("--unsaved",), {"action": "store_true", "help": "back to the last save; the present texts are laid aside"}),
                _YES,
            ),
            reads=False, answers=False,
        ),
        Command(
            "bring", "take runs noted at the bench into the book, each one once however often you bring it",
            (
                _argument("FILE", "files or folders; default: the book's inbox", nargs="*"),
                _option("--to", "BUILD", "the build they belong to; default: the mold's or the thing's"),
            ),
            reads=False, answers=False,
        ),
        Command("check", "say everything that is wrong or doubtful in the book"),
        Command("about", "what a notice means, and what to write instead",
                (_argument("CODE", "the notice's code, like unknown-key", nargs="?"),), reads=False),
        Command(
            "find", "search by the words you would shout: failures first, with what to do now",
            (
                _argument("WORDS", "like: stuck mold, or sticky rim", nargs="+"),
                _option("--stage", "STAGE", "only what is met or done there, like cast"),
                _option("--family", "FAMILY", "only where this family of materials is used, like alginate"),
                _option("--harm", "HARM", "only failures that cost this at worst, like 'mold lost'"),
                _option("--answer", "ANSWER", "only failures that are open, or whose fix did so: held, likely, 'too few runs', 'no better', worse"),
            ),
        ),
        Command(
            "evidence", "what the runs say about a failure: how often at which version, and whether each fix held",
            (_argument("FAILURE", "the failure note, like cracked-mold"),),
        ),
        Command("versions", "which versions a recipe has, since when and why", (_RECIPE,)),
        Command(
            "diff", "what changed between two versions, what it leads to, and why",
            (
                _RECIPE,
                _argument("A", "a number, or working", nargs="?"),
                _argument("B", "a number, or working", nargs="?"),
            ),
        ),
        Command(
            "changes", "what changed in the whole book since a day or since a course, in words",
            (_option("--since", "DAY|COURSE", "a day, like 2026-04-18, or a course, like silicone-spring-2026", required=True),),
        ),
        Command(
            "mix", "a batch sheet: grams of each part",
            (
                _argument("RECIPE", "the recipe, like cast/cheek-piece or cast/cheek-piece@3"),
                _argument("MIX", "the mix; default: the only one that is not a premix", nargs="?"),
                _option("--fill", "Q", "the cavity, like '185 ml'"),
                _option("--mold", "ID", "a mold whose cavity was measured"),
                _option("--piece", "Q", "a good casting weighed with its flashing, like '214 g'"),
                _option("--clay", "Q", "the weight of the sculpture's clay"),
                _option("--clay-material", "M", "the clay's name in the book"),
                (("--have",), {"metavar": "PART=Q", "help": "what is left of a part; may be repeated", "action": "append",
                               "default": []}),
                (("--poured",), {"metavar": "PART=Q", "help": "what is already in the cup; the rest is scaled to it. Given for "
                                 "several parts: what was really mixed, and how far that is off the recipe",
                                 "action": "append", "default": []}),
                _option("--castings", "N", "how many castings"),
                (("--flat",), {"action": "store_true", "help": "take premixes apart into raw materials"}),
                _option("--room", "T", "today's temperature, like '26 degC': can it be closed in time?"),
                _option("--today", "DAY", "the day it is mixed, for the lots' dates; default: that of the last save"),
            ),
        ),
        Command(
            "vapor", "what evaporates in a recipe's steps, against the limits for workplace air: an estimate, not a clearance",
            (
                _argument("RECIPE", "the recipe, like cast/cheek-piece or cast/cheek-piece@3"),
                _option("--room", "Q", "the room, like '42 m3'"),
                _option("--changes", "N", "how many times an hour its air is changed"),
                _option("--minutes", "N", "over how many minutes it evaporates; default: the step's own time"),
            ),
        ),
        Command(
            "gypsum", "powder and water for a volume, or about what a mold will weigh when dry",
            (
                _option("--fill", "Q", "the volume to fill, like '2.5 l'"),
                _option("--powder", "Q", "or the powder there is, like '3 kg'"),
                _option("--demolded", "Q", "or a mold's weight just out of its box, for its dry weight"),
                _option("--ratio", "N", "grams of water per 100 g of powder, from the bag"),
                _option("--density", "Q", "of the solid powder; default: 2.75 g/ml"),
                _option("--water-density", "Q", "of the water; default: 0.998 g/ml"),
            ),
            reads=False,
        ),
        Command(
            "cure", "a pot life or demold time in another room, as a band",
            (
                _option("--time", "Q", "the time as stated, like '6 min' or '30-60 min'"),
                _option("--at", "T", "the temperature it is stated for, like '23 degC'"),
                _option("--room", "T", "the temperature of the room"),
                _option("--second", "Q", "instead of the room: the same time logged elsewhere, to learn how it changes"),
                _option("--second-at", "T", "the temperature of that second log"),
            ),
            reads=False,
        ),
        Command(
            "curve", "how a piece cast flat fits a curved head",
            (
                _option("--disc", "Q", "a round piece, how wide, like '60 mm'"),
                _option("--band", "Q", "or a long band, how wide, like '40 mm'"),
                _option("--radius", "Q", "gauge radius of the place, like '90 mm'"),
                _option("--across", "Q", "gauge radius at right angles to it, or flat; default: the same"),
                (("--saddle",), {"action": "store_true", "help": "the two bend to opposite sides, as on a nose bridge"}),
                _option("--tolerance", "P", "how much still lies down; default: 2 %%"),
            ),
            reads=False,
        ),
        Command(
            "cavity", "how much a mold holds: from clay, water, a casting, or scans",
            (
                _option("--piece", "Q", "a good casting weighed with its flashing, like '214 g'; the best way"),
                _option("--clay", "Q", "the weight of the sculpture's clay"),
                _option("--density", "Q", "of the casting or the clay, like '1.08 g/ml'"),
                _option("--water", "Q", "water a sealed mold holds or bagged clay displaces, in ml or g"),
                _option("--temperature", "Q", "of weighed water; default: 20 degC"),
                _option("--mesh", "FILE", "a closed mesh (STL, OBJ, PLY): the cavity, or the sculpture with --core"),
                _option("--core", "FILE", "the core's closed mesh, in the same position"),
                _option("--unit", "UNIT", "of the meshes: mm, cm, in or m; default: mm"),
                _option("--thin", "Q", "a place under this is thin; default: '1 mm'"),
                _option("--up", "AXIS", "the axis that points up: y (the face looks along +z) or z (along -y)"),
                _option("--picture", "FILE", "write a drawing of the thin places, like thin.svg"),
            ),
            reads=False,
        ),
        Command(
            "build", "build the site of an edition; default: the public one",
            (
                _option("--out", "DIR", "where to; default: site/EDITION in the book; with --one-file, a file or a folder"),
                (("--one-file",), {"metavar": "RECIPE", "nargs": "*", "default": None,
                                   "help": "instead of the site, one file to carry on a phone: all recipes in use, or those named"}),
                (("--strict",), {"action": "store_true", "help": "fail if the site builder warns"}),
                (("--forget",), {"action": "store_true",
                                 "help": "devices delete their copy of the site instead of keeping one"}),
                (("--for",), {"dest": "edition", "metavar": "EDITION", "default": "public", "help": "private, class or public"}),
            ),
            reads=False, answers=False,
        ),
        Command(
            "serve", "serve the site on this computer, or to your phone; edits show up by themselves",
            (
                (("--phone",), {"action": "store_true",
                                "help": "to a phone on the local network that scanned the square on the screen, with an inbox for runs"}),
                _option("--host", "ADDRESS", "with --phone: which address of this computer, like 192.168.1.20"),
                _option("--port", "N", "with --phone: the port; default: the first free one from 8000"),
            ),
            answers=False,
        ),
        Command(
            "open", "what a class or the public must be allowed to read for a course or a recipe; opens it after one yes",
            (
                _argument("DOCUMENT", "a course by its name, or a recipe, like cast/cheek-piece or cast/cheek-piece@3"),
                _option("--to", "EDITION", "class or public"),
                _YES,
            ),
            reads=False,
        ),
        Command("export", "the whole book as JSON"),
        Command("schema", "the JSON Schemas of all documents, for editors",
                (_option("--write", "DIR", "write them as files into this folder"),), reads=False),
    )
}  # fmt: skip
