"""What to cast, to buy and to pay, reckoned by hand for a small build; what is not known is told by name and never nothing."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

import pytest

from answers.stocked import BOOK, BUILD, RECIPE, lay_out, run
from mothermold.answers.castings_needed import castings_needed
from mothermold.cli.main import main
from mothermold.view.view import open_view
from view.looks import write

PACKS = {
    "gel-silicone-a": "{size: 500 g, price: 17.50}, {size: 1 kg, price: 30.00}",
    "gel-silicone-b": "{size: 1 kg, price: 20.00}",
    "deadener": "{size: 500 g, price: 10.00}",
    "powder": "{size: 100 g, price: 5.00}",
}
TODAY = ("--today", "2026-05-01")


def ask(root: Path, capsys: pytest.CaptureFixture[str], *more: str) -> dict[str, Any]:
    code = main(["-C", str(root), "buy", "mask", *TODAY, *more, "--format", "json"])
    told = json.loads(capsys.readouterr().out)
    told["code"] = code
    told["notices"] = [each["code"] for each in told["notices"] if each["code"] != "no-repository"]
    return dict(told)


def cast(root: Path, count: int, *, scrapped: int = 0, kept: int = 0) -> None:
    for number in range(count):
        outcome = "scrapped" if number < scrapped else "good"
        piece = f"\nkept: [{{piece: M-{number}, grade: hero}}]" if scrapped <= number < scrapped + kept else ""
        run(root, f"r-{number:02}", "2026-04-01", f"outcome: {outcome}{piece}")


def test_castings_packs_and_cost_are_those_worked_out_by_hand(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lots = {"gel-silicone-a": "{lot: A1, held: 1 kg}", "gel-silicone-b": "{lot: B1, left: 100 g}"}
    told = ask(lay_out(tmp_path, lots=lots, packs=PACKS), capsys, "--rate", "80 %", "--hour-rate", "40")
    (row,) = told["castings"]
    assert {key: row[key] for key in ("thing", "needed", "cast", "confidence", "rate")} == {
        "thing": "mask", "needed": 5, "cast": 8, "confidence": 0.9, "rate": 0.8,
    }  # fmt: skip
    packs = {each["material"]: each for each in told["packs"]}
    # A casting takes 220 g of gel (100 A, 100 B, 20 deadener) and 50 g poured: 30 out of the jar (15 A, 15 deadener), 20 B.
    assert {name: each["need_g"] for name, each in packs.items()} == {
        "gel-silicone-a": 920, "gel-silicone-b": 960, "deadener": 280, "powder": 16,
    }  # fmt: skip
    assert (packs["gel-silicone-a"]["have_g"], packs["gel-silicone-a"]["buy"]) == (1000, [])
    assert (packs["gel-silicone-b"]["have_g"], packs["gel-silicone-b"]["price"]) == (100, 20)
    assert packs["deadener"]["buy"] == [{"size_g": 500, "count": 1, "price": 10, "size": 500}]
    assert (told["total"], told["total_at_least"], told["currency"], told["unsure"]) == (35, False, "EUR", [])
    (piece,) = told["per_piece"]
    # 115 g A at 0.03, 120 g B at 0.02, 35 g deadener at 0.02, 2 g powder at 0.05; a quarter more for what fails.
    assert piece["parts"] == pytest.approx({"material": 6.65, "scrap": 1.6625, "mold share": 0, "finish": 0})
    # 30 minutes of one and 15 of two, by 0.8.
    assert (piece["cost"], piece["minutes"], piece["with_hours"]) == pytest.approx((8.3125, 75, 58.3125))
    assert told["quote"]["without_hours"] == pytest.approx(5 * 8.3125)
    assert told["quote"]["with_hours"] == pytest.approx(5 * 58.3125)


def test_the_shape_of_the_answer_is_the_promised_one(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told = ask(lay_out(tmp_path, packs=PACKS), capsys, "--rate", "80")
    assert list(told)[:6] == ["build", "currency", "castings", "packs", "total", "per_piece"]
    assert list(told["castings"][0])[:5] == ["thing", "needed", "cast", "confidence", "rate"]
    assert list(told["packs"][0])[:5] == ["material", "need_g", "have_g", "buy", "price"]
    assert list(told["packs"][0]["buy"][0])[:3] == ["size_g", "count", "price"]
    assert list(told["per_piece"][0])[:2] == ["thing", "cost"]


def test_eight_castings_on_record_are_gone_by_and_fewer_ask_for_a_rate(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    root = lay_out(tmp_path, packs=PACKS)
    cast(root, 7, scrapped=2)
    told = ask(root, capsys)
    assert (told["castings"][0]["cast"], told["castings"][0]["by_record"], told["notices"]) == (
        None,
        12,
        ["rate-not-known"],
    )
    row = ask(root, capsys, "--rate", "mask=80 %")["castings"][0]
    assert (row["cast"], row["by_record"], row["by_rate"]) == (8, 12, 8)
    cast(root, 10, scrapped=3)
    told = ask(root, capsys)
    # Of the trade reference: seen 7 of 10, 5 needed at 90 %.
    assert (told["castings"][0]["cast"], told["castings"][0]["rate"], told["notices"]) == (11, 0.7, [])


def test_tests_and_first_pulls_are_no_castings_on_record(tmp_path: Path) -> None:
    root = lay_out(tmp_path)
    run(root, "r-1", "2026-04-01", "outcome: good")
    run(root, "r-2", "2026-04-02", "kind: pull\noutcome: scrapped")
    run(root, "r-3", "2026-04-03", "kind: test\nasks: cure")
    (row,) = castings_needed(open_view(root, "private"), "mask")
    assert (row.castings, row.record.runs, row.record.failed) == (1, 1, 0)


def test_pieces_that_are_there_need_not_be_cast_and_worn_ones_do(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    root = lay_out(tmp_path, packs=PACKS)
    cast(root, 3, kept=3)
    assert ask(root, capsys, "--rate", "100 %")["castings"][0]["needed"] == 2
    write(
        root,
        "builds/mask/runs/w-1",
        "id: w-1\nrecipe: cast/mask@1\nstarted: 2026-04-20 09:00\nday: 2026-04-20\nlook: full\n"
        "used: [{piece: M-0, then: discarded}]\n",
    )
    assert ask(root, capsys, "--rate", "100 %")["castings"][0]["needed"] == 3


def test_days_that_are_over_need_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    root = lay_out(tmp_path, packs=PACKS)
    told = ask(root, capsys, "--rate", "100", "--today", "2026-06-03")
    assert told["castings"][0]["needed"] == 2
    told = ask(root, capsys, "--rate", "100", "--today", "2026-06-04")
    assert (told["castings"][0]["needed"], told["castings"][0]["cast"], told["packs"], told["total"]) == (0, 0, [], 0)
    assert told["until"] is None


def test_a_casting_of_several_kinds_is_counted_by_the_kind_that_lacks_most(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    build = BUILD.replace(
        "pieces: [{thing: mask}]", "pieces: [{thing: mask, piece: left}, {thing: mask, piece: right, count: 2}]"
    )
    root = lay_out(tmp_path, build=build, recipe=RECIPE.replace("mixes:", "yields: {left: 2, right: 3}\nmixes:"))
    run(root, "r-1", "2026-04-01", "outcome: good\nkept: [{piece: ML-1}, {piece: ML-2}, {piece: MR-1}]")
    (row,) = ask(root, capsys, "--rate", "100 %")["castings"]
    assert row["kinds"] == [
        {"kind": "left", "wanted": 5, "kept": 2, "needed": 3},
        {"kind": "right", "wanted": 10, "kept": 1, "needed": 9},
    ]
    # Nine right ones at three a casting; it kept three of five.
    assert (row["cast"], row["came_good"], row["on_record"]) == (3, 3, 5)


def test_a_lot_that_goes_off_before_the_last_day_is_not_counted(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lots = {"powder": "{lot: P1, left: 50 g, use_by: 2026-06-03}, {lot: P2, left: 4 g, use_by: 2026-06-04}, {lot: P3}"}
    told = ask(lay_out(tmp_path, lots=lots, packs=PACKS), capsys, "--rate", "80 %")
    (row,) = [each for each in told["packs"] if each["material"] == "powder"]
    assert (row["have_g"], row["lots"]) == (4, ["P2"])
    assert told["unsure"] == [
        "powder, lot P1: it goes off on 2026-06-03, before the last day, so it is not counted.",
        "powder, lot P3: nobody wrote how much it held or holds, so it is not counted.",
    ]


def test_the_jar_that_stands_there_is_poured_from_first(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    root = lay_out(tmp_path, packs=PACKS)
    run(
        root,
        "r-1",
        "2026-04-01",
        "batch: [{mix: jar, weighed: 140 g}, {mix: poured, weighed: 50 g}]\noutcome: scrapped",
    )
    told = ask(root, capsys, "--rate", "80 %")
    # 240 g are poured out of the jar, 110 g stand in it: 130 g are still to be mixed, half of it A.
    needs = {each["material"]: each["need_g"] for each in told["packs"]}
    assert (needs["gel-silicone-a"], needs["deadener"]) == (800 + 65, 160 + 65)


def test_what_has_no_price_no_pack_no_amount_is_told_by_name(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    packs = {**PACKS, "deadener": "{size: 500 g}"}
    del packs["powder"]
    recipe = RECIPE.replace("{mix: poured, as: cast}", "{mix: poured, as: cast}\n      - {material: sealer, as: seal}")
    root = lay_out(tmp_path, packs=packs, recipe=recipe, book=BOOK.replace("currency: EUR\n", ""))
    told = ask(root, capsys, "--rate", "80 %")
    assert told["unsure"] == [
        "deadener: no price is written, so it is not in the total.",
        "powder: no pack is written, so what to buy and its price are not known.",
        "`sealer`: step `fill` does not say how much it takes.",
        "The book says no currency: type `currency: EUR` in `recipes/book.yaml`.",
    ]
    rows = {each["material"]: each for each in told["packs"]}
    assert rows["deadener"]["price"] is None
    assert rows["deadener"]["buy"] == [{"size_g": 500, "count": 1, "price": None, "size": 500}]
    assert (told["total_at_least"], told["per_piece"][0]["at_least"], told["currency"]) == (True, True, None)
    assert told["per_piece"][0]["unpriced"] == ["`sealer`", "deadener", "powder"]


def test_the_mold_is_shared_out_over_all_good_pieces_and_a_made_one_is_not_made_again(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    build = BUILD.replace("things:\n", "things:\n  - {id: form, recipe: mold/form@1}\n").replace(
        "recipe: cast/mask@1,", "recipe: cast/mask@1, from: [form],"
    )
    root = lay_out(tmp_path, packs=PACKS, build=build)
    write(
        root,
        "mold/form",
        "title: A form\nstage: mold\nversion: 1\nstatus: locked\nsteps:\n  - id: lay\n    title: Lay\n    hands_on: 100 min\n"
        "    uses:\n      - {material: powder, as: powder, amount: 60 g}\n",
    )
    told = ask(root, capsys, "--rate", "80 %")
    (piece,) = told["per_piece"]
    # 60 g at 0.05 over five pieces; 100 minutes over five and 75 of their own.
    assert (piece["parts"]["mold share"], piece["minutes"], told["to_make"]) == (pytest.approx(0.6), 95, ["form"])
    assert {each["material"]: each["need_g"] for each in told["packs"]}["powder"] == 76
    text = "id: f-1\nrecipe: mold/form@1\nthing: form\nstarted: 2026-03-01 09:00\noutcome: good\n"
    write(root, "builds/mask/runs/f-1", text)
    told = ask(root, capsys, "--rate", "80 %")
    assert (told["to_make"], told["per_piece"][0]["parts"]["mold share"]) == ([], pytest.approx(0.6))


def test_a_molds_own_cavity_decides_over_the_recipe(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    root = lay_out(tmp_path, packs=PACKS)
    run(root, "r-1", "2026-04-01", "mold: form-1\noutcome: scrapped")
    write(
        root, "builds/mask/molds/form-1", "title: Form 1\nmade: 2026-03-01\ncavity: {volume: 100 ml}\nstate: in use\n"
    )
    needs = {each["material"]: each["need_g"] for each in ask(root, capsys, "--rate", "80 %")["packs"]}
    assert needs["gel-silicone-b"] == 8 * (50 + 20)


def test_what_goes_on_the_face_is_bought_for_every_day(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    build = BUILD.replace("spares: 1}", "spares: 1, application: application/on@1}")
    root = lay_out(tmp_path, packs=PACKS, build=build)
    write(
        root,
        "application/on",
        "title: On\nstage: application\nversion: 1\nstatus: locked\nsteps:\n  - id: dust\n    title: Dust\n    uses:\n"
        "      - {material: powder, as: powder, amount: 5 g}\n",
    )
    needs = {each["material"]: each["need_g"] for each in ask(root, capsys, "--rate", "80 %")["packs"]}
    assert needs["powder"] == 16 + 4 * 5


def test_no_other_edition_is_told_what_is_bought(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    root = lay_out(tmp_path, packs=PACKS)
    for edition in ("class", "public"):
        told = ask(root, capsys, "--for", edition)
        assert (told["code"], told["notices"], told["packs"], told["total"]) == (1, ["owner-only"], [], None)


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        (("--rate", "0"), "out-of-range"),
        (("--rate", "120 %"), "out-of-range"),
        (("--rate", "many"), "bad-quantity"),
        (("--rate", "nose=80 %"), "unknown-reference"),
        (("--confidence", "100 %"), "out-of-range"),
        (("--hour-rate", "40 EUR"), "wrong-unit"),
        (("--today", "tomorrow"), "bad-date"),
    ],
)
def test_what_cannot_be_read_is_refused_with_what_to_type(
    typed: tuple[str, ...], code: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    told = ask(lay_out(tmp_path, packs=PACKS), capsys, *typed)
    assert (told["code"], told["notices"], told["castings"]) == (1, [code], [])


def test_a_rate_may_be_typed_as_a_share(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    root = lay_out(tmp_path, packs=PACKS)
    for typed in ("0.8", "80", "80 %"):
        assert ask(root, capsys, "--rate", typed, "--confidence", "0.95")["castings"][0]["cast"] == 9


def test_a_rate_at_which_nothing_comes_of_it_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told = ask(lay_out(tmp_path, packs=PACKS), capsys, "--rate", "0.1 %")
    assert (told["castings"][0]["cast"], told["notices"]) == (None, ["rate-hopeless"])


def test_the_table_for_a_spreadsheet_can_be_added_up(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    root = lay_out(tmp_path, packs=PACKS)
    main(["-C", str(root), "buy", "mask", *TODAY, "--rate", "80 %", "--csv"])
    rows = list(csv.DictReader(capsys.readouterr().out.splitlines()))
    told = ask(root, capsys, "--rate", "80 %")
    assert sum(float(row["price"]) for row in rows if row["price"]) == told["total"] == 30 + 20 + 10 + 5
    assert [
        (row["material"], row["count"], row["pack"]) for row in rows if row["material"].startswith("gel silicone a")
    ] == [("gel silicone a", "1", "1000")]


def test_the_text_says_castings_packs_and_money(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    root = lay_out(tmp_path, packs=PACKS)
    main(["-C", str(root), "buy", "mask", *TODAY, "--rate", "80 %", "--hour-rate", "40"])
    said = " ".join(capsys.readouterr().out.split())
    assert "mask: make 8 castings (90 % sure) for 5 good ones (5 good pieces wanted, 0 kept)." in said
    assert "1 x 1000 g at 30.00 = 30.00" in said
    assert "In all 65.00 EUR." in said
    assert "mask: 8.31 EUR (material 6.65, scrap 1.66); 1 h 15 min of hands; with hours 58.31 EUR" in said
    assert "fail together" in said


def test_mixes_of_fixed_amounts_count_and_what_is_done_once_for_the_build_counts_once(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    fixed = "  - id: {0}\n    parts:\n      - {{material: gel-silicone-a, amount: {1} g}}\n"
    recipe = RECIPE.replace("steps:\n", fixed.format("tie", 10) + fixed.format("spot", 7) + "steps:\n", 1)
    recipe += "  - {id: tie-in, title: Tie in, uses: [{mix: tie, as: cast}]}\n"
    recipe += "  - {id: try, title: Try a spot, once: build, uses: [{mix: spot, as: cast}]}\n"
    root = lay_out(tmp_path, packs=PACKS, recipe=recipe)
    needs = {each["material"]: each["need_g"] for each in ask(root, capsys, "--rate", "80 %")["packs"]}
    assert needs["gel-silicone-a"] == 8 * (115 + 10) + 7
    run(root, "r-1", "2026-04-01", "outcome: scrapped")
    needs = {each["material"]: each["need_g"] for each in ask(root, capsys, "--rate", "80 %")["packs"]}
    assert needs["gel-silicone-a"] == 8 * (115 + 10) + 7, "a scrapped one made nothing"
    run(root, "r-2", "2026-04-02", "outcome: good")
    needs = {each["material"]: each["need_g"] for each in ask(root, capsys, "--rate", "80 %")["packs"]}
    assert needs["gel-silicone-a"] == 8 * (115 + 10)


def test_without_a_density_a_volume_is_not_held_against_a_weight(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    root = lay_out(
        tmp_path,
        packs=PACKS,
        lots={"powder": "{lot: P1, left: 50 g}"},
        recipe=RECIPE.replace("amount: 2 g", "amount: 2 ml"),
    )
    path = root / "recipes/materials/powder.yaml"
    path.write_text(path.read_text("utf-8").replace("density: 1.0 g/ml\n", ""), "utf-8")
    told = ask(root, capsys, "--rate", "80 %")
    (row,) = [each for each in told["packs"] if each["material"] == "powder"]
    assert (row["need_g"], row["need"], row["unit"], row["have"], row["buy"], row["price"]) == (
        None,
        16,
        "ml",
        None,
        [],
        None,
    )
    assert told["unsure"] == [
        "powder, lot P1: what is left is written in g and the need is in ml; it is not counted.",
        "powder: its packs are not in ml, and without its density they cannot be compared.",
    ]
    assert told["total_at_least"]


def test_what_is_washed_and_painted_before_it_is_worn_counts_for_the_pieces_still_to_be_finished(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    build = BUILD.replace("looks:\n", "  - {id: painted, recipe: finish/paint@1, from: [mask]}\nlooks:\n").replace(
        "{thing: mask}", "{thing: painted}"
    )
    root = lay_out(tmp_path, packs=PACKS, build=build)
    write(
        root,
        "finish/paint",
        "title: Paint\nstage: finish\nversion: 1\nstatus: locked\nsteps:\n  - id: dust\n    title: Dust\n    hands_on: 20 min\n"
        "    uses:\n      - {material: powder, as: paint, amount: 3 g}\n",
    )
    cast(root, 1, kept=1)
    told = ask(root, capsys, "--rate", "100 %")
    # Worn is the painted one, and cast is the mask: one lies there bare, four are to be cast, five to be painted.
    (row,) = told["castings"]
    assert (row["thing"], row["needed"], row["cast"]) == ("mask", 4, 4)
    assert {each["material"]: each["need_g"] for each in told["packs"]}["powder"] == 4 * 2 + 5 * 3
    assert told["per_piece"][0]["parts"]["finish"] == pytest.approx(0.15)


def test_hours_go_by_runs_where_there_are_enough_and_a_step_without_a_time_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    root = lay_out(tmp_path, packs=PACKS, recipe=RECIPE + "  - {id: trim, title: Trim}\n")
    for number in range(9):
        run(
            root,
            f"r-{number}",
            f"2026-04-0{number + 1}",
            f"outcome: good\ntook: [{{step: fill, hands_on: {40 + number} min}}]",
        )
    (piece,) = ask(root, capsys, "--rate", "100 %")["per_piece"]
    # The middle of nine is 44 minutes; two pairs of hands take 15 each for opening.
    assert piece["minutes"] == 44 + 30
    assert (piece["steps_by_runs"], piece["steps_untimed"]) == (["cast/mask#fill"], ["cast/mask#trim"])
    main(["-C", str(root), "buy", "mask", *TODAY, "--rate", "100 %"])
    said = " ".join(capsys.readouterr().out.split())
    assert "at least 1 h 14 min of hands, 1 step does not say how long, 1 step as your runs had it" in said
