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
_YES: Final[Option] = (("--yes",), {"action": "store_true", "help": "ask nothing; what is proposed is taken"})
_RECIPE: Final = _argument("RECIPE", "the recipe, as cast/cheek-piece")

COMMANDS: Final[dict[str, Command]] = {
    command.name: command
    for command in (
        Command(
            "demo", "lay out the sample book with its whole history in a fresh folder, build its site and serve it",
            (
                _argument("DIR", "a new or empty folder; mothermold-demo unless given", nargs="?", default="mothermold-demo"),
                _NO_SERVE,
            ),
            reads=False, answers=False,
        ),
        Command(
            "init", "make a new or empty folder an empty book",
            (_argument("DIR", "the folder"),), reads=False, answers=False,
        ),
        Command(
            "new", "begin a document: asks what it needs, shows the file, and writes it",
            (
                _argument("KIND", "recipe, material, failure, run, mold, build or course; asked for unless given", nargs="?",
                          choices=("recipe", "material", "failure", "run", "mold", "build", "course")),
                _option("--from", "RECIPE", "the recipe a new one starts from, as cast/cheek-piece or cast/cheek-piece@3",
                        dest="source"),
            ),
            reads=False, answers=False,
        ),
        Command(
            "save", "save what changed, a changed recipe under its next number",
            (
                (("-m", "--why"), {"metavar": "WHY", "help": "why, in a sentence", "default": ""}),
                (("--fixes",), {"metavar": "NAME", "help": "the failure notes it answers", "nargs": "+", "default": []}),
                (("--keep-number",), {"action": "store_true", "help": "what changed under a locked number was a slip of the pen"}),
                (("--with-errors",), {"action": "store_true", "help": "save documents with errors too"}),
                _YES,
            ),
            reads=False, answers=False,
        ),
        Command(
            "undo", "withdraw the last save by a new one, or take back what was not saved yet",
            (
                (("--unsaved",), {"action": "store_true", "help": "back to the last save; the texts of now are laid aside"}),
                _YES,
            ),
            reads=False, answers=False,
        ),
        Command(
            "bring", "take runs noted at the bench into the book, each once however often",
            (
                _argument("FILE", "files or folders; the book's inbox unless given", nargs="*"),
                _option("--to", "BUILD", "the build they belong to; that of the mold or the thing unless given"),
            ),
            reads=False, answers=False,
        ),
        Command("check", "say everything that is wrong or doubtful in the book"),
        Command("about", "what a notice means, and what to write instead",
                (_argument("CODE", "the notice's code, as unknown-key", nargs="?"),), reads=False),
        Command(
            "find", "search by the words you would shout: failures first, with what to do now",
            (
                _argument("WORDS", "as: stuck mold, or sticky rim", nargs="+"),
                _option("--stage", "STAGE", "only what is met or done there, as cast"),
                _option("--family", "FAMILY", "only where this family of materials is used, as alginate"),
                _option("--harm", "HARM", "only failures that cost this at worst, as 'mold lost'"),
                _option("--answer", "ANSWER", "only failures that are open, or whose fix: held, likely, 'too few runs', 'no better', worse"),
            ),
        ),
        Command(
            "evidence", "what the runs say of a failure: how often at which version, and whether each fix held",
            (_argument("FAILURE", "the failure note, as cracked-mold"),),
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
            (_option("--since", "DAY|COURSE", "a day, as 2026-04-18, or a course, as silicone-spring-2026", required=True),),
        ),
        Command(
            "mix", "a batch sheet: grams of each part",
            (
                _argument("RECIPE", "the recipe, as cast/cheek-piece or cast/cheek-piece@3"),
                _argument("MIX", "the mix; the only one that is no premix unless given", nargs="?"),
                _option("--fill", "Q", "the cavity, as '185 ml'"),
                _option("--mold", "ID", "a mold whose cavity was measured"),
                _option("--piece", "Q", "a good casting with its flashing, weighed, as '214 g'"),
                _option("--clay", "Q", "the sculpture's clay, weighed"),
                _option("--clay-material", "M", "the clay's name in the book"),
                (("--have",), {"metavar": "PART=Q", "help": "what is left of a part; may be repeated", "action": "append",
                               "default": []}),
                (("--poured",), {"metavar": "PART=Q", "help": "what already stands in the cup; all else is scaled to it. Given for "
                                 "several parts: what was really mixed, and how far it is off the recipe",
                                 "action": "append", "default": []}),
                _option("--castings", "N", "how many castings"),
                (("--flat",), {"action": "store_true", "help": "take premixes apart into raw materials"}),
                _option("--room", "T", "today's temperature, as '26 degC': can it be closed in time?"),
                _option("--today", "DAY", "the day it is mixed, for the lots' dates; that of the last save unless given"),
            ),
        ),
        Command(
            "vapor", "what evaporates in a recipe's steps, against the limits of the air at work: an estimate, no clearance",
            (
                _argument("RECIPE", "the recipe, as cast/cheek-piece or cast/cheek-piece@3"),
                _option("--room", "Q", "the room, as '42 m3'"),
                _option("--changes", "N", "how often an hour its air is changed"),
                _option("--minutes", "N", "over how many minutes it evaporates; the step's own time unless given"),
            ),
        ),
        Command(
            "gypsum", "powder and water for a volume, or about what a mold will weigh when dry",
            (
                _option("--fill", "Q", "the volume to fill, as '2.5 l'"),
                _option("--powder", "Q", "or the powder there is, as '3 kg'"),
                _option("--demolded", "Q", "or a mold's weight just out of its box, for its dry weight"),
                _option("--ratio", "N", "grams of water per 100 g of powder, from the bag"),
                _option("--density", "Q", "of the solid powder; 2.75 g/ml unless given"),
                _option("--water-density", "Q", "of the water; 0.998 g/ml unless given"),
            ),
            reads=False,
        ),
        Command(
            "cure", "a pot life or demold time in another room, as a band",
            (
                _option("--time", "Q", "the time as stated, as '6 min' or '30-60 min'"),
                _option("--at", "T", "the temperature it is stated for, as '23 degC'"),
                _option("--room", "T", "the temperature of the room"),
                _option("--second", "Q", "instead of the room: the same time logged elsewhere, to learn how it changes"),
                _option("--second-at", "T", "the temperature of that second log"),
            ),
            reads=False,
        ),
        Command(
            "curve", "how a piece cast flat fits a curved head",
            (
                _option("--disc", "Q", "a round piece, how wide, as '60 mm'"),
                _option("--band", "Q", "or a long band, how wide, as '40 mm'"),
                _option("--radius", "Q", "gauge radius of the place, as '90 mm'"),
                _option("--across", "Q", "gauge radius at right angles to it, or flat; the same unless given"),
                (("--saddle",), {"action": "store_true", "help": "the two bend to opposite sides, as on a nose bridge"}),
                _option("--tolerance", "P", "how much still lies down; 2 %% unless given"),
            ),
            reads=False,
        ),
        Command(
            "cavity", "how much a mold holds: from clay, water, a casting, or scans",
            (
                _option("--piece", "Q", "a good casting with its flashing, weighed, as '214 g'; the best way"),
                _option("--clay", "Q", "the sculpture's clay, weighed"),
                _option("--density", "Q", "of the casting or the clay, as '1.08 g/ml'"),
                _option("--water", "Q", "water a sealed mold holds or bagged clay displaces, in ml or g"),
                _option("--temperature", "Q", "of weighed water; 20 degC unless given"),
                _option("--mesh", "FILE", "a closed mesh (STL, OBJ, PLY): the cavity, or the sculpture with --core"),
                _option("--core", "FILE", "the core's closed mesh, in the same position"),
                _option("--unit", "UNIT", "of the meshes: mm, cm, in or m; mm unless given"),
                _option("--thin", "Q", "under how much a place is thin; '1 mm' unless given"),
                _option("--up", "AXIS", "the axis that points up: y (the face looks along +z) or z (along -y)"),
                _option("--picture", "FILE", "write a drawing of the thin places, as thin.svg"),
            ),
            reads=False,
        ),
        Command(
            "build", "build the site of an edition, the public one unless told",
            (
                _option("--out", "DIR", "where to; site/EDITION in the book unless given; with --one-file a file or a folder"),
                (("--one-file",), {"metavar": "RECIPE", "nargs": "*", "default": None,
                                   "help": "instead of the site one file to carry on a phone: all recipes in use, or those named"}),
                (("--strict",), {"action": "store_true", "help": "fail on a warning of the site builder"}),
                (("--forget",), {"action": "store_true",
                                 "help": "devices delete what they keep of the site, instead of keeping it"}),
                (("--for",), {"dest": "edition", "metavar": "EDITION", "default": "public", "help": "private, class or public"}),
            ),
            reads=False, answers=False,
        ),
        Command(
            "serve", "serve the site on this computer, or to your phone; an edit shows by itself",
            (
                (("--phone",), {"action": "store_true",
                                "help": "to a phone in the local network that scanned the square on the screen, with an inbox for runs"}),
                _option("--host", "ADDRESS", "with --phone: which address of this computer, as 192.168.1.20"),
                _option("--port", "N", "with --phone: the port; the first free one from 8000 unless given"),
            ),
            answers=False,
        ),
        Command(
            "open", "what a class or the public must be allowed to read for a course or a recipe; opens it after one yes",
            (
                _argument("DOCUMENT", "a course by its name, or a recipe, as cast/cheek-piece or cast/cheek-piece@3"),
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
