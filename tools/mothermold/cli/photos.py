"""Takes photos into the book at the terminal: reads files, asks, and says what was written."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Final

from mothermold.answers.question import Typed, argument, deed, flag, option
from mothermold.book.files import PHOTOS
from mothermold.cli.asked import Call, say
from mothermold.cli.asking import Terminal
from mothermold.cli.deeds import YES, is_attended
from mothermold.desk.photo_places import PhotoPlace, find_place
from mothermold.desk.photo_questions import asked_of, known_of, who_sees
from mothermold.desk.photos import ORIGINALS, NewPhoto, TakenPhoto, new_photo, take_in
from mothermold.ground.errors import refused
from mothermold.model.pictures import Picture

_KEYS: Final = {"shows": "as", "seen_from": "view"}
_TO: Final = option("WHAT", "a run, failure note, mold, recipe, recipe#step, build or build/piece")


@dataclass(frozen=True)
class PhotoTold:
    """What is told of all photos of one call; what is not told is asked."""

    alt: Annotated[Typed, option("T", "what can be seen, for who cannot see it")] = None
    caption: Annotated[Typed, option("T", "what stands under it")] = None
    seen_from: Annotated[Typed, option("V", "front, left 3/4, right 3/4, left, right, back or detail", "--view")] = None
    shows: Annotated[Typed, option("A", "good, bad, before or after", "--as")] = None
    light: Annotated[Typed, option("T", "the light it was taken in")] = None
    camera: Annotated[Typed, option("T", "what it was taken with")] = None
    face: Annotated[Typed, option("yes|no", "whether somebody's face can be seen; unsaid, only you see it")] = None
    visibility: Annotated[Typed, option("E", "who may see it: private, class or public")] = None

    @property
    def says(self) -> dict[str, str]:
        """The same by the keys of a document."""
        said = {_KEYS.get(key, key): value for key, value in vars(self).items()}
        return {key: value.strip() for key, value in said.items() if value and value.strip()}


@deed("photo")
def photo(
    call: Call,
    file: Annotated[Sequence[str], argument("FILE", "JPEG, PNG, WebP or HEIC files", nargs="+")],
    to: Annotated[str, _TO],
    asked: PhotoTold,
    *,
    keep_original: Annotated[bool, flag("keep the files as they are in the book's folder `private` too")] = False,
    yes: Annotated[bool, YES] = False,
) -> None:
    """Takes photos into the book."""
    root, view = call.desk(), call.view("private")
    place = find_place(view, to)
    photos = [_read(root, Path(each)) for each in file]
    if yes or not is_attended():
        said = [known_of(place, each, asked.says) for each in photos]
    else:
        said = _asked(place, photos, asked.says)
    taken = take_in(root, view, place, list(zip(photos, said, strict=True)), keep_original=keep_original)
    for each, says in zip(taken, said, strict=True):
        say(_sentence(place, each, says))
    if any(each.original for each in taken):
        say(f"What came is kept in {ORIGINALS} as it was; no save takes it in.")
    if any(each.is_anew for each in taken):
        say("What was saved of it before stays in the history of the book.")
    changed = any(not each.named or each.is_anew for each in taken)
    say("`mothermold save` keeps it." if changed else "Nothing new is named there.")


def _asked(place: PhotoPlace, photos: Iterable[NewPhoto], told: Mapping[str, str]) -> list[dict[str, str]]:
    """What somebody says of each; the light and the camera of the first hold for all that were given at once."""
    found: list[dict[str, str]] = []
    asking = Terminal()
    for each in photos:
        alike = {key: found[0].get(key, "") for key in ("light", "camera")} if found else {}
        found.append(asked_of(asking, place, each, {**alike, **told}))
    return found


def _read(root: Path, path: Path) -> NewPhoto:
    if not path.exists() and (root / path).is_file():
        path = root / path
    if not path.is_file():
        raise refused("no-such-file", f"There is no file `{path}`.", "Type the name of the photo with its folder.")
    here = path.name if path.resolve().parent == (root / PHOTOS).resolve() else ""
    return new_photo(path.name, path.read_bytes(), here=here)


def _sentence(place: PhotoPlace, taken: TakenPhoto, says: Mapping[str, str]) -> str:
    made, file = taken.photo.made, f"{PHOTOS}/{taken.file}"
    if taken.is_anew and taken.named:
        return f"{taken.photo.name} was made anew, as {file}: nothing but its picture is in it now."
    if taken.named:
        return f"{taken.photo.name}: {place.document.file} names this picture already, as {file}."
    size = f"{made.width} × {made.height} points, {max(1, len(made.data) // 1000)} kB"
    lines = [f"{taken.photo.name} is {file} now ({size}), and nothing but its picture; {place.document.file} names it."]
    if taken.known:
        lines = [f"{taken.photo.name} lay in the book before, as {file}; {place.document.file} names it now too."]
    if made.moves:
        lines.append("  It moves; only its first picture was taken.")
    return "\n".join([*lines, f"  {_seen_by(place, taken.file, says)}"])


def _seen_by(place: PhotoPlace, file: str, says: Mapping[str, str]) -> str:
    said = {key: says[key] for key in ("face", "visibility") if says.get(key)}
    told = who_sees(place.document, Picture.model_validate({"file": file, **said}))
    if said or told != "Only you see it.":
        return told
    return "Only you see it; type `face: no` there where nobody's face is to be seen."
