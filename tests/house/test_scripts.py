"""The scripts' checkers are pinned by digest, and nothing of them says where it is fetched from or goes to an artist."""

from __future__ import annotations

import json
import re
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
FOLDER = ROOT / "tools" / "javascript"
PACKAGES = json.loads((FOLDER / "package-lock.json").read_text(encoding="utf-8"))["packages"]


def test_every_checker_of_the_scripts_is_pinned_by_its_digest() -> None:
    others = [name for name, entry in PACKAGES.items() if name and not entry.get("integrity", "").startswith("sha512-")]
    assert len(PACKAGES) > 10
    assert others == []
    assert re.fullmatch(
        r"[\w-]+==[\d.]+(?: \\\n {4}--hash=sha256:[0-9a-f]{64})+\n", (FOLDER / "node.lock").read_text("utf-8")
    )


def test_the_lock_names_neither_where_a_package_lies_nor_who_lives_of_it() -> None:
    # After `npm install` the lock holds addresses of sponsors; take the groups `funding` out.
    assert "://" not in (FOLDER / "package-lock.json").read_text(encoding="utf-8")


def test_each_global_of_the_scripts_is_typed_once() -> None:
    typed = re.findall(r"^  (mothermold\w+):", (FOLDER / "shared.d.ts").read_text(encoding="utf-8"), re.M)
    assets = ROOT / "tools" / "mothermold" / "publish" / "theme" / "assets"
    used = {
        name for path in assets.glob("*.js") for name in re.findall(r"window\.(mothermold\w+)", path.read_text("utf-8"))
    }
    assert sorted(typed) == sorted(used)
