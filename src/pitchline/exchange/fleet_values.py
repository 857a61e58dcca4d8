"""Columns of a fleet table as numbers and words, each cell checked and told of when it is not allowed."""

from typing import Any

import numpy as np
import numpy.typing as npt
import pyarrow as pa
import pyarrow.compute as pc

from pitchline.exchange.fleet_layout import Number, Telling, Word
from pitchline.exchange.gathering import MOST_PROBLEMS
from pitchline.exchange.words import hint
from pitchline.trade.errors import phrase
from pitchline.words.catalogue import in_english

LONGEST_WORD = 200
_FIGURE = r"^[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]{1,4})?$"
_CONTROL = "[\\x00-\\x1f\\x7f]"


def plain_column(column: Any) -> Any:
    """A column as text or float64, whatever it was stored as; None where it holds neither words nor numbers.

    Empty cells are empty text, or null among numbers.
    """
    kind = column.type
    if pa.types.is_dictionary(kind):
        return plain_column(column.dictionary_decode())
    if pa.types.is_string(kind):
        return pc.fill_null(column, "")
    if pa.types.is_large_string(kind) or pa.types.is_null(kind) or str(kind) == "string_view":
        return pc.fill_null(pc.cast(column, pa.string()), "")
    if pa.types.is_integer(kind) or pa.types.is_floating(kind) or pa.types.is_decimal(kind):
        return pc.cast(column, pa.float64(), safe=False)
    return None


def _shown(column: Any, at: npt.NDArray[np.int64]) -> list[object]:
    cells = column.take(pa.array(at[:MOST_PROBLEMS])).to_pylist()
    return ["" if cell is None else cell for cell in cells]


def _parsed(text: Any) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.bool_], npt.NDArray[np.bool_]]:
    """Text as numbers; which cells are empty; which are no number."""
    try:
        values = pc.cast(text, pa.float64()).to_numpy(zero_copy_only=False)
        none = np.zeros(len(text), np.bool_)
        return values, none, none
    except pa.ArrowInvalid:
        trimmed = pc.utf8_trim_whitespace(text)
    empty = pc.equal(trimmed, "").to_numpy(zero_copy_only=False)
    figure = pc.match_substring_regex(trimmed, _FIGURE)
    values = pc.cast(pc.if_else(figure, trimmed, "nan"), pa.float64()).to_numpy(zero_copy_only=False)
    return values, empty, ~figure.to_numpy(zero_copy_only=False) & ~empty


def numbers(
    column: Any, field: str, allowed: Number, telling: Telling, rows: npt.NDArray[np.int64]
) -> npt.NDArray[np.float64]:
    """A column as numbers.

    Returns
    -------
    ndarray, shape (n,)
        In the unit of the column; NaN where empty, or where a problem was noted.
    """
    plain = plain_column(column)
    if plain is None:
        telling.add(
            field, phrase("a column of {type}", type=column.type), allowed.words, "Save the column as numbers."
        )
        return np.full(len(rows), np.nan)
    if pa.types.is_string(plain.type):
        values, empty, bad = _parsed(plain)
    else:
        empty = plain.is_null().to_numpy(zero_copy_only=False)
        values, bad = plain.to_numpy(zero_copy_only=False), np.zeros(len(rows), np.bool_)
    with np.errstate(invalid="ignore"):
        out = ~((values >= allowed.low) & (values <= allowed.high)) & ~empty
    if allowed.whole:
        out |= ~empty & (np.rint(np.where(out, 0.0, values)) != np.where(out, 0.0, values))
    wrong = np.flatnonzero(out | bad | (empty & (not allowed.optional)))
    if wrong.size:
        step = in_english("Correct the value; write numbers with a point and without a unit.")
        telling.each(field, _shown(plain, wrong), allowed.words, step, rows[wrong])
        values = values.copy()
        values[wrong] = np.nan
    return values


def _as_words(plain: Any) -> Any:
    """Numbers used as names, without a point where they are whole."""
    if pa.types.is_string(plain.type):
        return plain
    values = plain.to_numpy(zero_copy_only=False)
    whole = (
        np.isfinite(values)
        & (np.abs(values) < 2.0**53)
        & (np.rint(np.where(np.isfinite(values), values, 0.5)) == values)
    )
    digits = pc.cast(pa.array(np.where(whole, values, 0.0).astype(np.int64)), pa.string())
    return pc.fill_null(pc.if_else(pa.array(whole), digits, pc.cast(plain, pa.string())), "")


def words(
    column: Any, field: str, allowed: Word, telling: Telling, rows: npt.NDArray[np.int64]
) -> tuple[Any, npt.NDArray[np.int64]]:
    """A column as words."""
    plain = plain_column(column)
    if plain is None:
        telling.add(
            field, phrase("a column of {type}", type=column.type), "a column of words", "Save the column as text."
        )
        return pa.array([""]), np.zeros(len(rows), np.int64)
    coded = _as_words(plain).dictionary_encode()
    found = pc.utf8_trim_whitespace(coded.dictionary)
    codes = coded.indices.to_numpy(zero_copy_only=False).astype(np.int64)
    good, says = _good(found, allowed)
    if not good.all():
        wrong = np.flatnonzero(~good[codes])
        seen = found.take(pa.array(codes[wrong[:MOST_PROBLEMS]])).to_pylist()
        step = hint(seen[0], allowed.allowed, in_english("Correct the value.")) if wrong.size else ""
        telling.each(field, seen, says, step, rows[wrong])
    return found, codes


def _good(found: Any, allowed: Word) -> tuple[npt.NDArray[np.bool_], str]:
    """Which words are allowed, and what is, in words."""
    if allowed.allowed:
        wanted = (*allowed.allowed, "") if allowed.optional else allowed.allowed
        good = pc.is_in(found, value_set=pa.array(wanted))
        said = " or ".join(allowed.allowed)
        says = phrase("{words}, or empty", words=said) if allowed.optional else said
        return good.to_numpy(zero_copy_only=False), says
    length = pc.utf8_length(found).to_numpy(zero_copy_only=False)
    control = pc.match_substring_regex(found, _CONTROL).to_numpy(zero_copy_only=False)
    says = phrase("a word of 1 to {most} characters on one line", most=LONGEST_WORD)
    return (length > 0) & (length <= LONGEST_WORD) & ~control, says


def natural_order(found: Any) -> npt.NDArray[np.int64]:
    """Places that put words in order: whole numbers by size first, then the others by their characters.

    Examples
    --------
    >>> natural_order(pa.array(["b", "10", "9"])).tolist()
    [2, 1, 0]
    """
    number = pc.match_substring_regex(found, "^[0-9]{1,18}$")
    keys = {
        "word": pc.invert(number),
        "number": pc.cast(pc.if_else(number, found, "0"), pa.int64()),
        "text": found,
    }
    order = pc.sort_indices(pa.table(keys), sort_keys=[(name, "ascending") for name in keys])
    return np.asarray(order.to_numpy(), np.int64)


def all_numbers(found: Any) -> bool:
    """Whether every word is a whole number written plainly, so that it can be written as a number again."""
    return bool(pc.all(pc.match_substring_regex(found, "^(0|[1-9][0-9]{0,17})$"), min_count=0).as_py())
