"""Makes the git settings and variables that a stranger's machine might have, all of them in the way.

Owns nothing but the settings: files under a home, lines for a repository's own settings, variables. Each
points away from the book, colors or shortens what git prints, or starts a program that tells when it was run.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from history.repositories import FIRST, Repository, empty_book, recipe, start_repository

SETTINGS = """\
[log]
    showRoot = false
    showSignature = true
    follow = true
    date = relative
    decorate = full
    diffMerges = off
    mailmap = true
[color]
    ui = always
    diff = always
[diff]
    external = {teller}
    renames = copies
    noprefix = true
    mnemonicPrefix = true
    relative = true
    orderFile = {nowhere}
    algorithm = patience
    ignoreSubmodules = all
    wordRegex = .
[diff "shout"]
    textconv = {teller}
    command = {teller}
[filter "mangle"]
    clean = tr a-z A-Z
    smudge = tr a-z A-Z
[core]
    pager = {teller}
    editor = {teller}
    quotePath = true
    abbrev = 5
    autocrlf = true
    ignoreCase = true
    attributesFile = {attributes}
    excludesFile = {excludes}
    commentChar = v
[pager]
    log = true
    rev-list = true
    diff-tree = true
    cat-file = true
[i18n]
    logOutputEncoding = ISO-8859-15
[status]
    showUntrackedFiles = no
    relativePaths = true
[format]
    pretty = oneline
"""


@dataclass(frozen=True)
class Hostility:
    """Where the hostile things lie."""

    home: Path
    decoy: Repository
    settings: str
    told: Path
    teller: Path

    def variables(self) -> dict[str, str]:
        """Return environment variables that send git and its helpers elsewhere."""
        decoy = str(self.decoy.folder)
        inside = f"{decoy}/.git"
        pairs = {
            "log.showRoot": "false",
            "color.ui": "always",
            "diff.external": str(self.teller),
            "core.bare": "true",
            "core.worktree": decoy,
            "core.quotePath": "true",
        }
        numbered = {f"GIT_CONFIG_KEY_{at}": key for at, key in enumerate(pairs)}
        numbered |= {f"GIT_CONFIG_VALUE_{at}": value for at, value in enumerate(pairs.values())}
        return numbered | {
            "GIT_CONFIG_COUNT": str(len(pairs)),
            "GIT_CONFIG_PARAMETERS": "'core.bare'='true' 'color.ui'='always'",
            "GIT_CONFIG_GLOBAL": str(self.home / ".gitconfig"),
            "GIT_CONFIG_SYSTEM": str(self.home / ".gitconfig"),
            "GIT_DIR": inside,
            "GIT_COMMON_DIR": inside,
            "GIT_WORK_TREE": decoy,
            "GIT_INDEX_FILE": f"{inside}/index",
            "GIT_OBJECT_DIRECTORY": f"{inside}/objects",
            "GIT_NAMESPACE": "elsewhere",
            "GIT_PREFIX": "recipes/",
            "GIT_SHALLOW_FILE": f"{inside}/shallow",
            "GIT_GRAFT_FILE": str(self.home / "grafts"),
            "GIT_REPLACE_REF_BASE": "refs/heads/",
            "GIT_LITERAL_PATHSPECS": "1",
            "GIT_EXTERNAL_DIFF": str(self.teller),
            "GIT_DIFF_OPTS": "--unified=0",
            "GIT_PAGER": str(self.teller),
            "PAGER": str(self.teller),
            "GIT_PAGER_IN_USE": "1",
            "GIT_TRACE": "1",
            "GIT_TRACE2": "1",
            "GIT_TRACE_SETUP": "1",
            "GIT_PYTHON_TRACE": "full",
            "GIT_DEFAULT_HASH": "sha256",
            "GIT_ATTR_NOSYSTEM": "1",
            "GIT_AUTHOR_DATE": "nonsense",
            "GIT_COMMITTER_DATE": "nonsense",
            "LANGUAGE": "de",
            "TZ": "Pacific/Auckland",
            "COLUMNS": "20",
        }

    def put_into(self, repository: Repository) -> None:
        """Write the same settings into a repository's own."""
        place = repository.folder / ".git" / "config"
        place.write_text(place.read_text() + self.settings)
        attributes = repository.folder / ".git" / "info" / "attributes"
        attributes.parent.mkdir(exist_ok=True)
        attributes.write_text("*.yaml diff=shout filter=mangle\n")


def prepare(folder: Path, truth: Repository) -> Hostility:
    """Make a home full of settings, and a decoy repository with another history of the same recipe.

    Args:
        folder: Where it all goes.
        truth: The repository it is to hide; its newest commit is cut off from its parents by a graft.
    """
    home = folder / "hostile-home"
    home.mkdir()
    told, teller = home / "told", home / "teller"
    teller.write_text(f"#!/bin/sh\necho run >> '{told}'\ncat \"$@\"\n")
    teller.chmod(0o755)
    (home / "attributes").write_text("*.yaml diff=shout filter=mangle\n")
    (home / "excludes").write_text("*\n")
    (home / "grafts").write_text(truth.git("rev-parse", "HEAD"))
    settings = SETTINGS.format(
        teller=teller, nowhere=home / "nowhere", attributes=home / "attributes", excludes=home / "excludes"
    )
    (home / ".gitconfig").write_text(settings)
    decoy = start_repository(folder / "decoy")
    wrong = recipe(9, why="Of another book.", deadener="5 %")
    decoy.save(FIRST, empty_book() | {"recipes/cast/cheek.yaml": wrong})
    return Hostility(home, decoy, settings, told, teller)
