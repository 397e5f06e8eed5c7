"""A changed recipe beside what its history says: which of its numbers it carries, and whether that is still true."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from mothermold.book.document import Document
from mothermold.compare.differences import same_process
from mothermold.history.versions import Version, Versions, as_text, said_version
from mothermold.model.recipe import Recipe

Case = Literal["locked", "notes", "draft", "raised"]


@dataclass(frozen=True, slots=True)
class ChangedRecipe:
    """A changed recipe beside what its history says.

    Attributes:
        document: As it lies in the book's folder.
        original: Its file's text with its own line ends.
        case: ``locked`` where something numbered changed under a locked number, ``notes`` where nothing did,
            ``draft``, or ``raised`` where its number is new.
        before: The text it is compared with; None for the first.
        versions: Its numbers.
        carried: The highest number it was ever saved under, a draft's too; 0 for none.
    """

    document: Document
    original: str
    case: Case
    before: Document | None
    versions: Versions
    carried: int = 0

    @property
    def recipe(self) -> Recipe:
        """What it says."""
        assert isinstance(self.document.model, Recipe)
        return self.document.model

    @property
    def next_number(self) -> int:
        """The number after all it ever carried."""
        return max(self.versions.highest, self.recipe.version) + 1

    @property
    def skipped(self) -> int:
        """The number that would be the next, where a later one was typed; 0 where none was left out."""
        following = self.carried + 1
        return following if self.carried and self.recipe.version > following else 0

    @property
    def fixes_before(self) -> tuple[str, ...]:
        """The failure notes the last number before its own answers."""
        lower = newest_below(self.versions, self.recipe.version)
        return lower.as_saved().fixes if lower is not None else ()


def beside_history(document: Document, original: str, versions: Versions, head: Document | None) -> ChangedRecipe:
    """A readable recipe beside its history.

    Args:
        document: As it lies in the book's folder.
        original: Its file's text.
        versions: Its numbers.
        head: Its text in the newest save, where it has one.
    """
    recipe = document.model
    assert isinstance(recipe, Recipe)
    carried = max([row.number for row in versions.rows if row.commit is not None], default=0)
    carried = max(carried, (said_version(head)[0] or 0) if head is not None else 0)
    row = versions.get(recipe.version)
    if row is not None and row.commit is not None:
        saved = row.as_saved().document
        a, b = as_text(saved), as_text(document)
        same = a is not None and b is not None and same_process(a, b)
        case: Case = "notes" if same and recipe.status != "draft" else "locked"
        return ChangedRecipe(document, original, case, saved, versions, carried)
    lower = newest_below(versions, recipe.version)
    before = lower.as_saved().document if lower is not None else None
    if recipe.status == "draft":
        return ChangedRecipe(
            document, original, "draft", head if _is_same_draft(head, recipe) else before, versions, carried
        )
    return ChangedRecipe(document, original, "raised", before, versions, carried)


def newest_below(versions: Versions, number: int) -> Version | None:
    """The saved number before this one, withdrawn ones aside where there are others."""
    saved = [row for row in versions.rows if row.number < number and row.commit is not None]
    kept = [row for row in saved if row.status in ("locked", "retired")]
    return next(reversed(kept or saved), None)


def _is_same_draft(head: Document | None, recipe: Recipe) -> bool:
    return head is not None and isinstance(head.model, Recipe) and head.model.version == recipe.version
