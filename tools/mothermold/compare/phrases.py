"""What fields of a recipe are called in a difference, and what is said where they came, went or changed.

Only what needs a word of its own stands here: any other field goes by its name.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from mothermold.compare.fields import Leaf, Node
from mothermold.model.scalars import Prose


@dataclass(frozen=True, slots=True)
class Phrase:
    """How changes of one field are said; ``{b}`` is what A says, ``{a}`` what B says, ``{it}`` the entry it stands in.

    Attributes:
        name: The field's name, for the plain ``name b → a`` where nothing else is said.
        came: Where B alone says it; of a list also where some of it came.
        went: Where A alone says it; likewise.
        turned: Where both say it.
        prose: Whether it is a text to be read: then it is reworded, and the words are shown beside it.
    """

    name: str
    came: str = ""
    went: str = ""
    turned: str = ""
    prose: bool = False

    def said(self, action: str) -> str:
        """The sentence's pattern for an action."""
        if action == "added":
            return self.came or f"{self.name} {{a}}, not stated before"
        if action == "removed":
            return self.went or f"{self.name} no longer stated (was {{b}})"
        return self.turned or (f"{self.name} reworded" if self.prose else f"{self.name} {{b}} → {{a}}")


def _prose(name: str) -> Phrase:
    return Phrase(name, f"{name}, newly written: “{{a}}”", f"{name}, left out now (was “{{b}}”)", prose=True)


def _timed(name: str) -> dict[str, Phrase]:
    return {
        "time": Phrase(name),
        "at": Phrase(
            f"temperature of the {name}",
            f"the {name} is stated for {{a}} now",
            f"the {name} no longer states its temperature (was {{b}})",
            f"the {name} holds at {{a}} now, not at {{b}}",
        ),
        "basis": Phrase(
            f"source of the {name}",
            f"the {name} is said to be {{a}} now",
            f"the {name} is no longer said to be {{b}}",
            f"the {name} is {{a}} now, not {{b}}",
        ),
    }


_ONCE: Final = Phrase(
    "once", "now done once for {a}", "no longer done once for {b}", "done once for {a} now, not for {b}"
)
_MEASURED: Final = "measured by {a} now, not by {b}"
_PICTURE_AS: Final = Phrase(
    "picture", "picture “{it}” now shows {a}", "picture “{it}” is no longer said to show {b}",
    "picture “{it}” shows {a} now, not {b}",
)  # fmt: skip
_GIVES: Final = Phrase(
    "what comes out", "now says what comes out: {a}", "no longer says what comes out (was {b})", "what comes out: {b} → {a}",
)  # fmt: skip
_SURFACE: Final = {
    "material": Phrase(
        "material", "{it} is made of {a}, not stated before", "material of {it} no longer stated (was {b})", "{it} is made of {a} now, not of {b}",
    ),
    "from": Phrase(
        "thing of {it}", "{it} belongs to the {a} now", "{it} no longer belongs to the {b}",
        "{it} belongs to the {a} now, not to the {b}",
    ),
    "surface": Phrase(
        "surface of {it}", "{it} now stands for the surface “{a}”", "{it} no longer stands for the surface “{b}”",
        "{it} stands for the surface “{a}” now, not for “{b}”",
    ),
}  # fmt: skip

PHRASES: Final[dict[str, dict[str, Phrase]]] = {
    "recipe": {
        "title": Phrase("title", "called “{a}” now", "no longer called “{b}”", "title “{b}” → “{a}”"),
        "yields": Phrase("yield", "now says that one run makes {a}", "no longer says what one run makes (was {b})", "one run makes {a} now, not {b}"),
        "needs": Phrase("what must be at hand"),
        "off": Phrase("how it comes off a person"),
        "gives": _GIVES,
    },
    "gives": {"what": _GIVES},
    "surfaces": _SURFACE,
    "mixes": {
        "title": Phrase("title", "called “{a}” now", "no longer called “{b}”", "title “{b}” → “{a}”"),
        "once": Phrase("once", "mixed once for {a} now", "no longer mixed once for {b}", "mixed once for {a} now, not for {b}"),
        "by": Phrase("measure", "measured by {a} now", "no longer said to be measured by {b}", _MEASURED),
        "fills": Phrase("fill"),
        "covers": Phrase("layer", "now made for a layer, {a}", "no longer made for a layer (was {b})"),
        "allowance": Phrase("allowance", "an allowance now, {a}", "no allowance any more (was {b})"),
        "density": Phrase("measured density"),
        "demold": Phrase("demold time"),
    },
    "parts": {
        "by": Phrase("measure", "{it} measured by {a} now", "{it} measured as the rest of the mix now, not by {b}", "{it} " + _MEASURED),
        "temperature": Phrase(
            "temperature", "{it} goes in at {a} now", "{it} no longer at a given temperature (was {b})",
            "{it} goes in at {a} now, not at {b}",
        ),
    },
    "covers": {"area": Phrase("area covered"), "thick": Phrase("thickness of the layer")},
    "allowance": {"percent": Phrase("allowance")},
    "pot_life": _timed("pot life"),
    "demold": _timed("demold time"),
    "full_cure": _timed("full cure"),
    "steps": {
        "phase": Phrase("phase", "part of “{a}” now", "no longer part of “{b}”", "part of “{a}” now, not of “{b}”"),
        "title": Phrase("title", "called “{a}” now", "no longer called “{b}”", "title “{b}” → “{a}”"),
        "do": _prose("how it is done"),
        "hands_on": Phrase("hands-on time"),
        "people": Phrase("people needed"),
        "after": Phrase("what it comes after", "now comes after {a}", "no longer has to come after {b}"),
        "within": Phrase("latest start", "now has to start {a}", "no longer has to start {b}"),
        "coats": Phrase("coats", "now in {a}", "no longer in coats (was {b})"),
        "with": Phrase("what it is done with", "now with {a}", "no longer with {b}"),
        "starts": Phrase(
            "clock", "the pot life of {a} now starts here", "the pot life of {b} no longer starts here",
            "the pot life of {a} starts here now, not that of {b}",
        ),
        "wait": Phrase("wait", "now waits {a}", "no longer waits {b}"),
        "until": Phrase("wait", "now waits until {a}", "no longer waits until {b}"),
        "holds": Phrase(
            "what the waiting ties up", "now ties up {a} while it waits",
            "no longer says that it ties up {b} while it waits", "while it waits it ties up {a} now, not {b}",
        ),
        "once": _ONCE,
        "may_pause": Phrase(
            "pause", "now says that the work {a} be left here", "no longer says that the work {b} be left here",
            "the work {a} be left here now",
        ),
        "zone": Phrase("place on the face:"),
        "check": _prose("the check"),
        "watch": Phrase("what to watch out for", "now says to watch out for “{a}”", "no longer says to watch out for “{b}”"),
    },
    "within": {
        "time": Phrase("latest start", turned="has to start within {a} now, not {b}"),
        "after": Phrase("latest start", turned="its latest start counts from {a} now, not from {b}"),
        "from": Phrase(
            "latest start", "its latest start now counts from the end of that step's {a}",
            "its latest start no longer says that it counts from the end of that step's {b}",
            "its latest start counts from the end of that step's {a} now, not of its {b}",
        ),
    },
    "until": {
        "what": Phrase("what is waited for", turned="waits until {a} now, not until {b}"),
        "usual": Phrase("usual wait"),
        "longest": Phrase("longest wait"),
    },
    "coats": {
        "count": Phrase("coats"), "between": Phrase("wait between coats"), "last": Phrase("wait after the last coat"),
    },
    "uses": {
        "as": Phrase("use", turned="{it}, use “{b}” → “{a}”"),
        "on": Phrase("where {it} goes", "{it} now goes on {a}", "{it} no longer on {b}"),
        "amount": Phrase("amount", "{it}, now {a}", "{it}, amount no longer stated (was {b})", "{it} {b} → {a}"),
        "how": Phrase(
            "way", "{it}, how it is used, newly written: {a}", "{it}, how it is used no longer stated (was {b})",
            "{it}, how it is used: {b} → {a}",
        ),
        "share": Phrase(
            "share", "{it}, now {a} of the mix", "{it}, no longer only a share of the mix (was {b})", "{it} {b} → {a} of the mix",
        ),
        "coats": Phrase("coats", "{it} now in {a}", "{it} no longer in coats of its own (was {b})"),
    },
    "pictures": {
        "caption": Phrase(
            "caption", "picture “{it}” now has a caption, “{a}”", "picture “{it}” no longer has its caption “{b}”",
            "caption of picture “{it}” reworded", prose=True,
        ),
        "as": _PICTURE_AS,
        "alt": Phrase(
            "words", "picture “{it}” now says for who cannot see it: “{a}”", "picture “{it}” no longer has words for who cannot see it (was “{b}”)",
            "words of picture “{it}” for who cannot see it reworded", prose=True,
        ),
        "view": Phrase(
            "side", "picture “{it}” is seen from: {a}", "picture “{it}” no longer says from where it is seen (was {b})",
            "picture “{it}” is seen from: {a} now, not {b}",
        ),
        "taken": Phrase("date of picture “{it}”"),
        "light": Phrase("light of picture “{it}”"),
        "camera": Phrase("camera of picture “{it}”"),
    },
}  # fmt: skip
"""By the list or group a field stands in; ``recipe`` at the top."""


def phrase_for(group: str, key: str, node: Node, *, within: bool) -> Phrase:
    """How changes of a field in a list or group are said; ``within`` an entry that the head of the sentence does not name."""
    phrase = PHRASES.get(group, {}).get(key)
    if phrase is None:
        name = (key if group in PHRASES or within else f"{group} {key}").replace("_", " ")
        phrase = _prose(name) if isinstance(node, Leaf) and node.holds is Prose and not node.many else Phrase(name)
    return replace(phrase, name=f"{phrase.name} of {{it}}") if within and "{it}" not in phrase.name else phrase


_ONCE_WORDS: Final = {"build": "the whole build", "mold": "each mold", "wearer": "each wearer"}
_HELD_WORDS: Final = {
    "mold": "the mold", "bench": "the bench", "oven": "the oven", "person": "somebody's time", "nothing": "nothing",
}  # fmt: skip
VALUES: Final[dict[str, dict[str, str]]] = {
    "once": _ONCE_WORDS,
    "holds": _HELD_WORDS,
    "may_pause": {"yes": "may", "no": "may not"},
    "basis": {"label": "from the label", "measured": "measured"},
    "from": {"wait": "waiting"},
    "with": {"lifting": "heavy lifting"},
    "as": {
        "good": "how it should look",
        "bad": "how it should not look",
        "before": "how it was before",
        "after": "how it was afterwards",
    },
}
"""What is said for a word that stands in a field."""
