"""What keeps a rule where it applies: a layer between, something done since, time that passed, a spot tried before."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from mothermold.model.recipe import BODY_SURFACES
from mothermold.trade.layers import Act, Contact, Layer, LayerPlace
from mothermold.trade.rules import Remedy, Rule
from mothermold.trade.skin import PATCH_TEST_HOURS

DAY: Final = 24 * 60
_HOT_ENOUGH: Final = 4 * 60
_WARM: Final = 20


def same_work(one: Act, other: Act) -> bool:
    """Whether two acts are of one recipe at work."""
    return (one.at.thing, one.at.recipe) == (other.at.thing, other.at.recipe)


def dries(moment: Act) -> bool:
    """Whether a step dries stone or cures resin: a day's wait, hours in the oven, or drying named as such."""
    return moment.role == "dry" or moment.waits >= DAY or (moment.heated and moment.waits >= _HOT_ENOUGH)


def minutes_since(layer: Layer, contact: Contact) -> Fraction | None:
    """Minutes from the end of the work on a layer to the contact; None from one thing to another, or for what was there."""
    if layer.act is None or layer.act.at.thing != contact.act.at.thing:
        return None
    return max(contact.act.starts - layer.act.works_until, Fraction(0))


@dataclass(frozen=True, slots=True)
class Keeping:
    """A rule that applies at a contact with a layer that is what it is since some act, and what keeps it."""

    rule: Rule
    contact: Contact
    layer: Layer
    since: int

    def step(self) -> LayerPlace | None:
        """The step that keeps the rule; None where none does."""
        for way in self.rule.kept_by:
            steps = [self._kept(remedy) for remedy in way]
            if all(steps):
                return steps[0]
        return None

    def trial(self) -> LayerPlace | None:
        """A spot tried a day before, of the same on the same; a patch on a body the hours a patch test takes."""
        rule, layer = self.rule, self.layer
        body = self.contact.surface in BODY_SURFACES
        ahead = PATCH_TEST_HOURS * 60 if body else DAY
        for done in self.contact.earlier:
            if done.role != "test" or not self._sure(done) or not done.families & rule.used.families:
                continue
            if same_work(done, self.contact.act) and self.contact.act.starts - done.works_until < ahead:
                continue
            on_it = any(done is each for each in self.contact.face.acts) or (body and done.everywhere)
            if on_it or done.materials & layer.materials or done.families & rule.used.beside:
                return done.at
        return None

    def _kept(self, remedy: Remedy) -> LayerPlace | None:
        """The step that applies a remedy between what is met and the contact."""
        if remedy.kind == "layer":
            layers = self.contact.face.layers
            above = layers[next(index for index, each in enumerate(layers) if each is self.layer) + 1 :]
            return next((each.act.at for each in reversed(above) if each.act and self._fits(remedy, each.act)), None)
        if remedy.kind == "waited":
            waited = minutes_since(self.layer, self.contact)
            if waited is None:
                # From one thing to the next days pass; what was there before has long been there.
                return (self.layer.act or self.contact.act).at
            return self._longest_wait() if waited >= remedy.minutes else None
        if remedy.kind in ("dried", "cured"):
            return self._dried(remedy.kind)
        return next((each.at for each in self._done(remedy)), None)

    def _dried(self, kind: str) -> LayerPlace | None:
        """The step that dried stone or cured resin."""
        face, laid = self.contact.face, self.layer.act
        steps = [
            each.at
            for each in (*face.moments, *face.acts)
            if self.since <= each.number and self._sure(each) and dries(each)
        ]
        if not steps and kind == "cured" and laid is not None and laid.at.thing != self.contact.act.at.thing:
            return laid.at
        return steps[0] if steps else None

    def _done(self, remedy: Remedy) -> list[Act]:
        """What was done since, that may be the remedy: to this surface, or anywhere in the work before."""
        among: Sequence[Act] = self.contact.face.acts
        if remedy.kind != "done":
            among = [each for each in self.contact.earlier if same_work(each, self.contact.act)]
        since = [each for each in among if self.since < each.number and self._sure(each)]
        if remedy.kind == "heated":
            return [each for each in since if each.heated]
        if remedy.kind == "warmed":
            return [each for each in since if each.warmest is not None and each.warmest >= _WARM and each.waits]
        if remedy.kind == "gloves":
            worn = self.layer.act.families if self.layer.act else frozenset()
            return [each for each in since if each.role == "protect" and each.everywhere and not each.families & worn]
        return [each for each in since if self._fits(remedy, each)]

    def _fits(self, remedy: Remedy, done: Act) -> bool:
        return remedy.fits(done.families, done.role) and self._sure(done)

    def _sure(self, done: Act) -> bool:
        """Whether something is certainly done before: in an earlier thing or step, or earlier in the same step."""
        act = self.contact.act
        if not same_work(done, act):
            return True
        return done.at.step in act.sure or (done.at.step == act.at.step and done.number < act.number)

    def _longest_wait(self) -> LayerPlace:
        step = self.contact.act.at.step
        between = [
            each
            for each in self.contact.earlier
            if self.since <= each.number and self._sure(each) and each.at.step != step
        ]
        return max(between, key=lambda each: each.waits, default=self.contact.act).at
