"""The mixes of a recipe on paper: weights for the mold of the day, or three sizes, and a column to write down what was weighed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any, Final

from mothermold.answers.batch import mix_batch
from mothermold.answers.wishes import BatchAsked
from mothermold.ground.errors import refused
from mothermold.ground.notices import Notice
from mothermold.handouts.prose import Block, Letters
from mothermold.handouts.recipe_text import RecipeOnPaper
from mothermold.model.mold import Mold
from mothermold.model.parts import Timed
from mothermold.model.recipe import Mix
from mothermold.pages.mixes import MixShown, mixes_shown
from mothermold.pages.saying import Loose, joined, marked, quiet
from mothermold.quantities.wording import on_scale, percent_words
from mothermold.reckon.batches import Sheet, own_fill
from mothermold.reckon.weighing import COMMON_STEP

NOTHING_ASKED: Final = BatchAsked()
_LONG: Final = 12
_TIMES: Final = ("pot_life", "demold", "full_cure")


class MixBlocks:
    """Writes the mixes of a recipe.

    Attributes:
        notices: What is said of the batches that were asked for.
    """

    def __init__(self, text: RecipeOnPaper, asked: BatchAsked) -> None:
        """Takes up what is asked.

        Args:
            text: The recipe.
            asked: For which mold or fill; with nothing asked, three sizes.

        Raises:
            RefusedError: A mold or a fill is asked for, and no mix of the recipe fills one.
        """
        self.text, self.pen, self.asked = text, text.pen, asked
        self.notices: list[Notice] = []
        self._asks = asked.mold is not None or asked.fill is not None
        if self._asks and not self._filling:
            raise refused(
                "which-mix", f"No mix of `{text.address}` fills a mold.", "Leave `--mold` and `--fill` out; its mixes are printed as written."
            )  # fmt: skip

    @property
    def _filling(self) -> list[Mix]:
        """The mixes that go into a mold: those that say what they fill, else the only one that is in no other."""
        mixes = self.text.recipe.mixes
        inside = {part.mix for mix in mixes for part in mix.parts}
        outer = [mix for mix in mixes if mix.id not in inside]
        return [mix for mix in outer if own_fill(mix) is not None] or (outer if len(outer) == 1 else [])

    @property
    def meant(self) -> str:
        """What the weights are for, in words; empty where three sizes stand there."""
        if self.asked.fill is not None:
            return f"for {self.asked.fill}"
        mold = self.text.view.models(Mold).get(self.asked.mold or "")
        return f"for {mold.title}" if mold is not None else ""

    def shown(self) -> list[MixShown]:
        """The mixes as their page shows them."""
        recipe = self.text.recipe
        said = self.text.document.said.get("mixes") or []
        return mixes_shown(self.text.view, recipe, said, [None] * len(recipe.mixes))

    def blocks(self) -> Iterator[Block]:
        """All mixes, each under its heading."""
        if self.text.recipe.mixes:
            heading = f"Mixes, {self.meant}" if self.meant else "Mixes"
            yield self.pen.heading(heading)
        for each in self.shown():
            told = list(self._mix(each))
            # A mix of a usual length is read in one glance, never over two pages.
            yield from [self.pen.whole(told)] if len(each.parts) < _LONG else told

    def card(self) -> Iterator[Block]:
        """All mixes in short: for the mold asked for, else as written; the weights, and how long it can be poured."""
        for each in self.shown():
            if self._is_asked(each):
                yield self.pen.para(marked("strong", f"{each.mix.title or each.mix.id}, {self.meant}"))
                yield from self._asked_sheet(each)
            else:
                yield from self._own_size(each)
            if each.fault:
                yield self.pen.para(f"{each.fault} So nothing can be weighed from this card.", style="banner")
            if each.mix.pot_life or each.mix.demold:
                times = (
                    (word, _timed(getattr(each.mix, key)))
                    for word, key in (("Pot life ", "pot_life"), ("demold ", "demold"))
                )
                yield self.pen.para(joined(((word, marked("strong", told)) for word, told in times if told), "; "), ".")

    def _own_size(self, each: MixShown) -> list[Block]:
        sheet = each.sheet
        head = "Weigh" if sheet is None or sheet.portions == 1 else f"Weigh, {sheet.portions} times"
        rows: list[list[Loose | Letters]] = [
            [self._name(part), words if sheet is None else marked("strong", _weight(line) if line else words)]
            for part, words, line, _rest in each.parts
        ]
        if sheet is not None and (together := _together(sheet)):
            rows.append(["Together", together])
        return self.pen.table({str(each.mix.title or each.mix.id): "", head: "number"}, rows)

    def _is_asked(self, each: MixShown) -> bool:
        return self._asks and any(each.mix is one for one in self._filling)

    def _mix(self, each: MixShown) -> Iterator[Block]:
        pen, mix = self.pen, each.mix
        yield pen.heading(mix.title or mix.id, level=3)
        allowance = mix.allowance.percent if mix.allowance else None
        yield pen.para(
            f"By {mix.by}",
            mix.fills and (", fills ", mix.fills),
            (", covers ", mix.covers.area, " ", mix.covers.thick, " thick") if mix.covers else None,
            mix.batch and (", a batch of ", mix.batch),
            f", {percent_words(allowance)} extra for what is lost" if allowance else None,
            f", once for the {mix.once}" if mix.once else None,
            f". Parts {each.ratio}" if each.ratio else None,
        )
        yield from self._asked_sheet(each) if self._is_asked(each) else self._sizes(each)
        if each.fault:
            yield pen.para(f"{each.fault} So nothing can be weighed from this sheet.", style="banner")
        yield from pen.labels((word.replace("_", " ").capitalize(), _timed(getattr(mix, word))) for word in _TIMES)
        if each.lacks_pot_life:
            yield pen.para(
                "No pot life is written down: nobody can say whether there is time to close.", style="banner"
            )
        yield from pen.labels((key, quiet(str(value))) for key, value in each.rest)

    def _name(self, each: Any) -> Loose:
        return (self.text.titles.get(each.name, each.name), each.temperature and (" at ", each.temperature))

    def _sizes(self, each: MixShown) -> list[Block]:
        """Its parts as written, weighed in three sizes where it can be scaled, else at its own."""
        sizes = list(each.calculator.sizes) if each.calculator else []
        if not sizes and each.sheet is not None:
            sizes = [("Weigh", each.sheet)]
        columns = {"Part": "", "As written": ""} | {_counted(words, sheet): "number" for words, sheet in sizes}
        rows: list[list[Loose | Letters]] = []
        for place, (part, words, _line, _rest) in enumerate(each.parts):
            cells: list[Loose | Letters] = [self._name(part), quiet(words)]
            cells += [_weight(sheet.portion[place]) for _words, sheet in sizes]
            rows.append([*cells, ""])
        if sizes:
            rows.append(
                [marked("strong", "Together"), "", *(marked("strong", _together(sheet)) for _words, sheet in sizes), ""]
            )
        return self.pen.table(columns | {"Weighed": "blank"}, rows)

    def _asked_sheet(self, each: MixShown) -> Iterator[Block]:
        """What is weighed for the mold or fill asked for, by the answer of ``mix``."""
        answer = mix_batch(self.text.view, self.text.pin, str(each.mix.id), replace(self.asked, today=None))
        self.notices += answer.notices
        (portion,) = answer.data["portions"]
        steps = {str(scale.id): scale.step.value for scale in self.text.view.settings.scales}
        if answer.data["grown_from"]:
            yield self.pen.para("Mixed: ", answer.data["grown_from"])
        if portion["count"] > 1:
            yield self.pen.para(f"{portion['count']} portions of this, each weighed by itself.", style="banner")
        rows = [self._row(part, words, line, steps) for (part, words, _sheet, _rest), line in zip(each.parts, portion["parts"], strict=True)]  # fmt: skip
        last = next((line for line in reversed(portion["parts"]) if line["scale_reads"] is not None), None)
        if last:
            rows.append([marked("strong", "Together"), "", "", marked("strong", _read(last, "scale_reads", steps)), ""])
        columns = {"Part": "", "As written": "", "Weigh": "number", "Scale reads": "number", "Weighed": "blank"}
        yield from self.pen.table(columns, rows)
        told = [notice for notice in answer.notices if notice.severity != "advice"]
        yield from self.pen.points(_typed(notice) for notice in told)

    def _row(self, part: Any, words: str, line: Mapping[str, Any], steps: Mapping[str, Any]) -> list[Loose | Letters]:
        said: Loose = marked("below", line["said"]) if line["said"] else None
        weigh = _read(line, "weigh", steps) if line["weigh"] is not None else line["as_written"] or "density missing"
        reads = _read(line, "scale_reads", steps) if line["scale_reads"] is not None else ""
        return [(self._name(part), said), quiet(words), marked("strong", weigh), reads, ""]


def _counted(words: str, sheet: Sheet) -> str:
    return f"{words}; {sheet.portions} cups, each" if sheet.portions > 1 else words


def _weight(line: Any) -> str:
    return f"{on_scale(line.weigh, line.step)} g" if line.weigh is not None else str(line.outside or "")


def _together(sheet: Sheet) -> str:
    reads = [line for line in sheet.portion if line.reads is not None]
    return f"{on_scale(reads[-1].reads or 0, min(line.step for line in sheet.portion))} g" if reads else ""


def _read(line: Mapping[str, Any], key: str, steps: Mapping[str, Any]) -> str:
    return f"{on_scale(line[key], steps.get(line['scale'] or '', COMMON_STEP))} g"


def _timed(timed: Timed | None) -> Loose:
    if timed is None:
        return None
    return (timed.time, timed.at and (" at ", timed.at), timed.basis and f" ({timed.basis})")


def _typed(notice: Notice) -> Loose:
    """What is said of a batch, without the marks of what is typed."""
    return f"{notice.message} {notice.help}".replace("`", "")
