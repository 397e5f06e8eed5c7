"""Begins a document of a kind that has no questions of its own: asks for what it needs, field by field."""

from __future__ import annotations

from typing import Any

from mothermold.book.files import RECIPES
from mothermold.desk.asking import Asking
from mothermold.desk.drafts.questions import Draft, draft, fits, name_for
from mothermold.desk.shop import Shop
from mothermold.model.kinds import Kind


def ask_plainly(asking: Asking, shop: Shop, kind: Kind) -> Draft:
    """Asks for every field the kind needs, its title first."""
    fields = kind.model.model_fields
    needed = [field.alias or name for name, field in fields.items() if field.is_required()]
    tree: dict[str, Any] = {}
    for key in sorted(needed, key=lambda key: key != "title"):
        tree[key] = asking.text(f"Its {key.replace('_', ' ')}", needed=True, check=fits(kind.word, key))
    title = str(tree.get("title") or asking.text("What it is called", needed=True))
    name = name_for(asking, shop, kind.word, title, file_of=lambda name: f"{RECIPES}/{kind.file_of(name)}")
    return draft(kind.word, name, f"{RECIPES}/{kind.file_of(name)}", tree)
