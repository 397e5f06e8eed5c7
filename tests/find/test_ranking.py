"""What answers to some words, and in which order."""

from __future__ import annotations

import pytest

from mothermold.find.index import Entry, build_index
from mothermold.find.ranking import nearest_line, search
from mothermold.find.stems import folded, stem, tokens
from mothermold.find.thesaurus import thesaurus

KINDS = ("failure", "recipe", "run")
CRACK = Entry("cracked-mold", "failure", "Mold cracked while being opened", "loud snap when opening", "strap the shell")
STUCK = Entry("halves-stuck", "failure", "Halves stuck together", "mold will not open", "wedges at the pry slots")
FACE = Entry("mold/face-mold", "recipe", "Two-part face mold", "mold/face-mold", "pry slots, dowels, clay sheet")
RUN = Entry("r-1", "run", "Face mold, first pull", "r-1", "opened with a crême brush")
ALL = [RUN, FACE, STUCK, CRACK]


def found(query: str, entries: list[Entry] = ALL, own: tuple[tuple[str, ...], ...] = ()) -> list[str]:
    return [hit.entry.id for hit in search(query, build_index(entries, KINDS, thesaurus(own))).hits]


@pytest.mark.parametrize(
    ("query", "ids"),
    [
        ("mold", ["cracked-mold", "halves-stuck", "mold/face-mold", "r-1"]),  # failures first; a title before a symptom
        ("loud snap", ["cracked-mold"]),
        ("SNAP LOUD", ["cracked-mold"]),
        ("snaps", ["cracked-mold"]),  # many find one
        ("cracking", ["cracked-mold"]),  # doing finds done
        ("mould", ["cracked-mold", "halves-stuck", "mold/face-mold", "r-1"]),  # British
        ("creme", ["r-1"]),  # accents do not count
        ("snpa", ["cracked-mold"]),  # slips in typing
        ("won't come apart", ["halves-stuck"]),  # another word for it
        ("does not open", ["halves-stuck"]),  # every no is one
        ("dow", ["mold/face-mold"]),  # still being typed
        ("the sheets", ["mold/face-mold"]),  # small words find nothing by themselves
        ("mold/face-mold", ["cracked-mold", "halves-stuck", "mold/face-mold", "r-1"]),
        ("zeppelin", []),
        ("zeppelin snap", ["cracked-mold"]),  # what is found nowhere counts for nothing
        ("   ", []),
    ],
)
def test_words_find_what_says_them_failures_first(query: str, ids: list[str]) -> None:
    assert found(query) == ids


def test_a_trouble_is_not_hidden_by_a_recipe_that_happens_to_hold_all_words() -> None:
    assert found("pry slots dowels") == ["halves-stuck", "mold/face-mold"]


def test_what_holds_a_part_is_not_dropped_because_one_note_holds_every_word() -> None:
    other = Entry("seized", "failure", "Core seized in the nose", "core will not come out", "cool it")
    both = Entry("all", "failure", "Core seized, hot", "core seized hot", "")
    assert found("core seized hot", [other, both]) == ["all", "seized"]


def test_of_two_that_fit_alike_the_one_of_which_more_answers_comes_first() -> None:
    long = Entry("a-tear", "failure", "Tear at the ear", "tear", "paint powder brush cup stone sieve")
    short = Entry("b-tear", "failure", "Tear at the ear", "tear", "paint")
    assert found("tear", [long, short]) == ["b-tear", "a-tear"]


def test_words_found_nowhere_are_told_and_slips_and_small_words_are_none() -> None:
    def unknown(query: str) -> list[str]:
        return list(search(query, build_index(ALL, KINDS, thesaurus())).unknown)

    assert unknown("zeppelin snap") == ["zeppelin"]
    assert unknown("Zeppelin, airship") == ["zeppelin", "airship"]
    assert unknown("stuk halves for his herself") == []


@pytest.mark.parametrize(
    ("query", "line"),
    [
        ("cracked mold", "Mold cracked while being opened"),
        ("loud snap", "loud snap when opening"),
        ("strap", "strap the shell"),
        ("fastened shell strap zeppelin", "strap the shell"),
    ],
)
def test_a_hit_says_by_which_line_it_was_found(query: str, line: str) -> None:
    answer = search(query, build_index(ALL, KINDS, thesaurus()))
    assert answer.line(answer.hits[0].entry) == line


def test_of_some_lines_the_nearest_is_the_one_that_holds_most() -> None:
    lines = ["In the eye", "Rinse with water", "Call for help"]
    assert nearest_line("water rinse", lines) == "Rinse with water"
    assert nearest_line("zeppelin", lines) == "In the eye"


def test_a_title_in_full_comes_before_others_of_its_kind() -> None:
    longer = Entry("a", "recipe", "Two-part face mold, two-part face mold", "two-part face mold", "Two-part face mold")
    assert found("two-part face mold", [longer, FACE]) == ["mold/face-mold", "a"]
    assert found("mold face-mold", [FACE, RUN])[0] == "mold/face-mold"


def test_a_word_found_in_few_weighs_more_than_one_found_in_many() -> None:
    many = [Entry(f"mold-{number}", "failure", "Mold", "", "") for number in range(6)]
    rare = Entry("z", "failure", "Dowel", "", "")
    assert found("mold dowel", [*many, rare])[0] == "z"


def test_the_word_itself_comes_before_what_means_as_much_and_that_before_what_may_mean_it() -> None:
    notes = [Entry(word, "failure", f"{word} lid", "", "") for word in ("wedged", "jammed", "seized")]
    assert found("jammed", notes) == ["jammed", "seized", "wedged"]


def test_a_rare_word_itself_is_not_drowned_by_the_many_that_only_mean_as_much() -> None:
    many = [Entry(f"stuck-{place}", "failure", f"Stuck, no {place}", "", "") for place in range(9)]
    rare = Entry("z", "failure", "Lid", "", "jammed")
    assert found("jammed lid", [*many, rare])[0] == "z"


def test_everyday_words_find_a_trouble_and_no_recipe() -> None:
    assert found("kaput") == ["cracked-mold"]
    assert found("kaput", [Entry("mold/broken", "recipe", "Broken ornament", "", "break")]) == []


def test_what_holds_too_little_of_what_was_asked_is_not_found() -> None:
    assert found("snap") == ["cracked-mold"]
    assert found("zeppelin airship hangar propeller shell") == []


def test_a_rare_word_beside_it_does_not_hide_a_trouble_told_in_other_words() -> None:
    bald = Entry("bald", "failure", "Fur sheds", "hair molts", "")
    other = Entry("hot", "failure", "Too hot in the creature suit", "", "")
    fill = [Entry(f"fur-{place}", "failure", "Fur", "hair", "") for place in range(6)]
    assert "bald" in found("creature molting hair", [bald, other, *fill])


def test_the_order_does_not_depend_on_the_order_of_the_documents() -> None:
    assert found("mold") == found("mold", list(reversed(ALL)))


def test_a_book_adds_words_of_its_own_and_they_join_the_rows_they_share_a_word_with() -> None:
    assert found("verklemmt") == []
    assert found("verklemmt", own=(("verklemmt", "stuck"),)) == ["halves-stuck"]
    assert found("verklemmt", own=(("verklemmt", "jammed"),)) == ["halves-stuck"]


@pytest.mark.parametrize(
    ("words", "stems"),
    [
        ("cracked cracks cracking crack", "crack crack crack crack"),
        ("glue glued gluing", "glu glu glu"),
        ("ripped rips", "rip rip"),
        ("pulled spill", "pull spill"),
        ("edges edge halves halve", "edg edg halv halv"),
        ("bodies stitches washes boxes glasses", "body stitch wash box glass"),
        ("bleed bleeding need feeding", "bleed bleed need feed"),
        ("tries tried dry dries dried", "try try dry dry dry"),
        ("gas is this mess red ring", "gas is this mess red ring"),
        ("vulcanised vulcanize raised basis", "vulcaniz vulcaniz rais basis"),
        ("moisturiser moisturizers", "moisturizer moisturizer"),
        ("modelled modeling model smelled pulling", "model model model smell pull"),
    ],
)
def test_stems(words: str, stems: str) -> None:
    assert " ".join(map(stem, words.split())) == stems


def test_folding_keeps_letters_and_loses_capitals_and_accents() -> None:
    assert folded("Übergröße É") == "ubergrosse e"
    assert tokens("F-04 and (PU-77A), not two-part or r-2026-04-18") == [
        "f04", "and", "pu77a", "not", "two", "part", "or", "r", "2026", "04", "18",
    ]  # fmt: skip
    assert tokens("It won't open: 2-part, 60 %_x") == ["it", "wont", "open", "2", "part", "60", "x"]
