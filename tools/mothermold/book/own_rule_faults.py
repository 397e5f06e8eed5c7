"""What can be wrong with the rules a book adds: their ids, their words, and what keeps them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from mothermold.book.document import Document
from mothermold.book.unknown import unknown_family, unknown_word
from mothermold.ground.notices import Notice
from mothermold.model.additions import AddedNames, OwnRule
from mothermold.model.recipe import BODY_SURFACES
from mothermold.model.settings import Settings
from mothermold.model.walk import KeyPath
from mothermold.trade.rules import rules
from mothermold.trade.unused import ADVISED
from mothermold.trade.vocabulary import Vocabulary

_RULES: Final = ("adds", "rules")


def find_addition_faults(document: Document, settings: Settings, words: Vocabulary) -> Iterator[Notice]:
    """Faults of the rules a book adds; until they are mended, none of its rules is judged by."""
    added = settings.adds.rules if settings.adds is not None else ()
    yield from _ids(document, added)
    for index, rule in enumerate(added):
        yield from _rule(document, rule, (*_RULES, index), words)


def _ids(document: Document, added: tuple[OwnRule, ...]) -> Iterator[Notice]:
    # An id is the code of a notice, and what `accepts:` goes by: it has to mean one thing.
    taken = dict.fromkeys(rules(), "A rule of the tool's own") | dict.fromkeys(ADVISED, "A habit the tool looks for")
    for index, rule in enumerate(added):
        if rule.id in taken:
            yield document.notice(
                "duplicate-id",
                f"{taken[rule.id]} is already called `{rule.id}`.",
                f"Give this one another id, such as `{rule.id}-2`.",
                (*_RULES, index, "id"),
            )
        taken.setdefault(str(rule.id), "Another rule of this book")


def _rule(document: Document, rule: OwnRule, path: KeyPath, words: Vocabulary) -> Iterator[Notice]:
    for key in ("title", "happens", "instead"):
        if not getattr(rule, key):
            advice = "Type it in a few words: a finding says it at the step."
            yield document.notice("empty-value", f"`{key}` has no value.", advice, (*path, key))
    use, met = (*path, "use"), (*path, "meets")
    yield from _families(document, (*use, "families"), rule.use.families, words.families, needed=True)
    yield from _roles(document, (*use, "as"), rule.use.as_, words)
    for index, stage in enumerate(rule.use.stages):
        if stage not in words.stages:
            yield unknown_word(document, (*use, "stages", index), stage, "a stage", words.stages, addition="stages")
    if rule.meets is not None:
        known = (*words.families, *sorted(BODY_SURFACES))
        yield from _families(document, (*met, "families"), rule.meets.families, known, needed=True)
        yield from _roles(document, (*met, "as"), rule.meets.as_, words)
    for index, way in enumerate(rule.kept_by):
        here = (*path, "kept_by", index)
        for key, families in (("layer", way.layer), ("done", way.done)):
            yield from _families(document, (*here, key), families, words.families)
        between = "layer" if way.layer else "waited" if way.waited is not None else None
        if between is None and not way.done:
            yield document.notice(
                "missing-key",
                "This entry does not say what keeps the rule.",
                "Type `layer:`, `done:` or `waited:` with what does, or delete it.",
                here,
            )
        elif between is not None and rule.meets is None:
            yield document.notice(
                "missing-key",
                f"The rule `{rule.id}` has `{between}` and no `meets`: nothing is there to lie between, or to wait for.",
                "Type `meets: {families: [...]}` with what the use meets, or keep it by `done:`.",
                (*here, between),
                on_key=True,
            )


def _families(
    document: Document, path: KeyPath, families: AddedNames, known: tuple[str, ...], *, needed: bool = False
) -> Iterator[Notice]:
    if needed and not families:
        advice = "Type at least one family in it, such as `[platinum-silicone]`."
        yield document.notice("missing-key", "`families` is an empty list.", advice, path)
    for index, family in enumerate(families):
        if family not in known:
            yield unknown_family(document, (*path, index), family, known)


def _roles(document: Document, path: KeyPath, roles: AddedNames, words: Vocabulary) -> Iterator[Notice]:
    for index, role in enumerate(roles):
        if role not in words.roles:
            yield unknown_word(document, (*path, index), role, "a use", words.roles, addition="as")
