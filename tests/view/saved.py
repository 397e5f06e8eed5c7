"""Saves generated books into real repositories, side lines and unsaved changes too."""

from __future__ import annotations

from history.repositories import Repository
from view.books import GeneratedBook


def save_book(book: GeneratedBook, repository: Repository) -> None:
    """The book in a real repository, with markers in messages and authors."""
    recipes = {file for commit in book.commits for file in commit.files}
    repository.write({file: text for file, text in book.files.items() if file not in recipes})
    _commit(repository, 0)
    for number, saved in enumerate(book.commits, start=1):
        if saved.first_parent:
            repository.write(saved.files)
            _commit(repository, number)
            continue
        repository.branch(f"side-{number}")
        repository.write(saved.files)
        _commit(repository, number)
        repository.go_to("main")
        repository.git("merge", "--quiet", "--strategy=ours", "-m", f"zqmessage{number}", f"side-{number}")
    repository.write(book.files)


def _commit(repository: Repository, number: int) -> None:
    repository.git("add", "--all")
    author = f"zqauthor{number} <zqauthor{number}@example.invalid>"
    repository.git("commit", "--quiet", "--allow-empty", "-m", f"zqmessage{number}", f"--author={author}")
