"""What says the same in another way, and what a number never counts, is no change."""

from __future__ import annotations

import copy
import random
import re
from pathlib import Path
from typing import Any

import pytest
import yaml

from compare.texts import EVERY_FIELD, Tree, read, sample_files, text_of
from mothermold.compare.differences import RecipeText, differences, same_process

FILES = sample_files()
EVERYTHING = read(EVERY_FIELD.read_bytes())
every_sample = pytest.mark.parametrize("file", FILES.values(), ids=FILES.keys())


def assert_the_same(a: RecipeText, b: RecipeText) -> None:
    assert differences(a, b) == []
    assert differences(b, a) == []
    assert same_process(a, b)


def changed(**fields: Any) -> Tree:
    """The text with every field, some of them another way; None leaves one out."""
    tree: Tree = copy.deepcopy(dict(EVERYTHING.written)) | fields
    return {key: value for key, value in tree.items() if value is not None}


def replaced(old: str, new: str) -> RecipeText:
    """The text with every field, with other words in one place."""
    words = EVERY_FIELD.read_text(encoding="utf-8")
    assert words.count(old) == 1, old
    return read(words.replace(old, new))


def shuffled(value: Any, rng: random.Random) -> Any:
    """The same with the keys of every group in another order."""
    if isinstance(value, dict):
        keys = rng.sample(list(value), len(value))
        return {key: shuffled(value[key], rng) for key in keys}
    return [shuffled(entry, rng) for entry in value] if isinstance(value, list) else value


# The text


@every_sample
def test_a_text_does_not_differ_from_itself(file: Path) -> None:
    text = read(file.read_bytes())

    assert_the_same(text, text)
    assert_the_same(text, read(file.read_bytes()))


@every_sample
def test_comments_and_empty_lines_are_no_change(file: Path) -> None:
    lines = file.read_text(encoding="utf-8").split("\n")
    # Inside a folded text a line more would be a word more.
    noted = [f"\n# seen at the bench\n{line}  # as before" if re.match(r"[a-z]+: \w", line) else line for line in lines]
    bare = [re.sub(r"\s+# .*$", "", line) for line in lines if not line.lstrip().startswith("#")]

    assert noted != lines
    assert_the_same(read(file.read_bytes()), read("\n".join(noted)))
    assert_the_same(read(file.read_bytes()), read("\n".join(bare)))


@every_sample
def test_other_line_ends_are_no_change(file: Path) -> None:
    words = file.read_bytes().replace(b"\r\n", b"\n")

    assert_the_same(read(words), read(words.replace(b"\n", b"\r\n")))


@every_sample
def test_other_line_breaks_within_folded_prose_are_no_change(file: Path) -> None:
    text = read(file.read_bytes())
    narrow = yaml.safe_dump(dict(text.written), width=40, sort_keys=False, allow_unicode=True)

    assert_the_same(text, read(narrow))


@every_sample
@pytest.mark.parametrize("flow", [False, True], ids=["block", "flow"])
def test_block_and_flow_style_are_no_change(file: Path, flow: bool) -> None:
    text = read(file.read_bytes())
    again = yaml.safe_dump(dict(text.written), default_flow_style=flow, sort_keys=False, width=10_000)

    assert again != file.read_text(encoding="utf-8")
    assert_the_same(text, read(again))


@every_sample
def test_another_order_of_keys_is_no_change(file: Path) -> None:
    text = read(file.read_bytes())

    for seed in range(5):
        assert_the_same(text, text_of(shuffled(dict(text.written), random.Random(seed))))


def test_deeper_indents_and_wider_braces_are_no_change() -> None:
    deep = yaml.safe_dump(dict(EVERYTHING.written), indent=7, sort_keys=False)
    lines = EVERY_FIELD.read_text(encoding="utf-8").split("\n")
    wide = [re.sub(r"(?<=[{,:])\s*(?=\S)|(?=})", "   ", line) if "{" in line else line for line in lines]

    assert_the_same(EVERYTHING, read(deep))
    assert wide != lines
    assert_the_same(EVERYTHING, read("\n".join(wide)))


# Units and numbers


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("fills: 185 ml", "fills: 0.185 l"),
        ("fills: 185 ml", "fills: 185 cm3"),
        ("batch: 1.2 kg", "batch: 1200 g"),
        ("usual: 2 h,", "usual: 120 min,"),
        ("hands_on: 2 h 30 min", "hands_on: 150 min"),
        ("hands_on: 2 h 30 min", "hands_on: 2.5 h"),
        ("wait: 1 h", "wait: 60 min"),
        ("{time: 24 h, at: 73.4 degF", "{time: 1 day, at: 23 degC"),
        ("{time: 25 min, at: 23 degC", "{time: 25 min, at: 73.4 degF"),
        ("temperature: 19-23 degC", "temperature: 19 to 23 °C"),
        ("temperature: 19-23 degC", "temperature: 66.2-73.4 degF"),
        ("area: 700 cm2", "area: 0.07 m2"),
        ("thick: 0.4 mm", "thick: 400 um"),
        ("thick: 0.4 mm", "thick: 0.04 cm"),
        ("density: 1.05 g/ml", "density: 1050 kg/m3"),
        ("percent: 120,", "percent: 120 %,"),
        ("percent: 0.5 %,", "percent: 0.5,"),
        ("percent: 2 %,", "percent: 2.00,"),
        ("share: 40 %", "share: 40"),
        ("allowance: 10 %", "allowance: 10"),
        ("parts: 220,", "parts: 220.0,"),
        ("{count: 8,", "{count: 08,"),
        ("left_in_cups: 15 g", "left_in_cups: 0.015 kg"),
        ("largest_batch: 900 ml", "largest_batch: 0.9 l"),
        ("may_pause: yes", "may_pause: true"),
    ],
)
def test_an_equal_amount_in_another_unit_is_no_change(old: str, new: str) -> None:
    assert_the_same(EVERYTHING, replaced(old, new))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("fills: 185 ml", "fills: 0.1851 l"),
        ("batch: 1.2 kg", "batch: 1200 ml"),
        ("temperature: 19-23 degC", "temperature: 23 degC"),
        ("usual: 2 h,", "usual: 2 min,"),
    ],
)
def test_nearly_the_same_amount_is_a_change(old: str, new: str) -> None:
    (change,) = differences(EVERYTHING, replaced(old, new))

    assert (change.before, change.after) == (re.sub(r"^\w+: |,$", "", old), re.sub(r"^\w+: |,$", "", new))


# Short forms


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("after: guard", "after: [guard]"),
        ("with: vacuum-chamber", "with: [vacuum-chamber]"),
        ("watch: cracked-mold", "watch: [cracked-mold]"),
        ("on: [skin],", "on: skin,"),
        ("on: mold-face, how: spray", "on: [mold-face], how: spray"),
        ("percent: 120, of: gel-silicone-a", "percent: 120, of: [gel-silicone-a]"),
        ("of: the-rest", "of: [the-rest]"),
        ("of: total", "of: [total]"),
        ("of: tinted-a/gel-silicone-a", "of: [tinted-a/gel-silicone-a]"),
        ("formerly: [cast/old-piece]", "formerly: cast/old-piece"),
    ],
)
def test_one_name_alone_is_a_list_of_one(old: str, new: str) -> None:
    assert_the_same(EVERYTHING, replaced(old, new))


def test_one_need_alone_is_a_list_of_one() -> None:
    assert_the_same(text_of(changed(needs="gloves")), text_of(changed(needs=["gloves"])))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("allowance: 10 %", "allowance: {percent: 10 %}"),
        ("wait: 1 h", "wait: {time: 1 h}"),
        ("wait: {time: 20 min}", "wait: 20 min"),
        ("  - id: skin-coat\n", "  - id: skin-coat\n    by: weight\n"),
        ("title: Base silicone\n    by: weight\n", "title: Base silicone\n"),
        ("  - id: rest\n", "  - id: rest\n    watch: []\n    uses: []\n    with: []\n    pictures: []\n"),
    ],
)
def test_a_short_form_and_its_long_one_are_the_same(old: str, new: str) -> None:
    assert_the_same(EVERYTHING, replaced(old, new))


def test_a_bound_beside_a_short_allowance_is_the_only_change() -> None:
    (change,) = differences(EVERYTHING, replaced("allowance: 10 %", "allowance: {percent: 10, largest_batch: 1 l}"))

    assert (change.action, change.path) == ("added", ("mixes", "skin-coat", "allowance", "largest_batch"))
    assert (change.before, change.after) == (None, "1 l")


def test_an_allowance_written_shortly_is_compared_with_a_long_one_as_written() -> None:
    (change,) = differences(EVERYTHING, replaced("allowance: 10 %", "allowance: {percent: 12 %}"))

    assert (change.path[-2:], change.before, change.after) == (("allowance", "percent"), "10 %", "12 %")


# What is never a change


@pytest.mark.parametrize(
    "fields",
    [
        {"format": "1"},
        {"version": "7"},
        {"status": "draft"},
        {"status": "retired"},
        {"why": "For another reason."},
        {"why": None},
        {"fixes": ["cracked-mold"]},
        {"fixes": None},
        {"visibility": "class"},
        {"visibility": None},
        {"formerly": ["cast/older-piece"]},
        {"formerly": None},
        {"accepts": None},
        {"accepts": [{"rule": "thick-edge", "where": "cast/a-piece#coat", "because": "Wanted so."}]},
    ],
    ids=str,
)
def test_what_only_the_reasons_carry_is_never_a_change(fields: dict[str, Any]) -> None:
    assert_the_same(EVERYTHING, text_of(changed(**fields)))


def test_a_note_is_a_change_that_no_number_counts() -> None:
    tree = changed(title="Another title")
    tree["steps"][1]["watch"] = ["cracked-mold"]
    tree["steps"][1]["pictures"] = [
        {"file": "even.svg", "caption": "Evenly", "as": "bad"},
        {"file": "new.svg"},
    ]
    noted = text_of(tree)

    assert {change.path for change in differences(EVERYTHING, noted)} == {
        ("title",),
        ("steps", "coat", "watch"),
        ("steps", "coat", "pictures", "even.svg", "caption"),
        ("steps", "coat", "pictures", "even.svg", "as"),
        ("steps", "coat", "pictures", "new.svg"),
        ("steps", "coat", "pictures", "webs.svg"),
        ("steps", "coat", "pictures", "coat-1.jpg"),
    }
    assert {change.kind for change in differences(EVERYTHING, noted)} == {"wording"}
    assert same_process(EVERYTHING, noted)


# What has no order


@pytest.mark.parametrize("key", ["surfaces", "mixes"])
def test_surfaces_and_mixes_in_another_order_are_no_change(key: str) -> None:
    assert_the_same(EVERYTHING, text_of(changed(**{key: EVERYTHING.written[key][::-1]})))


# What only follows a replaced part


def replaced_everywhere(tree: Tree, mix: str, old: str, new: str, names: dict[str, str]) -> RecipeText:
    for entry in tree["mixes"]:
        for part in entry["parts"]:
            if entry["id"] == mix and old in (part.get("material"), part.get("mix")):
                part["material" if "material" in part else "mix"] = new
            if "of" in part:
                of = part["of"]
                part["of"] = [names.get(n, n) for n in of] if isinstance(of, list) else names.get(of, of)
    return text_of(tree)


def test_an_of_that_only_follows_a_replaced_part_is_no_change_of_its_own() -> None:
    names = {"gel-silicone-a": "firm-silicone-a", "tinted-a/gel-silicone-a": "tinted-a/firm-silicone-a"}
    b = replaced_everywhere(changed(), "tinted-a", "gel-silicone-a", "firm-silicone-a", names)

    # In one mix, in a list, and through the premix in another mix.
    (change,) = differences(EVERYTHING, b)

    assert (change.kind, change.action) == ("material", "changed")
    assert change.path == ("mixes", "tinted-a", "parts", "gel-silicone-a")
    assert change.before == {"material": "gel-silicone-a", "parts": "100"}
    assert change.after == {"material": "firm-silicone-a", "parts": "100"}


def test_an_of_inside_a_replaced_premix_only_follows_it() -> None:
    tree = changed()
    tree["mixes"].append(copy.deepcopy(tree["mixes"][0]) | {"id": "plain-a"})
    a = text_of(copy.deepcopy(tree))
    b = replaced_everywhere(tree, "base", "tinted-a", "plain-a", {"tinted-a/gel-silicone-a": "plain-a/gel-silicone-a"})

    (change,) = differences(a, b)

    assert (change.kind, change.action, change.path) == (
        "material",
        "changed",
        ("mixes", "base", "parts", "tinted-a"),
    )


def test_an_of_that_keeps_the_old_name_of_a_replaced_part_is_a_change_of_its_own() -> None:
    b = replaced_everywhere(
        changed(), "tinted-a", "gel-silicone-a", "firm-silicone-a", {"gel-silicone-a": "firm-silicone-a"}
    )

    replacement, left = differences(EVERYTHING, b)

    assert replacement.path == ("mixes", "tinted-a", "parts", "gel-silicone-a")
    assert left.path == ("mixes", "base", "parts", "gel-silicone-b", "of")


def test_an_of_that_names_something_else_than_the_replacement_is_a_change_of_its_own() -> None:
    names = {"gel-silicone-a": "firm-silicone-a", "tinted-a/gel-silicone-a": "tinted-a/deadener"}
    b = replaced_everywhere(changed(), "tinted-a", "gel-silicone-a", "firm-silicone-a", names)

    replacement, other = differences(EVERYTHING, b)

    assert replacement.path == ("mixes", "tinted-a", "parts", "gel-silicone-a")
    told = (other.kind, other.path, other.before, other.after)
    of = ("mixes", "base", "parts", "gel-silicone-b", "of")
    assert told == ("quantity", of, "tinted-a/gel-silicone-a", "tinted-a/deadener")


def test_another_order_of_the_kinds_a_run_yields_is_no_change() -> None:
    assert_the_same(EVERYTHING, text_of(changed(yields={"right": "2", "left": "3"})))
