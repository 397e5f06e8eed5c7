"""Makes every sentence a difference can say: each field added, removed and changed, each list's entries too.

``python -m compare.every_sentence`` in tests prints them for ``data/sentences.txt``.
"""

from __future__ import annotations

import copy
from collections.abc import Iterator

from compare.single_fields import NAMES_ENTRY, fields_of, with_another, without
from compare.texts import EVERY_FIELD, Tree, read, text_of
from mothermold.compare.differences import RecipeText, differences
from mothermold.compare.sentences import sentence

TITLES = {
    "gel-silicone-a": "A", "gel-silicone-b": "B", "deadener": "Deadener", "pigment": "Pigment", "tinted-a": "Tinted part A",
    "base": "Base silicone", "guard": "Guard the hairline", "coat": "Coat", "fill": "Fill and close", "rest": "Rest",
    "petroleum-jelly-thinned": "Petroleum jelly", "water": "Tap water", "polyurethane-resin": "Polyurethane resin",
    "encapsulant-cobwebs": "Cobwebs in the film", "cracked-mold": "Mold cracked",
    "another-name": "Something else", "skin-coat": "Skin coat",
}  # fmt: skip
EVERYTHING = read(EVERY_FIELD.read_bytes())


def every_sentence() -> Iterator[str]:
    """All sentences, each behind the list or group, the key and what happened."""
    told: set[tuple[str, str, str]] = set()
    for field in fields_of(EVERYTHING.recipe, dict(EVERYTHING.written)):
        group = "coats of" if field.group == "coats" and "uses" in field.path else field.group
        pairs = {"changed": (EVERYTHING, text_of(with_another(dict(EVERYTHING.written), field)))}
        if not field.needed and (field.group, field.key) not in NAMES_ENTRY:
            bare = text_of(without(dict(EVERYTHING.written), field))
            pairs |= {"removed": (EVERYTHING, bare), "added": (bare, EVERYTHING)}
        for action, (a, b) in pairs.items():
            # A wait has three forms, and each is said in its own way.
            form = "/".join(field.another) if isinstance(field.another, dict) and field.key == "wait" else ""
            if (group, field.key + form, action) not in told and (said := _said(a, b)):
                told.add((group, field.key + form, action))
                yield f"{group}.{field.key} {action}: {said}"
    for name, change in _ENTRIES.items():
        tree: Tree = copy.deepcopy(dict(EVERYTHING.written))
        change(tree)
        other = text_of(tree)
        yield f"{name}: {_said(EVERYTHING, other)}"
        yield f"{name}, back: {_said(other, EVERYTHING)}"


def _said(a: RecipeText, b: RecipeText) -> str:
    return " | ".join(sentence(change, TITLES) for change in differences(a, b))


def _moved(entries: list[Tree]) -> None:
    entries.insert(0, entries.pop(1))


_NEW_STEP = {"id": "vent", "title": "Vent the core"}
_ENTRIES = {
    "steps entry": lambda tree: tree["steps"].insert(2, dict(_NEW_STEP)),
    "steps first": lambda tree: tree["steps"].insert(0, dict(_NEW_STEP)),
    "steps moved": lambda tree: _moved(tree["steps"]),
    "mixes entry": lambda tree: tree["mixes"].append({"id": "spot", "title": "Spot", "parts": tree["mixes"][2]["parts"]}),
    "parts entry": lambda tree: tree["mixes"][2]["parts"].append({"material": "thinner", "percent": "3", "of": "gel-silicone-a"}),
    "parts moved": lambda tree: _moved(tree["mixes"][0]["parts"]),
    "parts moved later": lambda tree: tree["mixes"][0]["parts"].insert(1, tree["mixes"][0]["parts"].pop()),
    "parts to percent": lambda tree: tree["mixes"][0]["parts"].__setitem__(
        2, {"material": "pigment", "parts": "1"}),
    "percent and of": lambda tree: tree["mixes"][0]["parts"][2].update(percent="1 %", of="gel-silicone-a"),
    "by eye": lambda tree: tree["mixes"][0]["parts"].__setitem__(3, {"material": "flocking", "match": "swatch-4"}),
    "uses entry": lambda tree: tree["steps"][2]["uses"].append({"material": "water", "as": "rinse", "amount": "2 ml"}),
    "uses moved": lambda tree: _moved(tree["steps"][0]["uses"]),
    "uses replaced": lambda tree: tree["steps"][2]["uses"].__setitem__(0, {"mix": "tinted-a", "as": "cast", "on": "mold-face"}),
    "surfaces entry": lambda tree: tree["surfaces"].append({"id": "core-face", "material": "polyurethane-resin"}),
    "surfaces entry of a thing": lambda tree: tree["surfaces"].append({"id": "rim", "from": "face", "surface": "edge"}),
    "pictures entry": lambda tree: tree["steps"][1]["pictures"].append({"file": "new.svg", "caption": "A hole."}),
    "pictures without caption": lambda tree: tree["steps"][1]["pictures"].append({"file": "new.svg"}),
    "needs lines": lambda tree: tree.update(needs=["scale to 0.01 g", "a flat file"]),
    "needs order": lambda tree: tree["needs"].reverse(),
    "after lists": lambda tree: tree["steps"][2].update(after=["coat", "rest"]),
    "after order": lambda tree: tree["steps"][2].update(after=["coat", "guard"]),
}  # fmt: skip


if __name__ == "__main__":
    print("\n".join(every_sentence()))
