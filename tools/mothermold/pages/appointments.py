"""The page of the appointment for a cast from life: what is asked before, who is there, the kit, the limit, the stop sign, the closed folder.

In the owner's edition alone, and without a field to write an answer into: what a wearer says of their health is not for a book.
"""

from __future__ import annotations

from collections.abc import Iterator

from mothermold.answers.appointment import Appointment, appointment, asking_steps
from mothermold.model.build import Build
from mothermold.model.kinds import KINDS
from mothermold.pages.addresses import appointment_page as address_of
from mothermold.pages.content import Block, Content, Heading, Lead, Section, Widget, Words
from mothermold.pages.day_things import BAD
from mothermold.pages.hurt import numbers
from mothermold.pages.page import Page, render
from mothermold.pages.pinned import newer_version, pinned_title
from mothermold.pages.runs import entries, run_line
from mothermold.pages.saying import joined, labels, marked, para, points, quiet, section, words
from mothermold.pages.wording import spoken
from mothermold.quantities.wording import minutes_in_words
from mothermold.trade.appointment import AppointmentLine, appointment_lines
from mothermold.trade.skin import PATCH_TEST_HOURS
from mothermold.view.view import View


def appointment_page(view: View, name: str, thing: str) -> Page | None:
    """The page of an appointment; None where the build casts no such thing from life.

    Args:
        view: The owner's edition.
        name: The build.
        thing: The thing.
    """
    document = view.of(Build).get(name)
    told = appointment(view, document, thing) if document is not None else None
    if document is None or told is None:
        return None
    shown = Content(
        f"Appointment for a cast: {document.model.title}, {spoken(thing)}",
        words("Appointment"),
        words(Lead("build", name)),
        tuple(appointment_sections(view, told)),
    )
    return render(
        view, "content.html", address_of(name, thing), shown.title, kind=KINDS["build"], shown=shown, notices=(), rows=(), strips=(),
    )  # fmt: skip


def appointment_sections(view: View, told: Appointment) -> Iterator[Section]:
    """What is said of an appointment, in the order it is needed; the same on paper."""
    lines = appointment_lines()
    yield section("looks", "", Widget("day_scripts", ()))
    yield section("glance", "", _glance(view, told))
    yield section("first", "", *_first(told))
    yield section(
        "asked",
        "Asked two days before or earlier, in a quiet room",
        points(map(_line, lines["asked"]), "ticks"),
        *_own(told),
    )
    yield section("day", "Asked again on the day", points(map(_line, lines["on_the_day"]), "ticks"))
    yield section("there", "Who is there", *_there(told, lines["there"]))
    yield section("stop", "The stop sign", points(map(_line, lines["stop"])))
    yield section("limit", "How long at most", *_limit(told, lines["limit"]))
    yield section("off", "How it comes off at once", *_off(told))
    yield section("hurts", "What can hurt", Widget("cautions", told.cautions) if told.cautions else None)
    yield section("kit", "Kit", *_kit(view, told))
    yield section(
        "folder",
        "What goes to the closed folder",
        points(map(_line, lines["closed_folder"])),
        Heading(("What the book holds",)),
        points(map(_line, lines["book_holds"])),
    )
    yield section("made", "Casts that were made", points(map(run_line, entries(view, told.runs)), "plain runs"))


def _line(each: AppointmentLine) -> Words:
    return words(marked("strong", each.what), f" {each.why} ", quiet(f"({each.source})"))


def _glance(view: View, told: Appointment) -> Block:
    ref = told.thing.recipe
    newer = newer_version(view, ref)
    covered = f"about {minutes_in_words(told.covered)}, by the written times" if told.covered else "no step tells"
    return labels(
        ("Wearer", told.wearer or "nobody said whose cast it is"),
        (
            "By the sheet",
            (
                Lead("reference", str(ref), pinned_title(view, ref)),
                quiet(f" ({ref})"),
                newer and f"; v{newer} is in use now",
            ),
        ),
        ("When", Lead("plan", told.name, "by the plan")),
        ("On the skin", covered),
        style="glance",
    )


def _first(told: Appointment) -> Iterator[Block]:
    if told.recipe is None:
        yield para(
            f"The book has no text of {told.thing.recipe}, so its kit, hands and times are not known.", style=BAD
        )
    yield para(
        "In doubt a doctor, or a dentist, says yes first, and until then there is no cast. The maker's safety data sheets, the rules of your "
        "place and licensed practice come before anything here. What is answered is said aloud and is not written on this sheet.",
        style="banner",
    )


def _own(told: Appointment) -> Iterator[Block]:
    if told.recipe is None:
        return
    steps = [Lead("reference", f"{told.thing.recipe}#{step}", title) for step, title in asking_steps(told.recipe)]
    if steps:
        yield para("Its own sheet says more at ", joined(steps, ", "), ".")
    yield para(
        f"What comes on skin is put on the inner arm and read {PATCH_TEST_HOURS} hours later or more; no patch, no cast."
    )


def _there(told: Appointment, lines: tuple[AppointmentLine, ...]) -> Iterator[Block]:
    if told.people is not None:
        yield para(
            f"The sheet asks for {told.people} pairs of hands at once."
            if told.people > 1
            else "The sheet asks for one pair of hands; nobody casts a face alone, so be two.",
            style="" if told.people > 1 else BAD,
        )
    yield points(map(_line, lines))


def _limit(told: Appointment, lines: tuple[AppointmentLine, ...]) -> Iterator[Block]:
    if told.covered:
        yield para(
            "From the first spoon to the wash the written times come to ",
            marked("strong", minutes_in_words(told.covered)),
            ". The longest time is agreed on, and no longer than the sheet says.",
        )
    else:
        yield para(
            "How long it lies on the skin cannot be read off the sheet. Agree on a longest time all the same.",
            style=BAD,
        )
    yield points(map(_line, lines))


def _off(told: Appointment) -> Iterator[Block]:
    if told.recipe is not None and told.recipe.off:
        yield points(told.recipe.off, "numbered")
    else:
        yield para(
            "The sheet has no list of how it comes off at once. Nothing is begun before there is one: type `off:` in the recipe.",
            style=BAD,
        )


def _kit(view: View, told: Appointment) -> Iterator[Block]:
    numbered_ = numbers(view.settings.emergency)
    yield Heading(("Before all: the emergency card",))
    if numbered_:
        yield labels(*((title, said) for _key, title, said in numbered_))
    else:
        yield para(
            "Nobody has written the numbers of this place yet: type them under `emergency:` in recipes/book.yaml.",
            style=BAD,
        )
    yield points(told.kit, "ticks") if told.kit else para("No kit is written down.", style=BAD)
