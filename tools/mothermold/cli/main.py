"""Reads the command line, calls one command, prints its answer, and ends with 0, 1 or 2.

0 fine; 1 something wrong with what was asked; 2 the tool could not run. A command's module is imported when that command is
asked for, so that help costs nothing and a sum without a book next to nothing.
"""

from __future__ import annotations

import argparse
import contextlib
import os
import re
import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Final, NoReturn

from mothermold import __version__
from mothermold.cli.commands import COMMANDS, question_of
from mothermold.ground.words import nearest, shorter

if TYPE_CHECKING:
    from mothermold.answers.question import Option

_ABOUT: Final = """\
Keeps a prosthetic makeup artist's process true: versioned recipes, the failures that shaped them,
the runs that prove them, and the arithmetic they need."""


class _Parser(argparse.ArgumentParser):
    """Speaks in one plain sentence and points to help."""

    def error(self, message: str) -> NoReturn:
        sys.stderr.write(f"{shorter(_plainly(message))}\nType `{self.prog} --help` to see what can be asked.\n")
        raise SystemExit(2)


def _plainly(message: str) -> str:
    """What the library says about a command line, in our words, with the command that was probably meant."""
    if match := re.match(r"argument COMMAND: invalid choice: '(.*?)'", message):
        near = nearest(match[1], COMMANDS)
        return f"There is no command `{match[1]}`." + (f" Did you mean `{near}`?" if near else "")
    if match := re.match(r"argument (\S+): invalid choice: '(.*?)' \(choose from (.*)\)", message):
        return f"{match[1]} cannot be `{match[2]}`; it is one of {match[3].replace(chr(39), '')}."
    if match := re.match(r"the following arguments are required: (.*)", message):
        return f"{match[1]} is missing."
    if match := re.match(r"unrecognized arguments: (.*)", message):
        return f"`{match[1]}` means nothing here."
    return message[:1].upper() + message[1:] + "."


def main(words: Sequence[str] | None = None) -> int:
    """Runs one command.

    Args:
        words: The command line without the program's name; that of the process unless given.

    Returns:
        The exit code.
    """
    for stream in (sys.stdout, sys.stderr):
        # A console that cannot show a letter shows a stand-in instead of failing.
        with contextlib.suppress(AttributeError, ValueError):
            stream.reconfigure(encoding="utf-8", errors="replace")  # type: ignore[union-attr]
    asked = _parser().parse_args(words)
    if asked.command is None:
        _parser().print_help()
        return 0
    from mothermold.cli.running import run  # noqa: PLC0415 - help must not load the models

    try:
        return run(question_of(asked.command), vars(asked))
    except BrokenPipeError:
        # Whoever read our output has seen enough.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except KeyboardInterrupt:
        sys.stderr.write("Stopped.\n")
        return 2


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(prog="mothermold", description=_ABOUT, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--version", action="version", version=f"mothermold {__version__}")
    _book_option(parser, default=None)
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", title="commands", parser_class=_Command)
    for name, row in COMMANDS.items():
        commands.add_parser(name, help=row.summary, description=row.summary).set_defaults(command=name)
    return parser


class _Command(_Parser):
    """The parser of one command, which looks at what that declares when it is asked for."""

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> Any:
        from mothermold.cli.asked import FOR  # noqa: PLC0415 - the list of commands needs none of it

        # Given before the command or after it; after it must not undo what stood before.
        _book_option(self, default=argparse.SUPPRESS)
        asked = question_of(self.get_default("command"))
        for name, (option, needed) in asked.options().items():
            _add(self, name, option, needed=needed)
        if "view" in asked.handed:
            _add(self, "edition", FOR, needed=False)
        if asked.text is not None:
            formats = ("text", "json", *asked.also)
            words = f"{', '.join(formats[:-1])} or {formats[-1]}"
            self.add_argument("--format", choices=formats, default="text", help=words)
        return super().parse_known_args(args, namespace)


def _add(parser: argparse.ArgumentParser, name: str, option: Option, *, needed: bool) -> None:
    settings: dict[str, Any] = {"help": option.help.replace("%", "%%"), **option.settings}
    if option.metavar:
        settings["metavar"] = option.metavar
    if option.by_place:
        parser.add_argument(name, **({} if needed else {"nargs": "?"}) | settings)
    else:
        names = option.names or (f"--{name.replace('_', '-')}",)
        parser.add_argument(*names, dest=name, required=needed, **settings)


def _book_option(parser: argparse.ArgumentParser, default: str | None) -> None:
    parser.add_argument("-C", dest="book", metavar="BOOK", default=default, help="a folder in the book; default: here")


if __name__ == "__main__":
    sys.exit(main())
