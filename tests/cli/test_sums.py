"""The small sums of the bench on the command line: what they say, and what they refuse."""

from __future__ import annotations

import json
import shlex
from typing import Any

import pytest

from mothermold.cli.main import main

Said = tuple[int, str]


@pytest.fixture
def say(capsys: pytest.CaptureFixture[str]) -> Any:
    def saying(line: str) -> Said:
        status = main(shlex.split(line))
        printed = capsys.readouterr()
        return status, printed.out + printed.err

    return saying


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("gypsum --fill '1 l' --ratio 38", ["1343 g", "510 g", "up to about 56 to 63 K", "Never encase a hand"]),
        ("gypsum --powder '3 kg' --ratio 30", ["900 g", "3559 g"]),
        ("gypsum --powder '100 g' --ratio 38 --density '2.6 g/ml' --water-density '1 g/ml'", ["76.46 ml"]),
        ("gypsum --demolded '10 kg' --ratio 38", ["about 8596 g", "two equal weighings"]),
        ("cure --time '6 min' --at '23 degC' --room '18 degC'", ["7 min 21 s", "8 min 29 s", "9 min 29 s", "your own log"]),
        ("cure --time '1-4 h' --at '73.4 degF' --room '23 degC'", ["1 h", "2 h 30 min", "4 h"]),
        ("cure --time '6 min' --at '23 degC' --room '14 degC'", ["known to stall"]),
        ("cure --time '6 min' --at '23 degC' --second '4 min' --second-at '30 degC'", ["1.78 times"]),
        ("curve --disc '120 mm' --radius '90 mm'", ["27.3 mm too much around its rim", "-7.24 %", "62 mm across"]),
        ("curve --band '40 mm' --radius '90 mm'", ["2.5 mm too much along each 100 mm", "36 mm across"]),
        ("curve --disc '40 mm' --radius '60 mm' --across '90 mm' --saddle", ["stretches", "too little", "+1.24 %"]),
        ("curve --disc '40 mm' --radius '90 mm' --across flat", ["any size lies down"]),
        ("curve --disc '40 mm' --radius '90 mm' --tolerance 5", ["within 5 %"]),
    ],
)  # fmt: skip
def test_a_sum_is_said_in_the_words_of_the_bench(line: str, words: list[str], say: Any) -> None:
    status, text = say(line)
    assert status == 0
    assert [word for word in words if word not in " ".join(text.split())] == []


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("gypsum", "nothing-to-reckon"),
        ("gypsum --fill '1 l'", "nothing-to-reckon"),
        ("gypsum --fill '1 l' --powder '1 kg' --ratio 38", "two-fills"),
        ("gypsum --fill '1 kg' --ratio 38", "wrong-unit"),
        ("gypsum --fill '1 l' --ratio 36-42", "bad-quantity"),
        ("gypsum --fill '1 l' --ratio 15", "beyond-range"),
        ("gypsum --demolded '1 kg' --ratio 150", "beyond-range"),
        ("cure --room '18 degC'", "nothing-to-reckon"),
        ("cure --time '6 min' --at '23 degC'", "nothing-to-reckon"),
        ("cure --time '6 min' --at '23 degC' --room '15-18 degC'", "bad-quantity"),
        ("cure --time '6 min' --at '23 degC' --room '0 degC'", "beyond-range"),
        ("cure --time '6 min' --at '23 degC' --room '18 C'", "wrong-unit"),
        ("cure --time '6 min' --at '23 degC' --second '5 min'", "nothing-to-reckon"),
        ("cure --time '6 min' --at '23 degC' --second '7 min' --second-at '30 degC'", "beyond-range"),
        ("curve --radius '90 mm'", "nothing-to-reckon"),
        ("curve --disc '20 mm' --band '20 mm' --radius '90 mm'", "two-fills"),
        ("curve --disc '400 mm' --radius '90 mm'", "beyond-range"),
        ("curve --disc '40 mm' --radius '90 mm' --tolerance '1 mm'", "wrong-unit"),
        ("curve --disc '40 mm' --radius '90 mm' --tolerance 1-2", "bad-quantity"),
        ("curve --disc '40 mm' --radius '90 mm' --tolerance 30", "beyond-range"),
    ],
)
def test_a_sum_that_cannot_be_is_refused_with_what_to_type(line: str, code: str, say: Any) -> None:
    status, text = say(line)
    assert (status, f"({code})" in text) == (1, True), text
    status, text = say(f"{line} --format json")
    answer = json.loads(text)
    assert (status, [each["code"] for each in answer["notices"]], answer["cautions"]) == (1, [code], [])
