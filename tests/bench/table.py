"""Speed, measured by hand: `python tests/bench/table.py [RECIPES ...]`, each with 10 versions, 1,000 notes and 1,000 runs.

Every figure stands beside a reference of the same run, in the processor's seconds; the clock's are told where a program was started.
Put the folder for temporary files on memory (TMPDIR=/dev/shm) where disks are slow. Nothing here is a test: what counts is a
ratio that grew since the last time someone looked. `--peer` also makes the same pages as Markdown with MkDocs, which takes long.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path

import yaml
from books import LargeBook
from measuring import TOOLS, median, program, row

sys.path.insert(0, str(TOOLS))

_VERSIONS = 10
_ONE_PAGE = "site_name: Book\ntheme: {name: material}\n"
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_OURS = ("-m", "mothermold")


def main(sizes: list[int], *, peer: bool) -> None:
    """Prints the table of each size."""
    with tempfile.TemporaryDirectory() as folder:
        start = program("-c", "pass")[0]
        page = _one_page(Path(folder) / "page")
        print(f"python -c pass {start * 1000:.0f} ms, a one-page site {page * 1000:.0f} ms")
        row("--help", program(*_OURS, "--help")[0], start, "python -c pass", "<= 4")
        for size in sizes:
            _size(size, Path(folder) / str(size), start, page, peer=peer)


def _one_page(folder: Path) -> float:
    (folder / "docs").mkdir(parents=True)
    (folder / "docs" / "index.md").write_text("# A page\n", encoding="utf-8")
    (folder / "mkdocs.yml").write_text(_ONE_PAGE, encoding="utf-8")
    return program("-m", "mkdocs", "build", "--quiet", cwd=folder)[0]


def _size(recipes: int, folder: Path, start: float, page: float, *, peer: bool) -> None:
    print(f"\n{recipes} x {_VERSIONS}")
    large, root, out = LargeBook(recipes, _VERSIONS), folder / "book", folder / "site"
    large.make(root)
    texts = [
        text for saved in LargeBook(min(recipes, 30), _VERSIONS).saves() for text in saved.values() if "steps:" in text
    ]
    load = median(lambda: [yaml.load(text, _LOADER) for text in texts], 3) / len(texts) * recipes * _VERSIONS
    address = large.address(3)
    ask = ("-m", "mothermold", "-C", str(root))

    def asked(name: str, *words: str, cold: bool = False, goal: str = "<= 12, or 300 ms") -> None:
        if cold:
            shutil.rmtree(root / ".git" / "mothermold", ignore_errors=True)
        else:
            program(*ask, *words, times=1)
        used, waited, most = program(*ask, *words, times=1 if cold else 5)
        if cold:
            row(name, used, load, "yaml.load of all versions", "<= 3")
        else:
            row(name, used, start, "python -c pass", goal)
        print(f"{'':<44} {waited * 1000:>10.1f} ms by the clock, {most:.0f} MB", flush=True)

    asked("check, nothing kept", "check", cold=True)
    asked("check", "check")
    asked("versions", "versions", address)
    asked("diff", "diff", address, "8", "9")
    asked("mix", "mix", address, "base")
    asked("evidence", "evidence", "note-3")
    asked("find", "find", "seam", "rim")
    program(*ask, "find", "seam")
    used, _waited, most = program(*ask, "find", "seam", "flange", "torn", times=1)
    row("find, other words", used, start, "python -c pass", "<= 12, or 300 ms")
    path = root / f"recipes/{address}.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("title: Piece 3", "title: Piece three"), encoding="utf-8")
    used, _waited, most = program(*ask, "check", times=1)
    row("check after one edit", used, start, "python -c pass", "<= 12, or 300 ms")
    build = (*ask, "build", "--for", "private", "--out", str(out))
    used, waited, most = program(*build, times=1)
    pages = sum(1 for _ in out.rglob("*.html"))
    print(f"{'site, cold':<44} {used * 1000:>10.1f} ms  {pages} pages, {pages / used:.0f} a second (goal >= 400)")
    print(f"{'':<44} {waited * 1000:>10.1f} ms by the clock, {most:.0f} MB at most")
    row("site, nothing changed", program(*build)[0], page, "a one-page site", "<= 1.2")
    path.write_text(path.read_text(encoding="utf-8").replace("Piece three", "Piece 3 again"), encoding="utf-8")
    row("site, one edit", program(*build, times=1)[0], page, "a one-page site", "<= 1.3 at 1,000 x 10")
    public = (*ask, "build", "--out", str(out.with_name("public")))
    program(*public, times=1)
    path.write_text(path.read_text(encoding="utf-8").replace("3 again", "3 once more"), encoding="utf-8")
    row("the public site, one edit", program(*public, times=1)[0], page, "a one-page site", "<= 1.3 at 1,000 x 10")
    if peer:
        _peer(folder / "peer", out, used)


def _peer(folder: Path, site: Path, ours: float) -> None:
    """The same pages as Markdown through MkDocs, out of the navigation."""
    for path in site.rglob("*.html"):
        words = " ".join(path.read_text(encoding="utf-8").split("<main", 1)[-1].replace("<", " <").split())
        text = "\n\n".join(" ".join(words.split(" ")[at : at + 60]) for at in range(0, min(len(words), 6000), 400))
        target = folder / "docs" / path.relative_to(site).with_suffix(".md")
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(f"# {path.stem}\n\n{text}\n", encoding="utf-8")
    (folder / "mkdocs.yml").write_text(
        _ONE_PAGE + "nav: [index.md]\nvalidation: {omitted_files: ignore}\n", encoding="utf-8"
    )
    used = program("-m", "mkdocs", "build", "--quiet", cwd=folder, times=1)[0]
    row("site, cold", ours, used, "as Markdown through MkDocs", "<= 0.15")


if __name__ == "__main__":
    given = [word for word in sys.argv[1:] if word != "--peer"]
    main([int(word) for word in given] or [50, 300], peer="--peer" in sys.argv)
