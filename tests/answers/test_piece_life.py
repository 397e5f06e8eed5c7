"""The life of pieces and the sets they make, against a register kept apart while a workshop is played through."""

from __future__ import annotations

import random
import re
from dataclasses import dataclass, field
from datetime import date, timedelta
from html import unescape
from pathlib import Path

import pytest

from campaigns.seeds import seeds
from mothermold.answers.piece_life import PieceLife, lives_of, sets_of
from mothermold.answers.pieces import kind_in
from mothermold.model.build import Build
from mothermold.pages.all_pages import addresses, page_at
from mothermold.view.view import View, open_view
from view.looks import lay_out, sheet, write

NAME = "night-watchman"
BUILD = """\
title: The night watchman
visibility: public
wearers: [W1]
things:
  - {id: face, recipe: cast/cheek@2, worn: yes}
  - {id: face-washed, recipe: finish/wash@1, from: [face]}
  - {id: face-painted, recipe: finish/prepaint@1, from: [face-washed]}
  - {id: bands, recipe: cast/cheek@2, worn: yes}
looks:
  - id: full
    wearer: W1
    pieces:
      - {thing: bands, piece: left}
      - {thing: bands, piece: right}
      - {thing: face}
    application: [application/face@1]
    removal: [removal/face@1]
    spares: 1
days:
"""
FIRST = date(2026, 6, 1)
DAYS = [FIRST + timedelta(days=each) for each in (10, 12, 20, 21)]
LAST = date(2026, 6, 15)
"""The day the book was last saved: the last two days are to come."""
GRADES = ("hero", "second", "spare")


@dataclass
class Line:
    """A line of the register: a piece."""

    label: str
    thing: str
    grade: str
    day: date | None
    done: set[str] = field(default_factory=set)
    state: str = "sound"
    life: list[str] = field(default_factory=lambda: ["cast"])

    @property
    def lacks(self) -> list[str]:
        wanted = ["washed", "painted"] if self.thing == "face" else []
        return [each for each in wanted if each not in self.done] if self.state == "sound" else []


@dataclass
class Workshop:
    """Runs as they are written, and the register somebody keeps on the wall."""

    root: Path
    chance: random.Random
    wall: list[Line] = field(default_factory=list)
    runs: int = 0

    def run(self, recipe: str, said: str, day: date) -> None:
        self.runs += 1
        name = f"r-{self.runs:03}"
        text = f"id: {name}\nrecipe: {recipe}\nstarted: {day} {6 + self.runs // 60:02}:{self.runs % 60:02}\nvisibility: public\n{said}"
        write(self.root, f"builds/{NAME}/runs/{name}", text)

    def cast(self, thing: str, day: date) -> None:
        scrapped, number = self.chance.random() < 0.15, self.runs + 1
        labels = (
            [f"F-{number:02}"]
            if thing == "face"
            else [f"B{side}-{number:02}" for side in "LR"][: self.chance.choice((1, 2, 2))]
        )
        kept = []
        for label in labels:
            line = Line(label, thing, self.chance.choice(("", *GRADES)), self.chance.choice((None, None, *DAYS)))
            line.state = "gone" if scrapped else "sound"
            self.wall.append(line)
            grade, for_day = line.grade and f", grade: {line.grade}", line.day and f", day: {line.day}"
            kept.append(f"{{piece: {label}{grade or ''}{for_day or ''}, box: B1}}")
        self.run(
            "cast/cheek@2",
            f"thing: {thing}\noutcome: {'scrapped' if scrapped else 'good'}\nkept: [{', '.join(kept)}]\n",
            day,
        )

    def work(self, what: str, day: date) -> None:
        lines = [each for each in self.wall if each.thing == "face" and each.state == "sound"]
        if not lines:
            return
        line, spoilt = self.chance.choice(lines), self.chance.random() < 0.1
        recipe = {"washed": "finish/wash@1", "painted": "finish/prepaint@1"}[what]
        thing = f"thing: face-{what}\n" if self.chance.random() < 0.7 else ""
        self.run(
            recipe,
            f"{thing}outcome: {'scrapped' if spoilt else 'good'}\nused: [{{piece: {line.label}, then: kept}}]\n",
            day,
        )
        line.life.append(f"{what}, and spoilt" if spoilt else what)
        line.state = "gone" if spoilt else "sound"
        line.done |= set() if spoilt else {what}

    def wear(self, day: date) -> None:
        lines = [each for each in self.wall if each.state == "sound"]
        worn = self.chance.sample(lines, min(len(lines), 3))
        used = []
        for line in worn:
            then = self.chance.choice(("discarded", "kept"))
            used.append(f"{{piece: {line.label}, then: {then}}}")
            line.state = "worn"
            line.life.append("worn, shoot")
        if used:
            self.run("application/face@1", f"look: full\nday: {day}\noutcome: good\nused: [{', '.join(used)}]\n", day)

    def sets(self) -> list[tuple[date | None, list[str | None], bool]]:
        """What the wall says of the days to come: the day, the labels, whether all of it can be put on."""
        left, coming = [each for each in self.wall if each.state == "sound"], [each for each in DAYS if each > LAST]
        found = []
        for day in (*coming, None):
            labels: list[str | None] = []
            ready = True
            for start in ("BL", "BR", "F"):
                may = [
                    each
                    for each in left
                    if each.label.startswith(start) and (each.day == day or each.day not in coming)
                ]
                may.sort(
                    key=lambda each: (each.day != day, len(each.lacks), [*GRADES, ""].index(each.grade), each.label)
                )
                labels.append(may[0].label if may else None)
                ready = ready and bool(may) and not may[0].lacks
                left = [each for each in left if not may or each is not may[0]]
            found.append((day, labels, ready))
        return found


def workshop(folder: Path, seed: int) -> Workshop:
    """Some weeks of work, written down twice."""
    days = "".join(f"  - {{day: {each}, what: shoot, look: full}}\n" for each in DAYS)
    root = lay_out(folder, BUILD + days)
    sheet(root, "application/face", "isopropanol-99", role="paint")
    sheet(root, "finish/wash", "isopropanol-99", role="clean")
    sheet(root, "finish/prepaint", "isopropanol-99", role="paint")
    shop = Workshop(root, random.Random(seed))
    today = FIRST
    while today <= LAST:
        for _each in range(shop.chance.randrange(4)):
            deed = shop.chance.choice(("face", "face", "bands", "washed", "washed", "painted", "painted"))
            _ = shop.cast(deed, today) if deed in ("face", "bands") else shop.work(deed, today)
        if today in DAYS:
            shop.wear(today)
        today += timedelta(days=1)
    return shop


def told(life: PieceLife) -> list[str]:
    return [event.did for event in life.events]


@pytest.mark.parametrize("seed", seeds(3, 60))
def test_the_register_of_the_book_is_the_one_on_the_wall(seed: int, tmp_path: Path) -> None:
    shop = workshop(tmp_path, seed)
    view = open_view(shop.root, "private")
    lives = {life.label: life for life in lives_of(view, NAME)}
    assert list(lives) == [line.label for line in shop.wall]
    for line in shop.wall:
        life = lives[line.label]
        assert told(life) == line.life, line.label
        assert (life.is_fit, list(life.lacks)) == (line.state == "sound", line.lacks), line.label
        assert life.wearer == "W1"
    found = sets_of(view, NAME, view.models(Build)[NAME], LAST)
    assert [
        (each.day, [part.life and part.life.label for part in each.parts], each.is_ready) for each in found
    ] == shop.sets()
    pages_say_the_same(view, shop)


def pages_say_the_same(view: View, shop: Workshop) -> None:
    """Each piece has a page that says what the wall says; the build's page needs a saved day, and is read for its pieces."""
    pages = {each for each in addresses(view) if each.startswith(f"builds/{NAME}/pieces/")}
    assert len(pages) == len(shop.wall)
    for line in shop.wall:
        page = page_at(view, f"builds/{NAME}/pieces/{line.label.casefold()}.html")
        assert page is not None
        rows = re.findall(r'<td data-label="What">([^<]*)</td>', page.body)
        assert list(map(unescape, rows)) == line.life
        lacks = re.search(r"<dt>Lacks</dt><dd>([^<]*)</dd>", page.body)
        said = f"not yet {', '.join(line.lacks)}" if line.lacks else "nothing"
        assert (lacks[1] if lacks else "") == (said if line.state == "sound" else "")


def test_the_page_of_a_build_says_which_set_is_ready_and_what_each_lacks(tmp_path: Path) -> None:
    shop = workshop(tmp_path, 2)
    view = open_view(shop.root, "private")
    page = page_at(view, f"builds/{NAME}.html")
    assert page is not None
    # Nothing was saved, so nobody knows the day, and every day is to come.
    table = page.body.partition('aria-label="Sets"')[2].partition("</table>")[0]
    rows = [re.sub(r"<[^>]+>", " ", each).split() for each in table.split("<tr>")[2:]]
    found = sets_of(view, NAME, view.models(Build)[NAME], None)
    assert [row[0] for row in rows] == [each.day.isoformat() if each.day else "To" for each in found]
    for row, each in zip(rows, found, strict=True):
        assert ("ready" in row) == each.is_ready
        for part in each.parts:
            assert part.life is None or part.life.label in row
        for part in each.parts:
            assert part.life is not None or "none" in row
    assert f'href="../builds/{NAME}/pieces/' in table


def test_what_no_run_says_was_done_is_lacking_and_a_class_sees_only_its_runs(tmp_path: Path) -> None:
    shop = workshop(tmp_path, 4)
    for path in (shop.root / f"recipes/builds/{NAME}/runs").glob("*.yaml"):
        text = path.read_text()
        if "used:" in text:
            path.write_text(text.replace("visibility: public\n", ""))
    seen = lives_of(open_view(shop.root, "class"), NAME)
    assert [told(life) for life in seen] == [["cast"]] * len(seen)
    assert {life.lacks for life in seen if life.piece.thing == "face" and life.is_fit} == {("washed", "painted")}


@pytest.mark.parametrize(
    ("label", "kinds", "kind"),
    [
        ("BL-04", {"left", "right"}, "left"), ("br-4", {"left", "right"}, "right"), ("F-01", {"left", "right"}, ""),
        ("04", {"left", "right"}, ""), ("BL-04", {"left"}, ""), ("BL-04", set(), ""), ("L1", {"left", "right"}, "left"),
    ],
)  # fmt: skip
def test_left_and_right_go_by_the_letter_before_the_number(label: str, kinds: set[str], kind: str) -> None:
    assert kind_in(label, kinds) == kind
