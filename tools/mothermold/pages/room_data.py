"""What pages carry of a recipe's temperatures: for the bench's script all it asks of a room, for a calculator what holds in any."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from mothermold.answers.result import number
from mothermold.model.material import Material
from mothermold.model.recipe import Mix, Recipe
from mothermold.trade.rooms import Closing, Noted, closing_of, closing_words, limits_of
from mothermold.trade.rules import Rule


def room_data(
    recipe: Recipe, materials: Mapping[str, Material], rules: Mapping[str, Rule], titles: Mapping[str, str]
) -> dict[str, Any]:
    """The limits of `trade.rooms` as numbers and words for `bench-room.js`."""
    limits = limits_of(recipe, materials, rules)
    return {
        "steps": [
            {
                "step": str(each.step.id),
                "title": each.step.title,
                "low": float(each.low),
                "high": float(each.high),
                "asks": str(each.asks),
            }
            for each in limits.steps
        ],
        "cold": [
            {
                "code": each.rule.id,
                "step": str(each.step.id),
                "title": each.step.title,
                "material": titles.get(each.material, each.material),
                "under": each.under,
                "happens": each.rule.happens,
            }
            for each in limits.cold
        ],
        "closing": [_closing(each) for each in limits.closing],
    }


def _closing(each: Closing) -> dict[str, Any]:
    life = each.mix.pot_life
    found: dict[str, Any] = {
        "mix": str(each.mix.id),
        "title": each.mix.title or str(each.mix.id),
        "minutes": number(each.minutes),
        "starts": each.starts,
        "life": None,
    }
    if life is not None:
        found["life"] = {
            "low": number(life.time.low),
            "high": number(life.time.high),
            "time": str(life.time),
            "at": [number(life.at.low), number(life.at.high)] if life.at is not None else None,
            "written_for": str(life.at) if life.at is not None else None,
        }
    return found


def closing_told(recipe: Recipe, mix: Mix, called: str) -> list[dict[str, str]]:
    """What is said of a mix's pot life in any room, as `mix` without `--room` says it."""
    said = closing_words(called, closing_of(recipe, mix), Noted())
    return [{"code": said.code, "words": said.words}] if said else []
