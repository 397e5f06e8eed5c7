"""The patch-test gate: whether everything a look puts on skin and hair was read and clear for its wearer, and in time.

Only that it is clear stands in the book; the facts lie in ``private/``. A product added later, remover included, opens the
question again. How long a patch waits, and where that is from, is told in ``trade.skin``; the rest is common practice.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from mothermold.book.document import Document
from mothermold.book.files import build_of
from mothermold.ground.notices import Notice
from mothermold.ground.words import in_words
from mothermold.model.build import Build, Clearance, Look
from mothermold.model.names import RecipeRef
from mothermold.model.run import Run
from mothermold.trade.skin import PATCH_TEST_DAYS, PATCH_TEST_HOURS
from mothermold.view.patch_cover import PatchCover, days_between
from mothermold.view.ruling import Ruling, is_sound


def find_clearing_faults(document: Document, ruling: Ruling, faulty: Collection[str | None]) -> Iterator[Notice]:
    """What comes to a wearer that no clearance covers, and clearances that came too late, too soon, or say too little.

    Args:
        document: A build; of nothing else anything is said.
        ruling: Knows the rules, the materials and the texts of versions.
        faulty: Files with a slip in them: that comes first.
    """
    build = document.model
    if not isinstance(build, Build) or document.file in faulty:
        return
    documents = ruling.documents
    if is_sound(documents, map(ruling.today, build.recipes), faulty):
        runs = [
            each
            for each in documents.on("run").values()
            if build_of(each.file) == document.address and each.file not in faulty
        ]
        yield from _Gate(document, build, ruling, runs).notices()


@dataclass
class _Gate:
    document: Document
    build: Build
    ruling: Ruling
    runs: list[Document]

    def notices(self) -> Iterator[Notice]:
        for index, look in enumerate(self.build.looks):
            yield from self._look(look, index)
        for index, clearance in enumerate(self.build.cleared):
            yield from self._read(clearance, index)
        yield from self._late()
        for run in self.runs:
            yield from self._lots(run)

    @cached_property
    def cover(self) -> PatchCover:
        return PatchCover(self.build, self.ruling)

    def _look(self, look: Look, index: int) -> Iterator[Notice]:
        """Products of a look that no clearance of its wearer covers."""
        if not look.recipes:
            return
        path = ("looks", index, *next(iter(look.recipes)))
        wearer, wanted = self.build.wearer_of(look), self.cover.products(look.recipes.values())
        if wearer is None:
            if wanted:
                yield self.document.notice(
                    "not-cleared",
                    f"Nothing says who wears the look `{look.id}`, so whether it is cleared is not known.",
                    "Type `wearer:` in the look, with a code such as `W1`.",
                    path,
                    severity="advice",
                )
            return
        unread = [look.called(place) for place, ref in look.recipes.items() if self.ruling.text(ref) is None]
        if unread:
            yield self.document.notice(
                "not-cleared",
                f"What {' and '.join(unread)} of the look `{look.id}` puts on the skin of `{wearer}` is not known, "
                "so whether it is cleared is not known either.",
                "The book has no text of that version: name one it has.",
                path,
                severity="advice",
            )
        missing = [name for name in wanted if not self.cover.covering(wearer, name)]
        if missing:
            what = ", ".join(f"`{name}`" for name in missing)
            yield self.document.notice(
                "not-cleared",
                f"For `{wearer}` no patch test has been read and is clear for {what} of the look `{look.id}`.",
                "Nothing is glued until it is; then type it under `cleared:` with wearer, products, `tested` and `on`.",
                path,
                severity="warning",
            )

    def _read(self, clearance: Clearance, index: int) -> Iterator[Notice]:
        """A clearance read too soon after the patch was put on, or that does not say when."""
        path = ("cleared", index)
        days = days_between(clearance)
        if days is None:
            lacks = {
                "`tested`, the day the patch was put on": clearance.tested,
                "`on`, the day it was read": clearance.on,
            }
            missing = ", and ".join(words for words, day in lacks.items() if day is None)
            yield self.document.notice(
                "reading-not-known",
                f"Whether this patch of `{clearance.wearer}` was read {PATCH_TEST_HOURS} hours after it was put on "
                "cannot be seen.",
                f"Type {missing}.",
                path,
                severity="advice",
            )
        elif days < PATCH_TEST_DAYS:
            gap = "before it was put on" if days < 0 else f"less than {PATCH_TEST_HOURS} hours later"
            yield self.document.notice(
                "read-too-soon",
                f"The patch of `{clearance.wearer}` was put on `{clearance.tested}` and read `{clearance.on}`, {gap}.",
                f"Read it again at {PATCH_TEST_HOURS} hours or later, and type that day as `on`; until then nothing is glued.",
                (*path, "on"),
                severity="warning",
            )

    def _late(self) -> Iterator[Notice]:
        """Clearances that came on or after the first day their products went on, with no earlier one to count on."""
        late: dict[tuple[int, str], tuple[date, list[str]]] = {}
        for look in self.build.looks:
            wearer = self.build.wearer_of(look)
            for day in sorted(each.day for each in self.build.days if each.look == look.id):
                for product in self.cover.products(self._sheets(look, day)) if wearer else ():
                    covering = self.cover.covering(str(wearer), product)
                    read = {index: self.build.cleared[index].on for index in covering}
                    if not read or any(on is None or on < day for on in read.values()):
                        continue
                    first = min(read, key=lambda index: read[index] or day)
                    since, products = late.setdefault((first, str(look.id)), (day, []))
                    if since == day:
                        products.append(product)
        for (index, look_id), (day, products) in sorted(late.items()):
            clearance = self.build.cleared[index]
            yield self.document.notice(
                "cleared-too-late",
                f"For `{clearance.wearer}` the patch of {in_words(products)} was read on `{clearance.on}`, "
                f"and the look `{look_id}` is worn on `{day}`.",
                "A patch is read and clear before the first day; nothing that is not read yet goes on that day.",
                ("cleared", index, "on"),
                severity="warning",
            )

    def _sheets(self, look: Look, day: date) -> list[RecipeRef]:
        """The recipes of a look as they were done on a day, where a run says so, else as it names them."""
        done = {
            self.ruling.today(run.recipe).address: run.recipe
            for run in (each.model for each in self.runs)
            if isinstance(run, Run)
            and run.look == look.id
            and run.day == day
            and run.recipe
            and self.ruling.text(run.recipe)
        }
        return [done.get(self.ruling.today(ref).address, ref) for ref in look.recipes.values()]

    def _lots(self, document: Document) -> Iterator[Notice]:
        """Lots a run used of a material of which other lots were tried on the wearer."""
        run = document.model
        if not isinstance(run, Run) or run.kind == "test":
            return
        wearers = self._wearers(run)
        # What is cast today is worn later; what goes on a face counts on what was read before that day, if anything was.
        worn = run.day or (run.started.date() if run.look else None)
        for index, used in enumerate(run.lots):
            covering = [
                each
                for each, products in zip(self.build.cleared, self.cover.covered, strict=True)
                if each.wearer in wearers and str(used.material) in products
            ]
            before = [each for each in covering if worn is None or each.on is None or each.on < worn]
            tried = {
                str(entry.lot): each.wearer
                for each in before or covering
                for entry in each.lots
                if entry.material == used.material
            }
            if tried and str(used.lot) not in tried:
                yield document.notice(
                    "lot-not-cleared",
                    f"Lot `{used.lot}` of `{used.material}` was used for `{next(iter(tried.values()))}`, "
                    f"who was patch tested with {in_words(list(tried))}.",
                    "Try this lot on the wearer too, and type it under `lots:` of a clearance in the build.",
                    ("lots", index, "lot"),
                    severity="warning",
                )

    def _wearers(self, run: Run) -> set[str]:
        """For whom a run was done: who wears its look or its thing, else anybody of the build."""
        looks = [self.build.wearer_of(look) for look in self.build.looks if look.id == run.look]
        things = [thing.wearer for thing in self.build.things if thing.id == run.thing]
        named = {str(each) for each in looks or things if each}
        return named or {str(each.wearer) for each in self.build.cleared}
