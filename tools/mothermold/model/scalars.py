"""The kinds of single values a field may hold, each read from the raw text as it was typed.

Every reader here gets text and returns a value, or raises an error that already says what to type instead.
"""

from __future__ import annotations

import re
from datetime import date, datetime, time
from typing import Annotated, Any, Final, Literal, Self

from pydantic import BeforeValidator, GetCoreSchemaHandler, GetJsonSchemaHandler, PlainValidator, WithJsonSchema
from pydantic_core import PydanticCustomError, core_schema

from mothermold.model.names import Name, Typed, plain_text
from mothermold.quantities import Dimension, Quantity, QuantityError, parse

_DAY: Final = re.compile(r"\d{4}-\d{2}-\d{2}")
_MOMENT: Final = re.compile(r"(\d{4}-\d{2}-\d{2})[ T](\d{2}:\d{2})(?::\d{2})?")
_CLOCK: Final = re.compile(r"\d{2}:\d{2}")
_SPAN: Final = re.compile(r"\d{2}:\d{2}\s*-\s*\d{2}:\d{2}")


def fault(code: str, message: str, advice: str) -> PydanticCustomError:
    """An error for a value, with its code, what is wrong, and what to type."""
    return PydanticCustomError(code, "{message}", {"message": message, "help": advice})


LONGEST_TEXT: Final = 20_000
"""The most characters of a title, a caption or another text of one line."""
LONGEST_WORD: Final = 60
"""The most characters of a day, a code, a whole number or another single word."""


def _word(value: Any) -> str:
    """The text of a value that is one word or number; raises ``too-long`` before any pattern looks at it."""
    return _bounded(value, LONGEST_WORD, "a value of this kind", "Type the number, the day or the word alone.")


def read_line(value: Any) -> str:
    """A text of one line, as typed; raises ``too-long``."""
    advice = "Keep it short here; what belongs to a step goes into `do`, what is noted goes into `notes`."
    return _bounded(value, LONGEST_TEXT, "a text of one line", advice)


def _bounded(value: Any, most: int, what: str, advice: str) -> str:
    text = plain_text(value)
    if len(text) > most:
        message = f"`{text}` has {len(text):,} characters; {what} may have {most}."
        raise fault("too-long", message, advice)
    return text


class Prose(Typed):
    """Text in CommonMark, as long as it likes."""

    __slots__ = ()

    @classmethod
    def read(cls, value: Any) -> Self:
        """Reads prose; raises ``wrong-shape`` for lists and groups of keys."""
        plain_text(value)
        # Spaces at line ends and line ends at the end are the editor's, not the author's.
        return cls("\n".join(line.rstrip() for line in value.strip().split("\n")))

    @classmethod
    def schema(cls) -> dict[str, Any]:
        """What an editor may accept: any text, however it reads it."""
        return dict(ANY_TEXT)


# An editor reads `No`, `20E5` or `12` as something else than text; here all of them arrive as typed.
ANY_TEXT: Final[dict[str, Any]] = {"type": ["string", "number", "boolean"]}

Text = Annotated[str, PlainValidator(read_line), WithJsonSchema(ANY_TEXT)]


def _read_code(value: Any) -> str:
    text = _word(value)
    if re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9-]{0,11}", text):
        return text
    raise fault(
        "not-a-code",
        f"`{text}` is not a code for a person.",
        "Type a short code of letters and digits, such as `R2`; who it is stays outside the book.",
    )


# Who did or wears something: a code, so that no name gets into the book.
Code = Annotated[
    str,
    PlainValidator(_read_code),
    WithJsonSchema({"type": ["string", "integer"], "pattern": "^[A-Za-z0-9][A-Za-z0-9-]{0,11}$"}),
]


def _whole(value: Any) -> int:
    text = _word(value)
    if re.fullmatch(r"\d{1,9}", text):
        return int(text)
    if re.fullmatch(r"\d+,\d+", text):
        raise fault("decimal-comma", f"`{text}` has a comma.", f"Type `{text.replace(',', '')}` as a whole number.")
    if re.fullmatch(r"-\d+", text):
        raise fault("out-of-range", f"`{text}` is less than nothing.", "Type a whole number from 1 up.")
    digits = re.match(r"\d+", text)
    advice = f"Type a whole number such as `{digits[0] if digits else 2}`."
    raise fault("bad-number", f"`{text}` is not a whole number.", advice)


def _at_least_one(value: Any) -> int:
    number = _whole(value)
    if number < 1:
        raise fault("out-of-range", f"`{number}` is too small.", "Type a whole number from 1 up, such as `1`.")
    return number


WholeNumber = Annotated[int, PlainValidator(_whole), WithJsonSchema({"type": "integer", "minimum": 0})]
Positive = Annotated[int, PlainValidator(_at_least_one), WithJsonSchema({"type": "integer", "minimum": 1})]


def _yields(value: Any) -> int | tuple[tuple[str, int], ...]:
    if isinstance(value, dict):
        return tuple((Name.read(kind), _at_least_one(count)) for kind, count in value.items())
    return _at_least_one(value)


_COUNT_SCHEMA: Final[dict[str, Any]] = {"type": "integer", "minimum": 1}
# How many pieces a run gives: a number, or a number for each kind.
Yields = Annotated[
    int | tuple[tuple[str, int], ...],
    PlainValidator(_yields),
    WithJsonSchema({"anyOf": [_COUNT_SCHEMA, {"type": "object", "additionalProperties": _COUNT_SCHEMA}]}),
]


def _yes_or_no(value: Any) -> bool:
    text = _word(value)
    if text.casefold() in ("yes", "true"):
        return True
    if text.casefold() in ("no", "false"):
        return False
    raise fault("unknown-word", f"`{text}` is neither yes nor no.", "Type `yes` or `no`.")


YesNo = Annotated[bool, PlainValidator(_yes_or_no), WithJsonSchema({"enum": [True, False, "yes", "no", "Yes", "No"]})]


def read_day(value: Any) -> date:
    """Reads a calendar day; raises ``bad-date`` with the days that may be meant."""
    text = _word(value)
    if _DAY.fullmatch(text):
        try:
            return date.fromisoformat(text)
        except ValueError:
            raise fault("bad-date", f"`{text}` is not in the calendar.", f"Type {_a_day_near(text)}.") from None
    raise fault("bad-date", f"`{text}` cannot be read as a day.", f"Type {_days_meant(text)}.")


def _a_day_near(text: str) -> str:
    year, month, day = (int(part) for part in text.split("-"))
    if not 1 <= month <= 12:
        return "the day as year-month-day, such as `2026-11-24`"
    for last in (31, 30, 29, 28):
        if last < day:
            try:
                return f"a day that exists, at the latest `{date(year, month, last).isoformat()}`"
            except ValueError:
                continue
    return "the day as year-month-day, such as `2026-11-24`"


def _days_meant(text: str) -> str:
    match = re.fullmatch(r"(\d{1,2})[./-](\d{1,2})[./-](\d{4})", text)
    if not match:
        return "it as year-month-day, such as `2026-11-24`"
    first, second, year = int(match[1]), int(match[2]), match[3]
    readings = [f"`{year}-{m:02d}-{d:02d}`" for d, m in ((first, second), (second, first)) if m <= 12 and d <= 31]
    return " or ".join(dict.fromkeys(readings)) or "it as year-month-day, such as `2026-11-24`"


Day = Annotated[date, PlainValidator(read_day), WithJsonSchema({"type": "string", "pattern": r"^\d{4}-\d{2}-\d{2}$"})]


def _read_moment(value: Any) -> datetime:
    text = _word(value)
    match = _MOMENT.fullmatch(text)
    if not match:
        if _DAY.fullmatch(text):
            raise fault("bad-time", f"`{text}` has no time of day.", f"Type `{text} 09:00`.")
        raise fault("bad-date", f"`{text}` cannot be read as a day and a time.", "Type it as `2026-11-24 09:10`.")
    return datetime.combine(read_day(match[1]), _read_clock(match[2]))


Moment = Annotated[
    datetime,
    PlainValidator(_read_moment),
    WithJsonSchema({"type": "string", "pattern": r"^\d{4}-\d{2}-\d{2}[ T]\d{2}:\d{2}(:\d{2})?$"}),
]


def _read_taken(value: Any) -> datetime | date:
    return read_day(value) if _DAY.fullmatch(_word(value)) else _read_moment(value)


DayOrMoment = Annotated[
    datetime | date,
    PlainValidator(_read_taken),
    WithJsonSchema({"type": "string", "pattern": r"^\d{4}-\d{2}-\d{2}([ T]\d{2}:\d{2}(:\d{2})?)?$"}),
]


def _read_clock(value: Any) -> time:
    text = _word(value)
    if _CLOCK.fullmatch(text):
        try:
            return time.fromisoformat(text)
        except ValueError:
            pass
    raise fault(
        "bad-time", f"`{text}` is not a time of day.", "Type hours and minutes from 00:00 to 23:59, as `06:30`."
    )


Clock = Annotated[time, PlainValidator(_read_clock), WithJsonSchema({"type": "string", "pattern": r"^\d{2}:\d{2}$"})]


def _read_hours(value: Any) -> str:
    text = _word(value)
    if _SPAN.fullmatch(text):
        for clock in re.split(r"\s*-\s*", text):
            _read_clock(clock)
        return text
    raise fault("bad-time", f"`{text}` is not a span of hours.", "Type it as `09:00-18:00`.")


Hours = Annotated[str, PlainValidator(_read_hours), WithJsonSchema({"type": "string"})]


class QuantityOf:
    """Marks a quantity field with the dimensions that make sense in it."""

    def __init__(self, *wanted: Dimension, default: Dimension | None = None, signed: bool = False) -> None:
        self.wanted = wanted
        self.default = default
        self.signed = signed

    def read(self, value: Any) -> Quantity:
        """Reads the raw text; raises with the quantity's own code."""
        try:
            return parse(plain_text(value), self.wanted, default=self.default, signed=self.signed)
        except QuantityError as problem:
            code = "bad-number" if self.wanted == ("number",) and problem.code == "bad-quantity" else problem.code
            raise fault(code, problem.message, problem.advice) from None

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, schema: Any, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return {"type": ["string", "number"]} if self.default or "number" in self.wanted else {"type": "string"}


Mass = Annotated[Quantity, QuantityOf("mass")]
Volume = Annotated[Quantity, QuantityOf("volume")]
MassOrVolume = Annotated[Quantity, QuantityOf("mass", "volume")]
Duration = Annotated[Quantity, QuantityOf("time")]
Length = Annotated[Quantity, QuantityOf("length")]
Area = Annotated[Quantity, QuantityOf("area")]
Density = Annotated[Quantity, QuantityOf("density")]
Temperature = Annotated[Quantity, QuantityOf("temperature")]
Percent = Annotated[Quantity, QuantityOf("share", default="share")]
Number = Annotated[Quantity, QuantityOf("number")]
SignedNumber = Annotated[Quantity, QuantityOf("number", signed=True)]
_AMOUNT: Final = QuantityOf("mass", "volume", "length", "area", "pieces", "rolls", "sheets", "pairs", "drops")
Amount = Annotated[Quantity, _AMOUNT]


def _amount_or_words(value: Any) -> Quantity | str:
    # "a pinch" may stand outside the arithmetic; what starts with a digit must be an amount.
    text = plain_text(value)
    return _AMOUNT.read(text) if text[:1].isdigit() else read_line(text)


AmountOrWords = Annotated[Quantity | str, PlainValidator(_amount_or_words), WithJsonSchema({"type": "string"})]
Measurement = Annotated[
    Quantity,
    QuantityOf("mass", "volume", "length", "area", "time", "temperature", "share", "density", "pieces", signed=True),
]


def one_or_many(value: Any) -> Any:
    """A list of one where one entry stands alone."""
    return [value] if isinstance(value, str | dict) else value


# Where a list stands, one entry may stand alone.
ONE_OR_MANY: Final = BeforeValidator(one_or_many)

Visibility = Literal["private", "class", "public"]
Status = Literal["draft", "locked", "retired"]
Measure = Literal["weight", "volume"]
Once = Literal["build", "mold", "wearer"]
Holder = Literal["mold", "bench", "oven", "person", "nothing"]
Harm = Literal["cosmetic", "rework", "piece lost", "mold lost", "somebody hurt"]
