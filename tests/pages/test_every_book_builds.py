"""Whatever amounts a book holds: if they can be read, every page of every edition can be made of them."""

from __future__ import annotations

import tempfile
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from campaigns.seeds import seeds
from mothermold.answers.batch import BatchAsked, mix_batch
from mothermold.answers.vapor import VaporAsked as Air
from mothermold.answers.vapor import reckon_vapor
from mothermold.ground.errors import RefusedError
from mothermold.pages.all_pages import all_pages
from mothermold.pages.bench import bench_book
from mothermold.pages.finder import find_index
from mothermold.quantities import QuantityError, parse
from mothermold.view.editions import EDITIONS
from mothermold.view.view import View, open_view
from view.books import make_book

NUMBERS = st.one_of(
    st.sampled_from(
        ["0", "0.0", "0.000000001", "0.001", "0.5", "1", "2", "7", "100", "999999", "9999999999", "3.3333333333333333"]
    ),
    st.decimals(min_value=0, max_value=10**10, allow_nan=False, allow_infinity=False, places=6).map(lambda d: f"{d:f}"),
    st.integers(min_value=0, max_value=3000).map(str),
)


def amounts(*units: str) -> st.SearchStrategy[str]:
    """Amounts in one of these units, a range among them now and then, as far as they can be read."""
    one = st.tuples(NUMBERS, st.sampled_from(units)).map(" ".join)
    two = st.tuples(NUMBERS, NUMBERS, st.sampled_from(units)).map(
        lambda each: f"{'-'.join(sorted(each[:2], key=float))} {each[2]}"
    )
    return st.one_of(one, one, one, two).filter(_is_read)


def _is_read(text: str) -> bool:
    try:
        parse(text, ("mass", "volume", "time", "temperature", "density", "share", "number"))
    except QuantityError:
        return False
    return True


MASS, VOLUME, TIME = amounts("g", "kg", "mg", "oz"), amounts("ml", "l", "US fl oz"), amounts("min", "h", "days", "s")
HEAT, DENSITY, SHARE = amounts("degC", "degF"), amounts("g/ml", "kg/m3"), amounts("%")
WEIGHED = st.one_of(MASS, VOLUME)


def maybe(key: str, values: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    """A key with a value, or nothing."""
    return st.one_of(st.just(""), values.map(lambda value: f", {key}: {value}"))


@st.composite
def books(draw: st.DrawFn) -> dict[str, str]:
    scales = draw(st.lists(st.tuples(MASS, MASS), max_size=3))
    told = "".join(f"  - {{id: s{at}, step: {step}, up_to: {most}}}\n" for at, (step, most) in enumerate(scales))
    parts = [
        f"      - {{material: resin-a, parts: {draw(NUMBERS)}}}\n",
        f"      - {{material: resin-b, {draw(st.sampled_from(['parts', 'percent', 'amount', 'eye']))}: ",
    ]
    measure = parts[1].rsplit(", ", 1)[1]
    value = {
        "parts: ": NUMBERS,
        "percent: ": st.one_of(SHARE, NUMBERS),
        "amount: ": WEIGHED,
        "eye: ": st.just("a pinch"),
    }[measure]
    of = ", of: resin-a" if measure.startswith("percent") else ""
    last = parts[1].replace("eye: ", "amount: ") + f"{draw(value)}{of}}}\n"
    size = draw(
        st.one_of(VOLUME.map(lambda v: f"fills: {v}"), WEIGHED.map(lambda v: f"batch: {v}"), st.just("title: x"))
    )
    allowance = draw(maybe("percent", SHARE)) + draw(maybe("left_in_cups", WEIGHED))
    allowance += draw(maybe("smallest_batch", WEIGHED)) + draw(maybe("largest_batch", WEIGHED))
    life = draw(st.tuples(TIME, HEAT))
    materials = {
        f"recipes/materials/resin-{name}.yaml": (
            f"title: Resin {name}\nfamilies: [polyurethane-resin]\nvisibility: public\n"
            + draw(st.one_of(st.just(""), DENSITY.map(lambda v: f"density: {v}\n")))
            + f"lots:\n  - {{lot: L1, opened: 2026-01-02{draw(maybe('left', WEIGHED))}}}\n"
            + draw(st.one_of(st.just(""), TIME.map(lambda v: f"keeps: {{opened: {v}}}\n")))
        )
        for name in "ab"
    }
    return {
        "recipes/book.yaml": f"title: A book\nscales:\n{told}" if told else "title: A book\n",
        **materials,
        "recipes/cast/plate.yaml": (
            "title: Plate\nstage: cast\nversion: 1\nstatus: locked\nvisibility: public\nmixes:\n  - id: soft\n"
            f"    by: {draw(st.sampled_from(['weight', 'volume']))}\n    parts:\n{parts[0]}{last}    {size}\n"
            f"    allowance: {{{allowance[2:]}}}\n" + f"    pot_life: {{time: {life[0]}, at: {life[1]}}}\n"
            f"    demold: {{time: {draw(TIME)}, at: {life[1]}}}\n"
            "steps:\n  - id: pour\n    title: Pour\n    do: Slowly.\n"
            f"    hands_on: {draw(TIME)}\n    temperature: {draw(HEAT)}\n    wait: {draw(TIME)}\n"
            "    uses: [{mix: soft, as: cast}]\n"
        ),
        "recipes/molds/plate-1.yaml": (
            f"title: Plate mold 1\nmade: 2026-01-03\nvisibility: public\ncavity: {{volume: {draw(VOLUME)}, how: water}}\n"
            if draw(st.booleans())
            else "title: Plate mold 1\nmade: 2026-01-03\nvisibility: public\n"
        ),
        "recipes/runs/r-2026-01-05-plate.yaml": (
            "id: r-2026-01-05-plate\nrecipe: cast/plate@1\nmold: plate-1\nstarted: 2026-01-05 10:00\noutcome: good\n"
            f"visibility: public\nmeasured:\n  - {{what: piece with flashing, value: {draw(MASS)}}}\n"
            f"batch: [{{mix: soft, weighed: {draw(WEIGHED)}}}]\n"
        ),
    }


def made(view: View) -> int:
    """How many pages a view gives; the search and the bench are made along with them."""
    find_index(view)
    bench_book(view)
    return sum(1 for _ in all_pages(view))


def laid_out(files: dict[str, str], folder: str) -> Path:
    for file, text in files.items():
        path = Path(folder) / file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return Path(folder)


@pytest.mark.parametrize("examples", [8, pytest.param(40, marks=pytest.mark.campaign)])
def test_every_book_of_readable_amounts_gives_all_its_pages_and_batches(examples: int) -> None:
    tried = settings(max_examples=examples, deadline=None, derandomize=True, phases=[Phase.explicit, Phase.generate])
    tried(given(books(), VOLUME)(gives_all_its_pages_and_batches))()


def gives_all_its_pages_and_batches(files: dict[str, str], fill: str) -> None:
    with tempfile.TemporaryDirectory() as folder:
        view = open_view(laid_out(files, folder), "private")
        assert {notice.code for notice in view.notices if notice.severity == "error"} <= {"no-parts"}
        assert made(view) > 5
        assert made(open_view(Path(folder), "public")) > 2
        for asked in (
            BatchAsked(),
            BatchAsked(fill=fill),
            BatchAsked(mold="plate-1"),
            BatchAsked(castings=9999, fill=fill, room="26 degC"),
        ):
            with suppress(RefusedError):
                mix_batch(view, "cast/plate", None, asked)
        with suppress(RefusedError):
            reckon_vapor(view, "cast/plate", Air(room="42 m3", changes="3"))


def plate(step: str, fill: str) -> dict[str, str]:
    """A small mix by two equal parts on one scale."""
    materials = {
        f"recipes/materials/resin-{name}.yaml": f"title: Resin {name}\nfamilies: [polyurethane-resin]\ndensity: 1 g/ml\n"
        for name in "ab"
    }
    return {
        "recipes/book.yaml": f"title: A book\nscales: [{{id: one, step: {step}, up_to: 5 kg}}]\n",
        **materials,
        "recipes/cast/plate.yaml": (
            "title: Plate\nstage: cast\nversion: 1\nstatus: locked\nmixes:\n  - id: soft\n    parts:\n"
            "      - {material: resin-a, parts: 1}\n      - {material: resin-b, parts: 1}\n"
            f"    fills: {fill}\n    pot_life: {{time: 25 min, at: 23 degC}}\n"
            "steps:\n  - {id: pour, title: Pour, do: Slowly., hands_on: 5 min, uses: [{mix: soft, as: cast}]}\n"
        ),
    }


def test_a_scale_too_coarse_for_the_whole_mix_gives_its_page_with_zeros(tmp_path: Path) -> None:
    view = open_view(laid_out(plate("5 g", "2 ml"), str(tmp_path)), "private")
    page = next(
        page for page in all_pages(view) if page.address.startswith("recipes/") and page.title.startswith("Plate")
    )
    assert '<td class="number weigh" data-label="Half, 1 ml">0 g</td>' in page.body


@pytest.mark.parametrize("seed", seeds(1, 6))
def test_a_generated_book_gives_all_pages_of_all_editions(seed: int, tmp_path: Path) -> None:
    laid_out(make_book(seed).files, str(tmp_path))
    for edition in EDITIONS:
        assert made(open_view(tmp_path, edition)) > 2
