"""A form with files is read as browsers write it, byte for byte; whatever else comes is no form."""

from __future__ import annotations

import random
from urllib.parse import quote

import pytest

from campaigns.seeds import seeds
from mothermold.serve.parts import SentFile, boundary_in, parts_in

BOUNDARY = b"----FormBoundary7Ma4"
BETWEEN = b"\r\n--" + BOUNDARY
Field = tuple[str, str]


def written(parts: list[Field | SentFile], boundary: bytes = BOUNDARY) -> bytes:
    """A form as a browser writes it."""

    def named(text: str) -> bytes:
        return text.replace('"', "%22").replace("\r", "%0D").replace("\n", "%0A").encode()

    body = b""
    for each in parts:
        name, data = (each.field, each.data) if isinstance(each, SentFile) else (each[0], each[1].encode())
        body += b"--" + boundary + b'\r\nContent-Disposition: form-data; name="' + named(name) + b'"'
        if isinstance(each, SentFile):
            body += b'; filename="' + named(each.name) + b'"\r\nContent-Type: image/jpeg'
        body += b"\r\n\r\n" + data + b"\r\n"
    return body + b"--" + boundary + b"--\r\n"


def test_fields_and_files_come_out_as_they_were_put_in() -> None:
    parts: list[Field | SentFile] = [
        ("title", "Käse <b>"), ("steps.1.do", "a\r\nb"), ("", ""), ('od"d', 'x"y'), SentFile("_photo.1", 'a "b".jpg', b"\r\n--\xff\xd8\0"),
        SentFile("_photo.1", "", b""), SentFile("_photo.2", "c.heic", b""),
    ]  # fmt: skip
    pairs, files = parts_in(written(parts), BOUNDARY, 100)
    assert pairs == [each for each in parts if not isinstance(each, SentFile)]
    # A field in which nothing was chosen is sent as a file without a name.
    assert files == [parts[4], parts[6]]


@pytest.mark.parametrize("seed", seeds(5, 200))
def test_whatever_bytes_a_file_has_they_come_whole(seed: int) -> None:
    chance = random.Random(seed)
    pieces = [
        b"\r\n",
        b"\r\n--",
        BOUNDARY,
        b"--",
        b"\r",
        b"\n",
        b"\0\xff",
        b'Content-Disposition: form-data; name="x"\r\n\r\n',
        b"a",
    ]

    def data() -> bytes:
        made = b"".join(chance.choices(pieces, k=chance.randrange(60)))
        # Whoever writes a form takes a boundary that is in no part (RFC 2046, 5.1.1). Taking one out may make another of its ends,
        # and what the part begins with stands after a line end.
        while BETWEEN in b"\r\n" + made:
            made = (b"\r\n" + made).replace(BETWEEN, b"")[2:]
        return made

    parts: list[Field | SentFile] = [
        SentFile(f"_photo.{number}", quote(f"{chance.random()}"), data())
        if chance.random() < 0.6
        else (f"f{number}", chance.choice(("", "\r\n", "--", "ü")))
        for number in range(chance.randrange(12))
    ]
    whole = written(parts)
    pairs, files = parts_in(whole, BOUNDARY, 100) if parts else ([], [])
    assert [*files, *pairs] == [
        *(each for each in parts if isinstance(each, SentFile)),
        *(each for each in parts if not isinstance(each, SentFile)),
    ]
    for cut in chance.sample(range(len(whole) - 2), min(20, len(whole) - 2)):
        if parts:
            with pytest.raises(ValueError, match=r".*"):
                parts_in(whole[:cut], BOUNDARY, 100)


@pytest.mark.parametrize(
    "body",
    [
        b"", b"--", b"--x", b"--x--", b"\r\n--x\r\n", b'--x\r\nContent-Disposition: form-data; name="a"\r\n\r\nb', b'--x\r\n\r\nb\r\n--x--',
        b'--x\r\nContent-Disposition: attachment; name="a"\r\n\r\nb\r\n--x--', b'--x\r\nContent-Disposition: form-data\r\n\r\nb\r\n--x--',
        b'--x\r\nContent-Disposition: form-data; name="a"\r\nX: y\r\n\r\nb\r\n--x--', b'--x\r\nContent-Disposition: form-data; name="a"\r\n\r\n\xff\r\n--x--',
        b'--x\r\nContent-Disposition: form-data; name="a"\r\n\r\nb\r\n--x--more', b'--x\r\nContent-Disposition: form-data; name="' + b"a" * 3000 + b'"\r\n\r\nb\r\n--x--',
        b'--x\r\nContent-Disposition: form-data; name="a"; filename="b\nc"\r\n\r\nb\r\n--x--',
    ],
)  # fmt: skip
def test_what_no_browser_writes_is_no_form(body: bytes) -> None:
    if body == b"--x--":
        assert parts_in(body, b"x", 9) == ([], [])
        return
    with pytest.raises(ValueError, match=r".*"):
        parts_in(body, b"x", 9)


def test_more_parts_than_may_be_are_no_form() -> None:
    assert len(parts_in(written([("a", "b")] * 9), BOUNDARY, 9)[0]) == 9
    with pytest.raises(ValueError, match="one too many"):
        parts_in(written([("a", "b")] * 10), BOUNDARY, 9)


def test_a_name_leads_into_no_folder() -> None:
    for name in ("../../a.jpg", "C:\\b\\a.jpg", "/a.jpg", "a.jpg"):
        assert parts_in(written([SentFile("p", name, b"x")]), BOUNDARY, 9)[1][0].name == "a.jpg"


def test_the_boundary_is_read_from_the_header() -> None:
    assert boundary_in("multipart/form-data; boundary=----x9") == b"----x9"
    assert boundary_in('multipart/form-data;boundary="a b"') is None
    for strange in (
        "multipart/form-data",
        "multipart/mixed; boundary=x",
        "multipart/form-data; boundary=",
        "multipart/form-data; boundary=x; y=z",
    ):
        assert boundary_in(strange) is None
