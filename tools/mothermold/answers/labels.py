"""What stands on labels: the pieces that runs kept and the lots of materials, each leading to the document it stands in."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from mothermold.answers.records import all_runs, dated_title
from mothermold.book.files import build_of
from mothermold.find.index import Entry
from mothermold.model.material import Material
from mothermold.model.run import Kept, Run
from mothermold.view.view import View


def label_entries(view: View) -> Iterator[Entry]:
    """The labels of the pieces and lots an edition holds, to be found by what is typed off them."""
    yield from _pieces(view)
    yield from _lots(view)


def _pieces(view: View) -> Iterator[Entry]:
    uses: dict[tuple[str | None, str], list[str]] = defaultdict(list)
    for run in all_runs(view):
        for worn in run.used:
            then = f": {worn.then}" if worn.then else ""
            uses[_build(view, run), str(worn.piece)].append(f"used in {dated_title(view, run)}{then}")
    for run in all_runs(view):
        for kept in run.kept:
            label = str(kept.piece)
            lines = [*_kept_lines(kept), *uses[_build(view, run), label]]
            title = f"Piece {label}: {dated_title(view, run)}"
            yield Entry(label, "piece", title, label, "\n".join(lines), ("run", str(run.id)))


def _build(view: View, run: Run) -> str | None:
    """The build a run belongs to; a piece's label is one of a kind within it."""
    return build_of(view.that_says(run).file)


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
    for run in all_runs(view):
        for used in run.lots:
            lot_of = str(used.material), str(used.lot)
            lines.setdefault(lot_of, []).append(f"used in {dated_title(view, run)}")
            held = used.material in materials
            leads.setdefault(lot_of, ("material", str(used.material)) if held else ("run", str(run.id)))
    for (name, number), told in lines.items():
        called = materials[name].title if name in materials else name
        text = "\n".join(each for each in told if each)
        yield Entry(number, "lot", f"Lot {number}: {called}", number, text, leads[name, number])
