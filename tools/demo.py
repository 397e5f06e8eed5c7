"""Makes the environment, lays out the sample book with its history, builds its site and serves it.

    python3 tools/demo.py               to look at it in a browser
    python3 tools/demo.py --no-serve    to build it only

The book lies in `my-demo`; delete that folder to begin anew.
"""

from __future__ import annotations

import subprocess
import sys

from environment import ROOT, ready, say

BOOK = ROOT / "my-demo"


def main() -> int:
    """Hands over to the command line; a demo that is there already is served as it is."""
    mothermold = [str(ready()), "-m", "mothermold"]
    serve = "--no-serve" not in sys.argv[1:]
    if not BOOK.exists():
        return _run([*mothermold, "demo", str(BOOK), *sys.argv[1:]])
    say(f"The demo is in {BOOK} already, with whatever you changed in it; delete the folder to begin anew.")
    if status := _run([*mothermold, "-C", str(BOOK), "build", "--for", "private"]):
        return status
    return _run([*mothermold, "-C", str(BOOK), "serve"]) if serve else 0


def _run(words: list[str]) -> int:
    try:
        return subprocess.run(words, cwd=ROOT, check=False).returncode
    except KeyboardInterrupt:
        return 0


if __name__ == "__main__":
    sys.exit(main())
