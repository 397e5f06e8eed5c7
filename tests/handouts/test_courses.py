"""A course on paper: every recipe at the version it pins, also when the book has moved on; answers only for the teacher."""

from __future__ import annotations

import shutil
from html import escape
from pathlib import Path

import pytest

from handouts.reading import made, pdf_of, squeezed, words_of
from mothermold.answers.batch import mix_batch
from mothermold.answers.buy_text import pack_words
from mothermold.answers.class_materials import class_materials, materials_for_class
from mothermold.answers.packs_to_buy import pack_row
from mothermold.answers.wishes import BatchAsked
from mothermold.handouts.prose import line_of
from mothermold.model.course import Course
from mothermold.pages.documents import document_page
from mothermold.quantities.wording import weight_in_words
from mothermold.view.view import View, open_view

COURSE = "silicone-pieces-autumn-2026"


@pytest.fixture(
    scope="module",
    params=[("cast/face-piece@4", "finish/prepaint@3"), pytest.param((), marks=pytest.mark.campaign)],
    ids=["two", "all"],
)
def book(request: pytest.FixtureRequest, sample_book: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample book, its course cut down to two recipes; in the campaign whole."""
    if not request.param:
        return sample_book
    copy = Path(shutil.copytree(sample_book, tmp_path_factory.mktemp("course") / "book"))
    file = copy / f"recipes/courses/{COURSE}.yaml"
    text = file.read_text(encoding="utf-8")
    pins = "".join(f"  - {pin}\n" for pin in request.param)
    file.write_text(f"{text[: text.index('pins:')]}pins:\n{pins}{text[text.index('sessions:') :]}", encoding="utf-8")
    return copy


@pytest.fixture(scope="module")
def shown(book: Path) -> View:
    return open_view(book, "private")


@pytest.fixture(scope="module")
def packets(shown: View) -> dict[str, str]:
    return {kind: words_of(pdf_of(shown, COURSE, kind)) for kind in ("student", "teacher", "risk")}


def course_of(view: View) -> Course:
    return view.models(Course)[COURSE]


def said(text: str | None) -> str:
    return squeezed("".join(span for span in line_of(text or "") if isinstance(span, str)))


def test_both_packets_hold_every_recipe_at_its_pinned_version(shown: View, packets: dict[str, str]) -> None:
    for pin in course_of(shown).pins:
        for kind in ("student", "teacher"):
            assert f"Version{pin.version}version{pin.version},locked" in packets[kind]
            assert packets[kind].count(f"{pin.address}@{pin.version}") >= 1, f"{kind} lacks {pin}"
            assert pin.address in packets[kind].partition("Sessions")[2]


def test_questions_stand_in_both_and_answers_only_in_the_teachers(shown: View, packets: dict[str, str]) -> None:
    for session in course_of(shown).sessions:
        for each in session.questions:
            assert said(each.question) in packets["student"]
            assert said(each.question) in packets["teacher"]
            assert said(each.answer) in packets["teacher"]
            assert said(each.answer) not in packets["student"]


def test_a_class_edition_holds_no_answer_in_either(book: Path, shown: View) -> None:
    teacher = words_of(pdf_of(open_view(book, "class"), COURSE, "teacher"))
    answers = [said(each.answer) for session in course_of(shown).sessions for each in session.questions]
    assert [answer for answer in answers if answer in teacher] == []
    assert "noansweriswrittendown" in teacher


def test_the_teachers_packet_tells_times_and_what_goes_wrong_how_often(shown: View, packets: dict[str, str]) -> None:
    assert packets["teacher"].count("Timing,fromthefirstminuteon") == len(course_of(shown).pins)
    assert "Cobwebsintheencapsulant" in packets["teacher"]
    assert "noneof7runs" in packets["teacher"]


def test_a_course_pinned_at_an_older_version_shows_that_and_says_what_is_in_use(own_sample_book: Path) -> None:
    file = own_sample_book / f"recipes/courses/{COURSE}.yaml"
    text = file.read_text(encoding="utf-8")
    pins = text[text.index("pins:") : text.index("sessions:")]
    file.write_text(text[: text.index("pins:")] + "pins: [cast/face-piece@2]\n", encoding="utf-8")
    assert "cast/face-piece@4" in pins
    moved = open_view(own_sample_book, "private")
    packet = words_of(pdf_of(moved, COURSE))
    sheet = words_of(pdf_of(moved, "cast/face-piece@2"))
    assert "cast/face-piece@2locked2026-03-11;version4isinuse" in packet
    steps = sheet[sheet.index("Beforeyoubegin") : sheet.index("Whathappenedthistime")]
    assert steps in packet
    teacher = words_of(pdf_of(moved, COURSE, "teacher"))
    assert "Whatchangedsincetheversionstaught" in teacher
    assert "version2to4" in teacher


def test_the_risk_sheet_of_a_course_tells_each_caution_once_with_every_recipe_that_calls_for_it(
    packets: dict[str, str],
) -> None:
    assert packets["risk"].count("Thevaporcanburn.Noflame") == 1
    assert (
        "Cheeks,jowlsandchininencapsulatedgelsilicone:2.Thinrelease,stippled;3.Spraytheencapsulant" in packets["risk"]
    )


def test_a_recipe_the_edition_does_not_hold_is_said_and_the_rest_is_printed(own_sample_book: Path) -> None:
    course = own_sample_book / f"recipes/courses/{COURSE}.yaml"
    course.write_text(
        "title: Short\nvisibility: class\npins: [finish/prepaint@3, cast/face-piece@4]\n", encoding="utf-8"
    )
    recipe = own_sample_book / "recipes/finish/prepaint.yaml"
    recipe.write_text(
        recipe.read_text(encoding="utf-8").replace("visibility: public", "visibility: private"), encoding="utf-8"
    )
    narrow = open_view(own_sample_book, "class")
    packet = words_of(pdf_of(narrow, COURSE))
    assert "finish/prepaint" not in packet
    assert "cast/face-piece@4" in packet
    assert made(narrow, COURSE).printed.pages > 1


def test_the_buying_list_adds_up_what_the_commands_weigh_times_the_students(own_sample_book: Path) -> None:
    course = own_sample_book / f"recipes/courses/{COURSE}.yaml"
    course.write_text(
        "title: Short\nstudents: 12\nvisibility: class\npins: [cast/face-piece@4, cast/brow-bands@4]\n",
        encoding="utf-8",
    )
    shown = open_view(own_sample_book, "private")
    sheet = words_of(pdf_of(shown, COURSE, "buying"))
    weighed = 0.0
    for recipe in ("cast/face-piece@4", "cast/brow-bands@4"):
        versions = shown.versions(recipe.partition("@")[0])
        assert versions is not None
        row = versions.get(4)
        assert row is not None
        assert row.recipe is not None
        inside = {part.mix for mix in row.recipe.mixes for part in mix.parts}
        for mix in row.recipe.mixes:
            if mix.id not in inside:
                told = mix_batch(shown, recipe, mix.id, BatchAsked(flat=True)).data["parts"]
                weighed += sum(line["grams"] for line in told if line["material"] == "gel-silicone-b")
    assert f"Platinumgelsilicone,partB{squeezed(weight_in_words(weighed))}{weighed * 12 / 1000:.3g}kg1235g" in sheet
    narrow = words_of(pdf_of(open_view(own_sample_book, "class"), COURSE, "buying"))
    assert f"Platinumgelsilicone,partB{squeezed(weight_in_words(weighed))}{weighed * 12 / 1000:.3g}kg" in narrow
    assert "Inhand" not in narrow
    assert "Tobuy" not in narrow


def test_the_buying_list_and_the_page_of_the_course_say_the_same_of_every_material(shown: View) -> None:
    """One answer, two renderers: each row of the page stands on paper as it stands there."""
    rows, unsure = materials_for_class(shown, class_materials(shown, course_of(shown)))
    sheet = words_of(pdf_of(shown, COURSE, "buying"))
    page = document_page(shown, "course", COURSE).body
    assert len(rows) > 10
    for row in rows:
        told = (row.one, row.whole, *(pack_words(pack_row(row.packs))[1:] if row.packs else ()))
        assert squeezed("".join((row.title, *told))) in sheet, row.title
        assert all(escape(each) in page for each in told), row.title
    assert len(unsure) > 1
    for line in unsure:
        assert said(line) in sheet


def test_what_nobody_wrote_an_amount_of_is_listed_and_not_counted_as_none(own_sample_book: Path) -> None:
    recipe = own_sample_book / "recipes/cast/ear-tip.yaml"
    recipe.write_text(
        "title: Ear tip\nstage: cast\nversion: 1\nstatus: locked\n"
        "steps:\n  - {id: wipe, title: Wipe it, uses: [{material: isopropanol-99, as: degrease}]}\n",
        encoding="utf-8",
    )
    course = own_sample_book / f"recipes/courses/{COURSE}.yaml"
    course.write_text("title: Short\npins: [cast/ear-tip@1]\n", encoding="utf-8")
    sheet = words_of(pdf_of(open_view(own_sample_book, "private"), COURSE, "buying"))
    assert "Notcounted,andwhy•Isopropanol,99%:inEartipstepwipedoesnotsayhowmuchittakes." in sheet
    assert "Thecoursedoesnotsayhowmanystudentsthereare" in sheet


def test_the_teachers_packet_has_lines_for_consent_where_anything_is_done_on_somebody(own_sample_book: Path) -> None:
    course = own_sample_book / f"recipes/courses/{COURSE}.yaml"
    for pin, there in (("application/full-face@5", True), ("cast/face-piece@4", False)):
        course.write_text(f"title: Short\nstudents: 12\npins: [{pin}]\n", encoding="utf-8")
        sheet = words_of(pdf_of(open_view(own_sample_book, "private"), COURSE, "teacher"))
        assert ("Consentandpatchtests,bycode" in sheet) == there
