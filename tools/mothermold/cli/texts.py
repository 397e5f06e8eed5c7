"""Answers as text for a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Mapping
from typing import Any, Final

from mothermold.answers.consequences import figure, name_of
from mothermold.answers.evidence import CAUTIONS
from mothermold.answers.opening import lines_of
from mothermold.answers.result import Result
from mothermold.answers.scan import edge_words
from mothermold.answers.troubles import ANSWER_WORDS
from mothermold.cli.changes_text import changes_lines
from mothermold.cli.mix_text import mix_text
from mothermold.cli.vapor_text import vapor_lines
from mothermold.compare.fields import KIND_WORDS
from mothermold.compare.words import rewordings
from mothermold.ground.notices import in_order
from mothermold.ground.rendering import as_text, verdict
from mothermold.quantities.units import UNITS
from mothermold.quantities.wording import bench_minutes, plain_number, weight_in_words

_US_FL_OZ_ML: Final = float(UNITS["US fl oz"].factor)
_METHODS: Final = {
    "clay": "the weight of its clay",
    "water": "water",
    "casting": "the weight of a casting",
    "scan": "scan",
}


def _check(result: Result) -> str:
    notices = in_order(result.notices)
    told = "".join(f"{as_text(notice)}\n" for notice in notices)
    if not notices:
        return "Nothing to say: the book is in order.\n"
    return f"{told}\n{verdict(notices)}. Type `mothermold about CODE` for what a notice means.\n"


def _about(result: Result) -> str:
    data = result.data
    if data["code"] is None:
        return "".join(f"{row['code']:<24} {row['severity']:<8} {row['title']}\n" for row in data["codes"])
    lines = [f"{data['code']} ({data['severity']})", "", data["title"], "", *textwrap.wrap(data["why"], 96), ""]
    for word in ("wrong", "right"):
        if data[word]:
            lines += [f"{word}:", *(f"    {line}" for line in data[word].rstrip("\n").split("\n")), ""]
    return "\n".join(lines)


def _versions(result: Result) -> str:
    data = result.data
    lines = [str(data["recipe"])]
    for row in data["versions"]:
        mark = "*" if row["version"] == data["current"] else " "
        day = (row["date"] or ("not saved" if row["working_tree"] else "not locked yet"))[:14]
        day = day[:10] if row["date"] else day
        extra = (
            f", amended {row['amended']} times" if row["amended"] > 1 else ", amended once" if row["amended"] else ""
        )
        extra += ", changed since it was saved" if row["working_tree"] and row["date"] else ""
        why = row["why"] or ("The first." if row["version"] == 1 else "No reason is written.")
        lines.append(f"{mark} {row['version']:>3}  {row['status']:<9}  {day}{extra}")
        lines += textwrap.wrap(why, 96, initial_indent=" " * 7, subsequent_indent=" " * 7)
        if row["fixes"]:
            lines.append(f"       answers {', '.join(row['fixes'])}")
    lines += ["", "* in use" if data["current"] else "None is in use."]
    return "\n".join(lines) + "\n" + _told(result)


def _diff(result: Result) -> str:
    data = result.data
    lines = [f"{data['recipe']}, version {data['from']} to {data['to']}", ""]
    for change in data["changes"]:
        lines.append(f"  {KIND_WORDS[change['kind']]:<14} {change['sentence']}")
        if change["kind"] == "wording" and change["action"] == "changed" and "→" not in change["sentence"]:
            for was, now in rewordings(change["before"], change["after"]):
                lines += textwrap.wrap(f"“{was}” → “{now}”", 96, initial_indent=" " * 17, subsequent_indent=" " * 17)
    if not data["changes"]:
        lines.append("  Nothing changed.")
    moved = [row for row in data["consequences"] if row["before"] != row["after"]]
    if moved:
        lines += [
            "",
            f"What it leads to, both filled with {data['at_ml']:g} ml, a mix of fixed size as each version says:",
        ]
        lines += [
            f"  {row['sentence']}"
            if row["sentence"]
            else f"  {name_of(row['what'], row['title']):<44} {figure(row['before'], row['unit']):>10} → {figure(row['after'], row['unit'])}"
            for row in moved
        ]
    for reason in data["reasons"]:
        answered = f" (answers {', '.join(reason['fixes'])})" if reason["fixes"] else ""
        why = f"Why version {reason['version']}: {reason['why'] or 'no reason is written'}{answered}"
        lines += ["", *textwrap.wrap(why, 100)]
    for row in data["evidence"]:
        lines += ["", *textwrap.wrap(f"{row['title']}: {row['words']}{_verdict(' ({})', row)}.", 100)]
    if data["evidence"]:
        lines += ["", *(line for each in CAUTIONS for line in textwrap.wrap(each, 96))]
    return "\n".join(lines) + "\n" + _told(result)


def _changes(result: Result) -> str:
    return "\n".join(changes_lines(result.data)) + f"\n{_told(result)}"


def _mix(result: Result) -> str:
    # Where the file as it is now cannot be read, that has to be known before anything is weighed.
    first = any(each.severity == "error" or each.code == "locked-changed" for each in result.notices)
    text, told = mix_text(result.data), _told(result)
    return told.lstrip("\n") + "\n" + text if first else text + told


def _cavity(result: Result) -> str:
    data = result.data
    volume = data["volume_ml"]
    lines = [f"The cavity holds {volume:.1f} ml ({volume / _US_FL_OZ_ML:.2f} US fl oz), by {_METHODS[data['method']]}."]
    lines += textwrap.wrap(data["caution"], 100)
    if data["area_cm2"] is not None:
        lines.append(f"Surface {data['area_cm2']:.1f} cm2.")
    thick = data["thickness_mm"]
    if thick["median"] is not None:
        lines += [
            f"Thickness: half of it over {thick['median']:.2f} mm, 95 % under {thick['p95']:.2f} mm, least "
            f"{thick['min']:.2f} mm; looked at about every {data['sampled_every_mm']:.1f} mm.",
            *textwrap.wrap(edge_words(data), 100),
        ]
    for place in data.get("places", ()):
        told = "opening" if place["kind"] == "opening" else f"thin, least {place['least_mm']:.2f} mm"
        lines.append(f"  {told}: {place['where']}; {place['across_mm']:.0f} mm across")
    lines += ["", "For the mold's page, with the day added as `date: 2026-04-20`:", f"    {data['record']}"]
    return "\n".join(lines) + "\n" + _told(result)


def _told(result: Result) -> str:
    notices = in_order(result.notices)
    return "".join(["\n", *(f"{as_text(notice)}\n" for notice in notices)]) if notices else ""


def _vapor(result: Result) -> str:
    return "\n".join(vapor_lines(result.data)) + f"\n\n{_cautions(result)}{_told(result)}"


def _gypsum(result: Result) -> str:
    data = result.data
    if data["dry_target_g"] is not None:
        said = f"Fully dry it will weigh about {weight_in_words(data['dry_target_g'])}, of {weight_in_words(data['demolded_g'])} now."
        return f"{said}\n{_cautions(result)}"
    rise = data["heat_rise_k"]
    rows = [
        ("powder", weight_in_words(data["powder_g"])),
        ("water", weight_in_words(data["water_g"])),
        ("makes", f"{plain_number(data['slurry_ml'])} ml of slurry at {data['wet_density_g_ml']:.3f} g/ml"),
        ("has to dry out", f"{weight_in_words(data['free_water_g'])}, {data['loss_percent']:.1f} % of its weight"),
        ("fully dry", f"about {weight_in_words(data['dry_g'])}, {data['dry_density_g_ml']:.3f} g/ml"),
        ("warms by", f"up to about {rise['alpha']:.0f} to {rise['beta']:.0f} K deep in a thick mass (rough)"),
    ]
    said = "".join(f"  {name:<15} {words}\n" for name, words in rows)
    return f"Gypsum, {data['ratio']:g} g of water per 100 g of powder; nothing added for the bucket\n\n{said}{_cautions(result)}"


def _cure(result: Result) -> str:
    data = result.data
    if data["q10"] is not None:
        return f"These two logs make it {data['q10']:.2f} times as fast for each 10 K (usually 1.5 to 2.5).\n{_cautions(result)}"
    said = (
        f"At {data['room_deg_c']:g} degC\n\n"
        f"  at the earliest  {bench_minutes(data['short_min']):<12}  of a pot life: be closed by then\n"
        f"  usually          {bench_minutes(data['usual_min'])}\n"
        f"  at the latest    {bench_minutes(data['long_min']):<12}  of a demold time: not before then\n"
    )
    return said + _cautions(result)


def _curve(result: Result) -> str:
    data = result.data
    if data["surface"] == "flat":
        return f"Flat one way: any size lies down by bending alone.\n{_cautions(result)}"
    disc, off = data["shape"] == "disc", data["wrinkle_mm"]
    where = "around its rim" if disc else "along each 100 mm of an edge"
    what = f"{abs(off):.1f} mm too {'much' if off > 0 else 'little'} {where}"
    does = "wrinkles" if off > 0 else "stretches"
    return (
        f"The {data['shape']} {does}: {what} ({data['off_percent']:+.2f} %).\n"
        f"Up to {int(data['largest_across_mm'])} mm across stays within {data['tolerance_percent']:g} %.\n{_cautions(result)}"
    )


def _cautions(result: Result) -> str:
    told = [line for each in result.data["cautions"] for line in textwrap.wrap(each, 96)]
    return "".join(["\n", *(f"{line}\n" for line in told)]) if told else ""


def _find(result: Result) -> str:
    results = result.data["results"]
    lines = [line for hit in results if hit["kind"] == "hurt" for line in _first_aid(hit)]
    if result.data["unknown"]:
        lines.append(f"Nothing in the book says: {', '.join(result.data['unknown'])}")
    for place, hit in enumerate(results):
        if hit["kind"] == "hurt":
            continue
        # That a fix is too young to tell is no news in a list.
        answer = ANSWER_WORDS[hit["answer"]] if hit["answer"] not in (None, "too few runs") else ""
        lines.append(f"{hit['kind']:<9} {hit['title']}  ({hit['id']}){answer and f', {answer}'}")
        if hit["line"] != hit["title"]:
            lines += textwrap.wrap(hit["line"], 96, initial_indent=" " * 10, subsequent_indent=" " * 10)
        # What to do now stands with the first three: who searches has no time to scroll.
        for number, step in enumerate(hit["now"] if place < 3 else [], start=1):
            lines += textwrap.wrap(f"{number}. {step}", 96, initial_indent=" " * 10, subsequent_indent=" " * 13)
        for warning in hit["do_not"] if place < 3 else []:
            lines += textwrap.wrap(f"-  {warning}", 96, initial_indent=" " * 10, subsequent_indent=" " * 13)
    if not result.data["results"]:
        lines += ["Nothing found. Try other words."]
    return "\n".join(lines) + "\n" + _told(result)


def _first_aid(hit: Mapping[str, Any]) -> list[str]:
    lines = [f"SOMEBODY IS HURT: {hit['title']}  ({hit['id']})"]
    for number, step in enumerate(hit["now"], start=1):
        lines += textwrap.wrap(f"{number}. {step}", 96, initial_indent=" " * 10, subsequent_indent=" " * 13)
    if hit["clock"]:
        lines.append(f"          {hit['clock']['what']}: {hit['clock']['minutes']} minutes by the clock.")
    for word, told in (("Never:", hit["do_not"]), ("Call for help:", hit["call"])):
        if told:
            said = " ".join([word, *told])
            lines += textwrap.wrap(said, 96, initial_indent=" " * 10, subsequent_indent=" " * 10)
    return [*lines, ""]


def _evidence(result: Result) -> str:
    data = result.data
    lines = [f"{data['title']} ({data['failure']})", ""]
    for row in data["by_version"]:
        at = f"{row['recipe']}@{row['version']}"
        of = "" if data["hurt"] else f" of {row['runs']}"
        lines.append(f"  {at:<28} went wrong in {row['failed']:>2}{of}")
    if not data["by_version"]:
        lines.append("  No run counts yet: it takes one of kind run, with an outcome, where this can be noticed.")
    for fix in data["fixes"]:
        lines += ["", f"  {fix['recipe']}@{fix['version']}{_verdict(': {}', fix)}", f"    {fix['words']}."]
        if fix["difference"] is not None and not fix["hurt"]:
            change = (
                f"{fix['difference'] * 100:+.0f} points, between {fix['low'] * 100:+.0f} and {fix['high'] * 100:+.0f}"
            )
            chance = fix["p_worse" if fix["verdict"] == "worse" else "p_one_sided"]
            lines.append(f"    the working: p = {chance:.3f} one-sided; {change}")
    if data["by_version"] and not data["fixes"]:
        lines += ["", "  No fix is known yet."]
    if data["by_condition"] and not data["hurt"]:
        lines += ["", "  By what the runs noted (counts only):"]
        lines += [
            f"    {row['what']:<6} {row['value']:<34} {row['failed']:>2} of {row['runs']}"
            for row in data["by_condition"]
        ]
    for each in data["suspects"]:
        count = each["clean_runs_before"]
        clean = "one clean run, which is no proof" if count == 1 else f"{count} clean runs"
        after = "" if data["hurt"] else f", after {clean}"
        lines += ["", f"  It may have started at {each['recipe']}@{each['version']}{after}:"]
        lines += [f"    {said}" for said in each["changes"] or ["only wording changed, or the text cannot be read"]]
    return "\n".join(lines) + f"\n{_cautions(result)}{_told(result)}"


def _open(result: Result) -> str:
    data = result.data
    told = lines_of(data)
    if data["opened"]:
        told += ["", "Nothing else in them was touched. `mothermold save` keeps it; only then is it seen."]
    elif data["opens"]:
        told += ["", "Nothing was opened. Type it again with `--yes` to open all of it."]
    return "\n".join(told) + "\n" + _told(result)


def _verdict(frame: str, fix: Mapping[str, Any]) -> str:
    """Whether a fix held, framed; where somebody was hurt no count says so."""
    return "" if fix["hurt"] else frame.format(ANSWER_WORDS[fix["verdict"]])


def _as_json(result: Result) -> str:
    import json  # noqa: PLC0415 - only where asked

    return json.dumps(dict(result.data), ensure_ascii=False, indent=2) + "\n"


TEXTS: Final[Mapping[str, Callable[[Result], str]]] = {
    "check": _check, "about": _about, "versions": _versions, "diff": _diff, "changes": _changes, "mix": _mix, "cavity": _cavity, "gypsum": _gypsum,
    "cure": _cure, "curve": _curve, "vapor": _vapor, "find": _find, "evidence": _evidence, "open": _open, "export": _as_json,
    "schema": _as_json,
}  # fmt: skip
