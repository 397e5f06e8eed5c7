"""What stands on labels: the pieces that runs kept and the lots of materials, each leading to the document it stands in."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from functools import partial
from typing import Any

from mothermold.answers.records import dated_title
from mothermold.book.files import build_of
from mothermold.find.index import Entry
from mothermold.model.material import Material
from mothermold.model.names import mended_name
from mothermold.model.run import Kept, Run
from mothermold.view.sums import entry_by_entry
from mothermold.view.view import View


def label_entries(view: View) -> Iterator[Entry]:
    """The labels of the pieces and lots an edition holds, to be found by what is typed off them."""
    yield from _pieces(view)
    yield from _lots(view)


def _facts(view: View, name: str) -> dict[str, Any]:
    """What a run says of pieces and lots; nothing where it says nothing of either."""
    document = view.of(Run)[name]
    run = document.model
    if not (run.used or run.kept or run.lots):
        return {}
    return {
        "run": str(run.id),
        "called": dated_title(view, run),
        "build": build_of(document.file),
        "used": [[str(worn.piece), str(worn.then or "")] for worn in run.used],
        "kept": [[str(kept.piece), list(_kept_lines(kept))] for kept in run.kept],
        "lots": [[str(used.material), str(used.lot)] for used in run.lots],
    }


def _told(view: View) -> list[dict[str, Any]]:
    """The same of all runs that say something, oldest first."""
    names = view.evidence.lineage.names
    return list(filter(None, (view.made.of(f"run/{name}: labels", partial(_facts, view, name)) for name in names)))


@entry_by_entry("pieces-kept")
def pieces_kept(view: View) -> dict[str, dict[str, str]]:
    """By build the pieces that runs of it kept: by the name its page goes by the label of each, oldest first."""
    found: dict[str, dict[str, str]] = {}
    for run in _told(view):
        for label, _lines in run["kept"]:
            if run["build"] not in view.on("build"):
                continue
            pages = found.setdefault(run["build"], {})
            if label in pages.values():
                continue
            name = mended_name(label)
            pages[name if name not in pages else f"{name}-{len(pages) + 1}"] = label
    return found


def _pieces(view: View) -> Iterator[Entry]:
    uses: dict[tuple[str | None, str], list[str]] = defaultdict(list)
    for run in _told(view):
        for piece, then in run["used"]:
            uses[run["build"], piece].append(f"used in {run['called']}{f': {then}' if then else ''}")
    for run in _told(view):
        for label, lines in run["kept"]:
            said = "\n".join([*lines, *uses[run["build"], label]])
            yield Entry(label, "piece", f"Piece {label}: {run['called']}", label, said, ("run", run["run"]))


def _kept_lines(kept: Kept) -> Iterator[str]:
    told = (
        str(kept.grade or ""),
        f"box {kept.box}" if kept.box else "",
        f"for {kept.day}" if kept.day else "",
    )
    if any(told):
        yield ", ".join(each for each in told if each)


def _lots(view: View) -> Iterator[Entry]:
    materials = view.models(Material)
    lines: dict[tuple[str, str], list[str]] = {}
    leads: dict[tuple[str, str], tuple[str, str]] = {}
    for name, material in materials.items():
        for lot in material.lots:
            days = (("came", lot.got), ("opened", lot.opened), ("use by", lot.use_by))
            lines[name, str(lot.lot)] = [", ".join(f"{word} {day}" for word, day in days if day)]
            leads[name, str(lot.lot)] = ("material", name)
    for run in _told(view):
        for material, number in run["lots"]:
            lines.setdefault((material, number), []).append(f"used in {run['called']}")
            lead = ("material", material) if material in materials else ("run", run["run"])
            leads.setdefault((material, number), lead)
    for (name, number), told in lines.items():
        called = materials[name].title if name in materials else name
        text = "\n".join(each for each in told if each)
        yield Entry(number, "lot", f"Lot {number}: {called}", number, text, leads[name, number])
