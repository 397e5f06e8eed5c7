"""The cavity command: one way of measuring, a volume, its caution, and the line for the mold's page."""

from __future__ import annotations

import json
import os
import resource
import sys
import time
from pathlib import Path
from typing import Any

import pytest
import trimesh
import yaml

from mothermold.answers.cavity import EMPTY
from mothermold.book.files import PICTURES
from mothermold.book.pictures import read_drawing
from mothermold.cli.main import main
from mothermold.model.mold import Cavity
from reckon.solids import as_file, box, face_piece, head, inverted, together, without

KEYS = ["method", "volume_ml", "area_cm2", "thickness_mm"]
NOTHING = {"min": None, "median": None, "p95": None}
Ask = Any


@pytest.fixture
def ask(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Ask:
    # No book is needed: the folder holds none.
    monkeypatch.chdir(tmp_path)

    def asking(*words: str) -> tuple[int, dict[str, Any]]:
        capsys.readouterr()
        status = main(["cavity", *words, "--format", "json"])
        out, err = capsys.readouterr()
        assert err == ""
        return status, json.loads(out)

    return asking


def noisy() -> Any:
    """A whole head scanned again: everywhere a little off the core."""
    made = head()
    return trimesh.Trimesh(made.vertices * 1.001 + [0.02, 0, 0], made.faces, process=False)


@pytest.fixture
def scans(tmp_path: Path) -> Path:
    (tmp_path / "face.ply").write_bytes(as_file(face_piece(((0.45, 0.45, 1), 0.5), ((-0.45, -0.45, 1), -0.5))))
    (tmp_path / "core.ply").write_bytes(as_file(head()))
    (tmp_path / "box.stl").write_bytes(as_file(box(), "stl"))
    (tmp_path / "open.stl").write_bytes(as_file(without(box(), 0, 1), "stl"))
    (tmp_path / "two.ply").write_bytes(as_file(together(box(), inverted(box((50, 0, 0))))))
    (tmp_path / "inches.stl").write_bytes(as_file(box(scale=0.2), "stl"))
    (tmp_path / "empty.stl").write_bytes(b"")
    return tmp_path


MEASURED = [
    (("--clay", "410 g", "--density", "1.64 g/ml"), "clay", 250.0, "how: clay}"),
    (("--piece", "129.6 g", "--density", "1.08 g/ml"), "casting", 120.0, "how: casting, flashing: included}"),
    (("--water", "218 ml"), "water", 218.0, "how: water}"),
    (("--water", "998.207 g"), "water", 1000.0, "how: water}"),
    (("--water", "998.207 g", "--temperature", "20 degC"), "water", 1000.0, "how: water}"),
    (("--water", "1 US fl oz"), "water", 29.5735295625, "how: water}"),
]


@pytest.mark.parametrize(
    ("words", "method", "volume", "record"), MEASURED, ids=[" ".join(each[0]) for each in MEASURED]
)
def test_what_was_measured_becomes_a_volume(
    words: tuple[str, ...], method: str, volume: float, record: str, ask: Ask
) -> None:
    status, answer = ask(*words)
    assert status == 0
    assert [key for key in answer if key in KEYS] == KEYS
    assert answer["notices"] == []
    assert (answer["method"], answer["area_cm2"], answer["thickness_mm"]) == (method, None, NOTHING)
    assert answer["volume_ml"] == pytest.approx(volume, rel=1e-6)
    assert answer["record"].endswith(record)
    # Pasted into the mold, the line is read as it stands.
    written = Cavity.model_validate(yaml.safe_load(answer["record"])["cavity"])
    assert written.how == method


def test_water_says_where_it_must_not_go(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["cavity", "--water", "218 ml"]) == 0
    told = capsys.readouterr().out
    assert "218.0 ml (7.37 US fl oz)" in told
    assert "never in bare gypsum" in told
    assert "cavity: {volume: 218.0 ml, how: water}" in told


REFUSED = [
    ((), "no-measure"),
    (("--clay", "410 g"), "no-density"),
    (("--piece", "410 g"), "no-density"),
    (("--clay", "410 ml", "--density", "1.5 g/ml"), "wrong-unit"),
    (("--clay", "0 g", "--density", "1.5 g/ml"), "out-of-range"),
    (("--clay", "410 g", "--density", "1.5"), "missing-unit"),
    (("--clay", "410 g", "--density", "oil-clay"), "bad-quantity"),
    (("--clay", "410 g", "--water", "218 ml"), "two-fills"),
    (("--water", "218 ml", "--density", "1 g/ml"), "option-unused"),
    (("--water", "218 ml", "--temperature", "20 degC"), "option-unused"),
    (("--water", "218 g", "--temperature", "90 degC"), "out-of-range"),
    (("--water", "8 fl oz"), "bare-ounce"),
    (("--clay", "410 g", "--density", "1.5 g/ml", "--core", "core.ply"), "option-unused"),
    (("--core", "core.ply"), "no-measure"),
    (("--mesh", "nobody.stl"), "no-such-file"),
    (("--mesh", "open.stl"), "mesh-open"),
    (("--mesh", "empty.stl"), "mesh-unreadable"),
    (("--mesh", "inches.stl"), "mesh-unit"),
    (("--mesh", "box.stl", "--unit", "feet"), "unknown-unit"),
    (("--mesh", "box.stl", "--picture", "thin.svg"), "option-unused"),
    (("--mesh", "face.ply", "--core", "core.ply", "--picture", "thin.png"), "wrong-suffix"),
    (("--mesh", "face.ply", "--core", "core.ply", "--up", "x"), "unknown-axis"),
    (("--mesh", "core.ply", "--core", "core.ply"), "mesh-apart"),
]


@pytest.mark.parametrize(("words", "code"), REFUSED, ids=[" ".join(each[0]) or "nothing" for each in REFUSED])
def test_what_cannot_be_measured_gives_nulls_one_notice_and_1(
    words: tuple[str, ...], code: str, ask: Ask, scans: Path
) -> None:
    status, answer = ask(*words)
    assert status == 1
    (notice,) = answer.pop("notices")
    assert answer == EMPTY
    assert list(answer) == KEYS
    assert (notice["code"], notice["severity"]) == (code, "error")
    assert notice["help"].endswith((".", "?"))


def test_a_closed_mesh_has_a_volume_and_a_surface(ask: Ask, scans: Path) -> None:
    status, answer = ask("--mesh", "box.stl")
    assert (status, answer["method"], answer["thickness_mm"]) == (0, "scan", NOTHING)
    assert (answer["volume_ml"], answer["area_cm2"]) == (pytest.approx(6.0), pytest.approx(22.0))


def test_with_the_unit_said_a_small_scan_goes_through(ask: Ask, scans: Path) -> None:
    status, answer = ask("--mesh", "inches.stl", "--unit", "in")
    assert status == 0
    assert answer["volume_ml"] == pytest.approx(6 * 0.2**3 * 25.4**3, rel=1e-6)


def test_what_was_mended_and_what_is_twice_is_told(ask: Ask, scans: Path) -> None:
    status, answer = ask("--mesh", "two.ply")
    assert status == 0
    assert answer["volume_ml"] == pytest.approx(12.0)
    assert [each["code"] for each in answer["notices"]] == ["mesh-bodies", "mesh-mended"]


def test_a_film_between_two_scans_is_told(ask: Ask, scans: Path) -> None:
    (scans / "again.ply").write_bytes(as_file(noisy()))
    status, answer = ask("--mesh", "again.ply", "--core", "core.ply")
    assert status == 0
    assert "scan-film" in [each["code"] for each in answer["notices"]]


def test_scans_of_sculpture_and_core_give_thickness_and_a_drawing_the_book_takes(ask: Ask, scans: Path) -> None:
    words = ("--mesh", "face.ply", "--core", "core.ply", "--picture", f"{PICTURES}/thin.svg")
    status, answer = ask(*words)
    assert status == 0
    assert 55 < answer["volume_ml"] < 70
    thick = answer["thickness_mm"]
    assert list(thick) == ["min", "median", "p95"]
    assert 0 < thick["min"] < thick["median"] < thick["p95"] < 7.9
    assert [(place["kind"], place["where"]) for place in answer["places"]] == [
        ("thin", "upper, wearer's left"),
        ("opening", "lower, wearer's right"),
    ]
    assert [each["code"] for each in answer["notices"]] == ["core-through", "thin-places"]
    drawn = read_drawing(scans, "thin.svg")
    assert not isinstance(drawn, str), drawn
    written = (scans / PICTURES / "thin.svg").read_text(encoding="utf-8")
    shown = drawn.data.decode()
    # Nothing of it is dropped: as many shapes, and the marks told by shape and by number.
    assert all(
        shown.count(f"<{shape} ") == written.count(f"<{shape} ") for shape in ("polygon", "path", "text", "line")
    )
    assert written.count("<polygon ") == 2
    assert written.count("<path ") == 4
    assert "1 triangle: thin" in written
    assert "2 square: opening" in written
    assert "style=" not in written
    status, answer = ask(*words)
    assert (status, answer["notices"][0]["code"]) == (1, "already-there")
    assert (scans / PICTURES / "thin.svg").read_text(encoding="utf-8") == written


def test_the_answer_in_words_says_what_is_not_told_apart(scans: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["cavity", "--mesh", str(scans / "face.ply"), "--core", str(scans / "core.ply")]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert "not told apart" in told
    assert "thin, least 0.5" in told
    assert "opening: lower, wearer's right" in told


def test_a_file_of_300_mb_is_refused_without_reading_it(ask: Ask, scans: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    big = scans / "big.stl"
    with big.open("wb") as stream:
        os.truncate(stream.fileno(), 300_000_000)

    def never(path: Path) -> bytes:
        raise AssertionError("the file was read")

    monkeypatch.setattr(Path, "read_bytes", never)
    before, start = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, time.perf_counter()
    status, answer = ask("--mesh", "big.stl")
    assert (status, answer["notices"][0]["code"]) == (1, "mesh-too-large")
    assert "300 MB" in answer["notices"][0]["message"]
    assert time.perf_counter() - start < 2
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < 50_000


def test_without_the_parts_for_scans_nothing_runs_and_one_sentence_says_so(
    scans: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "manifold3d", None)
    assert main(["cavity", "--mesh", str(scans / "box.stl"), "--format", "json"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1
    assert "mothermold[scan]" in err
