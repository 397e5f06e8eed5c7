"""What the words of a query fit: forms of verbs, words run together or apart, small words, labels, slips."""

from __future__ import annotations

import pytest
import yaml

from campaigns.many import through
from mothermold.find.index import Entry, build_index
from mothermold.find.ranking import search
from mothermold.find.terms import slips_between
from mothermold.find.thesaurus import _FILE, thesaurus

KINDS = ("failure", "run")


def found(query: str, *texts: str) -> list[str]:
    entries = [Entry(f"n-{place}", "failure", text, "", "") for place, text in enumerate(texts)]
    return [hit.entry.title for hit in search(query, build_index(entries, KINDS)).hits]


@through(
    "forms",
    [
        "break broke broken breaking", "tear tore torn tearing", "stick stuck sticks", "freeze froze frozen", "bleed bled bleeding",
        "shrink shrank shrunk shrunken", "sink sank sunk sunken", "come came coming", "run ran running", "leave left leaving",
        "hold held holding", "stand stood standing", "wear wore worn wearing", "bend bent", "burn burnt burned", "cast casted casting",
        "hang hung hanged", "slide slid sliding", "swell swollen swelled", "spill spilt", "lose lost", "catch caught", "find found",
        "unstick unstuck", "shake shook shaken", "choose chose chosen",
    ],
)  # fmt: skip
def test_every_form_of_a_verb_finds_every_other(forms: str) -> None:
    every = forms.split()
    known = thesaurus()
    assert len(set(known.stems(every))) == 1
    for form in every:
        assert found(form, f"qq {every[0]} qq") == [f"qq {every[0]} qq"]


def test_no_form_stands_with_two_verbs_and_none_is_another_word_of_the_bench() -> None:
    forms = yaml.safe_load(_FILE.read_text(encoding="utf-8"))["forms"]
    listed = [form for each in forms.values() for form in each]
    assert len(listed) == len(set(listed)) == len(thesaurus().forms)
    assert not {"wound", "saw", "felt", "ring", "rang", "ground", "gone"} & set(listed)


def test_a_slip_in_a_form_is_still_that_verb() -> None:
    assert found("stuk", "Core will stick") == ["Core will stick"]
    assert found("frozn", "Do not freeze") == ["Do not freeze"]


@pytest.mark.parametrize("small", ["his", "her", "him", "them", "myself", "herself", "whose", "these"])
def test_a_pronoun_is_a_small_word_and_no_beginning(small: str) -> None:
    assert found(f"{small} edge", "Edge curls", f"{small}s and rattles") == ["Edge curls"]
    assert found(small, f"{small}sing in the pot") == []


def test_his_is_not_the_head_of_hiss_and_what_is_being_typed_still_finds() -> None:
    assert found("his", "Loud hiss") == []
    assert found("hiss", "Loud hissing") == ["Loud hissing"]
    assert found("his", "At his ear", "Loud hiss") == ["At his ear"]


@pytest.mark.parametrize(
    ("query", "text"),
    [
        ("hairlace", "Glue in the hair lace"), ("hair lace", "Glue in the hairlace"), ("pinhole", "A pin hole"), ("pin hole", "A pinhole"),
        ("edgeline", "Trace the edge line"), ("edge line", "Trace the edgeline"), ("bandplate", "Oil on the band plate"),
        ("F-04", "Piece F-04"), ("f04", "Piece F-04"), ("F 04", "Piece F-04"),
    ],
)  # fmt: skip
def test_words_run_together_and_apart_find_each_other(query: str, text: str) -> None:
    assert found(query, text, "Nothing else here") == [text]


@pytest.mark.parametrize(
    ("query", "text"),
    [
        ("blurry", "A blurred print"), ("injector", "Inject slowly"), ("leakage", "It leaks"), ("hardness", "Hard as wood"),
        ("underbaked", "Bake it longer"), ("overspray", "Spray at the rim"), ("moulting", "It molts"), ("tyre", "A tire"),
        ("getting teeth", "A tooth"), ("dyed", "Mix the dye"),
    ],
)  # fmt: skip
def test_a_word_is_read_as_what_it_is_made_of(query: str, text: str) -> None:
    assert found(query, text, "Nothing else here") == [text]


@pytest.mark.parametrize(
    ("query", "text"),
    [
        ("lunch", "Punch the plate"), ("weld", "A wild curl"), ("corset", "Core set early"),
        ("car lid", "Carve it"), ("station", "The elation"),
    ],
)  # fmt: skip
def test_a_word_that_only_looks_alike_is_not_taken_for_another(query: str, text: str) -> None:
    assert found(query, text) == []


def test_what_is_still_being_typed_is_the_last_word_only() -> None:
    assert found("car", "Carve it") == ["Carve it"]
    assert found("lid car", "Carve the lid") == ["Carve the lid"]


def test_words_around_a_trouble_are_small() -> None:
    assert found("keeps getting worse somewhere", "Get out, keep calm", "Worse than before") == ["Worse than before"]


def test_a_text_that_runs_words_together_does_not_hide_one_that_does_not() -> None:
    assert set(found("edgeline", "Trace the edgeline", "Trace the edge line")) == {
        "Trace the edgeline",
        "Trace the edge line",
    }


def test_a_label_is_one_word_and_not_its_letter_and_its_number_somewhere() -> None:
    assert found("F-04", "Piece F-07 of 04 April", "Piece F-04") == ["Piece F-04"]


def test_what_begins_like_a_word_of_the_book_is_not_cut_in_two() -> None:
    assert found("edgelin", "Trace the edgeline", "An edge, linseed") == ["Trace the edgeline"]


def test_rules_and_labels_do_not_change_what_is_rare_in_the_book() -> None:
    notes = [Entry(f"n-{place}", "failure", f"Edge {place}", "", "dowel" if place == 1 else "") for place in range(9)]
    labels = [Entry(f"L{place}", "lot", f"Dowel {place}", "", "", ("material", "wood")) for place in range(90)]
    plain, more = (
        search("dowel edge", build_index(entries, ("failure", "lot"))) for entries in (notes, [*notes, *labels])
    )
    assert [(hit.entry.id, hit.score) for hit in plain.hits] == [
        (hit.entry.id, hit.score) for hit in more.hits if hit.entry.kind == "failure"
    ]


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
