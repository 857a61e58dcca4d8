"""The audit of a fleet in words a manager understands."""

from pitchline.outlook.audit import BINS, Audit, AuditRow, Lean, Width
from pitchline.papers.words import GAP, first_up, listed, percent
from pitchline.trade.writing import as_figure
from pitchline.words import counted, in_english, translated, worded

_KINDS = {
    "link_height": in_english("link rails"),
    "bush_od": in_english("bushes"),
    "pitch_4": in_english("pitch per joint"),
    "shoe_bar": in_english("grousers"),
    "bottom_roller": in_english("bottom rollers"),
    "top_roller": in_english("upper rollers"),
    "idler": in_english("idlers"),
    "sprocket": in_english("sprockets"),
}
_WIDTH_SAID = {
    Width.AS_PROMISED: in_english("The ranges keep their promise."),
    Width.TOO_NARROW: in_english("The ranges are too narrow: things turn out less certain than they look."),
    Width.TOO_WIDE: in_english("The ranges are too wide: things turn out more certain than they look."),
    Width.TOO_FEW: in_english("That is too few to tell whether the ranges keep their promise."),
}
_WIDTHS = {
    Width.AS_PROMISED: in_english("as promised"),
    Width.TOO_NARROW: in_english("too narrow"),
    Width.TOO_WIDE: in_english("too wide"),
    Width.TOO_FEW: in_english("too few readings"),
}


_ALL_LEAN = {
    Lean.FASTER: in_english(
        "All in all parts wore faster than predicted: {more} of 100 readings showed more wear than the middle figure."
    ),
    Lean.SLOWER: in_english(
        "All in all parts wore slower than predicted: {more} of 100 readings showed more wear than the middle figure."
    ),
}
_KINDS_LEAN = {
    Lean.FASTER: in_english(
        "{kind} wore faster than predicted: {more} of 100 readings lay above the middle figure."
    ),
    Lean.SLOWER: in_english(
        "{kind} wore slower than predicted: {more} of 100 readings lay above the middle figure."
    ),
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
    if not word:
        return translated("all parts")
    return translated(_KINDS[word]) if word in _KINDS else word.replace("/", ", ").replace("_", " ")


def width_said(row: AuditRow) -> str:
    """Whether a row's ranges are as wide as they should be, such as "too narrow"."""
    return translated(_WIDTHS[row.width])


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
    if row.lean is Lean.FASTER:
        return worded("{width}, wore faster than predicted", width=width_said(row))
    if row.lean is Lean.SLOWER:
        return worded("{width}, wore slower than predicted", width=width_said(row))
    return width_said(row)


def of_100(share: float) -> int:
    """A share as a whole number of every hundred."""
    return round(100 * share)


def _promise(row: AuditRow) -> str:
    half, eight, nine = (of_100(share) for share in row.inside)
    predicted = counted(
        "{n} reading was predicted before it was known, on {machines}.",
        "{n} readings were predicted before they were known, on {machines}.",
        row.readings,
    ).format(n=as_figure(row.readings, ","), machines=_machines(row.machines))
    inside = worded(
        "Of every 100 predicted with an 80{gap}% range, {eight} fell inside. Of every 100 with a 50{gap}% range {half} did, and "
        "with a 90{gap}% range {nine}.",
        gap=GAP,
        eight=eight,
        half=half,
        nine=nine,
    )
    leaning = _leaning(row, _ALL_LEAN)
    return " ".join(said for said in (predicted, inside, translated(_WIDTH_SAID[row.width]), leaning) if said)


def _leaning(row: AuditRow, texts: dict[Lean, str]) -> str:
    """Which way parts lean, where they do."""
    if row.lean not in texts:
        return ""
    kind = first_up(kind_said(row.kind))
    return translated(texts[row.lean]).format(kind=kind, more=of_100(_share_above(row)))


def _kinds(audit: Audit) -> str:
    if len(audit.kinds) < 2:
        return ""
    narrow, wide, few = (
        [row for row in audit.kinds if row.width is width]
        for width in (Width.TOO_NARROW, Width.TOO_WIDE, Width.TOO_FEW)
    )
    sentences = [
        _off(narrow, translated("Predicted too narrowly: {counted}; 80 of 100 were promised.")),
        _off(wide, translated("Predicted too widely: {counted}; 80 of 100 were promised.")),
        *(_leaning(row, _KINDS_LEAN) for row in audit.kinds),
    ]
    if few:
        sentences.append(
            worded("Too few readings to tell: {few}.", few=listed([kind_said(row.kind) for row in few]))
        )
    said = " ".join(sentence for sentence in sentences if sentence)
    return said or translated("No kind of part stands out: each keeps the promise as far as chance allows.")


def _off(rows: list[AuditRow], text: str) -> str:
    if not rows:
        return ""
    return text.format(
        counted=listed(
            [worded("{kind} ({n} of 100)", kind=kind_said(row.kind), n=of_100(row.inside[1])) for row in rows]
        )
    )


def _share_above(row: AuditRow) -> float:
    return sum(row.histogram[BINS // 2 :]) / row.readings


def _against_line(row: AuditRow) -> str:
    missed = worded(
        "The middle figure missed the reading by {miss} of the wear allowance on average, a straight line through each part's "
        "own readings by {plain_miss}.",
        miss=percent(row.miss),
        plain_miss=percent(row.plain_miss),
    )
    score = (
        translated(
            "Range and middle figure together score {share} better than that line with the best range it could have had."
        )
        if row.against_plain < 1
        else translated(
            "Range and middle figure together score {share} worse than that line with the best range it could have had."
        )
    )
    return f"{missed} {score.format(share=percent(abs(1 - row.against_plain)))}"


def _how(audit: Audit) -> str:
    learned = [
        worded(
            "walk-round {number} ({readings} readings known)", number=number + 1, readings=as_figure(readings, ",")
        )
        for number, readings in audit.cuts
    ]
    left_out = ""
    if audit.left_out:
        left_out = " " + counted(
            "{n} reading was not predicted: the first of a part nobody knows the age of.",
            "{n} readings were not predicted: the first of a part nobody knows the age of.",
            audit.left_out,
        ).format(n=as_figure(audit.left_out, ","))
    return worded(
        "Each walk-round was predicted from the walk-rounds before it, the hours and ground worked in between "
        "taken as known. What wears how fast was learned anew before {learned}.{left_out}",
        learned=listed(learned),
        left_out=left_out,
    )


def _machines(count: int) -> str:
    return counted("{n} machine", "{n} machines", count).format(n=as_figure(count, ","))
