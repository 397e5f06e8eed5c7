"""What a browser sends of a form: every field as it stands, the entries of every list in order, line ends as a page sends them."""

from __future__ import annotations

import random
from collections.abc import Mapping
from pathlib import Path

from mothermold.desk.forms.form import Form, FormField, lists_of
from mothermold.desk.forms.trees import Pairs
from mothermold.model.walk import KeyPath
from view.books import make_book


def as_sent(form: Form, typed: Mapping[KeyPath, str | list[str]] | None = None) -> Pairs:
    """All pairs of a form as it stands, with other texts where they were typed, or another order of a list."""
    other = dict(typed or {})
    pairs: list[tuple[KeyPath, str]] = []
    for section in form.sections:
        for each in lists_of(section.parts):
            order = other.pop(each.path, [str(entry.path[-1]) for entry in each.entries])
            pairs += [(each.path, token) for token in ["", *order]]
    for field in form.fields:
        if not field.stiff:
            said = other.pop(field.path, list(field.value) if field.many else field.value)
            texts = ["", *said] if isinstance(said, list | tuple) else [said]
            pairs += [(field.path, text.replace("\n", "\r\n")) for text in texts]
    for path, said in other.items():
        pairs += [(path, text) for text in (["", *said] if isinstance(said, list) else [said])]
    return pairs


def lay_out(seed: int, root: Path) -> Path:
    """A book made at random, as files in a folder."""
    for file, text in make_book(seed).files.items():
        (root / file).parent.mkdir(parents=True, exist_ok=True)
        (root / file).write_text(text, encoding="utf-8")
    return root


_ANOTHER = {
    "line": ("zq9", "zq9 and more"), "text": ("zq9 is said\nin two lines", "zq9."), "day": ("2026-02-03", "2027-11-30"),
    "moment": ("2026-02-03 09:10", "2027-11-30 17:40"), "clock": ("06:30", "19:00"), "number": ("2", "3"),
}  # fmt: skip


def another(field: FormField, form: Form, rng: random.Random) -> str:
    """Another text that can be read in a field; nothing where none is known."""
    if field.many or field.stiff:
        return ""
    if field.kind in ("reference", "local") or field.offers:
        choices = [offer.value for offer in form.offers.get(field.offers, ())]
    elif field.kind == "amount":
        choices = [field.example, *(f"7 {unit}" for unit in field.units or ("",))]
    else:
        choices = [*_ANOTHER.get(field.kind, ()), field.example]
    fitting = [each.strip() for each in choices if each.strip() not in ("", str(field.value).strip())]
    return rng.choice(fitting) if fitting else ""
