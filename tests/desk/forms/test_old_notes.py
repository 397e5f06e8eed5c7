"""An old note becomes lines with what each was taken for; nothing is guessed silently."""

from __future__ import annotations

import time

import pytest

from desk.forms.as_sent import as_sent
from mothermold.book.tree import read_tree
from mothermold.desk.forms.form import NAME
from mothermold.desk.forms.making import new_form
from mothermold.desk.forms.old_notes import from_text
from mothermold.desk.forms.sending import sent
from mothermold.view.view import View

NOTE = """\
Soft chin, second try

Base:
- 100 g gel-silicone-a
- gel-silicone-b: 100 g
* 60 % deadener fluid of unknown make
1) Stipple the release and wait 30 min. Never wipe.
2) Mix A and B for 3 min, then 2 min in the chamber
Pour at 20-25 degC.
---
"""


def test_lines_are_titles_headings_parts_and_steps(view: View) -> None:
    lines = from_text(view, NOTE).lines
    assert [line.taken for line in lines] == [
        "title", "nothing", "heading", "part", "part", "step", "step", "step", "step", "nothing", "nothing",
    ]  # fmt: skip
    assert [line.text for line in lines] == NOTE.split("\n")
    assert [line.number for line in lines] == list(range(1, 12))


def test_amounts_are_found_where_they_stand(view: View) -> None:
    for line in from_text(view, NOTE + "2 h 30 min later: 0.5 kg of it, 18 mice, 3/4 l, 12,5 g, 4 drops\n").lines:
        for amount in line.amounts:
            assert line.text[amount.start : amount.end].startswith(amount.text)
    told = [[amount.text for amount in line.amounts] for line in from_text(view, NOTE).lines]
    assert told[3:9] == [["100 g"], ["100 g"], ["60 %"], ["30 min"], ["3 min", "2 min"], ["20-25 degC"]]
    (last,) = from_text(view, "2 h 30 min later: 0.5 kg of it, 18 mice, 3/4 l, 12,5 g, 4 drops").lines
    assert [amount.text for amount in last.amounts] == ["2 h 30 min", "0.5 kg", "4 drops"]


def test_a_material_counts_only_where_it_is_named_in_full_or_chosen(view: View) -> None:
    note = from_text(view, "Base:\n100 g gel-silicone-a\n60 g gel silicone\n5 g of something else\n")
    assert [line.sure for line in note.lines[1:4]] == [True, False, False]
    assert len(note.lines[2].materials) > 1
    assert note.said()["mixes"] == [
        {"id": "base", "title": "Base", "parts": [{"material": "gel-silicone-a", "amount": "100 g"}]}
    ]
    # What nobody chose a material for is still there, in its words.
    assert [step["title"] for step in note.said()["steps"]] == ["60 g gel silicone", "5 g of something else"]
    chosen = note.said({3: "gel-silicone-b"})["mixes"][0]["parts"]
    assert [part["material"] for part in chosen] == ["gel-silicone-a", "gel-silicone-b"]


@pytest.mark.parametrize(
    ("line", "part"), [("100 parts gel-silicone-a", {"parts": "100"}), ("gel-silicone-a 12 %", {"percent": "12 %"})]
)
def test_parts_and_percents_are_what_they_say(view: View, line: str, part: dict[str, str]) -> None:
    assert from_text(view, f"x:\n{line}").said()["mixes"][0]["parts"] == [{"material": "gel-silicone-a", **part}]


def test_a_step_keeps_every_word_of_its_line(view: View) -> None:
    steps = from_text(view, NOTE).said()["steps"]
    assert [step["title"] for step in steps] == [
        "60 % deadener fluid of unknown make", "Stipple the release and wait 30 min",
        "Mix A and B for 3 min, then 2 min in the chamber", "Pour at 20-25 degC",
    ]  # fmt: skip
    stipple = next(step for step in steps if step["title"].startswith("Stipple"))
    assert stipple["do"] == "Stipple the release and wait 30 min. Never wipe."
    assert not {key for step in steps for key in step} & {"hands_on", "wait", "temperature"}


def test_the_form_begun_with_it_is_a_draft_that_can_be_sent(view: View) -> None:
    form = new_form(view, "recipe", said=from_text(view, NOTE).said())
    found = sent(view, form, as_sent(form, {NAME: "soft-chin", ("stage",): "cast"}))
    assert found.stands, found.notices
    raw = read_tree(found.text or "").raw
    assert (raw["title"], raw["status"]) == ("Soft chin, second try", "draft")
    assert [part["material"] for part in raw["mixes"][0]["parts"]] == ["gel-silicone-a", "gel-silicone-b"]
    assert len(raw["steps"]) >= 3


@pytest.mark.parametrize(
    "text", ["", "\n\n", "1" * 100_000, "1 g " * 50_000, "- " * 50_000, "2 h 3 min " * 20_000, "a\n" * 50_000]
)
def test_any_text_is_taken_apart_at_once(view: View, text: str) -> None:
    began = time.monotonic()
    from_text(view, text).said()
    assert time.monotonic() - began < 5
