"""The index of the find box: the same entries the command finds in, in the order of their kinds."""

from __future__ import annotations

import json

from mothermold.answers.find import entries
from mothermold.find.stems import folded
from mothermold.site.addresses import page_of
from mothermold.view.view import View

FILE = "assets/find-index.js"


def find_index(view: View) -> str:
    """A script that lays the index down as (page, title, kind, id, symptoms, words), so that it loads from a folder.

    The last holds each word of the text once: a query's words hold no spaces, so they match there as in the text.
    """
    rows = []
    for entry in entries(view):
        words = " ".join(dict.fromkeys(folded(entry.text).split()))
        rows.append((page_of(entry.kind, entry.id), entry.title, entry.kind, entry.id, entry.said, words))
    # `</` must not end the script element a page might put this into.
    text = json.dumps(rows, ensure_ascii=False, separators=(",", ":")).replace("</", "<\\/")
    return f"window.mothermoldFind = {text};\n"
