"""The JSON Schemas of all kinds of documents, for editors."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated, Any, Final

from mothermold.answers.question import Typed, option, question
from mothermold.answers.result import Result
from mothermold.ground.writing import write_text
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


def write_schemas(folder: Path) -> None:
    """Writes the schema files, over older ones of ours too."""
    for name, text in schema_files().items():
        path = folder / name
        write_text(path, text, replaces=path.read_text(encoding="utf-8") if path.exists() else None)


def _text(result: Result) -> str:
    return json.dumps(dict(result.data), ensure_ascii=False, indent=2) + "\n"


@question("schema", empty={}, text=_text, has_notices=False)
def tell_schemas(
    write: Annotated[Typed, option("DIR", "write them as files into this folder")] = None,
) -> Result:
    """Every schema; written as files too where that is asked for."""
    if write is not None:
        write_schemas(Path(write))
    return Result(all_schemas())


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
