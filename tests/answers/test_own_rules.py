"""What `about` says of the rules a book adds."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from mothermold.cli.main import main
from view.own_rule import ADDS, RULE, add, lay_out


def test_about_tells_it_in_its_book_and_nowhere_else(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    book = lay_out(tmp_path / "book")
    assert main(["about", RULE, "-C", str(book)]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert told.startswith(f"{RULE} (warning) Bio gel on latex. It stays tacky where they touch. Use a cap")
    assert "Its starter is stopped by latex. It damages the result; it can be accepted" in told
    assert told.endswith("Source: this book.")
    assert main(["about", "-C", str(book), "--format", "json"]) == 0
    assert json.loads(capsys.readouterr().out)["codes"][-1]["code"] == RULE
    monkeypatch.chdir(tmp_path)
    assert main(["about", RULE]) == 1
    capsys.readouterr()
    add(book, ADDS.replace("weighs:", "weigh:"))
    assert main(["about", RULE, "-C", str(book)]) == 1
