"""What a form has to offer for its fields, out of the book, the trade's words, and the document itself."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any, Final

from mothermold.book.document import Document
from mothermold.book.files import build_of
from mothermold.desk.asking import Offer
from mothermold.desk.forms.layouts import asks
from mothermold.desk.forms.shapes import FieldShape
from mothermold.desk.forms.trees import Listed
from mothermold.desk.question import Said
from mothermold.desk.shop import Shop
from mothermold.model.build import Build
from mothermold.model.names import LookName, MixName, PartName, Reference, StepName, SurfaceName, ThingName
from mothermold.model.recipe import BODY_SURFACES, THE_REST, TOTAL
from mothermold.quantities.units import Dimension

USUAL_UNITS: Final[Mapping[Dimension, tuple[str, ...]]] = {
    "mass": ("g", "kg", "oz"), "volume": ("ml", "l"), "time": ("min", "h", "days"), "length": ("mm", "cm", "m"), "area": ("cm2", "m2"),
    "density": ("g/ml",), "temperature": ("degC", "degF"), "share": ("%",), "pieces": ("pieces",), "rolls": ("rolls",),
    "sheets": ("sheets",), "pairs": ("pairs",), "drops": ("drops",),
}  # fmt: skip
"""The units an amount is usually written in; any other is read as well."""

# Words of the trade, by where they are asked for.
_WORDS: Final[Mapping[str, str]] = {
    "recipe.stage": "stages", "failure.seen_at": "stages", "failure.caused_at": "stages", "book.adds.rules.use.stages": "stages",
    "material.families": "families", "material.maximum.of": "families", "book.adds.rules.use.families": "families",
    "book.adds.rules.meets.families": "families", "book.adds.rules.kept_by.layer": "families", "book.adds.rules.kept_by.done": "families",
    "recipe.steps.uses.as": "roles", "book.adds.rules.use.as": "roles", "book.adds.rules.meets.as": "roles",
    "recipe.steps.with": "equipment",
    "run.lots.lot": "lots", "build.cleared.lots.lot": "lots", "failure.noticed": "recipe steps", "mold.made": "makers", "mold.parts.made": "makers",
    "build.things.wearer": "wearers", "build.looks.wearer": "wearers", "build.cleared.wearer": "wearers",
}  # fmt: skip
_LOCAL: Final[Mapping[type, str]] = {
    StepName: "steps", MixName: "mixes", SurfaceName: "surfaces", ThingName: "things", LookName: "looks", PartName: "parts",
}  # fmt: skip


def offers_key(kind: str, shape: FieldShape) -> str:
    """Under which key the offers for a field stand; empty where it has none."""
    if shape.words:
        return f"{kind}.{shape.at}"
    if word := _WORDS.get(f"{kind}.{shape.at}"):
        return word
    for held in shape.types:
        if issubclass(held, Reference):
            return "pins" if held.KIND == "recipe" and (shape.pinned or held.PINS) else held.KIND
        if held in _LOCAL:
            return _LOCAL[held]
    return ""


class Offering:
    """The offers of one form; each list is made once, when it is asked for."""

    def __init__(self, shop: Shop, document: Document, tree: Mapping[str, Any]) -> None:
        self._shop, self._kind, self._document, self._tree = shop, document.kind, document, tree
        self._made: dict[str, tuple[Offer, ...]] = {}

    def key(self, shape: FieldShape) -> str:
        """The key of a field's offers, which are then among those made; empty where there are none."""
        key = offers_key(self._kind, shape)
        if key and key not in self._made:
            self._made[key] = tuple(map(Offer, shape.words)) if shape.words else tuple(self._make(key))
        return key if self._made.get(key) else ""

    def named(self, key: str) -> str:
        """The same for a list that no field of the model asks for."""
        self._made.setdefault(key, tuple(self._shop.titled(key)))
        return key if self._made[key] else ""

    @property
    def made(self) -> Mapping[str, tuple[Offer, ...]]:
        """All that was asked for, and is something."""
        return {key: offers for key, offers in self._made.items() if offers}

    def _make(self, key: str) -> Iterable[Offer]:
        shop, words = self._shop, self._shop.view.words
        plain: dict[str, Callable[[], Sequence[Offer]]] = {
            "stages": shop.stages,
            "families": shop.families,
            "roles": lambda: list(map(Offer, words.roles)),
            "equipment": lambda: list(map(Offer, words.equipment)),
            "recipe": shop.recipes,
            "pins": lambda: shop.pins(drafts=self._kind in ("run", "build")),
            "recipe steps": shop.steps,
            "run": shop.runs,
            "makers": self._makers,
            "mold": lambda: shop.molds(self._build) if self._kind == "run" else shop.titled("mold"),
            "lots": self._lots,
            "wearers": lambda: list(map(Offer, _texts(self._tree.get("wearers")))),
        }
        if key in plain:
            return plain[key]()
        return self._local(key) if key in _LOCAL.values() else shop.titled(key)

    def _makers(self) -> Sequence[Offer]:
        offers = asks("mold")["made"].offers
        return offers(Said({"_shop": self._shop})) if callable(offers) else offers

    @property
    def _build(self) -> str:
        return (build_of(self._document.file) if self._document.file else None) or ""

    def _lots(self) -> list[Offer]:
        run = self._run
        recipe = self._shop.recipe_at(str(run.get("recipe") or "")) if run else None
        return [Offer(lot, offer.words) for offer, (_name, lot) in (self._shop.lots(recipe) if recipe else {}).items()]

    @property
    def _run(self) -> Mapping[str, Any]:
        return self._tree if self._kind == "run" else {}

    def _local(self, key: str) -> list[Offer]:
        """What is named here, or in what a run leans on: its recipe, its build."""
        recipe = self._shop.recipe_at(str(self._run.get("recipe") or ""))
        build = self._shop.view.models(Build).get(self._build)
        match key:
            case "steps" | "mixes" if self._kind == "run":
                return [Offer(each.id, each.title or "") for each in getattr(recipe, key, ())]
            case "things" | "looks" if self._kind != "build":
                return [Offer(each.id) for each in getattr(build, key, ())] if build else self._every_thing(key)
            case "surfaces":
                return [Offer(name) for name in self._surfaces()]
            case "parts":
                return [Offer(name) for name in (*self._parts(), THE_REST, TOTAL)]
        return list(_named(self._tree.get(key)))

    def _every_thing(self, key: str) -> list[Offer]:
        names = {each.id: None for build in self._shop.view.models(Build).values() for each in getattr(build, key)}
        return [Offer(name) for name in names]

    def _surfaces(self) -> list[str]:
        gives = self._tree.get("gives")
        given = gives.get("surfaces") if isinstance(gives, dict) else None
        own = [offer.value for offer in (*_named(self._tree.get("surfaces")), *_named(given))]
        return list(dict.fromkeys([*own, *sorted(BODY_SURFACES)]))

    def _parts(self) -> list[str]:
        found: dict[str, None] = {}
        for mix in _entries(self._tree.get("mixes")):
            for part in _entries(mix.get("parts")):
                found |= {
                    str(part[key]): None for key in ("material", "mix") if isinstance(part.get(key), str) and part[key]
                }
        return list(found)


def _named(rows: Any) -> Iterator[Offer]:
    for entry in _entries(rows):
        if isinstance(entry.get("id"), str) and entry["id"]:
            yield Offer(entry["id"], entry["title"] if isinstance(entry.get("title"), str) else "")


def _entries(rows: Any) -> list[dict[str, Any]]:
    return [each for each in rows.values() if isinstance(each, dict)] if isinstance(rows, Listed) else []


def _texts(node: Any) -> tuple[str, ...]:
    return node if isinstance(node, tuple) else ()
