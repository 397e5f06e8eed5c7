"""Which drawings and photos an edition names; what it does not name is handed to nobody."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from itertools import chain

from mothermold.book.strays import pictures_named
from mothermold.model.kinds import KINDS
from mothermold.view.sums import Summed, entry_by_entry


@entry_by_entry("pictured")
def pictured(view: Summed) -> Mapping[str, bool]:
    """Every drawing and photo the documents and versions of an edition name, each once."""
    of = view.made.of
    documents = (
        of(f"{kind}/{name}: shows", partial(pictures_named, each))
        for kind in KINDS
        for name, each in view.on(kind).items()
    )
    versions = (of(f"recipe/{each}: pictures of versions", partial(_in_versions, view, each)) for each in view.recipes)
    return dict.fromkeys(chain.from_iterable(chain(documents, versions)), True)


def _in_versions(view: Summed, address: str) -> list[str]:
    versions = view.versions(address)
    rows = versions.rows if versions is not None else ()
    return list(dict.fromkeys(chain.from_iterable(pictures_named(row.document) for row in rows)))
