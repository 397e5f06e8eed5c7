"""An author's prose as blocks and words of a sheet: the same CommonMark as on pages, without HTML, images and addresses."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import Any, Final

from markdown_it import MarkdownIt
from markdown_it.tree import SyntaxTreeNode

from mothermold.quantities.wording import as_read

Letters = list[Any]
"""Words of a sheet: letters, or a mark and the words in it."""
Block = dict[str, Any]
"""What stands on a sheet, by its shape ``is``; ``templates/blocks.typ`` shows each."""

_MARKDOWN: Final = MarkdownIt("commonmark", {"html": False}).enable("table").disable("image")
_ABROAD: Final = ("http://", "https://", "mailto:")


@lru_cache(maxsize=2_000)
def _tree(text: str) -> SyntaxTreeNode:
    return SyntaxTreeNode(_MARKDOWN.parse(as_read(text)))


def line_of(text: str) -> Letters:
    """Prose within a line: its paragraphs one after the other."""
    found: Letters = []
    for node in _tree(text).walk():
        if node.type == "inline":
            found += [" ", *_inner(node)] if found else _inner(node)
        elif node.type in ("fence", "code_block"):
            found.append(["code", [node.content.strip()]])
    return found


def blocks_of(text: str) -> list[Block]:
    """Prose as blocks."""
    return list(_blocks(_tree(text).children))


def _blocks(nodes: Iterable[SyntaxTreeNode]) -> Iterator[Block]:
    for node in nodes:
        match node.type:
            case "paragraph":
                yield {"is": "para", "style": "", "words": _line(node)}
            case "heading":
                yield {"is": "para", "style": "", "words": [["strong", _line(node)]]}
            case "bullet_list" | "ordered_list":
                style = "numbered" if node.type == "ordered_list" else ""
                yield {
                    "is": "points",
                    "style": style,
                    "items": [list(_blocks(each.children)) for each in node.children],
                }
            case "fence" | "code_block":
                yield {"is": "code", "text": node.content.rstrip()}
            case "blockquote":
                yield from _blocks(node.children)
            case "table":
                yield _table(node)


def _table(node: SyntaxTreeNode) -> Block:
    head, *rows = [[_line(cell) for cell in row.children] for part in node.children for row in part.children]
    columns = [["".join(map(_letters, cell)), ""] for cell in head]
    return {"is": "table", "columns": columns, "rows": rows, "torn": True}


def _letters(span: Any) -> str:
    return span if isinstance(span, str) else "".join(map(_letters, span[-1]))


def _line(node: SyntaxTreeNode) -> Letters:
    return [span for each in node.children for span in _inner(each)]


def _inner(node: SyntaxTreeNode) -> Letters:
    found: Letters = []
    for each in node.children:
        match each.type:
            case "text" | "html_inline":
                found.append(each.content)
            case "code_inline":
                found.append(["code", [each.content]])
            case "strong" | "em":
                found.append(["strong", _inner(each)])
            case "link":
                found += _inner(each)
                # On paper nothing can be followed; an address abroad is told, a place in the book is its words.
                target = str(each.attrs.get("href") or "")
                if target.startswith(_ABROAD) and target not in "".join(map(_letters, found)):
                    found.append(f" ({target})")
            case "softbreak":
                found.append(" ")
            case "hardbreak":
                found.append(["break", []])
    return found
