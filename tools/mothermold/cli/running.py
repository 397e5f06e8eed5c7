"""Runs a command and prints its answer: text for people, JSON for programs, notices to both."""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from mothermold.answers.question import QuestionEntry
from mothermold.cli.asked import Call
from mothermold.desk.asking import StoppedError
from mothermold.ground.errors import CannotRunError, RefusedError
from mothermold.ground.notices import Notice, in_order
from mothermold.ground.rendering import as_data, as_text
from mothermold.ground.words import shorter


def run(question: QuestionEntry, typed: Mapping[str, Any]) -> int:
    """Runs one command; prints; returns the exit code."""
    call = Call(typed)
    try:
        result = question.answer(call.hand, typed)
    except RefusedError as refusal:
        notices = (*refusal.notices, *call.unsettled())
        if call.is_for_programs:
            _print_json(question, question.empty, notices)
        else:
            sys.stderr.write("\n".join(as_text(notice) for notice in notices) + "\n")
        return 1
    except StoppedError as stopped:
        sys.stderr.write(f"{stopped}\n")
        return 1
    except CannotRunError as problem:
        sys.stderr.write(f"{shorter(str(problem))}\n")
        return 2
    except BrokenPipeError:
        raise
    except OSError as problem:
        # A name too long for the disk, a full disk, a folder that went away while it was read.
        place = f"`{problem.filename}` cannot be used" if problem.filename else "The computer refused"
        sys.stderr.write(f"{shorter(place)}: {problem.strerror or problem}.\n")
        return 2
    if result is None or question.text is None:
        return 0
    told = replace(result, notices=(*result.notices, *call.unsettled()))
    if call.is_for_programs:
        _print_json(question, told.data, told.notices)
    else:
        sys.stdout.write(question.also.get(typed["format"], question.text)(told))
    return 0 if told.ok else 1


def _print_json(question: QuestionEntry, data: Mapping[str, Any], notices: Sequence[Notice]) -> None:
    ordered: list[Notice] = in_order(notices)
    beside = {"notices": [as_data(notice) for notice in ordered]} if question.has_notices else {}
    sys.stdout.write(json.dumps({**data, **beside}, ensure_ascii=False, indent=2) + "\n")
