"""What answers to some words, and in which order."""

from __future__ import annotations

import pytest

from mothermold.find.index import Entry, build_index
from mothermold.find.ranking import ranked, slips_between
from mothermold.find.stems import folded, stem, tokens
from mothermold.find.thesaurus import thesaurus

KINDS = ("failure", "recipe", "run")
CRACK = Entry("cracked-mold", "failure", "Mold cracked while being opened", "loud snap when opening", "strap the shell")
STUCK = Entry("halves-stuck", "failure", "Halves stuck together", "mold will not open", "wedges at the pry slots")
FACE = Entry("mold/face-mold", "recipe", "Two-part face mold", "mold/face-mold", "pry slots, dowels, clay sheet")
RUN = Entry("r-1", "run", "Face mold, first pull", "r-1", "opened with a crême brush")
ALL = [RUN, FACE, STUCK, CRACK]


def found(query: str, entries: list[Entry] = ALL, own: tuple[tuple[str, ...], ...] = ()) -> list[str]:
    return [hit.entry.id for hit in ranked(query, build_index(entries, KINDS, thesaurus(own)))]


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
        ("halfs stuk", ["halves-stuck"]),  # slips in typing
        ("won't come apart", ["halves-stuck"]),  # another word for it
        ("does not open", ["halves-stuck"]),  # every no is one
        ("dow", ["mold/face-mold"]),  # still being typed
        ("the dowels", ["mold/face-mold"]),  # small words find nothing by themselves
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


def test_all_words_must_match_where_a_trouble_is_called_by_them_all() -> None:
    assert found("cracked mold") == ["cracked-mold"]


def test_a_title_in_full_comes_before_others_of_its_kind() -> None:
    longer = Entry("a", "recipe", "Two-part face mold, two-part face mold", "two-part face mold", "Two-part face mold")
    assert found("two-part face mold", [longer, FACE]) == ["mold/face-mold", "a"]
    assert found("mold face-mold", [FACE, RUN])[0] == "mold/face-mold"


def test_a_word_found_in_few_weighs_more_than_one_found_in_many() -> None:
    many = [Entry(f"mold-{number}", "failure", "Mold", "", "") for number in range(6)]
    rare = Entry("z", "failure", "Dowel", "", "")
    assert found("mold dowel", [*many, rare])[0] == "z"


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
        ("gas is this mess red ring", "gas is this mess red ring"),
    ],
)
def test_stems(words: str, stems: str) -> None:
    assert " ".join(map(stem, words.split())) == stems


def test_folding_keeps_letters_and_loses_capitals_and_accents() -> None:
    assert folded("Übergröße É") == "ubergrosse e"
    assert tokens("It won't open: 2-part, 60 %_x") == ["it", "wont", "open", "2", "part", "60", "x"]


@pytest.mark.parametrize(
    ("one", "other", "slips"),
    [
        ("silicone", "silicone", 0), ("silicon", "silicone", 1), ("silcione", "silicone", 1), ("slicone", "silicone", 1),
        ("silikone", "silicone", 1), ("abcd", "badc", 2), ("kitten", "sitting", 3), ("ca", "abc", 3),
    ],
)  # fmt: skip
def test_slips_are_counted_as_letters_wrong_missing_added_or_swapped(one: str, other: str, slips: int) -> None:
    # The last is 3 where no letter may be moved twice: the restricted distance of Damerau and Levenshtein.
    assert slips_between(one, other, 5) == slips
    assert slips_between(other, one, 5) == slips
    assert (slips_between(one, other, 1) > 1) == (slips > 1)
