"""What calls first aid, and what only sounds alike: sets written by people who had not seen the table.

``open.yaml`` and ``many.yaml`` were looked at while the table grew. ``sealed.yaml`` and ``third.yaml`` were opened once each, when it was
done: of 30 emergencies 28 called and 4 of 30 sound-alikes did, then of 80 emergencies 72 and 10 of 80; what failed was mended then.
``fifth.yaml`` was written blind by one person, short as people type (names of products were put into plain words afterwards): at first
look 164 of 200 emergencies called, 148 with the row meant among the first three, and 15 of 200 sound-alikes did. ``sixth.yaml`` was
written by whoever mended that, halfway, in five other voices, before it was run: 82 of 100 called, 81 among the first three, and 13 of
100 falsely. ``seventh.yaml`` was written blind by somebody else and opened when that was done: 60 of 60 called, 58 with the row meant
among the first three, and 1 of 60 sound-alikes; before it had been 58, 54 and 3.
``eighth.yaml``, blind by another again and opened next: 59 of 60 called, 2 of 60 falsely.
``ninth.yaml`` and ``tenth.yaml`` the same twice more: each 59 of 60, 1 of 60. Where another row's acts fit as well, ``also`` was added.
Then the table was written anew, by classes of words that are composed (``test_composed.py``), and two halves by somebody else who had seen
neither it nor these sets: ``eleventh.yaml`` at first look 29 of 30 called, 4 of 30 falsely, mended by classes; ``twelfth.yaml``, opened once
when that was done: 30 of 30 called, each with the row meant among the first three, and none of 30 falsely.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from mothermold.find.shouted import shouted

DATA = Path(__file__).parents[1] / "data" / "hurt"
SETS = sorted(DATA.glob("*.yaml"))


def told(path: Path) -> dict[str, Any]:
    return yaml.safe_load(path.read_text(encoding="utf-8"))  # type: ignore[no-any-return]


def called(query: str) -> list[str]:
    return [hurt.id for hurt in shouted(query)]


@pytest.mark.parametrize("path", SETS, ids=lambda path: path.stem)
def test_every_emergency_calls_first_aid(path: Path) -> None:
    silent = [each["said"] for each in told(path)["emergencies"] if not called(each["said"])]
    assert silent == []


@pytest.mark.parametrize("path", SETS, ids=lambda path: path.stem)
def test_what_only_sounds_alike_calls_nothing(path: Path) -> None:
    false = {said: found for said in told(path)["alike"] if (found := called(said))}
    assert false == {}


@pytest.mark.parametrize("path", SETS, ids=lambda path: path.stem)
def test_the_kind_of_hurt_that_is_meant_stands_first(path: Path) -> None:
    emergencies = told(path)["emergencies"]
    other = {
        each["said"]: found
        for each in emergencies
        if (found := called(each["said"]))[:1] not in [[row] for row in (each["row"], *each.get("also", ()))]
    }
    # Which of two that fit comes first is a matter of taste; that the one meant is among the first three is none.
    assert len(other) <= len(emergencies) * 0.05, other
    assert all({each["row"], *each.get("also", ())} & set(called(each["said"])[:3]) for each in emergencies), other


@pytest.mark.parametrize(
    ("query", "first"),
    [
        ("burn from plaster", "setting-gypsum"),
        ("wearer fainted", "fainted"),
        ("glue in eye", "in-the-eye"),
        ("cant breath", "airway-blocked"),
        ("i can't breathe in this mold", "airway-blocked"),
        ("burned", "burn"),
        ("bleeding", "cut-or-needle"),
        ("fire", "fire"),
        ("somebody is hurt", "anything-else"),
    ],
)
def test_what_people_shout(query: str, first: str) -> None:
    assert called(query)[0] == first


@pytest.mark.parametrize(
    "query",
    [
        "", "a burned edge of foam", "an air bubble at the eyelid of a mold", "a cut seam", "stuck mold", "sticky rim", "faint line",
        "make a burn scar", "air at cheek", "pot life", "fire up the oven", "hand cast in stone", "nose tip tore", "eye bag",
    ],
)  # fmt: skip
def test_a_thing_that_is_hurt_calls_nobody(query: str) -> None:
    assert called(query) == []


def test_a_slip_of_a_wet_finger_is_forgiven() -> None:
    assert called("she faintd in the chair")[0] == "fainted"
    assert called("chocking on it")[0] == "airway-blocked"


@pytest.mark.parametrize(
    ("somebody", "thing"),
    [
        ("something hot in the hole of her nose, it burns", "the mouth of the vent is blocked"),
        ("her nose is blocked", "a rubber nose is blocked"),
        ("blister on my hand", "blister makeup"),
        ("goo over both nose holes", "bigger nose hole"),
        ("how to get resin out of her eye", "how to paint a sore eye"),
        ("his cheek is swollen", "swollen cheek, which paint"),
        ("what do i do he has burned his arm", "what size burn on an arm"),
    ],
)
def test_a_body_is_told_from_what_is_made_and_asked(somebody: str, thing: str) -> None:
    assert called(somebody)
    assert not called(thing)


@pytest.mark.parametrize(
    "query", ["my ankle has gone numb", "the driver is shivering", "he is shaky and his arm aches"]
)
def test_any_harm_of_somebody_calls_the_last_row_where_no_other_fits(query: str) -> None:
    assert "anything-else" in called(query)


def test_a_slip_makes_nothing_silent() -> None:
    """Nobody means by a slip what silences first aid: ``complaining`` is no ``compliant``."""
    assert called("performer complaining of pain, lens torn in his eye")
