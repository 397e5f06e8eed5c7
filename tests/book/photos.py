"""Photos as cameras and programs leave them, made here: each says beside its picture what must not get out."""

from __future__ import annotations

import base64
import io
import math
import struct
from typing import Any, Final

from PIL import Image, PngImagePlugin

CANARY: Final = "CANARY"
"""Stands in every field somebody could read beside the picture."""
MARKERS: Final = (
    CANARY.encode(), b"Exif\0", b"http://ns.adobe.com/xap", b"xmpmeta", b"ICC_PROFILE", b"iCCP", b"ICCP", b"MPF\0", b"Photoshop",
    b"eXIf", b"EXIF", b"tEXt", b"iTXt", b"\xff\xfe",
)  # fmt: skip
"""What only stands in a file that says something beside its picture."""

# 64 by 48 points: green and blue above, red below; lies on its side (orientation 6), with place, maker's note and XMP.
# No encoder of it comes with what the tests need, so it stands here.
HEIC: Final = base64.b64decode(
    """
    AAAAHGZ0eXBoZWljAAAAAG1pZjFoZWljbWlhZgAAAhJtZXRhAAAAAAAAACFoZGxyAAAAAAAAAABwaWN0AAAAAAAAAAAAAAAAAAAAAEZpbG9jAA
    AAAERAAAMAAQAAAAACNgABAAAAAAAAAJcAAgAAAAACzQABAAAAAAAAAMwAAwAAAAADmQABAAAAAAAAADoAAABiaWluZgAAAAAAAwAAABVpbmZl
    AgAAAAABAABodmMxAAAAABVpbmZlAgAAAQACAABFeGlmAAAAACppbmZlAgAAAQADAABtaW1lAGFwcGxpY2F0aW9uL3JkZit4bWwAAAAAAA5waX
    RtAAAAAAABAAABB2lwcnAAAADmaXBjbwAAAHZodmNDAQNwAAAAkAAAAAAAHvAA/P34+AAADwNgAAEAGEABDAH//wNwAAADAJAAAAMAAAMAHroC
    QGEAAQAqQgEBA3AAAAMAkAAAAwAAAwAeoCCBBZbq5Ka5uAhoMCAAAAMDIAAAAwAhYgABAAZEAcFzwIkAAAATY29scm5jbHgAAQANAAaAAAAAFG
    lzcGUAAAAAAAAAQAAAAEAAAAAoY2xhcAAAAEAAAAABAAAAMAAAAAEAAAAAAAAAAv////AAAAACAAAAEHBpeGkAAAAAAwgICAAAAAlpcm90AwAA
    ABlpcG1hAAAAAAAAAAEAAQaBAgMFhIYAAAAoaXJlZgAAAAAAAAAOY2RzYwACAAEAAQAAAA5jZHNjAAMAAQABAAABpW1kYXQAAACTKAGvBjha96
    9eST///o2b//8FionRW/GlY2qvuAZX3j0Nv+rtorR6Ff+vy1lMENoo9bhz+t/6tQ2wjXUOZftT/UlMEDos3d7FcchDf0SX06UjB4T91uLRjC3+
    9BKgHdNsE11aGuGVvyjYuj/cr/IftYei/n8cyx162H5Wv2O6hDm/5KmqvxNbYheezY+TuESIOs7AAAAABkV4aWYAAE1NACoAAAAIAAQBDwACAA
    AADAAAAD4BEgADAAAAAQAGAACHaQAEAAAAAQAAAEqIJQAEAAAAAQAAAIwAAAAAQ0FOQVJZLU1BS0UAAAKQAwACAAAAFAAAAGiSfAABAAAAEAAA
    AHwAAAAAMjAyNjowNDoxOCAxNTo0MDoxMgBDQU5BUlktTUFLRVJOT1RFAAIAAQACAAAAAk4AAAAAAgAFAAAAAwAAAKoAAAAAAAAAMAAAAAEAAA
    AzAAAAAQAAABgAAAABPHg6eG1wbWV0YSB4bWxuczp4PSJhZG9iZTpuczptZXRhLyI+Q0FOQVJZLVhNUDwveDp4bXBtZXRhPg==
    """
)

_XMP: Final = b'<x:xmpmeta xmlns:x="adobe:ns:meta/">CANARY-XMP</x:xmpmeta>'


def patches(width: int = 240, height: int = 160) -> Image.Image:
    """A picture whose corners can be told apart: red, green, blue and white."""
    made = Image.new("RGB", (width, height), (200, 40, 40))
    for color, (across, down) in (((40, 180, 60), (1, 0)), ((40, 60, 200), (0, 1)), ((240, 240, 240), (1, 1))):
        made.paste(
            color, (across * width // 2, down * height // 2, (across + 1) * width // 2, (down + 1) * height // 2)
        )
    return made


def noise(width: int, height: int) -> Image.Image:
    """A picture no encoder makes small."""
    return Image.merge("RGB", [Image.effect_noise((width, height), 90) for _ in range(3)])


def exif(orientation: int = 1, taken: str = "2026:04:18 15:40:12") -> bytes:
    """What a phone notes: maker, place, moment, a maker's note, and a small picture that says something itself."""
    said = Image.Exif()
    said[0x010F] = said[0x013B] = f"{CANARY}-MAKER"
    said[0x0112] = orientation
    said.get_ifd(0x8769).update({0x9003: taken, 0x927C: f"{CANARY}-NOTE".encode()})
    said.get_ifd(0x8825).update({1: "N", 2: (48.0, 51.0, 24.0), 3: "E", 4: (2.0, 21.0, 7.0), 29: f"{CANARY}-GPS"})
    whole = said.tobytes()
    small = jpeg(patches(16, 16), comment=f"{CANARY}-THUMBNAIL".encode())
    return _with_small_picture(whole, small)


def _with_small_picture(said: bytes, small: bytes) -> bytes:
    """The same with a second directory behind the first, which holds a small picture."""
    head, body = said[:6], bytearray(said[6:])
    order = "<" if body[:2] == b"II" else ">"
    (first,) = struct.unpack_from(f"{order}I", body, 4)
    (count,) = struct.unpack_from(f"{order}H", body, first)
    struct.pack_into(f"{order}I", body, first + 2 + 12 * count, len(body))
    entries = [(0x0103, 3, 1, 6), (0x0201, 4, 1, len(body) + 2 + 3 * 12 + 4), (0x0202, 4, 1, len(small))]
    body += struct.pack(f"{order}H", len(entries))
    for tag, kind, many, value in entries:
        body += struct.pack(f"{order}HHI", tag, kind, many) + (
            struct.pack(f"{order}HH", value, 0) if kind == 3 else struct.pack(f"{order}I", value)
        )
    return bytes(head + body + struct.pack(f"{order}I", 0) + small)


def jpeg(picture: Image.Image, **told: Any) -> bytes:
    """A JPEG that says what it is told to."""
    return saved(picture, "JPEG", quality=90, **told)


def saved(picture: Image.Image, kind: str, **told: Any) -> bytes:
    """A file of a kind."""
    made = io.BytesIO()
    picture.save(made, kind, **told)
    return made.getvalue()


def opened(data: bytes) -> Image.Image:
    """What a file shows."""
    shown = Image.open(io.BytesIO(data))
    shown.load()
    return shown


def telling_files() -> dict[str, bytes]:
    """A file of each kind that is taken, which tells all its kind can tell."""
    picture, other = patches(), patches(60, 40)
    text = PngImagePlugin.PngInfo()
    text.add_text("Comment", f"{CANARY}-TEXT")
    text.add_itxt("XML:com.adobe.xmp", _XMP.decode())
    profile = display_p3()
    everything = {"exif": exif(6), "xmp": _XMP, "icc_profile": profile}
    return {
        "phone.jpg": jpeg(picture, comment=f"{CANARY}-COMMENT".encode(), **everything),
        "stage.jpg": saved(
            picture, "MPO", save_all=True, append_images=[other], comment=f"{CANARY}-COMMENT".encode(), **everything
        ),
        "screen.png": saved(picture, "PNG", pnginfo=text, exif=exif(3), icc_profile=profile),
        "web.webp": saved(picture, "WEBP", **everything),
        "scan.tif": saved(picture, "TIFF", tiffinfo={270: f"{CANARY}-TIFF"}, icc_profile=profile),
        "phone.heic": HEIC,
        "behind.jpg": jpeg(picture) + f"{CANARY}-BEHIND".encode(),
        "iptc.jpg": _with_segment(jpeg(picture), 0xED, b"Photoshop 3.0\0" + f"{CANARY}-IPTC".encode()),
        "noted.jpg": _with_segment(jpeg(picture), 0xE5, f"{CANARY}-APP5".encode()),
    }


def _with_segment(data: bytes, sign: int, body: bytes) -> bytes:
    return data[:2] + bytes((0xFF, sign)) + struct.pack(">H", len(body) + 2) + body + data[2:]


# Colors: the primaries of Display P3 and sRGB adapted to D50 (ICC.1:2022, Bradford), from the profiles' own tables.
_P3: Final = ((0.51512, 0.29198, 0.15710), (0.24120, 0.69225, 0.06657), (-0.00105, 0.04189, 0.78407))
_SRGB: Final = ((0.43607, 0.38515, 0.14307), (0.22249, 0.71687, 0.06061), (0.01392, 0.09708, 0.71410))
_D50: Final = (0.9642, 1.0, 0.8249)


def _fixed(value: float) -> bytes:
    return struct.pack(">i", round(value * 65536))


def display_p3() -> bytes:
    """A profile of Display P3 (ICC.1:2001, matrix and curves), whose name says something."""
    name = f"{CANARY}-P3".encode() + b"\0"
    desc = b"desc\0\0\0\0" + struct.pack(">I", len(name)) + name + b"\0" * 78
    curve = b"para\0\0\0\0\0\3\0\0" + b"".join(map(_fixed, (2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)))
    tags = {b"desc": desc, b"cprt": b"text\0\0\0\0none\0", b"wtpt": _xyz(_D50)}
    for place, color in enumerate((b"r", b"g", b"b")):
        tags |= {color + b"XYZ": _xyz(tuple(row[place] for row in _P3)), color + b"TRC": curve}
    table, body = struct.pack(">I", len(tags)), b""
    start = 128 + 4 + 12 * len(tags)
    for tag, data in tags.items():
        table += tag + struct.pack(">II", start + len(body), len(data))
        body += data + b"\0" * (-len(data) % 4)
    head = struct.pack(">I4sI4s4s4s", start + len(body), b"\0\0\0\0", 0x02400000, b"mntr", b"RGB ", b"XYZ ")
    head += struct.pack(">6H", 2026, 1, 1, 0, 0, 0) + b"acsp" + b"\0" * 28 + b"".join(map(_fixed, _D50))
    return head.ljust(128, b"\0") + table + body


def _xyz(values: Any) -> bytes:
    return b"XYZ \0\0\0\0" + b"".join(map(_fixed, values))


def in_p3(color: tuple[int, int, int]) -> tuple[int, int, int]:
    """What Display P3 says for a color of sRGB."""
    wanted = _times(_SRGB, [_linear(part / 255) for part in color])
    return tuple(round(255 * _coded(part)) for part in _solved(_P3, wanted))  # type: ignore[return-value]


def apart(one: tuple[int, ...], other: tuple[int, ...]) -> float:
    """How far two colors of sRGB lie apart (CIE 1976, delta E*ab)."""
    return math.dist(_lab(one), _lab(other))


def _lab(color: tuple[int, ...]) -> tuple[float, float, float]:
    def root(part: float) -> float:
        return part ** (1 / 3) if part > (6 / 29) ** 3 else part / (3 * (6 / 29) ** 2) + 4 / 29

    x, y, z = (
        root(part / white) for part, white in zip(_times(_SRGB, [_linear(p / 255) for p in color]), _D50, strict=True)
    )
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def _linear(part: float) -> float:
    return part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4


def _coded(part: float) -> float:
    return 12.92 * part if part <= 0.0031308 else 1.055 * part ** (1 / 2.4) - 0.055


def _times(matrix: Any, vector: Any) -> list[float]:
    return [sum(a * b for a, b in zip(row, vector, strict=True)) for row in matrix]


def _solved(matrix: Any, wanted: list[float]) -> list[float]:
    """The vector a matrix makes this of (Cramer's rule)."""

    def area(rows: Any) -> float:
        (a, b, c), (d, e, f), (g, h, i) = rows
        return float(a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g))

    whole = area(matrix)
    return [
        area([[wanted[row] if column == place else matrix[row][column] for column in range(3)] for row in range(3)])
        / whole
        for place in range(3)
    ]
