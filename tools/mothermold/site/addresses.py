"""Where each page lies in the site, and how one page points to another from its own depth."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from mothermold.view.view import View

HUBS: Final[dict[str, tuple[str, str]]] = {
    "recipe": ("recipes.html", "Recipes"),
    "failure": ("failures.html", "Failures"),
    "material": ("materials.html", "Materials"),
    "run": ("runs.html", "Runs"),
    "mold": ("molds.html", "Molds"),
    "build": ("builds.html", "Builds"),
    "course": ("courses.html", "Courses"),
}
"""The hub page of each kind: its address and its title."""

HOME: Final = "index.html"
NOTICES: Final = "notices.html"

_FOLDERS: Final = {
    "recipe": "recipes", "failure": "failures", "material": "materials", "run": "runs", "mold": "molds",
    "build": "builds", "course": "courses",
}  # fmt: skip


def page_of(kind: str, address: str) -> str:
    """The permanent page of a document."""
    return f"{_FOLDERS[kind]}/{address}.html"


def version_page(address: str, number: int) -> str:
    """The permanent page of one version of a recipe; ``@`` is in no name, so it collides with none."""
    return f"versions/{address}@{number}.html"


def compare_page(address: str, before: object = None, after: object = None) -> str:
    """The page that compares any two versions of a recipe, at the place of one pair."""
    return f"compare/{address}.html" + (f"#v{before}-v{after}" if before is not None else "")


@dataclass(frozen=True, slots=True)
class Links:
    """Points from one page to others the edition holds.

    Attributes:
        view: The edition.
        depth: How many folders deep the page lies.
    """

    view: View
    depth: int

    def to(self, address: str) -> str:
        """The address of a page as seen from this one."""
        return "../" * self.depth + address if self.depth else f"./{address}"

    def document(self, kind: str, address: str) -> str | None:
        """Where a document's page is, or None where the edition holds none."""
        if kind == "recipe":
            versions = self.view.versions(address)
            held = versions is not None or address in self.view.documents["recipe"]
            return self.to(page_of("recipe", versions.address if versions else address)) if held else None
        return self.to(page_of(kind, address)) if address in self.view.documents[kind] else None

    def version(self, address: str, number: int) -> str | None:
        """Where the page of one version is."""
        versions = self.view.versions(address)
        if versions is None or versions.get(number) is None:
            return None
        return self.to(version_page(versions.address, number))

    def reference(self, text: str) -> str | None:
        """Where a recipe named with version and step leads."""
        path, _, step = text.partition("#")
        address, _, number = path.partition("@")
        page = self.version(address, int(number)) if number.isdigit() else self.document("recipe", address)
        return f"{page}#step-{step}" if page and self._has_step(address, number, step) else page

    def _has_step(self, address: str, number: str, step: str) -> bool:
        """Whether the page a reference leads to shows the step; a name may be misspelled, a step older or newer."""
        versions = self.view.versions(address)
        if versions is None or not versions.rows:
            return False
        row = versions.get(int(number)) if number.isdigit() else versions.current or versions.rows[-1]
        return row is not None and row.recipe is not None and any(each.id == step for each in row.recipe.steps)
