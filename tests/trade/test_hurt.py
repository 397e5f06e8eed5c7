"""The table of first aid: three acts a row, each with a source, no number to call, no drug, no dose."""

from __future__ import annotations

import re
from typing import Any

import pytest

from mothermold.trade.hurt import hurt_words, hurts, read_hurts

ROWS = list(hurts().values())


@pytest.mark.parametrize("hurt", ROWS, ids=lambda hurt: hurt.id)
def test_a_row_is_three_acts_in_a_few_words_each_with_a_source(hurt: Any) -> None:
    assert len(hurt.acts) == 3
    for line in (*hurt.acts, *hurt.never, *hurt.call):
        assert line.sources, line.words
        assert len(line.words) <= 110, line.words
        assert line.words.endswith((".", "?")), line.words
    assert hurt.call, "it says when to call for help"
    assert hurt.title
    assert hurt.called.certain or hurt.called.likely


@pytest.mark.parametrize("hurt", ROWS, ids=lambda hurt: hurt.id)
def test_no_number_to_call_and_no_drug_is_the_tool_s_own(hurt: Any) -> None:
    lines = [*hurt.acts, *hurt.never, *hurt.call, *([hurt.more] if hurt.more else [])]
    said = " ".join(line.words for line in lines)
    assert not re.search(r"\b(112|911|999|000|\d{5,})\b", said)
    assert not re.search(
        r"(?i)\b(aspirin|ibuprofen|paracetamol|adrenaline|epinephrine|antihistamine|cortisone|\d+ ?(mg|ml))\b", said
    )


def test_where_time_is_the_treatment_there_is_a_clock() -> None:
    timed = {hurt.id: hurt.clock.minutes for hurt in ROWS if hurt.clock}
    assert timed == {"setting-gypsum": 20, "burn": 20, "in-the-eye": 20, "chemical-on-skin": 20}


def test_most_acts_are_published_and_the_others_say_so() -> None:
    acts = [act for hurt in ROWS for act in hurt.acts]
    published = [
        act for act in acts if any("common practice" not in each and "from memory" not in each for each in act.sources)
    ]
    assert len(published) >= 0.85 * len(acts)


def test_a_row_without_three_acts_or_with_an_unknown_source_is_refused() -> None:
    line = {"do": "Out.", "source": ["s"]}
    row: dict[str, Any] = {"title": "T", "acts": [line] * 3, "call": [{"when": "Now.", "source": ["s"]}], "called": {}}
    assert read_hurts({"sources": {"s": "read"}, "rows": {"x": row}})["x"].acts[0].sources == ("read",)
    with pytest.raises(ValueError, match="three acts"):
        read_hurts({"sources": {"s": "read"}, "rows": {"x": {**row, "acts": [line]}}})
    with pytest.raises(ValueError, match="no such source"):
        read_hurts({"sources": {}, "rows": {"x": row}})


def test_every_group_of_words_is_used_and_every_row_names_known_ones() -> None:
    groups = hurt_words()
    asked = {
        word
        for hurt in ROWS
        for way in (*hurt.called.certain, *hurt.called.likely, *hurt.called.otherwise)
        for word in way
    }
    asked |= {word for hurt in ROWS for word in hurt.called.alone}
    for_all = {"people", "whose", "things", "made-of", "as-typed", "asked", "effects", "made", "shown", "own-harm"}
    for_all |= {"loose", "told"}
    assert set(groups) - asked == for_all - asked
    assert {word for word in asked if "-" in word} <= set(groups)


def test_no_row_is_called_by_who_is_meant_alone() -> None:
    who = {"people", "whose", "me", "self", "theirs", "in-it"}
    ways = [way for hurt in ROWS for way in (*hurt.called.certain, *hurt.called.likely, *hurt.called.otherwise) if way]
    assert [way for way in ways if set(way) <= who] == []
