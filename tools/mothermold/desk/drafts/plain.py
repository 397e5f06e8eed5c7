"""What is asked for a kind that has no questions of its own: what it needs, field by field."""

from __future__ import annotations

from mothermold.desk.drafts.questions import NAME
from mothermold.desk.question import Ask, Node
from mothermold.model.kinds import Kind


def plain_questions(kind: Kind) -> tuple[Node, ...]:
    """A question for every field the kind needs, its title first."""
    needed = [field.alias or name for name, field in kind.model.model_fields.items() if field.is_required()]
    needed.sort(key=lambda key: key != "title")
    asks = [Ask(key, f"Its {key.replace('_', ' ')}", needed=True) for key in needed]
    title = () if "title" in needed else (Ask("_title", "What it is called", needed=True),)
    return (*asks, *title, NAME)
