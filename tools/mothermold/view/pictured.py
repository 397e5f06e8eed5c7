"""Which drawings and photos an edition names; what it does not name is handed to nobody."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import partial
from itertools import chain

from pydantic import BaseModel

from mothermold.book.document import Document
from mothermold.model.kinds import KINDS
from mothermold.model.pictures import pictures_of
from mothermold.view.sums import Summed, entry_by_entry


@entry_by_entry("pictured")
def pictured(view: Summed) -> Mapping[str, bool]:
    """Every drawing and photo the documents and versions of an edition name, each once."""
    of = view.made.of
    documents = (
        of(f"{kind}/{name}: pictures", partial(_in_document, each))
        for kind in KINDS
        for name, each in view.on(kind).items()
    )
    versions = (of(f"recipe/{each}: pictures of versions", partial(_in_versions, view, each)) for each in view.recipes)
    return dict.fromkeys(chain.from_iterable(chain(documents, versions)), True)


def _in_document(document: Document) -> list[str]:
    return _named([document.model])


def _in_versions(view: Summed, address: str) -> list[str]:
    versions = view.versions(address)
    return _named(row.document.model for row in versions.rows) if versions is not None else []


def _named(models: Iterable[BaseModel | None]) -> list[str]:
    said = (pictures_of(model).values() for model in models if model is not None)
    return list(dict.fromkeys(str(picture.file) for picture in chain.from_iterable(said)))
