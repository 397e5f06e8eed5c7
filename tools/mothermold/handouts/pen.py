"""Writes what a sheet says: words of the book, and blocks of them, as the plain data that is laid out."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from mothermold.handouts.prose import Block, Letters, blocks_of, line_of
from mothermold.handouts.typesetting import can_be_drawn
from mothermold.model.pictures import Picture
from mothermold.pages.addresses import HOME, Links
from mothermold.pages.content import FieldWords, Fold, Icon, Lead, Marked, Remark, Tag, When, Words
from mothermold.pages.pictures import alt_words
from mothermold.pages.saying import Loose, marked, quiet, words
from mothermold.quantities.wording import as_read
from mothermold.trade.cautions import Caution
from mothermold.view.showing import ShownPhoto
from mothermold.view.view import View

TICK: Final[Letters] = ["tick"]
"""A cell of a table to be ticked off."""
_MARKS: Final = {"bold": "strong", "plain": "", "quiet below": "below", "record": "quiet"}
_AS: Final = {"good": "Like this: ", "bad": "Not like this: ", "before": "Before: ", "after": "After: "}
_LONG: Final = 1500
"""Letters of what is torn all the same: in a narrow column it could be taller than a page."""
_SHORT: Final = 900
"""Letters of a step that is never torn over two pages."""


class Pen:
    """Writes for one edition; whatever it is told to write becomes letters, never anything that is carried out.

    Attributes:
        view: The edition.
        files: The drawings and photos that were asked for, by the names the sheet calls them.
    """

    def __init__(self, view: View) -> None:
        self.view = view
        self.files: dict[str, bytes] = {}
        self._links = Links(view, HOME)
        self._names: dict[tuple[str, int], str] = {}

    # Words.

    def line(self, *spans: Loose) -> Letters:
        """Words: values as they are read, prose with its marks, another document by what it is called."""
        return self._line(words(*spans))

    def _line(self, spans: Words) -> Letters:
        found: Letters = []
        for each in spans:
            match each:
                case Icon():
                    pass
                case FieldWords(words=inner) | Fold(words=inner):
                    found += self._line(inner)
                case Marked(mark=mark, words=inner):
                    name, told = _MARKS.get(mark, mark), self._line(inner)
                    found += [[name, told]] if name else told
                case Lead(to=to, name=name, words=said):
                    found.append(as_read(said or self._links.called(to, name)))
                case Tag(words=said):
                    found += [["tag", [said]], " "]
                case When(words=said):
                    found.append(said)
                case Remark(text=said):
                    found += line_of(said)
                case _:
                    found.append(as_read(each))
        return found

    # Blocks.

    def title(self, *spans: Loose, below: Loose = "") -> Block:
        """What a leaf is headed by."""
        return {"is": "title", "words": self.line(*spans), "below": self.line(below)}

    def heading(self, *spans: Loose, level: int = 2) -> Block:
        """A heading within it."""
        return {"is": "heading", "level": level, "words": self.line(*spans)}

    def para(self, *spans: Loose, style: str = "") -> Block:
        """A paragraph; ``banner`` for one nobody may miss."""
        return {"is": "para", "style": style, "words": self.line(*spans)}

    def story(self, text: str | None) -> list[Block]:
        """Prose as its paragraphs and lists."""
        return blocks_of(text) if text else []

    def points(self, items: Iterable[Loose], style: str = "") -> list[Block]:
        """A list of those that say something, ``ticks`` to be ticked off; no block where none does."""
        lines = [line for each in items if (line := self.line(each))]
        told = [[{"is": "para", "style": "", "words": line}] for line in lines]
        return [{"is": "points", "style": style, "items": told}] if told else []

    def labels(self, rows: Iterable[tuple[str, Loose]]) -> list[Block]:
        """Labels with what each is; one of which nothing is known falls out."""
        told = [([label], line) for label, each in rows if (line := self.line(each))]
        return [{"is": "labels", "rows": told}] if told else []

    def table(self, columns: Mapping[str, str], rows: Iterable[Sequence[Loose | Letters]]) -> list[Block]:
        """A table: the heads with the style of their cells (``number``, ``tick``, ``blank``), and the rows; none where no row is."""
        told = [[each if isinstance(each, list) else self.line(each) for each in row] for row in rows]
        # A column in which nothing is said falls out; those that are written into say how wide they are.
        kept = [place for place, style in enumerate(columns.values()) if style or any(row[place] for row in told)]
        heads = [list(columns.items())[place] for place in kept]
        told = [[row[place] for place in kept] for row in told]
        torn = any(_letters(cell) > _LONG for row in told for cell in row)
        return [{"is": "table", "columns": [list(each) for each in heads], "rows": told, "torn": torn}] if told else []

    def caution(self, each: Caution, *, brief: bool = False) -> Block:
        """What can hurt, with its signs; in brief what is done first."""
        told = each.words[:1] if brief else each.words
        codes = "" if brief else "; ".join(f"{code} {text}" if text != code else code for code, text in each.statements)
        said = self.line(Marked("strong", (f"{each.title}. ",)), " ".join(told))
        small = [["below", [f"{codes}."]]] if codes else []
        return {"is": "caution", "brief": brief, "signs": list(each.pictograms), "words": [*said, *small]}

    def step(self, number: int, title: str, blocks: Sequence[Block], level: int = 3) -> Block:
        """A step to be ticked off; a short one is never torn over two pages."""
        letters = sum(map(_letters, blocks))
        return {
            "is": "step", "number": str(number), "title": title, "level": level, "blocks": list(blocks), "whole": letters < _SHORT,
        }  # fmt: skip

    def framed(self, blocks: Sequence[Block], tone: str = "") -> Block:
        """Blocks in a frame: ``loud``, ``calm``."""
        return {"is": "framed", "tone": tone, "whole": sum(map(_letters, blocks)) < _SHORT, "blocks": list(blocks)}

    def blanks(self, rows: Iterable[Loose], across: int = 2) -> list[Block]:
        """Lines to write on, each behind its words."""
        lines = [line for each in rows if (line := self.line(each))]
        return [{"is": "blanks", "across": across, "rows": lines}] if lines else []

    def whole(self, blocks: Sequence[Block]) -> Block:
        """Blocks that are not torn over two columns or pages, unless they would hardly stand on one."""
        return {"is": "whole", "torn": _letters(blocks) > _LONG, "blocks": list(blocks)}

    def columns(self, blocks: Sequence[Block], *, small: bool = False) -> Block:
        """Blocks in two columns, in letters somewhat smaller where wanted."""
        return {"is": "columns", "small": small, "blocks": list(blocks)}

    def pictures(self, pictures: Iterable[Picture], longest: int = 1200, across: int = 2) -> list[Block]:
        """Drawings and photos side by side, those that the edition may show."""
        told = [self._picture(each, longest) for each in pictures]
        shown = [block for block in told if block["is"] == "picture"]
        groups = [shown[place : place + across] for place in range(0, len(shown), across)]
        return [
            *({"is": "pictures", "across": across, "pictures": group} for group in groups),
            *(block for block in told if block["is"] != "picture"),
        ]

    def _picture(self, each: Picture, longest: int) -> Block:
        data = self._drawn(each, longest)
        alt = alt_words(each)
        caption = (marked("strong", _AS[each.as_]) if each.as_ else None, each.caption or alt)
        if data is None:
            return self.para(caption, quiet(f" (the picture {each.file} cannot be printed)"))
        name = self._names.setdefault((str(each.file), longest), f"pictures/{len(self._names)}.svg")
        self.files[name] = data
        return {"is": "picture", "file": name, "alt": alt, "caption": self.line(caption)}

    def _drawn(self, each: Picture, longest: int) -> bytes | None:
        """A picture as a drawing, a photo as one that holds it: the layout is handed nothing but text."""
        made = self.view.picture(each.file)
        if not isinstance(made, ShownPhoto):
            return made.data if made is not None and can_be_drawn(made.data) else None
        size = max(size for size in made.sizes if size <= max(longest, min(made.sizes)))
        photo, (wide, tall) = made.data(size), made.sizes[size]
        if photo is None:
            return None
        inner = f'<image width="{wide}" height="{tall}" href="data:image/jpeg;base64,{b64encode(photo).decode()}"/>'
        return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {tall}">{inner}</svg>'.encode()


def _letters(block: object) -> int:
    """How much a block says, in letters; a picture counts as a paragraph."""
    if isinstance(block, str):
        return len(block)
    if isinstance(block, dict):
        return (500 if block.get("is") == "picture" else 0) + sum(map(_letters, block.values()))
    return sum(map(_letters, block)) if isinstance(block, list | tuple) else 0
