"""Any one field of any sample recipe, changed alone, is one change of the right kind at the right place."""

from __future__ import annotations

import copy
from dataclasses import dataclass

import pytest

from compare.applying import apply
from compare.single_fields import NAMES_ENTRY, Field, at, fields_of, with_another, without
from compare.texts import EVERY_FIELD, Tree, read, sample_files, text_of
from mothermold.compare.differences import Change, RecipeText, differences

# The kinds of section 5 of the contract, by the group a field stands in.
_TIMED = {"time": "time", "at": "time", "basis": "time"}
KINDS: dict[str, dict[str, str]] = {
    "recipe": {
        "title": "wording", "stage": "order", "yields": "quantity", "needs": "wording", "gives": "material",
        "off": "safety",
    },
    "surfaces": {"material": "material", "from": "material", "surface": "material"},
    "gives": {"what": "material"},
    "mixes": {
        "title": "wording", "once": "order", "by": "quantity", "batch": "quantity", "fills": "quantity",
        "covers": "quantity", "allowance": "quantity", "density": "quantity",
        "pot_life": "time", "demold": "time", "full_cure": "time",
    },
    "parts": {
        "material": "material", "mix": "material", "parts": "quantity", "percent": "quantity",
        "of": "quantity", "amount": "quantity", "match": "quantity", "by": "quantity",
        "temperature": "quantity",
    },
    "covers": {"area": "quantity", "thick": "quantity"},
    "allowance": {
        "percent": "quantity", "left_in_cups": "quantity",
        "smallest_batch": "quantity", "largest_batch": "quantity",
    },
    "pot_life": _TIMED,
    "demold": _TIMED,
    "full_cure": _TIMED,
    "steps": {
        "phase": "order", "title": "wording", "do": "wording", "hands_on": "time", "people": "quantity",
        "after": "order", "within": "time", "coats": "quantity", "with": "safety", "starts": "order",
        "wait": "time", "until": "time", "holds": "time", "once": "order", "may_pause": "order",
        "zone": "wording", "temperature": "quantity", "check": "wording", "watch": "wording",
    },
    "uses": {
        "material": "material", "mix": "material", "as": "material", "on": "material",
        "amount": "quantity", "how": "wording", "share": "quantity", "coats": "quantity",
    },
    "coats": {"count": "quantity", "between": "quantity", "last": "quantity"},
    "within": {"time": "time", "after": "time", "from": "time"},
    "until": {"what": "time", "usual": "time", "longest": "time"},
    "pictures": dict.fromkeys(("alt", "caption", "as", "view", "taken", "light", "camera"), "wording"),
}  # fmt: skip
GROUPS = {"gives", "covers", "allowance", "pot_life", "demold", "full_cure", "coats", "within", "until"}


@dataclass(frozen=True)
class Case:
    """A field of a sample recipe."""

    text: RecipeText
    field: Field

    @property
    def kind(self) -> str:
        """The kind a change of it has."""
        entry = at(self.text.written, self.field.place[:-1])
        names = (self.field.group, self.field.key) in NAMES_ENTRY or self.field.key == "as"
        if self.field.group == "uses" and names and entry["as"] == "protect":
            return "safety"
        return KINDS[self.field.group][self.field.key]


def _cases() -> dict[str, list[Case]]:
    """The fields of each sample recipe."""
    texts = {address: read(file.read_bytes()) for address, file in sample_files().items()}
    return {
        address: [Case(text, field) for field in fields_of(text.recipe, dict(text.written))]
        for address, text in texts.items()
    }


CASES = _cases()
every_recipe = pytest.mark.parametrize("cases", CASES.values(), ids=CASES.keys())


def may_be_missing(case: Case) -> bool:
    """Whether a field can be left out alone: not the name of an entry, nor one that says what is meant anyway."""
    field = case.field
    named = (field.group, field.key) in NAMES_ENTRY
    return not field.needed and not named and at(case.text.written, field.place) != "weight"


def applied(a: RecipeText, changes: list[Change], b: RecipeText) -> bool:
    """Whether A with the changes is B, as written or at least as meant."""
    tree = apply(a.written, changes)
    return tree == b.written or differences(text_of(tree), b) == []


@every_recipe
def test_one_changed_field_is_one_change(cases: list[Case]) -> None:
    single = [case for case in cases if case.field.key not in GROUPS]
    for case in single:
        changed_alone(case)
    assert single


def changed_alone(case: Case) -> None:
    a, field = case.text, case.field
    b = text_of(with_another(dict(a.written), field))
    path, place = field.path, field.place
    if (field.group, field.key) in NAMES_ENTRY:
        # The whole entry was replaced, and goes by its old name.
        path, place = path[:-1], place[:-1]

    found = differences(a, b)

    told = [(change.kind, change.action, change.path, change.before, change.after) for change in found]
    assert told == [(case.kind, "changed", path, at(a.written, place), at(b.written, place))]
    assert found[0].note == (field.key in ("watch", "off") or field.group == "pictures" or path == ("title",)), path
    assert applied(a, found, b), path


@every_recipe
def test_one_field_left_out_or_written_down_is_one_change(cases: list[Case]) -> None:
    optional = [case for case in cases if may_be_missing(case)]
    for case in optional:
        left_out_alone(case)
    assert optional


def left_out_alone(case: Case) -> None:
    a, path = case.text, case.field.path
    b = text_of(without(dict(a.written), case.field))
    written = at(a.written, case.field.place)

    left_out, written_down = differences(a, b), differences(b, a)

    told = [(change.kind, change.action, change.path, change.before, change.after) for change in left_out]
    assert told == [(case.kind, "removed", path, written, None)]
    told = [(change.kind, change.action, change.path, change.before, change.after) for change in written_down]
    assert told == [(case.kind, "added", path, None, written)]
    assert applied(a, left_out, b), path
    assert applied(b, written_down, a), path


def test_every_field_that_counts_was_changed_once() -> None:
    every = next(cases for cases in CASES.values() if cases[0].text == EVERYTHING)
    tried = {(case.field.group, case.field.key) for case in every}

    assert tried == {(group, key) for group, keys in KINDS.items() for key in keys}


EVERYTHING = read(EVERY_FIELD.read_bytes())


def test_a_use_that_becomes_a_protection_is_a_change_of_safety() -> None:
    tree: Tree = copy.deepcopy(dict(EVERYTHING.written))
    tree["steps"][0]["uses"][1]["as"] = "protect"

    (change,) = differences(EVERYTHING, text_of(tree))

    assert (change.kind, change.action, change.path) == (
        "safety",
        "changed",
        ("steps", "guard", "uses", "water", "as"),
    )


def test_a_use_replaced_by_a_protection_is_a_change_of_safety() -> None:
    tree: Tree = copy.deepcopy(dict(EVERYTHING.written))
    new = {"material": "barrier-cream", "as": "protect", "on": "skin"}
    old = tree["steps"][0]["uses"].pop()
    tree["steps"][0]["uses"].append(new)

    (change,) = differences(EVERYTHING, text_of(tree))

    told = (change.kind, change.action, change.path, change.before, change.after)
    assert told == ("safety", "changed", ("steps", "guard", "uses", "water#2"), old, new)


def test_an_added_or_removed_protection_is_a_change_of_safety() -> None:
    tree: Tree = copy.deepcopy(dict(EVERYTHING.written))
    gone = tree["steps"][0]["uses"].pop(0)
    bare = text_of(tree)

    (removed,) = differences(EVERYTHING, bare)
    (added,) = differences(bare, EVERYTHING)

    path = ("steps", "guard", "uses", "petroleum-jelly-thinned")
    assert (removed.kind, removed.action, removed.path, removed.before) == ("safety", "removed", path, gone)
    assert (added.kind, added.action, added.path, added.after) == ("safety", "added", path, gone)
