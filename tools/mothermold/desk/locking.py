"""What a draft lacks before it can be locked, and the locking: what `check` and `save` would say of it as a finished version."""

from __future__ import annotations

from dataclasses import dataclass

from mothermold.desk.forms.form import Form
from mothermold.desk.forms.keeping import keep
from mothermold.desk.forms.making import form_of
from mothermold.desk.forms.sending import Sent, sent
from mothermold.ground.errors import RefusedError, refused
from mothermold.ground.notices import Notice
from mothermold.model.walk import KeyPath
from mothermold.view.view import View


@dataclass(frozen=True, slots=True)
class Locking:
    """A draft as it would be locked.

    Attributes:
        form: Its form.
        found: What would become of its file.
        lacks: What keeps it from being locked, each with the field it is about.
        doubts: What else is said of it.
    """

    form: Form
    found: Sent
    lacks: tuple[tuple[KeyPath, Notice], ...]
    doubts: tuple[tuple[KeyPath, Notice], ...]


def look_at_lock(view: View, address: str) -> Locking:
    """What keeps a draft from being locked.

    Args:
        view: The owner's book.
        address: The recipe.

    Raises:
        RefusedError: There is no such recipe, it cannot be read, or it is no draft.
    """
    form = form_of(view, "recipe", address)
    if not form.sections:
        raise refused(
            "not-locked", f"`{address}` cannot be read, so nobody knows what it lacks.", "Mend its file first."
        )
    number, status, why = (str(form.tree.get(key) or "") for key in ("version", "status", "why"))
    if status != "draft":
        told_status = f"Version {number} of `{address}` is {status or 'no draft'} already."
        raise refused("not-locked", told_status, "Begin the next version.")
    found = sent(view, form, [(("status",), "locked")])
    told = [(path, each) for path, held in found.notices.items() for each in held]
    told += [((), each) for each in found.elsewhere]
    lacks = [each for each in told if each[1].severity == "error"]
    if number != "1" and not why:
        told_why = f"`{address}` becomes version {number}, and nothing says why."
        advice = "Say in a sentence why it differs from the version before."
        lacks.append((("why",), Notice("needs-why", "error", told_why, advice, file=form.file)))
    return Locking(form, found, tuple(lacks), tuple(each for each in told if each[1].severity != "error"))


def lock(view: View, locking: Locking) -> None:
    """Writes that the draft is finished; the next save makes a version of it.

    Raises:
        RefusedError: It lacks something, or was changed meanwhile.
        CannotRunError: The disk refused.
    """
    if locking.lacks:
        raise RefusedError(*(notice for _path, notice in locking.lacks))
    if keep(view, locking.form, locking.found) is not None:
        raise refused(
            "changed-meanwhile", f"{locking.form.file} was changed meanwhile, so it is not locked.", "Look again."
        )
