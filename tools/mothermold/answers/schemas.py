"""The JSON Schemas of all kinds of documents, for editors."""

from __future__ import annotations

import json
from typing import Any, Final

from mothermold.model.kinds import KINDS

_DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"


def schema_of(kind: str) -> dict[str, Any]:
    """The schema of one kind, plain enough for every editor: no nullable fields, titles dropped."""
    schema = _plain(KINDS[kind].model.model_json_schema(by_alias=True))
    return {"$schema": _DIALECT, "title": kind, **{key: value for key, value in schema.items() if key != "title"}}


def all_schemas() -> dict[str, Any]:
    """Every schema by the kind of document."""
    return {kind: schema_of(kind) for kind in KINDS}


def schema_files() -> dict[str, str]:
    """The text of every schema file, by its name."""
    return {
        f"{kind}.schema.json": json.dumps(schema, indent=2, ensure_ascii=False) + "\n"
        for kind, schema in all_schemas().items()
    }


def _plain(value: Any) -> Any:
    """Drops what only confuses an editor: generated titles, and null as a choice beside the real one."""
    if isinstance(value, list):
        return [_plain(entry) for entry in value]
    if not isinstance(value, dict):
        return value
    choices = value.get("anyOf")
    if isinstance(choices, list):
        real = [choice for choice in choices if choice != {"type": "null"}]
        rest = {key: inner for key, inner in value.items() if key != "anyOf"}
        value = {**rest, **real[0]} if len(real) == 1 else {**rest, "anyOf": real}
    cleaned = {key: _plain(inner) for key, inner in value.items() if not (key == "title" and isinstance(inner, str))}
    if cleaned.get("default", "") is None or cleaned.get("default") == []:
        del cleaned["default"]
    return _one_or_many(cleaned)


def _one_or_many(schema: dict[str, Any]) -> dict[str, Any]:
    # Where a list of names stands, one name may stand alone.
    items = schema.get("items")
    if schema.get("type") == "array" and isinstance(items, dict) and "$ref" not in items:
        rest = {key: inner for key, inner in schema.items() if key not in ("type", "items")}
        return {**rest, "anyOf": [{"type": "array", "items": items}, items]}
    return schema
