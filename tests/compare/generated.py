"""Makes recipes at random, and other recipes from them by random edits; the same seed gives the same ones.

Knows what a valid recipe looks like, and nothing of how two are compared.
"""

from __future__ import annotations

import copy
import random
from collections.abc import Callable
from typing import Any

from compare.texts import Tree

MATERIALS = [
    "gel-a",
    "gel-b",
    "deadener",
    "pigment",
    "thinner",
    "flocking",
    "water",
    "gypsum",
    "jelly",
    "powder",
]
MIXES = ["film", "tinted", "base", "shell", "paste"]
STEPS = ["guard", "release", "coat", "mix", "fill", "vent", "open", "wash", "rest"]
SURFACES = ["mold-face", "core-face", "piece-face", "piece-back"]
PICTURES = ["even.svg", "webs.svg", "edge.svg"]
ROLES = ["release", "cast", "coat", "clean", "protect"]

Entries = list[Tree]


def a_recipe(rng: random.Random) -> Tree:
    """A valid recipe with several mixes, steps, uses, surfaces and pictures."""
    tree: Tree = {"title": _words(rng), "stage": "cast", "version": "1", "status": "locked"}
    if surfaces := [_surface(rng, name) for name in _some(rng, SURFACES, 3)]:
        tree["surfaces"] = surfaces
    mixes: Entries = []
    for name in _some(rng, MIXES, 4):
        mixes.append(_mix(rng, name, mixes))
    if mixes:
        tree["mixes"] = mixes
    tree["steps"] = [_step(rng, name, mixes) for name in _some(rng, STEPS, 6) or ["fill"]]
    for key, make in _RECIPE_FIELDS.items():
        if rng.random() < 0.5:
            tree[key] = make(rng)
    return tree


def an_edited_recipe(rng: random.Random, tree: Tree) -> Tree:
    """The recipe after one to eight random edits."""
    edited = copy.deepcopy(tree)
    for _ in range(rng.randint(1, 8)):
        rng.choice(_EDITS)(rng, edited)
    return edited


# Making


def _some(rng: random.Random, names: list[str], most: int) -> list[str]:
    return rng.sample(names, rng.randint(0, most))


def _number(rng: random.Random) -> str:
    return rng.choice(["1", "2", "5", "10", "12.5", "40", "100", "220"])


def _minutes(rng: random.Random) -> str:
    return rng.choice(["5 min", "20 min", "60 min", "1 h", "2 h 30 min", "24 h", "1 day"])


def _amount(rng: random.Random) -> str:
    return f"{_number(rng)} {rng.choice(['g', 'ml', 'drops'])}"


def _words(rng: random.Random) -> str:
    return " ".join(rng.sample(["Thin", "coat", "of", "gel", "over", "the", "edge"], 3))


def _one_or_many(rng: random.Random, names: list[str]) -> Any:
    chosen = rng.sample(names, rng.randint(1, min(2, len(names))))
    return chosen[0] if len(chosen) == 1 and rng.random() < 0.5 else chosen


def _filled(rng: random.Random, fields: dict[str, Callable[[random.Random], Any]], chance: float) -> Tree:
    return {key: make(rng) for key, make in fields.items() if rng.random() < chance}


def _timed(rng: random.Random) -> Tree:
    return {"time": _minutes(rng)} | _filled(rng, {"at": _temperature, "basis": lambda _: "label"}, 0.5)


def _temperature(rng: random.Random) -> str:
    return rng.choice(["23 degC", "73.4 degF", "19-23 degC", "45 degC"])


def _coats(rng: random.Random) -> Tree:
    return {"count": str(rng.randint(1, 8))} | _filled(rng, {"between": _minutes, "last": _minutes}, 0.5)


def _allowance(rng: random.Random) -> Any:
    return rng.choice(["10 %", {"percent": "10"}, {"percent": "15 %", "left_in_cups": "8 g"}, {"largest_batch": "1 l"}])


def _gives(rng: random.Random) -> Tree:
    given: Tree = {"what": rng.choice(["piece", "mold"])} if rng.random() < 0.7 else {}
    if surfaces := [_surface(rng, name) for name in _some(rng, SURFACES, 2)]:
        given["surfaces"] = surfaces
    return given


def _surface(rng: random.Random, name: str) -> Tree:
    if rng.random() < 0.6:
        return {"id": name, "material": rng.choice(MATERIALS)}
    return {"id": name, "from": rng.choice(["face", "bands"]), "surface": rng.choice(["edge", "back"])}


def _mix(rng: random.Random, name: str, earlier: Entries) -> Tree:
    mix: Tree = {"id": name, "parts": []}
    for _ in range(rng.randint(1, 5)):
        _insert(rng, mix["parts"], _part(rng, mix["parts"], earlier))
    return mix | _filled(rng, _MIX_FIELDS, 0.3)


def _part(rng: random.Random, parts: Entries, earlier: Entries) -> Tree:
    taken = {part_name(part) for part in parts}
    free = [name for name in MATERIALS if name not in taken]
    premixes = [mix["id"] for mix in earlier if mix["id"] not in taken]
    part = {"mix": rng.choice(premixes)} if premixes and rng.random() < 0.3 else {"material": rng.choice(free)}
    return part | _how_much(rng, parts, earlier)


def _how_much(rng: random.Random, parts: Entries, earlier: Entries) -> Tree:
    reachable = [part_name(part) for part in parts]
    reachable += [f"{mix['id']}/{part_name(part)}" for mix in earlier for part in mix["parts"]]
    kind = rng.choice(["parts", "percent", "percent", "percent", "amount", "match"])
    if kind == "percent":
        of = _one_or_many(rng, reachable) if reachable and rng.random() < 0.8 else rng.choice(["the-rest", "total"])
        found = {"percent": _number(rng) + rng.choice(["", " %"]), "of": of}
    else:
        found = {kind: {"parts": _number, "amount": _amount, "match": _words}[kind](rng)}
    return found | _filled(rng, {"by": lambda _: "volume", "temperature": _temperature}, 0.15)


def part_name(part: Tree) -> str:
    """The name of a part or use."""
    return str(part.get("material") or part["mix"])


def _step(rng: random.Random, name: str, mixes: Entries) -> Tree:
    step: Tree = {"id": name, "title": _words(rng)} | _filled(rng, _STEP_FIELDS, 0.25)
    if uses := [_use(rng, mixes) for _ in range(rng.randint(0, 4))]:
        step["uses"] = uses
    if pictures := [_picture(rng, file) for file in _some(rng, PICTURES, 2)]:
        step["pictures"] = pictures
    return step


def _use(rng: random.Random, mixes: Entries) -> Tree:
    # Few materials, so that the same one often stands twice in a step.
    names = [mix["id"] for mix in mixes]
    use = {"mix": rng.choice(names)} if names and rng.random() < 0.4 else {"material": rng.choice(MATERIALS[5:8])}
    return use | {"as": rng.choice(ROLES)} | _filled(rng, _USE_FIELDS, 0.4)


def _picture(rng: random.Random, file: str) -> Tree:
    return {"file": file} | _filled(rng, {"caption": _words, "as": lambda rng: rng.choice(["good", "bad"])}, 0.5)


_RECIPE_FIELDS: dict[str, Callable[[random.Random], Any]] = {
    "title": _words,
    "yields": lambda rng: rng.choice(["1", "2", {"left": "2", "right": "2"}, {"right": "2", "left": "2"}]),
    "needs": lambda rng: _one_or_many(rng, ["gloves", "a scale", "bolts"]),
    "gives": _gives,
    "why": _words,
}
_MIX_FIELDS: dict[str, Callable[[random.Random], Any]] = {
    "title": _words,
    "once": lambda rng: rng.choice(["build", "mold"]),
    "by": lambda rng: rng.choice(["weight", "volume"]),
    "batch": lambda rng: rng.choice(["1 kg", "1000 g", "160 ml"]),
    "fills": lambda rng: rng.choice(["185 ml", "0.185 l", "205 ml"]),
    "covers": lambda rng: {"area": "700 cm2", "thick": rng.choice(["0.4 mm", "400 um", "4 mm"])},
    "allowance": _allowance,
    "density": lambda rng: rng.choice(["1.05 g/ml", "1050 kg/m3", "1.1 g/ml"]),
    "pot_life": _timed,
    "demold": _timed,
    "full_cure": _timed,
}
_STEP_FIELDS: dict[str, Callable[[random.Random], Any]] = {
    "phase": lambda rng: rng.choice(["prepare", "cast"]),
    "title": _words,
    "do": _words,
    "hands_on": _minutes,
    "people": lambda rng: str(rng.randint(1, 3)),
    "after": lambda rng: _one_or_many(rng, STEPS),
    "within": lambda rng: (
        {"time": _minutes(rng), "after": rng.choice(STEPS)} | _filled(rng, {"from": lambda _: "wait"}, 0.5)
    ),
    "coats": _coats,
    "with": lambda rng: _one_or_many(rng, ["oven", "drill", "spray-gun"]),
    "starts": lambda rng: rng.choice(MIXES),
    "wait": lambda rng: rng.choice(["1 h", "60 min", {"time": "2 h"}, {"demold": "base"}, {"full_cure": "base"}]),
    "until": lambda rng: {"what": _words(rng)} | _filled(rng, {"usual": _minutes, "longest": _minutes}, 0.5),
    "holds": lambda rng: rng.choice(["mold", "bench"]),
    "once": lambda rng: rng.choice(["mold", "wearer"]),
    "may_pause": lambda rng: rng.choice(["yes", "no", "true"]),
    "zone": _words,
    "temperature": _temperature,
    "check": _words,
    "watch": lambda rng: _one_or_many(rng, ["cracked-mold", "air-at-cheek"]),
}
_USE_FIELDS: dict[str, Callable[[random.Random], Any]] = {
    "on": lambda rng: _one_or_many(rng, SURFACES),
    "amount": _amount,
    "how": lambda rng: rng.choice(["brush", "spray"]),
    "share": lambda rng: rng.choice(["40 %", "60"]),
    "coats": _coats,
}

# Editing


def _insert(rng: random.Random, entries: Entries, entry: Tree) -> None:
    entries.insert(rng.randint(0, len(entries)), entry)


def _remove(rng: random.Random, entries: Entries) -> None:
    if len(entries) > 1:
        entries.pop(rng.randrange(len(entries)))


def _move(rng: random.Random, entries: Entries) -> None:
    if len(entries) > 1:
        _insert(rng, entries, entries.pop(rng.randrange(len(entries))))


def _swap(rng: random.Random, entries: Entries) -> None:
    if len(entries) > 1:
        one, other = rng.sample(range(len(entries)), 2)
        entries[one], entries[other] = entries[other], entries[one]


def _any_list(rng: random.Random, tree: Tree) -> Entries:
    """The steps, the mixes, or the parts, uses or surfaces of something."""
    lists: list[Entries] = [tree["steps"], tree["steps"]]
    lists += [tree[key] for key in ("mixes", "surfaces") if key in tree]
    lists += [mix["parts"] for mix in tree.get("mixes", [])]
    lists += [step[key] for step in tree["steps"] for key in ("uses", "pictures") if key in step]
    return rng.choice(lists)


def _remove_one(rng: random.Random, tree: Tree) -> None:
    _remove(rng, _any_list(rng, tree))


def _remove_all(rng: random.Random, tree: Tree) -> None:
    group = rng.choice([tree, *tree["steps"]])
    group.pop(rng.choice(["uses", "pictures", "surfaces", "mixes", "gives"]), None)


def _move_one(rng: random.Random, tree: Tree) -> None:
    _move(rng, _any_list(rng, tree))


def _swap_two(rng: random.Random, tree: Tree) -> None:
    _swap(rng, _any_list(rng, tree))


def _add_one(rng: random.Random, tree: Tree) -> None:
    mixes: Entries = tree.setdefault("mixes", [])
    step = rng.choice(tree["steps"])
    kind = rng.choice(["step", "mix", "part", "use", "surface", "picture"])
    if kind == "part" and mixes:
        mix = rng.choice(mixes)
        others = [other for other in mixes if other is not mix]
        _insert(rng, mix["parts"], _part(rng, mix["parts"], others))
    elif kind == "use":
        _insert(rng, step.setdefault("uses", []), _use(rng, mixes))
    lists: dict[str, tuple[Entries, list[str], Callable[[str], Tree]]] = {
        "step": (tree["steps"], STEPS, lambda name: _step(rng, name, mixes)),
        "mix": (mixes, MIXES, lambda name: _mix(rng, name, mixes)),
        "surface": (tree.setdefault("surfaces", []), SURFACES, lambda name: _surface(rng, name)),
        "picture": (step.setdefault("pictures", []), PICTURES, lambda name: _picture(rng, name)),
    }
    if kind in lists:
        entries, names, make = lists[kind]
        taken = {entry.get("id", entry.get("file")) for entry in entries}
        if free := [name for name in names if name not in taken]:
            _insert(rng, entries, make(rng.choice(free)))


def _replace_part(rng: random.Random, tree: Tree) -> None:
    """Another material or premix in a part's place; mostly, what names it follows."""
    if not tree.get("mixes"):
        return
    mix = rng.choice(tree["mixes"])
    index = rng.randrange(len(mix["parts"]))
    others = [other for other in tree["mixes"] if other is not mix]
    old, new = mix["parts"][index], _part(rng, mix["parts"], others)
    kept = {key: value for key, value in old.items() if key not in ("material", "mix")}
    name = {key: value for key, value in new.items() if key in ("material", "mix")}
    mix["parts"][index] = name | kept
    if rng.random() < 0.8:
        was, now = part_name(old), part_name(name)
        for other in tree["mixes"]:
            for part in other["parts"]:
                if "of" in part:
                    part["of"] = _followed(part["of"], was, now, None if other is mix else mix["id"])


def _followed(of: Any, old: str, new: str, premix: str | None) -> Any:
    if isinstance(of, list):
        return [_followed(name, old, new, premix) for name in of]
    if premix:
        return f"{premix}/{new}" if of == f"{premix}/{old}" else of
    return new if of == old else of.replace(old, new, 1) if of.startswith(f"{old}/") else of


def _replace_use(rng: random.Random, tree: Tree) -> None:
    if uses := rng.choice(tree["steps"]).get("uses"):
        uses[rng.randrange(len(uses))] = _use(rng, tree.get("mixes", []))


def _change_field(rng: random.Random, tree: Tree) -> None:
    groups: list[tuple[Tree, dict[str, Callable[[random.Random], Any]]]] = [(tree, _RECIPE_FIELDS)]
    groups += [(mix, _MIX_FIELDS) for mix in tree.get("mixes", [])]
    groups += [(step, _STEP_FIELDS) for step in tree["steps"]]
    groups += [(use, _USE_FIELDS) for step in tree["steps"] for use in step.get("uses", [])]
    group, fields = rng.choice(groups)
    key = rng.choice(list(fields))
    if key in group and key != "title" and rng.random() < 0.3:
        del group[key]
    else:
        group[key] = fields[key](rng)


def _change_part(rng: random.Random, tree: Tree) -> None:
    if tree.get("mixes"):
        mix = rng.choice(tree["mixes"])
        index = rng.randrange(len(mix["parts"]))
        part = mix["parts"][index]
        name = {key: value for key, value in part.items() if key in ("material", "mix")}
        others = [other for other in tree["mixes"] if other is not mix]
        mix["parts"][index] = name | _how_much(rng, [p for p in mix["parts"] if p is not part], others)


def _rename_step(rng: random.Random, tree: Tree) -> None:
    rng.choice(tree["steps"])["title"] = _words(rng)


_EDITS = [
    _remove_one,
    _remove_all,
    _move_one,
    _swap_two,
    _add_one,
    _add_one,
    _replace_part,
    _replace_part,
    _replace_use,
    _change_field,
    _change_field,
    _change_part,
    _rename_step,
]
