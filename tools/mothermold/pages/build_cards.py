"""What stands in for a build where builds are listed: its picture, what it is made of, who wears it and when."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from mothermold.model.build import Build
from mothermold.model.pictures import Picture
from mothermold.view.view import View


@dataclass(frozen=True, slots=True)
class BuildCard:
    """A build in a list.

    Attributes:
        name: Its name.
        title: Its title.
        photo: The first photo the edition may show that is no warning; None where it has none.
        lines: What is known of it, a few words each.
    """

    name: str
    title: str
    photo: Picture | None
    lines: tuple[str, ...]


def build_cards(view: View) -> list[BuildCard]:
    """All builds of the edition that can be read, by name."""
    return [
        BuildCard(name, str(build.title), first_photo(view, build.photos), tuple(filter(None, _lines(build))))
        for name, build in sorted(view.models(Build).items())
    ]


def first_photo(view: View, pictures: Iterable[Picture]) -> Picture | None:
    """The first photo that shows what is meant and is in the book; no drawing, and nothing that says *not like this*."""
    return next(
        (each for each in pictures if each.as_ != "bad" and not each.file.is_drawing and view.picture(each.file)), None
    )


def _lines(build: Build) -> tuple[str, ...]:
    things, days = len(build.things), sorted({each.day for each in build.days})
    made = f"{things} {'thing' if things == 1 else 'things'} made" if things else ""
    worn = ""
    if days:
        span = days[0].isoformat() if len(days) == 1 else f"{days[0].isoformat()} to {days[-1].isoformat()}"
        worn = f"{len(days)} {'day' if len(days) == 1 else 'days'} in the chair, {span}"
    who = [str(each) for each in build.wearers]
    return made, worn, f"worn by {', '.join(who)}" if who else ""
