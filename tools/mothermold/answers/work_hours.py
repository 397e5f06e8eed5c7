"""When there is work: the book's hours and holidays as windows of minutes, and moments of its clocks as minutes."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, date, datetime, time, timedelta
from typing import Final

from mothermold.model.settings import Settings
from mothermold.reckon.project import Window

WEEKDAYS: Final = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
USUAL_HOURS: Final[Mapping[str, str]] = dict.fromkeys(WEEKDAYS[:5], "09:00-18:00")
"""Where a book says no hours (common practice, no source)."""


class WorkHours:
    """The clocks and the working hours of a book; minutes run on through the changes of summer time.

    Args:
        settings: The book's settings.
    """

    def __init__(self, settings: Settings) -> None:
        self._zone = settings.zone
        self._hours: Mapping[str, str] = {str(day): hours for day, hours in settings.hours.items()} or USUAL_HOURS
        self._holidays = frozenset(settings.holidays)
        self.is_known = bool(settings.hours)

    def minutes(self, day: date, clock: time = time()) -> int:
        """A moment of the book's clocks, in minutes."""
        return self.at(datetime.combine(day, clock))

    def at(self, moment: datetime) -> int:
        """A moment of the book's clocks, in minutes, the next whole one."""
        local = moment if moment.tzinfo is not None else moment.replace(tzinfo=self._zone)
        return -int(-local.timestamp() // 60)

    def moment(self, minutes: int) -> datetime:
        """Minutes as a moment, with the book's offset."""
        return datetime.fromtimestamp(minutes * 60, UTC).astimezone(self._zone)

    def window(self, day: date) -> Window | None:
        """The working hours of a day; None where nobody works."""
        told = self._hours.get(WEEKDAYS[day.weekday()])
        if told is None or day in self._holidays:
            return None
        opens, closes = (time.fromisoformat(each.strip()) for each in told.split("-"))
        begin, end = self.minutes(day, opens), self.minutes(day, closes)
        return (begin, end if end > begin else self.minutes(day + timedelta(days=1), closes))

    def windows(self, first: date, last: date) -> list[Window]:
        """The working hours from a day to another, in order and apart."""
        days = (first + timedelta(days=number) for number in range((last - first).days + 1))
        found: list[Window] = []
        for begin, end in filter(None, map(self.window, days)):
            begins = max(begin, found[-1][1]) if found else begin
            if begins < end:
                found.append((begins, end))
        return found

    def longest(self) -> int:
        """The longest working day of a week, in minutes."""
        monday = date(2026, 1, 5)
        week = (self.window(monday + timedelta(days=number)) for number in range(7))
        return max((end - begin for begin, end in filter(None, week)), default=0)

    def days_before(self, minutes: int, count: int) -> int:
        """The opening of the last working day but ``count - 1`` before a moment: from there on so many are in hand."""
        day, left = self.moment(minutes).date(), count
        for back in range(90):
            window = self.window(day - timedelta(days=back))
            if window is not None and window[1] <= minutes:
                left -= 1
                if not left:
                    return window[0]
        return minutes - count * 24 * 60
