"""Makes the environment, lays out the sample book with its history, builds its site and serves it.

    python3 tools/demo.py                    to look at it in a browser
    python3 tools/demo.py --no-serve         to build it only
    python3 tools/demo.py ../demo            to have it in another folder

The book lies in `my-demo` unless a folder is given; delete the folder to begin anew.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
from pathlib import Path

from environment import ROOT, ready, say


def main() -> int:
    """Hands over to the command line; a demo that is there already is served as it is."""
    parser = argparse.ArgumentParser(description="Lays out the sample book, builds its site and serves it.")
    parser.add_argument("dir", metavar="DIR", nargs="?", default=str(ROOT / "my-demo"), help="my-demo unless given")
    parser.add_argument("--no-serve", action="store_true", help="stop when the site is built")
    asked = parser.parse_args()
    book = Path(asked.dir).resolve()
    mothermold = [str(ready()), "-m", "mothermold"]
    if not book.exists():
        return _run([*mothermold, "demo", str(book), *(["--no-serve"] if asked.no_serve else [])])
    say(f"The demo is in {book} already, with whatever you changed in it; delete the folder to begin anew.")
    if status := _run([*mothermold, "-C", str(book), "build", "--for", "private"]):
        return status
    return 0 if asked.no_serve else _run([*mothermold, "-C", str(book), "serve"])


def _run(words: list[str]) -> int:
    try:
        return subprocess.run(words, cwd=ROOT, check=False).returncode
    except KeyboardInterrupt:
        return 0


if __name__ == "__main__":
    sys.exit(main())
