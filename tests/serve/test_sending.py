"""What a phone writes: runs, failure notes and lots, into the inbox and nowhere else, and nothing of the owner's book is told.

A class reads these pages. The twin of its book lacks all that a class may not read; whatever is asked, both answer alike.
"""

from __future__ import annotations

import re
import shutil
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from html import unescape
from pathlib import Path
from urllib.parse import quote_plus, urlencode

import pytest
from playwright.sync_api import Browser, expect
from playwright.sync_api import Error as PlaywrightError
from playwright.sync_api import Page as BrowserPage

from browser import too_small, too_wide
from campaigns.many import through
from desk.answering import Scripted, files
from mothermold.desk.bringing import bring_runs
from mothermold.pages.desk.paper import SEND
from mothermold.pages.desk.write_here import TO_SEND
from mothermold.pages.page import Page
from mothermold.serve import inbox as inbox_module
from mothermold.serve import serving
from mothermold.serve.desk_rooms.table import DeskRooms
from mothermold.serve.inbox import MOST_BYTES, Inbox
from mothermold.serve.living import LivingPages
from mothermold.serve.rooms import Holdings
from mothermold.serve.send_rooms.table import send_rooms
from mothermold.serve.serving import serve_here, serve_phone
from mothermold.view.editions import Edition
from mothermold.view.view import Whole
from serve.browsing import Read
from serve.callers import TOKEN, Caller, at_work, come_in

GOOD = Path(__file__).resolve().parents[1] / "data" / "good"
Pairs = list[tuple[str, str]]
MADE: Pairs = [
    ("recipe", "cast/cheek@2"), ("started", "2026-05-20 14:32"), ("_for", "old-baker/cheek"), ("mold", "cheek-mold-1"),
    ("_weighed.base", "120,5 g".replace(",", ".")), ("outcome", "good"), ("_what", "The edge: torn # again"), ("_step", "open"),
    ("_note", 'Poured "twice"'),
]  # fmt: skip
NOTE: Pairs = [
    ("title", "Seam lifts at the heel"), ("symptoms", "seam lifts\nit: came # off"), ("seen_at", "cast"),
    ("noticed", "cast/cheek"), ("now", "Stop.\nWait."), ("_cause", "Too thin"), ("_fix", "Thicker"), ("harm", "cosmetic"),
]  # fmt: skip
LOT: Pairs = [("material", "gel-silicone-a"), ("lot", "26F9"), ("got", "2026-05-19"), ("opened", ""), ("use_by", "")]
ALL = {"made": MADE, "note": NOTE, "lot": LOT}
CALLED = {"made": "run", "note": "failure note", "lot": "lot"}


def hung(page: Page) -> bytes:
    return f"<!doctype html><title>{page.title}</title><main>{page.body}</main>".encode()


@dataclass
class Sender:
    """A phone that has come in."""

    at: Caller

    @property
    def book(self) -> Path:
        return self.at.book

    def get(self, path: str) -> tuple[int, str]:
        status, _, body = self.at.get(f"/send/{path}")
        return status, body.decode()

    def seal(self, path: str) -> Pairs:
        return re.findall(r'<input type="hidden" name="(-[^"]+)" value="([^"]+)">', self.get(path)[1])[:2]

    def send(
        self,
        room: str,
        pairs: Pairs,
        *,
        seal: Pairs | None = None,
        do: str = "write",
        without: tuple[str, ...] = (),
        **other: str,
    ) -> tuple[int, dict[str, str], str]:
        begun = "?recipe=cast%2Fcheek%402" if room == "made" else ""
        sealed = self.seal(f"{room if room in ALL else 'lot'}{begun}") if seal is None else seal
        data = "&".join(f"{quote_plus(a)}={quote_plus(b)}" for a, b in [*sealed, *pairs, ("_do", do)]).encode()
        headers = {
            **self.at.cookie,
            "Origin": self.at.doors.origin,
            "Content-Type": "application/x-www-form-urlencoded",
            "Content-Length": str(len(data)),
        } | {key.replace("_", "-"): value for key, value in other.items()}
        told = self.at.ask("POST", f"/send/{room}", {key: headers[key] for key in headers if key not in without}, data)
        return told[0], told[1], told[2].decode()


@contextmanager
def served(book: Path, edition: Edition) -> Iterator[Sender]:
    @contextmanager
    def now():
        yield Whole.open(book).edition(edition)

    def sends(inbox: Inbox, say: Callable[[str], None]) -> DeskRooms:
        return DeskRooms(now, hung, send_rooms(inbox, say), SEND)

    with at_work(book, sends=sends, patience=2) as at:
        yield Sender(at)


@pytest.fixture
def phone(good_book: Path) -> Iterator[Sender]:
    with served(good_book, "private") as sender:
        yield sender


@pytest.fixture(scope="module")
def steady(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Sender]:
    """One server for the tests that leave nothing behind."""
    book = Path(shutil.copytree(GOOD, tmp_path_factory.mktemp("steady") / "book"))
    with served(book, "class") as sender:
        yield sender
    assert not (book / "inbox").exists()


# What is sent, and what becomes of it


@pytest.mark.parametrize("room", ALL)
def test_what_is_sent_lies_in_the_inbox_nothing_else_is_written_and_bring_takes_it_in(phone: Sender, room: str) -> None:
    before = files(phone.book)
    status, told, _ = phone.send(room, ALL[room])
    assert (status, told["location"].partition("?")[0]) == (303, "/send/sent")
    after = files(phone.book)
    (name,) = {name for name in after if before.get(name) != after[name]} - {"inbox/.gitignore"}
    assert name.startswith("inbox/")
    assert phone.at.said == [f"A {CALLED[room]} sent from the phone came in: {name[6:]}."]
    asking = Scripted()
    said = bring_runs(phone.book, [], asking, asks=False)
    assert said.endswith("came in. Keep it with `mothermold save`.")
    assert not (phone.book / name).exists()


def test_a_run_says_all_that_was_typed(phone: Sender) -> None:
    assert phone.send("made", MADE)[0] == 303
    bring_runs(phone.book, [], Scripted(), asks=False)
    (path,) = phone.book.glob("recipes/builds/old-baker/runs/r-2026-05-20-cheek-1432-????.yaml")
    assert path.read_text().split("\n")[:1] + path.read_text().split("\n")[2:] == [
        "# Noted on the phone.", "recipe: cast/cheek@2", "thing: cheek", "started: 2026-05-20 14:32", "mold: cheek-mold-1",
        "batch:", "  - {mix: base, weighed: 120.5 g}", "changed:", '  - note: Poured "twice"', "outcome: good", "went_wrong:",
        '  - what: "The edge: torn # again"', "    step: open", "",
    ]  # fmt: skip


def test_a_note_says_all_that_was_typed(phone: Sender) -> None:
    assert phone.send("note", NOTE)[0] == 303
    assert (phone.book / "inbox/seam-lifts-at-the-heel.yaml").read_text() == (
        "# Noted on the phone.\ntitle: Seam lifts at the heel\nseen_at: cast\nnoticed: [cast/cheek]\nsymptoms:\n"
        '  - seam lifts\n  - "it: came # off"\nnow:\n  - Stop.\n  - Wait.\ncauses:\n  - what: Too thin\n'
        "fixes:\n  - do: Thicker\nharm: cosmetic\n"
    )


def test_a_lot_says_which_material_and_what_was_typed(phone: Sender) -> None:
    assert phone.send("lot", LOT)[0] == 303
    assert (phone.book / "inbox/lot-gel-silicone-a-26f9.yaml").read_text() == (
        "# Noted on the phone.\nmaterial: gel-silicone-a\nlot: 26F9\ngot: 2026-05-19\n"
    )


def test_a_lot_says_how_much_came_so_that_what_is_left_can_be_reckoned(phone: Sender) -> None:
    assert phone.send("lot", [*LOT[:2], ("held", "1 kg")])[0] == 303
    assert "\nheld: 1 kg\n" in (phone.book / "inbox/lot-gel-silicone-a-26f9.yaml").read_text()
    assert phone.send("lot", [("material", "gel-silicone-a"), ("lot", "26G1"), ("held", "a lot")])[0] != 303


@pytest.mark.parametrize("room", ALL)
def test_the_page_after_it_says_where_it_is_and_holds_nothing_secret(phone: Sender, room: str) -> None:
    _, told, _ = phone.send(room, ALL[room])
    status, told, body = phone.at.get(told["location"])
    page = body.decode()
    assert (status, told["cache-control"], "set-cookie" in told) == (200, "no-store", False)
    assert "It is on the computer now, in the inbox" in page
    assert "mothermold bring" in page
    assert not {TOKEN, "-start", "-once"} & set(re.split(r'[\s"=;]', page))
    assert phone.get("sent?what=<b>")[0] == 404


@pytest.mark.parametrize("room", ALL)
def test_the_same_sent_twice_is_one_file_and_another_is_another(phone: Sender, room: str) -> None:
    for _ in range(2):
        location = phone.send(room, ALL[room])[1]["location"]
    assert len(phone.at.runs) == 1
    assert "word for word" in phone.at.get(location)[2].decode()
    other = [(name, f"{text} 2" if name in ("_note", "_cause") else "2026-05-18" if name == "got" else text) for name, text in ALL[room]]  # fmt: skip
    assert phone.send(room, other)[0] == 303
    assert len(phone.at.runs) == 2
    if room == "made":
        assert bring_runs(phone.book, [], Scripted(), asks=False).startswith("2 runs came in.")


@pytest.mark.parametrize("room", ALL)
def test_enter_in_a_field_looks_and_sends_nothing(phone: Sender, room: str) -> None:
    page = phone.get(f"{room}?recipe=cast%2Fcheek%402")[1]
    first = next(each for each in Read(page).controls if each.tag == "button")
    assert (first.name, first.value) == ("_do", "look")
    status, _, page = phone.send(room, ALL[room], do="look")
    assert (status, phone.at.runs) == (200, [])
    assert all(text.split("\n")[0] in unescape(page) for _, text in ALL[room])


def test_it_happened_again_names_the_note(phone: Sender) -> None:
    assert 'value="torn-edge"' in phone.get("made?recipe=cast%2Fcheek%402&_what=torn-edge")[1]
    found = phone.get("wrong?words=torn+edge")[1]
    assert "made?_what=torn-edge" in found
    assert "note?words=torn+edge" in found.replace("%20", "+")
    assert phone.send("made", [*MADE[:2], ("_what", "torn-edge")])[0] == 303
    assert "- failure: torn-edge" in (phone.book / "inbox" / phone.at.runs[0]).read_text()


# What is refused


@pytest.mark.parametrize("path", ["", "made", "wrong?words=torn", "note", "lot", "sent?what=run", "nothing"])
@pytest.mark.parametrize("cookie", [None, "mothermold_{port}=", "mothermold_{port}=wrong"])
def test_without_the_cookie_nothing_is_told_and_nothing_taken(steady: Sender, path: str, cookie: str | None) -> None:
    headers = {} if cookie is None else {"Cookie": cookie.format(port=steady.at.doors.port)}
    status, told, body = steady.at.ask("GET", f"/send/{path}", headers)
    assert (status, b"heek" in body, "set-cookie" in told) == (403, False, False)
    room = path.partition("?")[0]
    assert steady.send(room, MADE, without=("Cookie",), **headers)[0] == 403


@pytest.mark.parametrize(
    ("without", "other", "status"),
    [
        ((), {"Origin": "http://rebound.test"}, 403),
        ((), {"Origin": "null"}, 403),
        ((), {"Origin": "http://127.0.0.1:1"}, 403),
        ((), {"Sec_Fetch_Site": "cross-site"}, 403),
        ((), {"Sec_Fetch_Site": "same-site", "Sec_Fetch_Mode": "navigate"}, 403),
        (("Origin",), {}, 403),
        ((), {"Host": "rebound.test"}, 421),
        ((), {"Content_Type": "text/plain"}, 415),
        ((), {"Content_Length": "9999"}, 408),
        ((), {"Transfer_Encoding": "chunked"}, 400),
        ((), {"Content_Type": "multipart/form-data; boundary=x"}, 400),
    ],
)
def test_a_form_of_another_page_is_refused(
    steady: Sender, without: tuple[str, ...], other: dict[str, str], status: int
) -> None:
    assert steady.send("made", MADE, without=without, **other)[0] == status


def test_a_form_is_taken_once_and_only_with_the_token_of_this_start(phone: Sender) -> None:
    seal = phone.seal("lot")
    assert phone.send("lot", LOT, seal=seal)[0] == 303
    status, _, page = phone.send("lot", [*LOT[:1], ("lot", "another")], seal=seal)
    assert (status, "was sent before" in page, 'value="another"' in page) == (409, True, True)
    fresh = phone.seal("lot")
    assert phone.send("lot", LOT, seal=[("-start", "0" * 64), fresh[1]])[0] == 403
    assert phone.send("lot", LOT, seal=[])[0] == 403
    assert len(phone.at.runs) == 1


def test_what_is_too_large_is_not_taken(phone: Sender) -> None:
    assert phone.send("note", [("happened", "x" * MOST_BYTES)])[0] == 413
    # As a document it is longer than as a form.
    status, _, page = phone.send("note", [*NOTE[:1], *NOTE[2:], ("symptoms", "x\n" * 45_000)])
    assert (status, "longer than a page" in page) == (409, True)
    assert phone.at.runs == []


def test_where_the_inbox_is_full_or_no_folder_it_is_said_and_what_was_typed_comes_back(
    phone: Sender, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as small:
        small.setattr(inbox_module, "MOST_FILES", 0)
        status, _, page = phone.send("lot", LOT)
    assert (status, "inbox on the computer is full" in page, 'value="26F9"' in page) == (409, True, True)
    (phone.book / "inbox").write_text("no folder")
    status, _, page = phone.send("lot", LOT)
    assert (status, "its screen says why" in page, str(phone.book) in page) == (409, True, False)
    assert str(phone.book) in phone.at.said[-1]


@pytest.mark.parametrize(
    ("room", "pairs", "words"),
    [
        ("made", [*MADE[:1], ("started", "at noon-ish")], "at noon-ish"),
        ("made", [*MADE[:2], ("_weighed.base", "12 bananas")], "12 bananas"),
        ("made", [("recipe", "cast/cheek@9")], "It was not said which recipe was worked."),
        ("made", [*MADE[:2], ("mold", "cheek-mold-9")], "not among what can be chosen"),
        ("made", [*MADE[:2], ("_for", "old-baker")], "not among what can be chosen"),
        ("made", [*MADE[:2], ("_what", "x"), ("_step", "melt")], "not among what can be chosen"),
        ("note", [*NOTE[1:]], "title"),
        ("note", [*NOTE[:1], *NOTE[2:]], "symptoms"),
        ("note", [*NOTE[:2], ("seen_at", "casting")], "not among what can be chosen"),
        ("note", [*NOTE[:2], *NOTE[3:]], "seen_at"),
        ("lot", LOT[:1], "Its number is not said yet"),
        ("lot", LOT[1:], "Its material is not said yet"),
        ("lot", [*LOT[:2], ("use_by", "soon")], "`soon`".strip("`")),
        ("lot", [("material", "gel-silicone-z"), *LOT[1:]], "not among what can be chosen"),
        ("wrong", [("failure", "torn-edge"), ("run", "r-2026-03-10-cheek-1")], "Nothing is sent from here"),
        ("sent", [], "Nothing is written here"),
    ],
)
def test_what_cannot_stand_is_said_beside_what_was_typed_and_not_sent(
    steady: Sender, room: str, pairs: Pairs, words: str
) -> None:
    status, _, page = steady.send(room, pairs)
    assert (status in (200, 404, 409), words in page) == (True, True), page
    for name, text in pairs:
        if name in ("started", "_weighed.base", "use_by"):
            assert f'value="{text}"' in page


def test_from_a_phone_nothing_of_the_desk_can_be_reached(steady: Sender) -> None:
    for room in ("save", "undo", "next", "recipe/cast/cheek", "new/material", "editions", "inbox", "done", "book/book", "emergency"):  # fmt: skip
        assert steady.get(room)[0] == 404
        assert steady.send(room, [("title", "x"), ("file", "recipes/cast/cheek.yaml")])[1]["location"] == "/send/"
        assert steady.at.get(f"/desk/{room}")[0] == 404
        assert steady.at.ask("POST", f"/desk/{room}", {**steady.at.cookie, "Content-Length": "0"})[0] == 405


OWN_SCRIPT = re.compile(r'<script src="\.\./assets/desk-[a-z]+\.js" defer></script>')
HOSTILE = "\"><script>alert(1)</script>\u2028{{ seal() }}'<b>"


@pytest.mark.parametrize("room", ALL)
def test_hostile_words_are_words(phone: Sender, room: str) -> None:
    for name, text in ALL[room]:
        for pairs in (
            [(a, HOSTILE if a == name else b) for a, b in ALL[room]],
            [(name, text), ("x" + HOSTILE, HOSTILE)],
        ):
            page = phone.send(room, pairs)[2]
            assert not {"script", "b"} & set(Read(OWN_SCRIPT.sub("", page)).tags)
    for path in phone.at.runs:
        assert re.fullmatch(r"[a-z0-9-]+\.yaml", path)
    for query in ("made?" + urlencode({"recipe": HOSTILE, "_what": HOSTILE}), "wrong?" + urlencode({"words": HOSTILE}),
                  "note?" + urlencode({"words": HOSTILE}), "lot?" + urlencode({"material": HOSTILE, "lot": HOSTILE})):  # fmt: skip
        status, page = phone.get(query)
        assert (status, {"script", "b"} & set(Read(OWN_SCRIPT.sub("", page)).tags)) == (200, set())


def test_every_page_is_well_made_and_leads_nowhere_that_is_not_open(steady: Sender) -> None:
    for path in ("", "made", "made?recipe=cast%2Fcheek%402", "wrong", "wrong?words=torn+edge+in+my+eye", "wrong?words=qqqq", "note?words=x", "lot", "sent?what=lot", "photo", "photo?to=recipe/cast/cheek", "photo?to=x/y"):  # fmt: skip
        read = Read(steady.get(path)[1])
        assert (read.faults(), read.tags["h1"]) == ([], 1), path
        for href in read.hrefs:
            assert "desk/" not in href, path
            if href.startswith("../send/"):
                assert steady.get(href.removeprefix("../send/"))[0] == 200
        if read.form.get("method") == "post":
            assert read.form["action"] == f"../send/{path.partition('?')[0]}"


def test_a_shout_of_thousands_of_words_keeps_nobody_waiting(steady: Sender) -> None:
    begun = time.monotonic()
    status, page = steady.get("wrong?words=" + "+".join(f"torn{number}" for number in range(2_500)))
    assert (status, "torn2499" in page) == (200, False)
    assert time.monotonic() - begun < 2


# What a class may not read

SECRET = "zanzaqua"
PRIVATE = {
    "recipes/materials/zanzaqua-base.yaml": "title: Zanzaqua base\nfamilies: polyurethane\nlots: [{lot: zanzaqua-1}]\n",
    "recipes/cast/zanzaqua.yaml": (
        "title: Zanzaqua piece\nstage: cast\nversion: 1\nstatus: draft\nneeds: []\nsteps:\n  - id: zanzaqua\n    title: Pour\n"
    ),
    "recipes/failures/zanzaqua-split.yaml": "title: Zanzaqua split\nseen_at: cast\nsymptoms: [zanzaqua split open]\n",
    "recipes/failures/seam-lifts-at-the-heel.yaml": "title: Seam lifts at the heel\nseen_at: cast\nsymptoms: [zanzaqua seam lifts]\n",
    "recipes/molds/zanzaqua-mold.yaml": "title: Zanzaqua mold\nrecipe: mold/cheek-mold@1\nmade: 2026-03-01\nstate: in use\n",
    "recipes/builds/zanzaqua/build.yaml": "title: Zanzaqua\nthings:\n  - {id: zanzaqua, recipe: cast/cheek}\n",
    "recipes/builds/zanzaqua/runs/r-2026-05-20-cheek-1.yaml": (
        "id: r-2026-05-20-cheek-1\nkind: run\nrecipe: cast/cheek@2\nthing: zanzaqua\nstarted: 2026-05-20 14:32\noutcome: good\n"
        "went_wrong: [{failure: torn-edge}, {what: zanzaqua came out}]\nchanged: [{note: zanzaqua}]\n"
    ),
}


@pytest.fixture(scope="module", params=["class", "public"])
def twins(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Sender, Sender]]:
    """A book with much that is private, and the same without it."""
    folder = tmp_path_factory.mktemp("twins")
    whole, lacking = (Path(shutil.copytree(GOOD, folder / name)) for name in ("whole", "lacking"))
    for file, text in PRIVATE.items():
        (whole / file).parent.mkdir(parents=True, exist_ok=True)
        (whole / file).write_text(text)
    with served(whole, request.param) as one, served(lacking, request.param) as other:
        yield one, other


def alike(twins: tuple[Sender, Sender], ask: Callable[[Sender], tuple[int, str]]) -> str:
    """What both answer, seals and the clock's minute aside."""
    told = []
    for twin in twins:
        status, page = ask(twin)
        page = re.sub(r'(name="-[a-z]+" value=)"[^"]+"', r"\1", page)
        told.append((status, re.sub(r'(name="started" value=)"[^"]+"', r"\1", page)))
    assert told[0] == told[1]
    return told[0][1]


QUERIES = (
    "", "made", "made?recipe=cast%2Fcheek%402", "made?recipe=cast%2Fzanzaqua%401", "made?recipe=cast%2Fzanzaqua", "wrong",
    "made?_what=zanzaqua-split", "made?recipe=cast%2Fcheek%402&_what=zanzaqua-split&mold=zanzaqua-mold", "note?words=came+out",
    "wrong?words=zanzaqua+split", "wrong?words=torn+edge", "wrong?words=seam+lifts+at+the+heel", "note", "note?words=zanzaqua",
    "lot", "lot?material=zanzaqua-base", "sent?what=run", "photo", "photo?to=mold/zanzaqua-mold", "photo?to=recipe/cast/zanzaqua",
    "photo?to=run/r-2026-05-20-cheek-1", "photo?to=build/zanzaqua", "photo?to=recipe/cast/cheek", "photo?to=failure/torn-edge", "material/zanzaqua-base", "failure/zanzaqua-split", "zanzaqua",
)  # fmt: skip


@through("query", QUERIES)
def test_no_page_tells_of_what_a_class_may_not_read(twins: tuple[Sender, Sender], query: str) -> None:
    page = alike(twins, lambda twin: twin.get(query))
    asked = query.count(SECRET)
    assert page.casefold().count(SECRET) <= 4 * asked
    if not asked:
        assert SECRET not in page.casefold()


@through(
    ("room", "pairs"),
    [
        ("made", [("recipe", "cast/zanzaqua@1")]),
        ("made", [*MADE[:2], ("mold", "zanzaqua-mold")]),
        ("made", [*MADE[:2], ("_for", "zanzaqua/zanzaqua")]),
        ("made", [*MADE[:2], ("_what", "zanzaqua-split")]),
        ("made", [*MADE[:2], ("_what", "Zanzaqua split")]),
        ("made", [*MADE[:2], ("_lots", "zanzaqua-base zanzaqua-1"), ("_lots", "gel-silicone-a 20E5")]),
        ("made", MADE),
        ("note", NOTE),
        ("note", [("title", "Zanzaqua split"), *NOTE[1:]]),
        ("note", [*NOTE[:3], ("noticed", "cast/zanzaqua")]),
        ("lot", [("material", "zanzaqua-base"), ("lot", "zanzaqua-1")]),
        ("lot", LOT),
        ("photo", [("to", "mold/zanzaqua-mold")]),
        ("photo", [("to", "failure/zanzaqua-split"), ("_photo.1.alt", "x")]),
        ("photo", [("to", "recipe/cast/cheek"), ("_photo.1.part", "zanzaqua")]),
    ],
)
def test_no_answer_and_no_file_tells_of_what_a_class_may_not_read(
    twins: tuple[Sender, Sender], room: str, pairs: Pairs
) -> None:
    def sent(twin: Sender) -> tuple[int, str]:
        status, told, page = twin.send(room, pairs)
        return status, told.get("location", "") + page

    alike(twins, sent)
    one, other = ({path.name: path.read_text() for path in (twin.book / "inbox").glob("*")} for twin in twins)
    assert one == other
    shutil.rmtree(twins[0].book / "inbox", ignore_errors=True)
    shutil.rmtree(twins[1].book / "inbox", ignore_errors=True)


def test_the_owners_own_edition_shows_the_owner_all_of_it(tmp_path: Path) -> None:
    """Else the tests above would hold of pages that show nothing."""
    book = Path(shutil.copytree(GOOD, tmp_path / "book"))
    for file, text in PRIVATE.items():
        (book / file).parent.mkdir(parents=True, exist_ok=True)
        (book / file).write_text(text)
    with served(book, "private") as owner:
        for query in ("made", "made?recipe=cast%2Fcheek%402", "wrong?words=split+open", "note", "lot"):
            assert SECRET in owner.get(query)[1].casefold(), query


# Where it is open


def test_only_a_phone_has_these_rooms(good_book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    opened = []
    monkeypatch.setattr(serving, "_serve", lambda pages, server: opened.append((server, pages.read("/index.html"))))
    serve_phone(good_book, "class", lambda _said: None, host="127.0.0.1")
    serve_here(good_book, "private", lambda _said: None)
    paths: list[list[str]] = [
        [room.path for room in server.rooms.table if room.take is not None] for server, _ in opened
    ]
    assert paths == [["/inbox", "/send/"], ["/desk/"]]
    phone, here = (page[1].decode() for _, page in opened)
    assert ('href="./send/"' in phone, 'href="./desk/"' in phone) == (True, False)
    assert ('href="./send/"' in here, 'href="./desk/"' in here) == (False, True)


# In a browser


def test_on_a_narrow_phone_with_scripts_off_all_three_are_sent_and_brought(
    chromium: Browser, good_book: Path, tmp_path: Path
) -> None:
    how = {"viewport": {"width": 390, "height": 844}, "java_script_enabled": False}
    with come_in(chromium, opened_to_a_phone(good_book, "class", tmp_path), **how) as seen:
        _sends(seen.page, seen.home)
        assert seen.faults == []
    assert bring_runs(good_book, [], Scripted(), asks=False).startswith("1 run, 1 failure note and 1 lot came in.")
    (run,) = good_book.rglob("r-2026-05-20-cheek-1432-*.yaml")
    assert 'note: "Poured: twice"' in run.read_text()


def opened_to_a_phone(book: Path, edition: Edition, folder: Path) -> Holdings:
    """What a phone is served of a book; what is said to the person at the computer is lost."""
    (folder / "around").mkdir()
    inbox = Inbox(book)
    pages = LivingPages(book, edition, folder / "around", lambda _said: None, writes=TO_SEND)
    sends = DeskRooms(pages.view, pages.hang_form, send_rooms(inbox, lambda _said: None), SEND)
    return Holdings(pages, pages.news, inbox, sends=sends)


def _sends(page: BrowserPage, home: str) -> None:
    def lands() -> None:
        expect(page.get_by_role("heading", level=1)).to_have_text("It is on the computer now, in the inbox")
        fits()

    def fits() -> None:
        page.wait_for_load_state()
        assert too_wide(page) == []
        assert too_small(page, "main a.way, main button, main input[type=text], main select, header .write", 44) == []

    page.goto(f"{home}recipes/cast/cheek.html")
    fits()
    page.get_by_role("link", name="I made one").click()
    fits()
    page.get_by_label("When it began").fill("2026-05-20 14:32")
    page.get_by_label("How it ended").select_option("good")
    page.get_by_label("Done differently, or to remember").fill("Poured: twice")
    page.get_by_role("button", name="Send it to the computer").click()
    lands()
    page.get_by_role("link", name="Send", exact=True).click()
    fits()
    page.get_by_role("link", name="It went wrong").click()
    page.get_by_label("What happened, as you would shout it").fill("seam lifted at the heel")
    page.get_by_role("button", name="What is it?").click()
    fits()
    page.get_by_role("link", name="Write a failure note").click()
    fits()
    expect(page.get_by_label("What happened, in a few words")).to_have_value("Seam lifted at the heel")
    page.get_by_label("At which stage it shows").select_option("cast")
    page.get_by_role("button", name="Send it to the computer").click()
    lands()
    page.goto(f"{home}materials/gel-silicone-a.html")
    page.get_by_role("link", name="A new lot of it").click()
    fits()
    page.get_by_label("The lot number on the label").fill("26F9")
    page.get_by_label("When it came").fill("when it rained")
    page.get_by_role("button", name="Send it to the computer").click()
    expect(page.locator("#t-got .told")).to_contain_text("cannot be read as a day")
    fits()
    page.get_by_label("When it came").fill("yesterday")
    page.get_by_role("button", name="Send it to the computer").click()
    lands()


@pytest.mark.parametrize(
    ("address", "label", "kept", "mend"),
    [
        ("made?recipe=cast%2Fcheek%402", "Done differently, or to remember", "Poured: twice", []),
        ("note", "What happened, in a few words", "Seam lifts", [("symptoms", "torn"), ("seen_at", "cast")]),
        ("lot", "The lot number on the label", "26F9", [("material", "gel-silicone-a")]),
    ],
)
def test_what_was_typed_on_a_phone_comes_back_after_a_crash_and_goes_once_the_inbox_has_it(
    chromium: Browser, good_book: Path, tmp_path: Path, address: str, label: str, kept: str, mend: Pairs
) -> None:
    with come_in(chromium, opened_to_a_phone(good_book, "class", tmp_path)) as seen:
        context = seen.page.context
        seen.page.goto(f"{seen.home}send/{address}")
        seen.page.get_by_label(label).fill(kept)
        expect(seen.page.locator(".desk-kept")).to_have_text("Kept in this browser until it is sent.")
        with pytest.raises(PlaywrightError):
            seen.page.goto("chrome://crash")
        page = context.new_page()
        page.goto(f"{seen.home}send/{address}")
        expect(page.locator(".desk-back")).to_contain_text("What you typed at ")
        expect(page.get_by_label(label)).to_have_value(kept)
        for name, text in mend:
            field = page.locator(f"[name={name}]")
            _ = field.fill(text) if name == "symptoms" else field.select_option(text)
        page.get_by_role("button", name="Send it to the computer").click()
        expect(page.get_by_role("heading", level=1)).to_have_text("It is on the computer now, in the inbox")
        page.wait_for_function("() => Object.keys(localStorage).length === 0")
        page.goto(f"{seen.home}send/{address}")
        expect(page.get_by_label(label)).to_have_value("")
        expect(page.locator(".desk-back")).to_be_hidden()
