"""Vapor in a room and the data it rests on, against the trade reference's sections on solvents and well-mixed rooms.

Sources, as it states them: S36 an exercise of the University of Southampton (read), S37 an exercise page (question read, answer
computed), S38 an industrial hygienist's page of 2013 (read), S35 OSHA table Z-1 (read); what was computed there says so.
Molar masses and explosive limits are checked against the library `chemicals` (tables of IEC 60079-20-1 and NFPA 497).
"""

from __future__ import annotations

import math

import chemicals
import pytest

from mothermold.reckon.vapor import Pulse, concentration, in_ppm, lel_share, mixture
from mothermold.trade.substances import substance_of, substances

KNOWN = [each for each in substances().values() if not each.mixture]
LEL_TABLES = ("IEC 60079-20-1 (2010)", "NFPA 497 (2008)")


@pytest.mark.parametrize("substance", KNOWN, ids=lambda each: each.name)
def test_molar_masses_are_those_of_the_reference_library(substance: object) -> None:
    assert substance.molar_mass == pytest.approx(chemicals.MW(substance.cas), abs=1e-4)  # type: ignore[attr-defined]


# The lower of the two tables, each asked by name: predicted values are never taken (trap of the trade reference).
@pytest.mark.parametrize("substance", KNOWN, ids=lambda each: each.name)
def test_explosive_limits_are_the_lower_of_two_tables(substance: object) -> None:
    found = [chemicals.LFL(CASRN=substance.cas, method=table) for table in LEL_TABLES]  # type: ignore[attr-defined]
    known = [each * 100 for each in found if each is not None]
    assert substance.lel == (pytest.approx(min(known)) if known else None)  # type: ignore[attr-defined]


# Printed milligrams are rounded: within 3 % of those OSHA and NIOSH print beside the ppm (S30 to S33, S35, read).
@pytest.mark.parametrize(
    ("cas", "ppm", "printed"),
    [
        ("67-64-1", 250, 590),
        ("67-64-1", 1000, 2400),
        ("67-63-0", 400, 980),
        ("141-78-6", 400, 1400),
        ("110-54-3", 50, 180),
    ],
)
def test_ppm_and_milligrams_agree_as_far_as_they_are_printed(cas: str, ppm: float, printed: float) -> None:
    assert in_ppm(printed, molar_mass(cas)) == pytest.approx(ppm, rel=0.03)


def molar_mass(cas: str) -> float:
    found = substance_of(cas, "")
    assert found is not None
    return found.molar_mass


def limit(cas: str, issuer: str, kind: str) -> float:
    found = substance_of(cas, "")
    assert found is not None
    return next(each.ppm for each in found.limits if (each.issuer, each.kind) == (issuer, kind))


# Section 1.4; hexane's REL is 50 and not the 500 that one page prints by mistake (S33, read on NIOSH's own page).
@pytest.mark.parametrize(
    ("cas", "osha", "niosh"),
    [
        ("67-64-1", 1000, 250), ("67-63-0", 400, 400), ("141-78-6", 400, 400), ("110-54-3", 500, 50),
        ("142-82-5", 500, 85), ("110-82-7", 300, 300), ("64-17-5", 1000, 1000), ("108-88-3", 200, 100),
    ],
)  # fmt: skip
def test_limits_are_those_of_the_trade_reference(cas: str, osha: float, niosh: float) -> None:
    assert (limit(cas, "OSHA", "PEL 8 h"), limit(cas, "NIOSH", "REL 10 h")) == (osha, niosh)


def test_every_limit_says_where_and_when_it_was_read() -> None:
    limits = [each for substance in substances().values() for each in substance.limits]
    assert all(each.source and each.read for each in limits)
    assert all(each.read == "not read" for each in limits if each.source == "from memory")


# S36, read and computed: 40 m3, 1.2e-6 m3/s, 3e-3 m3/s; "approximately 1.3 hrs".
def test_the_university_exercise() -> None:
    assert concentration(1.2e-6, 3e-3, 40, 1e9) == pytest.approx(4.0e-4)
    assert concentration(1.2e-6, 3e-3, 40, 4755.7) == pytest.approx(1.2e-4, rel=1e-4)
    assert concentration(1.2e-6, 3e-3, 40, 1.25 * 3600) < 1.2e-4 < concentration(1.2e-6, 3e-3, 40, 1.35 * 3600)


# The same with a second source after 900 s, computed.
def test_a_second_source_later() -> None:
    first = concentration(1.2e-6, 3e-3, 40, 900)
    assert first == pytest.approx(2.6109e-5, rel=1e-4)
    assert concentration(2.4e-6, 3e-3, 40, 2624.5 - 900, first) == pytest.approx(1.2e-4, rel=1e-4)


# S37: 1 g/min, 6 x 6 x 3 m, 10 m3/min; answer computed there.
def test_one_gram_a_minute_in_a_room() -> None:
    assert concentration(1000, 10, 108, 1e6) == pytest.approx(100)
    assert concentration(1000, 10, 108, 32.354) == pytest.approx(95, abs=0.01)


# S38, read: 20 m3, half gone in 1.4 h, "about 9.9" m3/h.
def test_air_changes_from_a_half_life() -> None:
    flow = math.log(2) * 20 / 1.4
    assert flow == pytest.approx(9.902, abs=0.01)
    assert concentration(0, flow, 20, 1.4, before=1) == pytest.approx(0.5)


# Computed: all at once into 40 m3; densities 0.785, 0.785, 0.66 and 0.902 g/ml.
@pytest.mark.parametrize(
    ("cas", "grams", "ppm"),
    [("67-64-1", 39.2, 413), ("67-63-0", 78.2, 795), ("110-54-3", 32.8, 233), ("141-78-6", 44.7, 310.5)],
)
def test_all_at_once(cas: str, grams: float, ppm: float) -> None:
    assert in_ppm(Pulse(grams, 0, 40, 0).peak(), molar_mass(cas)) == pytest.approx(ppm, rel=0.01)


def test_what_413_ppm_of_acetone_are() -> None:
    assert Pulse(39.2, 0, 40, 0).peak() == pytest.approx(980.6, rel=1e-3)
    assert lel_share(413, 2.5) == pytest.approx(1.65, abs=0.01)
    assert 413 / limit("67-64-1", "NIOSH", "REL 10 h") == pytest.approx(1.65, abs=0.01)


# Computed: 20 g/h of acetone for half an hour, none after, 30 m3.
@pytest.mark.parametrize(
    ("changes", "peak", "average"), [(0.5, 124.2, 34.35), (1, 110.4, 17.53), (4, 60.7, 4.39), (6, 44.5, 2.92)]
)
def test_half_an_hour_of_acetone(changes: float, peak: float, average: float) -> None:
    pulse = Pulse(10, 30, 30, changes)
    acetone = molar_mass("67-64-1")
    assert in_ppm(pulse.peak(), acetone) == pytest.approx(peak, rel=0.005)
    assert in_ppm(pulse.average(), acetone) == pytest.approx(average, rel=0.005)


# 10 % of the lower explosive limit; for hexane NFPA's 1.1 % gives the 1100 ppm of the reference, IEC's 1.0 % less.
@pytest.mark.parametrize(("cas", "ppm"), [("67-64-1", 2500), ("67-63-0", 2000), ("141-78-6", 2000), ("110-54-3", 1000)])
def test_a_tenth_of_the_lower_explosive_limit(cas: str, ppm: float) -> None:
    found = substance_of(cas, "")
    assert found is not None
    assert found.lel is not None
    assert lel_share(ppm, found.lel) == pytest.approx(10)


# OSHA 1910.1000(d)(2), formula from memory; figures computed.
def test_a_mixture() -> None:
    assert mixture([(100, 250), (150, 400)]) == pytest.approx(0.775)
