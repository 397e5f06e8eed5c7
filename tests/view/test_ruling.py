"""Rules as notices of a book: where they stand, how they are accepted, and what must be cleared before glue."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from history.repositories import FIRST, SECOND, empty_book, start_repository
from mothermold.view.editions import Edition
from mothermold.view.view import View, open_view
from view.looks import said as told
from view.looks import write

GOOD = Path(__file__).parents[1] / "data" / "good"
PAINT = """\
title: Alcohol-activated paint
visibility: public
families: [paint-alcohol-activated]
sds: {where: binder 3, dated: 2026-01-08}
"""
FRECKLES = """\
title: Freckles on an alcohol film
stage: finish
version: 1
status: locked
visibility: public
surfaces:
  - {id: piece-face, material: encapsulant-alcohol}
steps:
  - id: spatter
    title: Spatter
    hands_on: 10 min
    wait: 10 min
    uses:
      - {material: paint-alcohol, as: paint, on: piece-face, amount: 1 ml}
"""
RULE = "alcohol-paint-on-alcohol-film"


@pytest.fixture
def book(good_book: Path) -> Path:
    write(good_book, "materials/paint-alcohol", PAINT)
    return good_book


def test_a_finding_stands_on_the_use_where_it_bites(book: Path) -> None:
    write(book, "finish/freckles", FRECKLES)
    (notice,) = told(book, RULE)
    assert (notice.severity, notice.file, notice.line) == ("warning", "recipes/finish/freckles.yaml", 14)
    assert notice.message == (
        "`paint-alcohol` meets `encapsulant-alcohol` on `piece-face` in step `spatter`: "
        "the paint drags and bites into the film."
    )
    assert "seal coat" in notice.help


def test_a_fire_beside_vapor_stands_at_what_burns_and_cannot_be_accepted(book: Path) -> None:
    warm = "  - id: warm\n    title: Warm the edge\n    hands_on: 5 min\n    with: [heat-gun]\n"
    accepted = "accepts:\n  - {rule: fire-beside-vapor, where: '#warm', because: The window is open.}\n"
    write(book, "finish/freckles", FRECKLES + warm + accepted)
    (fire, vain) = told(book, "fire-beside-vapor", "not-acceptable")
    assert (fire.severity, fire.line) == ("error", FRECKLES.count("\n") + 4)
    assert fire.message == (
        "`heat-gun` with `paint-alcohol` in step `warm`: its vapor catches fire, from farther off than one thinks."
    )
    assert vain.code == "not-acceptable"


@pytest.mark.parametrize(
    "where", ["finish/freckles#spatter", "finish/freckles@1#spatter", "#spatter", "finish/freckles"]
)
def test_a_finding_accepted_with_a_reason_is_no_notice_and_keeps_its_reason(book: Path, where: str) -> None:
    accepted = f"accepts:\n  - rule: {RULE}\n    where: '{where}'\n    because: A dry mist, tried on a spare.\n"
    write(book, "finish/freckles", FRECKLES + accepted)
    assert told(book, RULE, "nothing-to-accept") == []
    assert reasons(open_view(book, "private")) == ["A dry mist, tried on a spare."]


def reasons(view: View) -> list[str | None]:
    document = view.documents.on("recipe")["finish/freckles"]
    return [each.accepted for each in view.ruling.of_recipe("finish/freckles", document.model) if each.open]  # type: ignore[arg-type]


def test_an_acceptance_somewhere_else_or_of_something_else_changes_nothing(book: Path) -> None:
    accepted = f"accepts:\n  - {{rule: {RULE}, where: finish/freckles#other, because: No.}}\n"
    write(book, "finish/freckles", FRECKLES + accepted)
    assert [notice.code for notice in told(book, RULE, "nothing-to-accept")] == [RULE, "nothing-to-accept"]


def test_an_acceptance_of_a_version_says_nothing_of_another(book: Path) -> None:
    accepted = f"accepts:\n  - {{rule: {RULE}, where: 'finish/freckles@2#spatter', because: Tried on a spare.}}\n"
    write(book, "finish/freckles", FRECKLES + accepted)
    assert [notice.code for notice in told(book, RULE, "nothing-to-accept")] == [RULE, "nothing-to-accept"]


def test_a_passed_test_keeps_the_rule_and_a_failed_one_is_said(book: Path) -> None:
    write(book, "finish/freckles", FRECKLES)
    trial = """\
id: r-2026-03-01-paint
kind: test
started: 2026-03-01 10:00
visibility: {visibility}
asks: paint
between: [paint-alcohol, encapsulant-alcohol]
cups:
  - {{result: {result}}}
"""
    write(book, "runs/r-2026-03-01-paint", trial.format(result="failed", visibility="public"))
    assert "`r-2026-03-01-paint` did not pass" in told(book, RULE)[0].help
    # That a test failed is not told who may not see it; that the rule is broken is.
    write(book, "runs/r-2026-03-01-paint", trial.format(result="failed", visibility="private"))
    (public,) = [notice for notice in open_view(book, "public").notices if notice.code == RULE]
    assert "did not pass" not in public.help
    write(book, "runs/r-2026-03-01-paint", trial.format(result="passed", visibility="private"))
    assert told(book, RULE) == []
    # Who may not see the test is not told that the rule is broken either: it is not.
    assert [notice.code for notice in open_view(book, "public").notices if notice.code == RULE] == []


BUILD = """\
title: The night watchman
visibility: public
things:
  - {id: cheek, recipe: cast/cheek@2, worn: yes}
looks:
  - id: full
    wearer: W1
    pieces:
      - {thing: cheek}
    application: application/cheek@1
    removal: removal/cheek@1
"""
STAGE = """\
title: {title}
stage: {stage}
version: 1
status: locked
visibility: public
needs:
  - patch test read and clear, own brushes, the remover at hand
steps:
  - id: work
    title: Work
    do: Thin and clear.
    hands_on: 10 min
    wait: 5 min
    uses:
      - {{material: {material}, as: {role}, on: skin, amount: 1 ml}}
"""


def lay_out_a_look(book: Path, cleared: str = "") -> None:
    for name in ("adhesive-acrylic", "remover-ester"):
        family = f"title: {name}\nvisibility: public\nfamilies: [{name}]\nsds: {{where: binder 3, dated: 2026-01-08}}\n"
        write(book, f"materials/{name}", family)
    for stage, material, role in (("application", "adhesive-acrylic", "glue"), ("removal", "remover-ester", "remove")):
        write(book, f"{stage}/cheek", STAGE.format(title=stage, stage=stage, material=material, role=role))
    write(book, "builds/night-watchman/build", BUILD + cleared)


def test_a_wearer_not_cleared_is_a_finding_at_the_application(book: Path) -> None:
    lay_out_a_look(book)
    (notice,) = told(book, "not-cleared")
    assert (notice.severity, notice.file, notice.line) == ("warning", "recipes/builds/night-watchman/build.yaml", 10)
    assert "`adhesive-acrylic`, `remover-ester`" in notice.message


def test_a_clearance_without_the_remover_is_none_for_the_remover(book: Path) -> None:
    lay_out_a_look(book, "cleared:\n  - {wearer: W1, application: application/cheek@1, on: 2026-03-01}\n")
    (notice,) = told(book, "not-cleared")
    assert "`remover-ester`" in notice.message
    assert "adhesive" not in notice.message


def test_a_clearance_of_another_wearer_clears_nobody_else(book: Path) -> None:
    whole = "cleared:\n  - {wearer: W9, application: application/cheek@1, removal: removal/cheek@1, on: 2026-03-01}\n"
    lay_out_a_look(book, whole)
    assert [notice.code for notice in told(book, "not-cleared")] == ["not-cleared"]
    lay_out_a_look(book, whole.replace("W9", "W1"))
    assert told(book, "not-cleared") == []


def test_the_sample_book_has_three_accepted_findings_and_none_that_bites(
    sample_view: Callable[[Edition], View],
) -> None:
    view = sample_view("private")
    assert [notice for notice in view.notices if notice.severity == "error"] == []
    found = []
    for address in view.recipes:
        versions = view.versions(address)
        row = versions.current if versions else None
        if row is not None and row.recipe is not None:
            found += view.ruling.of_recipe(address, row.recipe)
    accepted = sorted((each.at.recipe, each.rule.id) for each in found if each.accepted)
    assert accepted == [
        ("cast/brow-bands", "film-on-wet-release"),
        ("cast/face-piece", "film-on-wet-release"),
        ("finish/seams-and-wash", "film-on-bare-silicone"),
    ]
    assert [each for each in found if each.bites] == []
    along = [each for name in view.on("build") for link in view.ruling.build(name) for each in link.findings]
    assert [each for each in along if each.bites] == []
    # It is not for want of rules: many apply, and a step keeps each.
    assert len({each.rule.id for each in (*found, *along) if each.kept_by}) >= 12


def test_a_habit_missed_is_accepted_like_a_finding(book: Path) -> None:
    alginate = "title: Alginate\nfamilies: [alginate]\nsds: {where: binder 1, dated: 2026-01-08}\n"
    write(book, "materials/alginate", alginate)
    straw = """\
title: Mask of the face
stage: lifecast
version: 1
status: locked
steps:
  - id: lay
    title: Lay it on
    do: A straw in each nostril.
    hands_on: 5 min
    wait: 5 min
    uses:
      - {material: alginate, as: cast, on: skin, amount: 300 g}
"""
    write(book, "lifecast/mask", straw)
    assert [notice.severity for notice in told(book, "straws")] == ["advice"]
    accepted = (
        "accepts:\n  - {rule: straws, where: lifecast/mask, because: It is a model of a model and breathes nothing.}\n"
    )
    write(book, "lifecast/mask", straw + accepted)
    assert told(book, "straws", "unknown-rule", "nothing-to-accept") == []


def test_a_habit_accepted_at_another_step_is_still_missed(book: Path) -> None:
    write(book, "materials/alginate", "title: Alginate\nfamilies: [alginate]\nsds: {where: 1, dated: 2026-01-08}\n")
    mask = """\
title: Mask of the face
stage: lifecast
version: 1
status: locked
steps:
  - {id: ask, title: Ask}
  - id: lay
    title: Lay it on
    do: A straw in each nostril.
    hands_on: 5 min
    wait: 5 min
    uses:
      - {material: alginate, as: cast, on: skin, amount: 300 g}
accepts:
  - {rule: straws, where: lifecast/mask#STEP, because: It is a model of a model.}
"""
    write(book, "lifecast/mask", mask.replace("STEP", "ask"))
    assert len(told(book, "straws")) == 1
    write(book, "lifecast/mask", mask.replace("STEP", "lay"))
    assert told(book, "straws") == []


def test_the_care_through_the_day_can_be_cleared_too(book: Path) -> None:
    lay_out_a_look(book)
    write(book, "wear/cheek", STAGE.format(title="wear", stage="wear", material="gel-silicone-a", role="glue"))
    looks = BUILD.replace("    removal:", "    wear: wear/cheek@1\n    removal:")
    whole = "cleared:\n  - {wearer: W1, application: application/cheek@1, removal: removal/cheek@1, on: 2026-03-01}\n"
    write(book, "builds/night-watchman/build", looks + whole)
    (notice,) = told(book, "not-cleared")
    assert "for `gel-silicone-a` of" in notice.message
    write(book, "builds/night-watchman/build", looks + whole.replace("removal: ", "wear: wear/cheek@1, removal: "))
    assert told(book, "not-cleared") == []


def test_a_build_that_names_an_earlier_address_is_followed_to_todays(tmp_path: Path) -> None:
    repository = start_repository(tmp_path / "book")
    film = "title: Alcohol film\nfamilies: [encapsulant-alcohol]\nsds: {where: binder 3, dated: 2026-01-08}\n"
    repository.save(
        FIRST,
        empty_book()
        | {
            "recipes/materials/encapsulant-alcohol.yaml": film,
            "recipes/materials/paint-alcohol.yaml": PAINT,
            "recipes/finish/freckles.yaml": FRECKLES,
        },
    )
    build = "title: Nobody\nthings:\n  - {id: spots, recipe: finish/freckles@1}\n"
    moved = FRECKLES + "formerly: [finish/freckles]\n"
    repository.save(
        SECOND,
        {
            "recipes/finish/freckles.yaml": None,
            "recipes/finish/spots.yaml": moved,
            "recipes/builds/nobody/build.yaml": build,
        },
    )
    # Said once, at the recipe; and where the recipe accepts it, the build has no finding of its own.
    (notice,) = told(tmp_path / "book", RULE)
    assert notice.file == "recipes/finish/spots.yaml"
    accepted = f"accepts:\n  - {{rule: {RULE}, where: finish/spots, because: Tried on a spare.}}\n"
    repository.write({"recipes/finish/spots.yaml": moved + accepted})
    assert told(tmp_path / "book", RULE) == []
    # The address of old serves in the acceptance, too.
    repository.write({"recipes/finish/spots.yaml": moved + accepted.replace("finish/spots", "finish/freckles@1")})
    assert told(tmp_path / "book", RULE, "nothing-to-accept") == []


def test_a_habit_accepted_at_an_earlier_address_stays_accepted(tmp_path: Path) -> None:
    repository = start_repository(tmp_path / "book")
    alginate = "title: Alginate\nfamilies: [alginate]\nsds: {where: binder 1, dated: 2026-01-08}\n"
    mask = """\
title: Mask of the face
stage: lifecast
version: 1
status: locked
steps:
  - id: lay
    title: Lay it on
    do: A straw in each nostril.
    hands_on: 5 min
    wait: 5 min
    uses:
      - {material: alginate, as: cast, on: skin, amount: 300 g}
"""
    old, new = "recipes/lifecast/mask.yaml", "recipes/lifecast/face.yaml"
    repository.save(FIRST, empty_book() | {"recipes/materials/alginate.yaml": alginate, old: mask})
    moved = mask + "formerly: [lifecast/mask]\n"
    repository.save(SECOND, {old: None, new: moved})
    assert len(told(tmp_path / "book", "straws")) == 1
    accepted = "accepts:\n  - {rule: straws, where: 'lifecast/mask@1#lay', because: It is a model of a model.}\n"
    repository.write({new: moved + accepted})
    assert told(tmp_path / "book", "straws") == []


@pytest.mark.parametrize(
    ("old", "new", "is_told"),
    [
        ("", "", True),
        # What can be read of a material with a slip is judged; where nothing can, a remedy would be missed.
        ("title:", "hardness: 4\ntitle:", True),
        ("[paint-alcohol-activated]", "[paint-alcohol-activated, nonsense]", False),
        ("title:", "title: Twice\ntitle:", False),
    ],
)
def test_a_recipe_is_judged_where_its_materials_say_what_they_are(
    old: str, new: str, is_told: bool, book: Path
) -> None:
    write(book, "finish/freckles", FRECKLES)
    write(book, "materials/paint-alcohol", PAINT.replace(old, new))
    assert len(told(book, RULE)) == is_told


def test_a_material_that_is_not_in_the_book_comes_before_any_rule(book: Path) -> None:
    unknown = "      - {material: nobody, as: paint, on: piece-face, amount: 1 ml}\n"
    write(book, "finish/freckles", FRECKLES + unknown)
    assert [notice.code for notice in told(book, RULE, "unknown-reference")] == ["unknown-reference"]


def test_a_recipe_that_is_not_in_the_book_keeps_a_build_from_nothing_else(book: Path) -> None:
    write(book, "finish/freckles", FRECKLES)
    things = "things:\n  - {id: spots, recipe: finish/freckles@1}\n  - {id: gone, recipe: finish/nobody@1}\n"
    accepts = f"accepts:\n  - {{rule: {RULE}, where: finish/freckles#other, because: No.}}\n"
    write(book, "builds/nobody/build", f"title: Nobody\n{things}{accepts}")
    assert [notice.code for notice in told(book, RULE, "nothing-to-accept")] == ["nothing-to-accept", RULE]


def test_a_build_in_which_it_is_not_found_says_nothing_of_it(book: Path) -> None:
    bare = """\
title: Bare piece
stage: cast
version: 1
status: locked
gives:
  what: piece
  surfaces: [{id: piece-face, material: gel-silicone-a}]
steps:
  - id: pour
    title: Pour
    hands_on: 5 min
    wait: 4 h
    uses:
      - {material: gel-silicone-a, as: cast, on: piece-face, amount: 9 g}
"""
    write(book, "cast/bare", bare)
    write(book, "finish/freckles", FRECKLES)
    things = "things:\n  - {id: piece, recipe: cast/bare@1}\n  - {id: spots, recipe: finish/freckles@1, from: piece}\n"
    write(book, "builds/nobody/build", f"title: Nobody\n{things}")
    along = {finding.rule.id for link in open_view(book, "private").ruling.build("nobody") for finding in link.findings}
    assert RULE not in along
    assert [notice.file for notice in told(book, RULE)] == ["recipes/finish/freckles.yaml"]


@pytest.mark.parametrize(("version", "is_told"), [(1, False), (2, True)])
def test_a_build_hears_the_reasons_of_the_version_it_names(version: int, is_told: bool, tmp_path: Path) -> None:
    repository = start_repository(tmp_path / "book")
    film = "title: Alcohol film\nfamilies: [encapsulant-alcohol]\nsds: {where: binder 3, dated: 2026-01-08}\n"
    build = "title: Nobody\nthings:\n  - {id: spots, recipe: finish/freckles@1}\n"
    repository.save(
        FIRST,
        empty_book()
        | {
            "recipes/materials/encapsulant-alcohol.yaml": film,
            "recipes/materials/paint-alcohol.yaml": PAINT,
            "recipes/finish/freckles.yaml": FRECKLES,
            "recipes/builds/nobody/build.yaml": build,
        },
    )
    accepted = f"accepts:\n  - {{rule: {RULE}, where: finish/freckles, because: Tried on a spare.}}\nwhy: Said.\n"
    today = FRECKLES.replace("version: 1", f"version: {version}") + accepted
    repository.write({"recipes/finish/freckles.yaml": today})
    assert [each.file for each in told(tmp_path / "book", RULE)] == ["recipes/builds/nobody/build.yaml"] * is_told


def test_a_removal_alone_is_gated_too(book: Path) -> None:
    lay_out_a_look(book)
    build = book / "recipes/builds/night-watchman/build.yaml"
    build.write_text(BUILD.replace("    application: application/cheek@1\n", ""), encoding="utf-8")
    (notice,) = told(book, "not-cleared")
    assert (notice.line, "`remover-ester`" in notice.message) == (10, True)
