"""What families give off: every family is decided, and what stands for the maker's figure says where it is from."""

from __future__ import annotations

from pathlib import Path

import mothermold.trade.vapors as module
from campaigns.many import through
from mothermold.ground.reading import read_table
from mothermold.trade.vapors import gives_off, vapors
from mothermold.trade.vocabulary import FAMILIES

KNOWN_TO_EVAPORATE = (
    "acetone", "alcohol", "ester-solvent", "naphtha", "hydrocarbon-solvent", "volatile-silicone", "polyester-resin", "natural-latex",
    "foam-latex", "adhesive-spirit-gum", "adhesive-silicone", "encapsulant-acetone", "encapsulant-alcohol", "shellac", "sealer",
    "primer", "paint-alcohol-activated", "silicone-paint", "remover-solvent", "remover-silicone", "remover-citrus", "acrylic-resin",
    "polyurethane-resin", "polyurethane-rubber", "epoxy",
)  # fmt: skip


def test_every_family_stands_in_exactly_one_list() -> None:
    told = read_table(Path(module.__file__).with_name("vapors.yaml"))
    listed = [name for rows in told.values() for name in rows]
    assert sorted(listed) == sorted(FAMILIES)


@through("family", KNOWN_TO_EVAPORATE)
def test_a_family_that_is_known_to_evaporate_never_counts_as_giving_off_nothing(family: str) -> None:
    assert vapors()[family].kind != "nothing"
    assert "nothing" not in {each.kind for each in gives_off(["water", family])}


def test_every_usual_value_names_a_substance_a_share_and_where_it_is_from() -> None:
    for each in vapors().values():
        assert each.words, each.family
        if each.kind == "usual":
            assert each.substance is not None
            assert 0 <= each.percent[0] <= each.percent[1] <= 100
            assert each.source


def test_of_several_usual_families_the_one_with_the_most_is_taken() -> None:
    (found,) = gives_off(["adhesive-spirit-gum", "alcohol", "water"])
    assert (found.family, found.percent) == ("alcohol", (70, 100))


def test_a_family_of_the_books_own_is_not_known_and_silences_no_other() -> None:
    found = gives_off(["marsh-goo", "naphtha"])
    assert [(each.family, each.kind) for each in found] == [("naphtha", "usual"), ("marsh-goo", "differs")]


def test_only_families_that_give_off_nothing_say_so() -> None:
    assert [each.kind for each in gives_off(["gypsum-cement", "water"])] == ["nothing", "nothing"]


def test_plain_jelly_for_the_skin_gives_off_nothing_and_a_watery_toner_is_not_known() -> None:
    assert [each.kind for each in gives_off(["petroleum-jelly", "skin-care"])] == ["nothing"]
    assert [each.kind for each in gives_off(["water", "skin-care"])] == ["differs"]
