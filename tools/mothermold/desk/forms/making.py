"""Makes the form of a document, of a new one, and of one half filled in."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from types import MappingProxyType
from typing import Any

from mothermold.book.document import Document, read_document
from mothermold.book.faults import one_of
from mothermold.desk.drafts.questions import NAME as NAME_ASK
from mothermold.desk.forms.form import (
    BUILD,
    NAME,
    Form,
    FormEntry,
    FormField,
    FormGroup,
    FormList,
    FormPart,
    FormSection,
)
from mothermold.desk.forms.layouts import FIRST, LAYOUTS, READY, REST, help_of, label_of
from mothermold.desk.forms.offering import USUAL_UNITS, Offering
from mothermold.desk.forms.placing import by_field
from mothermold.desk.forms.shapes import FieldShape, shapes
from mothermold.desk.forms.trees import NEW, Grown, Listed, Pairs, Stiff, entry_opened, opened, with_typed
from mothermold.desk.shop import Shop
from mothermold.ground.errors import refused
from mothermold.ground.notices import Notice
from mothermold.ground.reading import read_bytes
from mothermold.model.kinds import KINDS
from mothermold.model.walk import KeyPath
from mothermold.view.view import View

# What a document begins with where nobody says otherwise.
_BEGUN: Mapping[str, Mapping[str, str]] = {"recipe": {"format": "1", "version": "1", "status": "draft"}}


def form_of(view: View, kind: str, address: str, text: str | None = None) -> Form:
    """The form of a document of the book.

    Args:
        view: The owner's book.
        kind: The document's kind.
        address: What others call it.
        text: Its text as it was when the form was first made; as its file is now unless given.

    Raises:
        RefusedError: ``unknown-reference`` where there is no such document.
        CannotRunError: Its file cannot be opened.
    """
    found = view.on(kind).get(address)
    if found is None:
        raise refused(
            "unknown-reference",
            f"No {KINDS[kind].called} is called `{address}`.",
            "Go back to the list and open it from there.",
        )
    data = text.encode() if text is not None else read_bytes(view.root / found.file)
    document = read_document(kind, address, found.file, data)
    try:
        original = data.decode("utf-8")
    except UnicodeDecodeError:
        original = ""
    told = (
        [each for each in view.notices if each.file == found.file] if found.has_bytes_of(document) else document.notices
    )
    if document.tree.raw is None or not isinstance(document.tree.raw, dict):
        return Form(kind, address, found.file, original, (), notices={(): tuple(told)})
    return _form(Shop(view), document, original, opened(shapes(kind), document.tree.raw), told=told)


def new_form(
    view: View, kind: str, *, said: Mapping[str, Any] | None = None, text: str = "", now: datetime | None = None
) -> Form:
    """The form of a document there is not yet.

    Args:
        view: The owner's book.
        kind: The kind of document.
        said: What it is begun with, as a document says it.
        text: A text it is begun with, whose lines and comments stay.
        now: The time it is; the clock's unless given.
    """
    shop = Shop(view, now)
    document = read_document(kind, "", "", text.encode())
    begun = dict(_BEGUN.get(kind, {})) | ({"started": shop.moment} if kind == "run" else {})
    raw = document.tree.raw if text else begun | dict(said or {})
    return _form(shop, document, text, opened(shapes(kind), raw))


def filled(view: View, form: Form, pairs: Pairs) -> Form:
    """The form with what was typed so far in place of what the file says: as a page shows it again.

    Args:
        view: The owner's book.
        form: The form as it was made.
        pairs: What was typed. What nobody has typed anything into yet is kept while it is in the order of its list.
    """
    shop = Shop(view)
    document = read_document(form.kind, form.address, form.file, form.text.encode())
    tree = with_typed(shapes(form.kind), form.tree, pairs, blank=True)
    shown = _form(shop, document, form.text, tree, typed=dict(pairs))
    return replace(shown, notices=form.notices, tree=form.tree)


def _form(
    shop: Shop,
    document: Document,
    text: str,
    tree: dict[str, Any],
    *,
    told: Iterable[Notice] = (),
    typed: Mapping[KeyPath, str] = MappingProxyType({}),
) -> Form:
    making = _Making(document.kind, Offering(shop, document, tree), typed, is_new=not document.file)
    sections = making.sections(tree)
    if not document.file:
        sections = (making.naming(), *sections)
    notices = by_field(document, tree, told)
    return Form(document.kind, document.address, document.file, text, sections, making.offering.made, notices, tree)


class _Making:
    def __init__(self, kind: str, offering: Offering, typed: Mapping[KeyPath, str], *, is_new: bool) -> None:
        self.kind, self.offering, self.typed, self.is_new = kind, offering, typed, is_new

    def naming(self) -> FormSection:
        """What a new document goes by."""
        name, build = self.typed.get(NAME, ""), self.typed.get(BUILD, "")
        fields = [FormField(NAME, str(NAME_ASK.words), "line", name, "Left empty, it is made from the title.")]
        if KINDS[self.kind].in_builds and (builds := self.offering.named("build")):
            fields.append(
                FormField(BUILD, "For which build", "choice", build, "Left empty, it belongs to none.", offers=builds)
            )
        return FormSection("", tuple(fields))

    def sections(self, tree: Mapping[str, Any]) -> tuple[FormSection, ...]:
        """The sections of the layout, then all that none of them names."""
        every = shapes(self.kind)
        layout = [(title, keys.split()) for title, keys in LAYOUTS.get(self.kind, ())]
        named = {key for _title, keys in layout for key in keys}
        rows = [*layout, (REST, [key for key in every if key not in named])]
        return tuple(
            FormSection(title, parts, folded=title == REST and len(rows) > 1)
            for title, keys in rows
            if (parts := tuple(self._part(every[key], tree[key], (key,)) for key in keys if key in every))
        )

    def _part(self, shape: FieldShape, node: Grown, at: KeyPath, *, folded: bool = False) -> FormPart:
        label, help_ = label_of(self.kind, shape), help_of(self.kind, shape)
        if shape.sort == "group" and isinstance(node, dict):
            return FormGroup(at, label, help_, self._parts(shape, node, at), folded=folded)
        if shape.sort == "list" and isinstance(node, Listed):
            rows = node or (Listed({f"{NEW}1": entry_opened(shape, None)}) if self._stands_ready(shape, at) else node)
            entries = tuple(self._entry(shape, each, (*at, token)) for token, each in rows.items())
            blank = self._entry(shape, entry_opened(shape, None), (*at, NEW))
            return FormList(at, label, help_, one_of(shape.key), entries, blank, needed=shape.needed, folded=folded)
        is_stiff = isinstance(node, Stiff)
        return FormField(
            at,
            label,
            shape.kind,
            node if isinstance(node, str | tuple) else "",
            help_,
            shape.example,
            self.offering.key(shape),
            own=not shape.words,
            needed=shape.needed,
            units=tuple(unit for each in shape.units for unit in USUAL_UNITS.get(each, ())),
            folded=folded,
            stiff=is_stiff,
        )

    def _stands_ready(self, shape: FieldShape, at: KeyPath) -> bool:
        """Whether an empty list shows a first row: in what is new, until somebody takes it out."""
        within_new = self.is_new or any(isinstance(step, str) and step.startswith(NEW) for step in at)
        return within_new and f"{self.kind}.{shape.at}" in READY and at not in self.typed

    def _entry(self, shape: FieldShape, node: Grown, at: KeyPath) -> FormEntry:
        if not isinstance(node, dict):
            return FormEntry(at, "", (self._part(_texts_of(shape), node, at),))
        return FormEntry(at, _called(node), self._parts(shape, node, at))

    def _parts(self, shape: FieldShape, node: Mapping[str, Any], at: KeyPath) -> tuple[FormPart, ...]:
        first = FIRST.get(f"{self.kind}.{shape.at}", "").split()
        keys = [*first, *(key for key in shape.inner if key not in first)]
        return tuple(
            self._part(shape.inner[key], node[key], (*at, key), folded=bool(first) and key not in first) for key in keys
        )


def _texts_of(shape: FieldShape) -> FieldShape:
    """A row of words, as the field it is."""
    return FieldShape(shape.key, shape.at, "texts", says=shape.says)


def _called(node: Mapping[str, Any]) -> str:
    """What an entry is known by: its title, its id, else the first that it says."""
    told: Sequence[Any] = (node.get("title"), node.get("id"), *node.values())
    return next((each.split("\n")[0] for each in told if isinstance(each, str) and each), "")
