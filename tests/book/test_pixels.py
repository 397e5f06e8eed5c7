"""A photo is rebuilt from its pixels: nothing that stood beside them comes along, it stands upright, and its colors hold."""

from __future__ import annotations

import io
import struct
import zlib

import pytest
from PIL import Image

from book.photos import (
    CANARY,
    HEIC,
    MARKERS,
    apart,
    display_p3,
    exif,
    in_p3,
    jpeg,
    noise,
    opened,
    patches,
    saved,
    telling_files,
)
from mothermold.book.beside_pixels import told_beside
from mothermold.book.pixels import LONGEST, Rebuilt, rebuilt, shrunk, size_of


def taken(data: bytes, longest: int = LONGEST) -> Rebuilt:
    made = rebuilt(data, longest)
    assert isinstance(made, Rebuilt), made
    return made


def told(data: bytes) -> str:
    said = rebuilt(data)
    assert isinstance(said, str), "taken"
    return said


@pytest.mark.parametrize("name", telling_files())
def test_nothing_but_the_picture_comes_along(name: str) -> None:
    data = telling_files()[name]
    assert CANARY.encode() in data
    for made in (taken(data), taken(data, 480)):
        assert [marker for marker in MARKERS if marker in made.data] == []
        assert told_beside(made.data) == ()
        assert set(opened(made.data).info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


def test_each_marker_stands_in_one_of_the_files() -> None:
    every = b"".join(telling_files().values())
    assert [marker for marker in MARKERS if marker not in every] == []
    for kind in ("MAKER", "NOTE", "GPS", "THUMBNAIL", "XMP", "COMMENT", "P3", "TEXT", "TIFF", "BEHIND", "IPTC", "APP5"):
        assert f"{CANARY}-{kind}".encode() in every


@pytest.mark.parametrize("orientation", range(1, 9))
def test_it_stands_upright_however_the_camera_was_held(orientation: int) -> None:
    upright = patches()
    ways = Image.Transpose
    # What a camera held so writes: upright turned back.
    back = {
        1: None, 2: ways.FLIP_LEFT_RIGHT, 3: ways.ROTATE_180, 4: ways.FLIP_TOP_BOTTOM, 5: ways.TRANSPOSE,
        6: ways.ROTATE_90, 7: ways.TRANSVERSE, 8: ways.ROTATE_270,
    }[orientation]  # fmt: skip
    written = upright.transpose(back) if back is not None else upright
    for data in (jpeg(written, exif=exif(orientation)), saved(written, "PNG", exif=exif(orientation))):
        assert size_of(data) == upright.size
        made = opened(taken(data).data)
        assert made.size == upright.size
        for across in (0.25, 0.75):
            for down in (0.25, 0.75):
                at = (int(across * 240), int(down * 160))
                assert apart(made.getpixel(at), upright.getpixel(at)) < 3  # type: ignore[arg-type]


def test_a_photo_of_a_phone_in_its_own_format_is_taken_and_turned_once() -> None:
    made = taken(HEIC)
    assert (made.width, made.height, made.taken) == (48, 64, "2026-04-18 15:40")
    shown = opened(made.data)
    # It lay on its side: what was above left stands above right.
    assert shown.getpixel((36, 16))[1] > 150  # type: ignore[index]
    assert shown.getpixel((36, 48))[2] > 150  # type: ignore[index]
    assert shown.getpixel((10, 32))[0] > 150  # type: ignore[index]


@pytest.mark.parametrize("color", [(224, 172, 140), (120, 72, 52), (190, 60, 50), (90, 130, 160), (128, 128, 128)])
@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "TIFF"])
def test_a_color_of_a_wide_screen_is_the_same_color_afterwards(color: tuple[int, int, int], kind: str) -> None:
    how = {"JPEG": {"quality": 98, "subsampling": 0}, "WEBP": {"lossless": True}}.get(kind, {})
    wide = Image.new("RGB", (64, 64), in_p3(color))
    made = taken(saved(wide, kind, icc_profile=display_p3(), **how))
    shown = opened(made.data).getpixel((30, 30))
    assert apart(shown, color) < 2  # type: ignore[arg-type]
    # Thrown away unread, the profile would have left another color.
    if max(color) - min(color) > 100:
        assert apart(in_p3(color), color) > 2


def test_a_profile_that_is_none_leaves_the_colors_as_they_are() -> None:
    made = taken(jpeg(Image.new("RGB", (32, 32), (190, 60, 50)), icc_profile=b"nonsense" * 30))
    assert apart(opened(made.data).getpixel((10, 10)), (190, 60, 50)) < 2  # type: ignore[arg-type]


def test_the_longest_side_is_kept_within_bounds_and_the_file_too() -> None:
    made = taken(jpeg(patches(4000, 1000)))
    assert (made.width, made.height) == (LONGEST, 500)
    lying = taken(jpeg(patches(6000, 3000), exif=exif(6)))
    assert (lying.width, lying.height) == (1000, LONGEST)
    small = taken(jpeg(patches(300, 200)))
    assert (small.width, small.height) == (300, 200)
    smooth = Image.linear_gradient("L").resize((4000, 3000)).convert("RGB")
    assert len(taken(jpeg(smooth)).data) <= 300_000
    # What cannot be kept small is kept readable, not endless.
    assert len(taken(jpeg(noise(2600, 2000))).data) < 1_600_000
    assert shrunk((1000, 3), 100) == (100, 1)


def test_the_same_pixels_are_the_same_file() -> None:
    picture = patches()
    plain, told = saved(picture, "PNG"), saved(picture, "PNG", exif=exif(1))
    assert plain != told
    assert taken(plain).data == taken(told).data


@pytest.mark.parametrize(
    ("said", "day"),
    [
        ("2026:04:18 15:40:12", "2026-04-18 15:40"),
        ("0000:00:00 00:00:00", ""),
        ("yesterday", ""),
        ("1970:01:01 00:00:00", ""),
    ],
)
def test_the_camera_says_when_and_nothing_else(said: str, day: str) -> None:
    assert taken(jpeg(patches(), exif=exif(taken=said))).taken == day
    assert taken(jpeg(patches())).taken == ""


def test_what_is_seen_through_lies_on_white() -> None:
    clear = Image.new("RGBA", (64, 64), (0, 0, 0, 0))
    clear.paste((200, 40, 40, 255), (0, 0, 32, 64))
    palette = clear.convert("RGB").quantize(8)
    palette.info["transparency"] = palette.getpixel((50, 10))
    grey = Image.merge("LA", (Image.new("L", (64, 64), 40), clear.getchannel("A")))
    for data in (
        saved(clear, "PNG"),
        saved(clear, "WEBP", lossless=True),
        saved(palette, "PNG", transparency=palette.info["transparency"]),
        saved(grey, "PNG"),
    ):
        shown = opened(taken(data).data)
        assert min(shown.getpixel((56, 30))) > 245  # type: ignore[type-var, arg-type]
        assert min(shown.getpixel((8, 30))) < 80  # type: ignore[type-var, arg-type]


def test_clear_places_do_not_darken_an_edge_when_it_is_made_smaller() -> None:
    clear = Image.new("RGBA", (4000, 40), (0, 0, 0, 0))
    clear.paste((255, 255, 255, 255), (0, 0, 2001, 40))
    shown = opened(taken(saved(clear, "PNG")).data)
    assert min(shown.convert("L").getextrema()) > 240  # type: ignore[type-var]


def test_sixteen_bits_cmyk_grey_and_palette_are_taken() -> None:
    deep = Image.new("I;16", (32, 32), 32768)
    ink = Image.new("CMYK", (32, 32), (0, 200, 200, 20))
    for data, color in (
        (saved(deep, "PNG"), (128, 128, 128)),
        (saved(deep, "TIFF"), (128, 128, 128)),
        (_png_of_16_bits(32, 32, (51400, 10280, 10280)), (200, 40, 40)),
        (saved(Image.new("L", (32, 32), 90), "JPEG"), (90, 90, 90)),
        (saved(Image.new("1", (32, 32), 1), "PNG"), (255, 255, 255)),
        (saved(Image.new("RGB", (32, 32), (200, 40, 40)).quantize(4), "PNG"), (200, 40, 40)),
        (saved(ink, "JPEG", quality=95), (235, 51, 51)),
        (saved(ink, "TIFF"), (235, 51, 51)),
    ):
        assert apart(opened(taken(data).data).getpixel((16, 16)), color) < 6  # type: ignore[arg-type]


def test_of_what_moves_the_first_picture_is_taken_and_said() -> None:
    frames = [Image.new("RGB", (40, 40), color) for color in ((200, 40, 40), (40, 200, 40))]
    for kind in ("PNG", "WEBP", "TIFF"):
        made = taken(saved(frames[0], kind, save_all=True, append_images=frames[1:]))
        assert made.moves
        assert apart(opened(made.data).getpixel((20, 20)), (200, 40, 40)) < 6  # type: ignore[arg-type]
    assert not taken(saved(frames[0], "MPO", save_all=True, append_images=frames[1:])).moves


def _png(*chunks: tuple[bytes, bytes]) -> bytes:
    made = b"\x89PNG\r\n\x1a\n"
    for name, body in chunks:
        made += struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
    return made


def _png_of_16_bits(width: int, height: int, color: tuple[int, int, int]) -> bytes:
    row = b"\0" + struct.pack(">3H", *color) * width
    head = struct.pack(">IIBBBBB", width, height, 16, 2, 0, 0, 0)
    return _png((b"IHDR", head), (b"IDAT", zlib.compress(row * height)), (b"IEND", b""))


def _bomb(width: int, height: int) -> bytes:
    """A small file that says it is huge."""
    return _png(
        (b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)),
        (b"IDAT", zlib.compress(b"\0" * 999)),
        (b"IEND", b""),
    )


HOSTILE = {
    "empty": (b"", "is empty"),
    "text": (b"Stipple, never wipe.\n" * 40, "is not a photo"),
    "bomb": (_bomb(40_000, 25_000), "has 40,000 × 25,000 points"),
    "wide bomb": (_bomb(2_000_000_000, 1), "points, more than"),
    "truncated jpeg": (jpeg(noise(300, 300))[:9_000], "ends in the middle"),
    "truncated png": (saved(noise(300, 300), "PNG")[:9_000], "ends in the middle"),
    "truncated webp": (saved(noise(300, 300), "WEBP")[:2_000], "ends in the middle"),
    "truncated heic": (HEIC[:700], "damaged"),
    "head alone": (jpeg(patches())[:3], "is not a photo"),
    "huge text in a png": (_png((b"IHDR", struct.pack(">IIBBBBB", 4, 4, 8, 2, 0, 0, 0)), (b"zTXt", b"a\0\0" + zlib.compress(b"x" * 90_000_000)), (b"IEND", b"")), "damaged"),
    "program": (b"\x7fELF" + bytes(4_000), "is not a photo"),
    "svg": (b'<svg xmlns="http://www.w3.org/2000/svg"/>', "is not a photo"),
    "gif": (saved(patches(), "GIF"), "is not a photo"),
    "page of letters": (b"%PDF-1.7\n" + bytes(2_000), "is not a photo"),
    "thirty-two bits": (saved(Image.new("F", (8, 8)), "TIFF"), "more than 16 bits"),
    "raw": (saved(patches(), "TIFF", tiffinfo={50706: b"\1\4\0\0"}), "is a raw file"),
}  # fmt: skip


@pytest.mark.parametrize("name", HOSTILE)
def test_what_cannot_be_taken_is_told_in_one_plain_sentence(name: str) -> None:
    data, words = HOSTILE[name]
    said = told(data)
    assert words in said
    assert "\n" not in said
    assert len(said) < 140


def test_a_sum_of_damage_anywhere_in_a_file_ends_in_a_picture_or_a_sentence() -> None:
    for name, data in telling_files().items():
        # Each HEIC is read by a program of its own, which takes its time to begin.
        for place in range(0, len(data), max(1, len(data) // (4 if data[4:8] == b"ftyp" else 40))):
            broken = data[:place] + bytes([data[place] ^ 0x55]) + data[place + 1 :]
            said = rebuilt(broken)
            assert isinstance(said, Rebuilt) or said.count("\n") == 0, name


def test_two_hundred_megapixels_of_a_phone_are_taken() -> None:
    flat = io.BytesIO()
    Image.new("L", (16_320, 12_240), 128).save(flat, "JPEG", quality=30)
    made = taken(flat.getvalue())
    assert (made.width, made.height) == (2000, 1500)


def test_what_stands_beside_a_picture_is_named() -> None:
    files = telling_files()
    assert told_beside(files["phone.jpg"]) == (
        "when, where and with what it was taken", "a program's notes (XMP)", "a color profile", "a comment",
    )  # fmt: skip
    assert "further pictures" in told_beside(files["stage.jpg"])
    assert told_beside(files["behind.jpg"]) == ("something behind the picture",)
    assert told_beside(files["iptc.jpg"]) == ("a program's notes (IPTC)",)
    assert told_beside(files["noted.jpg"]) == ("a maker's note",)
    assert told_beside(jpeg(patches(), progressive=True)) == ()
    for data in (b"", b"\xff\xd8", files["screen.png"], jpeg(patches())[:200]):
        with pytest.raises(ValueError, match=r"JPEG|early|segment"):
            told_beside(data)
