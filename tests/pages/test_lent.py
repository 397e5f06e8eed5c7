"""A page that tests lend to each other is as good as new for the next."""

from __future__ import annotations

from browser import Watched, forget

QUIET = "pictures/mold-section.svg"
STATE = """() => ({
  kept: localStorage.length + sessionStorage.length, wide: innerWidth, high: innerHeight,
  look: ["print", "(prefers-color-scheme: dark)", "(forced-colors: active)", "(prefers-reduced-motion: reduce)"].filter(
    (each) => matchMedia(each).matches),
})"""


def test_nothing_an_earlier_test_left_is_there_for_the_next(forgetful: Watched) -> None:
    page = forgetful.page
    forgetful.open("index.html")
    new = page.evaluate(STATE)
    assert new == {"kept": 0, "wide": 390, "high": 844, "look": []}
    page.evaluate("localStorage.setItem('a', 1), sessionStorage.setItem('b', 2)")
    page.set_viewport_size({"width": 700, "height": 500})
    page.emulate_media(media="print", color_scheme="dark", forced_colors="active", reduced_motion="reduce")
    page.context.new_page().goto(f"{forgetful.home}recipes.html")
    page.bring_to_front()
    left = page.evaluate(STATE)
    assert (left["kept"], left["wide"], len(left["look"]), len(page.context.pages)) == (2, 700, 4, 2)
    forget(forgetful, QUIET, 390, 844)
    assert page.context.pages == [page]
    assert forgetful.open("index.html") == []
    assert page.evaluate(STATE) == new
