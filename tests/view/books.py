"""Makes whole books at random: every kind of document, every field, every visibility, citing each other freely.

The same seed makes the same book. Every free word, every name and every file name tells by a marker who may see
it: ``zqprivate7w1`` and ``zq-private-7-jelly`` stand in documents only the owner may see, and so on. Comments
carry ``zqcomment``, and nobody but the owner of the file may see those.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from mothermold.model.build import Build, Look, Thing
from mothermold.model.course import Course
from mothermold.model.failure import Failure
from mothermold.model.material import Material
from mothermold.model.mold import Mold
from mothermold.model.names import Reference
from mothermold.model.pictures import Picture
from mothermold.model.recipe import Mix, Recipe, Step, Until, Use, Within
from mothermold.model.run import Run
from mothermold.model.settings import Settings
from view.filling import Filler, Tree, written

PRICE = "731946.25"
"""The price of every pack, which nobody but the owner may see: a number can carry no marker."""

_WITH_PICTURES = (
    ("Recipe", "pictures"), ("Step", "pictures"), ("Run", "photos"), ("Failure", "photos"), ("Mold", "photos"), ("Build", "photos"),
    ("Thing", "photos"),
)  # fmt: skip
_WHO = {"face": ("yes", "no", "no"), "visibility": ("private", "class", "public")}
LEVELS = ("private", "class", "public")
STAGES = ("core", "mold", "cast", "finish", "application", "wear", "removal")
_FOLDERS = {"material": "materials", "failure": "failures", "run": "runs", "mold": "molds", "course": "courses"}


def narrower(*levels: str) -> str:
    """The narrowest of these visibilities."""
    return min(levels, key=LEVELS.index)


@dataclass
class Planned:
    """A document to be written: who may see it, and what others may name in it.

    Attributes:
        kind: Its kind.
        level: Who may see it: the narrower of what it says itself and of the build it lies in.
        says: The visibility it says itself.
        number: The number in its markers.
        address: What others call it.
        file: Where it lies.
        build: The build it lies in.
        steps: By version, the ids of its steps; ``mixes`` the same.
        things: The ids of a build's things.
        looks: The ids of its looks.
    """

    kind: str
    level: str
    says: str
    number: int
    address: str
    file: str
    build: str = ""
    steps: dict[int, list[str]] = field(default_factory=dict)
    mixes: dict[int, list[str]] = field(default_factory=dict)
    things: list[str] = field(default_factory=list)
    looks: list[str] = field(default_factory=list)
    earlier: str = ""


@dataclass
class Commit:
    """One saved state: the files it changed, None for a deleted one, and whether it lies on the main line."""

    files: dict[str, str | None]
    first_parent: bool = True


@dataclass
class GeneratedBook:
    """A book as texts.

    Attributes:
        files: The texts of today by file.
        commits: Its history, oldest first.
        plans: Its documents that can be read.
        broken: Its documents that cannot be read.
        fields: Every field that was filled in, as model and key.
    """

    files: dict[str, str] = field(default_factory=dict)
    commits: list[Commit] = field(default_factory=list)
    plans: list[Planned] = field(default_factory=list)
    broken: list[Planned] = field(default_factory=list)
    fields: set[tuple[str, str]] = field(default_factory=set)


def make_book(seed: int, fullness: float = 0.4) -> GeneratedBook:
    """The book of a seed.

    Args:
        seed: Which book.
        fullness: How many of the fields that may be left out are filled in; 1 for all.
    """
    return _Maker(seed, fullness).make()


class _Maker:
    def __init__(self, seed: int, fullness: float) -> None:
        self.rng = random.Random(seed)
        self.fullness = fullness
        # Every other book is young, to keep a thousand of them quick.
        self.young = seed % 2 == 1
        self.book = GeneratedBook()
        self.numbers = 0
        self.comments = 0
        self.surfaces: list[str] = []
        self.pieces: dict[str, list[str]] = {}
        self.plans: dict[str, list[Planned]] = {}

    def make(self) -> GeneratedBook:
        rng = self.rng
        builds = [self._plan("build") for _ in range(rng.randint(1, 2))]
        for build in builds:
            build.things = [f"zq-{build.level}-{build.number}-thing{i}" for i in range(rng.randint(2, 4))]
            build.looks = [f"zq-{build.level}-{build.number}-look{i}" for i in range(2)]
        counts = {
            "material": (4, 5),
            "failure": (2, 3),
            "course": (1, 2),
            "recipe": (3, 4),
            "run": (3, 5),
            "mold": (1, 3),
        }
        for kind, (least, most) in counts.items():
            for _ in range(rng.randint(least, most)):
                self._plan(kind, rng.choice([None, None, *builds]) if kind in ("run", "mold") else None)
        self.book.files["recipes/book.yaml"] = self._settings()
        for recipe in self.plans["recipe"]:
            self._recipe(recipe)
        for kind, model in (
            ("build", Build),
            ("run", Run),
            ("mold", Mold),
            ("material", Material),
            ("failure", Failure),
            ("course", Course),
        ):
            for plan in self.plans[kind]:
                filler = self._filler(plan, plan.level)
                tree = getattr(self, f"_{kind}")(plan, filler, model)
                self._add(plan, filler, tree)
        for _ in range(rng.choice([0, 0, 1, 2])):
            self._broken()
        if rng.random() < 0.3:
            self._lost()
        return self.book

    # Planning

    def _plan(self, kind: str, build: Planned | None = None, level: str | None = None) -> Planned:
        self.numbers += 1
        says = level or self.rng.choice(LEVELS)
        level = narrower(says, build.level) if build else says
        name = f"zq-{level}-{self.numbers}-{kind}"
        folder = f"zq-{level}-{self.numbers}-folder/" if self.rng.random() < 0.3 else ""
        address = name
        if kind == "recipe":
            address = f"{self.rng.choice(STAGES)}/{folder}{name}"
            file = f"recipes/{address}.yaml"
        elif kind == "build":
            file = f"recipes/builds/{name}/build.yaml"
        elif build:
            file = f"recipes/builds/{build.address}/{_FOLDERS[kind]}/{folder}{name}.yaml"
        else:
            file = f"recipes/{_FOLDERS[kind]}/{folder}{name}.yaml"
        plan = Planned(kind, level, says, self.numbers, address, file, build.address if build else "")
        self.plans.setdefault(kind, []).append(plan)
        return plan

    def _add(self, plan: Planned, filler: Filler, tree: Tree) -> None:
        self.book.files[plan.file] = written(tree, self._comment)
        self.book.fields |= filler.fields
        self.book.plans.append(plan)

    def _comment(self) -> str:
        self.comments += 1
        return f"zqcomment{self.comments}"

    # What all kinds share

    def _filler(self, plan: Planned, level: str) -> Filler:
        filler = Filler(self.rng, level, plan.number, self.fullness)
        filler.reference = self._reference
        filler.link = lambda: self._run_link(filler)
        filler.hooks |= {
            ("Accept", "where"): lambda _tree: self._where(filler),
            ("Fix", "in"): lambda _tree: self._pinned(),
            ("Failure", "noticed"): lambda _tree: [self._noticed() for _ in range(2)],
            ("Pack", "price"): lambda _tree: PRICE,
        }
        filler.hooks |= {place: lambda _tree: self._pictures(filler) for place in _WITH_PICTURES}
        return filler

    def _pictures(self, filler: Filler) -> list[Tree]:
        """Drawings and photos, each of which says about itself who may see it; its words are marked accordingly."""
        rng, level, made = self.rng, filler.level, []
        for _ in range(rng.randint(1, 3)):
            ending = rng.choice(["svg", "jpg", "jpg", "JPEG"])
            says: Tree = {key: rng.choice(each) for key, each in _WHO.items() if rng.random() < 0.6}
            open_to = "public" if ending == "svg" or says.get("face") == "no" else "private"
            filler.level = narrower(level, says.get("visibility", open_to))
            left_out = {key: None for key in _WHO if key not in says}
            tree = filler.fill(Picture, {"file": f"{filler.name('picture')}.{ending}", **says, **left_out})
            made.append({key: value for key, value in tree.items() if value is not None})
        filler.level = level
        return made

    def _reference(self, kind: type[Reference]) -> str | None:
        if kind.KIND == "recipe":
            return self._pinned()
        known = self.plans[kind.KIND]
        chosen = self.rng.choice(known).address
        return _misspelled(chosen, self.rng) if self.rng.random() < 0.04 else chosen

    def _pinned(self) -> str:
        recipe = self.rng.choice(self.plans["recipe"])
        if self.rng.random() < 0.04:
            return f"{_misspelled(recipe.address, self.rng)}@1"
        version = self.rng.choice(list(recipe.steps) or [1])
        if recipe.earlier and self.rng.random() < 0.1:
            return f"{recipe.earlier}@{version}"
        return f"{recipe.address}@{version}"

    def _noticed(self) -> str:
        recipe = self.rng.choice([each for each in self.plans["recipe"] if each.steps])
        version = self.rng.choice(list(recipe.steps))
        pin = f"@{version}" if self.rng.random() < 0.4 else ""
        step = self.rng.choice(recipe.steps[version])
        if self.rng.random() < 0.05:
            step = step.removeprefix("zq-")  # near enough for a notice to offer the right one
        return f"{recipe.address}{pin}#{step}" if self.rng.random() < 0.8 else f"{recipe.address}{pin}"

    def _where(self, filler: Filler) -> str:
        written_already = any(each.steps for each in self.plans["recipe"])
        return self._noticed() if written_already and self.rng.random() < 0.6 else filler.word()

    def _run_link(self, filler: Filler) -> str:
        run = self.rng.choice(self.plans["run"]).address
        if self.rng.random() < 0.05:
            run = _misspelled(run, self.rng)
        words, other, label = filler.word(), filler.word(), f"note-{filler.count}"
        shapes = (
            f"[{words}](run:{run})",
            f"[{words}]( <run:{run}> '{other}')",
            f'[{words}](run:{run} "{other} (once)")',
            f"[the [{words}] casting](run:{run})",
            f"[{words}\\] and more](run:{run})",
            f"[*{words}*](run:{run})",
            f"![{words}](run:{run})",
            f"[{run}](run:{run})",
            f"<run:{run}>",
            f"`run:{run}`",
            f"[{words}](RUN:{run})",
            f"[{words}](run:{run.replace('-', chr(92) + '-')})",
            f"[{words}](run:{run}#{other})",
            f"[{words}][{label}]\n\n[{label}]: run:{run}\n",
            f"[{words}][{run}]\n\n[{run}]: <run:{run}>\n",
            f"[{label}][]\n\n[{label}]: run:{run} '{other}'\n",
            f"[{run}]\n\n[{run}]:\n  run:{run}\n",
            f"[{words}][{label.upper()}]\n\n> [{label}]: run:{run}\n",
            f"[the [{words}]][{label}]\n\n- [{label}]: run:{run}\n",
            f"[{words}](\nrun:{run}\n)",
            f"[{words}][{label}]. [{label}]: run:{run}",
        )
        return str(self.rng.choice(shapes))

    def _settings(self) -> str:
        filler = Filler(self.rng, "public", 0, fullness=1)
        filler.hooks = {
            ("Settings", "hours"): lambda _tree: {"mon": "09:00-18:00"},
            ("Settings", "scales"): lambda _tree: [{"id": "fine", "step": "0.01 g", "up_to": "200 g"}],
            ("Settings", "adds"): lambda _tree: {
                "stages": ["repair"],
                "families": ["bio-gel"],
                "as": ["burnish"],
                "with": ["bath"],
                "rules": _own_rules(filler),
                "same_words": [["zaps", "smears", "wont let go"], ["gunk", "residue"]],
                "words": [{"word": "rim wax", "means": "what seals a mold at its rim", "called": "Randwachs"}],
            },
            ("Settings", "holidays"): lambda _tree: ["2026-05-01"],
        }
        tree = filler.fill(Settings)
        self.book.fields |= filler.fields
        self.book.fields |= {("Scale", key) for key in ("id", "step", "up_to")}
        self.book.fields |= {
            ("OwnWords", key) for key in ("stages", "families", "as", "with", "rules", "same_words", "words")
        }
        self.book.fields |= {("OwnWord", key) for key in ("word", "means", "called")}
        self.book.fields |= {
            *(("OwnRule", key) for key in _own_rules(filler)[1]),
            *(("RuleUse", key) for key in ("families", "as", "stages")),
            *(("RuleMeets", key) for key in ("families", "as")),
            *(("RuleRemedy", key) for key in ("layer", "done", "waited")),
        }
        return written(tree, self._comment)

    # Recipes and their history

    def _recipe(self, plan: Planned) -> None:
        rng = self.rng
        last = 1 if self.young else rng.randint(1, 3)
        says = {number: rng.choice(LEVELS) for number in range(1, last)} | {last: plan.says}
        gone = rng.random() < 0.1
        texts: list[tuple[int, str, str]] = []
        for number, own in says.items():
            for visibility in [rng.choice(LEVELS), own] if rng.random() < (0.1 if self.young else 0.3) else [own]:
                level = narrower(visibility, plan.level)
                status = "draft" if number == last and not gone and rng.random() < 0.2 and last > 1 else "locked"
                texts.append((number, level, self._recipe_text(plan, number, status, visibility, level)))
        moved = len(texts) > 1 and not gone and rng.random() < 0.3
        old_file, widest = plan.file, "public"
        if moved:
            widest = max((level for _number, level, _text in texts[:-1]), key=LEVELS.index)
            plan.earlier = f"cast/zq-{widest}-{plan.number}-earlier"
            old_file = f"recipes/{plan.earlier}.yaml"
            # The last text says where it comes from, in a line of its own.
            number, level, text = texts[-1]
            texts[-1] = (number, level, text + f'formerly: ["{plan.earlier}"]\n')
            self.book.fields.add(("Recipe", "formerly"))
        for index, (number, _level, text) in enumerate(texts):
            final = index == len(texts) - 1
            if final and moved:
                self.book.commits.append(Commit({old_file: None, plan.file: text}))
                continue
            if final and rng.random() < 0.2 and not gone:
                continue  # not saved yet
            file = plan.file if final else old_file
            self.book.commits.append(Commit({file: text}))
            if number < last and rng.random() < 0.15:
                # What was said at an earlier address is never wider than the marker in its name.
                visibility = narrower(rng.choice(LEVELS), widest)
                other = self._recipe_text(plan, number, "locked", visibility, narrower(visibility, plan.level))
                self.book.commits.append(Commit({file: other}, first_parent=False))
        if gone:
            if rng.random() < 0.5 and plan.level == "private":
                # The last text before the file went made all of it private; it never got a number of its own.
                self.book.commits.append(
                    Commit({plan.file: texts[-1][2].replace('status: "locked"', 'status: "draft"')})
                )
            self.book.commits.append(Commit({plan.file: None}))
            return
        self.book.files[plan.file] = texts[-1][2]
        self.book.plans.append(plan)

    def _recipe_text(self, plan: Planned, number: int, status: str, visibility: str, level: str) -> str:
        rng, filler = self.rng, self._filler(plan, level)
        materials = self._materials(level)
        steps = ["release", "fill", filler.name("step")]
        mixes = ["base", filler.name("mix")]
        surfaces = [filler.name("surface") for _ in range(2)]
        others = list(self.surfaces)

        def mix(_tree: Tree) -> str:
            return str(rng.choice(mixes))

        def on(_tree: Tree) -> Any:
            chosen = rng.choice([*surfaces, "skin", *others])
            return chosen.removeprefix("zq-") if rng.random() < 0.03 else chosen

        def surface(name: str) -> Tree:
            if others and rng.random() < 0.4:
                things = [thing for build in self.plans["build"] for thing in build.things]
                thing = rng.choice(things)
                chosen = {
                    "from": thing.removeprefix("zq-") if rng.random() < 0.1 else thing,
                    "surface": rng.choice(others),
                }
                filler.fields.update({("Surface", "from"), ("Surface", "surface")})
                return {"id": name, **chosen}
            filler.fields.update({("Surface", "id"), ("Surface", "material")})
            return {"id": name, "material": rng.choice(materials)}

        def use(_tree: Tree) -> list[Tree]:
            what = {"material": rng.choice(materials)} if rng.random() < 0.6 else {"mix": rng.choice(mixes)}
            return [
                {
                    key: value
                    for key, value in filler.fill(
                        Use, {**what, "mix": what.get("mix"), "material": what.get("material")}
                    ).items()
                    if value is not None
                }
            ]

        def waiting(_tree: Tree) -> Any:
            if rng.random() < 0.5:
                return rng.choice(["30 min", {"time": "30 min"}, {"demold": "base"}, {"full_cure": "base"}])
            return None

        filler.hooks |= {
            ("Use", "as"): lambda _tree: rng.choice(["release", "cast", "coat", "burnish"]),
            ("Use", "on"): on,
            ("Step", "uses"): use,
            ("Step", "with"): lambda _tree: ["oven", "bath"],
            ("Step", "starts"): mix,
            ("Step", "after"): lambda tree: "release" if tree["id"] != "release" else None,
            ("Step", "within"): lambda tree: filler.fill(Within) if tree["id"] != "release" else None,
            ("Within", "after"): lambda _tree: "release",
            ("Step", "wait"): waiting,
            ("Step", "until"): lambda tree: None if "wait" in tree else filler.fill(Until),
            ("Recipe", "yields"): lambda _tree: rng.choice(["2", {filler.name("kind"): "3", "left": "1"}]),
            ("Recipe", "formerly"): lambda _tree: None,
            ("Recipe", "gives"): lambda _tree: {"what": filler.word(), "surfaces": [surface(surfaces[1])]},
        }
        filler.fields |= {("Wait", key) for key in ("time", "demold", "full_cure")} | {
            ("Gives", "what"),
            ("Gives", "surfaces"),
        }
        tree = filler.fill(
            Recipe,
            {
                "format": "1",
                "title": filler.word(),
                "stage": plan.address.split("/")[0],
                "version": str(number),
                "status": status,
                "visibility": visibility,
                "why": filler.prose(),
                "surfaces": [surface(name) for name in surfaces],
                "mixes": self._mixes(filler, mixes, materials),
                "steps": [filler.fill(Step, {"id": name}) for name in steps],
            },
        )
        self.surfaces += surfaces
        plan.steps.setdefault(number, []).extend(steps)
        plan.mixes.setdefault(number, []).extend(mixes)
        self.book.fields |= filler.fields
        return written(tree, self._comment)

    def _materials(self, level: str) -> list[str]:
        """Mostly materials that all readers of the recipe may see; sometimes any, and now and then a slip."""
        known = self.plans["material"]
        clear = [each.address for each in known if LEVELS.index(each.level) >= LEVELS.index(level)]
        if self.rng.random() < 0.75 and clear:
            return clear
        every = [each.address for each in known]
        return [*every, _misspelled(every[0], self.rng)] if self.rng.random() < 0.2 else every

    def _mixes(self, filler: Filler, ids: Sequence[str], materials: Sequence[str]) -> list[Tree]:
        rng = self.rng
        first = self.rng.choice(materials)
        others = [name for name in dict.fromkeys(materials) if name != first]
        shapes: list[Tree] = [
            {"percent": "10 %", "of": first},
            {"percent": "5", "of": [first]},
            {"percent": "1", "of": "total"},
            {"amount": "4 g"},
            {"amount": filler.word()},
            {"match": filler.word()},
            {"percent": "2", "of": "the-rest"},
        ]
        parts: list[Tree] = [{"material": first, "parts": "100", "temperature": "20 degC"}]
        parts += [{"material": name, **rng.choice(shapes)} for name in others[:3]]
        if rng.random() < 0.3 and len(parts) > 1:
            parts[1]["by"] = "weight"
        filler.fields |= {("MixPart", key) for part in parts for key in part}
        inner = {"id": ids[1], "title": filler.word(), "parts": parts, "batch": "1 kg", "once": "build"}
        size: Tree = rng.choice(
            [{"batch": "200 g"}, {"fills": "185 ml"}, {"covers": {"area": "700 cm2", "thick": "4 mm"}}]
        )
        allowance: Any = rng.choice(
            ["10 %", {"percent": "10 %", "left_in_cups": "15 g", "smallest_batch": "40 g", "largest_batch": "900 ml"}]
        )
        outer_parts: list[Tree] = [{"mix": ids[1], "parts": "100"}]
        if others:
            outer_parts.append({"material": others[-1], "percent": "100 %", "of": f"{ids[1]}/{first}"})
        outer = filler.fill(
            Mix,
            {
                "id": ids[0],
                "parts": outer_parts,
                "allowance": allowance,
                **size,
                **{key: None for key in ("batch", "fills", "covers") if key not in size},
            },
        )
        filler.fields |= {
            ("MixPart", "mix"),
            ("Mix", "once"),
            *((("Allowance", key)) for key in ("percent", "left_in_cups", "smallest_batch", "largest_batch")),
        }
        filler.fields |= {("Covers", "area"), ("Covers", "thick")}
        return [inner, {key: value for key, value in outer.items() if value is not None}]

    # The other kinds

    def _build(self, plan: Planned, filler: Filler, model: type[Build]) -> Tree:
        rng = self.rng

        def pieces(_tree: Tree) -> list[Tree]:
            return [{"thing": rng.choice(plan.things), "piece": filler.word(), "count": "1"} for _ in range(2)]

        def slip(name: str) -> str:
            return name.removeprefix("zq-") if rng.random() < 0.03 else name

        filler.hooks |= {
            ("Look", "pieces"): pieces,
            ("WornDay", "look"): lambda _tree: slip(rng.choice(plan.looks)),
        }
        filler.fields |= {("LookPiece", key) for key in ("thing", "piece", "count")}
        filler.hooks["Thing", "from"] = lambda tree: [
            slip(each) for each in plan.things[: plan.things.index(tree["id"])][-2:]
        ]
        things = [filler.fill(Thing, {"id": name}) for name in plan.things]
        looks = [filler.fill(Look, {"id": name}) for name in plan.looks]
        return filler.fill(model, {"visibility": plan.says, "things": things, "looks": looks})

    def _run(self, plan: Planned, filler: Filler, model: type[Run]) -> Tree:
        rng = self.rng
        recipe = rng.choice(self.plans["recipe"])
        version = rng.choice(list(recipe.steps))
        builds = [each for each in self.plans["build"] if each.address == plan.build] or self.plans["build"]
        kept = self.pieces.setdefault(plan.build, [])
        own = [filler.word() for _ in range(2)]

        def any_of(names: Sequence[str]) -> Any:
            def choose(_tree: Tree) -> str:
                name = rng.choice(names)
                return name.removeprefix("zq-") if rng.random() < 0.03 else name

            return choose

        step, mix = any_of(recipe.steps[version]), any_of(recipe.mixes[version])
        filler.hooks |= {(group, "step"): step for group in ("Took", "Measured", "Changed", "WentWrong")}
        filler.hooks |= {
            ("Batch", "mix"): mix,
            ("CupPart", "mix"): lambda tree: None if "material" in tree else mix(tree),
        }
        filler.hooks |= {
            ("Run", "thing"): any_of(rng.choice(builds).things),
            ("Run", "look"): any_of(rng.choice(builds).looks),
            ("Run", "kept"): lambda _tree: [
                {"piece": name, "grade": "hero", "box": filler.word(), "day": "2026-05-04"} for name in own
            ],
            ("UsedPiece", "piece"): lambda _tree: rng.choice(kept or own),
            ("Run", "finished"): lambda _tree: "2026-04-18 15:40",
            ("WentWrong", "what"): lambda tree: None if "failure" in tree and rng.random() < 0.7 else filler.prose(),
        }
        filler.fields |= {("Kept", key) for key in ("piece", "grade", "box", "day")}
        tree = filler.fill(
            model,
            {
                "id": plan.address,
                "visibility": plan.says,
                "kind": rng.choice(["run", "run", "pull", "test"]),
                "recipe": f"{recipe.address}@{version}",
            },
        )
        for wrong in tree.get("went_wrong", ()):
            if "failure" not in wrong and "what" not in wrong:
                wrong["what"] = filler.word()
        if tree["kind"] == "test" and rng.random() < 0.3:
            for key in ("recipe", "took", "measured", "changed", "batch", "went_wrong", "cups"):
                tree.pop(key, None)
        kept += [entry["piece"] for entry in tree.get("kept", ())]
        return tree

    def _mold(self, plan: Planned, filler: Filler, model: type[Mold]) -> Tree:
        runs = [run.address for run in self.plans["run"]]
        made = [*runs, "2026-03-01", "unknown"]
        filler.hooks |= {(group, "made"): lambda _tree: self.rng.choice(made) for group in ("Mold", "MoldPart")}
        return filler.fill(model, {"visibility": plan.says})

    def _material(self, plan: Planned, filler: Filler, model: type[Material]) -> Tree:
        families = ["platinum-silicone", "bio-gel", filler.name("family")]
        filler.hooks |= {
            (group, key): lambda _tree: self.rng.choice(families)
            for group, key in (("Material", "families"), ("Maximum", "of"))
        }
        return filler.fill(model, {"visibility": plan.says})

    def _failure(self, plan: Planned, filler: Filler, model: type[Failure]) -> Tree:
        filler.hooks |= {("Failure", key): lambda _tree: self.rng.choice(STAGES) for key in ("seen_at", "caused_at")}
        return filler.fill(model, {"visibility": plan.says})

    def _course(self, plan: Planned, filler: Filler, model: type[Course]) -> Tree:
        return filler.fill(model, {"visibility": plan.says})

    # What cannot be read

    def _broken(self) -> None:
        kind = self.rng.choice(["material", "failure", "mold"])
        plan = self._plan(kind, level="private")
        plan.says = self.rng.choice(LEVELS)
        filler = self._filler(plan, "private")
        model: Any = {"material": Material, "failure": Failure, "mold": Mold}[kind]
        text = written(getattr(self, f"_{kind}")(plan, filler, model), self._comment)
        damage = self.rng.choice(
            [
                f"nonsense: {filler.word()}\n",
                f"{filler.word()}\n",
                f'"{filler.word()}\n',
                f"students: {filler.word()}x\n",
            ]
        )
        self.book.files[plan.file] = text + damage
        self.book.broken.append(plan)

    def _lost(self) -> None:
        self.numbers += 1
        name = f"zq-private-{self.numbers}-lost"
        path = self.rng.choice([f"recipes/{name}.yaml", f"recipes/materials/{name}.yml", f"recipes/cast/{name} 2.yaml"])
        self.book.files[path] = f"title: zqprivate{self.numbers}w1\n"


def _own_rules(filler: Filler) -> list[Tree]:
    """Two rules about what the generated materials are: one that is often broken, and one with every field."""
    told = {key: filler.word() for key in ("title", "happens", "instead", "because", "source")}
    broken: Tree = {
        "id": filler.name("rule"),
        "title": filler.word(),
        "weighs": "is a nuisance",
        "use": {"families": "bio-gel", "as": ["cast", "paint", "release", "burnish"]},
        "happens": filler.word(),
        "instead": filler.word(),
    }
    whole: Tree = {
        "id": filler.name("rule"),
        **told,
        "weighs": "stops the job",
        "use": {"families": ["bio-gel", "platinum-silicone"], "as": ["cast", "coat"], "stages": [*STAGES, "repair"]},
        "meets": {"families": ["bio-gel", "skin"], "as": ["cast", "release", "burnish"]},
        "kept_by": [{"layer": "barrier", "done": ["soap"]}, {"waited": "30-60 min"}],
    }
    return [broken, whole]


def _misspelled(name: str, rng: random.Random) -> str:
    cut = rng.randrange(len(name) - 5, len(name) - 1)
    return name[:cut] + name[cut + 1 :]
