"""Drawings of a book: only shapes that can do no harm reach the site, and what cannot be shown is said."""

from __future__ import annotations

from pathlib import Path
from xml.sax.saxutils import quoteattr

import pytest

from mothermold.book.files import PICTURES
from mothermold.book.pictures import Drawing, read_drawing

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20">'


def drawn(tmp_path: Path, text: str, name: str = "thread.svg") -> Drawing | str:
    (tmp_path / PICTURES).mkdir(parents=True, exist_ok=True)
    (tmp_path / PICTURES / name).write_text(text, encoding="utf-8")
    return read_drawing(tmp_path, name)


def test_a_drawing_keeps_its_shapes_and_its_size(tmp_path: Path) -> None:
    told = drawn(tmp_path, f'{HEAD}<g stroke="#123"><path d="M0 0 9 9"/></g><text x="1">core</text></svg>')
    assert isinstance(told, Drawing)
    assert (told.width, told.height) == (40, 20)
    for kept in (b'stroke="#123"', b'd="M0 0 9 9"', b">core<"):
        assert kept in told.data


@pytest.mark.parametrize(
    "hostile",
    [
        "<script>alert(1)</script>",
        '<path d="M0 0" onload="alert(1)"/>',
        '<a href="javascript:alert(1)"><path d="M0 0"/></a>',
        '<image href="http://evil.invalid/x.png"/>',
        '<foreignObject><body xmlns="http://www.w3.org/1999/xhtml"/></foreignObject>',
        "<style>@import url(http://evil.invalid/x.css)</style>",
        '<rect fill="url(http://evil.invalid/x)"/>',
        '<rect style="fill: url(http://evil.invalid/x)"/>',
        '<rect fill="u\\72l(http://evil.invalid/x)"/>',
        '<rect fill="\\75 rl(http://evil.invalid/x)"/>',
        '<rect fill="\\000075\\000072\\00006cl(http://evil.invalid/x)"/>',
        '<rect fill="\\u\\r\\l(http://evil.invalid/x)"/>',
        '<rect fill="u\\\\72l(http://evil.invalid/x)"/>',
        '<rect fill="ur/**/l(http://evil.invalid/x)"/>',
        '<rect fill="/* url(#a) */url(http://evil.invalid/x)"/>',
        '<rect fill="url(#a) url(http://evil.invalid/x)"/>',
        '<rect fill="url(#a http://evil.invalid/x)"/>',
        "<rect fill=\"url('http://evil.invalid/#x')\"/>",
        "<rect fill=\"image-set('http://evil.invalid/x' 1x)\"/>",
        "<rect fill=\"src('http://evil.invalid/x')\"/>",
        '<rect fill="URL(HTTP://evil.invalid/x)"/>',
        '<rect clip-path="url (#a)url(//evil.invalid/x)"/>',
        "<rect fill=\"@im\\70ort 'http://evil.invalid/x'\"/>",
        '<rect fill="var(--x, url(http://evil.invalid/x))"/>',
        "<!-- drawn by somebody, in a folder of theirs -->",
        '<metadata>somebody</metadata><g xmlns:i="urn:i" i:label="somebody"/>',
        '<use href="#other"/>',
    ],
)
def test_nothing_else_is_published(hostile: str, tmp_path: Path) -> None:
    told = drawn(tmp_path, f"{HEAD}{hostile}<circle r='3'/></svg>")
    assert isinstance(told, Drawing)
    assert b"circle" in told.data
    for word in (b"script", b"alert", b"evil", b"somebody", b"href", b"foreign", b"style"):
        assert word not in told.data


@pytest.mark.parametrize(
    ("name", "text", "why"),
    [
        ("photo.jpg", "x", "must end in .svg"),
        ("../thread.svg", HEAD + "</svg>", "name no folder"),
        ("other.svg", None, "is not in recipes/pictures"),
        ("broken.svg", "<svg", "cannot be read at line 1"),
        ("plain.svg", '<svg xmlns="http://www.w3.org/2000/svg"/>', "has no viewBox"),
        ("odd.svg", '<svg xmlns="http://www.w3.org/2000/svg" viewBox="a b c d"/>', "without four numbers"),
        ("doctype.svg", f"<!DOCTYPE svg [<!ENTITY a 'b'>]>{HEAD}</svg>", "begins with a DOCTYPE"),
        ("page.svg", '<html viewBox="0 0 1 1"/>', "has no viewBox"),
        ("large.svg", HEAD + " " * 1_000_001 + "</svg>", "larger than 1 MB"),
    ],
)
def test_what_cannot_be_shown_is_said(name: str, text: str | None, why: str, tmp_path: Path) -> None:
    (tmp_path / PICTURES).mkdir(parents=True)
    if text is not None:
        (tmp_path / PICTURES / name).write_text(text, encoding="utf-8")
    told = read_drawing(tmp_path, name)
    assert isinstance(told, str)
    assert why in told


def test_a_drawing_that_only_points_elsewhere_is_not_read(tmp_path: Path) -> None:
    secret = tmp_path / "secret.svg"
    secret.write_text(HEAD + "</svg>", encoding="utf-8")
    (tmp_path / PICTURES).mkdir(parents=True)
    (tmp_path / PICTURES / "thread.svg").symlink_to(secret)
    assert read_drawing(tmp_path, "thread.svg") == "is not in recipes/pictures"


@pytest.mark.parametrize(
    "value",
    ["url(#fill)", "url( '#fill' )", 'url("#fill")', "URL(#fill)", "url(#fill) rgb(1, 2, 3)", "#123", "hsl(3 4% 5%)"],
)
def test_what_points_to_a_shape_of_the_same_drawing_is_kept(value: str, tmp_path: Path) -> None:
    told = drawn(tmp_path, f"{HEAD}<rect fill={quoteattr(value)} transform='rotate(3) skewX(2)'/></svg>")
    assert isinstance(told, Drawing)
    assert b"fill=" in told.data
    assert b"skewX(2)" in told.data
