"""`save` gives a changed recipe its next number, says in words what changed, and never leaves half of anything."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from desk.answering import STOP, Scripted, noon
from history.command_line import plain_environment
from history.repositories import (
    FIRST,
    RECIPE,
    SECOND,
    THIRD,
    Repository,
    copy_without_git,
    empty_book,
    placed,
    recipe,
    start_repository,
)
from mothermold.cli.main import main
from mothermold.desk.asking import StoppedError
from mothermold.desk.founding import found_book
from mothermold.desk.numbering import Wish
from mothermold.desk.save_message import Told, cut, first_line
from mothermold.desk.saving import save_book
from mothermold.ground.errors import CannotRunError, RefusedError
from mothermold.history.plumbing import Plumbing
from mothermold.view.view import open_view

NOTE = "recipes/failures/air-at-cheek.yaml"
YES = {"Save this": True}
NEXT = {"next number": "next", "Why does": "The edge was hard.", "Which failures": (), "locked?": None}


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    """A book whose cheek piece has two locked versions."""
    repository = start_repository(tmp_path / "book")
    repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    repository.save(SECOND, {RECIPE: recipe(2, why="Softer.", fixes=["air-at-cheek"], deadener="80 %")})
    return repository


CHANGED = recipe(2, why="Softer.", fixes=["air-at-cheek"], deadener="90 %")


def save(repository: Repository, answers: Mapping[str, Any] | None = None, **wish: Any) -> Scripted:
    """Saves, asking where answers are given."""
    asking = Scripted(answers)
    save_book(repository.folder, Wish(**wish), asking, asks=answers is not None, clock=noon)
    return asking


def text(repository: Repository, file: str = RECIPE) -> str:
    return (repository.folder / file).read_text()


def saved(repository: Repository) -> str:
    return repository.git("log", "-1", "--format=%B").strip()


def saves(repository: Repository) -> int:
    return int(repository.git("rev-list", "--count", "HEAD"))


def numbers(repository: Repository) -> list[tuple[int, str, bool]]:
    versions = open_view(repository.folder, "private").versions("cast/cheek")
    assert versions is not None
    return [(row.number, row.status, row.working_tree) for row in versions.rows]


def refusal(repository: Repository, answers: Mapping[str, Any] | None = None, **wish: Any) -> list[str]:
    with pytest.raises(RefusedError) as refused:
        save(repository, answers, **wish)
    return [notice.code for notice in refused.value.notices]


# A changed recipe under a locked number


def test_a_change_under_a_locked_number_is_saved_under_the_next(repository: Repository) -> None:
    repository.write({RECIPE: "# mine\n" + CHANGED})
    asking = save(repository, {**NEXT, **YES})
    assert text(repository) == "# mine\n" + CHANGED.replace("version: 2", "version: 3").replace(
        "why: Softer.\nfixes: [air-at-cheek]\n", "why: The edge was hard.\n"
    )
    assert saved(repository) == (
        "Small cheek piece, version 3: Deadener fluid 80 % → 90 % of Platinum …\n"
        "\n"
        "The edge was hard.\n"
        "\n"
        "Small cheek piece, version 3 (cast/cheek)\n"
        "- Base silicone: Deadener fluid 80 % → 90 % of Platinum gel silicone,\n"
        "  part A."
    )
    assert numbers(repository) == [(1, "locked", False), (2, "locked", False), (3, "locked", False)]
    assert asking.said[0] == "cast/cheek: version 2 is locked, and what it says was changed since it was saved."
    assert asking.said[-1] == "Look at it with `mothermold diff cast/cheek 2 3`."
    assert repository.git("status", "--porcelain") == ""


def test_it_answers_the_failures_that_are_chosen(repository: Repository) -> None:
    repository.write({RECIPE: recipe(2, why="Softer.", deadener="90 %")})
    save(repository, {**NEXT, **YES, "Which failures": ("air-at-cheek",), "What to do now about": None})
    assert "version: 3\nstatus: locked\nwhy: The edge was hard.\nfixes: [air-at-cheek]\n" in text(repository)


def test_a_reason_and_fixes_written_anew_by_hand_are_kept_and_not_asked_for(repository: Repository) -> None:
    repository.save(THIRD, {"recipes/failures/rim.yaml": "title: Hard rim\nseen_at: cast\nsymptoms: [rim]\n"})
    repository.write({RECIPE: recipe(2, why="Hard at the rim.", fixes=["rim"], deadener="90 %")})
    save(repository, {"next number": "next", "locked?": True, "What to do now about": None, **YES})
    assert text(repository) == recipe(3, why="Hard at the rim.", fixes=["rim"], deadener="90 %")


def test_a_slip_of_the_pen_keeps_its_number(repository: Repository) -> None:
    repository.write({RECIPE: CHANGED})
    save(repository, {"next number": "keep", "A word": "Typed wrongly.", **YES})
    assert text(repository) == CHANGED
    assert saved(repository).startswith("Typed wrongly.\n\nSmall cheek piece, version 2 corrected (cast/cheek)\n- ")
    versions = open_view(repository.folder, "private").versions("cast/cheek")
    assert versions is not None
    assert [len(row.amendments) for row in versions.rows] == [0, 1]


def test_it_may_become_a_draft_instead(repository: Repository) -> None:
    repository.write({RECIPE: CHANGED})
    save(repository, {**NEXT, **YES, "locked?": False})
    assert "version: 3\nstatus: draft\n" in text(repository)
    assert saved(repository).startswith("Draft of Small cheek piece, version 3: ")
    assert numbers(repository)[-1] == (3, "draft", False)


def test_a_draft_on_a_locked_number_becomes_the_next_draft(repository: Repository) -> None:
    repository.write({RECIPE: CHANGED.replace("locked", "draft")})
    asking = save(repository, {**NEXT, **YES})
    assert "version 2 is locked, and it was made a draft again" in asking.told
    assert "version: 3\nstatus: draft\n" in text(repository)


def test_a_draft_on_a_locked_number_may_be_locked_again_as_a_slip(repository: Repository) -> None:
    repository.write({RECIPE: CHANGED.replace("locked", "draft")})
    save(repository, keep_number=True)
    assert text(repository) == CHANGED


def test_the_next_number_is_behind_all_that_were_ever_carried_withdrawn_ones_too(repository: Repository) -> None:
    repository.save(THIRD, {RECIPE: recipe(5, why="Much softer.", deadener="100 %")})
    repository.save(THIRD, {RECIPE: recipe(2, why="Softer.", fixes=["air-at-cheek"], deadener="80 %")})
    repository.write({RECIPE: CHANGED})
    asking = save(repository, why="The edge was hard.")
    assert "version: 6\n" in text(repository)
    assert asking.said[-1] == "Look at it with `mothermold diff cast/cheek 2 6`."


# A number typed by hand that leaves one out


LEAP = recipe(4, why="The edge was hard.", deadener="90 %")


def test_a_number_left_out_is_asked_about_and_the_next_one_is_written(repository: Repository) -> None:
    repository.write({RECIPE: LEAP})
    asking = save(repository, {"Version 3 of cast/cheek is the next; is 4 meant?": None, **YES})
    assert text(repository) == LEAP.replace("version: 4", "version: 3")
    assert f"{RECIPE}: version becomes 3." in asking.said
    assert numbers(repository)[-1] == (3, "locked", False)


def test_a_number_left_out_on_purpose_is_kept(repository: Repository) -> None:
    repository.write({RECIPE: LEAP})
    save(repository, {"is 4 meant?": True, **YES})
    assert text(repository) == LEAP


def test_without_questions_a_number_typed_by_hand_is_never_changed_and_said(repository: Repository) -> None:
    repository.write({RECIPE: LEAP})
    asking = save(repository)
    assert text(repository) == LEAP
    assert "cast/cheek: it is saved as version 4, as typed; 3 would be the next." in asking.said


def test_a_draft_too_is_asked_about_once(repository: Repository) -> None:
    draft = recipe(4, "draft", deadener="90 %")
    repository.write({RECIPE: draft})
    save(repository, {"is 4 meant?": True, "draft finished": False, "A word": "", **YES})
    repository.write({RECIPE: draft.replace("90 %", "95 %")})
    asking = save(repository, {"draft finished": True, "Why does version 4": "Softer.", **YES})
    assert not any("meant" in question for question in asking.asked)
    repository.write({RECIPE: recipe(6, "draft", deadener="90 %")})
    save(
        repository, {"Version 5 of cast/cheek": False, "version 5: is this draft finished": False, "A word": "", **YES}
    )
    assert "version: 5\nstatus: draft\n" in text(repository)


def test_a_recipe_that_is_new_here_may_begin_with_any_number(repository: Repository) -> None:
    ear = recipe(4, why="Softer.", title="Ear tip")
    repository.write({"recipes/cast/ear.yaml": ear})
    save(repository, {"A word": "", **YES})
    assert text(repository, "recipes/cast/ear.yaml") == ear


# Without a terminal


def test_without_questions_a_new_number_needs_a_reason(repository: Repository) -> None:
    repository.write({RECIPE: CHANGED})
    assert refusal(repository) == ["needs-why"]
    assert (text(repository), saves(repository)) == (CHANGED, 2)
    asking = save(repository, why="The edge was hard.", fixes=("air-at-cheek",))
    assert "  It becomes version 3, locked, answers air-at-cheek. Why: The edge was hard." in asking.said
    assert text(repository) == recipe(3, why="The edge was hard.", fixes=["air-at-cheek"], deadener="90 %")


def test_a_failure_nobody_wrote_down_cannot_be_answered(repository: Repository) -> None:
    repository.write({RECIPE: CHANGED})
    assert refusal(repository, why="So.", fixes=("air-at-chek",)) == ["unknown-reference"]
    assert saves(repository) == 2


def test_a_reason_for_the_save_is_no_new_reason_of_a_recipe_that_has_one(repository: Repository) -> None:
    repository.write({RECIPE: recipe(2, why="Hard at the edge.", deadener="90 %")})
    save(repository, why="After the second pull.")
    assert "why: Hard at the edge.\n" in text(repository)
    assert saved(repository).split("\n\n")[0] == "After the second pull."
    assert "Why: Hard at the edge." in saved(repository)


def test_the_command_asks_nothing_where_nobody_sits(repository: Repository, tmp_path: Path) -> None:
    repository.write({RECIPE: CHANGED})
    words = [sys.executable, "-m", "mothermold", "-C", str(repository.folder), "save", "-m", "The edge was hard."]
    done = subprocess.run(
        words,
        env=plain_environment(tmp_path / "home"),
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert "Saved: The edge was hard.\n" in done.stdout
    assert saves(repository) == 3


# What needs no new number


def test_changed_notes_are_saved_as_they_are(repository: Repository) -> None:
    new = recipe(2, why="Softer at the edge.", fixes=["air-at-cheek"], deadener="80 %", title="Small cheek")
    repository.write({RECIPE: "# a word\n" + new.replace("120 min", "2 h")})
    save(repository, {"A word": "", **YES})
    assert text(repository) == "# a word\n" + new.replace("120 min", "2 h")
    assert numbers(repository) == [(1, "locked", False), (2, "locked", False)]
    assert saved(repository).startswith("Small cheek: Title “Small cheek piece” → “Small cheek”\n")


def test_a_draft_stays_a_draft_unless_it_is_finished(repository: Repository) -> None:
    draft = recipe(3, "draft", deadener="90 %")
    repository.write({RECIPE: draft})
    save(repository)
    assert text(repository) == draft
    repository.write({RECIPE: draft.replace("90 %", "95 %")})
    save(repository, {"draft finished": None, "A word": "", **YES})
    assert text(repository) == draft.replace("90 %", "95 %")
    assert saved(repository).startswith("Draft of Small cheek piece, version 3: Deadener fluid 90 % → 95 % of …\n")


def test_a_finished_draft_is_locked_and_says_why(repository: Repository) -> None:
    repository.write({RECIPE: recipe(3, "draft", deadener="90 %")})
    save(repository, {"draft finished": True, "Why does version 3": "The edge was hard.", **YES})
    assert text(repository) == recipe(3, why="The edge was hard.", deadener="90 %")
    assert numbers(repository)[-1] == (3, "locked", False)


def test_what_a_finished_draft_would_lack_is_told_and_it_stays_one(repository: Repository) -> None:
    draft = recipe(3, "draft", why="Softer.", deadener="90 %").partition("steps:")[0]
    repository.write({RECIPE: draft})
    asking = save(repository, {"draft finished": True, "A word": "", **YES})
    assert "The recipe has no `steps`." in asking.told
    assert text(repository) == draft
    assert saves(repository) == 3


def test_a_number_raised_by_hand_is_kept_and_only_its_reason_asked_for(repository: Repository) -> None:
    repository.write({RECIPE: recipe(3, deadener="90 %")})
    save(repository, {"Why does version 3": "The edge was hard.", **YES})
    assert text(repository) == recipe(3, why="The edge was hard.", deadener="90 %")


def test_a_raised_number_that_says_the_same_is_told(repository: Repository) -> None:
    repository.write({RECIPE: recipe(3, why="A new number.", deadener="80 %")})
    assert "version 3 says the same as the version before it" in save(repository).told


def test_a_recipe_that_is_retired_says_so(repository: Repository) -> None:
    repository.write({RECIPE: recipe(2, "retired", why="Softer.", fixes=["air-at-cheek"], deadener="80 %")})
    save(repository)
    assert saved(repository).split("\n")[0] == "Small cheek piece retired"


def test_a_fix_that_names_the_number_to_come_does_not_stand_in_the_way(repository: Repository) -> None:
    fix = text(repository, NOTE) + "fixes:\n  - do: More deadener\n    in: cast/cheek@3\n"
    repository.write({RECIPE: CHANGED, NOTE: fix})
    save(repository, why="The edge was hard.", fixes=("air-at-cheek",))
    assert [
        notice.code for notice in open_view(repository.folder, "private").notices if notice.severity == "error"
    ] == []
    repository.write({NOTE: fix.replace("@3", "@4")})
    assert refusal(repository) == ["version-missing", "not-saved"]


# Errors


def test_an_error_in_what_would_be_saved_stops_the_save(repository: Repository) -> None:
    bad = CHANGED.replace("hands_on", "hands-on")
    repository.write({RECIPE: bad})
    assert refusal(repository, why="So.") == ["unknown-key", "not-saved"]
    assert (saves(repository), text(repository)) == (2, bad)
    save(repository, why="So.", with_errors=True)
    assert saves(repository) == 3


def test_files_that_go_in_with_errors_are_named(repository: Repository) -> None:
    broken = "title: Hard rim\nseen_at: cast\nsymptoms: [rim]\nharms: rework\nfix: none\n"
    repository.write({RECIPE: CHANGED.replace("hands_on", "hands-on"), "recipes/failures/rim.yaml": broken})
    asking = save(repository, with_errors=True)
    assert f"{RECIPE} goes in with an error: line 19, `hands-on` is not a key of a step." in asking.said
    assert (
        "recipes/failures/rim.yaml goes in with 2 errors, first: line 4, `harms` is not a key of this document."
        in asking.said
    )


def test_an_error_elsewhere_does_not_but_is_said(repository: Repository) -> None:
    repository.save(THIRD, {NOTE: "title: Air\nseen_at: cast\nsymptom: holes\n"})
    repository.write({RECIPE: CHANGED})
    asking = save(repository, why="The edge was hard.")
    assert saves(repository) == 4
    assert "Saved" not in asking.told
    assert any(each.startswith("Kept in the history: ") for each in asking.said)
    assert any("in the book as before" in each and NOTE in each for each in asking.said)


def test_an_error_a_save_would_bring_about_elsewhere_stops_it(repository: Repository) -> None:
    repository.write({"recipes/materials/deadener.yaml": None})
    assert refusal(repository) == ["document-gone", "not-saved"]
    assert saves(repository) == 2
    assert "Saved" in save(repository, with_errors=True).told
    assert saves(repository) == 3


def test_a_vanished_recipe_is_not_saved_away_while_it_is_spoken_of(repository: Repository) -> None:
    run = "id: r-2026-02-10-cheek-1\nstarted: 2026-02-10 09:00\nrecipe: cast/cheek@1\noutcome: good\n"
    repository.save(THIRD, {"recipes/runs/r-2026-02-10-cheek-1.yaml": run})
    repository.write({RECIPE: None})
    assert refusal(repository) == ["document-gone", "not-saved"]
    save(repository, with_errors=True)
    assert "error" not in {each.severity for each in open_view(repository.folder, "private").notices}


def test_an_error_that_was_mended_leaves_nothing_to_say(repository: Repository) -> None:
    repository.save(THIRD, {NOTE: "title: Air\nseen_at: cast\nsymptom: holes\n"})
    repository.write(empty_book())
    assert any(each.startswith("Saved: ") for each in save(repository).said)


# What no save takes in


def test_ignored_documents_are_said_and_never_called_unchanged(repository: Repository) -> None:
    repository.save(THIRD, {".gitignore": "new-*\n"})
    repository.write({"recipes/materials/new-one.yaml": "title: New\nfamilies: [alginate]\n"})
    told = save(repository).told
    assert "Line 1 of `.gitignore`" in told
    assert "`recipes/materials/new-one.yaml`" in told
    assert "Nothing changed" not in told


def test_a_history_within_the_book_is_said_and_what_it_held_before_is_kept(repository: Repository) -> None:
    nested = "recipes/materials"
    repository.git("init", "--quiet", nested)
    repository.write({f"{nested}/new.yaml": "title: New\nfamilies: [alginate]\n", RECIPE: CHANGED})
    told = save(repository, why="Softer.").told
    assert f"`{nested}` has a history of its own" in told
    assert repository.git("show", "--format=", "--name-only", "HEAD").split() == [RECIPE]
    assert "deadener.yaml" in repository.git("ls-tree", "-r", "--name-only", "HEAD")


def test_what_is_not_laid_out_is_said_and_kept_and_what_is_new_there_is_taken_in(repository: Repository) -> None:
    repository.save(THIRD, {"recipes/molds/m.yaml": "title: M\nmade: {recipe: cast/cheek@1, on: 2026-03-01}\n"})
    repository.git("sparse-checkout", "set", "--no-cone", "/*", "!/recipes/molds/")
    assert not (repository.folder / "recipes/molds").exists()
    told = save(repository).told
    assert "`git sparse-checkout disable`" in told
    assert "Nothing changed" not in told
    repository.write({"recipes/molds/n.yaml": "title: N\nmade: {recipe: cast/cheek@1, on: 2026-03-01}\n"})
    save(repository, with_errors=True)
    assert repository.git("show", "--format=", "--name-status", "HEAD").split() == ["A", "recipes/molds/n.yaml"]


def test_warnings_are_counted_in_a_line(repository: Repository) -> None:
    repository.write({"recipes/materials/new.yaml": "title: New\nfamilies: [nobody-knows]\n"})
    assert "There is one warning on what is saved; `mothermold check` says more." in save(repository).said


def test_two_texts_of_one_number_on_two_lines_can_still_be_put_in_order(repository: Repository) -> None:
    repository.branch("side")
    repository.save(THIRD, {RECIPE: recipe(3, why="A.", deadener="90 %")})
    repository.go_to("main")
    repository.save(THIRD, {RECIPE: recipe(3, why="B.", deadener="95 %")})
    repository.merge_by_hand("side", THIRD, {})
    repository.write({RECIPE: recipe(3, why="B.", deadener="92 %")})
    save(repository, why="The middle holds.")
    assert "version: 4\n" in text(repository)
    notices = open_view(repository.folder, "private").notices
    assert [notice.severity for notice in notices if notice.code == "version-clash"] == ["advice"]


# Files of other kinds, and where the book lies


def test_saving_twice_saves_once(repository: Repository) -> None:
    repository.write({RECIPE: CHANGED})
    save(repository, why="So.")
    assert save(repository, {}).said == ["Nothing changed since the last save."]
    assert saves(repository) == 3


@pytest.mark.parametrize(
    ("files", "title"),
    [
        ({"recipes/failures/crack.yaml": "title: Mold cracked while being opened\nseen_at: cast\nsymptoms: [snap]\n"},
         "New failure note: Mold cracked while being opened"),
        ({NOTE: "title: Air at the cheek\nseen_at: cast\nsymptoms: [holes]\n"}, "Failure note changed: Air at the cheek"),
        ({NOTE: None}, "Failure note deleted: Air at the cheek"),
        ({"recipes/molds/m-1.yaml": "title: Mold 1\nmade: unknown\n",
          "recipes/runs/r-1.yaml": "id: r-1\nrecipe: cast/cheek@2\nstarted: 2026-04-01 09:00\n",
          "recipes/runs/r-2.yaml": "id: r-2\nrecipe: cast/cheek@2\nstarted: 2026-04-02 09:00\noutcome: good\n"},
         "Two runs, one mold"),
        ({"recipes/runs/r-2.yaml": "id: r-2\nrecipe: cast/cheek@2\nstarted: 2026-04-02 09:00\noutcome: good\n"},
         "New run: r-2, cast/cheek@2, good"),
        ({"shop notes (May).txt": "x\n"}, "shop notes (May).txt new"),
        ({"recipes/book.yaml": "title: Another\n"}, "The book's settings changed"),
        ({RECIPE: None}, "Small cheek piece deleted"),
        ({"recipes/cast/ear.yaml": recipe(1, title="Ear tip")}, "Ear tip, version 1"),
        ({"recipes/cast/ear.yaml": recipe(1, "draft", title="Ear tip")}, "New draft of Ear tip, version 1"),
    ],
)  # fmt: skip
def test_the_first_line_says_the_most_important_thing(
    repository: Repository, files: dict[str, str | None], title: str
) -> None:
    repository.write(files)
    # What is spoken of is taken away only by whoever insists.
    save(repository, with_errors=files == {NOTE: None})
    assert saved(repository).split("\n")[0] == title
    assert repository.git("status", "--porcelain") == ""


def test_a_line_is_cut_at_a_word_and_never_too_long() -> None:
    assert (
        cut("Ten plain words of the bench " * 5)
        == "Ten plain words of the bench Ten plain words of the bench Ten plain …"
    )
    assert cut("x" * 100) == "x" * 70 + " …"
    assert cut("just right") == "just right"
    recipes = [
        Told("changed", "recipe", "f", f"Piece {n} " + "so long " * 9, f"cast/p{n}", step="number", version=2)
        for n in range(3)
    ]
    assert len(first_line(recipes)) <= 72


def test_a_reason_is_the_heading_of_a_save(repository: Repository) -> None:
    run = "id: r-{0}\nrecipe: cast/cheek@2\nstarted: 2026-04-0{0} 09:00\n"
    repository.write({f"recipes/runs/r-{n}.yaml": run.format(n) for n in (1, 2)})
    asking = save(repository, why="Two tries for the test face.")
    listed = "- New run: r-1, cast/cheek@2 (runs/r-1.yaml)\n- New run: r-2, cast/cheek@2 (runs/r-2.yaml)"
    assert saved(repository) == f"Two tries for the test face.\n\n{listed}"
    assert "Saved: Two tries for the test face." in asking.said


def test_a_long_reason_is_cut_in_the_heading_and_told_whole_below(repository: Repository) -> None:
    why = "The second try for the test face, because at the first one the edge of the cheek was hard and curled."
    repository.write({"letter.txt": "x\n"})
    save(repository, why=f"{why}\n\nMore of it.")
    heading, *rest = saved(repository).split("\n\n")
    assert heading == "The second try for the test face, because at the first one the edge of …"
    assert [" ".join(block.split()) for block in rest] == [why, "More of it.", "- letter.txt new"]


def test_what_init_laid_out_is_one_line_below_the_artists_own(tmp_path: Path) -> None:
    found_book(tmp_path / "book")
    repository = Repository(tmp_path / "book")
    repository.write({"recipes/failures/rim.yaml": "title: Hard rim\nseen_at: cast\nsymptoms: [rim]\n", "a.txt": "x\n"})
    save(repository)
    assert saved(repository) == (
        "The first save: one failure note, one other file\n\n"
        "- New failure note: Hard rim (failures/rim.yaml)\n- a.txt new\n- and the book's own settings and schemas"
    )
    repository.write({".gitignore": "private/\n"})
    save(repository)
    assert saved(repository).split("\n")[0] == ".gitignore changed"
    repository.write({".gitignore": "private/\nsite/\n", "schema/run.schema.json": "{}\n"})
    save(repository)
    assert saved(repository) == (
        "The book's own settings and schemas changed\n\n- The book's own settings and schemas changed"
    )


def test_a_book_nothing_was_written_in_is_saved_too(tmp_path: Path) -> None:
    found_book(tmp_path / "book")
    save(Repository(tmp_path / "book"))
    assert saved(Repository(tmp_path / "book")).split("\n")[0] == "The first save: the book's own settings and schemas"


def test_a_renamed_recipe_is_told_how_to_keep_its_versions(repository: Repository) -> None:
    repository.write(
        {RECIPE: None, "recipes/cast/jowl.yaml": recipe(2, why="Softer.", fixes=["air-at-cheek"], deadener="80 %")}
    )
    asking = save(repository)
    assert "Type `formerly: [cast/cheek]` in it" in asking.told
    assert saved(repository).split("\n")[4] == "Small cheek piece, version 2, moved here from cast/cheek (cast/jowl)"
    repository.write(
        {
            "recipes/cast/jowl.yaml": recipe(
                2, why="Softer.", fixes=["air-at-cheek"], deadener="80 %", formerly=["cast/cheek"]
            )
        }
    )
    assert "formerly" not in save(repository).told


def test_line_ends_of_the_file_stay_as_they_are(repository: Repository) -> None:
    (repository.folder / RECIPE).write_bytes(CHANGED.replace("\n", "\r\n").encode())
    save(repository, why="The edge was hard.")
    new = recipe(3, why="The edge was hard.", deadener="90 %")
    assert (repository.folder / RECIPE).read_bytes() == new.replace("\n", "\r\n").encode()


def test_a_copied_book_gets_a_history_and_is_saved_whole(repository: Repository, tmp_path: Path) -> None:
    copy = Repository(copy_without_git(repository, tmp_path / "copy"))
    asking = save(copy)
    assert "This book had no history yet" in asking.told
    assert saved(copy).split("\n")[0] == "The first save: one recipe, one failure note, two materials, one book …"
    assert copy.git("status", "--porcelain") == ""


def test_a_book_in_a_larger_history_is_saved_alone(tmp_path: Path) -> None:
    shop = start_repository(tmp_path / "shop")
    shop.save(FIRST, placed(empty_book() | {RECIPE: recipe(1)}, "our book") | {"accounts.txt": "1\n"})
    shop.write({"accounts.txt": "2\n", "letter.txt": "1\n"})
    shop.git("add", "accounts.txt")
    shop.write(placed({RECIPE: recipe(1, deadener="80 %")}, "our book"))
    save(Repository(shop.folder / "our book"), why="Softer.")
    assert shop.git("show", "--format=%s", "--name-only", "HEAD").split("\n") == [
        "Softer.", "", f"our book/{RECIPE}", "",
    ]  # fmt: skip
    assert shop.git("status", "--porcelain") == "M  accounts.txt\n?? letter.txt\n"


# Stopped and broken off


@pytest.mark.parametrize("at", ["next number", "Why does", "Which failures", "locked?", "Save this"])
def test_stopping_at_any_question_changes_nothing(repository: Repository, at: str) -> None:
    repository.write({RECIPE: CHANGED})
    with pytest.raises(StoppedError):
        save(repository, {**NEXT, **YES, at: STOP})
    assert (text(repository), saves(repository)) == (CHANGED, 2)


def test_a_no_to_the_save_changes_nothing(repository: Repository) -> None:
    repository.write({RECIPE: CHANGED})
    with pytest.raises(StoppedError):
        save(repository, {**NEXT, "Save this": False})
    assert (text(repository), saves(repository)) == (CHANGED, 2)


def test_a_save_that_fails_after_writing_says_so_and_the_next_one_finishes_it(
    repository: Repository, monkeypatch: pytest.MonkeyPatch
) -> None:
    repository.write({RECIPE: CHANGED})
    real = Plumbing.ask

    def fail(self: Plumbing, *words: str, **more: Any) -> tuple[int, bytes, str]:
        return (1, b"", "fatal: the disk is full") if words[0] == "update-ref" else real(self, *words, **more)

    with monkeypatch.context() as during:
        during.setattr(Plumbing, "ask", fail)
        with pytest.raises(CannotRunError) as told:
            save(repository, why="The edge was hard.")
    assert "the disk is full" in str(told.value)
    assert f"Already written: {RECIPE} says version 3." in str(told.value)
    new = recipe(3, why="The edge was hard.", deadener="90 %")
    assert (text(repository), saves(repository)) == (new, 2)
    save(repository)
    assert (text(repository), saves(repository)) == (new, 3)


def test_a_history_that_is_busy_is_refused_before_anything_is_asked(
    repository: Repository, capsys: pytest.CaptureFixture[str]
) -> None:
    repository.write({RECIPE: CHANGED})
    (repository.folder / ".git" / "index.lock").write_text("")
    assert main(["-C", str(repository.folder), "save", "-m", "So."]) == 1
    assert "Another program writes into the book's history" in capsys.readouterr().err
    assert text(repository) == CHANGED
