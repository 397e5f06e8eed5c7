"""Runs cited in prose, and prose without those an edition does not hold: the words stay, the links go.

Knows how CommonMark writes a link; nothing of editions.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Final

_ESCAPED: Final = re.compile(r"\\([!-/:-@\[-`{-~])")
_TARGET: Final = r"<?run(?:\\?:|&#?\w+;)(?P<run>[^\s<>()]*)>?"
_TITLE: Final = r"""(?:\s+(?:"(?:\\.|[^"\\])*"|'(?:\\.|[^'\\])*'|\((?:\\.|[^()\\])*\)))?"""
_LABEL: Final = r"(?P<label>(?:\\.|[^\[\]\\])+)"
_INLINE: Final = re.compile(rf"\]\(\s*{_TARGET}{_TITLE}\s*\)", re.IGNORECASE)
_DEFINITION: Final = re.compile(
    rf"^[ \t>*+-]*(?:\d+[.)])?[ \t]*\[{_LABEL}\]:\s*{_TARGET}{_TITLE}[ \t]*$\n?", re.IGNORECASE | re.MULTILINE
)
# What no link was made of: an autolink, or words that only look like one. A plain `run:2` is left alone.
_BARE: Final = re.compile(
    r"<run(?:\\?:|&#?\w+;)(?P<run>[^\s<>()]*)>|\brun:(?P<bare>[a-z0-9]+\\?-[a-z0-9\\-]+)", re.IGNORECASE
)

Hidden = Callable[[str], bool]


def without_runs(text: str, hidden: Hidden) -> str:
    """The text without links to hidden runs; words that are nothing but the run's id go, too."""
    if "run" not in text.casefold():
        return text
    taken: dict[str, str] = {}

    def definition(match: re.Match[str]) -> str:
        run = _plain(match["run"])
        if not hidden(run):
            return match[0]
        taken[_folded(match["label"])] = run
        return ""

    defined = _DEFINITION.sub(definition, text)
    if defined != text:
        defined = _without_labels(defined, taken).rstrip()
    for match in reversed(list(_INLINE.finditer(defined))):
        run = _plain(match["run"])
        if hidden(run) and (start := _opening(defined, match.start())) is not None:
            words = _words(defined[start + 1 : match.start()], run)
            image = start > 0 and defined[start - 1] == "!"
            defined = defined[: start - image] + words + defined[match.end() :]
    return _BARE.sub(lambda match: "" if hidden(_plain(match["run"] or match["bare"] or "")) else match[0], defined)


def _plain(run: str) -> str:
    return _ESCAPED.sub(r"\1", run)


def _folded(label: str) -> str:
    return " ".join(label.casefold().split())


def _words(words: str, run: str) -> str:
    return "" if _plain(words.strip(" *_`")).casefold() == run.casefold() else words


def _without_labels(text: str, taken: dict[str, str]) -> str:
    """The text without uses of definitions that went: `[words][label]`, `[label][]` and `[label]`."""
    for match in reversed(list(re.finditer(rf"\[{_LABEL}\](?:\[\])?(?![(:])", text))):
        run = taken.get(_folded(match["label"]))
        if run is None:
            continue
        start: int | None = match.start()
        words = match["label"]
        if start and text[start - 1] == "]" and (opened := _opening(text, start - 1)) is not None:
            words, start = text[opened + 1 : start - 1], opened
        assert start is not None
        image = start > 0 and text[start - 1] == "!"
        text = text[: start - image] + _words(words, run) + text[match.end() :]
    return text


def _opening(text: str, close: int) -> int | None:
    """Where the bracket was opened that is closed here."""
    depth = 0
    for index in range(close, -1, -1):
        if index and text[index - 1] == "\\":
            continue
        depth += {"]": 1, "[": -1}.get(text[index], 0)
        if depth == 0:
            return index
    return None
