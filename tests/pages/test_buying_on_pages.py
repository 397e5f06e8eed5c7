"""The owner's page of a build says what to cast, to buy and to pay; no other edition says a price or a lot."""

from __future__ import annotations

import re
from pathlib import Path

from answers.stocked import BUILD, FAMILIES, RECIPE, lay_out, run
from mothermold.pages.documents import document_page
from mothermold.publish.building import build_site
from mothermold.view.editions import Edition
from mothermold.view.view import View, open_view

PACKS = {"gel-silicone-a": "{size: 1 kg, price: 31.97}", "gel-silicone-b": "{size: 1 kg, price: 20.43}"}
SECRETS = ("31.97", "20.43", "LOT-4711", "To cast, to buy, to pay", "A good piece costs")
LOTS = {"gel-silicone-a": "{lot: LOT-4711, got: 2026-01-05, held: 1 kg}"}


def book(folder: Path) -> Path:
    root = lay_out(
        folder, lots=LOTS, packs=PACKS, build=f"visibility: public\n{BUILD}", recipe=f"visibility: public\n{RECIPE}"
    )
    for name in FAMILIES:
        path = root / f"recipes/materials/{name}.yaml"
        path.write_text(f"visibility: public\n{path.read_text('utf-8')}", "utf-8")
    return root


def shown(view: View, kind: str, name: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", document_page(view, kind, name).body).split())


def test_the_page_of_a_build_says_what_to_cast_to_buy_and_to_pay(tmp_path: Path) -> None:
    root = book(tmp_path)
    run(
        root,
        "r-1",
        "2026-02-01",
        "batch: [{mix: jar, weighed: 600 g}, {mix: poured, weighed: 50 g}]\noutcome: good",
        A="LOT-4711",
    )
    said = shown(open_view(root, "private"), "build", "mask")
    assert "To cast, to buy, to pay" in said
    # One of one came good: the record alone asks for so many more.
    assert "castings by the short record (90 % sure) for 5 good ones" in said
    assert "`--rate" not in said.partition("To cast, to buy, to pay")[0]
    assert re.search(r"gel silicone b [0-9]+ g 0 g [0-9] x 1000 g at 20.43 [0-9]+\.[0-9]{2}", said)
    assert "In the jar: Jar" not in said
    assert re.search(r"In the jar: jar 570 g left of 600 g, last mixed 2026-02-01", said)


def test_the_page_of_a_material_says_what_is_left_after_what_runs_took(tmp_path: Path) -> None:
    root = book(tmp_path)
    run(root, "r-1", "2026-02-01", "batch: [{mix: gel, weighed: 220 g}]\noutcome: good", A="LOT-4711")
    said = shown(open_view(root, "private"), "material", "gel-silicone-a")
    assert "Lot LOT-4711: about 900 g left (1000 g when it came, 100 g taken by runs since)." in said


def test_no_file_of_another_edition_says_a_price_or_a_lot(tmp_path: Path) -> None:
    root = book(tmp_path)
    run(
        root,
        "r-1",
        "2026-02-01",
        "visibility: public\nbatch: [{mix: gel, weighed: 220 g}]\noutcome: good",
        A="LOT-4711",
    )
    private = document_page(open_view(root, "private"), "build", "mask").body
    assert [each for each in SECRETS if each not in private] == ["LOT-4711"]
    editions: tuple[Edition, ...] = ("class", "public")
    for edition in editions:
        site = tmp_path / edition
        build_site(root, edition, site)
        files = [path.read_bytes() for path in site.rglob("*") if path.is_file()]
        assert any(b"The mask" in data for data in files)
        assert [each for each in SECRETS if any(each.encode() in data for data in files)] == []
