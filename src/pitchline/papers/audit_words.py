"""The audit of a fleet in words a manager understands."""

from pitchline.outlook.audit import BINS, Audit, AuditRow, Lean, Width
from pitchline.papers.words import GAP, first_up, listed, percent
from pitchline.trade.writing import as_figure
from pitchline.words import translated, worded

_KINDS = {
    "link_height": "link rails",
    "bush_od": "bushes",
    "pitch_4": "chain pitch",
    "shoe_bar": "grousers",
    "bottom_roller": "bottom rollers",
    "top_roller": "upper rollers",
    "idler": "idlers",
    "sprocket": "sprockets",
}
_WIDTH_SAID = {
    Width.AS_PROMISED: "The ranges keep their promise.",
    Width.TOO_NARROW: "The ranges are too narrow: things turn out less certain than they look.",
    Width.TOO_WIDE: "The ranges are too wide: things turn out more certain than they look.",
    Width.TOO_FEW: "That is too few to tell whether the ranges keep their promise.",
}


def kind_said(word: str) -> str:
    """A kind of the fleet tables for reading; another word is kept, with spaces for its joints.

    Parameters
    ----------
    word : str
        As in the tables; empty for all kinds together.

    Returns
    -------
    str
        Plural where the project knows it.

    Examples
    --------
    >>> kind_said("top_roller"), kind_said("pad/pad_height"), kind_said("")
    ('upper rollers', 'pad, pad height', 'all parts')
    """
    return _KINDS.get(word, word.replace("/", ", ").replace("_", " ")) if word else translated("all parts")


def audit_words(audit: Audit) -> tuple[str, ...]:
    """What the audit found, in sentences.

    Returns
    -------
    tuple of str
        Paragraphs: the promise over all parts, kinds that stand out, against a straight line, and how it was done.

    References
    ----------
    Definition; the method is in docs/explanation/calibration.md.
    """
    if audit.overall is None:
        return (
            worded(
                "Nothing could be checked: {machines}, and none with a reading that earlier ones could "
                "predict. The check needs a second walk-round on at least one of them.",
                machines=_machines(audit.machines),
            ),
        )
    paragraphs = (_promise(audit.overall), _kinds(audit), _against_line(audit.overall), _how(audit))
    return tuple(paragraph for paragraph in paragraphs if paragraph)


def verdict_said(row: AuditRow) -> str:
    """One row's verdict in few words, such as "too narrow, wore faster than predicted"."""
    if row.lean in (Lean.FASTER, Lean.SLOWER):
        return f"{row.width.value}, {row.lean.value}"
    return row.width.value


def of_100(share: float) -> int:
    """A share as a whole number of every hundred."""
    return round(100 * share)


def _promise(row: AuditRow) -> str:
    half, eight, nine = (of_100(share) for share in row.inside)
    one = row.readings == 1
    predicted = (
        translated("1 reading was")
        if one
        else worded("{readings} readings were", readings=as_figure(row.readings, ","))
    )
    return (
        f"{predicted} predicted before {'it was' if one else 'they were'} known, on {_machines(row.machines)}. Of every 100 "
        f"predicted with an 80{GAP}% range, {eight} fell inside. Of every 100 with a 50{GAP}% range {half} did, and with a "
        f"90{GAP}% range {nine}. {_WIDTH_SAID[row.width]}{_leaning(row)}"
    )


def _leaning(row: AuditRow) -> str:
    if row.lean not in (Lean.FASTER, Lean.SLOWER):
        return ""
    more = of_100(_share_above(row))
    return worded(
        " All in all parts {lean}: {more} of 100 readings showed more wear than the middle figure.",
        lean=row.lean.value,
        more=more,
    )


def _kinds(audit: Audit) -> str:
    if len(audit.kinds) < 2:
        return ""
    narrow, wide, few = (
        [row for row in audit.kinds if row.width is width]
        for width in (Width.TOO_NARROW, Width.TOO_WIDE, Width.TOO_FEW)
    )
    leaning = [row for row in audit.kinds if row.lean in (Lean.FASTER, Lean.SLOWER)]
    sentences = [
        _off(narrow, translated("too narrowly")),
        _off(wide, translated("too widely")),
        *map(_leaning_kind, leaning),
    ]
    if few:
        sentences.append(
            worded("Too few readings to tell: {few}.", few=listed([kind_said(row.kind) for row in few]))
        )
    said = " ".join(sentence for sentence in sentences if sentence)
    return said or translated("No kind of part stands out: each keeps the promise as far as chance allows.")


def _off(rows: list[AuditRow], how: str) -> str:
    if not rows:
        return ""
    counted = listed([f"{kind_said(row.kind)} ({of_100(row.inside[1])} of 100)" for row in rows])
    return worded("Predicted {how}: {counted}; 80 of 100 were promised.", how=how, counted=counted)


def _leaning_kind(row: AuditRow) -> str:
    more = of_100(_share_above(row))
    return worded(
        "{kind} {lean}: {more} of 100 readings lay above the middle figure.",
        kind=first_up(kind_said(row.kind)),
        lean=row.lean.value,
        more=more,
    )


def _share_above(row: AuditRow) -> float:
    return sum(row.histogram[BINS // 2 :]) / row.readings


def _against_line(row: AuditRow) -> str:
    better = "better" if row.against_plain < 1 else "worse"
    return worded(
        "The middle figure missed the reading by {miss} of the wear allowance on average, a straight line "
        "through each part's own readings by {plain_miss}. Range and middle figure together score "
        "{against_plain}{gap}% {better} than that line with the best range it could have had.",
        miss=percent(row.miss),
        plain_miss=percent(row.plain_miss),
        against_plain=abs(of_100(1 - row.against_plain)),
        gap=GAP,
        better=better,
    )


def _how(audit: Audit) -> str:
    learned = [
        worded(
            "walk-round {number} ({readings} readings known)", number=number + 1, readings=as_figure(readings, ",")
        )
        for number, readings in audit.cuts
    ]
    left_out = ""
    if audit.left_out:
        some = (
            translated("1 reading was")
            if audit.left_out == 1
            else worded("{left_out} readings were", left_out=as_figure(audit.left_out, ","))
        )
        left_out = worded(" {some} not predicted: the first of a part nobody knows the age of.", some=some)
    return worded(
        "Each walk-round was predicted from the walk-rounds before it, the hours and ground worked in between "
        "taken as known. What wears how fast was learned anew before {learned}.{left_out}",
        learned=listed(learned),
        left_out=left_out,
    )


def _machines(count: int) -> str:
    return f"{as_figure(count, ',')} machine{'' if count == 1 else 's'}"
