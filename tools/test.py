"""Makes the environment and runs everything that must hold: lint, format, types, tests.

python3 tools/test.py            all of it, as it runs everywhere
python3 tools/test.py WORDS      the same lint and types, then pytest with these words
"""

from __future__ import annotations

import subprocess
import sys

from environment import ROOT, ready, say


def main() -> int:
    """Runs each check in turn and stops at the first that fails."""
    python = str(ready())
    checks = (
        ("Lint", [python, "-m", "ruff", "check", "."]),
        ("Format", [python, "-m", "ruff", "format", "--check", "--quiet", "."]),
        ("Types", [python, "-m", "mypy"]),
        ("Tests", [python, "-m", "pytest", *sys.argv[1:]]),
    )
    for name, words in checks:
        say(f"{name} ...")
        done = subprocess.run(words, cwd=ROOT, check=False)
        if done.returncode:
            say(f"{name} failed.")
            return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
