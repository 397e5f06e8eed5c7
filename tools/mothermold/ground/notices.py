"""The one type in which anything wrong, doubtful or worth knowing is said."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import astuple, dataclass
from typing import Final, Literal

from mothermold.ground.made import MadeBefore
from mothermold.ground.words import shorter

Severity = Literal["error", "warning", "advice"]
SEVERITIES: Final[tuple[Severity, ...]] = ("error", "warning", "advice")


@dataclass(frozen=True, slots=True)
class Notice:
    """One finding about one place.

    Attributes:
        code: A slug that names the rule, such as ``unknown-key``; ``about`` explains it.
        severity: error, warning or advice.
        message: One sentence saying what is wrong.
        help: One sentence saying what to do or type instead.
        file: Relative to the book, with ``/``; None where no file is meant.
        line: From 1; None where unknown.
        column: From 1; None where unknown.
        excerpt: The line itself, for people; empty where there is none.
    """

    code: str
    severity: Severity
    message: str
    help: str
    file: str | None = None
    line: int | None = None
    column: int | None = None
    excerpt: str = ""

    def __post_init__(self) -> None:
        # Whatever somebody typed may be quoted here; nobody reads more than the beginning of it.
        for key in ("message", "help"):
            object.__setattr__(self, key, shorter(getattr(self, key)))


def notices_of(made: MadeBefore, name: str, find: Callable[[], Iterable[Notice]]) -> list[Notice]:
    """What was found, as it was found before where nothing that was looked at for it has changed.

    Args:
        made: What was made before.
        name: What is judged.
        find: Finds it.
    """
    return [Notice(*each) for each in made.of(name, lambda: [list(astuple(each)) for each in find()])]


def in_order(notices: Iterable[Notice]) -> list[Notice]:
    """Sorts by file, line and column, worst first on the same spot, each finding once."""
    unique = dict.fromkeys(notices)
    return sorted(
        unique,
        key=lambda n: (n.file or "", n.line or 0, n.column or 0, SEVERITIES.index(n.severity), n.code, n.message),
    )


def count(notices: Iterable[Notice], severity: Severity) -> int:
    """How many notices have this severity."""
    return sum(1 for notice in notices if notice.severity == severity)
