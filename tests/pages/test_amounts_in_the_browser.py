"""What is typed into a page is read within bounds, whatever its length, before any pattern or number sees it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Error, Page

from mothermold.pages.units import units_script
from mothermold.publish.plugin import THEME

LONG = 60_000
READ = "([typed, wanted]) => mothermoldAmounts.read(typed, [wanted])"


@pytest.fixture(scope="module")
def page(chromium: Browser) -> Iterator[Page]:
    """A blank page that reads amounts, and nothing else."""
    blank = chromium.new_page()
    blank.set_content("<!doctype html><title>blank</title>")
    blank.add_script_tag(content=units_script())
    for name in ("exact", "amounts"):
        blank.add_script_tag(content=(THEME / "assets" / f"{name}.js").read_text(encoding="utf-8"))
    yield blank
    blank.close()


@pytest.mark.parametrize(
    "typed", ["9" * LONG, "1." * LONG, "1 min " * LONG, " " * LONG + "1", "1,1" * LONG, "1e" * LONG, "9" * 61]
)
def test_an_amount_of_any_length_is_too_long_at_once(typed: str, page: Page) -> None:
    found = page.evaluate(READ, [typed, "volume"])
    assert (found["code"], len(found["fault"]) < 100) == ("too-long", True)


@pytest.mark.parametrize(
    ("typed", "wanted", "word"),
    [
        ("9" * 58 + " g", "mass", "more than"),
        ("0.0000000001 g", "mass", "less than"),
        ("0." + "0" * 50 + "1 g", "mass", "less than"),
        ("9" * 50 + " degC", "temperature", "no temperature"),
        ("-" + "9" * 50 + " degC", "temperature", "no temperature"),
    ],
)
def test_what_no_bench_holds_is_out_of_range(typed: str, wanted: str, word: str, page: Page) -> None:
    found = page.evaluate(READ, [typed, wanted])
    assert (found["code"], word in found["fault"]) == ("out-of-range", True)


@pytest.mark.parametrize(("typed", "wanted", "value"), [("0.001 g", "mass", 0.001), ("-18 degC", "temperature", -18)])
def test_what_a_bench_holds_is_read(typed: str, wanted: str, value: float, page: Page) -> None:
    assert page.evaluate(READ, [typed, wanted])["value"] == value


def test_a_number_without_end_is_no_fraction(page: Page) -> None:
    with pytest.raises(Error, match="without end"):
        page.evaluate("() => mothermoldExact.of('9'.repeat(6000))")
    assert page.evaluate("() => mothermoldExact.text(mothermoldExact.of('1/4'))") == "1/4"
