"""The changes between two texts of a recipe as sentences, with everything called by its title."""

from __future__ import annotations

from mothermold.answers.result import title_words
from mothermold.compare.differences import Change, Text, differences
from mothermold.compare.sentences import sentence
from mothermold.view.view import View


def changes_between(view: View, old: Text, new: Text) -> list[tuple[Change, str]]:
    """Every change with its sentence."""
    titles = title_words(view, "failure") | title_words(view)
    titles |= {entry.id: entry.title for entry in (*old.recipe.steps, *new.recipe.steps)}
    titles |= {mix.id: mix.title for mix in (*old.recipe.mixes, *new.recipe.mixes) if mix.title}
    return [(change, sentence(change, titles)) for change in differences(old, new)]


def change_sentences(view: View, old: Text, new: Text) -> list[str]:
    """The sentences of all changes but mere wording: what could have brought something about."""
    return [said for change, said in changes_between(view, old, new) if change.kind != "wording"]
