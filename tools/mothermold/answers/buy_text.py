"""What to cast and to buy as text, and as a table for a spreadsheet."""

from __future__ import annotations

import csv
import io
import textwrap
from collections.abc import Iterator, Mapping
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from mothermold.answers.result import Result, cautions_text, notices_text
from mothermold.quantities.wording import minutes_in_words, plain_number


def money(value: float | None, currency: str | None = None) -> str:
    """An amount of money with two decimals, halves up; where it is not known it says so."""
    if value is None:
        return "not known"
    # The float is the nearest to an exact sum: its shortest digits are the sum's own.
    rounded = Decimal(repr(value)).quantize(Decimal("0.01"), ROUND_HALF_UP)
    return f"{rounded} {currency}" if currency else str(rounded)


def hours_words(minutes: float) -> str:
    """Working time: ``45 min``, ``3 h 20 min``, ``117 h``; never in days, for those have no fixed hours."""
    return minutes_in_words(minutes) if minutes < 48 * 60 else f"{minutes / 60:.0f} h"


def buy_text(result: Result) -> str:
    """The answer as text."""
    data = result.data
    if data["csv"] is not None:
        return str(data["csv"])
    told = "\n".join(_lines(data)) + "\n"
    return told + cautions_text(result) + notices_text(result)


def casting_words(row: Mapping[str, Any]) -> tuple[str, str]:
    """How many castings of a thing to make, in a sentence, and in another what that goes by; empty where there is none."""
    wanted = f"{row['wanted']} good {'piece' if row['wanted'] == 1 else 'pieces'} wanted, {row['kept']} kept"
    if not row["needed"]:
        return f"nothing to cast ({wanted}).", ""
    record = (
        f"{row['came_good']} of {row['on_record']} pieces on record came good"
        if row["on_record"]
        else "no casting is on record"
    )
    sure = f"{plain_number(row['confidence'] * 100)} % sure"
    if row["cast"] is None and row["by_record"] is None:
        made = "how many castings is not known"
    elif row["cast"] is None:
        made = f"perhaps {_castings(row['by_record'])} by the short record ({sure})"
    else:
        made = f"make {_castings(row['cast'])} ({sure})"
    by_rate = (
        f"at {plain_number(row['rate'] * 100)} % good it is {row['by_rate']}" if row["by_rate"] is not None else ""
    )
    by_record = f"by the record alone {row['by_record']}" if row["by_record"] is not None and by_rate else ""
    several = f"a casting gives {row['a_casting']}" if row["a_casting"] > 1 else ""
    each = ", ".join(f"{kind['kind']} {kind['needed']}" for kind in row["kinds"])
    more = "; ".join(filter(None, (record, by_rate, by_record, several, each)))
    ones = "good one" if row["needed"] == 1 else "good ones"
    return f"{made} for {row['needed']} {ones} ({wanted}).", f"{more[:1].upper()}{more[1:]}."


def _castings(count: int) -> str:
    return f"{count} {'casting' if count == 1 else 'castings'}"


def pack_words(row: Mapping[str, Any]) -> tuple[str, str, str]:
    """What of a material is needed, what is in hand, and what to buy."""
    unit = row["unit"]
    have = "not known" if row["have"] is None else f"{_round(row['have'])} {unit}"
    buy = ", ".join(
        f"{each['count']} x {plain_number(each['size'], 6)} {unit}"
        + (f" at {money(each['price'])}" if each["price"] is not None else "")
        for each in row["buy"]
    )
    enough = row["have"] is not None and row["have"] >= row["need"]
    return (
        f"{_round(row['need'])} {unit if row['need'] != 1 else unit.removesuffix('s')}",
        have,
        buy or ("enough" if enough else "no pack is written"),
    )


def _round(value: float) -> str:
    return f"{value:.0f}" if value >= 100 else plain_number(value, 3)


def cost_words(row: Mapping[str, Any], currency: str | None) -> str:
    """What a good piece costs, and of what."""
    least = "at least " if row["at_least"] else ""
    if row["cost"] is None:
        return f"not known; {_hands(row)}"
    parts = ", ".join(f"{name} {money(value)}" for name, value in row["parts"].items() if value)
    if not row["scrap_known"]:
        parts += ", scrap not known"
    hours = f"; with hours {money(row['with_hours'], currency)}" if row["with_hours"] is not None else ""
    return f"{least}{money(row['cost'], currency)} ({parts}); {_hands(row)}{hours}"


def _hands(row: Mapping[str, Any]) -> str:
    """How long hands are busy, and how far that can be trusted."""
    untimed, by_runs = len(row["steps_untimed"]), len(row["steps_by_runs"])
    told = f"{'at least ' if untimed else ''}{hours_words(row['minutes'])} of hands"
    if untimed:
        told += f", {untimed} {'step does' if untimed == 1 else 'steps do'} not say how long"
    if by_runs:
        told += f", {by_runs} {'step' if by_runs == 1 else 'steps'} as your runs had {'it' if by_runs == 1 else 'them'}"
    return told


def quote_words(quote: Mapping[str, Any], currency: str | None) -> str:
    """The whole build in a sentence, without hours and with them."""
    least = "at least " if quote["at_least"] else ""
    hours = f"{'at least ' if quote['steps_untimed'] else ''}{hours_words(quote['hours'] * 60)} of hands"
    if quote["with_hours"] is None:
        return f"Without hours {least}{money(quote['without_hours'], currency)}; {hours}, which cost what `--hour-rate` says."
    rate = money(quote["hour_rate"], currency)
    return f"Without hours {least}{money(quote['without_hours'], currency)}; with {hours} at {rate} {least}{money(quote['with_hours'], currency)}."


def total_words(data: Mapping[str, Any]) -> str:
    """What all packs cost."""
    least = "at least " if data["total_at_least"] else ""
    return f"In all {least}{money(data['total'], data['currency'])}"


def _lines(data: Mapping[str, Any]) -> Iterator[str]:
    yield _head(data)
    yield ""
    yield "To cast"
    for row in data["castings"]:
        made, why = casting_words(row)
        yield from _wrap(f"{row['thing']}: {made}", 96, initial_indent="  ", subsequent_indent="    ")
        yield from _wrap(why, 96, initial_indent="    ", subsequent_indent="    ")
    yield ""
    yield "To buy" + (f", good until {data['until']}" if data["until"] else "")
    rows = [(row["title"], *pack_words(row), row["price"]) for row in data["packs"]]
    widths = [max((len(row[at]) for row in rows), default=0) for at in range(3)]
    for title, need, have, buy, price in rows:
        cost = f"  = {money(price)}" if price else ""
        yield f"  {title:<{widths[0]}}  needs {need:<{widths[1]}}  in hand {have:<{widths[2]}}  {buy}{cost}"
    yield f"  {total_words(data)}." if rows else "  nothing."
    if data["to_make"]:
        yield f"  With what is not made yet: {', '.join(data['to_make'])}."
    yield ""
    yield "A good piece costs"
    for row in data["per_piece"]:
        yield from _wrap(
            f"{row['thing']}: {cost_words(row, data['currency'])}", 96, initial_indent="  ", subsequent_indent="    "
        )
    yield ""
    yield from _wrap(f"The whole build: {quote_words(data['quote'], data['currency'])}", 96, subsequent_indent="  ")
    if data["unsure"]:
        yield ""
        yield "Not counted, and why"
        for line in data["unsure"]:
            yield from _wrap(line, 96, initial_indent="  ", subsequent_indent="    ")


def _wrap(text: str, width: int, initial_indent: str = "", subsequent_indent: str = "") -> list[str]:
    return textwrap.wrap(
        text, width, initial_indent=initial_indent, subsequent_indent=subsequent_indent, break_on_hyphens=False
    )


def _head(data: Mapping[str, Any]) -> str:
    if data["until"] is None:
        return (
            f"{data['build']}: no day is still to come after {data['today']}."
            if data["today"]
            else f"{data['build']}: no day is written."
        )
    return f"{data['build']}: for the days after {data['today'] or 'today'}, up to {data['until']}"


def as_csv(data: Mapping[str, Any]) -> str:
    """The list to buy, a line a pack size; amounts with a point, two decimals of money."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(
        ("material", "unit", "need", "in hand", "pack", "count", "price of a pack", "price", "currency", "by")
    )
    for row in data["packs"]:
        for each in row["buy"] or [None]:
            price = each["price"] if each else None
            writer.writerow(
                (
                    _cell(row["title"]),
                    row["unit"],
                    f"{row['need']:.10g}",
                    "" if row["have"] is None else f"{row['have']:.10g}",
                    f"{each['size']:.10g}" if each else "",
                    each["count"] if each else 0,
                    "" if price is None else money(price),
                    "" if price is None or not each else money(price * each["count"]),
                    data["currency"] or "",
                    row["by"] or "",
                )
            )
    return out.getvalue()


def _cell(text: str) -> str:
    """A text as a cell: what begins like a sum is no sum."""
    return f"'{text}" if text[:1] in ("=", "+", "-", "@") else text
