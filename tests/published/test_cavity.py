"""Cavities of the trade reference, row by row; each states its source as the reference does (b: reckoned)."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest
import trimesh

from mothermold.quantities import parse
from mothermold.reckon.cavity import volume_of, water_density
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.meshes import read_solid
from mothermold.reckon.scans import subtract
from reckon.solids import as_file, box, inverted, solid, without


# Row "cavity 120 mL, 1.08 g/mL: 129.6 g" of 1.2 (b), the other way round.
def test_a_casting_of_129_6_g_at_1_08_fills_120_ml() -> None:
    assert volume_of(Fraction("129.6"), Fraction("1.08")) == 120


def test_density_in_pounds_per_gallon_gives_the_same_volume() -> None:
    # 1 lb/US gal is 119.826427317 kg/m3 (1.1, b); a gallon of it weighs a pound.
    pound, density = parse("1 lb", ["mass"]), parse("1 lb/US gal", ["density"])
    assert float(density.value) == pytest.approx(0.119826427317, rel=1e-9)
    assert volume_of(pound.value, density.value) == parse("1 US gal", ["volume"]).value


# Common tables of water without air, from memory: 0.999975, 0.998207, 0.995650.
@pytest.mark.parametrize(("warmth", "expected"), [(4, 0.999975), (20, 0.998207), (30, 0.995650)])
def test_water_weighs_what_the_tables_say(warmth: int, expected: float) -> None:
    assert float(water_density(Fraction(warmth))) == pytest.approx(expected, abs=3e-6)


# Kell 1975, another formula of the same thing, as public code states it; written for an older scale of temperature.
@pytest.mark.parametrize("warmth", [1, 10, 20, 30, 40])
def test_two_published_formulas_of_water_agree(warmth: int) -> None:
    numbers = (999.83952, 16.945176, -7.9870401e-3, -46.170461e-6, 105.56302e-9, -280.54253e-12)
    kell = sum(each * warmth**power for power, each in enumerate(numbers)) / (1 + 16.879850e-3 * warmth) / 1000
    assert float(water_density(Fraction(warmth))) == pytest.approx(kell, abs=8e-6)


def test_without_a_temperature_water_is_at_20_degrees() -> None:
    assert water_density() == Fraction("0.998207")


@pytest.mark.parametrize("warmth", ["0", "41", "-5"])
def test_ice_and_hot_water_are_refused(warmth: str) -> None:
    with pytest.raises(ReckoningError, match="is not worked out here"):
        water_density(Fraction(warmth))


@pytest.mark.parametrize(("weight", "density"), [("0", "1"), ("1", "0"), ("-1", "1")])
def test_nothing_has_no_volume(weight: str, density: str) -> None:
    with pytest.raises(ReckoningError):
        volume_of(Fraction(weight), Fraction(density))


# 1.2 (b): spheres of 52 and 50 mm leave 65.3786 ml; 4 pi r2 t at the inner radius gives 62.832 and is 3.9 % low.
def test_the_shell_between_two_spheres() -> None:
    outer, inner = trimesh.creation.icosphere(5, 52), trimesh.creation.icosphere(5, 50)
    exact = 4 / 3 * math.pi * (52**3 - 50**3) / 1000
    assert exact == pytest.approx(65.3786, abs=1e-4)
    found = subtract(solid(outer), solid(inner))
    # Both spheres are 0.0541 % low, and so is what lies between.
    assert found.volume_ml / exact - 1 == pytest.approx(-0.000541, abs=2e-6)
    assert found.area_cm2 == pytest.approx(4 * math.pi * 52**2 / 100, rel=0.001)
    assert (found.thickness.least, found.thickness.p95) == (pytest.approx(2.0, abs=2e-3), pytest.approx(2.0, abs=2e-3))
    assert found.thin_at_edges == 0


def test_the_half_shell_between_two_spheres() -> None:
    # 1.2 (b): a hemisphere, 32.6893 ml. The core is the inner ball and everything below the middle.
    outer, inner = trimesh.creation.icosphere(5, 52), trimesh.creation.icosphere(5, 50)
    below = trimesh.creation.box((120, 60, 120))
    below.apply_translation((0, -30, 0))
    core = trimesh.boolean.union([inner, below], engine="manifold")
    found = subtract(solid(outer), solid(core))
    assert found.volume_ml == pytest.approx(32.6893, rel=0.0007)
    assert found.thickness.median == pytest.approx(2.0, abs=0.01)


# 1.10 (b): exact, and with it moved 1e6 mm away.
@pytest.mark.parametrize("at", [0.0, 1e6])
def test_a_box(at: float) -> None:
    read = solid(box((at, at, at)))
    assert read.volume_ml * 1000 == pytest.approx(6000, rel=1e-9)
    assert read.area_cm2 * 100 == pytest.approx(2200, rel=1e-9)


# 1.10 (b): inscribed meshes are always low.
@pytest.mark.parametrize(("halved", "percent"), [(2, -3.384), (3, -0.861), (4, -0.216), (5, -0.0541)])
def test_icospheres_are_always_low(halved: int, percent: float) -> None:
    read = solid(trimesh.creation.icosphere(halved, 50))
    off = (read.volume_ml * 1000 / 523598.776 - 1) * 100
    assert off < 0
    assert off == pytest.approx(percent, rel=0.005)


# 1.10 (b): a prism of n sides, n/2 sin(2 pi / n) r2 h, matches to 1e-9.
@pytest.mark.parametrize(("sides", "expected"), [(32, 62428.903), (64, 62730.970), (256, 62825.545)])
def test_prisms(sides: int, expected: float) -> None:
    formula = sides / 2 * math.sin(2 * math.pi / sides) * 20**2 * 50
    assert formula == pytest.approx(expected, abs=1e-3)
    read = solid(trimesh.creation.cylinder(20, 50, sections=sides), kind="obj")
    assert read.volume_ml * 1000 == pytest.approx(formula, rel=1e-6)


# 1.10 (b): torus 40/10 of 128 by 64, 0.201 % low; its surface 15791.367.
def test_a_torus() -> None:
    read = solid(trimesh.creation.torus(40, 10, major_sections=128, minor_sections=64))
    assert read.volume_ml * 1000 / 78956.835 - 1 == pytest.approx(-0.00201, abs=1e-5)
    assert read.area_cm2 * 100 == pytest.approx(15791.367, rel=0.001)


# 1.10 (b): the cone r 15 h 40 and the ring 10-20 h 5.
def test_a_cone_and_a_ring() -> None:
    cone = solid(trimesh.creation.cone(15, 40, sections=512))
    assert cone.volume_ml * 1000 == pytest.approx(9424.778, rel=1e-4)
    ring = solid(trimesh.creation.annulus(10, 20, 5, sections=512))
    assert ring.volume_ml * 1000 == pytest.approx(4712.389, rel=1e-4)


# 1.10 (b): the unit tetrahedron, 1/6 and 2.366025; inside out it would be -1/6.
@pytest.mark.parametrize("turn", [False, True])
def test_a_tetrahedron_either_way_round(turn: bool) -> None:
    corners = np.array([[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]], dtype=float)
    made = trimesh.Trimesh(corners, [[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]], process=False)
    read = solid(inverted(made) if turn else made, unit="cm")
    assert read.volume_ml == pytest.approx(1 / 6, rel=1e-9)
    assert read.area_cm2 == pytest.approx(2.366025, abs=1e-6)
    assert read.mended is turn


# 1.10 (b), trap: of a box without two triangles the library still gives a volume.
def test_a_box_without_a_side_has_no_volume() -> None:
    opened = without(box(), 0, 1)
    assert abs(opened.volume) > 0
    with pytest.raises(ReckoningError) as told:
        solid(opened)
    assert told.value.code == "mesh-open"


# 1.10 (b): taken for the wrong one of millimeters and inches, a volume is off by 25.4 cubed, 16387.064.
def test_a_unit_slip_is_a_factor_of_16387() -> None:
    data = as_file(trimesh.creation.icosphere(3, 3.5))
    inches, millimeters = (read_solid("face.ply", data, unit).volume_ml for unit in ("in", "mm"))
    assert inches / millimeters == pytest.approx(16387.064, rel=1e-6)
    with pytest.raises(ReckoningError, match="small for millimeters") as told:
        read_solid("face.ply", data)
    assert "`--unit in`" in told.value.advice
