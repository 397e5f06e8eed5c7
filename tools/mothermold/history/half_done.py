"""What somebody began with git and did not finish: lines being joined, saves being put in another order, an older state laid out."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Final

from mothermold.book.files import document_files
from mothermold.ground.errors import CannotRunError
from mothermold.history.ledger import HALF_DONE
from mothermold.history.left_out import nested_histories
from mothermold.history.mishap import LayAside, Mishap
from mothermold.history.yard import Yard

_GIVE_UP: Final[Mapping[str, str]] = {
    "MERGE_HEAD": "merge", "CHERRY_PICK_HEAD": "cherry-pick", "REVERT_HEAD": "revert", "rebase-merge": "rebase",
    "rebase-apply": "rebase",
}  # fmt: skip
_KNOWS: Final = ("head-name", "orig-head")
"""Without these two nobody knows where a new order began."""


def find_half_done(yard: Yard) -> Iterator[Mishap]:
    """A deed of several steps that was not finished; the first of them, for giving it up may end others."""
    for name, said in HALF_DONE.items():
        path = yard.own / name
        if path.exists():
            yield Mishap(
                "half-done", yard.called(path), said,
                "It is given up, and the book goes back to where it stood before. What files say now is laid aside first.",
                lambda aside, name=name: _given_up(aside, yard, name),  # type: ignore[misc]
            )  # fmt: skip
            return
    unmerged = _names(yard, "ls-files", "--unmerged", "-z", "--", ".", cut=lambda row: row.partition("\t")[2])
    if unmerged:
        listed = ", ".join(f"`{file}`" for file in unmerged[:5])
        yield Mishap(
            "half-done", unmerged[0], f"Git takes these for two texts that are still to be joined: {listed}.",
            "It is told to forget that; the files stay as they are.",
            lambda _aside: yard.done("reset", "--quiet", "--", *unmerged),
        )  # fmt: skip


def _given_up(aside: LayAside, yard: Yard, name: str) -> None:
    _lay_changed_aside(aside, yard)
    path = yard.own / name
    if path.is_dir() and not all((path / each).is_file() for each in _KNOWS) and not (path / "applying").exists():
        # Only the shell of it is left.
        aside.move(path, f"git/{name}")
        return
    deed = "am" if (path / "applying").exists() else _GIVE_UP[name]
    try:
        yard.done(deed, "--abort")
    except CannotRunError:
        if path.is_dir() or _changed(yard):
            raise
        # Nothing differs from the newest save: a mark that was left lying is all there is.
        aside.move(path, f"git/{name}")


def find_older_state(yard: Yard) -> Iterator[Mishap]:
    """An older state that is laid out, so that nothing can be saved after it."""
    if yard.line() or not yard.works("rev-parse", "--verify", "--quiet", "HEAD^{commit}"):
        return
    lines = yard.lines()
    before = yard.git.ask("rev-parse", "--symbolic-full-name", "@{-1}")[1].decode("utf-8", "replace").strip()
    usual = [each for each in (before, "refs/heads/main", "refs/heads/master", *lines) if each in lines]
    says = "An older state of the book is laid out, and nothing can be saved after it."
    if not usual:
        yield Mishap("older", ".git/HEAD", says, "Give it a line of its own: type `git switch -c main`.")
        return
    line, name = usual[0], usual[0].removeprefix("refs/heads/")
    if yard.works("merge-base", "--is-ancestor", line, "HEAD"):
        yield Mishap(
            "older", ".git/HEAD", says.replace("An older", "A"),
            f"The line `{name}` goes on from here; nothing is lost, and no file is touched.",
            lambda _aside: _carried_on(yard, line),
        )  # fmt: skip
        return
    more = yard.works("merge-base", "--is-ancestor", "HEAD", line)
    yield Mishap(
        "older", ".git/HEAD", says,
        f"The newest state, of the line `{name}`, is laid out again. What was changed here is laid aside first"
        f"{'' if more else ', and what was saved here is kept as a line of its own'}.",
        lambda aside: _gone_back(aside, yard, name, kept=not more),
    )  # fmt: skip


def _carried_on(yard: Yard, line: str) -> None:
    yard.done("update-ref", "-m", "mend", line, "HEAD")
    yard.done("symbolic-ref", "-m", "mend", "HEAD", line)


def _gone_back(aside: LayAside, yard: Yard, name: str, *, kept: bool) -> None:
    if kept:
        save = yard.git.word("rev-parse", "HEAD")
        yard.done("branch", f"laid-aside-{save[:10]}", save)
    _lay_changed_aside(aside, yard)
    yard.done("reset", "--quiet", "--hard")
    # Not by force: a file that was never saved and stands in the way is named, and stays.
    yard.done("checkout", "--quiet", name)


def _lay_changed_aside(aside: LayAside, yard: Yard) -> None:
    for file in _changed(yard):
        if (path := yard.book / file).is_file():
            aside.copy(path, file)


def _changed(yard: Yard) -> list[str]:
    """The files that differ from the newest save, relative to the book."""
    return _names(yard, "diff", "--name-only", "--relative", "-z", "--no-renames", "HEAD")


def _names(yard: Yard, *words: str, cut: Callable[[str], str] = str) -> list[str]:
    told = yard.git.ask(*words)[1].decode("utf-8", "surrogateescape").split("\0")
    return list(dict.fromkeys(cut(row) for row in told if row))


def find_nested(yard: Yard) -> Iterator[Mishap]:
    """Folders of the book with a history of their own, whose documents no save takes in."""
    found = nested_histories(yard.book, (file for file, _path in document_files(yard.book)))
    for folder in sorted(set(found.values())):
        inner = yard.book / folder / ".git"
        says = f"`{folder}` has a history of its own, so no save of this book takes in what lies there."
        if not inner.is_dir() or yard.git.ask("ls-files", "--stage", "--", folder)[1].startswith(b"160000"):
            yield Mishap(
                "nested", folder, says, "It was joined to this book on purpose; whoever did it knows how to part them."
            )
            continue
        yield Mishap(
            "nested", folder, says, "That history is laid aside, whole; the documents stay where they are.",
            lambda aside, inner=inner, folder=folder: aside.move(inner, f"{folder}/.git"),  # type: ignore[misc]
        )  # fmt: skip
