"""A change said in trade terms, one sentence, for someone who knows the recipe and not the file."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

from mothermold.compare.differences import Change, bare
from mothermold.quantities.wording import percent_words

Titles = Mapping[str, str]
"""What materials, mixes and steps are called, by name or id; what is missing is called by its name."""

_FIELD_WORDS: Final[dict[str, str]] = {
    "hands_on": "hands-on time", "may_pause": "a pause", "left_in_cups": "left in cups",
    "smallest_batch": "smallest batch", "largest_batch": "largest batch", "pot_life": "pot life",
    "full_cure": "full cure", "with": "equipment or action", "fills": "fill", "do": "how it is done", "on": "where it goes",
    "as": "use", "of": "base of the percent", "usual": "usual wait", "longest": "longest wait", "watch": "watch-outs",
    "by": "measured by", "at": "temperature", "yields": "yield", "needs": "what must be at hand", "starts": "starts the clock of",
    "thick": "thickness", "holds": "keeps busy", "once": "done once for", "what": "what is waited for",
    "between": "between coats", "last": "after the last coat", "percent": "percent", "after": "comes after", "off": "how it comes off a person",
}  # fmt: skip

_LISTS: Final[dict[str, str]] = {
    "steps": "Step", "mixes": "Mix", "parts": "Part", "uses": "Use of", "surfaces": "Surface", "pictures": "Picture",
}  # fmt: skip


def sentence(change: Change, titles: Titles) -> str:
    """One sentence for one change.

    Args:
        change: The change.
        titles: Names for materials, mixes (by id) and steps (by id).
    """
    said = _of_sentence(change, titles) if change.path[-1] == "of" else _SENTENCES[change.action](change, titles)
    return f"{_capital(said.rstrip('.'))}."


def _title(name: str, titles: Titles) -> str:
    return titles.get(bare(name), bare(name))


def _place(path: tuple[str, ...], titles: Titles) -> str:
    """Where a change sits, as the start of a sentence: the mix or step it belongs to."""
    if path[0] in ("mixes", "steps") and len(path) > 2:
        return f"{_title(path[1], titles)}: "
    return ""


def _is_entry(path: tuple[str, ...]) -> bool:
    return len(path) >= 2 and path[-2] in _LISTS


def _entry(path: tuple[str, ...], titles: Titles) -> str:
    name = _title(path[-1], titles)
    # "Deadener added" needs no "part" before it; a step or a mix is told by its title.
    if path[-2] == "parts":
        return name
    return f"{_LISTS[path[-2]]} *{name}*" if path[-2] in ("steps", "mixes") else f"{_LISTS[path[-2]]} {name}"


def _words(field: str) -> str:
    return _FIELD_WORDS.get(field, field.replace("_", " "))


def _show(value: Any, field: str, titles: Titles) -> str:
    if isinstance(value, Mapping):
        return ", ".join(f"{_words(key)} {_show(inner, key, titles)}" for key, inner in value.items())
    if isinstance(value, list | tuple):
        return ", ".join(_show(inner, field, titles) for inner in value)
    if field == "parts":
        return f"{value} part" if str(value) == "1" else f"{value} parts"
    if field in ("percent", "share"):
        return percent_words(value)
    if field == "of":
        return _of(value, titles)
    if field == "title":
        return f"“{value}”"
    return _title(value, titles) if field in _NAMING else str(value)


# Fields whose value is the id or name of something that has a title.
_NAMING: Final = frozenset({"after", "starts", "watch", "demold", "full_cure", "material", "with"})


def _added(change: Change, titles: Titles) -> str:
    path = change.path
    if _is_entry(path):
        where = _place(path, titles)
        if path[-2] == "steps":
            place = f" after *{_title(change.place, titles)}*" if change.place else " at the beginning"
            return f"{_entry_of(change.after, path, titles)} added{place}."
        return f"{where}{_entry_of(change.after, path, titles)} added{_amount(change.after, titles)}."
    return _capital(f"{_subject(path, titles)} added: {_show(change.after, path[-1], titles)}.")


def _entry_of(entry: Any, path: tuple[str, ...], titles: Titles) -> str:
    said = entry if isinstance(entry, Mapping) else {}
    title, caption = said.get("title"), said.get("caption")
    if path[-2] == "pictures" and caption:
        return f"Picture “{str(caption).rstrip('.')}”"
    return f"{_LISTS[path[-2]]} *{title}*" if title else _entry(path, titles)


def _amount(entry: Any, titles: Titles) -> str:
    if not isinstance(entry, Mapping):
        return ""
    if "percent" in entry:
        return f", {percent_words(entry['percent'])} of {_of(entry.get('of', 'the mix'), titles)}"
    if isinstance(entry.get("parts"), str):
        return f", {_show(entry['parts'], 'parts', titles)}"
    return f", {entry['amount']}" if "amount" in entry else ""


def _of(names: Any, titles: Titles) -> str:
    if isinstance(names, list):
        return " + ".join(_of(name, titles) for name in names)
    premix, slash, inner = str(names).partition("/")
    if slash:
        return f"the {_title(inner, titles)} in {_title(premix, titles)}"
    return {"the-rest": "the rest", "total": "the total"}.get(names, _title(names, titles))


def _of_sentence(change: Change, titles: Titles) -> str:
    subject = _subject(change.path[:-1], titles)
    if change.before is None or change.after is None:
        base = change.after or change.before
        return f"{subject}: {'now' if change.before is None else 'no longer'} a percent of {_of(base, titles)}"
    return f"{subject}: a percent of {_of(change.before, titles)} → of {_of(change.after, titles)}"


def _removed(change: Change, titles: Titles) -> str:
    if _is_entry(change.path):
        return f"{_place(change.path, titles)}{_entry_of(change.before, change.path, titles)} removed."
    return _capital(f"{_subject(change.path, titles)} removed (was {_show(change.before, change.path[-1], titles)}).")


def _moved(change: Change, titles: Titles) -> str:
    where = f"after *{_title(change.after, titles)}*" if change.after else "to the beginning"
    return f"{_place(change.path, titles)}{_entry(change.path, titles)} moved {where}."


def _changed(change: Change, titles: Titles) -> str:
    path = change.path
    if _is_entry(path):
        new = str(change.after.get("material") or change.after.get("mix"))
        old = _title(path[-1], titles)
        return f"{_place(path, titles)}{old}{_amount(change.before, titles)} replaced by {_title(new, titles)}{_amount(change.after, titles)}."
    if change.kind == "wording" and path[-1] in ("do", "check", "needs", "what", "caption"):
        return _capital(f"{_subject(path, titles)} reworded.")
    if isinstance(change.before, list) and isinstance(change.after, list):
        return _list_changed(change, titles)
    before, after = _show(change.before, path[-1], titles), _show(change.after, path[-1], titles)
    return _capital(f"{_subject(path, titles)} {before} → {after}.")


def _list_changed(change: Change, titles: Titles) -> str:
    gone = [name for name in change.before if name not in change.after]
    come = [name for name in change.after if name not in change.before]
    told = []
    if come:
        told.append("added " + ", ".join(_title(name, titles) for name in come))
    if gone:
        told.append("removed " + ", ".join(_title(name, titles) for name in gone))
    return _capital(f"{_subject(change.path, titles)}: {'; '.join(told) or 'another order'}.")


def _subject(path: tuple[str, ...], titles: Titles) -> str:
    """What changed: the mix or step, the part or use in it, the field in words."""
    place = _place(path, titles)
    fields = path[2:] if place else path
    words: list[str] = []
    index = 0
    while index < len(fields):
        field = fields[index]
        if field in _LISTS and index + 1 < len(fields):
            words.append(_title(fields[index + 1], titles))
            index += 2
            continue
        # "Deadener 60 % → 80 %" and "coats 5 → 8" say which field it is by themselves.
        if not (field in ("percent", "parts", "count") and words):
            words.append(_words(field))
        index += 1
    return place + " ".join(words)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


_SENTENCES: Final[dict[str, Callable[[Change, Titles], str]]] = {
    "added": _added, "removed": _removed, "moved": _moved, "changed": _changed,
}  # fmt: skip
