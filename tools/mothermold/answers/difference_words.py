"""The changes between two texts of a recipe as sentences, with everything called by its title."""

from __future__ import annotations

from mothermold.answers.pours import weighs_the_same
from mothermold.answers.result import title_words
from mothermold.compare.change import Change
from mothermold.compare.differences import RecipeText, differences
from mothermold.compare.sentences import sentence
from mothermold.model.material import Material
from mothermold.view.view import View


def changes_between(view: View, old: RecipeText, new: RecipeText) -> list[tuple[Change, str]]:
    """Every change with its sentence."""
    titles = title_words(view, "material", "failure")
    titles |= {entry.id: entry.title for entry in (*old.recipe.steps, *new.recipe.steps)}
    titles |= {mix.id: mix.title for mix in (*old.recipe.mixes, *new.recipe.mixes) if mix.title}
    materials = view.models(Material)
    found = []
    for change in differences(old, new):
        same = weighs_the_same(change, old.recipe, new.recipe, materials)
        found.append((change, sentence(change, titles, same_weight=same)))
    return found


def change_sentences(view: View, old: RecipeText, new: RecipeText) -> list[str]:
    """The sentences of all changes but mere wording: what could have brought something about."""
    return [said for change, said in changes_between(view, old, new) if change.kind != "wording"]
