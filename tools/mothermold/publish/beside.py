"""What a site is made of beside the book and this program."""

from __future__ import annotations

from collections.abc import Mapping
from importlib.util import find_spec
from pathlib import Path
from typing import Any, Final

import yaml

from mothermold.ground.store import digest

_BUILDERS: Final = ("mkdocs", "material", "markdown", "jinja2", "markupsafe", "markdown_it", "nh3")
_OWN_KEYS: Final = frozenset(
    {"site_name", "docs_dir", "site_dir", "use_directory_urls", "theme", "plugins", "validation"}
)


def beside_the_book(book: Path) -> str | None:
    """A digest of what a site is made of beside the book and this program; None where a book's own mkdocs.yml brings in more."""
    own, prose = book / "mkdocs.yml", book / "site_src"
    told: list[object] = []
    if own.is_file():
        told.append(text := own.read_bytes())
        try:
            asked = yaml.safe_load(text)
        except (yaml.YAMLError, ValueError):
            return None
        if not isinstance(asked, dict) or not asked.keys() <= _OWN_KEYS or not _is_plain(asked):
            return None
        prose = book / str(asked.get("docs_dir", "docs"))
    for path in sorted(prose.rglob("*")):
        told += [path.relative_to(book).as_posix(), path.read_bytes() if path.is_file() else b""]
    for spec in map(find_spec, _BUILDERS):
        told += [spec.origin, Path(spec.origin).stat().st_mtime_ns] if spec is not None and spec.origin else []
    return digest(*told)


def _is_plain(asked: Mapping[str, Any]) -> bool:
    """Whether nothing but this program's plugin and the theme's name is asked for."""
    plugins = asked.get("plugins")
    named = (
        [next(iter(each), None) if isinstance(each, dict) else each for each in plugins]
        if isinstance(plugins, list)
        else []
    )
    return named == ["mothermold"] and asked.get("theme", {}) in ({"name": "material"}, "material")
