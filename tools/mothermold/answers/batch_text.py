"""The text of a batch sheet."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from mothermold.answers.batch_room import room_words
from mothermold.answers.result import Result, notices_text


def batch_text(result: Result) -> str:
    """A batch sheet for people, with its notices."""
    # Where the file as it is now cannot be read, that has to be known before anything is weighed.
    first = any(each.severity == "error" or each.code == "locked-changed" for each in result.notices)
    text, told = _sheet_text(result.data), notices_text(result)
    return told.lstrip("\n") + "\n" + text if first else text + told


def _sheet_text(data: Mapping[str, Any]) -> str:
    """A batch sheet for people, without its notices."""
    if "not_poured" in data:
        return _poured_text(data)
    fill = f", for {data['fill_ml']:.1f} ml" if data["fill_ml"] is not None else ""
    (portion,) = data["portions"]
    count, parts = portion["count"], portion["parts"]
    lines = [
        f"{data['recipe']}@{data['version']}, mix {data['mix']}{fill}",
        *([f"  {data['grown_from']}"] if data["grown_from"] else []),
        "",
        *([f"  {count} portions of this, each weighed by itself:", ""] if count > 1 else []),
        f"  {'':<34} {'weigh':>10}  {'scale reads':>11}  {'share':>7}",
    ]
    for part in parts:
        if part["said"]:
            lines.append(f"  {part['said']}")
        if part["weigh"] is None:
            lines.append(f"  {part['material']:<34} {part['as_written'] or 'density missing':>10}")
            continue
        share = f"{part['percent_of_total']:.1f} %" if part["percent_of_total"] is not None else ""
        lines.append(f"  {part['material']:<34} {part['weigh']:>8.2f} g  {part['scale_reads']:>9.2f} g  {share:>7}")
    printed = sum(part["weigh"] or 0 for part in parts)
    volume = f", {data['total_ml']:.1f} ml" if data["total_ml"] is not None else ""
    extra = data["fill_ml"] is not None and data["total_ml"] is not None and data["total_ml"] > data["fill_ml"]
    of_one = f"{printed:.2f} g a portion, in all " if count > 1 else ""
    lost = ", with what is lost in cups and on the stick" if extra else ""
    lines += ["", f"  together {of_one}{printed * count:.2f} g{volume}{lost}"]
    for each in data["in_the_cup"]:
        grams, over = abs(each["add_g"]), each["add_g"] < 0
        what = (
            f"{each['material']} is over by {grams:.2f} g" if over else f"first add {grams:.2f} g of {each['material']}"
        )
        lines.append(f"  weighed as the recipe's own batch, {what}")
    lines += _room(data)
    lines += ["", *_readings(data)]
    return "\n".join(lines) + "\n"


def _poured_text(data: Mapping[str, Any]) -> str:
    """What was really mixed, beside the recipe."""
    lines = [
        f"{data['recipe']}@{data['version']}, mix {data['mix']}, as it was poured",
        "",
        f"  {'':<34} {'poured':>10}  {'in the cup':>11}  {'share':>7}  {'recipe':>7}  {'off':>8}",
    ]
    for part in data["parts"]:
        recipe = f"{part['recipe_percent']:.1f} %" if part["recipe_percent"] is not None else "?"
        off = f"{part['off_percent']:+.1f} %" if part["off_percent"] is not None else "?"
        lines.append(
            f"  {part['material']:<34} {part['grams']:>8.2f} g  {part['scale_reads']:>9.2f} g  "
            f"{part['percent_of_total']:>5.1f} %  {recipe:>7}  {off:>8}"
        )
    volume = f", {data['total_ml']:.1f} ml" if data["total_ml"] is not None else ""
    lines += ["", f"  together {data['total_g']:.2f} g{volume}"]
    if data["not_poured"]:
        without = ", ".join(data["not_poured"])
        lines.append(f"  without {without}: all shares, the recipe's too, are of what is in the cup so far")
    if data["not_known"]:
        lines.append(
            f"  how far it is off is not known: the density of {', '.join(data['not_known'])} is not in the book"
        )
    return "\n".join([*lines, *_room(data), "", *_readings(data)]) + "\n"


def _room(data: Mapping[str, Any]) -> list[str]:
    if data["room"] is None:
        return []
    return ["", f"  at {data['room']['deg_c']:g} degC:", *(f"    {each}" for each in room_words(data["room"]))]


def _readings(data: Mapping[str, Any]) -> list[str]:
    """Every reading of every share; by weight is said where the mix is written by volume, for there the two differ."""
    weighed = ", by weight" if "volume" in data["measures"] else ""
    said: dict[str, list[str]] = {}
    for reading in data["readings"]:
        recipe = reading.get("recipe_percent")
        beside = "" if recipe is None else f" (recipe {recipe:.4g} %, {reading['off_percent'] or 0:+.3g} %)"
        words = f"{reading['percent']:.4g} % of {_of(reading['of'])}{weighed}{beside}"
        said.setdefault(reading["part"], []).append(words)
    return [f"  {part}: {'; '.join(ways)}" for part, ways in said.items()]


def _of(of: str | list[str]) -> str:
    if isinstance(of, list):
        return " + ".join(of)
    return {"the-rest": "the rest", "total": "the total"}[of]
