"""The history of a book's folder, opened for writing: only where nothing half done stands in the way."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from mothermold.book.files import SETTINGS_FILE
from mothermold.ground.errors import CannotRunError, RefusedError, refused
from mothermold.history.own_locks import clear_line_locks, clear_list_lock
from mothermold.history.plumbing import Plumbing, last_line

HALF_DONE: Final = {
    "MERGE_HEAD": "Two lines of the book's history are being joined, and that was not finished.",
    "CHERRY_PICK_HEAD": "An older save is being taken over, and that was not finished.",
    "REVERT_HEAD": "An older save is being taken back, and that was not finished.",
    "rebase-merge": "The book's history is being put in another order, and that was not finished.",
    "rebase-apply": "The book's history is being put in another order, and that was not finished.",
}
"""What is said of a deed of several steps, by the file it leaves in git's folder until it is done."""
WAY_OUT: Final = (
    "Type `mothermold mend`: it says what can be done, and asks before it does anything. Nothing was changed."
)
LOCKS: Final = ("index.lock", "HEAD.lock", "packed-refs.lock")
"""What git locks while it writes, beside the lock of the line it moves on."""
_FINISH: Final = f"Let whoever began it finish it, or give it up. {WAY_OUT}"


@dataclass(frozen=True, slots=True)
class Ledger:
    """A book's history that can be written.

    Attributes:
        git: Runs git at the top of the repository.
        prefix: The book's place in it, with a slash; empty where it is the book's own.
        branch: The line of history that grows.
        tip: The newest commit of it; None before the first.
        base: The tree of the tip, or the empty tree.
        places: Where in git's own folder lie its list of files (``index``), the newest commit's name (``branch``), and what
            is ours (``mothermold``).
    """

    git: Plumbing
    prefix: str
    branch: str
    tip: str | None
    base: str
    places: Mapping[str, Path]

    @property
    def scope(self) -> str:
        """The book's folder, seen from the top."""
        return self.prefix or "."

    def blobs(self, names: Iterable[str]) -> dict[str, bytes]:
        """The bytes of blobs, by their names."""
        wanted = [name for name in dict.fromkeys(names) if name.strip("0")]
        out = self.git.run("cat-file", "--batch", given="".join(f"{name}\n" for name in wanted).encode())
        found: dict[str, bytes] = {}
        position = 0
        for name in wanted:
            end = out.index(b"\n", position)
            size = int(out[position:end].split()[2])
            found[name] = out[end + 1 : end + 1 + size]
            position = end + size + 2
        return found


def open_ledger(book: Path) -> Ledger | None:
    """Opens the history of a book's folder for writing; None where it has none.

    Raises:
        RefusedError: ``history-busy``, ``history-damaged``, ``no-repository`` or ``shallow-history``.
        CannotRunError: git is missing or fails.
    """
    git = Plumbing(book)
    question = ("rev-parse", "--is-inside-work-tree", "--is-shallow-repository")
    status, out, complaint = git.ask(*question)
    if status and "config" in complaint:
        git.ignore_users_settings()
        status, out, complaint = git.ask(*question)
    if status:
        _refuse_unopened(book, complaint)
        return None
    inside, shallow = out.decode().split()
    if inside != "true":
        raise refused(
            "history-damaged",
            "The book's history is set up as one that has no folder of files.",
            "Copy the book afresh from where it is kept whole; nothing was changed.",
        )
    top, prefix = (
        git.run("rev-parse", "--show-toplevel", "--show-prefix").decode("utf-8", "surrogateescape").split("\n")[:2]
    )
    # This one question git refuses to answer for names taken literally.
    if git.ask("check-ignore", "--quiet", "--", SETTINGS_FILE, settings={"GIT_LITERAL_PATHSPECS": "0"})[0] == 0:
        if prefix:
            # The larger history around the book leaves it out on purpose, so it holds nothing of it.
            return None
        raise refused(
            "history-damaged",
            "The file .gitignore leaves the book's own documents out of its history.",
            "Delete the line of it that speaks of `recipes`, then save; nothing was changed.",
        )
    if shallow == "true":
        raise refused(
            "shallow-history",
            "Only the newest part of the history was copied here, so the next number cannot be known.",
            "Copy the whole of it with `git fetch --unshallow`, then save.",
        )
    branch = _branch(git)
    names = ("index", "mothermold", *HALF_DONE, *LOCKS)
    places = dict(zip((*names, "branch", "branch.lock"), git.place(*names, branch, f"{branch}.lock"), strict=True))
    _refuse_half_done(places)
    tip = _tip(git, places["branch"])
    _refuse_locked(git, places, tip)
    _refuse_list(git, places["index"], tip)
    base = git.word("rev-parse", f"{tip}^{{tree}}") if tip else git.word("hash-object", "-t", "tree", "--stdin")
    git.folder = Path(top)
    return Ledger(git, prefix, branch, tip, base, places)


def busy(lock: Path) -> RefusedError:
    """What to raise where another program holds a lock."""
    return refused(
        "history-busy",
        f"Another program writes into the book's history, or stopped while it did: `{lock.name}` lies there.",
        f"Wait until it is done. If nothing else works on the book: {WAY_OUT[0].lower()}{WAY_OUT[1:]}",
    )


def _refuse_unopened(book: Path, complaint: str) -> None:
    """Refuses what is no plain absence of a history."""
    if "dubious ownership" in complaint:
        raise refused(
            "no-repository",
            "The book's history belongs to another user of this computer, so git does not open it.",
            f"Tell git to trust it with `git config --global --add safe.directory {book}`.",
        )
    if "not a git repository" not in complaint:
        raise CannotRunError(f"The book's history could not be opened: {last_line(complaint)}")
    if (book / ".git").exists():
        raise _damaged("its folder .git is not whole")


def _branch(git: Plumbing) -> str:
    status, out, _ = git.ask("symbolic-ref", "--quiet", "HEAD")
    if status > 1:
        raise _damaged("its newest save cannot be read")
    if status:
        raise refused(
            "history-busy",
            "An older state of the book is laid out, and nothing can be saved after it.",
            WAY_OUT,
        )
    return out.decode("utf-8", "surrogateescape").strip()


def _refuse_half_done(places: Mapping[str, Path]) -> None:
    for name, said in HALF_DONE.items():
        if places[name].exists():
            raise refused("history-busy", said, _FINISH)


def _refuse_locked(git: Plumbing, places: Mapping[str, Path], tip: str | None) -> None:
    """Refuses where somebody else holds a lock; what a stopped save of ours left locked is opened again."""
    if places["index.lock"].exists():
        clear_list_lock(places["index.lock"], places["mothermold"])
    if places["branch.lock"].exists():
        clear_line_locks(git, places["branch.lock"], places["HEAD.lock"], tip)
    for name in (*LOCKS, "branch.lock"):
        if places[name].exists():
            raise busy(places[name])


def _refuse_list(git: Plumbing, listed: Path, tip: str | None) -> None:
    status, told, _ = git.ask("ls-files", "--unmerged", "--", ".")
    if status:
        raise _damaged("git's list of its files cannot be read")
    if told:
        raise refused(
            "history-busy", "Two texts of the same file are being joined, and that was not finished.", _FINISH
        )
    if (
        tip
        and not listed.exists()
        and git.word("config", "--type=bool", "--default=false", "core.sparseCheckout") == "true"
    ):
        # Without the list nobody knows which files were left out here on purpose, and they would be saved as deleted.
        raise _damaged("git's list of its files is gone, and not all of them are laid out here")


def _tip(git: Plumbing, line: Path) -> str | None:
    status, out, _ = git.ask("rev-parse", "--verify", "--quiet", "HEAD^{commit}")
    if status == 0:
        return out.decode().strip()
    if line.exists():
        raise _damaged("its newest save cannot be read")
    return None


def _damaged(what: str) -> RefusedError:
    return refused(
        "history-damaged",
        f"The book's history is damaged: {what}.",
        f"Copy the folder away as it is, to be safe. {WAY_OUT}",
    )
