"""The schemas in schema/ are those of the model, and accept what the model accepts."""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from campaigns.many import through
from mothermold.answers.schemas import all_schemas, schema_files
from mothermold.book.document import Document
from mothermold.book.library import read_book
from mothermold.model.kinds import KINDS

ROOT = Path(__file__).resolve().parents[2]
DATA = ROOT / "tests" / "data"


def test_the_schemas_in_the_repository_are_those_of_the_model() -> None:
    assert {path.name: path.read_text(encoding="utf-8") for path in (ROOT / "schema").iterdir()} == schema_files()


@pytest.mark.parametrize("kind", KINDS)
def test_every_schema_is_a_schema(kind: str) -> None:
    jsonschema.Draft202012Validator.check_schema(all_schemas()[kind])


def as_an_editor_reads(value: Any) -> Any:
    """Raw texts with the types an editor gives them: numbers, booleans, text."""
    if isinstance(value, dict):
        return {key: as_an_editor_reads(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [as_an_editor_reads(inner) for inner in value]
    if re.fullmatch(r"[-+]?\d+", value):
        return int(value)
    if re.fullmatch(r"[-+]?(\d+\.\d*|\.\d+|\d+)([eE][-+]?\d+)?", value):
        return float(value)
    return {"true": True, "false": False}.get(value, value)


def books() -> list[Document]:
    return [*read_book(ROOT).documents.every(), *read_book(DATA / "good").documents.every()]


@cache
def validator(kind: str) -> jsonschema.Draft202012Validator:
    """Made once: making it takes far longer than asking it."""
    return jsonschema.Draft202012Validator(all_schemas()[kind])


@through("document", books(), ids=lambda document: document.file)
def test_the_schema_accepts_what_the_tool_accepts(document: Document) -> None:
    validator(document.kind).validate(as_an_editor_reads(document.said))


@pytest.mark.parametrize(
    ("kind", "broken"),
    [
        ("recipe", {"title": "x", "stage": "cast", "version": 1, "status": "done"}),
        ("recipe", {"title": "x", "stage": "cast", "version": 1, "status": "locked", "colour": "red"}),
        ("run", {"id": "r-1", "started": "yesterday"}),
        ("failure", {"title": "x", "seen_at": "cast"}),
    ],
)
def test_the_schema_refuses_what_the_tool_refuses(kind: str, broken: dict[str, Any]) -> None:
    with pytest.raises(jsonschema.ValidationError):
        validator(kind).validate(broken)


def fields(schema: Any, where: str) -> list[tuple[str, dict[str, Any]]]:
    found = []
    for name, field in schema.get("properties", {}).items():
        found.append((f"{where}.{name}", field))
    for name, group in schema.get("$defs", {}).items():
        found += fields(group, name)
    return found


@pytest.mark.parametrize("kind", KINDS)
def test_every_field_has_a_description_and_an_example(kind: str) -> None:
    for where, field in fields(json.loads(schema_files()[f"{kind}.schema.json"]), kind):
        assert len(field.get("description", "")) > 3, where
        assert field.get("examples"), where
