"""Thousands of sentences composed by rule, emergencies and sentences of the craft: classes of words hold beyond the words anybody listed.

The grammar (``tests/data/hurt_composed/grammar.yaml``) was written from general English and first aid. What it composes is crude, so a
few in a thousand may be silent or call: what must not happen is that a class has a hole.
"""

from __future__ import annotations

import random
import re
from pathlib import Path
from typing import Any

import pytest
import yaml

from campaigns.seeds import seeds
from mothermold.find.shouted import shouted

GRAMMAR: dict[str, Any] = yaml.safe_load(
    (Path(__file__).parents[1] / "data" / "hurt_composed" / "grammar.yaml").read_text(encoding="utf-8")
)
EACH = 8
"""Sentences of each template and seed."""


def composed(template: str, some: random.Random) -> str:
    filled = re.sub(r"\{(\w+)\}", lambda slot: some.choice(GRAMMAR["slots"][slot[1]]), template)
    return " ".join(filled.split())


@pytest.mark.parametrize("seed", seeds(1, 20))
def test_a_composed_emergency_calls_its_kind_of_hurt_among_the_first_three(seed: int) -> None:
    some = random.Random(seed)
    all_said = [
        (row, composed(template, some))
        for row, templates in GRAMMAR["emergencies"].items()
        for template in templates
        for _ in range(EACH)
    ]
    other = [(row, said) for row, said in all_said if row not in [hurt.id for hurt in shouted(said)[:3]]]
    assert len(other) <= len(all_said) * 0.01, other


@pytest.mark.parametrize("seed", seeds(1, 20))
def test_a_composed_sentence_of_the_craft_calls_nothing(seed: int) -> None:
    some = random.Random(seed)
    all_said = [composed(template, some) for template in GRAMMAR["alike"] for _ in range(EACH)]
    false = [said for said in all_said if shouted(said)]
    assert len(false) <= len(all_said) * 0.02, false
