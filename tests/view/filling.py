"""Fills any model of the package with values, field by field, as a tree of texts ready to be written as YAML.

Owns what a value of each type may look like. Knows no kind of document by name: what a kind needs beyond its
types comes as hooks from ``books``.
"""

from __future__ import annotations

import json
import random
import types
import typing
from collections.abc import Callable, Iterator
from typing import Any

from mothermold.model.names import Name, PartName, Reference
from mothermold.model.parts import Part
from mothermold.model.scalars import Prose, Text
from mothermold.model.traits import traits_of

_TEXT = typing.get_args(Text)[1].func
Tree = dict[str, Any]
Hook = Callable[[Tree], Any]
"""Makes one value; gets what was already filled in around it. None leaves the key out."""


class Filler:
    """Fills models for one text; every free word and every name in it carries the text's own marker."""

    def __init__(self, rng: random.Random, level: str, number: int, fullness: float = 0.4) -> None:
        self.rng = rng
        self.level = level
        self.number = number
        self.fullness = fullness
        self.count = 0
        self.hooks: dict[tuple[str, str], Hook] = {}
        self.reference: Callable[[type[Reference]], str | None] = lambda _kind: None
        self.link: Callable[[], str] = str
        self.fields: set[tuple[str, str]] = set()

    def word(self) -> str:
        """A word of this text alone."""
        self.count += 1
        return f"zq{self.level}{self.number}w{self.count}"

    def name(self, tail: str) -> str:
        """A name of this text alone."""
        self.count += 1
        return f"zq-{self.level}-{self.number}-{tail}{self.count}"

    def fill(self, model: type[Part], given: Tree | None = None) -> Tree:
        """A group of keys with all that must stand there and some of what may."""
        tree: Tree = dict(given or {})
        for field_name, field in model.model_fields.items():
            key = field.alias or field_name
            if key in tree:
                self.fields.add((model.__name__, key))
            elif field.is_required() or self.rng.random() < self.fullness:
                hook = self.hooks.get((model.__name__, key))
                level = self.level
                # What stays with the owner is private in every document, however open the rest of it is.
                self.level = "private" if traits_of(field).own else level
                value = hook(tree) if hook else self._value(field.annotation, field.metadata, field.examples)
                self.level = level
                if value is not None and value != []:
                    tree[key] = value
                    self.fields.add((model.__name__, key))
        return tree

    def _value(self, annotation: Any, metadata: Any, examples: list[Any] | None) -> Any:
        options = list(_options(annotation, metadata))
        for target, inner in options:
            if typing.get_origin(target) is tuple:
                element = typing.get_args(target)[0]
                alone = examples and not isinstance(examples[0], list) and not _is_part(element)
                found = [self._value(element, (), examples) for _ in range(1 if alone else self.rng.randint(1, 2))]
                found = [value for value in dict.fromkeys(map(json.dumps, found)) if value != "null"]
                values = [json.loads(value) for value in found]
                return values[0] if values and alone and self.rng.random() < 0.5 else values
            if typing.get_origin(target) is typing.Literal:
                return self.rng.choice(typing.get_args(target))
            if _is_part(target):
                return self.fill(target)
            if isinstance(target, type) and issubclass(target, Reference):
                return self.reference(target)
            if target is Prose:
                return self.prose()
            if isinstance(target, type) and issubclass(target, Name) and not issubclass(target, PartName):
                return self.name("id")
            if target is str and any(getattr(each, "func", None) is _TEXT for each in inner):
                return self.word()
        assert examples, annotation
        return str(examples[0][0] if isinstance(examples[0], list) else examples[0])

    def prose(self) -> str:
        """A sentence, now and then with a cited run in it."""
        words = self.word()
        return f"{words} {self.link()}" if self.rng.random() < 0.3 else words


def _is_part(target: Any) -> bool:
    return isinstance(target, type) and issubclass(target, Part)


def _options(annotation: Any, metadata: Any) -> Iterator[tuple[Any, Any]]:
    origin = typing.get_origin(annotation)
    if origin is typing.Annotated:
        inner, *more = typing.get_args(annotation)
        yield from _options(inner, (*metadata, *more))
    elif origin in (typing.Union, types.UnionType):
        for option in typing.get_args(annotation):
            if option is not type(None):
                yield from _options(option, metadata)
    else:
        yield annotation, metadata


def written(tree: Tree, comment: Callable[[], str]) -> str:
    """The tree as YAML, with comments above, between and behind its lines."""
    return "\n".join([f"# {comment()}", *_lines(tree, "", comment), f"# {comment()}", ""])


def _lines(value: Any, indent: str, comment: Callable[[], str]) -> Iterator[str]:
    entries = value.items() if isinstance(value, dict) else ((None, entry) for entry in value)
    for number, (key, entry) in enumerate(entries):
        start = f"{indent}-" if key is None else f"{indent}{key}:"
        if isinstance(entry, str):
            yield f"{start} {json.dumps(entry)}" + (f"  # {comment()}" if number % 5 == 0 else "")
        elif not entry:
            yield f"{start} " + ("[]" if isinstance(entry, list) else "{}")
        elif key is None:
            first, *rest = _lines(entry, f"{indent}  ", comment)
            yield f"{start} {first.lstrip()}"
            yield from rest
        else:
            yield start
            yield from _lines(entry, f"{indent}  ", comment)


def part_models(model: type[Part]) -> Iterator[type[Part]]:
    """A model and all groups of keys below it."""
    yield model
    for field in model.model_fields.values():
        waiting = [target for target, _metadata in _options(field.annotation, ())]
        while waiting:
            target = waiting.pop()
            if _is_part(target):
                yield from part_models(target)
            elif typing.get_origin(target) is tuple:
                waiting += [inner for inner, _metadata in _options(typing.get_args(target)[0], ())]
