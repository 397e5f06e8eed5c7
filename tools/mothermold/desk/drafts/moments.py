"""When something was: a moment as one says it at the bench, made into what a document writes.

Taken are `now`, `today`, `yesterday`, a day as `2026-11-28` or `28.11.2026`, a time as `14:10` or `2:10 pm`, and a day with a
time behind it. `28/11/2026` can be one day only and is taken; `4/5/2026` is one day here and another there, and is refused with
both.
"""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta
from typing import Final, get_args

from mothermold.model.settings import Settings, Weekday

_CLOCK: Final = re.compile(r"(?:(\S.*?)[ ,T]+(?:at )?)?(\d{1,2}):(\d{2})(?: ?([ap])\.?m\.?)?", re.IGNORECASE)
_DOTTED: Final = re.compile(r"(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4})")
_SLASHED: Final = re.compile(r"(\d{1,2})/(\d{1,2})/(\d{4})")
_OPENS: Final = "09:00"
_CLOSES: Final = "18:00"
_MONTHS: Final = 12


def said_moment(
    answer: str, now: datetime, settings: Settings, *, day: date | None = None, is_end: bool = False
) -> str:
    """A moment as a document writes it; what is not understood stays as it was typed.

    A day without a time is taken at the hour the book opens then, or closes where an end is asked for, else 09:00 or
    18:00; today never later than now. It is for whoever asks to show that.

    Args:
        answer: As typed.
        now: The present moment in the book's own zone.
        settings: The book's settings, for its hours.
        day: The day a bare time belongs to; today unless given.
        is_end: Whether it is asked when something ended.
    """
    typed = " ".join(answer.split())
    if typed.casefold() == "now":
        return f"{now:%Y-%m-%d %H:%M}"
    clock = _CLOCK.fullmatch(typed)
    if clock is not None:
        on = _day(clock[1], now) if clock[1] else (day or now.date())
        at = _time(int(clock[2]), clock[3], (clock[4] or "").casefold())
        return f"{on.isoformat()} {at}" if on is not None and at else answer
    on = _day(typed, now)
    if on is None:
        return answer
    at = _hour(on, settings, is_end=is_end)
    if on == now.date():
        at = min(at, f"{now:%H:%M}")
    return f"{on.isoformat()} {at}"


def two_days(answer: str) -> str:
    """The day in an answer that is one here and another there; nothing where there is none."""
    found = _SLASHED.match(answer.strip())
    return found[0] if found is not None and _day(found[0]) is None else ""


def _day(words: str, now: datetime | None = None) -> date | None:
    words = words.strip(" ,").casefold()
    if now is not None and words in ("today", "yesterday"):
        return now.date() - timedelta(days=words == "yesterday")
    dotted, slashed = _DOTTED.fullmatch(words), _SLASHED.fullmatch(words)
    try:
        if slashed is not None:
            first, second, year = (int(each) for each in slashed.groups())
            month, day = (second, first) if first > _MONTHS else (first, second)
            return date(year, month, day) if max(first, second) > _MONTHS or first == second else None
        if dotted is not None:
            return date(int(dotted[3]), int(dotted[2]), int(dotted[1]))
        return date.fromisoformat(words) if re.fullmatch(r"\d{4}-\d{2}-\d{2}", words) else None
    except ValueError:
        return None


def _time(hour: int, minute: str, half: str) -> str:
    if half and not 1 <= hour <= 12:
        return ""
    hour = hour % 12 + (12 if half == "p" else 0) if half else hour
    return f"{hour:02}:{minute}" if hour < 24 and minute < "60" else ""


def _hour(day: date, settings: Settings, *, is_end: bool) -> str:
    span = settings.hours.get(get_args(Weekday)[day.weekday()])
    if span is None:
        return _CLOSES if is_end else _OPENS
    opens, _, closes = str(span).replace(" ", "").partition("-")
    return closes if is_end else opens
