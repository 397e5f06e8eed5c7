"""Runs cited in prose: what is left of a sentence when the run may not be known."""

from __future__ import annotations

import pytest

from mothermold.view.citations import without_runs


@pytest.mark.parametrize(
    ("written", "left"),
    [
        ("See [the third](run:r-1) again.", "See the third again."),
        ("See [the third]( <run:r-1> 'in (spring)').", "See the third."),
        ("See [the [third] one](run:r-1).", "See the [third] one."),
        (r"See [the\] third](run:r-1).", r"See the\] third."),
        (r"See [the third](run:r\-1).", "See the third."),
        ("See ![the third](RUN:r-1).", "See the third."),
        ("See [r-1](run:r-1).", "See ."),
        ("See <run:r-1>.", "See ."),
        ("See `run:r-1`.", "See ``."),
        ("See [the third][a].\n\n[a]: run:r-1", "See the third."),
        ("See [the third][A].\n\n> [a]: <run:r-1> 'spring'\n\nMore.", "See the third.\n\n\nMore."),
        ("See [the third][r-1] and [r-1].\n\n[r-1]:\n  run:r-1", "See the third and ."),
        ("See [the third][].\n\n- [the third]: run:r-1", "See the third."),
        ("[one](run:r-1), [two](run:r-2), [three](run:r-1)", "one, [two](run:r-2), three"),
    ],
)
def test_words_stay_and_the_hidden_run_goes(written: str, left: str) -> None:
    assert without_runs(written, lambda run: run != "r-2") == left


@pytest.mark.parametrize(
    "written",
    [
        "See [the third](run:r-2) and <run:r-2>.",
        "See [the third][a].\n\n[a]: run:r-2",
        "A dry run: nothing moved, run:2 times, [a] and [b][c] and [d](e).",
        "",
    ],
)
def test_what_cites_no_hidden_run_stays_as_it_was(written: str) -> None:
    assert without_runs(written, lambda run: run != "r-2") == written
