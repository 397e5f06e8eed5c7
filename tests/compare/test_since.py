"""Since when each step, part and setting is as it is."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from mothermold.book.document import read_document
from mothermold.compare.change import FieldPath
from mothermold.compare.differences import RecipeText
from mothermold.compare.since import since_each
from mothermold.history.versions import as_text
from mothermold.view.editions import Edition
from mothermold.view.view import View

HEAD = "title: Small piece\nstage: cast\nversion: {number}\nstatus: draft\n"


def text(number: int, body: str) -> tuple[int, RecipeText]:
    document = read_document("recipe", "cast/x", "recipes/cast/x.yaml", (HEAD.format(number=number) + body).encode())
    said = as_text(document)
    assert said is not None, document.notices
    return number, said


def since(texts: Sequence[tuple[int, RecipeText]]) -> Mapping[FieldPath, int]:
    """As the last version has it."""
    return since_each(texts)[texts[-1][0]]


def mix(deadener: str, percent: int = 60) -> str:
    return (
        "mixes:\n  - id: base\n    parts:\n      - {material: gel-a, parts: 100}\n"
        f"      - {{material: {deadener}, percent: {percent}, of: gel-a}}\n"
    )


def steps(*names: str) -> str:
    return "steps:\n" + "".join(f"  - id: {name}\n    title: Do {name}\n    hands_on: 5 min\n" for name in names)


def test_what_never_changed_has_no_version() -> None:
    assert since([text(1, mix("deadener")), text(2, mix("deadener"))]) == {}


def test_a_setting_and_the_mix_it_belongs_to_know_their_last_change() -> None:
    found = since([text(1, mix("deadener", 60)), text(2, mix("deadener", 80)), text(4, mix("deadener", 80))])
    assert found[("mixes", "base", "parts", "deadener", "percent")] == 2
    assert found[("mixes", "base", "parts", "deadener")] == 2
    assert found[("mixes", "base")] == 2
    assert ("mixes",) not in found


def test_a_later_change_counts_and_not_the_first_one() -> None:
    found = since([text(1, mix("deadener", 60)), text(2, mix("deadener", 80)), text(3, mix("deadener", 90))])
    assert found[("mixes", "base", "parts", "deadener", "percent")] == 3


def test_a_replaced_part_is_known_by_the_name_it_has_today() -> None:
    found = since([text(1, mix("deadener")), text(2, mix("oil"))])
    assert found[("mixes", "base", "parts", "oil")] == 2
    assert not [path for path in found if "deadener" in path]


def test_a_setting_of_the_recipe_itself_is_known_and_no_whole_list() -> None:
    number, _first = one = text(1, steps("fill"))
    cast = HEAD.format(number=2).replace("stage: cast", "stage: core") + steps("fill", "open")
    document = read_document("recipe", "cast/x", "recipes/cast/x.yaml", cast.encode())
    said = as_text(document)
    assert said is not None
    found = since([one, (2, said)])
    assert number == 1
    assert {path for path in found if len(path) == 1} == {("stage",)}
    assert found[("steps", "open")] == 2


def test_a_step_may_be_called_like_a_note() -> None:
    longer = steps("watch").replace("5 min", "6 min")

    found = since([text(1, steps("watch")), text(2, longer)])

    assert found[("steps", "watch", "hands_on")] == 2


def test_an_added_step_and_a_moved_one_know_it_and_a_removed_one_is_gone() -> None:
    found = since(
        [text(1, steps("a", "b", "c")), text(2, steps("a", "new", "b", "c")), text(3, steps("c", "a", "new"))]
    )
    assert found[("steps", "new")] == 2
    assert found[("steps", "c")] == 3
    assert not [path for path in found if "b" in path]


def test_the_sample_books_steps_say_since_when(sample_view: Callable[[Edition], View]) -> None:
    versions = sample_view("private").versions("cast/face-piece")
    assert versions is not None
    texts = [(row.number, said) for row in versions.rows if (said := as_text(row.document)) is not None]
    found = since(texts)
    # Told by the story: degassing came with version 2, the softened premix with 3, more coats with 4.
    assert found[("steps", "mix", "with")] == 2
    assert found[("mixes", "softened-a")] == 3
    assert found[("steps", "encapsulate", "coats", "count")] == 4


def test_a_part_said_in_another_way_knows_since_when_key_by_key() -> None:
    def said(how: str) -> str:
        return f"mixes:\n  - id: base\n    parts:\n      - {{material: a, parts: 1}}\n      - {{material: b, {how}}}\n"

    found = since([text(1, said("parts: 2")), text(2, said("percent: 200, of: a"))])

    path = ("mixes", "base", "parts", "b")
    assert {key: number for key, number in found.items() if key[:4] == path} == {
        path: 2, (*path, "percent"): 2, (*path, "of"): 2,
    }  # fmt: skip
