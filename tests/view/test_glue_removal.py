"""Every glue a look puts on skin comes off by a removal of the same look, or it is said."""

from __future__ import annotations

from pathlib import Path

import pytest

from mothermold.trade.skin import removers
from mothermold.trade.vocabulary import FAMILIES
from mothermold.view.view import open_view
from view.looks import BUILD, CLEARED, lay_out, said, sheet, write

CODE = "glue-without-removal"


def test_a_look_with_a_remover_for_each_glue_has_nothing_to_say(tmp_path: Path) -> None:
    book = lay_out(tmp_path)
    told = [each for each in open_view(book, "private").notices if each.severity != "advice"]
    assert [each for each in told if each.code != "no-way-off"] == []
    assert said(book, CODE) == []


@pytest.mark.parametrize(
    ("left", "glue", "step"),
    [
        ("removal/face@1", "adhesive-silicone", "application/nose@1#nose"),
        ("removal/nose@1", "adhesive-acrylic", "application/face@1#face"),
    ],
)
def test_deleting_one_of_two_removals_leaves_its_glue_on(tmp_path: Path, left: str, glue: str, step: str) -> None:
    book = lay_out(tmp_path, BUILD.replace("[removal/nose@1, removal/face@1]", left) + CLEARED)
    (notice,) = said(book, CODE)
    assert notice.severity == "warning"
    assert (notice.file, notice.line) == ("recipes/builds/night-watchman/build.yaml", 14)
    assert notice.message == f"`{glue}` goes on skin in `{step}`, and `{left}` does not take it off."
    assert removers()[glue].words in notice.help


def test_a_look_without_any_removal_is_said_for_every_glue(tmp_path: Path) -> None:
    build = BUILD.replace("    removal: [removal/nose@1, removal/face@1]\n", "")
    book = lay_out(tmp_path, build + CLEARED)
    notices = said(book, CODE)
    assert [notice.severity for notice in notices] == ["warning", "warning"]
    assert all("the look `full` has no removal" in notice.message for notice in notices)


def test_what_is_glued_again_through_the_day_must_come_off_too(tmp_path: Path) -> None:
    book = lay_out(tmp_path, BUILD.replace("    removal", "    wear: wear/day@1\n    removal") + CLEARED)
    sheet(book, "wear/day", "adhesive-spirit-gum")
    assert said(book, CODE) == []  # the ester takes rosin off
    sheet(book, "removal/face", "soap")
    wanted = ["adhesive-acrylic", "adhesive-spirit-gum"]
    assert sorted(notice.message.split("`")[1] for notice in said(book, CODE)) == wanted


def test_an_application_alone_is_not_judged(tmp_path: Path) -> None:
    book = lay_out(tmp_path)
    (book / "recipes/builds/night-watchman/build.yaml").unlink()
    assert said(book, CODE) == []


@pytest.mark.parametrize(
    ("glue", "remover", "verdict"),
    [
        ("adhesive-silicone", "remover-ester", "warning"),
        ("adhesive-acrylic", "remover-silicone", "warning"),
        ("adhesive-acrylic", "water", "warning"),
        ("adhesive-silicone", "remover-solvent", "advice"),
        ("natural-latex", "remover-ester", None),
        ("natural-latex", "remover-silicone", "warning"),
        ("tape", "remover-ester", None),
        ("adhesive-spirit-gum", "remover-solvent", None),
    ],
)
def test_each_glue_asks_for_its_own_remover(tmp_path: Path, glue: str, remover: str, verdict: str | None) -> None:
    book = lay_out(tmp_path, BUILD.replace(", application/nose@1", "").replace("removal/nose@1, ", "") + CLEARED)
    sheet(book, "application/face", glue, role="attach")
    sheet(book, "removal/face", remover)
    assert [notice.severity for notice in said(book, CODE)] == ([verdict] if verdict else [])


def test_glue_stippled_over_an_edge_as_a_seal_is_on_the_skin_too(tmp_path: Path) -> None:
    build = BUILD.replace("[removal/nose@1, removal/face@1]", "removal/nose@1") + CLEARED
    book = lay_out(tmp_path, build)
    sheet(book, "application/face", "adhesive-acrylic", role="seal")
    assert "`adhesive-acrylic`" in said(book, CODE)[0].message
    # On the piece alone it is a layer of the piece.
    sheet(book, "application/face", "adhesive-acrylic", role="prime", on="back", piece="face")
    assert said(book, CODE) == []


def test_remover_for_the_lace_alone_takes_nothing_off_the_skin(tmp_path: Path) -> None:
    book = lay_out(tmp_path)
    sheet(book, "removal/face", "remover-ester", role="soak", on="hair")
    assert [notice.message.split("`")[1] for notice in said(book, CODE)] == ["adhesive-acrylic"]
    sheet(book, "application/face", "adhesive-acrylic", on="hair")
    assert said(book, CODE) == []


def test_what_comes_off_the_hair_is_not_off_the_skin_where_the_same_glue_was_used(tmp_path: Path) -> None:
    book = lay_out(tmp_path)
    sheet(book, "application/nose", "adhesive-acrylic", on="hair")
    sheet(book, "removal/face", "remover-ester", role="soak", on="hair")
    (notice,) = said(book, CODE)
    assert notice.message.startswith("`adhesive-acrylic` goes on skin in `application/face@1#face`, and")


def test_a_removal_that_speaks_of_another_piece_alone_leaves_this_one_on(tmp_path: Path) -> None:
    build = BUILD.replace("removal/nose@1, ", "") + CLEARED
    book = lay_out(tmp_path, build)
    sheet(book, "application/face", "adhesive-acrylic", on="[skin, back]", piece="face")
    sheet(book, "application/nose", "adhesive-acrylic", on="[skin, back]", piece="nose")
    sheet(book, "removal/face", "remover-ester", on="[skin, back]", piece="face")
    (notice,) = said(book, CODE)
    assert "`removal/face@1` takes it off other pieces and not off `nose`" in notice.message
    sheet(book, "removal/face", "remover-ester")  # the skin, whatever lies on it
    assert said(book, CODE) == []


def test_a_painted_face_comes_off_as_the_face_does(tmp_path: Path) -> None:
    painted = "  - {id: painted, recipe: cast/cheek@2, from: face}\nlooks:"
    book = lay_out(
        tmp_path, BUILD.replace("looks:", painted).replace("- {thing: face}", "- {thing: painted}") + CLEARED
    )
    sheet(book, "application/face", "adhesive-acrylic", on="[skin, back]", piece="painted")
    sheet(book, "removal/face", "remover-ester", on="[skin, back]", piece="face")
    assert said(book, CODE) == []


def test_a_removal_that_cannot_be_read_is_not_known_and_not_fine(tmp_path: Path) -> None:
    book = lay_out(tmp_path)
    file = book / "recipes/removal/nose.yaml"
    file.write_text(file.read_text(encoding="utf-8") + "no-such-key: 1\n", encoding="utf-8")
    (notice,) = said(book, CODE)
    assert notice.severity == "advice"
    assert (
        notice.message
        == "`adhesive-silicone` goes on skin in `application/nose@1#nose`; whether it comes off again is not known."
    )
    assert notice.help.startswith("Removal 1 is not in the book")


def test_an_application_that_cannot_be_read_is_not_known_and_not_fine(tmp_path: Path) -> None:
    book = lay_out(tmp_path)
    file = book / "recipes/application/nose.yaml"
    file.write_text(file.read_text(encoding="utf-8") + "no-such-key: 1\n", encoding="utf-8")
    (notice,) = said(book, CODE)
    assert (notice.severity, "application 2 of the look `full`" in notice.message) == ("advice", True)


def test_a_glue_of_no_known_kind_is_said_as_not_known(tmp_path: Path) -> None:
    book = lay_out(tmp_path)
    sheet(book, "application/nose", "gel-silicone-a")
    (notice,) = said(book, CODE)
    assert (notice.severity, "what takes it off again is not known" in notice.message) == ("advice", True)


def test_one_look_in_the_old_form_reads_as_before(tmp_path: Path) -> None:
    one = BUILD.replace("[application/face@1, application/nose@1]", "application/face@1")
    book = lay_out(tmp_path, one.replace("[removal/nose@1, removal/face@1]", "removal/face@1") + CLEARED)
    assert said(book, CODE, "not-cleared") == []
    sheet(book, "removal/face", "soap")
    (bitten,) = said(book, "glue-with-soap-alone")
    assert (bitten.file, bitten.line) == ("recipes/builds/night-watchman/build.yaml", 14)


def test_rules_follow_every_sheet_of_a_look_in_their_order(tmp_path: Path) -> None:
    book = lay_out(tmp_path)
    links = open_view(book, "private").ruling.build("night-watchman")
    assert [(link.path[2:], link.ref) for link in links if link.path[0] == "looks"] == [
        (("application", 0), "application/face@1"),
        (("application", 1), "application/nose@1"),
        (("removal", 0), "removal/nose@1"),
        (("removal", 1), "removal/face@1"),
    ]
    # What the second sheet off meets is what both sheets on have left: soap on the face's acrylic glue.
    sheet(book, "removal/nose", "soap")
    (bitten,) = said(book, "glue-with-soap-alone")
    assert bitten.message.startswith("`soap` meets `adhesive-acrylic` on `skin`")


def test_an_edition_that_hides_one_removal_does_not_say_the_other_is_missing(tmp_path: Path) -> None:
    book = lay_out(tmp_path)
    file = book / "recipes/removal/nose.yaml"
    file.write_text(file.read_text(encoding="utf-8").replace("public", "private"), encoding="utf-8")
    public = open_view(book, "public")
    assert [notice for notice in public.notices if notice.code == CODE] == []
    look = public.documents.on("build")["night-watchman"].model.looks[0]  # type: ignore[union-attr]
    assert look.removal == ("removal/face@1",)


def test_every_row_of_the_table_is_told_whole() -> None:
    for glue, row in removers().items():
        assert {glue, *row.by, *row.ask} <= set(FAMILIES)
        assert row.by
        assert not row.by & row.ask
        assert row.words
        assert row.source
    assert "remover-ester" not in removers()["adhesive-silicone"].by
    assert "remover-silicone" not in removers()["adhesive-acrylic"].by


def test_a_missing_removal_is_not_known(tmp_path: Path) -> None:
    book = lay_out(tmp_path, BUILD.replace("removal/nose@1", "removal/nose@7") + CLEARED)
    assert [notice.severity for notice in said(book, CODE)] == ["advice"]
    write(book, "builds/night-watchman/build", BUILD + CLEARED)
    assert said(book, CODE) == []
