"""What is typed into a form changes that and nothing else, and is refused with the sentences of `check`, at its field."""

from __future__ import annotations

import copy
import random
import re
import shutil
from collections import Counter
from collections.abc import Callable, Iterator
from datetime import datetime
from difflib import SequenceMatcher
from itertools import count
from pathlib import Path
from typing import Any

import pytest

from campaigns.seeds import seeds
from desk.forms.as_sent import another, as_sent, lay_out
from mothermold.book.document import Document, read_document
from mothermold.book.tree import read_tree, value_at
from mothermold.desk.forms.form import BUILD, NAME, Form, FormField
from mothermold.desk.forms.making import form_of, new_form
from mothermold.desk.forms.rewriting import real_path
from mothermold.desk.forms.sending import Sent, sent
from mothermold.ground.notices import Notice
from mothermold.model.walk import KeyPath, walk
from mothermold.view.view import View, open_view

Told = Counter[tuple[str, str, str]]
BOOKS = 52
"""Made at random, of some twenty documents each: more than a thousand in all."""
GOOD = Path(__file__).resolve().parents[2] / "data" / "good"


def forms(view: View) -> Iterator[Form]:
    for document in view.documents.every():
        form = form_of(view, document.kind, document.address)
        if form.sections:
            yield form


def reread(form: Form, text: str) -> Document:
    return read_document(form.kind, form.address, form.file, text.encode())


def bare(view: View, form: Form) -> str:
    """The text with a mark and line ends of another system."""
    return "\ufeff" + form.text.replace("\n", "\r\n")


# Unchanged


def check_unchanged(view: View) -> int:
    number = 0
    for form in forms(view):
        found = sent(view, form, as_sent(form))
        assert (found.text, found.changed) == (form.text, ()), form.file
        strange = form_of(view, form.kind, form.address, bare(view, form))
        assert sent(view, strange, as_sent(strange)).text == bare(view, form), form.file
        number += 1
    return number


def test_every_document_of_the_sample_book_sent_as_it_was_opened_stays_byte_for_byte(view: View) -> None:
    assert check_unchanged(view) > 150


def test_every_document_of_the_good_book_does(good_book: Path) -> None:
    assert check_unchanged(open_view(good_book, "private")) > 5


@pytest.mark.parametrize("seed", seeds(1, BOOKS))
def test_documents_made_at_random_do(seed: int, tmp_path: Path) -> None:
    assert check_unchanged(open_view(lay_out(seed, tmp_path), "private")) >= 15


# One field changed


def check_one_field(view: View, form: Form, rng: random.Random) -> bool:
    """Changes a field at random; whether the book takes it."""
    old = reread(form, form.text)
    chosen = [(each, said) for each in form.fields if (said := another(each, form, rng))]
    field, said = rng.choice(chosen)
    found = sent(view, form, as_sent(form, {field.path: said}))
    assert found.changed == (field.path,), (form.file, field.path, said)
    assert found.typed is not None, (form.file, field.path, said)
    new, here = reread(form, found.typed), real_path(form.tree, old.tree.raw, field.path)
    check_only(old, new, here, field, said)
    check_lines(old, found.typed, here, field)
    if found.text is not None and old.model is not None and new.model is not None:
        before, after = dict(walk(old.model)), dict(walk(new.model))
        differing = {path for path in {*before, *after} if before.get(path) != after.get(path)}
        assert {path[: len(here)] for path in differing} <= {here, here[:-1]} or field.path == ("yields",), (
            form.file, here, differing,
        )  # fmt: skip
    return found.text is not None


def check_only(old: Document, new: Document, here: KeyPath, field: FormField, said: str) -> None:
    """The raw text says that at its place, and the same everywhere else."""
    expected = copy.deepcopy(old.tree.raw)
    holder, last = expected, len(here) - 1
    for number, step in enumerate(here[:-1]):
        # A group that is not there comes, and one said in short is written out.
        if not isinstance(holder, list) and not isinstance(holder.get(step), dict | list):
            holder[step] = value_at(new.tree.raw, here[: number + 1])
            if isinstance(holder[step], str):
                assert holder[step] == said
                assert new.tree.raw == expected
                return
            last = number
            break
        holder = holder[step]
    if last == len(here) - 1:
        holder[here[-1]] = value_at(new.tree.raw, here)
    assert new.tree.raw == expected, (old.file, here)
    value = value_at(new.tree.raw, here)
    assert str(value).strip() == said.strip() or field.path == ("yields",), (old.file, here, said)


def check_lines(old: Document, text: str, here: KeyPath, field: FormField) -> None:
    """No line that does not hold the value was touched."""
    before, after = old.text.split("\n"), text.split("\n")
    path = here
    while path and path not in old.tree.values:
        path = path[:-1]
    span = old.tree.values[path]
    first, last = (
        (span.line - 1, span.end_line)
        if path == here or isinstance(value_at(old.tree.raw, path), str | None)
        else (0, 0)
    )
    for tag, start, end, _first, _last in SequenceMatcher(None, before, after, autojunk=False).get_opcodes():
        if tag == "equal" or start == end:
            continue
        # What comes new may take the dash of the line it is put before, or stand in the braces of its group.
        inside = first <= start and end <= last
        one_line = end - start == 1 and (
            before[start].lstrip().startswith("- ")
            or "{" in before[start]
            or before[start].rstrip().endswith((":", "[]"))
        )
        assert inside or (path != here and one_line), (old.file, here, before[start:end], field)


@pytest.mark.parametrize("seed", seeds(4, 150))
def test_one_field_changed_at_random_is_exactly_that_change(seed: int, view: View, tally: Counter[bool]) -> None:
    rng = random.Random(seed)
    found = rng.choice(sorted(view.documents.every(), key=lambda document: document.file))
    tally[check_one_field(view, form_of(view, found.kind, found.address), rng)] += 1


@pytest.fixture(scope="module")
def tally() -> Iterator[Counter[bool]]:
    """How often the book took what was typed: where it never does, nothing was shown."""
    counted: Counter[bool] = Counter()
    yield counted
    assert counted[True] >= sum(counted.values()) // 2


@pytest.mark.parametrize("seed", seeds(1, BOOKS))
def test_one_field_of_each_document_made_at_random(seed: int, tmp_path: Path) -> None:
    view, rng = open_view(lay_out(seed, tmp_path), "private"), random.Random(seed)
    for form in forms(view):
        check_one_field(view, form, rng)


def recipe(tmp_path: Path, text: str, *, file: str = "recipes/cast/piece.yaml") -> tuple[View, Form]:
    book = tmp_path / "own-book"
    if not book.exists():
        shutil.copytree(GOOD, book)
    (book / file).parent.mkdir(parents=True, exist_ok=True)
    (book / file).write_text(text, encoding="utf-8")
    view = open_view(book, "private")
    document = next(each for each in view.documents.every() if each.file == file)
    return view, form_of(view, document.kind, document.address)


HEAD = "title: A   # said\nstage: cast\nversion: 1\nstatus: draft\n"
STEPS = (
    "steps:   # of all\n"
    "  # of a\n  - id: a   # beside a\n    title: Pour\n    wait: 30 min   # short\n"
    "\n"
    "  # of b\n  - id: b\n    title: Open\n    needs: {x: y}   # no key of a step\n"
)
EXACT: list[tuple[str, dict[KeyPath, Any], str]] = [
    ("", {("title",): "B"}, HEAD.replace("A ", "B ")),
    ("", {("why",): "Air.\nAnd more."}, HEAD + "why: |-\n  Air.\n  And more.\n"),
    (STEPS, {("steps", 0, "wait", "time"): "40 min"}, HEAD + STEPS.replace("30", "40")),
    (STEPS, {("steps", 0, "wait", "time"): ""}, HEAD + STEPS.replace("    wait: 30 min   # short\n", "")),
    (STEPS, {("steps", 0, "wait", "demold"): "base"},
     HEAD + STEPS.replace("    wait: 30 min   # short\n", "    wait:   # short\n      time: 30 min\n      demold: base\n")),
    (STEPS, {("steps",): ["1", "0"]},
     HEAD + "steps:   # of all\n" + STEPS.partition("\n\n")[2] + "\n" + STEPS.partition("# of all\n")[2].partition("\n\n")[0] + "\n"),
    (STEPS, {("steps",): ["0", "+1", "1"], ("steps", "+1", "title"): "Wash it, twice", ("steps", "+1", "uses"): ["+1"],
             ("steps", "+1", "uses", "+1", "material"): "soap", ("steps", "+1", "uses", "+1", "as"): "clean",
             ("steps", "+1", "hands_on"): "10 min"},
     HEAD + STEPS.replace("\n\n", "\n\n  - id: wash-it-twice\n    title: Wash it, twice\n    hands_on: 10 min\n    uses:\n      - {material: soap, as: clean}\n\n")),
    (STEPS, {("steps",): ["0", "0+1", "1"]},
     HEAD + STEPS.replace("\n\n", "\n\n  - id: a-2   # beside a\n    title: Pour\n    wait: 30 min   # short\n\n")),
    (STEPS, {("steps",): ["0"]}, HEAD + STEPS.partition("\n\n")[0] + "\n\n"),
    (STEPS, {("steps",): []}, HEAD),
    ("needs: [a, b]   # said\n", {("needs",): ["a", "c", "b"]}, HEAD + "needs: [a, c, b]   # said\n"),
    ("needs: a   # said\n", {("needs",): ["b"]}, HEAD + "needs: b   # said\n"),
    ("needs: a   # said\n", {("needs",): []}, HEAD),
    ("yields: {left: 3, right: 3}\n", {("yields",): "left: 3, right: 4"}, HEAD + "yields:\n  left: 3\n  right: 4\n"),
    ("gives: {what: piece}\n", {("gives", "what"): ""}, HEAD),
    ("", {("gives", "surfaces"): ["+1"], ("gives", "surfaces", "+1", "id"): "face"}, HEAD + "gives:\n  surfaces:\n    - id: face\n"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("below", "typed", "after"), EXACT, ids=[str(next(iter(typed))) + str(n) for n, (_b, typed, _a) in enumerate(EXACT)]
)
def test_only_what_was_typed_is_written(below: str, typed: dict[KeyPath, Any], after: str, tmp_path: Path) -> None:
    view, form = recipe(tmp_path, HEAD + below)
    # The form is sent whole, and what only differs is sent alone: both mean the same.
    assert sent(view, form, as_sent(form, typed)).typed == after
    alone = [pair for pair in as_sent(form, typed) if pair[0] in typed]
    assert sent(view, form, alone).typed == after


def test_what_stands_in_no_field_stays(tmp_path: Path) -> None:
    view, form = recipe(tmp_path, HEAD + STEPS + "nonsense: {a: b}   # said\n")
    found = sent(view, form, as_sent(form, {("steps", 1, "title"): "", ("steps", 1, "id"): ""}))
    assert "needs: {x: y}   # no key of a step" in (found.typed or "")
    assert (found.typed or "").endswith("nonsense: {a: b}   # said\n")


def test_what_was_wrong_before_does_not_keep_a_form_from_being_sent(tmp_path: Path) -> None:
    view, form = recipe(tmp_path, HEAD + STEPS)
    assert [each.code for each in form.notices[("steps", 1, "needs")]] == ["unknown-key"]
    found = sent(view, form, as_sent(form, {("title",): "B"}))
    assert found.text is not None
    assert found.notices[("steps", 1, "needs")][0].code == "unknown-key"
    assert sent(view, form, as_sent(form, {("version",): "one"})).text is None


def test_text_that_cannot_be_edited_is_said_at_its_field(tmp_path: Path) -> None:
    view, form = recipe(
        tmp_path,
        HEAD
        + "needs: [a,   # of a\n        b]\nfixes: [x]\nsteps: [{id: a, title: A},   # of a\n        {id: b, title: B}]\n",
    )
    found = sent(view, form, as_sent(form, {("steps",): ["1", "0"]}))
    assert found.typed is None
    assert [each.code for each in found.notices[("steps",)]] == ["not-edited"]


def test_nothing_is_written(tmp_path: Path) -> None:
    view, form = recipe(tmp_path, HEAD)
    before = {path: path.read_bytes() for path in view.root.rglob("*") if path.is_file()}
    sent(view, form, as_sent(form, {("title",): "B"}))
    assert before == {path: path.read_bytes() for path in view.root.rglob("*") if path.is_file()}


def test_what_it_would_bring_about_elsewhere_is_told(tmp_path: Path) -> None:
    view, form = recipe(tmp_path, "title: Gel\nfamilies: platinum-silicone\n", file="recipes/materials/own-gel.yaml")
    (view.root / "recipes/cast/user.yaml").write_text(
        HEAD + "mixes:\n  - {id: m, parts: [{material: own-gel, parts: 1}], maximum: x}\n", "utf-8"
    )
    view = open_view(view.root, "private")
    found = sent(view, form, as_sent(form, {("families",): ["no-such-family"]}))
    assert [each.code for each in found.notices[("families",)]] == ["unknown-family"]
    assert found.text is not None
    assert {each.file for each in found.elsewhere} <= {"recipes/cast/user.yaml"}


# Lists


def lists(raw: Any, path: KeyPath = ()) -> Iterator[tuple[KeyPath, list[Any]]]:
    for step, value in raw.items() if isinstance(raw, dict) else enumerate(raw) if isinstance(raw, list) else ():
        if isinstance(value, list) and value and isinstance(value[0], dict):
            yield (*path, step), value
        yield from lists(value, (*path, step))


def _says_something(entry: Any) -> bool:
    return any(map(_says_something, entry.values())) if isinstance(entry, dict) else bool(entry)


def check_lists(view: View, form: Form, rng: random.Random) -> int:
    raw = reread(form, form.text).tree.raw
    found = list(lists(raw))
    for path, value in rng.sample(found, min(3, len(found))):
        places: list[str] = [str(place) for place in range(len(value))]
        order = rng.sample(places, len(places))
        deed = rng.choice(["move", "double", "remove"])
        # A copy of an entry that says nothing says nothing, and is none.
        saying = [place for place in places if _says_something(value[int(place)])]
        if deed == "double" and saying:
            order.insert(rng.randint(0, len(order)), f"{rng.choice(saying)}+1")
        elif deed == "remove":
            order.pop()
        found_ = sent(view, form, as_sent(form, {path: order}))
        assert found_.typed is not None, (form.file, path, order)
        expected = [copy.deepcopy(value[int(each.partition("+")[0])]) for each in order]
        told = value_at(read_tree(found_.typed).raw, path) or []
        for here, entry, said in zip(order, expected, told, strict=True):
            if "+" in here and "id" in entry:
                # A copy of what has an id gets one of its own.
                assert said["id"] not in [each["id"] for each in value], (path, order)
                said["id"] = entry["id"]
        assert told == expected, (form.file, path, order)
        before, after = Counter(form.text.split("\n")), Counter(found_.typed.split("\n"))
        if deed == "move" and form.text.split("\n")[reread(form, form.text).at_value(path).line - 1].count("[") == 0:
            assert before == after, (form.file, path, order)
        elif deed == "double":
            assert not [line for line in before - after if line.lstrip().startswith("#")], (form.file, path, order)
    return len(found)


@pytest.mark.parametrize("seed", seeds(3, 60))
def test_entries_moved_doubled_and_removed_are_exactly_that(seed: int, view: View) -> None:
    rng = random.Random(seed)
    shelf = sorted(view.documents.every(), key=lambda document: document.file)
    for _ in count():
        found = rng.choice(shelf)
        if check_lists(view, form_of(view, found.kind, found.address), rng):
            break


@pytest.mark.parametrize("seed", seeds(1, 6))
def test_lists_of_documents_made_at_random(seed: int, tmp_path: Path) -> None:
    view, rng = open_view(lay_out(seed, tmp_path), "private"), random.Random(seed)
    for form in forms(view):
        check_lists(view, form, rng)


# Mistakes

MISTAKES: dict[str, tuple[str, ...]] = {
    "amount": ("185", "12,5 g", "18o ml", "3 fl oz", "7 parsecs", "-4 g", "a lot", "5 5 min", "1/2", "10:30"),
    "day": ("28.11.2026", "2026-02-30", "tomorrow", "2026-13-01", "11/28/26"),
    "moment": ("2026-02-30 09:00", "noon", "2026-11-28 25:00"),
    "clock": ("6.30", "25:00", "half past"),
    "number": ("two", "1,5", "-1", "0", "2.5"),
    "choice": ("nothing of that", "yess"),
    "reference": ("no-such-thing", "Not A Name", "a/b/c/d"),
    "local": ("no-such-name", "Not A Name"),
}  # fmt: skip


def told_by_check(root: Path, file: str) -> Told:
    return Counter(_said(each) for each in open_view(root, "private").notices if each.file == file)


def _said(notice: Notice) -> tuple[str, str, str]:
    return notice.code, notice.message, notice.help


def check_mistake(view: View, form: Form, rng: random.Random) -> bool:
    """Types a mistake, and compares with what `check` says of the file that says so; False where it is none."""
    fields = [each for each in form.fields if each.kind in MISTAKES and not each.stiff]
    if not fields:
        return False
    field = rng.choice(fields)
    mistake = rng.choice(MISTAKES[field.kind])
    typed: Any = [*field.value, mistake] if field.many else mistake
    found = sent(view, form, as_sent(form, {field.path: typed}))
    assert found.typed is not None
    file, before = view.root / form.file, form.text
    file.write_bytes(found.typed.encode())
    try:
        told = told_by_check(view.root, form.file)
    finally:
        file.write_bytes(before.encode())
    shown = Counter(_said(each) for held in found.notices.values() for each in held)
    was = Counter(_said(each) for each in view.notices if each.file == form.file)
    assert shown == told, (form.file, field.path, mistake)
    # That a locked version was changed is said at its number, whatever was typed.
    new = Counter({said: count for said, count in (told - was).items() if said[0] != "locked-changed"})
    if not new:
        return False
    # What is wrong with two fields that stand on one line, as `wait: 2 h`, or is missing beside one, is told at what holds both.
    near = {field.path[:-1]} if len(field.path) > 1 and isinstance(field.path[-1], str) else set()
    here = Counter(
        _said(each)
        for path, held in found.notices.items()
        for each in held
        if path[: len(field.path)] == field.path or path in near or (path[:-1] in near and each.code == "missing-key")
    )
    assert new & here, (form.file, field.path, mistake, new, found.notices)
    assert found.text is None or not any(_is_error(view, found, each) for each in new)
    return True


def _is_error(view: View, found: Sent, said: tuple[str, str, str]) -> bool:
    return any(each.severity == "error" and _said(each) == said for held in found.notices.values() for each in held)


@pytest.fixture(scope="module")
def books(sample_book: Path, tmp_path_factory: pytest.TempPathFactory) -> Callable[[], View]:
    copied = Path(shutil.copytree(sample_book, tmp_path_factory.mktemp("book") / "book"))
    view = open_view(copied, "private")
    return lambda: view


@pytest.mark.parametrize("seed", seeds(8, 300))
def test_a_mistake_is_told_at_its_field_in_the_words_of_check(seed: int, books: Callable[[], View]) -> None:
    rng, view = random.Random(seed), books()
    shelf = sorted(view.documents.every(), key=lambda document: document.file)
    while True:
        found = rng.choice(shelf)
        if check_mistake(view, form_of(view, found.kind, found.address), rng):
            return


# New ones

NOW = datetime.fromisoformat("2026-05-09 16:20+00:00")


def test_a_new_material_is_written_as_one_begun_at_the_terminal(good_book: Path) -> None:
    view = open_view(good_book, "private")
    form = new_form(view, "material", now=NOW)
    typed = {
        ("title",): "Gel silicone, part C", ("families",): ["platinum-silicone"], ("density",): "1.06 g/ml",
        ("lots",): ["+1"], ("lots", "+1", "lot"): "20E5", ("lots", "+1", "got"): "2026-02-03",
    }  # fmt: skip
    found = sent(view, form, as_sent(form, typed), NOW)
    assert (found.file, found.address, found.was) == (
        "recipes/materials/gel-silicone-part-c.yaml",
        "gel-silicone-part-c",
        None,
    )
    assert (found.text or "").partition("\n\n")[0].splitlines()[2:] == [
        "title: Gel silicone, part C", "families: [platinum-silicone]", "density: 1.06 g/ml", "lots:", "  - {lot: 20E5, got: 2026-02-03}",
    ]  # fmt: skip


def test_a_new_recipe_is_a_draft_whose_steps_and_mixes_have_ids_of_their_own(good_book: Path) -> None:
    view = open_view(good_book, "private")
    form = new_form(view, "recipe", now=NOW)
    typed = {
        NAME: "own", ("title",): "A chin", ("stage",): "cast", ("steps",): ["+1", "+2", "+3"],
        ("steps", "+1", "title"): "Pour it", ("steps", "+2", "title"): "Pour it", ("steps", "+3", "title"): "",
    }  # fmt: skip
    found = sent(view, form, as_sent(form, typed), NOW)
    assert found.file == "recipes/cast/own.yaml"
    raw = read_tree(found.text or "").raw
    assert [step["id"] for step in raw["steps"]] == ["pour-it", "pour-it-2"]
    assert (raw["version"], raw["status"], raw["stage"]) == ("1", "draft", "cast")


def test_a_new_run_is_named_by_its_day_and_may_be_said_as_at_the_bench(good_book: Path) -> None:
    view = open_view(good_book, "private")
    form = new_form(view, "run", now=NOW)
    build = next(iter(view.on("build")))
    pin = form.offers["pins"][0].value
    found = sent(view, form, as_sent(form, {("recipe",): pin, ("started",): "yesterday 14:10", BUILD: build}), NOW)
    name = pin.partition("@")[0].rpartition("/")[2]
    assert re.fullmatch(rf"recipes/builds/{build}/runs/r-2026-05-08-{name}-\d\.yaml", found.file)
    assert "started: 2026-05-08 14:10" in (found.typed or "")
    assert found.stands, found.notices


def test_what_a_new_document_lacks_is_told_at_the_fields(good_book: Path) -> None:
    view = open_view(good_book, "private")
    form = new_form(view, "material")
    found = sent(view, form, as_sent(form, {("title",): "Gel"}))
    assert found.text is None
    assert [each.code for each in found.notices[("families",)]] == ["missing-key"]


def test_one_begun_with_a_text_keeps_its_lines_and_comments(good_book: Path) -> None:
    view = open_view(good_book, "private")
    form = new_form(view, "recipe", text=HEAD + STEPS)
    found = sent(view, form, as_sent(form, {NAME: "begun", ("title",): "B"}))
    assert (found.file, found.was) == ("recipes/cast/begun.yaml", None)
    assert found.typed == (HEAD + STEPS).replace("title: A", "title: B", 1)


def test_hostile_text_in_every_field_is_text(view: View) -> None:
    hostile = "</textarea><script>x</script> {a: b} # c\n- d: [e\n\t\u2028\x07"
    for found in list(view.documents.every())[::10]:
        form = form_of(view, found.kind, found.address)
        for field in form.fields:
            if field.kind == "text" and not field.many:
                became = sent(view, form, as_sent(form, {field.path: hostile}), apart=True)
                assert became.typed is not None, field.path
                here = real_path(form.tree, reread(form, form.text).tree.raw, field.path)
                assert value_at(read_tree(became.typed).raw, here).strip() == hostile.strip(), field.path
