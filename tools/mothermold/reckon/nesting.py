"""How the mixes of one recipe contain each other: circles, and the materials at the bottom."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from mothermold.model.recipe import Mix, MixPart, Use


def first_circle(mixes: Sequence[Mix], by_id: Mapping[str, Mix]) -> tuple[int, int, list[str]] | None:
    """The first part, in the order of the file, through which a mix contains itself.

    Returns:
        The place of its mix, its place in it, and the mixes of the circle; None where there is none.
    """
    suspects = _not_makeable(by_id)
    for number, mix in enumerate(mixes):
        for index, part in enumerate(mix.parts if mix.id in suspects else ()):
            if part.mix in by_id and (trail := _trail(str(part.mix), mix.id, by_id)) is not None:
                return number, index, [mix.id, *trail]
    return None


def _not_makeable(by_id: Mapping[str, Mix]) -> set[str]:
    """The mixes that cannot be made one after the other, premixes first: those in circles, and those above."""
    missing = {name: {str(part.mix) for part in mix.parts if part.mix in by_id} for name, mix in by_id.items()}
    used_in: dict[str, list[str]] = {name: [] for name in by_id}
    for name, premixes in missing.items():
        for premix in premixes:
            used_in[premix].append(name)
    ready = [name for name, premixes in missing.items() if not premixes]
    while ready:
        made = ready.pop()
        del missing[made]
        for name in used_in[made]:
            missing[name].discard(made)
            if not missing[name]:
                ready.append(name)
    return set(missing)


def _trail(start: str, goal: str, by_id: Mapping[str, Mix]) -> list[str] | None:
    """The mixes on the way from one down to another, without the goal; each mix is looked at once."""
    came_from: dict[str, str | None] = {start: None}
    ahead = [start]
    while ahead:
        here = ahead.pop()
        if here == goal:
            trail: list[str] = []
            step = came_from[here]
            while step is not None:
                trail.insert(0, step)
                step = came_from[step]
            return trail
        for part in by_id[here].parts:
            if part.mix in by_id and part.mix not in came_from:
                came_from[str(part.mix)] = here
                ahead.append(str(part.mix))
    return None


def materials_inside(mix_id: str, by_id: Mapping[str, Mix], *, measured: bool = False) -> list[str]:
    """The materials a mix is made of, through its own premixes, in pouring order.

    Args:
        mix_id: The mix.
        by_id: All mixes of the recipe.
        measured: Whether to leave out what stands outside the arithmetic everywhere.
    """
    found: dict[str, None] = {}
    seen: set[str] = set()
    ahead: list[tuple[str, str]] = [("", mix_id)]
    while ahead:
        material, mix = ahead.pop()
        if material:
            found[material] = None
        elif mix in by_id and mix not in seen:
            seen.add(mix)
            ahead += [
                (str(part.material or ""), str(part.mix or ""))
                for part in reversed(by_id[mix].parts)
                if not (measured and is_outside(by_id[mix], part))
            ]
    return list(found)


def mixes_inside(mix_ids: Iterable[str], by_id: Mapping[str, Mix]) -> set[str]:
    """These mixes and all that go into them, at any depth; what the recipe does not know is left out."""
    found: set[str] = set()
    ahead = list(mix_ids)
    while ahead:
        mix = ahead.pop()
        if mix in by_id and mix not in found:
            found.add(mix)
            ahead += [str(part.mix) for part in by_id[mix].parts if part.mix]
    return found


def materials_used(use: Use, by_id: Mapping[str, Mix]) -> list[str]:
    """The materials a use brings: its own, or those its mix is made of, in pouring order."""
    return [str(use.material)] if use.material else materials_inside(str(use.mix), by_id)


def is_fixed(mix: Mix) -> bool:
    """Whether a mix consists of amounts only: it is reckoned as it stands, and never scaled."""
    return all(part.parts is None and part.percent is None for part in mix.parts)


def is_outside(mix: Mix, part: MixPart) -> bool:
    """Whether a part stands outside the arithmetic: matched by eye, in words, or an amount beside parts."""
    if part.match is not None or isinstance(part.amount, str):
        return True
    return part.amount is not None and not is_fixed(mix)
