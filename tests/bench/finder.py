"""How soon a page can find in 5,000 notes: `python tests/bench/finder.py [NOTES]`, by hand, in Chromium at phone width from a folder.

Ready is from asking for the index until a query can be answered; the reference is `JSON.parse` of the same notes, or of the
same index, in the same page. The notes are drawn from 9,000 words by Zipf's law, about 870 bytes each. Medians of seven.
"""

from __future__ import annotations

import json
import random
import shutil
import statistics
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, sync_playwright

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "tools"))

from mothermold.answers.findable import KINDS, Findable, Sides
from mothermold.find.index import Entry, build_index
from mothermold.find.ranking import search
from mothermold.pages.finder import carried_script

ASSETS = Path(__file__).resolve().parents[2] / "tools/mothermold/publish/theme/assets"
PAGE = '<!doctype html><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>Bench</title><body data-root="./">'
TIMES = 7
READY = """async (query) => {
  const load = (file) => new Promise((done, failed) => {
    const script = document.createElement("script");
    script.onload = done; script.onerror = failed; script.src = file; document.head.append(script);
  });
  const start = performance.now();
  await load("index.js"); await load("stems.js"); await load("find.js");
  const loaded = performance.now();
  window.mothermoldFinder.search(query);
  const first = performance.now();
  for (let time = 0; time < 10; time += 1) { window.mothermoldFinder.search(query); }
  return [loaded - start, first - start, (performance.now() - first) / 10];
}"""
PARSE = """async (file) => {
  const start = performance.now();
  await new Promise((done) => {
    const script = document.createElement("script");
    script.onload = done; script.src = file; document.head.append(script);
  });
  const loaded = performance.now();
  const data = JSON.parse(window.plain);
  const parsed = performance.now();
  const folded = Array.isArray(data) ? data.map((note) => note.join(" ").toLowerCase()) : [];
  const ready = performance.now();
  folded.filter((text) => text.includes("wbe") && text.includes("wac"));
  return [loaded - start, parsed - loaded, ready - start, performance.now() - ready];
}"""


def notes(count: int) -> list[Entry]:
    some = random.Random(1)
    words = sorted({"w" + "".join(some.choices("abcdefghijklmnop", k=some.randint(3, 8))) for _ in range(9000)})
    weights = [1 / rank for rank in range(1, len(words) + 1)]

    def text(length: int) -> str:
        return " ".join(some.choices(words, weights, k=length))

    return [Entry(f"note-{number}", "failure", text(6), text(14), text(100)) for number in range(count)]


def seen(page: Page, home: str, script: str, asked: str) -> list[float]:
    rows = []
    for _ in range(TIMES):
        page.goto(f"{home}/index.html")
        rows.append(page.evaluate(script, asked))
    return [statistics.median(column) for column in zip(*rows, strict=True)]


def main(count: int) -> None:
    listed = notes(count)
    start = time.perf_counter()
    index = build_index(listed, KINDS)
    built = time.perf_counter() - start
    sides = {
        (entry.kind, entry.id): Sides("cast", ("gypsum-cement",), "rework", "open", (entry.said[:60],) * 3)
        for entry in listed
    }
    query = f"{listed[7].title.split()[2]} {listed[7].said.split()[3]}"
    start = time.perf_counter()
    hits = search(query, index).hits
    took = time.perf_counter() - start
    print(
        f"{count} notes: index built in {built * 1000:.0f} ms, asked by the command in {took * 1000:.1f} ms, {len(hits)} found"
    )
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as play:
        root = Path(folder)
        (root / "index.html").write_text(PAGE, encoding="utf-8")
        script = carried_script(Findable(index, sides))
        (root / "index.js").write_text(script, encoding="utf-8")
        for asset in ("stems.js", "find.js"):
            (root / asset).write_text((ASSETS / asset).read_text(encoding="utf-8"), encoding="utf-8")
        plain = json.dumps([[each.id, each.title, each.said, each.text] for each in listed])
        (root / "plain.js").write_text(f"window.plain = {json.dumps(plain)};", encoding="utf-8")
        own = script.partition("JSON.parse(")[2].removesuffix(");\n")
        (root / "own.js").write_text(f"window.plain = {own};", encoding="utf-8")
        print(f"index {len(script.encode()) / 1e6:.2f} MB, the notes themselves {len(plain.encode()) / 1e6:.2f} MB")
        browser = play.chromium.launch(
            executable_path=shutil.which("chromium") or shutil.which("chromium-browser"), args=["--no-sandbox"]
        )
        page = browser.new_page(viewport={"width": 390, "height": 800})
        for throttle in (1, 4):
            session: Any = page.context.new_cdp_session(page)
            session.send("Emulation.setCPUThrottlingRate", {"rate": throttle})
            loaded, ready, again = seen(page, root.as_uri(), READY, query)
            plain_loaded, parsed, scanned, scan = seen(page, root.as_uri(), PARSE, "plain.js")
            _, bare, _, _ = seen(page, root.as_uri(), PARSE, "own.js")
            print(f"processor at 1/{throttle}:")
            print(
                f"  ready, first answer given     {ready:7.1f} ms  {ready / (plain_loaded + parsed):5.2f} x loading and JSON.parse of the notes"
            )
            print(f"  of it loading and JSON.parse  {loaded:7.1f} ms, of which JSON.parse {bare:.1f} ms")
            print(f"  a further query               {again:7.1f} ms")
            print(
                f"  the notes loaded and parsed   {plain_loaded + parsed:7.1f} ms, of which JSON.parse {parsed:.1f} ms"
            )
            print(
                f"  plain scan of the notes       {scanned:7.1f} ms  {scanned / (plain_loaded + parsed):5.2f} x; {scan:.1f} ms a query, no slips, endings, other words"
            )
        browser.close()


if __name__ == "__main__":
    main(int(sys.argv[1]) if sys.argv[1:] else 5000)
