"""Ground as people describe it: a name, a thumb, a boot, a penetrometer, a hand vane. Each becomes a range."""

from dataclasses import replace
from enum import StrEnum
from typing import Any

from pitchline.ground.cone_index import rating_index
from pitchline.ground.soils import GROUNDS, STRENGTH_CLASSES_PA, Ground, Surface
from pitchline.ground.spans import Basis, Span, within
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.saying import saying
from pitchline.trade.writing import as_figure

READING_SHARE = 0.15
"""How far a single field reading may be off the place next to it [1]; our own."""
MOISTURES = ("moist", "wet")
UNDESCRIBED = "ground nobody has described"
OPEN_NAMES = tuple(name.removeprefix("moist ") for name in GROUNDS if name.startswith("moist "))
"""Names that leave the moisture open."""


class ThumbTest(StrEnum):
    """What a thumb does to fine-grained soil."""

    SINKS_DEEP = "sinks_deep"
    SINKS = "sinks"
    DENTS = "dents"
    NAIL_ONLY = "nail_only"


class BootTest(StrEnum):
    """What a person's boot does to it."""

    OVER_ANKLE = "over_ankle"
    DEEP_PRINT = "deep_print"
    HEEL_PRINT = "heel_print"
    NO_PRINT = "no_print"


_CLASS = STRENGTH_CLASSES_PA
_THUMB_PA = {
    ThumbTest.SINKS_DEEP: (_CLASS["very soft"][0], _CLASS["soft"][1]),
    ThumbTest.SINKS: (9e3, 36e3),
    ThumbTest.DENTS: (_CLASS["medium"][0], _CLASS["stiff"][1]),
    ThumbTest.NAIL_ONLY: (_CLASS["very stiff"][0], _CLASS["hard"][1]),
}
_BOOT_PA = {
    BootTest.OVER_ANKLE: (_CLASS["very soft"][0], _CLASS["very soft"][1]),
    BootTest.DEEP_PRINT: (_CLASS["very soft"][1] * 0.75, _CLASS["medium"][0] * 1.5),
    BootTest.HEEL_PRINT: (_CLASS["medium"][0], _CLASS["stiff"][1]),
    BootTest.NO_PRINT: (_CLASS["stiff"][0], _CLASS["hard"][1]),
}


def ground_named(name: str, moisture: str | None = None) -> Ground:
    """A ground by its name; without its moisture, wide enough for every moisture there is.

    Parameters
    ----------
    name : str
        Such as "heavy clay" or "wet heavy clay"; see `soils.GROUNDS`.
    moisture : str or None
        "moist" or "wet"; None where nobody knows.

    Returns
    -------
    Ground
        With every range it is known by.

    Raises
    ------
    NotAllowedError
        A name or a moisture that is not known.

    Examples
    --------
    >>> ground_named("heavy clay").terrains
    ('heavy clay 25 %', 'heavy clay 40 %')
    """
    if moisture is not None and moisture not in MOISTURES:
        raise NotAllowedError("moisture", moisture, " or ".join(MOISTURES))
    asked = f"{moisture} {name}" if moisture and f"{moisture} {name}" in GROUNDS else name
    if asked in GROUNDS:
        return GROUNDS[asked]
    kinds = [GROUNDS[f"{one} {name}"] for one in MOISTURES if f"{one} {name}" in GROUNDS]
    if not kinds:
        raise NotAllowedError("ground", name, ", ".join(GROUNDS), "Use one of these names.")
    return kinds[0] if len(kinds) == 1 else _either(name, kinds)


def _either(name: str, kinds: list[Ground]) -> Ground:
    """Ranges that hold both; what only one of them has is unknown for the pair."""
    spans = ("shear_m", "rating_index", "strength_pa", "friction_deg", "cohesion_pa", "weight_n_m3")
    joint: dict[str, Any] = {one: _joined([getattr(kind, one) for kind in kinds]) for one in spans}
    terrains = tuple(row for kind in kinds for row in kind.terrains) if all(k.terrains for k in kinds) else ()
    told = (saying("source.moisture_unknown"),)
    return replace(kinds[0], name=name, terrains=terrains, peak_ground=kinds[-1].peak_ground, told=told, **joint)


def _joined(spans: list[Span | None]) -> Span | None:
    known = [span for span in spans if span is not None]
    if len(known) < len(spans):
        return None
    low, high = min(span.low for span in known), max(span.high for span in known)
    return Span(low, high, known[0].basis, known[0].source)


def with_cone(ground: Ground, cone_index: float, remould: float | None) -> Ground:
    """The same ground with a penetrometer reading of its critical layer.

    Parameters
    ----------
    ground : Ground
        The ground.
    cone_index : float
        Reading on the scale from 0 to 300 [1].
    remould : float or None
        Remould index [1]; None where it was not tested.

    Returns
    -------
    Ground
        With a measured rating cone index; without the remould test none, because kneading may cost most of the strength.

    Raises
    ------
    NotAllowedError
        A reading off its scale.

    References
    ----------
    `cone_index.rating_index`; the range round a reading is our own.
    """
    if remould is None:
        said = saying("source.cone_alone", cone=cone_index)
        return replace(ground, rating_index=None, told=(*ground.told, said))
    rating = float(rating_index(cone_index, remould))
    source = saying("source.cone_and_remould", cone=cone_index, remould=remould)
    span = within(rating, READING_SHARE, Basis.MEASURED, source)
    return replace(ground, rating_index=span, told=(*ground.told, source))


def with_vane(ground: Ground, strength_pa: float) -> Ground:
    """The same ground with a hand-vane reading.

    Parameters
    ----------
    ground : Ground
        The ground.
    strength_pa : float
        Undrained shear strength [Pa], above zero.

    Raises
    ------
    NotAllowedError
        A reading that is not above zero.

    References
    ----------
    Definition; the range round a reading is our own.
    """
    if not 0 < strength_pa < 1e6:
        raise NotAllowedError(
            "hand-vane reading", f"{as_figure(strength_pa / 1e3, 'g')} kPa", "above 0, below 1000 kPa"
        )
    source = saying("source.hand_vane", strength_pa=strength_pa)
    span = within(strength_pa, READING_SHARE, Basis.MEASURED, source)
    return replace(ground, strength_pa=span, told=(*ground.told, source))


def with_test(ground: Ground, test: ThumbTest | BootTest) -> Ground:
    """The same ground with what a thumb or a boot did to it.

    Parameters
    ----------
    ground : Ground
        The ground; fine-grained soil.
    test : ThumbTest or BootTest
        What was seen.

    Returns
    -------
    Ground
        With a strength from it, in a wide range.

    Raises
    ------
    NotAllowedError
        A ground that is not soil, or one of sand or gravel.

    References
    ----------
    Thumb: ASTM D2488 scale in UFC 3-220-10 with Caltrans Table 3-3. Boot: common practice, no source.
    """
    if ground.surface is not Surface.SOIL or ground.friction_deg is not None:
        raise NotAllowedError("thumb or boot test", ground.name, "fine-grained soil", "Leave the test out.")
    ends, by = (_THUMB_PA[test], "thumb") if isinstance(test, ThumbTest) else (_BOOT_PA[test], "boot")
    span = Span(*ends, Basis.MEASURED, saying(f"source.{by}_test"))
    return replace(ground, strength_pa=span, told=(*ground.told, saying(f"source.{by}_seen", seen=test)))


def unknown_ground(name: str = UNDESCRIBED) -> Ground:
    """A soil of which nothing is known."""
    return Ground(name, Surface.SOIL)
