"""A form shows every field of its kind, with a label, how it is typed, what it says and what can be chosen."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest

from desk.forms.as_sent import as_sent
from mothermold.desk.forms.form import Form, FormEntry, FormField, FormGroup, FormList, FormPart
from mothermold.desk.forms.layouts import FIRST, LABELS, LAYOUTS, REST, asks
from mothermold.desk.forms.making import filled, form_of, new_form
from mothermold.desk.forms.offering import USUAL_UNITS
from mothermold.desk.forms.sending import sent
from mothermold.desk.forms.shapes import every_shape, shapes
from mothermold.desk.forms.trees import name_of, path_of
from mothermold.ground.errors import RefusedError
from mothermold.model.kinds import KINDS
from mothermold.model.traits import places
from mothermold.model.walk import KeyPath
from mothermold.quantities import parse
from mothermold.view.view import View, open_view

each_kind = pytest.mark.parametrize("kind", KINDS)


def all_parts(parts: Iterable[FormPart]) -> Iterator[FormPart]:
    """Every part, those of new entries too."""
    for part in parts:
        yield part
        if isinstance(part, FormGroup):
            yield from all_parts(part.parts)
        elif isinstance(part, FormList):
            yield from all_parts(part.blank.parts)


def place(path: KeyPath) -> str:
    return ".".join(step for step in path if isinstance(step, str) and "+" not in step)


def field(form: Form, *path: str | int) -> FormField:
    return next(each for each in form.fields if each.path == path)


@each_kind
def test_every_field_the_model_knows_is_in_the_form_once(kind: str, view: View) -> None:
    form = new_form(view, kind)
    parts = [part for section in form.sections for part in all_parts(section.parts)]
    shown = [place(part.path) for part in parts if isinstance(part, FormField) and not place(part.path).startswith("_")]
    asked = [each.at for each in every_shape(shapes(kind)) if not each.inner]
    assert sorted(shown) == sorted(asked)
    assert len(shown) >= 6


@each_kind
def test_what_stays_with_the_owner_is_in_the_owners_form(kind: str, view: View) -> None:
    parts = [part for section in new_form(view, kind).sections for part in all_parts(section.parts)]
    shown = {place(part.path) for part in parts}
    assert {".".join(each) for each in places(KINDS[kind].model, "own")} <= shown


@each_kind
def test_a_field_the_layout_does_not_name_follows_folded(kind: str, view: View) -> None:
    form = new_form(view, kind)
    named = {key for _title, keys in LAYOUTS[kind] for key in keys.split()}
    rest = form.sections[-1]
    assert (rest.title, rest.folded) == (REST, True)
    assert {part.path[0] for part in rest.parts} == set(shapes(kind)) - named
    assert rest.parts
    assert not any(section.folded for section in form.sections[:-1])


def test_a_kind_without_a_layout_has_all_its_fields_in_one_section(view: View, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delitem(LAYOUTS, "course")  # type: ignore[arg-type]
    _names, rest = new_form(view, "course").sections
    assert [part.path[0] for part in rest.parts] == list(shapes("course"))
    assert not rest.folded


def test_the_layouts_speak_of_nothing_the_model_does_not_know() -> None:
    known = {f"{kind}.{each.at}" for kind in KINDS for each in every_shape(shapes(kind))}
    keys = {each.rpartition(".")[2] for each in known}
    assert {f"{kind}.{key}" for kind, rows in LAYOUTS.items() for _title, keys in rows for key in keys.split()} <= known
    assert {f"{at}.{key}" for at, keys in FIRST.items() for key in keys.split()} <= known
    assert {each for each in LABELS if each not in known} <= keys
    assert set(LAYOUTS) == set(KINDS)
    assert {f"{kind}.{key}" for kind in KINDS for key in asks(kind)} <= known


@each_kind
def test_every_field_has_a_label_and_says_what_belongs_in_it(kind: str, view: View) -> None:
    for section in new_form(view, kind).sections:
        for part in all_parts(section.parts):
            assert part.label[:1].isupper() or part.label[:1].isdigit(), part.path
            assert not set("{}_:") & set(part.label), part
            assert part.help, part.path


def test_a_question_of_the_terminal_and_a_field_are_called_the_same(view: View) -> None:
    assert (
        field(new_form(view, "material"), "density").label == str(asks("material")["density"].words).partition(" (")[0]
    )
    assert field(new_form(view, "run"), "conditions", "room").help == "The room. Like 21 degC."
    assert field(new_form(view, "mold"), "bolts").label == "How many bolts or clamps close it"


@each_kind
def test_words_are_offered_where_nothing_else_may_stand_and_nothing_is_offered_twice(kind: str, view: View) -> None:
    form = new_form(view, kind)
    for section in form.sections:
        for part in all_parts(section.parts):
            if isinstance(part, FormField) and part.offers:
                values = [offer.value for offer in form.offers[part.offers]]
                assert values
                assert len(values) == len(set(values)) or part.offers == "lots", part.path
            if isinstance(part, FormField) and not part.own:
                assert part.offers, part.path


def test_what_the_book_has_is_offered(view: View) -> None:
    form = form_of(view, "recipe", "cast/face-piece")
    uses = next(each for each in form.fields if each.path[-1] == "material" and "uses" in each.path)
    assert {offer.value for offer in form.offers[uses.offers]} == set(view.on("material"))
    mix = next(each for each in form.fields if each.path[-2:] == ("wait", "demold"))
    assert [offer.value for offer in form.offers[mix.offers]] == [row["id"] for row in form_raw(view, form)["mixes"]]
    assert "the-rest" in [offer.value for offer in form.offers["parts"]]
    assert [offer.value for offer in form.offers["stages"]] == list(view.words.stages)


def form_raw(view: View, form: Form) -> dict[str, list[dict[str, str]]]:
    return view.on(form.kind)[form.address].raw


def test_a_run_is_offered_the_steps_and_mixes_of_its_recipe_and_the_things_of_its_build(view: View) -> None:
    for name, run in sorted(view.on("run").items()):
        form = form_of(view, "run", name)
        if run.raw.get("recipe") and "went_wrong" in run.raw and form.offers.get("steps"):
            recipe = view.on("recipe")[run.raw["recipe"].partition("@")[0]]
            known = {step["id"] for step in recipe.raw["steps"]}
            assert {offer.value for offer in form.offers["steps"]} & known
            return
    pytest.fail("the sample has a run that went wrong")


@pytest.mark.parametrize(("dimension", "units"), USUAL_UNITS.items())
def test_every_usual_unit_is_read(dimension: str, units: tuple[str, ...]) -> None:
    for unit in units:
        assert parse(f"2 {unit}", (dimension,)).dimension == dimension  # type: ignore[arg-type]


def test_a_value_is_shown_as_it_is_written_and_never_as_it_is_understood(good_book: Path) -> None:
    file = good_book / "recipes/materials/odd.yaml"
    file.write_text(
        "title: Odd\nfamilies: gel\nlots:\n  - {lot: 20E5}\n  - lot: 0030\n    left: 0.50 kg   # half\nvapor: {substance: acetone}\n",
        encoding="utf-8",
    )
    form = form_of(open_view(good_book, "private"), "material", "odd")
    assert field(form, "families").value == ("gel",)
    assert [field(form, "lots", place, "lot").value for place in (0, 1)] == ["20E5", "0030"]
    assert field(form, "lots", 1, "left").value == "0.50 kg"
    assert field(form, "vapor", 0, "substance").value == "acetone"


def test_a_short_form_and_counts_by_kind_are_shown_in_their_fields(good_book: Path) -> None:
    file = good_book / "recipes/cast/short.yaml"
    file.write_text(
        "title: A\nstage: cast\nversion: 1\nstatus: draft\nyields: {left: 3, right: 4}\n"
        "mixes:\n  - id: m\n    parts: []\n    allowance: 10 %\nsteps:\n  - {id: a, title: A, wait: 30 min}\n",
        encoding="utf-8",
    )
    form = form_of(open_view(good_book, "private"), "recipe", "cast/short")
    assert field(form, "yields").value == "left: 3, right: 4"
    assert field(form, "mixes", 0, "allowance", "percent").value == "10 %"
    assert field(form, "steps", 0, "wait", "time").value == "30 min"


def test_what_no_field_can_hold_is_said_to_stand_in_the_file(good_book: Path) -> None:
    file = good_book / "recipes/materials/odd.yaml"
    file.write_text("title: [a, b]\nfamilies: gel\ndensity:\nnonsense: {a: b}\n", encoding="utf-8")
    form = form_of(open_view(good_book, "private"), "material", "odd")
    assert field(form, "title").stiff
    assert not field(form, "density").stiff
    told = {path: [each.code for each in held] for path, held in form.notices.items()}
    assert told == {("title",): ["wrong-shape"], ("density",): ["empty-value"], ("nonsense",): ["unknown-key"]}


def test_a_broken_file_is_its_text_with_what_is_wrong(good_book: Path) -> None:
    file = good_book / "recipes/materials/odd.yaml"
    file.write_text("title: [a\nfamilies: gel\n", encoding="utf-8")
    form = form_of(open_view(good_book, "private"), "material", "odd")
    assert form.sections == ()
    assert form.text == "title: [a\nfamilies: gel\n"
    assert [each.code for each in form.notices[()]] == ["broken-layout"]


def test_a_document_that_is_not_there_is_refused(view: View) -> None:
    with pytest.raises(RefusedError):
        form_of(view, "material", "nothing-of-the-kind")


def test_a_new_entry_has_the_fields_of_the_others_in_the_same_order(view: View) -> None:
    form = form_of(view, "recipe", "cast/face-piece")
    steps = next(part for section in form.sections for part in section.parts if part.path == ("steps",))
    assert isinstance(steps, FormList)
    assert steps.one == "step"
    assert [part.label for part in steps.blank.parts] == [part.label for part in steps.entries[0].parts]
    assert isinstance(steps.blank, FormEntry)
    assert steps.blank.parts[0].path == ("steps", "+", "title")
    assert [part.label for part in steps.entries[0].parts if not part.folded][:2] == [
        "What is done",
        "How it is done, in a line",
    ]


def test_names_of_fields_are_read_back() -> None:
    for path in (("steps", 2, "uses", "+1", "amount"), ("title",), ("steps", "2+1", "on")):
        assert path_of(name_of(path)) == path


def test_a_form_is_shown_again_with_what_was_typed_and_entries_nothing_was_typed_into(view: View) -> None:
    form = form_of(view, "recipe", "cast/face-piece")
    order = [str(entry.path[-1]) for entry in steps_of(form).entries]
    typed = {("title",): "Anew", ("steps",): [*order[1:], "+1", "0", "1+2"], ("steps", 1, "title"): "Other"}
    again = filled(view, form, as_sent(form, typed))
    assert field(again, "title").value == "Anew"
    assert [str(entry.path[-1]) for entry in steps_of(again).entries] == [*order[1:], "+1", "0", "1+2"]
    assert field(again, "steps", 1, "title").value == "Other"
    assert field(again, "steps", "+1", "title").value == ""
    assert field(again, "steps", "1+2", "do").value == field(form, "steps", 1, "do").value
    assert (again.text, again.digest, again.tree) == (form.text, form.digest, form.tree)
    # What is sent of the form shown again means the same as what was sent before.
    assert sent(view, form, as_sent(again)).typed == sent(view, form, as_sent(form, typed)).typed


def steps_of(form: Form) -> FormList:
    found = next(part for section in form.sections for part in section.parts if part.path == ("steps",))
    assert isinstance(found, FormList)
    return found
