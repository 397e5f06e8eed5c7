"""What can be asked at the command line: each question says in its own module all that is to be known of it.

``@question`` stands on the function that answers. Its parameters are what it is asked: one that carries an ``Option`` is
typed, a dataclass is a bundle of such options, and what is named in ``HANDED`` the command line hands over. Their defaults
are the defaults. Nothing of it is looked at before the command is asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import astuple, dataclass, field, is_dataclass
from inspect import Parameter, signature
from typing import TYPE_CHECKING, Any, Final, ParamSpec, TypeAlias, get_args, get_type_hints

from mothermold.answers.result import Result
from mothermold.ground.notices import Notice

if TYPE_CHECKING:
    # What needs no book imports nothing that reads one.
    from mothermold.view.view import View

HANDED: Final = ("view", "root", "call")
"""What is not typed: the book in the edition asked for, the folder of the book one stands in or None, the whole call."""

Typed: TypeAlias = str | None
"""What was typed; None where nothing was."""

_P = ParamSpec("_P")


@dataclass(frozen=True, slots=True)
class Option:
    """An argument or an option, as plain data.

    Attributes:
        metavar: What stands for its value in the help; empty for a flag.
        help: What it is, in a few words.
        names: How it is typed; by its parameter's name where it has none, and by its place alone for an argument.
        by_place: Whether it is an argument.
        settings: How many words it takes and which, as ``argparse`` names that.
        read: Reads what was typed; without one it stays the text.
    """

    metavar: str
    help: str
    names: tuple[str, ...] = ()
    by_place: bool = False
    settings: Mapping[str, Any] = field(default_factory=dict)
    read: Callable[[str], Any] | None = None


def argument(metavar: str, words: str, **settings: Any) -> Option:
    """What is told by its place."""
    return Option(metavar, words, by_place=True, settings=settings)


def option(metavar: str, words: str, *names: str, read: Callable[[str], Any] | None = None, **settings: Any) -> Option:
    """What is told by its name."""
    return Option(metavar, words, names, settings=settings, read=read)


def flag(words: str) -> Option:
    """What is told by its name alone."""
    return Option("", words, settings={"action": "store_true"})


RECIPE: Final = argument("RECIPE", "the recipe, like cast/cheek-piece")
RECIPE_VERSION: Final = argument("RECIPE", "the recipe, like cast/cheek-piece or cast/cheek-piece@3")


@dataclass(frozen=True, slots=True)
class QuestionEntry:
    """A command as its module declares it.

    Attributes:
        ask: What answers it; a deed, that says itself what it did, answers None.
        text: Its answer for people; None for a deed.
        empty: Its answer in JSON where it refuses: the same keys, with nothing in them. Where ``notices`` stands among
            them, there they stand in the answer too.
        page: Where the site shows the same, capitals for what is named; empty where it does not.
        has_notices: Whether notices stand in its JSON.
        also: Further formats its answer can have, each with what writes it.
    """

    ask: Callable[..., Result | None]
    text: Callable[[Result], str] | None = None
    empty: Mapping[str, Any] = field(default_factory=dict)
    page: str = ""
    has_notices: bool = True
    also: Mapping[str, Callable[[Result], str]] = field(default_factory=dict)

    @property
    def handed(self) -> tuple[str, ...]:
        """What the command line hands over."""
        return tuple(name for name in signature(self.ask).parameters if name in HANDED)

    def options(self) -> dict[str, tuple[Option, bool]]:
        """What can be typed, by the name of its parameter, each with whether it must be."""
        return dict(_options(self.ask))

    def answer(self, hand: Callable[[str], Any], typed: Mapping[str, Any]) -> Result | None:
        """Asks it; what was answered of this very book before is not worked out again.

        Args:
            hand: Gives what is handed over, by its name; called after all that was typed is read.
            typed: What was typed, by the name of its parameter; None where nothing was.
        """
        given = _given(self.ask, typed)
        if self.handed != ("view",) or self.text is None:
            return self.ask(**{name: hand(name) for name in self.handed}, **given)
        view: View = hand("view")
        asked = repr([self.ask.__module__, [(name, typed[name]) for name in self.options()]])

        def make() -> list[Any]:
            made = self.ask(view=view, **given)
            assert made is not None
            return [dict(made.data), [list(astuple(each)) for each in made.notices], made.ok]

        data, notices, ok = view.kept("answers", asked, make, most=200)
        return Result(data, tuple(Notice(*each) for each in notices), ok)


_DECLARED: Final[dict[str, QuestionEntry]] = {}


def question(
    name: str, *, empty: Mapping[str, Any], text: Callable[[Result], str], page: str = "", has_notices: bool = True,
    also: Mapping[str, Callable[[Result], str]] | None = None,
) -> Callable[[Callable[_P, Result]], Callable[_P, Result]]:  # fmt: skip
    """Declares what answers a command; the function stays as it is."""

    def declare(ask: Callable[_P, Result]) -> Callable[_P, Result]:
        _DECLARED[name] = QuestionEntry(ask, text, empty, page, has_notices, also or {})
        return ask

    return declare


def deed(name: str) -> Callable[[Callable[_P, None]], Callable[_P, None]]:
    """Declares what a command does that says itself what it did."""

    def declare(do: Callable[_P, None]) -> Callable[_P, None]:
        _DECLARED[name] = QuestionEntry(do)
        return do

    return declare


def declared(name: str) -> QuestionEntry:
    """What a module that was imported declares."""
    return _DECLARED[name]


def _parameters(what: Callable[..., Any]) -> Iterator[tuple[Parameter, Any]]:
    hints = get_type_hints(what, include_extras=True)
    for name, parameter in signature(what).parameters.items():
        if name not in HANDED:
            yield parameter, hints[name]


def _option_of(hint: Any) -> Option | None:
    return next((each for each in get_args(hint) if isinstance(each, Option)), None)


def _options(what: Callable[..., Any]) -> Iterator[tuple[str, tuple[Option, bool]]]:
    for parameter, hint in _parameters(what):
        if (found := _option_of(hint)) is not None:
            yield parameter.name, (found, parameter.default is Parameter.empty)
        elif is_dataclass(hint):
            yield from _options(hint)  # type: ignore[arg-type]


def _given(what: Callable[..., Any], typed: Mapping[str, Any]) -> dict[str, Any]:
    """The arguments of a function or a bundle: what was typed, read; what was not is left to its default."""
    given: dict[str, Any] = {}
    for parameter, hint in _parameters(what):
        if (found := _option_of(hint)) is None:
            if is_dataclass(hint):
                given[parameter.name] = hint(**_given(hint, typed))  # type: ignore[operator, arg-type]
        elif (told := typed[parameter.name]) is not None:
            given[parameter.name] = found.read(told) if found.read else told
    return given
