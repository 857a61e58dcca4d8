"""Hours of machines from an answer of a telematics server by ISO 15143-3: a snapshot of a fleet, or hours over time; XML or JSON.

The standard's words: a fleet of pieces of equipment, each with a header that names it and, where it is known, cumulative
operating hours, cumulative idle hours and a location, each with its time; links lead to further pages. Senders differ in letter
case, in name spaces, and in whether a time is an attribute or a value: all are taken.

See docs/howto/bring-hours-in.md.
"""

import datetime as dt
from collections.abc import Iterator
from functools import partial
from typing import Any
from xml.etree.ElementTree import Element, ParseError

from defusedxml import DefusedXmlException
from defusedxml.ElementTree import fromstring

from pitchline.exchange.gathering import Gathering, refuse
from pitchline.exchange.hours_rows import LONGEST_NAME, HoursFile, HoursRow, angle_of, check_count, moment_of
from pitchline.exchange.json_in import loaded
from pitchline.exchange.text_in import decode
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.words import in_english

_DEEPEST = 20
"""No such answer has brackets in brackets so deep."""
_NAMES = ("equipmentid", "serialnumber", "pin")
_OLDEST = dt.datetime(1990, 1, 1, tzinfo=dt.UTC)
"""Before there was a sender: how some write that they do not know."""
_ANSWER = in_english("an answer by ISO 15143-3, XML or JSON")

Tree = dict[str, list[Any]]
"""Values of an entry by their names in small letters; each a text or an entry."""


def looks_like_feed(raw: bytes) -> bool:
    """Whether bytes begin like XML or JSON, and not like a table."""
    return raw.lstrip(b"\xef\xbb\xbf \t\r\n")[:1] in (b"<", b"{", b"[")


def read_feed(raw: bytes, file: str, equipment: str = "") -> HoursFile:
    """Hours in one answer.

    Parameters
    ----------
    raw : bytes
        The answer's body.
    file : str
        What to call it in errors: a file's name or an address.
    equipment : str
        Whose hours they are where the answer, hours over time of one machine, does not name it.

    Returns
    -------
    HoursFile
        Rows that can be used, each other with its reason; entries that tell no hours are left out without a word.

    Raises
    ------
    InputError
        No such answer.

    References
    ----------
    ISO/TS 15143-3:2020, names of the data elements as public examples of it show them.
    """
    gathering = Gathering(file)
    tree = _tree(raw, gathering)
    entries = list(_entries(tree))
    over_time = [] if entries else [one for name in ("cumulativeoperatinghours",) for one in _found(tree, name)]
    told = [(entry, hours) for entry in entries for hours in _below(entry, "cumulativeoperatinghours")[:1]]
    told += [({}, hours) for hours in over_time]
    if not entries and not over_time:
        seen = phrase("neither equipment nor hours")
        raise refuse(file, "hours", seen, _ANSWER, "Look whether it is the right file or address.")
    if told:
        check_count(file, told)
    rows = [gathering.attempt(partial(_row, *one, equipment)) for one in told]
    return HoursFile(tuple(row for row in rows if row is not None), tuple(gathering.problems), _next(tree))


def _row(entry: Tree, hours: Tree, equipment: str) -> HoursRow | None:
    header = next(iter(_below(entry, "equipmentheader")), {})
    names = [name for key in _NAMES if (name := _text(header, key))] or [equipment]
    make_and_model = " ".join(filter(None, (_text(header, "oemname"), _text(header, "model"))))
    shown, said = _text(hours, "hour") or _text(hours, "hours"), _time(hours)
    if not shown or not said:
        return None
    at = moment_of(said, dt.UTC)
    if at < _OLDEST:
        return None
    if not names[0] or any(len(name) > LONGEST_NAME for name in names):
        raise NotAllowedError(
            "equipment", make_and_model or phrase("no name"), "an equipment id or a serial number"
        )
    place = next(iter(_below(entry, "location")), {})
    idle = next(
        (
            one
            for name in ("cumulativeidlehours", "cumulativeidlenonoperatinghours")
            for one in _below(entry, name)
        ),
        {},
    )
    latitude, longitude = (_text(place, key) for key in ("latitude", "longitude"))
    return HoursRow(
        tuple(dict.fromkeys(names)),
        at,
        _number(shown, "hours"),
        _number(_text(idle, "hour"), "idle hours") if _text(idle, "hour") else None,
        angle_of(latitude, "latitude") if latitude and longitude else None,
        angle_of(longitude, "longitude") if latitude and longitude else None,
    )


def _number(text: str, field: str) -> float:
    try:
        return float(text)
    except ValueError:
        raise NotAllowedError(field, text[:40], "a number of hours") from None


def _tree(raw: bytes, gathering: Gathering) -> Tree:
    if raw.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"<"):
        try:
            root = fromstring(raw, forbid_dtd=True)
        except (ParseError, DefusedXmlException, ValueError, LookupError) as error:
            seen = phrase("XML that cannot be read ({why})", why=type(error).__name__)
            raise refuse(gathering.file, "XML", seen, _ANSWER, "Fetch it again.") from None
        return {_name(root.tag): [_of_element(root, gathering.file)]}
    found = _of_value(loaded(decode(raw, gathering.file), gathering, _ANSWER), gathering.file)
    gathering.problems.clear()  # a key twice in an answer is its sender's; the last holds
    return found if isinstance(found, dict) else {"": found if isinstance(found, list) else [found]}


def _name(tag: str) -> str:
    return tag.rpartition("}")[2].lower()


def _of_element(element: Element, file: str, depth: int = 0) -> Any:
    _check_depth(depth, file)
    if not len(element) and not element.attrib:
        return (element.text or "").strip()
    tree: Tree = {}
    for key, text in element.attrib.items():
        tree.setdefault(_name(key), []).append(text.strip())
    for child in element:
        tree.setdefault(_name(child.tag), []).append(_of_element(child, file, depth + 1))
    if element.text and element.text.strip():
        tree.setdefault("hour", []).append(element.text.strip())  # a value beside its time as an attribute
    return tree


def _of_value(value: Any, file: str, depth: int = 0) -> Any:
    _check_depth(depth, file)
    if isinstance(value, dict):
        tree: Tree = {}
        for key, each in value.items():
            inside = _of_value(each, file, depth + 1)
            tree.setdefault(key.lower(), []).extend(inside if isinstance(inside, list) else [inside])
        return tree
    if isinstance(value, list):
        return [_of_value(each, file, depth + 1) for each in value]
    return "" if value is None else str(value).strip()


def _check_depth(depth: int, file: str) -> None:
    if depth > _DEEPEST:
        raise refuse(file, "answer", phrase("entries nested too deep"), _ANSWER, "Fetch it again.")


def _entries(tree: Tree) -> Iterator[Tree]:
    for one in _found(tree, "equipment"):
        if "equipmentheader" in one:
            yield one


def _found(tree: Any, name: str) -> Iterator[Tree]:
    """Every entry of a name, however deep, in the order of the file."""
    if isinstance(tree, dict):
        for key, values in tree.items():
            for value in values:
                if key == name and isinstance(value, dict):
                    yield value
                else:
                    yield from _found(value, name)
    elif isinstance(tree, list):
        for value in tree:
            yield from _found(value, name)


def _below(tree: Tree, name: str) -> list[Tree]:
    return [value for value in tree.get(name, ()) if isinstance(value, dict)]


def _text(tree: Tree, name: str) -> str:
    return next((value for value in tree.get(name, ()) if isinstance(value, str)), "")


def _time(tree: Tree) -> str:
    return _text(tree, "datetime") or _text(tree, "time")


def _next(tree: Tree) -> str:
    """Where the next page is; a page that names itself as the next is the last."""
    links = [*_found(tree, "links"), *_found(tree, "link")]
    by_name = {_text(one, "rel").lower(): _text(one, "href") for one in links if not isinstance(one, str)}
    own, further = by_name.get("self", ""), by_name.get("next", "")
    return "" if further == own else further
