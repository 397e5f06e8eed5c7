"""What the buttons of a form do to what was typed: entries of lists are added, doubled, moved and taken out. Nothing is written."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from mothermold.desk.forms.trees import NEW, Pairs, path_of
from mothermold.model.walk import KeyPath

DEEDS: Final = ("add", "double", "up", "down", "remove")
"""What can be done; each is followed by the name of the list it adds to, or of the entry."""


@dataclass(frozen=True, slots=True)
class FormDeed:
    """What is done to a list.

    Attributes:
        word: One of ``DEEDS``.
        path: The list that gets an entry, else the entry it is done to.
    """

    word: str
    path: KeyPath


def deed_of(pressed: str) -> FormDeed | None:
    """The deed of the button that was pressed, as ``up steps.2``; None where it was another."""
    word, _, name = pressed.partition(" ")
    return FormDeed(word, path_of(name)) if word in DEEDS and name else None


def after(pairs: Pairs, deed: FormDeed) -> tuple[Pairs, KeyPath]:
    """What was typed with the deed done.

    Args:
        pairs: What was typed, with the order of every list.
        deed: What is done.

    Returns:
        The pairs, and what was touched: the entry, or the list it was taken out of.
    """
    at = deed.path if deed.word == "add" else deed.path[:-1]
    tokens = [text for path, text in pairs if path == at and text]
    one = str(deed.path[-1])
    if deed.word != "add" and one not in tokens:
        return pairs, at
    place = tokens.index(one) if deed.word != "add" else len(tokens)
    rest = [pair for pair in pairs if pair[0] != at]
    touched: KeyPath = deed.path
    match deed.word:
        case "add" | "double":
            number = 1 + max(
                (int(each) for token in tokens if (each := token.partition(NEW)[2]).isdecimal()), default=0
            )
            token = f"{one.partition(NEW)[0] if deed.word == 'double' else ''}{NEW}{number}"
            tokens.insert(place + 1, token)
            touched = (*at, token)
            if deed.word == "double":
                # The copy gets an id of its own when it is written.
                below = [(path[len(deed.path) :], text) for path, text in rest if path[: len(deed.path)] == deed.path]
                rest += [((*touched, *path), text) for path, text in below if path != ("id",)]
        case "up" | "down":
            other = max(0, place - 1) if deed.word == "up" else min(len(tokens) - 1, place + 1)
            tokens[place], tokens[other] = tokens[other], tokens[place]
        case "remove":
            tokens.remove(one)
            rest = [pair for pair in rest if pair[0][: len(deed.path)] != deed.path]
            touched = at
    return [*rest, (at, ""), *((at, token) for token in tokens)], touched


def begun_with(said: Mapping[str, Any], at: KeyPath = ()) -> Iterator[tuple[KeyPath, str]]:
    """What a document says as pairs typed into a new form of its kind."""
    for key, value in said.items():
        yield from _typed(value, (*at, key))


def _typed(value: Any, at: KeyPath) -> Iterator[tuple[KeyPath, str]]:
    if isinstance(value, Mapping):
        yield from begun_with(value, at)
    elif isinstance(value, list | tuple):
        yield at, ""
        for number, each in enumerate(value, start=1):
            if isinstance(each, str):
                yield at, each
            else:
                yield at, f"{NEW}{number}"
                yield from _typed(each, (*at, f"{NEW}{number}"))
    else:
        yield at, str(value)
