"""A photo rebuilt from its pixels: upright, in sRGB, a JPEG that holds a picture and nothing else.

Pure: bytes in, bytes out. Whatever a camera or a program wrote beside the picture (where, when, with what, for whom, a
smaller picture of the whole) is not copied, because nothing but colors is. The moment is read, for whoever wants to keep it;
the place never is. Pillow is heavy, and is imported where a photo is at hand. A damaged HEIC can end the program that reads it,
so each is read by one of its own.
"""

from __future__ import annotations

import io
import json
import struct
import subprocess
import sys
import warnings
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from types import ModuleType
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from PIL.Image import Image, Transpose
    from PIL.ImageCms import ImageCmsProfile

LONGEST: Final = 2000
"""The longest side of a photo the book keeps, in pixels."""
_WANTED: Final = 300_000
"""How many bytes such a photo may have while a lower quality is left to try."""
_QUALITIES: Final = (88, 82, 76, 70, 62, 54)
"""JPEG qualities tried in turn; below the last a smear no longer looks like skin."""
_MOST_PIXELS: Final = {"JPEG": 256_000_000, "MPO": 256_000_000, "HEIF": 256_000_000}
"""By format: more than any phone takes (199.8 megapixels), and less than would fill a computer's memory; no source."""
_MOST_OF_OTHERS: Final = 128_000_000
"""Formats no phone takes photos in, and which are decoded whole, sometimes at eight bytes a point; no source."""
_LARGEST: Final = 400_000_000
"""The most bytes of a file that is looked at."""
_FORMATS: Final = ("JPEG", "MPO", "PNG", "WEBP", "TIFF", "HEIF")
_ORIENTATION, _EXIF, _TAKEN, _RAW_TAG = 0x0112, 0x8769, 0x9003, 50706
_BROKEN: Final = (
    OSError, EOFError, SyntaxError, ValueError, TypeError, KeyError, IndexError, AttributeError, RuntimeError, struct.error, zlib.error,
)  # fmt: skip
"""What the readers of other people's files raise where a file is damaged."""
_DAMAGED: Final = "ends in the middle or is damaged; copy it from the camera once more"
_PATIENCE: Final = 60
"""Seconds a photo may take."""
_TAKES: Final = "take it in as JPEG, PNG, WebP or HEIC"


@dataclass(frozen=True, slots=True)
class Rebuilt:
    """A photo rebuilt.

    Attributes:
        data: The JPEG.
        width: In pixels.
        height: In pixels.
        taken: When the camera says it was taken, as a document says it: ``2026-04-18 15:40``; empty where it does not.
        moves: Whether it was a picture that moves, of which the first was taken.
    """

    data: bytes
    width: int
    height: int
    taken: str = ""
    moves: bool = False


def rebuilt(data: bytes, longest: int = LONGEST) -> Rebuilt | str:
    """A photo as the book keeps or shows it; or, as the rest of a sentence, why it cannot be taken.

    The same pixels give the same bytes, whatever stood beside them.

    Args:
        data: A file as a camera or a program wrote it.
        longest: The longest side, in pixels; a smaller photo keeps its size.
    """
    if not data:
        return "is empty"
    if len(data) > _LARGEST:
        return f"is larger than {_LARGEST // 1_000_000} MB"
    return _rebuilt_apart(data, longest) if _is_heic(data) else _rebuilt_here(data, longest)


def _is_heic(data: bytes) -> bool:
    return data[4:8] == b"ftyp"


def _rebuilt_apart(data: bytes, longest: int) -> Rebuilt | str:
    words = [
        sys.executable,
        "-c",
        f"import sys; sys.path[:] = {sys.path!r}\nfrom mothermold.book.pixels import answer\nanswer()",
    ]
    try:
        done = subprocess.run(
            words, input=b"%d\n%s" % (longest, data), capture_output=True, check=False, timeout=_PATIENCE
        )
    except subprocess.TimeoutExpired:
        return _DAMAGED
    head, _, picture = done.stdout.partition(b"\n")
    if done.returncode or not head:
        return _DAMAGED
    told = json.loads(head)
    return told["refused"] if "refused" in told else Rebuilt(picture, **told)


def answer() -> None:
    """What the program of its own does: reads from its input how long the longest side may be and a photo, and puts out what became of it."""
    longest, _, data = sys.stdin.buffer.read().partition(b"\n")
    made = _rebuilt_here(data, int(longest))
    told = (
        {"refused": made}
        if isinstance(made, str)
        else {key: getattr(made, key) for key in ("width", "height", "taken", "moves")}
    )
    picture = b"" if isinstance(made, str) else made.data
    sys.stdout.buffer.write(json.dumps(told).encode() + b"\n" + picture)


def _rebuilt_here(data: bytes, longest: int) -> Rebuilt | str:
    try:
        with _quietly(), _opened(data) as image:
            if told := _refusal(image):
                return told
            taken, moves = _taken(image), _moves(image)
            plain = _plain(image, longest)
    except _pillow().UnidentifiedImageError:
        return f"is not a photo, or a damaged one; {_TAKES}"
    except _BROKEN:
        return _DAMAGED
    except (MemoryError, OverflowError):
        return "is too large for this computer's memory; save it smaller first"
    return Rebuilt(_as_jpeg(plain, longest), *plain.size, taken, moves)


def size_of(data: bytes) -> tuple[int, int] | None:
    """Width and height of a photo once it stands upright, without decoding it; None where it cannot be read."""
    if _is_heic(data):
        made = rebuilt(data)
        return None if isinstance(made, str) else (made.width, made.height)
    try:
        with _quietly(), _opened(data) as image:
            width, height = image.size
            turned = _orientation(image) in (5, 6, 7, 8)
            return None if _refusal(image) else (height, width) if turned else (width, height)
    except _BROKEN:
        return None


def shrunk(size: tuple[int, int], longest: int) -> tuple[int, int]:
    """A size whose longer side is at most so long, its shape kept."""
    width, height = size
    most = max(size)
    if most <= longest:
        return size
    return max(1, round(width * longest / most)), max(1, round(height * longest / most))


@contextmanager
def _quietly() -> Iterator[None]:
    """What a reader has to say of a camera's odd notes is nothing to whoever takes the picture alone."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        yield


@cache
def _pillow() -> ModuleType:
    import PIL.Image  # noqa: PLC0415 - heavy
    from pi_heif import register_heif_opener  # noqa: PLC0415 - heavy

    register_heif_opener()
    # It would only warn; how many pixels are too many is decided in `_refusal`, from the head of the file alone.
    PIL.Image.MAX_IMAGE_PIXELS = None
    return PIL.Image


def _opened(data: bytes) -> Image:
    """Looks at the head of a file; nothing is decoded yet."""
    image: Image = _pillow().open(io.BytesIO(data), formats=[each for each in _FORMATS if each != "MPO"])
    return image


def _refusal(image: Image) -> str:
    (width, height), most = image.size, _MOST_PIXELS.get(str(image.format), _MOST_OF_OTHERS)
    if width * height > most:
        return f"has {width:,} × {height:,} points, more than {most // 1_000_000} million; save it smaller first"
    if image.format == "TIFF" and _RAW_TAG in getattr(image, "tag_v2", {}):
        return f"is a raw file of a camera; {_TAKES}"
    if image.mode in ("I", "F"):
        return f"has more than 16 bits a color; {_TAKES}"
    return ""


def _moves(image: Image) -> bool:
    # A phone hangs a smaller picture behind the first: that is no picture that moves.
    return image.format != "MPO" and bool(getattr(image, "is_animated", False))


def _taken(image: Image) -> str:
    try:
        told = image.getexif().get_ifd(_EXIF).get(_TAKEN)
        moment = datetime.strptime(str(told).strip("\0 "), "%Y:%m:%d %H:%M:%S")  # noqa: DTZ007 - a camera's clock
    except _BROKEN:
        return ""
    return f"{moment:%Y-%m-%d %H:%M}" if moment.year > 1990 else ""


def _plain(image: Image, longest: int) -> Image:
    """Its colors alone: upright, no larger than asked, in sRGB on white."""
    if image.format in ("JPEG", "MPO"):
        # A phone's 200 megapixels are decoded at a half, a quarter or an eighth already.
        image.draft(None, (2 * longest, 2 * longest))
    image.load()
    profile, turn = image.info.get("icc_profile"), _turn(image)
    small = _in_eight_bits(image)
    if small.mode == "P":
        small = small.convert("RGBA" if "transparency" in small.info else "RGB")
    size = shrunk(small.size, longest)
    if size != small.size:
        # Colors under a clear place must not bleed into what is seen: each point counts as far as it is seen.
        clear = {"RGBA": "RGBa", "LA": "La"}.get(small.mode)
        small = small.convert(clear) if clear else small
        small = small.resize(size, _pillow().Resampling.LANCZOS, reducing_gap=3.0)
        small = small.convert({"RGBa": "RGBA", "La": "LA"}[clear]) if clear else small
    colors = _in_srgb(small, profile)
    colors = colors.transpose(turn) if turn is not None else colors
    return _pillow().frombytes("RGB", colors.size, colors.tobytes())  # type: ignore[no-any-return]


def _turn(image: Image) -> Transpose | None:
    """What brings a picture upright that was loaded (Exif 2.3, tag 0x0112); None where it stands so."""
    from PIL.Image import Transpose as ways  # noqa: N813, PLC0415 - heavy

    turns = (
        ways.FLIP_LEFT_RIGHT,
        ways.ROTATE_180,
        ways.FLIP_TOP_BOTTOM,
        ways.TRANSPOSE,
        ways.ROTATE_270,
        ways.TRANSVERSE,
        ways.ROTATE_90,
    )
    said = _orientation(image)
    return turns[said - 2] if 2 <= said <= 8 else None


def _orientation(image: Image) -> int:
    try:
        said = image.getexif().get(_ORIENTATION, 1)
    except _BROKEN:
        return 1
    return said if isinstance(said, int) else 1


def _in_eight_bits(image: Image) -> Image:
    if image.mode.startswith("I;16"):
        return image.convert("I").point(lambda value: value * (1 / 256)).convert("L")
    if image.mode == "1":
        return image.convert("L")
    return image


def _in_srgb(image: Image, profile: bytes | None) -> Image:
    """The picture on white, its colors brought from its own profile to sRGB: without that, skin loses its warmth."""
    alpha = image.getchannel("A") if "A" in image.getbands() else None
    if image.mode not in ("RGB", "L", "CMYK", "LAB"):
        image = image.convert("L" if image.mode in ("L", "LA") else "RGB")
    colors = _through(image, profile) if profile else None
    if colors is None:
        colors = image.convert("RGB")
    if alpha is not None:
        white = _pillow().new("RGB", colors.size, "white")
        white.paste(colors, mask=alpha)
        return white  # type: ignore[no-any-return]
    return colors


def _through(image: Image, profile: bytes) -> Image | None:
    """The colors brought to sRGB; None where the profile is of no use, or of another kind of picture."""
    from PIL import ImageCms  # noqa: PLC0415 - heavy

    try:
        return ImageCms.profileToProfile(
            image,
            ImageCms.ImageCmsProfile(io.BytesIO(profile)),
            _srgb(),
            renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
            outputMode="RGB",
            flags=ImageCms.Flags.BLACKPOINTCOMPENSATION,
        )
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
        return None


@cache
def _srgb() -> ImageCmsProfile:
    from PIL import ImageCms  # noqa: PLC0415 - heavy

    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB"))


def _as_jpeg(image: Image, longest: int) -> bytes:
    """The smallest loss that stays within the size wanted; color at half the fineness, but in small pictures."""
    whole_color = longest < 1000
    wanted = _WANTED * longest // LONGEST
    data = b""
    for quality in _QUALITIES:
        made = io.BytesIO()
        image.save(made, "JPEG", quality=quality, optimize=True, subsampling="4:4:4" if whole_color else "4:2:0")
        data = made.getvalue()
        if len(data) <= wanted:
            break
    return data
