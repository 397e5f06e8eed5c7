"""Takes what was typed into a form: the new text of the file, or what `check` would say of it, field by field. Nothing is written."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import Any

from mothermold.book.document import read_document
from mothermold.desk.check_ahead import foresee
from mothermold.desk.drafts.moments import said_moment
from mothermold.desk.drafts.questions import NAME as NAME_ASK
from mothermold.desk.drafts.questions import drafted, short_id, unlike
from mothermold.desk.forms.form import BUILD, NAME, Form
from mothermold.desk.forms.layouts import asks, may_be_empty
from mothermold.desk.forms.placing import by_field
from mothermold.desk.forms.rewriting import rewritten
from mothermold.desk.forms.shapes import FieldShape, shapes
from mothermold.desk.forms.trees import Listed, Pairs, entry_to_raw, fields_in, orders_in, origin, with_typed
from mothermold.desk.question import Said
from mothermold.desk.shop import Shop
from mothermold.ground.errors import RefusedError
from mothermold.ground.notices import Notice
from mothermold.model.names import mended_name, name_fault
from mothermold.model.walk import KeyPath
from mothermold.view.view import View


@dataclass(frozen=True, slots=True)
class Sent:
    """What became of a form that was sent.

    Attributes:
        kind: The kind of document.
        address: What others call it, or will.
        file: Where it lies, or will.
        was: The text it was made of; None where there is no file yet.
        typed: The text with all that was typed, whatever is wrong with it; None where it cannot be written without touching more.
        changed: The fields that say something else than before, and the lists whose entries stand in another order.
        notices: What `check` would say of the file, by field; under ``()`` what belongs to none.
        elsewhere: What it would say of other files, and does not say now.
        stands: Whether it brings no error into the file.
        tree: What it says with all that was typed, as ``trees`` has it.
    """

    kind: str
    address: str
    file: str
    was: str | None
    typed: str | None
    changed: tuple[KeyPath, ...] = ()
    notices: Mapping[KeyPath, tuple[Notice, ...]] = field(default_factory=dict)
    elsewhere: tuple[Notice, ...] = ()
    stands: bool = False
    tree: dict[str, Any] = field(default_factory=dict)

    @property
    def text(self) -> str | None:
        """The new text of the file; None where something typed cannot stand."""
        return self.typed if self.stands else None


def sent(view: View, form: Form, pairs: Pairs, now: datetime | None = None, *, apart: bool = False) -> Sent:
    """What would become of the file, were this what was typed.

    Args:
        view: The owner's book.
        form: The form as it was made.
        pairs: What was sent; see ``trees.Pairs``. What nothing was sent for stays.
        now: The time it is, for days that are said as `yesterday`; the clock's unless given.
        apart: Whether it goes elsewhere first: what was typed is then judged by itself, the book may be any edition, and
            nothing is told of what that does not hold.
    """
    shop, inner = Shop(view, now, apart=apart), shapes(form.kind)
    tree = with_typed(inner, form.tree, _moments(shop, form, pairs))
    if form.new and (misnamed := _misnamed(shop, dict(pairs))):
        return Sent(form.kind, "", "", None, None, notices=misnamed, tree=tree)
    _name_entries(shop, inner, tree)
    if form.new and not form.text:
        return _begun(shop, form, tree, dict(pairs))
    address, file = (form.address, form.file) if not form.new else _named(shop, form, tree, dict(pairs))[:2]
    document = read_document(form.kind, address, file, form.text.encode())
    was = None if form.new else form.text
    found = Sent(form.kind, address, file, was, None, tuple(_changed(inner, form.tree, tree)), tree=tree)
    try:
        text = rewritten(document, form.text, inner, form.tree, tree)
    except RefusedError as refusal:
        return replace(found, notices=by_field(document, tree, refusal.notices))
    return _judged(shop, replace(found, typed=text), form, tree)


def sent_text(view: View, form: Form, typed: str) -> Sent:
    """What would become of the file, were this its text: for one that cannot be read, and what fits into no field.

    Args:
        view: The owner's book.
        form: The form of the file.
        typed: The whole text, with line ends as a page sends them.
    """
    text = typed.replace("\r\n", "\n").replace("\r", "\n")
    if text == form.text.replace("\r\n", "\n").replace("\r", "\n"):
        text = form.text
    elif "\r\n" in form.text:
        text = text.replace("\n", "\r\n")
    found = _judged(Shop(view), Sent(form.kind, form.address, form.file, form.text, text), form, {})
    # Of a file that could not be read nobody knows what was wrong behind the damage; it is told, and mended in its fields.
    is_read = isinstance(read_document(form.kind, form.address, form.file, text.encode()).tree.raw, dict)
    return replace(found, stands=is_read and (found.stands or not form.sections))


def _misnamed(shop: Shop, typed: Mapping[KeyPath, str]) -> dict[KeyPath, tuple[Notice, ...]]:
    """Why a new document cannot lie where it was said: no file is looked for under such a name."""
    name, build = typed.get(NAME, "").strip(), typed.get(BUILD, "").strip()
    found: dict[KeyPath, tuple[Notice, ...]] = {}
    if name and (fault := name_fault(name)):
        message, advice = f"`{name}` cannot be a name: it {fault}.", f"Type `{mended_name(name)}`."
        found[NAME] = (Notice("bad-name", "error", message, advice),)
    if build and build not in shop.view.on("build"):
        message, advice = f"No build is called `{build}`.", "Choose one of those offered, or none."
        found[BUILD] = (Notice("unknown-reference", "error", message, advice),)
    return found


def _begun(shop: Shop, form: Form, tree: dict[str, Any], typed: Mapping[KeyPath, str]) -> Sent:
    """A new document, laid out as one begun at the terminal."""
    address, file, text = _named(shop, form, tree, typed)
    changed = tuple(path for path, _shape, said in fields_in(shapes(form.kind), tree) if said)
    return _judged(shop, Sent(form.kind, address, file, None, text, changed), form, tree)


def _named(shop: Shop, form: Form, tree: dict[str, Any], typed: Mapping[KeyPath, str]) -> tuple[str, str, str]:
    """What a new document is called, where it will lie, and its text: as the questions of the terminal make them."""
    whole = FieldShape("", "", "group", inner=shapes(form.kind))
    told = {
        key: each
        for key, each in entry_to_raw(whole, tree).items()
        if each or may_be_empty(form.kind, whole.inner[key])
    }
    said = Said({"_shop": shop, "_kind": form.kind, "_build": typed.get(BUILD, "").strip(), **told})
    ask = asks(form.kind).get("id")
    if "id" in tree and not tree["id"] and ask is not None and said["started"]:
        tree["id"] = said["id"] = ask.default(said)
    said["_name"] = typed.get(NAME, "").strip() or ("" if said["id"] else NAME_ASK.default(said))
    draft = drafted(said)
    return draft.address, draft.file, draft.text


def _judged(shop: Shop, found: Sent, form: Form, tree: dict[str, Any]) -> Sent:
    """The same with what `check` would say."""
    assert found.typed is not None
    if found.typed == found.was:
        return replace(found, notices=form.notices, stands=True)
    document = read_document(found.kind, found.address, found.file, found.typed.encode())
    told: tuple[Notice, ...] = document.notices
    elsewhere: tuple[Notice, ...] = ()
    if document.model is not None and not shop.apart:
        view = shop.view
        every = foresee(view.root, {found.file: found.typed})
        told = tuple(each for each in every if each.file == found.file)
        known = Counter(map(_key, view.notices))
        elsewhere = tuple(each for each in every if each.file != found.file and not known[_key(each)])
    before = _errors(each for held in form.notices.values() for each in held)
    return replace(
        found, notices=by_field(document, tree, told), elsewhere=elsewhere, stands=not _errors(told) - before
    )


def _key(notice: Notice) -> tuple[str, str | None, str]:
    return notice.code, notice.file, notice.message


def _errors(notices: Iterable[Notice]) -> Counter[tuple[str, str | None, str]]:
    return Counter(_key(each) for each in notices if each.severity == "error")


def _moments(shop: Shop, form: Form, pairs: Pairs) -> Pairs:
    """What was typed, with days and times as a document writes them where they were said as at the bench."""
    moments = {shape.at for shape in shapes(form.kind).values() if shape.kind == "moment"}
    typed = dict(pairs).get(("started",), form.tree.get("started"))
    began = _day(said_moment(typed, shop.now, shop.view.settings)) if isinstance(typed, str) else None

    def said(path: KeyPath, text: str) -> str:
        if path[0] not in moments:
            return text
        is_end = path == ("finished",)
        # A time alone is on the day it began.
        return said_moment(text, shop.now, shop.view.settings, day=began if is_end else None, is_end=is_end)

    return [(path, said(path, text)) for path, text in pairs]


def _day(moment: str) -> date | None:
    try:
        return datetime.fromisoformat(moment).date()
    except ValueError:
        return None


def _name_entries(shop: Shop, inner: Mapping[str, FieldShape], new: dict[str, Any]) -> None:
    """Gives new entries an id of their own, where they must have one: from the words they go by."""
    for key, shape in inner.items():
        node = new[key]
        if isinstance(node, Listed):
            if (named := shape.inner.get("id")) is not None and named.needed:
                _name_rows(shop, shape, node)
            for entry in node.values():
                if isinstance(entry, dict):
                    _name_entries(shop, shape.inner, entry)
        elif shape.sort == "group" and isinstance(node, dict):
            _name_entries(shop, shape.inner, node)


def _name_rows(shop: Shop, shape: FieldShape, rows: Listed) -> None:
    # No mix may go by the name of a material.
    taken = [*shop.view.on("material")] if shape.key == "mixes" else []
    taken += [entry["id"] for token, entry in rows.items() if isinstance(token, int) and isinstance(entry, dict)]
    for number, (token, entry) in enumerate(rows.items(), start=1):
        if isinstance(token, int) or not isinstance(entry, dict):
            continue
        if origin(token) is not None and entry["id"] in taken:
            entry["id"] = unlike(entry["id"], taken.__contains__)
        elif not entry["id"]:
            entry["id"] = short_id(str(entry.get("title") or ""), taken, f"{shape.key.removesuffix('s')}-{number}")
        taken.append(entry["id"])


def _changed(inner: Mapping[str, FieldShape], old: dict[str, Any], new: dict[str, Any]) -> Iterator[KeyPath]:
    before = {path: said for path, _shape, said in fields_in(inner, old)}
    after = {path: said for path, _shape, said in fields_in(inner, new)}
    for path in dict.fromkeys([*before, *after]):
        if before.get(path, "") != after.get(path, "") and (before.get(path) or after.get(path)):
            yield path
    orders = dict(orders_in(inner, old))
    for path, tokens in orders_in(inner, new):
        kept = [token for token in orders.get(path, ()) if token in tokens]
        if [token for token in tokens if token in kept] != kept:
            yield path
