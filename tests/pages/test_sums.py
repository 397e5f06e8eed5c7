"""The page of small sums: the browser reckons what Python reckons, and a phone can type into it."""

from __future__ import annotations

import random
import shutil
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

import pytest
from playwright.sync_api import Browser, expect

from browser import THEMES, Watched, breaches, too_small, too_wide, watched
from mothermold.desk.founding import found_book
from mothermold.publish.building import build_site
from mothermold.reckon.cavity import volume_of, water_density
from mothermold.reckon.cure import at_temperature, stalls
from mothermold.reckon.curve import Shape, fit
from mothermold.reckon.errors import ReckoningError
from mothermold.reckon.gypsum import dry_target, heat_rise, slurry_for_volume, slurry_from_powder

PAGE = "sums.html"
CASES = 240
Case = tuple[str, dict[str, Any]]


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> str:
    folder = tmp_path_factory.mktemp("sums")
    found_book(folder / "book")
    build_site(folder / "book", "public", folder / "site")
    shutil.rmtree(folder / "book")
    return f"{folder.as_uri()}/site/"


@pytest.fixture
def phone(chromium: Browser, home: str) -> Iterator[Watched]:
    with watched(chromium, home, viewport={"width": 390, "height": 844}) as seen:
        assert seen.open(PAGE) == []
        yield seen
        assert seen.told() == []


def _cases() -> list[Case]:
    chance = random.Random(1866)
    cases: list[Case] = []
    for _ in range(CASES // 6):
        ratio = round(chance.uniform(10, 110), 1)
        cases += [
            ("gypsum", {chance.choice(["fill", "powder"]): round(chance.uniform(0, 9000), 1), "ratio": ratio,
                        "powderDensity": round(chance.uniform(2.3, 2.8), 2), "waterDensity": 0.998}),
            ("dry", {"demolded": round(chance.uniform(10, 9000), 1), "ratio": ratio}),
            ("cure", {"time": round(chance.uniform(1, 300), 1), "at": chance.randint(18, 30), "room": chance.randint(5, 45)}),
            ("curve", {"shape": chance.choice(["disc", "band"]), "half": round(chance.uniform(1, 120), 1),
                       "radius": chance.randint(20, 120), "across": chance.choice([None, 30, 75, 110.5]),
                       "saddle": chance.random() < 0.3, "tolerance": chance.choice([0.02, 0.005, 0.1, 0.3])}),
            ("cavity", {"weight": round(chance.uniform(1, 900), 1), "density": round(chance.uniform(0.9, 1.8), 2)}),
            ("cavity", {"weight": round(chance.uniform(1, 900), 1)}),
        ]  # fmt: skip
    return cases


def _exact(value: float) -> Fraction:
    return Fraction(str(value))


def _reckoned(name: str, asked: dict[str, Any]) -> dict[str, Any] | None:
    """The same by Python; None where it refuses."""
    try:
        return _SAME[name](asked)
    except ReckoningError:
        return None


def _gypsum(asked: dict[str, Any]) -> dict[str, Any]:
    exact = {key: _exact(value) for key, value in asked.items()}
    make = slurry_for_volume if "fill" in exact else slurry_from_powder
    made = make(
        exact.get("fill", exact.get("powder", Fraction(0))),
        exact["ratio"],
        exact["powderDensity"],
        exact["waterDensity"],
    )
    alpha, beta = heat_rise(exact["ratio"])
    return {
        "powder": made.powder, "water": made.water, "volume": made.volume, "wetDensity": made.wet_density,
        "freeWater": made.free_water, "dry": made.dry, "dryDensity": made.dry_density, "loss": made.loss,
        "riseAlpha": alpha, "riseBeta": beta,
    }  # fmt: skip


def _cure(asked: dict[str, Any]) -> dict[str, Any]:
    band = at_temperature(asked["time"], asked["at"], asked["room"])
    return {"short": band.short, "usual": band.usual, "long": band.long, "stalls": stalls(asked["room"])}


def _curve(asked: dict[str, Any]) -> dict[str, Any]:
    shape: Shape = asked["shape"]
    found = fit(
        shape, asked["half"], asked["radius"], asked["across"], saddle=asked["saddle"], tolerance=asked["tolerance"]
    )
    return {
        "surface": found.surface, "radius": found.radius, "share": found.share, "about": found.about,
        "wrinkle": found.wrinkle, "largest": found.largest,
    }  # fmt: skip


_SAME = {
    "gypsum": _gypsum,
    "dry": lambda asked: {"target": dry_target(_exact(asked["demolded"]), _exact(asked["ratio"]))},
    "cure": _cure,
    "curve": _curve,
    "cavity": lambda asked: {
        "volume": volume_of(
            _exact(asked["weight"]), _exact(asked["density"]) if "density" in asked else water_density()
        )
    },
}


def test_the_browser_reckons_what_python_reckons_and_refuses_what_it_refuses(phone: Watched) -> None:
    cases = _cases()
    told = phone.page.evaluate("(cases) => cases.map(([name, asked]) => window.mothermoldSetting[name](asked))", cases)
    refusals = 0
    for (name, asked), found in zip(cases, told, strict=True):
        wanted = _reckoned(name, asked)
        if wanted is None:
            refusals += 1
            assert set(found) == {"fault", "advice"}, (name, asked)
            continue
        assert found.keys() == wanted.keys(), (name, asked)
        for key, value in wanted.items():
            same = float(value) if isinstance(value, Fraction) else value
            expected = pytest.approx(same, rel=1e-9, abs=1e-9) if isinstance(same, float) else same
            assert found[key] == expected, (name, asked, key)
    assert len(cases) == CASES
    assert CASES // 10 < refusals < CASES // 2


@pytest.mark.parametrize(
    ("form", "fields", "answer"),
    [
        ("gypsum", {"amount": "1 l", "ratio": "38"}, "Powder 1343 g, water 510 g"),
        ("gypsum", {"amount": "3 kg", "ratio": "30"}, "Powder 3000 g, water 900 g"),
        ("gypsum", {"amount": "1 l", "ratio": "12"}, "less than the 18.618 g the powder binds"),
        ("dry", {"demolded": "10 kg", "ratio": "38"}, "Dry at about 8596 g"),
        ("cure", {"time": "6 min", "room": "18"}, "7 min 21 s to 9 min 29 s, usually 8 min 29 s"),
        ("cure", {"time": "6 min", "room": "12 °C"}, "known to stall"),
        ("cure", {"time": "2 h", "room": "73.4 °F"}, "2 h, as it is stated"),
        ("curve", {"width": "120", "radius": "90"}, "27.3 mm too much, so it wrinkles"),
        ("curve", {"shape": "band", "width": "4 cm", "radius": "90 mm"}, "Up to 36 mm wide"),
        ("curve", {"bends": "flat", "width": "120", "radius": "90"}, "Lies down at any size"),
        ("curve", {"bends": "saddle", "width": "40", "radius": "60", "across": "90"}, "has to stretch"),
        ("cavity", {"weight": "240", "density": "1,5"}, "160 ml to fill"),
        ("cavity", {"from": "water", "weight": "150"}, "150 ml to fill"),
        ("cavity", {"weight": "240"}, "The density is not given."),
        ("cavity", {"weight": "240 mm"}, "240 mm` is a length"),
    ],
)  # fmt: skip
def test_a_form_answers_while_one_types(form: str, fields: dict[str, str], answer: str, phone: Watched) -> None:
    sum_ = phone.page.locator(f"form[data-sum={form}]")
    for name, value in fields.items():
        field = sum_.locator(f"[name={name}]")
        if field.evaluate("(each) => each.tagName") == "SELECT":
            field.select_option(value)
        else:
            field.fill(value)
    expect(sum_.locator("output")).to_contain_text(answer)


def test_an_unfinished_form_says_nothing_and_enter_leaves_the_page_where_it_is(phone: Watched) -> None:
    sum_ = phone.page.locator("form[data-sum=gypsum]")
    sum_.locator("[name=amount]").fill("1 l")
    sum_.locator("[name=amount]").press("Enter")
    expect(sum_.locator("output")).to_be_empty()
    assert phone.page.url.endswith(PAGE)


@pytest.mark.parametrize("theme", THEMES)
def test_the_forms_fit_a_phone_and_break_no_rule(theme: Any, phone: Watched) -> None:
    phone.page.emulate_media(color_scheme=theme)
    phone.page.locator("#cavity-weight").fill("240 mm")
    assert too_wide(phone.page) == []
    assert too_small(phone.page, ".sum input, .sum select", 44) == []
    assert breaches(phone.page) == []


def test_on_paper_and_without_scripts_the_tables_remain(chromium: Browser, home: str, phone: Watched) -> None:
    phone.page.emulate_media(media="print")
    expect(phone.page.locator("form.sum").first).to_be_hidden()
    expect(phone.page.locator("#gypsum table")).to_be_visible()
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{home}{PAGE}")
    expect(page.locator("form.sum").first).to_be_hidden()
    assert [page.locator(f"#{name} tbody tr").count() for name in ("gypsum", "pot-life", "curve")] == [5, 3, 4]
    expect(page.locator("#gypsum tbody tr").nth(1)).to_contain_text("1343 g")
    context.close()
