"""What a build still casts, buys and pays, as its page says it to the owner; and what stands in its jars and in a material's lots."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from mothermold.answers.buy import bought
from mothermold.answers.buy_text import casting_words, cost_words, money, pack_words, quote_words, total_words
from mothermold.answers.stock import jars_of, stock_of
from mothermold.ground.notices import Notice
from mothermold.model.recipe import Recipe
from mothermold.pages.content import Block, Fold, Heading, Lead, Remark, Row
from mothermold.pages.saying import Loose, para, points, quiet, table, words
from mothermold.pages.wording import spoken
from mothermold.quantities.wording import plain_number, weight_in_words
from mothermold.reckon.stock import LotStock
from mothermold.view.view import View

_PACKS: Final = {"What": "across", "Needed": "number", "In hand": "number", "To buy": "", "Price": "number"}


def buying(view: View, name: str) -> Iterator[Block | None]:
    """What a build still casts, buys and pays; nothing in an edition that holds no prices."""
    if view.edition != "private":
        return
    data, notices = bought(view, name)
    if not data["castings"]:
        return
    yield para(_until(data), style="quiet")
    yield points(
        (Lead("here", f"thing-{row['thing']}", spoken(row["thing"])), ": ", " ".join(casting_words(row)).strip())
        for row in data["castings"]
    )
    yield from map(_asked, notices)
    yield points(_jars(view, name), "plain")
    yield from _packs(data)
    yield para("A good piece costs, as the pinned versions have it:")
    yield points((spoken(row["thing"]), ": ", cost_words(row, data["currency"])) for row in data["per_piece"])
    yield para("The whole build: ", Remark(quote_words(data["quote"], data["currency"])))
    if data["unsure"]:
        # Not folded: on paper a fold stays shut.
        yield Heading(words("Not counted, and why"))
        yield points(map(Remark, data["unsure"]))
    for each in data["cautions"]:
        yield para(each, style="quiet")


def _until(data: dict[str, Any]) -> Loose:
    if data["until"]:
        told = f"For the days after {data['today'] or 'today'}, up to {data['until']}."
        return Remark(f"{told} `mothermold buy {data['build']}` takes a rate, and the price of an hour.")
    return f"No day is still to come after {data['today']}." if data["today"] else "No day is written."


def _asked(notice: Notice) -> Block:
    return para(Remark(f"{notice.message} {notice.help}"), style="notice warning")


def _packs(data: dict[str, Any]) -> Iterator[Block]:
    if not data["packs"]:
        return
    short = [row for row in data["packs"] if row["buy"] or row["price"] is None]
    enough = [row for row in data["packs"] if row not in short]
    if short:
        yield table("To buy", _PACKS, map(_row, short))
        yield para(f"{total_words(data)}.")
    if enough:
        yield Fold(words(f"{len(enough)} more are in hand"), (table("In hand", _PACKS, map(_row, enough)),))


def _row(row: dict[str, Any]) -> Row:
    need, have, buy = pack_words(row)
    price = "not known" if row["price"] is None else money(row["price"]) if row["buy"] else ""
    return Row((words(Lead("material", row["material"])), words(need), words(have), words(buy), words(price)))


def _jars(view: View, name: str) -> Iterator[Loose]:
    for (address, mix), jar in sorted(jars_of(view, name).items()):
        recipe = view.models(Recipe).get(address)
        title = next((each.title for each in recipe.mixes if each.id == mix and each.title), None) if recipe else None
        less = (
            f"; {_runs(len(jar.silent))} took of it and did not say how much, so it may be less" if jar.silent else ""
        )
        yield (
            "In the jar: ",
            str(title or mix),
            " ",
            quiet(f"{weight_in_words(jar.left)} left of {weight_in_words(jar.made)}, last mixed {jar.since}{less}"),
        )


def in_lots(view: View, name: str) -> Iterator[Loose]:
    """What is left of the lots of a material after what runs took of them; nothing of one that stands as it is written."""
    for lot in stock_of(view, name):
        if lot.left is not None and not lot.as_it_stands:
            yield f"Lot {lot.lot}: {_left(lot)}"


def _left(lot: LotStock) -> str:
    begun = f"{_amount(lot.start or 0, lot)} {'weighed ' + lot.since.isoformat() if lot.since else 'when it came'}"
    told = [f"about {_amount(lot.left or 0, lot)} left ({begun}, {_amount(lot.used, lot)} taken by runs since)"]
    if lot.silent:
        told.append(f"{_runs(len(lot.silent))} took of it and did not say how much, so it may hold less")
    if lot.over:
        told.append(f"runs took {_amount(lot.over, lot)} more than there was: weigh what is left")
    return f"{'; '.join(told)}."


def _amount(value: Any, lot: LotStock) -> str:
    return weight_in_words(value) if lot.unit == "g" else f"{plain_number(value)} {lot.unit}"


def _runs(count: int) -> str:
    return f"{count} {'run' if count == 1 else 'runs'}"
