"""The command vapor: its shape, what it never leaves out, and what it refuses."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from mothermold.cli.main import main
from mothermold.trade.vocabulary import family_words

GOOD = Path(__file__).parents[1] / "data" / "good"
KEYS = {"step", "substance", "grams", "peak_ppm", "twa_8h_ppm", "limits", "lel_percent"}
SOLVENT = """\
title: Isopropanol, 99 %
families: [alcohol]
density: 0.785 g/ml
visibility: public
sds: {where: binder 2, dated: 2026-01-08}
vapor: {substance: isopropanol, cas: 67-63-0}
"""


@pytest.fixture
def book(tmp_path: Path) -> Path:
    shutil.copytree(GOOD, tmp_path / "book")
    (tmp_path / "book/recipes/materials/isopropanol-99.yaml").write_text(SOLVENT, encoding="utf-8")
    return tmp_path / "book"


def asked(book: Path, capsys: pytest.CaptureFixture[str], *more: str, code: int = 0) -> dict[str, Any]:
    assert main(["-C", str(book), "vapor", "cast/cheek", *more, "--format", "json"]) == code
    told: dict[str, Any] = json.loads(capsys.readouterr().out)
    return told


def test_the_shape_and_the_grams_of_a_sprayed_film(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told = asked(book, capsys, "--room", "42 m3", "--changes", "3")
    (row,) = told["steps"]
    assert row.keys() >= KEYS
    assert (row["step"], row["substance"]) == ("encapsulate", "isopropanol")
    # 80 ml of film, three parts of four: 60 ml at 0.785 g/ml.
    assert row["grams"] == pytest.approx(47.1)
    # 25 min of hands and five waits of ten minutes between six coats; the wait after the last is no work.
    assert row["minutes"] == pytest.approx(75)
    assert {"issuer", "kind", "ppm"} <= row["limits"][0].keys()
    assert row["lel_percent"] == pytest.approx(row["peak_ppm"] / 20_000 * 100)
    assert row["near_ppm"] == [pytest.approx(row["peak_ppm"] * 3), pytest.approx(row["peak_ppm"] * 10)]


def test_minutes_given_win_over_the_step_and_a_shorter_time_peaks_higher(
    book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    room = ("--room", "42 m3", "--changes", "3")
    (slow,) = asked(book, capsys, *room)["steps"]
    (quick,) = asked(book, capsys, *room, "--minutes", "10")["steps"]
    assert quick["minutes"] == 10
    assert quick["peak_ppm"] > slow["peak_ppm"]


def test_text_never_gives_the_explosive_share_alone_and_never_clears(
    book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["-C", str(book), "vapor", "cast/cheek", "--room", "42 m3", "--changes", "3"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "of the lower explosive limit as the room's average; at the cup and the spray it can burn" in said
    assert "no isocyanate, no dust and no skin, and it is not a clearance" in said
    assert "NIOSH STEL 15 min: 500 ppm (read: 2026-11-25)" in said
    assert "safe" not in said.casefold().replace("safety", "")


def test_above_a_limit_it_warns(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told = asked(book, capsys, "--room", "10 m3", "--changes", "0.5")
    codes = {notice["code"]: notice["severity"] for notice in told["notices"]}
    assert codes["vapor-above-limit"] == "warning"


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ((), "nothing-to-reckon"), (("--room", "42 m3"), "nothing-to-reckon"),
        (("--room", "42", "--changes", "3"), "missing-unit"), (("--room", "0 m3", "--changes", "3"), "out-of-range"),
        (("--room", "42 m3", "--changes", "often"), "bad-quantity"),
        (("--room", "42 m3", "--changes", "3", "--minutes", "5-6"), "bad-quantity"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_refused_in_one_message(
    more: tuple[str, ...], code: str, book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    told = asked(book, capsys, *more, code=1)
    assert [notice["code"] for notice in told["notices"]] == [code]
    assert told["steps"] == []


def test_an_unknown_recipe_is_refused_with_the_near_one(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["-C", str(book), "vapor", "cast/cheak", "--room", "42 m3", "--changes", "3", "--format", "json"]) == 1
    (notice,) = json.loads(capsys.readouterr().out)["notices"]
    assert notice["code"] == "unknown-recipe"
    assert "cast/cheek" in notice["help"]


def test_two_names_of_one_substance_are_one_and_a_step_without_time_says_so(
    book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    other = SOLVENT.replace("substance: isopropanol", "substance: isopropyl alcohol")
    (book / "recipes/materials/rubbing-alcohol.yaml").write_text(other, encoding="utf-8")
    wipe = """\
title: Cheek wiped
stage: finish
version: 1
status: locked
steps:
  - id: wipe
    title: Wipe
    wait: 1 h
    uses:
      - {material: isopropanol-99, as: clean, amount: 10 g}
      - {material: rubbing-alcohol, as: clean, amount: 5 g}
"""
    (book / "recipes/finish").mkdir(exist_ok=True)
    (book / "recipes/finish/wiped.yaml").write_text(wipe, encoding="utf-8")
    command = ["-C", str(book), "vapor", "finish/wiped", "--room", "30 m3", "--changes", "2", "--format", "json"]
    assert main(command) == 0
    told = json.loads(capsys.readouterr().out)
    assert [(row["substance"], row["grams"], row["minutes"]) for row in told["steps"]] == [("isopropanol", 15.0, 0.0)]
    assert "vapor-untold" in [notice["code"] for notice in told["notices"]]


def wiped(book: Path, capsys: pytest.CaptureFixture[str], uses: str, mixes: str = "") -> dict[str, Any]:
    recipe = f"""\
title: Plate wiped
stage: finish
version: 1
status: locked
{mixes}steps:
  - id: wipe
    title: Wipe
    hands_on: 10 min
    uses:
{uses}"""
    (book / "recipes/finish").mkdir(exist_ok=True)
    (book / "recipes/finish/plate.yaml").write_text(recipe, encoding="utf-8")
    naphtha = "title: Naphtha\nfamilies: [naphtha]\nvapor: {substance: light naphtha, cas: 8032-32-4}\n"
    (book / "recipes/materials/naphtha.yaml").write_text(naphtha, encoding="utf-8")
    ester = "title: Ester\nfamilies: [ester-solvent]\nvapor: {substance: ethyl acetate, cas: 141-78-6}\n"
    (book / "recipes/materials/ester.yaml").write_text(ester, encoding="utf-8")
    command = ["-C", str(book), "vapor", "finish/plate", "--room", "30 m3", "--changes", "2", "--format", "json"]
    assert main(command) == 0
    told: dict[str, Any] = json.loads(capsys.readouterr().out)
    return told


def test_a_limit_in_milligrams_is_told_as_its_issuer_tells_it(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told = wiped(book, capsys, "      - {material: naphtha, as: clean, amount: 300 g}\n")
    (row,) = told["steps"]
    recommended = next(each for each in row["limits"] if each["kind"] == "REL 10 h")
    assert recommended["mg_m3"] == 350
    assert recommended["ppm"] == pytest.approx(350 * 24.45 / 87)
    assert any("NIOSH REL 10 h of 350 mg/m3 (about 98 ppm)" in each["message"] for each in told["notices"])


def test_two_substances_under_their_limits_can_be_over_them_together(
    book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    uses = (
        "      - {material: naphtha, as: clean, amount: 140 g}\n      - {material: ester, as: clean, amount: 500 g}\n"
    )
    told = wiped(book, capsys, uses)
    long = [
        row["twa_8h_ppm"] / each["ppm"] for row in told["steps"] for each in row["limits"] if each["kind"] == "REL 10 h"
    ]
    assert max(long) < 1 < sum(long)
    assert next(each["sum"] for each in told["mixtures"] if each["kind"] == "REL 10 h") == pytest.approx(sum(long))
    assert [each["message"] for each in told["notices"] if "together come to" in each["message"]]


def test_steps_that_pass_alone_can_be_over_the_limit_in_one_day(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    wipe = "      - {material: ester, as: clean, amount: 400 g}\n"
    told = wiped(book, capsys, wipe + "  - id: again\n    title: Again\n    hands_on: 10 min\n    uses:\n" + wipe)
    assert all(row["twa_8h_ppm"] < 400 for row in told["steps"])
    (day,) = told["day"]
    assert day["twa_8h_ppm"] > 400
    assert [each["message"] for each in told["notices"] if "All steps in one day come to" in each["message"]]


def test_an_amount_of_a_mix_in_milliliters_is_that_much_and_not_the_whole_batch(
    book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    mixes = """\
mixes:
  - id: film
    density: 0.8 g/ml
    batch: 200 g
    parts:
      - {material: naphtha, parts: 3}
      - {material: ester, parts: 1}
"""
    told = wiped(book, capsys, "      - {mix: film, as: coat, amount: 50 ml}\n", mixes)
    assert {row["substance"]: row["grams"] for row in told["steps"]} == {
        "light naphtha": pytest.approx(30), "ethyl acetate": pytest.approx(10),
    }  # fmt: skip


def test_a_room_smaller_than_a_cupboard_is_refused(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told = asked(book, capsys, "--room", "42 ml", "--changes", "3", code=1)
    assert [notice["code"] for notice in told["notices"]] == ["out-of-range"]


# What is usual for a family, what is not known, and what gives off nothing


def material(book: Path, name: str, families: str, more: str = "") -> None:
    text = f"title: {name}\nfamilies: [{families}]\ndensity: 0.9 g/ml\n{more}"
    (book / f"recipes/materials/{name}.yaml").write_text(text, encoding="utf-8")


def said(book: Path, capsys: pytest.CaptureFixture[str], room: str = "30 m3") -> str:
    capsys.readouterr()
    assert main(["-C", str(book), "vapor", "finish/plate", "--room", room, "--changes", "2"]) == 0
    return " ".join(capsys.readouterr().out.split())


@pytest.mark.parametrize(
    ("family", "substance", "share"),
    [
        ("naphtha", "light naphtha", 1.0), ("hydrocarbon-solvent", "petroleum naphtha", 1.0), ("alcohol", "isopropanol", 1.0),
        ("acetone", "acetone", 1.0), ("ester-solvent", "ethyl acetate", 1.0), ("volatile-silicone", "hexamethyldisiloxane", 1.0),
        ("polyester-resin", "styrene", 0.18), ("natural-latex", "ammonia", 0.007), ("adhesive-spirit-gum", "ethanol", 0.75),
        ("adhesive-silicone", "light naphtha", 0.8), ("shellac", "ethanol", 0.85), ("silicone-paint", "light naphtha", 0.8),
        ("paint-alcohol-activated", "isopropanol", 0.9),
    ],
)  # fmt: skip
def test_a_family_that_evaporates_stands_in_for_the_maker_and_the_row_says_so(
    family: str, substance: str, share: float, book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    material(book, "stuff", family)
    told = wiped(book, capsys, "      - {material: stuff, as: coat, amount: 10 g}\n")
    (row,) = told["steps"]
    assert row.keys() >= KEYS
    assert (row["substance"], row["grams"]) == (substance, pytest.approx(10 * share))
    (usual,) = row["usual"]
    assert (usual["material"], usual["family"]) == ("stuff", family)
    assert usual["source"]
    words = said(book, capsys)
    assert f"`stuff`: not its maker's figure but usual for {family_words(family)}" in words
    assert "adhesive-spirit-gum" not in words
    assert "Nothing" not in words


@pytest.mark.parametrize(
    "families", ["encapsulant-acetone", "encapsulant-alcohol", "sealer", "polyurethane-resin", "epoxy", "marsh-goo"]
)
def test_a_family_without_a_usual_value_is_not_known_and_is_listed(
    families: str, book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    material(book, "stuff", families)
    told = wiped(book, capsys, "      - {material: stuff, as: coat, amount: 10 g}\n")
    assert told["steps"] == []
    assert [(each["step"], each["material"]) for each in told["not_known"]] == [("wipe", "stuff")]
    assert [each["severity"] for each in told["notices"] if each["code"] == "vapor-unknown"] == ["warning"]
    words = said(book, capsys)
    assert "Not known, and not in the estimate: `stuff` at wipe:" in words
    assert "encapsulant-acetone" not in words
    assert "Nothing" not in words


def test_nothing_evaporates_only_where_every_material_is_known_for_it_and_that_is_named(
    book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    material(book, "stone", "gypsum-cement")
    material(book, "tap-water", "water")
    uses = "      - {material: stone, as: cast}\n      - {material: tap-water, as: cast, amount: 40 g}\n"
    told = wiped(book, capsys, uses)
    assert (told["steps"], told["not_known"]) == ([], [])
    assert [each["material"] for each in told["gives_off_nothing"]] == ["stone", "tap-water"]
    assert (
        "Nothing in it is known to evaporate. This rests on: `stone` (gypsum cement): powder and water `tap-water` (water): water"
        in said(book, capsys)
    )
    material(book, "glue", "adhesive-acrylic")
    told = wiped(book, capsys, uses + "      - {material: glue, as: glue, amount: 1 g}\n")
    assert [each["material"] for each in told["not_known"]] == ["glue"]
    assert "Nothing" not in said(book, capsys)


def test_without_an_amount_what_is_usual_is_not_known_too(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    material(book, "thinner", "naphtha")
    told = wiped(book, capsys, "      - {material: thinner, as: clean}\n")
    assert told["steps"] == []
    assert [each["why"] for each in told["not_known"]] == ["how much of it is used is not known"]
    assert "vapor-untold" in [each["code"] for each in told["notices"]]


def test_a_mix_that_no_step_uses_is_not_known(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    material(book, "stone", "gypsum-cement")
    mixes = (
        "mixes:\n  - {id: film, batch: 100 g, parts: [{material: naphtha, parts: 1}, {material: stone, parts: 1}]}\n"
    )
    told = wiped(book, capsys, "      - {material: stone, as: cast}\n", mixes)
    assert told["not_known"] == [
        {"step": None, "material": "naphtha", "why": "no step says that it uses the mix `film`"}
    ]
    assert "Nothing" not in said(book, capsys)


def test_a_recipe_that_names_no_material_claims_nothing(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told = wiped(book, capsys, "      []\n")
    assert told["gives_off_nothing"] == []
    assert "No step uses a material, so nothing can be said." in said(book, capsys)


def test_over_a_limit_is_said_as_over_with_both_numbers(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told = wiped(book, capsys, "      - {material: ester, as: clean, amount: 1 kg}\n")
    (row,) = told["steps"]
    by_kind = {limit["kind"]: limit for limit in row["limits"] if limit["issuer"] == "NIOSH"}
    assert (by_kind["REL 10 h"]["over"], by_kind["REL 10 h"]["room_ppm"]) == (True, row["twa_8h_ppm"])
    assert (by_kind["IDLH"]["over"], by_kind["IDLH"]["room_ppm"]) == (True, row["peak_ppm"])
    words = said(book, capsys)
    assert f"over the 10 h limit of NIOSH (REL): {row['twa_8h_ppm']:.0f} ppm, limit 400 ppm" in words
    assert f"over the IDLH of NIOSH: {row['peak_ppm']:.0f} ppm, limit 2000 ppm" in words
    small = wiped(book, capsys, "      - {material: ester, as: clean, amount: 1 g}\n")
    assert not any(limit["over"] for row in small["steps"] for limit in row["limits"])
    assert "over the 10 h limit" not in said(book, capsys)


def test_near_what_can_burn_is_said(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told = wiped(book, capsys, "      - {material: ester, as: clean, amount: 1 kg}\n")
    assert told["steps"][0]["near_lel"] is True
    assert "over the 10 % at which to stop:" in said(book, capsys)
    told = wiped(book, capsys, "      - {material: ester, as: clean, amount: 1 g}\n")
    assert told["steps"][0]["near_lel"] is False


def test_a_makers_figure_and_a_usual_one_of_the_same_substance_stay_apart_and_are_held_to_the_limit_together(
    book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    material(book, "thinner", "naphtha")
    uses = (
        "      - {material: naphtha, as: clean, amount: 100 g}\n      - {material: thinner, as: clean, amount: 100 g}\n"
    )
    told = wiped(book, capsys, uses)
    assert [(row["grams"], bool(row["usual"])) for row in told["steps"]] == [(100.0, False), (100.0, True)]
    limit = next(each for each in told["steps"][0]["limits"] if each["kind"] == "REL 10 h")
    assert told["steps"][0]["twa_8h_ppm"] < limit["ppm"] < limit["room_ppm"]
    assert limit["over"]
    assert sum("is over the" in each["message"] for each in told["notices"]) == 1
