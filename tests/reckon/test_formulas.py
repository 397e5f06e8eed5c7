"""Every fault of a formula, and where it points."""

from __future__ import annotations

import pytest

from campaigns.many import through
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.formula import FormulaFault, find_formula_faults
from reckon.bench import masses, mixes_of, resolved

Place = tuple[str | int, ...]


def _faults(text: str) -> list[FormulaFault]:
    return list(find_formula_faults(mixes_of(text)))


def _only(text: str) -> FormulaFault:
    faults = _faults(text)
    assert len(faults) == 1, [(fault.code, fault.path, fault.message) for fault in faults]
    return faults[0]


MAIN = "{material: a, parts: 100}"

ONE_FAULT: list[tuple[str, str, Place, str]] = [
    # text, code, place below the mixes, what the advice must say
    (f"a: {{parts: [{MAIN}]}}", "name-shared", (0, "id"), "`a-mix`"),
    (
        f"m: {{parts: [{MAIN}, {{material: b, mix: n, parts: 1}}]}}\nn: {{parts: [{{material: c, parts: 1}}]}}",
        "both-given", (0, "parts", 1, "mix"), "Keep one",
    ),
    (f"m: {{parts: [{MAIN}, {{parts: 3}}]}}", "missing-key", (0, "parts", 1), "material"),
    (f"m: {{parts: [{MAIN}, {{}}]}}", "missing-key", (0, "parts", 1), "material"),
    (
        f"tinted: {{parts: [{MAIN}]}}\nm: {{parts: [{{mix: tintde, parts: 3}}]}}",
        "unknown-mix", (1, "parts", 0, "mix"), "`tinted`",
    ),
    (f"m: {{parts: [{MAIN}, {{material: a, parts: 3}}]}}", "part-twice", (0, "parts", 1, "material"), "one part"),
    (
        f"m: {{parts: [{{mix: n, parts: 1}}, {{mix: n, parts: 3}}]}}\nn: {{parts: [{MAIN}]}}",
        "part-twice", (0, "parts", 1, "mix"), "one part",
    ),
    (
        f"m: {{parts: [{MAIN}, {{material: d, percent: 5, of: [a, a]}}]}}",
        "part-twice", (0, "parts", 1, "of", 1), "once",
    ),
    (f"m: {{parts: [{MAIN}, {{material: d}}]}}", "no-amount", (0, "parts", 1), "parts: 100"),
    (f"m: {{parts: [{MAIN}, {{material: d, of: a}}]}}", "no-amount", (0, "parts", 1), "percent: 10"),
    (
        f"m: {{parts: [{MAIN}, {{material: d, parts: 3, percent: 5, of: a}}]}}",
        "both-given", (0, "parts", 1, "percent"), "`parts` or `percent`",
    ),
    (
        f"m: {{parts: [{MAIN}, {{material: d, amount: 3 g, match: swatch-3}}]}}",
        "both-given", (0, "parts", 1, "match"), "`amount` or `match`",
    ),
    (f"m: {{parts: [{MAIN}, {{material: d, percent: 5}}]}}", "percent-without-of", (0, "parts", 1), "of:"),
    (
        f"m: {{parts: [{MAIN}, {{material: d, percent: 60, of: total}}, {{material: e, percent: 50, of: total}},"
        " {material: f, percent: 10, of: total}]}",
        "percent-over-total", (0, "parts", 2, "percent"), "under 100 %",
    ),
    (
        f"m: {{parts: [{MAIN}, {{material: d, percent: 100, of: total}}]}}",
        "percent-over-total", (0, "parts", 1, "percent"), "under 100 %",
    ),
    (
        f"m: {{parts: [{MAIN}, {{material: d, percent: 5, of: [a, total]}}]}}",
        "of-not-allowed", (0, "parts", 1, "of", 1), "of: total",
    ),
    (
        f"m: {{parts: [{MAIN}, {{material: d, percent: 5, of: [a, the-rest]}}]}}",
        "of-not-allowed", (0, "parts", 1, "of", 1), "of: the-rest",
    ),
    (
        f"m: {{parts: [{MAIN}, {{material: d, percent: 5, of: the-rest}}, {{material: e, percent: 1, of: d}}]}}",
        "of-not-allowed", (0, "parts", 2, "of", 0), "`d`",
    ),
    (
        f"m: {{parts: [{MAIN}, {{material: d, percent: 5, of: total}}, {{material: e, percent: 1, of: [a, d]}}]}}",
        "of-not-allowed", (0, "parts", 2, "of", 1), "`d`",
    ),
    (
        f"m: {{parts: [{MAIN}, {{material: d, amount: 4 drops}}, {{material: e, percent: 1, of: d}}]}}",
        "of-not-allowed", (0, "parts", 2, "of", 0), "`parts`",
    ),
    (
        f"m: {{parts: [{MAIN}, {{material: d, match: swatch-3}}, {{material: e, percent: 1, of: d}}]}}",
        "of-not-allowed", (0, "parts", 2, "of", 0), "`parts`",
    ),
    (
        f"m: {{parts: [{{mix: n, parts: 1}}, {{material: e, percent: 1, of: n/d}}]}}\n"
        f"n: {{parts: [{MAIN}, {{material: d, amount: a pinch}}]}}",
        "of-not-allowed", (0, "parts", 1, "of", 0), "`parts`",
    ),
    (
        f"m: {{parts: [{MAIN}, {{material: deadener, parts: 5}}, {{material: e, percent: 1, of: deadenre}}]}}",
        "unknown-part", (0, "parts", 2, "of", 0), "`deadener`",
    ),
    (
        f"m: {{parts: [{{mix: n, parts: 1}}, {{material: e, percent: 1, of: n/b}}]}}\nn: {{parts: [{MAIN}]}}",
        "unknown-part", (0, "parts", 1, "of", 0), "`n/a`",
    ),
    (
        f"m: {{parts: [{MAIN}, {{material: e, percent: 1, of: a/b}}]}}",
        "unknown-part", (0, "parts", 1, "of", 0), "it is a material",
    ),
    (
        "m: {parts: [{mix: nn, parts: 1}, {material: e, percent: 1, of: silicone}]}\n"
        "nn: {parts: [{material: silicone, parts: 1}]}",
        "unknown-part", (0, "parts", 1, "of", 0), "`nn/silicone`",
    ),
    (
        f"m: {{parts: [{MAIN}, {{material: d, percent: 5, of: d}}]}}",
        "percent-circle", (0, "parts", 1, "of"), "`d`",
    ),
    (
        f"m: {{parts: [{MAIN}, {{material: d, percent: 5, of: e}}, {{material: e, percent: 5, of: d}}]}}",
        "percent-circle", (0, "parts", 1, "of"), "`d`",
    ),
    (
        "m: {parts: [{material: d, percent: 5, of: e}, {material: e, percent: 5, of: [a, f]},"
        f" {{material: f, percent: 5, of: d}}, {MAIN}]}}",
        "percent-circle", (0, "parts", 0, "of"), "`d`",
    ),
    (
        "m: {parts: [{material: d, percent: 5, of: e}, {material: e, percent: 5, of: d}]}",
        "percent-circle", (0, "parts", 0, "of"), "`d`",
    ),
    ("m: {parts: [{material: a, parts: 0}, {material: d, percent: 5, of: a}]}", "no-parts", (0, "parts"), "parts: 100"),
    (
        "m: {parts: [{material: a, amount: 50 g}, {material: d, percent: 5, of: total}]}",
        "no-parts", (0, "parts"), "parts: 100",
    ),
    ("m: {parts: [{material: a, parts: 0}, {material: d, amount: 5 g}]}", "no-parts", (0, "parts"), "parts: 100"),
    ("m: {parts: [{mix: m, parts: 1}]}", "mix-circle", (0, "parts", 0, "mix"), "`m`"),
    (
        f"x: {{parts: [{MAIN}]}}\nm: {{parts: [{{material: b, parts: 1}}, {{mix: n, parts: 1}}]}}\n"
        "n: {parts: [{mix: m, parts: 1}]}",
        "mix-circle", (1, "parts", 1, "mix"), "`m` or `n`",
    ),
    (
        "m: {parts: [{mix: n, parts: 1}]}\nn: {parts: [{mix: o, parts: 1}]}\n"
        "o: {parts: [{material: c, parts: 1}, {mix: m, parts: 1}]}",
        "mix-circle", (0, "parts", 0, "mix"), "`m`, `n` or `o`",
    ),
]  # fmt: skip


@through(("text", "code", "place", "advice"), ONE_FAULT)
def test_each_fault_is_told_once_and_where_it_is(text: str, code: str, place: Place, advice: str) -> None:
    fault = _only(text)
    assert (fault.code, fault.path) == (code, place)
    assert advice in fault.advice
    assert "``" not in fault.message + fault.advice


@through("text", [text for text, *_ in ONE_FAULT])
def test_a_faulty_formula_is_never_reckoned(text: str) -> None:
    first = _only(text)
    mixes = mixes_of(text)
    with pytest.raises(ReckoningError) as refused:
        resolved(text, mixes[int(first.path[0])].id)
    assert (refused.value.code, refused.value.message) == (first.code, first.message)


@pytest.mark.parametrize(
    "text",
    [
        f"m: {{parts: [{MAIN}]}}",
        "m: {parts: [{material: a, amount: 50 g}, {material: b, match: swatch-3}, {material: c, amount: a pinch}]}",
        "m: {parts: [{material: d, percent: 5, of: total}, {material: e, percent: 5, of: the-rest},"
        f" {{material: f, percent: 5, of: [a, g]}}, {{material: g, percent: 1, of: a}}, {MAIN}]}}",
        "m: {parts: [{mix: n, parts: 1}, {material: e, percent: 1, of: [n, n/o-a]}]}\n"
        "n: {parts: [{mix: o, parts: 1}]}\no: {parts: [{material: o-a, parts: 1}]}",
        # The same premix twice at different depths is no circle.
        "m: {parts: [{mix: n, parts: 1}, {mix: o, parts: 1}]}\n"
        "n: {parts: [{mix: o, parts: 1}]}\no: {parts: [{material: a, parts: 1}]}",
        "m: {parts: []}",
    ],
)
def test_a_sound_formula_has_no_fault(text: str) -> None:
    assert _faults(text) == []


def test_a_self_circle_says_that_the_mix_contains_itself() -> None:
    assert _only("m: {parts: [{mix: m, parts: 1}]}").message == "The mix `m` contains itself."


def test_faults_of_different_mixes_are_all_told() -> None:
    faults = _faults("m: {parts: [{material: a}]}\nn: {parts: [{material: b, percent: 3}, {material: c, parts: 1}]}")
    assert [(fault.code, fault.path) for fault in faults] == [
        ("no-amount", (0, "parts", 0)),
        ("percent-without-of", (1, "parts", 0)),
    ]


def test_what_is_still_to_be_written_in_another_mix_keeps_none_from_being_reckoned() -> None:
    text = f"m: {{parts: [{MAIN}]}}\nother: {{parts: [{{material: b}}]}}\nround: {{parts: [{{mix: round, parts: 1}}]}}"
    assert masses(resolved(text, "m")) == {"a": 100}
    with pytest.raises(ReckoningError):
        resolved(text, "other")


def test_a_second_circle_is_refused_too_and_not_walked_for_ever() -> None:
    text = "\n".join(f"{one}: {{parts: [{{mix: {other}, parts: 1}}]}}" for one, other in ("ab", "ba", "cd", "dc"))
    for mix_id in "abcd":
        with pytest.raises(ReckoningError) as refused:
            resolved(text, mix_id)
        assert refused.value.code == "mix-circle"


def test_a_mix_the_recipe_does_not_have_is_named_with_the_nearest() -> None:
    with pytest.raises(ReckoningError) as refused:
        resolved(f"tinted: {{parts: [{MAIN}]}}", "tintde")
    assert refused.value.code == "unknown-mix"
    assert "`tinted`" in refused.value.advice


def test_many_ways_through_the_same_premixes_are_walked_once() -> None:
    # Walked one by one it would not end.
    # Thirty floors of two mixes, each made of both below: a thousand million ways down.
    floors = [
        f"{side}{n}: {{parts: [{{mix: l{n + 1}, parts: 1}}, {{mix: r{n + 1}, parts: 1}}]}}"
        for n in range(30)
        for side in "lr"
    ]
    text = "\n".join([*floors, f"l30: {{parts: [{MAIN}]}}", "r30: {parts: [{material: b, parts: 1}]}"])
    mix = resolved(text, "l0")
    assert {part.name: part.mass for part in mix.materials} == {"a": 1, "b": 1}


def test_many_percents_of_each_other_are_walked_once() -> None:
    parts = [MAIN, "{material: p0, percent: 1, of: a}"]
    parts += [f"{{material: p{n}, percent: 1, of: [{', '.join(f'p{m}' for m in range(n))}]}}" for n in range(1, 40)]
    assert _faults(f"m: {{parts: [{', '.join(parts)}]}}") == []


def test_a_long_chain_of_premixes_is_reckoned_like_a_short_one() -> None:
    chain = [f"m{n}: {{parts: [{{mix: m{n + 1}, parts: 2}}]}}" for n in range(1500)]
    text = "\n".join([*chain, f"m1500: {{parts: [{MAIN}]}}"])
    assert {part.name: part.mass for part in resolved(text, "m0").materials} == {"a": 2}


@pytest.mark.parametrize("of", ["total", "the-rest", "b"])
def test_a_part_in_parts_is_read_as_that_whatever_its_of_says(of: str) -> None:
    text = f"m: {{parts: [{{material: a, parts: 1, of: {of}}}, {{material: b, parts: 3}}]}}"
    assert _faults(text) == []
    assert masses(resolved(text, "m")) == {"a": 1, "b": 3}
