"""Amounts said to people."""

from __future__ import annotations

from fractions import Fraction


def minutes_in_words(minutes: Fraction | float) -> str:
    """A length of time: ``45 min``, ``2 h 10 min``, ``3 d 4 h``."""
    whole = round(minutes)
    days, rest = divmod(whole, 24 * 60)
    hours, left = divmod(rest, 60)
    if whole < 48 * 60:
        hours, days = hours + 24 * days, 0
    words = [f"{days} d" if days else "", f"{hours} h" if hours else "", f"{left} min" if left and not days else ""]
    return " ".join(word for word in words if word) or "0 min"


def on_scale(value: Fraction | float, step: Fraction | float) -> str:
    """A number with as many places after the point as a display of this step shows: ``44.0`` on 0.1, ``44`` on 1."""
    places = len(f"{float(step):.6f}".rstrip("0").partition(".")[2])
    return f"{float(value):.{places}f}"


def percent_words(percent: object) -> str:
    """A percentage with its sign, also where it was typed without."""
    text = str(percent)
    return text if "%" in text else f"{text} %"


def as_read(amount: object) -> str:
    """An amount, or words with amounts in them, as read aloud: with the degree sign that is awkward to type."""
    return str(amount).replace("degC", "°C").replace("degF", "°F")


def plain_number(value: Fraction | float, digits: int = 4) -> str:
    """A number without needless zeros, at most so many digits that matter."""
    return f"{float(value):.{digits}g}"


def bench_minutes(minutes: Fraction | float) -> str:
    """A short time as a stopwatch shows it, ``7 min 21 s``; an hour and more without seconds."""
    if minutes >= 60:
        return minutes_in_words(minutes)
    whole, seconds = divmod(round(minutes * 60), 60)
    words = [f"{whole} min" if whole else "", f"{seconds} s" if seconds else ""]
    return " ".join(word for word in words if word) or "0 s"


def weight_in_words(grams: Fraction | float) -> str:
    """A weight to the gram, ``1343 g``; under 100 g to the tenth."""
    return f"{float(grams):.0f} g" if grams >= 100 else f"{float(grams):.1f} g"


def times_words(count: int) -> str:
    """How often: ``once``, ``twice``, ``3 times``."""
    return {1: "once", 2: "twice"}.get(count, f"{count} times")
