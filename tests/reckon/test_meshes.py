"""A scan is read for what it is: closed or refused, mended where it was inside out, thin where it was made thin."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import trimesh

from mothermold.reckon import meshes
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.meshes import read_solid, refuse_large
from mothermold.reckon.scans import subtract
from reckon.solids import as_file, box, face_piece, head, inverted, solid, together, turned, without


def refusal(name: str, data: bytes, unit: str | None = None) -> ReckoningError:
    with pytest.raises(ReckoningError) as told:
        read_solid(name, data, unit)
    assert told.value.advice.endswith(".")
    return told.value


@pytest.mark.parametrize("kind", ["stl", "stl_ascii", "obj", "ply"])
def test_the_same_box_is_read_from_every_kind_of_file(kind: str) -> None:
    name = f"box.{kind.removesuffix('_ascii')}"
    read = read_solid(name, as_file(box(), kind))
    assert read.volume_ml == pytest.approx(6.0, rel=1e-9)
    assert read.area_cm2 == pytest.approx(22.0, rel=1e-9)
    assert (read.mended, read.bodies) == (False, 1)


@pytest.mark.parametrize(
    "mesh", [inverted(box()), turned(box(), 0, 7), turned(inverted(box()), 3)], ids=["all", "two", "all but one"]
)
def test_triangles_that_face_inward_are_turned_and_it_is_said(mesh: Any) -> None:
    read = solid(mesh)
    assert read.volume_ml == pytest.approx(6.0, rel=1e-9)
    assert read.mended


def test_two_bodies_are_added_and_counted_even_if_one_is_inside_out() -> None:
    read = solid(together(box(), box((50, 0, 0))))
    assert (read.bodies, read.mended) == (2, False)
    assert read.volume_ml == pytest.approx(12.0)
    read = solid(together(box(), inverted(box((50, 0, 0)))))
    assert (read.bodies, read.mended) == (2, True)
    assert read.volume_ml == pytest.approx(12.0)


def test_a_hollow_is_taken_off_also_where_the_whole_file_is_inside_out() -> None:
    hollow = together(box(), inverted(box(scale=0.5)))
    assert solid(hollow).volume_ml == pytest.approx(5.25)
    assert not solid(hollow).mended
    assert solid(inverted(hollow)).volume_ml == pytest.approx(5.25)


@pytest.mark.parametrize("second", [box((5, 3, 2)), box(scale=0.5)], ids=["pushed in", "inside"])
def test_a_surface_that_runs_through_itself_is_refused(second: Any) -> None:
    told = refusal("two.ply", as_file(together(box(), second)))
    assert told.code == "mesh-crossing"
    assert "counted twice" in told.message


def test_a_single_surface_that_folds_through_itself_is_refused() -> None:
    ball = trimesh.creation.icosphere(4, 50)
    points = np.array(ball.vertices)
    points[points[:, 2] > 20, 2] -= 80
    told = refusal("folded.ply", as_file(trimesh.Trimesh(points, ball.faces, process=False)))
    assert told.code == "mesh-crossing"


def test_triangles_with_two_corners_in_one_place_do_no_harm() -> None:
    made = box()
    faces = np.vstack((made.faces, [[0, 0, 1], [5, 5, 5]]))
    assert solid(trimesh.Trimesh(made.vertices, faces, process=False)).volume_ml == pytest.approx(6.0)


def test_no_open_mesh_has_a_volume() -> None:
    told = refusal("open.stl", as_file(without(box(), 0, 1), "stl"))
    assert told.code == "mesh-open"
    assert "4 of its edges" in told.message


UNREADABLE = {
    "empty": b"",
    "blank": b"\n \n",
    "text": b"a letter about clay\n" * 9,
    "zeros": bytes(84),
    "cut off": as_file(box(), "stl")[:300],
    "noise": np.random.default_rng(1).bytes(3000),
}


@pytest.mark.parametrize("kind", ["stl", "obj", "ply"])
@pytest.mark.parametrize("data", UNREADABLE.values(), ids=UNREADABLE)
def test_what_is_no_mesh_is_refused_with_one_message(data: bytes, kind: str) -> None:
    assert refusal(f"scan.{kind}", data).code == "mesh-unreadable"


def test_another_kind_of_file_is_refused_by_its_name() -> None:
    assert "no STL, OBJ or PLY" in refusal("scan.jpg", as_file(box())).message


@pytest.mark.parametrize(("number", "kind"), [(np.nan, "stl"), (np.nan, "ply"), (np.inf, "ply"), (1e30, "ply")])
def test_a_point_that_is_nowhere_is_refused(number: float, kind: str) -> None:
    made = box()
    points = np.array(made.vertices)
    points[3, 1] = number
    mesh = trimesh.Trimesh(points, made.faces, process=False)
    assert refusal(f"scan.{kind}", as_file(mesh, kind)).code == "mesh-unreadable"


def test_a_mesh_without_area_or_without_volume_is_refused() -> None:
    line = trimesh.Trimesh([[0, 0, 0], [50, 0, 0], [100, 0, 0]], [[0, 1, 2], [0, 2, 1]], process=False)
    assert "no surface" in refusal("line.ply", as_file(line)).message
    flat = trimesh.Trimesh([[0, 0, 0], [50, 0, 0], [10, 50, 0]], [[0, 1, 2], [0, 2, 1]], process=False)
    assert "no volume" in refusal("flat.ply", as_file(flat)).message


@pytest.mark.parametrize(("across", "likely"), [(0.18, "m"), (18, "cm"), (7, "in"), (2000, None), (0.001, None)])
def test_a_size_that_is_no_face_in_millimeters_is_asked_about(across: float, likely: str | None) -> None:
    data = as_file(trimesh.creation.icosphere(2, across / 2))
    told = refusal("scan.ply", data)
    assert told.code == "mesh-unit"
    assert ("if that is what it was saved in" in told.advice) == (likely is not None)
    assert f"--unit {likely or 'mm'}" in told.advice
    assert read_solid("scan.ply", data, "mm").mesh.extents.max() == pytest.approx(across, rel=1e-5)


def test_a_file_is_refused_by_its_size_alone() -> None:
    refuse_large("scan.stl", meshes.MOST_BYTES)
    with pytest.raises(ReckoningError, match="300 MB"):
        refuse_large("scan.stl", 300_000_000)


@pytest.mark.parametrize("kind", ["stl", "stl_ascii", "obj", "ply"])
def test_too_many_triangles_are_refused_before_the_mesh_is_taken_apart(
    kind: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def never(*words: Any, **more: Any) -> Any:
        raise AssertionError("the mesh was read")

    data = as_file(box(), kind)
    monkeypatch.setattr(meshes, "MOST_TRIANGLES", 11)
    monkeypatch.setattr(trimesh, "load_mesh", never)
    told = refusal(f"box.{kind.removesuffix('_ascii')}", data)
    assert told.code == "mesh-too-large"
    assert "12 triangles" in told.message


def test_sculpture_minus_core_of_two_boxes_is_exact() -> None:
    # 40 x 40 x 40 with a core of 30 x 30 x 60 through the middle: 64 - 30*30*40/1000 = 28 ml.
    sculpture, core = trimesh.creation.box((40, 40, 40)), trimesh.creation.box((30, 30, 60))
    found = subtract(solid(sculpture), solid(core))
    assert found.volume_ml == pytest.approx(28.0, rel=1e-9)
    # Four sides of 40 x 40 and two ends of 1600 - 900 mm2.
    assert found.area_cm2 == pytest.approx(78.0, rel=0.01)
    assert found.thickness.median == pytest.approx(5.0, rel=1e-6)


@pytest.mark.parametrize("place", [(0, 0, 0), (1e5, -2e5, 3e5)], ids=["near", "far"])
def test_a_thin_place_is_found_where_it_was_put(place: tuple[float, float, float]) -> None:
    sculpture, core = face_piece(((0.45, 0.45, 1), 0.5)), head()
    sculpture.apply_translation(place)
    core.apply_translation(place)
    found = subtract(solid(sculpture), solid(core))
    (spot,) = found.places
    assert (spot.kind, spot.where) == ("thin", "upper, wearer's left")
    way = np.array((0.45, 0.45, 1)) / np.linalg.norm((0.45, 0.45, 1))
    assert np.linalg.norm(np.array(spot.center) - place - way * 80) < 3
    assert spot.least == pytest.approx(0.5, abs=0.06)
    assert 0.005 < spot.share < 0.05
    assert 0 < found.thin_at_edges < 0.1
    assert found.thickness.least < 0.1 < 4 < found.thickness.median < found.thickness.p95 < 7.9


def test_a_piece_without_a_thin_place_has_none() -> None:
    assert subtract(solid(face_piece()), solid(head())).places == ()


def test_a_higher_limit_finds_what_a_lower_one_passes() -> None:
    sculpture, core = solid(face_piece(((0.45, 0.45, 1), 1.5))), solid(head())
    assert subtract(sculpture, core).places == ()
    assert len(subtract(sculpture, core, thin_mm=2.0).places) == 1


def test_where_the_core_comes_through_is_told_as_an_opening_and_not_as_an_edge() -> None:
    found = subtract(solid(face_piece(((-0.45, -0.45, 1), -0.5))), solid(head()))
    assert [(place.kind, place.where) for place in found.places] == [("opening", "lower, wearer's right")]


def test_bare_core_scanned_twice_is_told_as_a_film_and_not_as_openings() -> None:
    made = face_piece()
    points, ways = np.array(made.vertices), np.array(made.vertices) / np.linalg.norm(made.vertices, axis=1)[:, None]
    bare = np.linalg.norm(points, axis=1) < 80
    points[bare] = ways[bare] * (80 + np.random.default_rng(3).normal(0, 0.05, (bare.sum(), 1)))
    found = subtract(solid(trimesh.Trimesh(points, made.faces, process=False)), solid(head()))
    assert found.film > 0.5
    assert not [place for place in found.places if place.kind == "opening"]
    assert subtract(solid(made), solid(head())).film == 0


def test_with_z_up_the_same_place_has_the_same_words() -> None:
    turn = trimesh.transformations.rotation_matrix(np.pi / 2, (1, 0, 0))
    sculpture, core = face_piece(((0.45, 0.45, 1), 0.5)), head()
    sculpture.apply_transform(turn)
    core.apply_transform(turn)
    (spot,) = subtract(solid(sculpture), solid(core), up="z").places
    assert spot.where == "upper, wearer's left"


def test_the_same_scans_give_the_same_answer() -> None:
    sculpture, core = solid(face_piece(((0.45, 0.45, 1), 0.5))), solid(head())
    first, second = subtract(sculpture, core), subtract(sculpture, core)
    assert (first.thickness, first.places) == (second.thickness, second.places)


@pytest.mark.parametrize("core", [box((200, 0, 0)), box(scale=3)], ids=["apart", "around"])
def test_a_core_that_leaves_no_cavity_is_refused(core: Any) -> None:
    with pytest.raises(ReckoningError) as told:
        subtract(solid(box()), solid(core))
    assert told.value.code == "mesh-apart"
