"""The sums at the bench are found by what one looks for, and each has its place on their page."""

from __future__ import annotations

import re
from pathlib import Path

from mothermold.answers.bench_sums import SUMS, sum_entries

PAGE = Path(__file__).parents[2] / "tools/mothermold/pages/templates/sums.html"


def test_each_sum_has_its_place_on_the_page_and_the_page_has_no_other_section() -> None:
    text = PAGE.read_text(encoding="utf-8")
    assert set(SUMS) == set(re.findall(r'<(?:section|h3) id="([^"]+)"', text))


def test_a_sum_leads_to_its_page_and_what_may_touch_what_to_its_table() -> None:
    leads = {entry.id: entry.leads for entry in sum_entries() if entry.kind == "sum"}
    assert leads == {**dict.fromkeys(SUMS, ("page", "sums")), "may-touch": ("page", "touch")}
    assert 'id="may-touch"' in (PAGE.parent / "touch.html").read_text(encoding="utf-8")
