"""A new document always comes to a name, whatever was typed into its form: what cannot be read is told at its field."""

from __future__ import annotations

import pytest

from mothermold.desk.forms.making import new_form
from mothermold.desk.forms.sending import sent
from mothermold.desk.starting import STARTED
from mothermold.view.view import View


@pytest.mark.parametrize("typed", ["", '"><script>alert(1)</script>', "%%%", "---", "no", "2026-02-30 9:00", "é" * 70])
@pytest.mark.parametrize("kind", STARTED)
def test_whatever_is_typed_into_every_field_a_name_is_found(view: View, kind: str, typed: str) -> None:
    form = new_form(view, kind)
    found = sent(view, form, [(each.path, typed) for each in form.fields if not str(each.path[0]).startswith("_")])
    assert found.address.rpartition("/")[2] != ""
    assert found.file.endswith(".yaml")
