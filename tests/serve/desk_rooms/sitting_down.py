"""Somebody at the desk: goes to an address, reads the page's forms as a browser without scripts does, types, presses, follows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import parse_qsl, unquote, urlencode, urljoin, urlsplit

from mothermold.ground.errors import MothermoldError
from mothermold.pages.all_pages import page_at
from mothermold.pages.page import Page
from mothermold.serve.desk_rooms.room import DeskRoom, Visit
from mothermold.serve.desk_rooms.table import ROOMS
from mothermold.serve.parts import SentFile
from mothermold.view.view import open_view

HOST = "http://desk.test/"
Pairs = tuple[tuple[str, str], ...]


@dataclass
class Control:
    """Something that is sent: its name, what it says, and whether it is sent as it stands."""

    name: str
    value: str
    sort: str
    sent: bool = True
    words: str = ""
    choices: list[str] = field(default_factory=list)


@dataclass
class WebForm:
    """A form of a page."""

    action: str
    method: str
    controls: list[Control] = field(default_factory=list)

    def sent(self, typed: Mapping[str, str | list[str]] | None = None, press: str | None = None) -> Pairs:
        """What a browser sends: every control as it stands, what was typed in its place, and the button that was pressed."""
        left = {name: [said] if isinstance(said, str) else list(said) for name, said in (typed or {}).items()}
        pairs: list[tuple[str, str]] = []
        for each in self.controls:
            if each.sort == "submit" or not each.name:
                continue
            if each.sort in ("checkbox", "radio"):
                chosen = each.value in left[each.name] if each.name in left else each.sent
                pairs += [(each.name, each.value)] if chosen else []
                continue
            said = each.value
            if each.name in left and each.sort != "hidden" and left[each.name]:
                said = left[each.name].pop(0)
                assert not each.choices or said in each.choices, f"{said} cannot be chosen at {each.name}"
            pairs.append((each.name, said.replace("\r\n", "\n").replace("\n", "\r\n")))
        boxes = {each.name for each in self.controls if each.sort in ("checkbox", "radio")}
        over = {name: said for name, said in left.items() if said and name not in boxes}
        assert not over, f"the form has no place for {over}"
        for name in boxes & left.keys():
            values = [each.value for each in self.controls if each.name == name]
            assert set(left[name]) <= set(values), f"{name} offers {values}"
        return (*pairs, *self._pressed(press))

    def _pressed(self, words: str | None) -> Pairs:
        buttons = [each for each in self.controls if each.sort == "submit"]
        found = [each for each in buttons if words is None or words in each.words]
        assert found, f"no button says {words}: {[each.words for each in buttons]}"
        return ((found[0].name, found[0].value),) if found[0].name else ()


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.forms: list[WebForm] = []
        self.links: list[tuple[str, str]] = []
        self.tags: list[str] = []
        self.text: list[str] = []
        self._form: WebForm | None = None
        self._control: Control | None = None
        self._option: list[str] | None = None
        self._link = ""
        self._heard: list[str] = []
        self._templates = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        said = {name: value or "" for name, value in attrs}
        self._templates += tag == "template"
        if self._templates or (tag == "script" and said.get("src", "").startswith("../assets/")):
            return
        self.tags.append(tag)
        name, value = said.get("name", ""), said.get("value", "")
        if tag == "form":
            self._form = WebForm(said.get("action", ""), said.get("method", "get"))
            self.forms.append(self._form)
        elif tag == "a":
            self._link, self._heard = said.get("href", ""), []
        elif tag == "input":
            sort = said.get("type", "text")
            boxed = sort in ("checkbox", "radio")
            self._add(Control(name, value or ("on" if boxed else ""), sort, sent=not boxed or "checked" in said))
        elif tag in ("textarea", "select", "button"):
            self._control = Control(name, value, "submit" if tag == "button" else tag)
            self._add(self._control)
            self._heard = []
        elif tag == "option" and self._control is not None:
            self._control.choices.append(value)
            if "selected" in said or len(self._control.choices) == 1:
                self._control.value = value

    def handle_endtag(self, tag: str) -> None:
        if self._templates:
            self._templates -= tag == "template"
        elif tag == "form":
            self._form = None
        elif tag == "a":
            self.links.append((self._link, "".join(self._heard)))
        elif tag in ("textarea", "select", "button") and self._control is not None:
            words = "".join(self._heard)
            if tag == "textarea":
                self._control.value = words.removeprefix("\n")
            self._control.words, self._control = words, None

    def handle_data(self, data: str) -> None:
        if not self._templates:
            self.text.append(data)
            self._heard.append(data)

    def _add(self, control: Control) -> None:
        if self._form is not None:
            self._form.controls.append(control)


class Desk:
    """Somebody at the desk of a book."""

    def __init__(self, book: Path) -> None:
        self.book = book
        self.here, self.said = "desk/", ""
        self.chosen: tuple[SentFile, ...] = ()
        self.page: Page
        self.read = _Reader()
        self.sealed = 0

    def go(self, address: str) -> Desk:
        """Goes to an address, from where one is or, without dots, from the start of the site."""
        whole = urlsplit(urljoin(HOST + self.here, address) if address.startswith(".") else HOST + address)
        self.here, self.said = whole.path.removeprefix("/") + (f"?{whole.query}" if whole.query else ""), ""
        found = self._show(tuple(parse_qsl(whole.query, keep_blank_values=True)))
        assert found is not None, f"nothing lies at {address}"
        return self._at(found)

    def is_there(self, address: str) -> bool:
        """Whether a page lies there."""
        whole, before = urlsplit(HOST + address), self.here
        self.here = address
        found = self._show(tuple(parse_qsl(whole.query)))
        self.here = before
        return found is not None

    def follow(self, words: str) -> Desk:
        """Follows the first link with these words in it."""
        found = [where for where, said in self.read.links if words in said]
        assert found, f"no link says {words}: {[said for _, said in self.read.links]}"
        return self.go(found[0])

    def press(
        self, words: str | None = None, typed: Mapping[str, str | list[str]] | None = None, form: int | None = None
    ) -> Desk:
        """Types and presses the button with these words, in the form that has it."""
        forms = [self.read.forms[form]] if form is not None else self.read.forms
        meant = [
            each
            for each in forms
            if words is None or any(one.sort == "submit" and words in one.words for one in each.controls)
        ]
        assert meant, f"no form has a button that says {words}"
        pairs = meant[0].sent(typed, words)
        where = urljoin(HOST + self.here.partition("?")[0], meant[0].action)
        if meant[0].method.casefold() != "post":
            return self.go(f"{where.removeprefix(HOST)}?{urlencode(pairs)}")
        return self.send(where.removeprefix(HOST), pairs)

    def choose(self, *photos: tuple[str, bytes], place: int = 1) -> Desk:
        """Chooses files for a place for photos; they go with the next form that is sent."""
        field = f"_photo.{place}"
        found = {each.name: each for form in self.read.forms for each in form.controls}
        assert found[field].sort == "file", f"no place for photos: {[*found]}"
        self.chosen += tuple(SentFile(field, name, data) for name, data in photos)
        return self

    def send(self, address: str, pairs: Pairs) -> Desk:
        """Sends a form; where it is refused the page is shown again, as the door does it."""
        self.here = address.partition("?")[0]
        try:
            return self._sent(pairs)
        finally:
            self.chosen = ()

    def _sent(self, pairs: Pairs) -> Desk:
        plain = tuple((name, text.replace("\r\n", "\n")) for name, text in pairs if name != "seal")
        room, visit = self._visit(plain)
        try:
            found = room.take(visit)
        except MothermoldError as problem:
            self.said = str(problem)
            again = self._show(plain)
            assert again is not None
            return self._at(again)
        self.said = ""
        return self.go(found) if isinstance(found, str) else self._at(found)

    def press_value(self, value: str, typed: Mapping[str, str | list[str]] | None = None) -> Desk:
        """Types, and presses the button that sends this."""
        for form in self.read.forms:
            for each in form.controls:
                if each.sort == "submit" and each.value == value:
                    pairs = [pair for pair in form.sent(typed) if pair[0] != each.name]
                    return self.send(self.here.partition("?")[0], (*pairs, (each.name, value)))
        raise AssertionError(f"no button sends {value}")

    @property
    def title(self) -> str:
        """The heading of the page."""
        return self.page.title

    @property
    def text(self) -> str:
        """What one reads on the page, blanks run together."""
        return " ".join("".join(self.read.text).split())

    @property
    def controls(self) -> dict[str, Control]:
        """What can be typed into, by name."""
        return {each.name: each for form in self.read.forms for each in form.controls if each.sort != "submit"}

    def _visit(self, pairs: Pairs) -> tuple[DeskRoom, Visit]:
        path = unquote(self.here.partition("?")[0]).removeprefix("desk/")
        name, _, at = path.partition("/")
        return ROOMS[name], Visit(open_view(self.book, "private"), at, pairs, self._seal, self.said, self.chosen)

    def _seal(self) -> str:
        self.sealed += 1
        return f'<input type="hidden" name="seal" value="{self.sealed}">'

    def _show(self, pairs: Pairs) -> Page | None:
        if not self.here.startswith("desk/"):
            return page_at(open_view(self.book, "private"), self.here.partition("?")[0])
        room, visit = self._visit(pairs)
        return room.show(visit)

    def _at(self, page: Page) -> Desk:
        self.page = page
        self.read = _Reader()
        self.read.feed(page.body)
        for form in self.read.forms:
            seals = [each for each in form.controls if each.name == "seal"]
            assert len(seals) == (form.method.casefold() == "post"), f"a form of {page.address} has {len(seals)} seals"
        return self
