"""What an ``of`` says once parts were replaced: in its own mix, or inside a premix at any depth.

Knows mixes only as the names of their parts, so that what is meant and what is written follow alike.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from mothermold.compare.pairing import bare, numbered, pair

Mixes = Mapping[str, Sequence[str]]
"""The names of the parts of each mix, in order."""


def renames(old: Mixes, new: Mixes) -> dict[str, dict[str, str]]:
    """For every mix in both, what the names in its ``of`` have become.

    Args:
        old: The mixes of A.
        new: The mixes of B.
    """
    replaced = {mix: _replaced(old[mix], new[mix]) for mix in old if mix in new}
    inside: dict[str, str] = {}
    for premix in replaced:
        within = _within(premix, new)
        # What still lies in the premix, elsewhere in it, keeps its name.
        still = {name for mix in within for name in new[mix]}
        for mix in reversed(within):
            for before, after in replaced.get(mix, {}).items():
                if before not in still:
                    inside[f"{premix}/{before}"] = f"{premix}/{after}"
    return {mix: inside | own for mix, own in replaced.items()}


def followed(name: str, names: Mapping[str, str]) -> str:
    """What the name of a part says after parts were replaced, itself or the premix it lies in."""
    premix, slash, inner = name.partition("/")
    if premix in names:
        return names[premix] + slash + inner
    return names.get(name, name)


def _replaced(old: Sequence[str], new: Sequence[str]) -> dict[str, str]:
    pairing = pair(numbered(old), numbered(new), replaceable=True)
    return {bare(before): bare(after) for after, before in pairing.replaced.items()}


def _within(mix: str, mixes: Mixes) -> list[str]:
    """The mix and all its premixes, itself first."""
    found = [mix]
    for known in found:
        found += [name for name in dict.fromkeys(mixes[known]) if name in mixes and name not in found]
    return found
