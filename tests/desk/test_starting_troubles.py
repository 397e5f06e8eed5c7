"""A trouble that runs told of in free words gets its note: the runs come to name it, and its page counts them."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import pytest

from desk.sitting import NOW, Answers, begin, files, small_shop
from mothermold.answers.records import runs_with
from mothermold.cli.asking import Terminal
from mothermold.desk.starting import start
from mothermold.model.failure import Failure
from mothermold.view.view import open_view

RUN = """\
id: {id}
kind: run
recipe: cast/cheek@2
started: {day} 09:00
outcome: usable
went_wrong:
  # seen in the evening
  - what: {what}    # at the chin
    step: open
  - failure: torn-edge
"""


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    return small_shop(tmp_path / "shop")


def told(shop: Path, name: str, day: str, what: str) -> Path:
    file = shop / "recipes" / "runs" / f"{name}.yaml"
    file.write_text(RUN.format(id=name, day=day, what=what))
    return file


NOTE = ["soft all round", "sticky rim", ""]
REST = ["", "", "", "", "", "", ""]
"""Stage, step, what to do, harm, what helps, the name, and the yes at the end."""


def test_the_run_that_told_of_it_comes_to_name_the_note_and_only_its_line_changes(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    file = told(shop, "r-1", "2026-05-24", "Sticky rim where it touched the mold")
    before = files(shop)
    note = begin(shop, "failure", [*NOTE, "Sticky rim", "yes", *REST], monkeypatch)
    after = files(shop)
    assert {name for name in after if after[name] != before.get(name)} == {note.file, "recipes/runs/r-1.yaml"}
    assert file.read_text() == RUN.format(
        id="r-1", day="2026-05-24", what="Sticky rim where it touched the mold"
    ).replace("  - what", "  - failure: sticky-rim\n    what")
    out = capsys.readouterr().out
    cite = "A run of 2026-05-24 (Cheek piece in encapsulated gel silicone) says:"
    assert f"{cite} “Sticky rim where it touched the mold”\nIs it this? [yes]" in out
    shown = out.partition("recipes/runs/r-1.yaml will name it:")[2].partition("Write it?")[0]
    assert "  - failure: sticky-rim\n    what: Sticky rim" in shown, "the change is shown before it is made"
    assert "recipes/runs/r-1.yaml names it now." in out


def test_the_page_of_the_note_counts_the_run(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    told(shop, "r-1", "2026-05-24", "Sticky rim")
    note = begin(shop, "failure", [*NOTE, "Sticky rim", "yes", *REST], monkeypatch)
    assert (note.raw["seen_at"], note.raw["noticed"]) == ("cast", ["cast/cheek#open"])
    view = open_view(shop, "private")
    assert isinstance(note.model, Failure)
    assert [(each.version, each.tally.failed) for each in view.evidence.of(note.address).by_version] == [(2, 1)]
    assert [str(run.id) for run, _entry in runs_with(view, note.address)] == ["r-1"]


def test_the_nearest_words_are_asked_about_first_then_the_newest(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    told(shop, "r-1", "2026-05-01", "the rim stuck, soft and sticking")
    told(shop, "r-2", "2026-05-02", "rim too thick")
    told(shop, "r-3", "2026-05-03", "a rim with a step")
    told(shop, "r-4", "2026-05-04", "a soft rim, not this time")
    told(shop, "r-5", "2026-05-05", "hair came out")
    begin(shop, "failure", [*NOTE, "", "no", "yes", "yes", *REST], monkeypatch)
    out = capsys.readouterr().out
    assert re.findall(r"A run of (\S+)", out) == ["2026-05-01", "2026-05-04", "2026-05-03"]
    assert [str(run.id) for run, _entry in runs_with(open_view(shop, "private"), "soft-all-round")] == ["r-4", "r-3"]


def test_with_no_word_in_common_the_newest_is_asked_about_and_enter_means_no(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    file = told(shop, "r-1", "2026-05-01", "hair came out")
    told(shop, "r-0", "2026-04-01", "lifted at the mouth")
    before = file.read_text()
    begin(shop, "failure", [*NOTE, "", "", "cast", *REST[1:]], monkeypatch)
    assert file.read_text() == before
    out = capsys.readouterr().out
    assert out.count("A run of") == 1
    assert "“hair came out”\nIs it this? [no]" in out


def test_a_no_to_what_went_wrong_is_no_trouble(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    run = begin(
        shop, "run", ["", "none", "cast/cheek@2", "", "", "", "", "", "", "no", "n", "", "", "", "", ""], monkeypatch
    )
    assert "went_wrong" not in run.raw
    assert capsys.readouterr().out.count("Type it in words, or Enter.") == 2


def test_a_yes_and_a_no_are_no_symptoms(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    note = begin(shop, "failure", ["yes", "soft", "n", "", "", "cast", *REST[1:]], monkeypatch)
    assert note.raw["symptoms"] == ["soft"]


def test_nothing_is_asked_where_no_run_tells_of_a_trouble_without_a_note(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    begin(shop, "failure", [*NOTE, "", "cast", *REST[1:]], monkeypatch)
    assert "Is it this?" not in capsys.readouterr().out


def test_a_no_at_the_end_leaves_the_run_as_it_is(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    told(shop, "r-1", "2026-05-24", "Sticky rim")
    before = files(shop)
    monkeypatch.setattr(sys, "stdin", Answers([*NOTE, "", "yes", *REST[:-1], "no"]))
    assert start(shop, Terminal(), "failure", now=NOW) is None
    assert files(shop) == before


def test_a_run_that_changed_meanwhile_is_left_alone_and_the_note_is_kept(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    file = told(shop, "r-1", "2026-05-24", "Sticky rim")

    class Meanwhile(Answers):
        def readline(self, *_args: object) -> str:  # type: ignore[override]
            line = super().readline()
            if line == "sticky-again\n":
                file.write_text("changed by hand\n")
            return line

    monkeypatch.setattr(sys, "stdin", Meanwhile([*NOTE, "", "yes", *REST[:-2], "sticky-again", ""]))
    path = start(shop, Terminal(), "failure", now=NOW)
    assert path is not None
    assert path.name == "sticky-again.yaml"
    assert file.read_text() == "changed by hand\n"
    out = capsys.readouterr().out
    assert "recipes/runs/r-1.yaml was changed meanwhile, so it was left as it is." in out
    assert "Type `failure: sticky-again` in its entry under `went_wrong`." in out


def test_two_entries_of_one_run_are_named_together(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = told(shop, "r-1", "2026-05-24", "Sticky rim")
    file.write_text(file.read_text().replace("  - failure: torn-edge\n", "  - what: soft at the rim\n"))
    begin(shop, "failure", [*NOTE, "Sticky rim", "yes", "yes", *REST], monkeypatch)
    assert file.read_text().count("failure: sticky-rim") == 2


def test_a_run_whose_file_goes_by_another_name_is_found_all_the_same(
    shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = told(shop, "r-1", "2026-05-24", "Sticky rim").rename(shop / "recipes" / "runs" / "r-2.yaml")
    begin(shop, "failure", [*NOTE, "Sticky rim", "yes", *REST], monkeypatch)
    assert "failure: sticky-rim" in file.read_text()


def test_a_run_that_is_gone_meanwhile_is_told(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    file = told(shop, "r-1", "2026-05-24", "Sticky rim")

    class Meanwhile(Answers):
        def readline(self, *_args: object) -> str:  # type: ignore[override]
            line = super().readline()
            if line == "sticky-again\n":
                file.unlink()
            return line

    monkeypatch.setattr(sys, "stdin", Meanwhile([*NOTE, "", "yes", *REST[:-2], "sticky-again", ""]))
    assert start(shop, Terminal(), "failure", now=NOW) is not None
    assert "recipes/runs/r-1.yaml was changed meanwhile" in capsys.readouterr().out
    assert not file.exists()
