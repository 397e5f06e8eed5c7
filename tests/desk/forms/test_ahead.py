"""A change of a recipe is shown as the difference it makes, before anything is written."""

from __future__ import annotations

from pathlib import Path

import pytest

from desk.forms.as_sent import as_sent
from mothermold.answers.difference import explain_difference
from mothermold.desk.forms.ahead import ahead
from mothermold.desk.forms.making import form_of
from mothermold.desk.forms.sending import sent
from mothermold.ground.errors import RefusedError
from mothermold.view.view import View, open_view

PIECE = "cast/face-piece"


def test_the_difference_is_that_of_the_file_written_with_its_grams_hours_rules_and_cautions(
    view: View, own_sample_book: Path
) -> None:
    form = form_of(view, "recipe", PIECE)
    batch = next(each for each in form.fields if each.path[-1] == "fills" and each.value)
    hands = next(each for each in form.fields if each.path[-1] == "hands_on" and each.value)
    found = sent(view, form, as_sent(form, {batch.path: "400 ml", hands.path: "3 h"}))
    told = ahead(view, found)
    (own_sample_book / form.file).write_bytes((found.typed or "").encode())
    assert told.data == explain_difference(open_view(own_sample_book, "private"), PIECE, "working").data
    assert {change["path"][-1] for change in told.data["changes"]} == {"fills", "hands_on"}
    moved = {row["what"] for row in told.data["consequences"] if row["before"] != row["after"]}
    assert "hands_on_min" in moved
    assert (view.root / form.file).read_bytes() != (found.typed or "").encode()


def test_it_may_be_compared_with_an_earlier_version(view: View) -> None:
    form = form_of(view, "recipe", PIECE)
    data = ahead(view, sent(view, form, as_sent(form, {("steps", 0, "hands_on"): "3 h"})), "1").data
    assert (data["from"], data["to"]) == (1, "working")


def test_what_cannot_be_read_is_refused_with_what_to_do(view: View) -> None:
    form = form_of(view, "recipe", PIECE)
    for typed in ({("version",): "one"}, {}):
        other = form if typed else form_of(view, "material", sorted(view.on("material"))[0])
        with pytest.raises(RefusedError):
            ahead(view, sent(view, other, as_sent(other, typed)))
