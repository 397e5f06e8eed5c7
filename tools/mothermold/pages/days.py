"""The page of a day in the chair: before it the sheet to work by, during it the place to note at, after it its record.

In the owner's edition alone: it tells who sits where when, which lots were tried on whom, and what was said the next morning.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any, Final

from mothermold.answers.day_record import DayRecord, day_record
from mothermold.answers.day_sheet import DaySheet, LookDay, day_sheet, days_of
from mothermold.model.build import Build
from mothermold.model.kinds import KINDS
from mothermold.pages.addresses import day_page as address_of
from mothermold.pages.batching import as_block
from mothermold.pages.content import Block, Content, Fold, Lead, Section, Widget
from mothermold.pages.day_after import record_sections
from mothermold.pages.day_plan import glance, plan_sections
from mothermold.pages.page import Page, render
from mothermold.pages.saying import Loose, joined, para, section, words
from mothermold.pages.wording import spoken
from mothermold.view.view import View

SCRIPTS: Final = ("bench-book", "bench-run", "bench-keep", "bench-deliver", "day")
"""What notes in two taps, and what of the bench it keeps its entries with."""
WEEKDAYS: Final = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_ZONES: Final = (
    "left corner of the mouth",
    "right corner of the mouth",
    "nose",
    "brows",
    "jaw",
    "left cheek",
    "right cheek",
    "rims and edges",
)
"""Where a face is mended most; offered where a look names no zone (common practice, no source)."""
_MOST_ZONES: Final = 12


def day_at(view: View, name: str, said: str) -> Page | None:
    """The page of a day; None where the build has no such day.

    Args:
        view: The owner's edition.
        name: The build.
        said: The day, as ``2026-05-04``.
    """
    document = view.of(Build).get(name)
    day = next((each for each in days_of(document.model) if each.isoformat() == said), None) if document else None
    if document is None or day is None:
        return None
    sheet = day_sheet(view, document, day)
    shown = content(view, sheet)
    return render(
        view, "content.html", address_of(name, day), shown.title, kind=KINDS["build"], shown=shown, notices=(), rows=(), strips=(),
    )  # fmt: skip


def content(view: View, sheet: DaySheet) -> Content:
    """What the page of a day shows."""
    alone = len(sheet.looks) == 1
    sections: list[Section] = []
    for number, look in enumerate(sheet.looks, 1):
        record = day_record(view, sheet, look, view.day)
        if record is None or record.morning is None or not record.is_over:
            # After the morning nothing of a day is left to note.
            sections.append(section("note", "", Widget("day_notes", as_block(notes_data(view, sheet, look)))))
        sections.append(section("glance", "", glance(sheet, look), para(*_ways(sheet))))
        found = _of_look(view, sheet, look, record, alone=alone)
        # Each place on a page is one of its own.
        sections += found if alone else (replace(each, key=f"{each.key}-{number}") for each in found)
    sections.append(section("scripts", "", Widget("day_scripts", SCRIPTS)))
    return Content(
        f"{WEEKDAYS[sheet.day.weekday()]} {sheet.day.isoformat()}: {sheet.build.title}",
        words("Day in the chair"),
        words(Lead("build", sheet.name)),
        tuple(sections),
    )


def _of_look(view: View, sheet: DaySheet, look: LookDay, record: DayRecord | None, *, alone: bool) -> Iterator[Section]:
    planned = list(plan_sections(view, sheet, look, alone=alone))
    if record is None:
        yield from planned
        return
    yield from record_sections(view, sheet, look, record, alone=alone)
    if record.is_over:
        # What was to be is still there for who wants to see it, and stands back.
        blocks: tuple[Block, ...] = tuple(
            _without_cautions(each) for each in planned if each.blocks and each.key not in {"morning", "pack"}
        )
        yield section("planned", "", Fold(words("As it was planned"), blocks))
    else:
        yield from planned


def _without_cautions(each: Section) -> Section:
    """A section without what can hurt: that is never folded away, and nobody glues on a day that is over."""
    kept = (block for block in each.blocks if not (isinstance(block, Widget) and block.macro == "cautions"))
    return replace(each, blocks=tuple(kept))


def _ways(sheet: DaySheet) -> Iterator[Loose]:
    ways: list[Loose] = [Lead("plan", sheet.name, "The plan")]
    if sheet.earlier is not None:
        ways.append(
            Lead(
                "day",
                f"{sheet.name}/{sheet.earlier.isoformat()}",
                f"the last day in the chair, {sheet.earlier.isoformat()}",
            )
        )
    if sheet.later is not None:
        ways.append(
            Lead(
                "day",
                f"{sheet.name}/{sheet.later.isoformat()}",
                f"the next day in the chair, {sheet.later.isoformat()}",
            )
        )
    yield joined(ways, "; ")
    yield "."


def notes_data(view: View, sheet: DaySheet, look: LookDay) -> Mapping[str, Any]:
    """What the script needs that notes a touch-up, a meal or a photo in two taps: into which run, and which zones to offer."""
    refs = look.look.wear or look.look.application
    used = [
        str(each.zone)
        for run in (*(look.before.runs if look.before else ()), *sheet.runs)
        for each in run.touch_ups
        if each.zone
    ]
    named = [each.zone for each in look.colors]
    zones = {each.casefold(): each for each in (*used, *named, *_ZONES)}
    return {
        "zone": view.settings.time_zone,
        "recipe": str(refs[0]) if refs else "",
        "name": refs[0].address.rpartition("/")[2] if refs else "",
        "build": sheet.name,
        "look": str(look.look.id),
        "called": spoken(str(look.look.id)) if len(sheet.looks) > 1 else "",
        "day": sheet.day.isoformat(),
        "zones": list(zones.values())[:_MOST_ZONES],
    }
