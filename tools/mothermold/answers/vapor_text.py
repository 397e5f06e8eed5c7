"""The answer of `vapor` in words, and its limits wherever they are said."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from mothermold.answers.result import Result, cautions_text, notices_text
from mothermold.quantities.wording import bench_minutes
from mothermold.trade.vocabulary import family_words

BURNING_SHARE: Final = 10.0
"""Percent of the lower explosive limit from which on a room's average is said to be near it."""


def vapor_text(result: Result) -> str:
    """The whole answer."""
    return "\n".join(_lines(result.data)) + f"\n\n{cautions_text(result)}{notices_text(result)}"


def _lines(data: Mapping[str, Any]) -> list[str]:
    """What `vapor` answers, line by line: what evaporates, what is over a limit, what is not known."""
    lines = [f"{data['recipe']}@{data['version']}, vapor in the room", ""]
    if not data["steps"] and not data["not_known"]:
        lines.append(
            "  Nothing in it is known to evaporate. This rests on:"
            if data["gives_off_nothing"]
            else "  No step uses a material, so nothing can be said."
        )
        lines += [
            f"      `{each['material']}` ({', '.join(map(family_words, each['families']))}): {each['why']}"
            for each in data["gives_off_nothing"]
        ]
    for row in data["steps"]:
        lines += _vapor_row(row)
    lines += [
        f"  {each['step']}, all together, against {each['kind']}: {each['sum']:.2f} of 1{', over it' if each['sum'] > 1 else ''}"
        for each in data["mixtures"]
    ]
    if len(data["steps"]) > 1:
        lines += [
            f"  All steps in one day: {each['twa_8h_ppm']:.1f} ppm of {each['substance']} over 8 h at most"
            for each in data["day"]
        ]
    if data["not_known"]:
        lines.append("  Not known, and not in the estimate:")
        steps: dict[tuple[str, str], list[str]] = {}
        for each in data["not_known"]:
            steps.setdefault((each["material"], each["why"]), []).extend([each["step"]] if each["step"] else [])
        lines += [
            f"      `{name}`{' at ' if where else ''}{', '.join(where)}: {why}" for (name, why), where in steps.items()
        ]
    return lines


def _vapor_row(row: Mapping[str, Any]) -> list[str]:
    lines = [f"  {row['step']}: {row['grams']:.1f} g of {row['substance']} in {bench_minutes(row['minutes'])}"]
    lines += [f"      {each['words']}" for each in row["usual"]]
    if row["peak_ppm"] is None:
        return [*lines, "      no figures for it: see the maker's sheet"]
    near = " to ".join(f"{each:.0f}" for each in row["near_ppm"])
    lines.append(
        f"      room at most {row['peak_ppm']:.0f} ppm; close to the work {near} ppm; {row['twa_8h_ppm']:.1f} ppm over 8 h"
    )
    lines += [
        f"      over the {limit_called(each)}: {ppm_over(each)} ppm, limit {limit_words(each)} (read: {each['read']})"
        if each["over"]
        else f"      {each['issuer']} {each['kind']}: {limit_words(each)} (read: {each['read']})"
        for each in row["limits"]
    ] or ["      no published limit is known here"]
    if row["lel_percent"] is not None:
        share = f"{row['lel_percent']:.1f} % of the lower explosive limit as the room's average"
        near_lel = f"over the {BURNING_SHARE:.0f} % at which to stop: " if row["near_lel"] else ""
        lines.append(f"      {near_lel}{share}; at the cup and the spray it can burn")
    else:
        lines.append("      no lower explosive limit is known here; at the cup and the spray it can burn")
    return lines


def ppm_over(limit: Mapping[str, Any]) -> str:
    """What a limit is exceeded with, in as many digits as show that it is above."""
    level: float = limit["room_ppm"]
    return next((told for places in range(4) if float(told := f"{level:.{places}f}") > limit["ppm"]), f"{level:g}")


def limit_called(limit: Mapping[str, Any]) -> str:
    """A limit by whose it is and for how long: ``8 h limit of OSHA (PEL)``, ``ceiling of NIOSH``."""
    kind, _, time = str(limit["kind"]).partition(" ")
    return f"{time} limit of {limit['issuer']} ({kind})" if time else f"{kind} of {limit['issuer']}"


def limit_words(limit: Mapping[str, Any]) -> str:
    """A limit in the unit its issuer names it in."""
    return (
        f"{limit['ppm']:g} ppm"
        if limit["mg_m3"] is None
        else f"{limit['mg_m3']:g} mg/m3 (about {limit['ppm']:.0f} ppm)"
    )
