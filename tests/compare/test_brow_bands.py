"""The first two versions of the sample book's brow bands, with the difference worked out by reading both."""

from __future__ import annotations

from typing import Any

from compare.applying import apply
from compare.texts import ROOT, read
from mothermold.compare.differences import differences
from mothermold.model.recipe import Recipe

STORY = ROOT / "tools" / "mothermold" / "story"
FIRST = read((STORY / "2026-03-11-degas-and-roll/recipes/cast/brow-bands.yaml").read_bytes())
SECOND = read((STORY / "2026-03-20-a-clean-plate/recipes/cast/brow-bands.yaml").read_bytes())

SPOT = {
    "id": "spot",
    "title": "A spot of bare gel to try the plate with",
    "parts": [{"material": "gel-silicone-a", "amount": "10 g"}, {"material": "gel-silicone-b", "amount": "10 g"}],
}
TRY_SPOT = {
    "id": "try-spot",
    "phase": "prepare",
    "title": "Try the plate with a spot of gel",
    "do": (
        "A coin of bare gel on the rim and one in a recess, the rest stays in the cup. A day later both are as dry as "
        "the cup, or nothing is cast on this plate."
    ),
    "hands_on": "10 min",
    "once": "build",
    "uses": [
        {
            "material": "petroleum-jelly-thinned",
            "as": "release",
            "on": "plate-face",
            "amount": "1 ml",
            "how": "fingertip",
        },
        {"mix": "spot", "as": "cast", "on": "plate-face", "how": "spread"},
    ],
    "wait": "24 h",
    "holds": "mold",
    "check": "A dry finger leaves no mark and takes nothing with it.",
    "watch": ["slimy-against-the-plate"],
}
NEEDS = ["stiff straightedge, 150 mm", "scale to 0.01 g", "nitrile gloves, never latex"]
PLATE = "band plate in gypsum cement, dry and sealed, four recesses 94 x 32 mm and 1.0 mm deep"
CLEAN_PLATE = (
    "band plate in gypsum cement, poured over sulfur-free clay, dry and sealed, "
    "four recesses 94 x 32 mm and 1.0 mm deep"
)
WITHIN = {"time": "6 h", "after": "film-face", "from": "wait"}

EXPECTED: list[tuple[str, str, str, Any, Any]] = [
    ("material", "added", "mixes/spot", None, SPOT),
    ("order", "added", "steps/try-spot", None, TRY_SPOT),
    # The film goes into the plate before the gel, no longer onto the washed band.
    ("order", "moved", "steps/film-face", "lift", "release"),
    ("order", "changed", "steps/film-face/phase", "film", "prepare"),
    ("material", "changed", "steps/film-face/uses/film/on", "band-face", "plate-face"),
    ("time", "changed", "steps/film-face/holds", "bench", "mold"),
    ("time", "added", "steps/scrape/within", None, WITHIN),
    ("wording", "changed", "needs", [PLATE, *NEEDS], [CLEAN_PLATE, *NEEDS]),
    ("wording", "changed", "steps/film-face/title", "Film on the face", "Film in the plate"),
    (
        "wording",
        "changed",
        "steps/film-face/do",
        "Laid on glass, face up, edges held by their own film.",
        "Recesses, and 5 mm onto the rims. Let each coat lose its shine.",
    ),
]


def test_the_second_version_of_the_brow_bands_differs_in_what_was_changed_at_the_bench() -> None:
    found = differences(FIRST, SECOND)

    told = [(change.kind, change.action, "/".join(change.path), change.before, change.after) for change in found]
    assert told == EXPECTED
    assert not any(change.note for change in found)
    assert found[1].place is None


def test_the_first_version_with_the_changes_is_the_second_one() -> None:
    applied = apply(FIRST.written, differences(FIRST, SECOND))
    left = {"version", "why", "fixes"}

    assert {key: value for key, value in applied.items() if key not in {*left, "mixes"}} == {
        key: value for key, value in SECOND.written.items() if key not in {*left, "mixes"}
    }
    Recipe.model_validate(applied)
    assert sorted(applied["mixes"], key=str) == sorted(SECOND.written["mixes"], key=str)
