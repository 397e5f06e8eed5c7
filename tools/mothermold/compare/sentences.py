"""A change said in trade terms, one sentence, for someone who knows the recipe and not the file."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, Final

from mothermold.compare.change import Change
from mothermold.compare.fields import Leaf, Node, node_at
from mothermold.compare.pairing import bare
from mothermold.compare.phrases import Phrase, phrase_for
from mothermold.compare.showing import Titles, all_of, amount_words, capital, shown, titled
from mothermold.compare.words import line_changes, rewordings
from mothermold.model.names import Name, Reference

# The lists whose entries stand at the head of a sentence about what is in them.
_HEADS: Final = ("mixes", "steps")


def sentence(change: Change, titles: Titles, *, same_weight: bool = False) -> str:
    """One sentence for one change.

    Args:
        change: The change.
        titles: Names for materials, mixes (by id) and steps (by id).
        same_weight: Whether a part is said in another way and weighs what it weighed.
    """
    node, named = node_at(change.path)
    if change.amounts is not None:
        said = _amounts(change, change.amounts, titles, same_weight=same_weight)
    elif named[-1:] == [len(change.path) - 1]:
        said = _ENTRIES[change.action](change, titles)
    else:
        said = _field(change, node, named[-1] if named else None, titles)
    place = f"{titled(change.path[1], titles)}: " if change.path[0] in _HEADS and len(change.path) > 2 else ""
    return f"{capital(place + said).rstrip('.')}."


def _amounts(change: Change, amounts: tuple[Any, Any], titles: Titles, *, same_weight: bool) -> str:
    """How much of a part goes in, on both sides, with what a percent is of."""
    old, new = amounts
    it = titled(change.path[3], titles)
    before, after = amount_words(old, titles), amount_words(new, titles)
    if same_weight:
        return f"{it} {before} → the same weight, said as {after}"
    if not before:
        return f"{it}, now {after}, not stated before"
    if not after:
        return f"{it}, how much no longer stated (was {before})"
    if "match" in old and "match" in new:
        return f"{it} {after} now, not to {old['match']}"
    if "percent" in old and "percent" in new and old.get("of") == new.get("of"):
        before = shown(old["percent"], "percent", titles)
    return f"{it} {before} → {after}"


# Entries of lists.


def _kind_of_entry(change: Change, entry: Any, titles: Titles) -> str:
    """An entry with the word for what it is: a step and a mix by their titles, a picture by its caption."""
    kind, key = change.path[-2], change.path[-1]
    said = entry if isinstance(entry, Mapping) else {}
    if kind == "pictures":
        return f"picture “{str(said.get('caption') or bare(key)).rstrip('.')}”"
    name = str(said.get("title") or titled(key, titles))
    words = {
        "steps": f"step *{name}*",
        "mixes": f"mix *{name}*",
        "surfaces": f"surface {name}",
        "parts": name,
        "uses": name,
    }
    return words.get(kind, f"{name} ({kind.replace('_', ' ')})")


def _came(change: Change, titles: Titles) -> str:
    kind, entry = change.path[-2], change.after
    it = _kind_of_entry(change, entry, titles)
    if kind == "uses":
        return f"now uses {it}{_use_words(entry, titles)}"
    if kind == "steps":
        return f"{it} added {f'after *{titled(change.place, titles)}*' if change.place else 'at the beginning'}"
    told = amount_words(entry, titles) if kind == "parts" else _of_surface(entry, titles) if kind == "surfaces" else ""
    return f"{it} added{told and f', {told}'}"


def _went(change: Change, titles: Titles) -> str:
    it = _kind_of_entry(change, change.before, titles)
    if change.path[-2] == "uses":
        return f"no longer uses {it}{_use_words(change.before, titles)}"
    told = amount_words(change.before, titles) if change.path[-2] == "parts" else ""
    return f"{it} removed{told and f' (was {told})'}"


def _moved(change: Change, titles: Titles) -> str:
    it = _kind_of_entry(change, None, titles)
    verb = {"parts": "now goes in", "uses": "is now used"}.get(change.path[-2], "moved")
    if change.after:
        after = titled(change.after, titles)
        if change.path[-2] == "pictures":
            return f"{it} now stands after “{after}”"
        return f"{it} {verb} after {f'*{after}*' if change.path[-2] == 'steps' else after}"
    if change.path[-2] == "pictures":
        return f"{it} now stands first"
    return f"{it} {verb} {'to the beginning' if verb == 'moved' else 'first'}"


def _replaced(change: Change, titles: Titles) -> str:
    old, new = change.before, change.after
    was, now = (titled(str(each.get("material") or each.get("mix")), titles) for each in (old, new))
    if change.path[-2] == "uses":
        return f"now uses {now}{_use_words(new, titles)}; no longer {was}{_use_words(old, titles)}"
    before, after = amount_words(old, titles), amount_words(new, titles)
    return f"{was}{before and f', {before},'} replaced by {now}{after and f', {after}'}"


_ENTRIES: Final[dict[str, Callable[[Change, Titles], str]]] = {
    "added": _came, "removed": _went, "moved": _moved, "changed": _replaced,
}  # fmt: skip


def _use_words(use: Mapping[str, Any], titles: Titles) -> str:
    """Where it goes, how much of it, and as what: `` on mold-face, 10 ml (release)``."""
    told = f" on {shown(use['on'], 'on', titles)}" if "on" in use else ""
    told += f", {use['amount']}" if "amount" in use else ""
    return told + (f" ({use['as']})" if "as" in use else "")


def _of_surface(surface: Mapping[str, Any], titles: Titles) -> str:
    if "material" in surface:
        return f"of {titled(surface['material'], titles)}"
    return f"the {surface['surface']} of the {surface['from']}" if {"surface", "from"} <= surface.keys() else ""


# Fields.


def _field(change: Change, node: Node, entry: int | None, titles: Titles) -> str:
    """A field, in the entry that a place of its path names."""
    path, key = change.path, change.path[-1]
    it = "" if entry is None else titled(path[entry], titles)
    # Behind the name of an entry stands the list it is in.
    group = "recipe" if len(path) == 1 else path[-3] if entry == len(path) - 2 else path[-2]
    phrase = phrase_for(group, key, node, within=entry is not None and (entry > 1 or path[0] not in _HEADS))
    if isinstance(node, Leaf) and node.many and issubclass(node.holds, str):
        names = issubclass(node.holds, Name | Reference)
        return _list(change, phrase, it, titles) if names else _lines(change, phrase, it)
    before, after = (shown(each, key, titles) or "nothing" for each in (change.before, change.after))
    return phrase.said(change.action).format(b=before.rstrip("."), a=after.rstrip("."), it=it)


def _names(value: Any) -> list[str]:
    return [] if value is None else [str(each) for each in value] if isinstance(value, list) else [str(value)]


def _list(change: Change, phrase: Phrase, it: str, titles: Titles) -> str:
    was, now, field = _names(change.before), _names(change.after), change.path[-1]
    gone = [name for name in was if name not in now]
    come = [name for name in now if name not in was]
    told = []
    if come:
        told.append((phrase.came or f"{phrase.name}, new: {{a}}").format(a=all_of(come, field, titles), it=it))
    if gone:
        went = (phrase.went or f"{phrase.name}, gone: {{b}}").format(b=all_of(gone, field, titles), it=it)
        told.append(went.removeprefix(f"{it} ") if come else went)
    return "; ".join(told) or f"{phrase.name.format(it=it)}: the same, in another order"


def _lines(change: Change, phrase: Phrase, it: str) -> str:
    told = lines_said(_names(change.before), _names(change.after))
    return f"{phrase.name.format(it=it)}: {told or 'the same lines in another order'}"


def _unclosed(pair: tuple[str, str]) -> tuple[str, str]:
    """Two wordings without the stop at their ends, where that is not all that sets them apart."""
    old, new = (each.rstrip(".") for each in pair)
    return (old, new) if old != new else pair


def lines_said(before: Sequence[str], after: Sequence[str]) -> str:
    """Of lines to be read, which came, which went and which were reworded; nothing where only their order changed."""
    told = []
    for was, now in line_changes(before, after):
        if was is None:
            told.append(f"added “{str(now).rstrip('.')}”")
        elif now is None:
            told.append(f"removed “{was.rstrip('.')}”")
        else:
            told += [f"reworded “{old}” → “{new}”" for old, new in map(_unclosed, rewordings(was, now))]
    return "; ".join(told)
