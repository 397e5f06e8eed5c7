"""A page's form as a browser without scripts reads and sends it, and what must hold of any page with fields."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from html.parser import HTMLParser
from urllib.parse import parse_qsl, urlencode

from mothermold.serve.forms import typed

Pairs = list[tuple[str, str]]


@dataclass
class Control:
    """A control of a form, with what it would send."""

    tag: str
    said: dict[str, str]
    value: str = ""
    label: str = ""

    @property
    def name(self) -> str:
        return self.said.get("name", "")


@dataclass
class Read(HTMLParser):
    """A page as it was read: its first form's controls, its ids, what stands in it as text."""

    text: str
    controls: list[Control] = field(default_factory=list)
    ids: Counter[str] = field(default_factory=Counter)
    labels: dict[str, str] = field(default_factory=dict)
    texts: dict[str, str] = field(default_factory=dict)
    hrefs: list[str] = field(default_factory=list)
    tags: Counter[str] = field(default_factory=Counter)
    words: str = ""
    form: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self._open: list[str] = []
        self._template = 0
        self._area: Control | None = None
        self._select: Control | None = None
        self._for = self._paragraph = ""
        self._button: Control | None = None
        self._around = False
        # What stands in the source as an end of a line is one line feed to a browser.
        self.feed(self.text.replace("\r\n", "\n").replace("\r", "\n"))

    def handle_starttag(self, tag: str, given: list[tuple[str, str | None]]) -> None:
        said = {key: value or "" for key, value in given}
        self.tags[tag] += 1
        if tag == "template":
            self._template += 1
        if self._template:
            return
        if "id" in said:
            self.ids[said["id"]] += 1
        if tag == "p":
            self._paragraph = said.get("id", "")
        if "href" in said:
            self.hrefs.append(said["href"])
        if tag == "form":
            self.form = said
        elif tag == "label":
            self._for, self._around = said.get("for", ""), "for" not in said
        elif tag == "input":
            value = said.get("value", "")
            if said.get("type", "text") == "text":
                value = value.replace("\n", "").replace("\r", "")
            self.controls.append(Control(tag, said, value, "around" if self._around else ""))
        elif tag == "textarea":
            self._area = Control(tag, said)
            self.controls.append(self._area)
        elif tag == "select":
            self._select = Control(tag, said, "\0")
            self.controls.append(self._select)
        elif tag == "option" and self._select is not None and (self._select.value == "\0" or "selected" in said):
            self._select.value = said["value"]
        elif tag == "button":
            self._button = Control(tag, said, said.get("value", ""))
            self.controls.append(self._button)

    def handle_endtag(self, tag: str) -> None:
        if tag == "template":
            self._template -= 1
        elif tag == "textarea" and self._area is not None:
            self._area.value = self._area.value.removeprefix("\n")
            self._area = None
        elif tag == "select":
            self._select = None
        elif tag == "p":
            self._paragraph = ""
        elif tag == "label":
            self._for, self._around = "", False
        elif tag == "button":
            self._button = None

    def handle_data(self, data: str) -> None:
        if self._area is not None:
            self._area.value += data
            return
        if not self._template:
            self.words += data
        if self._paragraph:
            self.texts[self._paragraph] = self.texts.get(self._paragraph, "") + data
        if self._for:
            self.labels[self._for] = self.labels.get(self._for, "") + data
        if self._button is not None:
            self._button.label += data.strip()

    @property
    def fields(self) -> list[Control]:
        """What somebody types into, chooses from or ticks."""
        hidden = {"hidden", "submit"}
        return [
            each
            for each in self.controls
            if each.tag != "button" and each.said.get("type") not in hidden and "hidden" not in each.said
        ]

    def control(self, name: str) -> Control:
        """The control of a name that can be typed into."""
        return next(each for each in self.fields if each.name == name)

    def button(self, value: str) -> Control:
        """The button that sends a value."""
        return next(each for each in self.controls if each.tag == "button" and each.value == value)

    def sends(self, pressed: str = "write", typed_: dict[str, str] | None = None) -> Pairs:
        """What is sent when a button is pressed, with other texts in some fields."""
        pairs = []
        for each in self.controls:
            if each.tag == "button":
                if each.value == pressed:
                    pairs.append((each.name, each.value))
                    pressed = "\0"
            elif each.said.get("type") != "radio" or "checked" in each.said:
                pairs.append((each.name, (typed_ or {}).get(each.name, each.value)))
        assert pressed == "\0", "there is no such button"
        return pairs

    def faults(self) -> list[str]:
        """What must hold of every page and does not here."""
        found = [f"two of {name}" for name, count in self.ids.items() if count > 1]
        for each in self.fields:
            if not (each.said.get("aria-label") or self.labels.get(each.said.get("id", ""), "").strip() or each.label):
                found.append(f"no label: {each.said}")
            names = each.said.get("aria-describedby", "").split()
            found += [f"described by nothing: {name}" for name in names if name not in self.ids]
        found += [f"leads nowhere: {each}" for each in self.hrefs if each[:1] == "#" and each[1:] not in self.ids]
        found += [f"said nothing: {each.said}" for each in self.controls if each.tag == "button" and not each.label]
        found += [
            f"a list that is not there: {each.said['list']}"
            for each in self.fields
            if each.said.get("list", "") not in {"", *self.ids}
        ]
        return found


def arrives(pairs: Pairs) -> tuple[tuple[str, str], ...]:
    """What the desk is handed of pairs a browser sends: line ends its own way, spelled as an address is."""
    sent = urlencode([(name, text.replace("\r\n", "\n").replace("\n", "\r\n")) for name, text in pairs])
    return typed(parse_qsl(sent, keep_blank_values=True, errors="strict"))
