"""How far a reading can be trusted: the uncertainty budget of the GUM (JCGM 100:2008)."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from scipy.special import ndtri, stdtrit

from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.readings import Reading
from pitchline.trade.writing import as_figure
from pitchline.wear.terms import Term, rectangular, resolution, type_a

KNOWN_FREEDOM = 8.0
"""Freedom of a standard uncertainty known to about a quarter of itself: JCGM 100:2008, G.4.2."""
DOMINANT_REST = 0.3
"""A term dominates when all others together are at most this share of it: EA-4/02 supplement, rule from memory."""
FEW_REPEATS = 3
COVERAGE = 0.95


@dataclass(frozen=True, slots=True)
class Doubt:
    """The doubt of one figure, with its budget.

    Parameters
    ----------
    u_m : float
        Combined standard uncertainty [m].
    freedom : float
        Effective degrees of freedom, truncated to a whole number; may be infinite [1].
    coverage_factor : float
        What the standard uncertainty is multiplied with for a 95 % range [1].
    expanded_u_m : float
        Half-width of that range [m].
    terms : tuple of Term
        The budget; the squares of its terms add up to the square of `u_m`.

    References
    ----------
    JCGM 100:2008 (GUM), 5.1.2 and annex G.
    """

    u_m: float
    freedom: float
    coverage_factor: float
    expanded_u_m: float
    terms: tuple[Term, ...]


def combined_u_m(terms: Sequence[Term]) -> float:
    """Combined standard uncertainty of independent terms.

    Parameters
    ----------
    terms : sequence of Term
        Contributions to one figure, each in the figure's own unit.

    Returns
    -------
    float
        Root of the sum of squares [m].

    References
    ----------
    JCGM 100:2008 (GUM), 5.1.2.

    Examples
    --------
    >>> combined_u_m([Term("a", 3e-3, 5), Term("b", 4e-3, 5)])
    0.005
    """
    return math.hypot(*(term.u_m for term in terms))


def effective_freedom(terms: Sequence[Term]) -> float:
    """Effective degrees of freedom of independent terms, truncated.

    Returns
    -------
    float
        Whole number, at least 1; infinite where every term is taken as known or nil [1].

    References
    ----------
    JCGM 100:2008 (GUM), G.4.1, formula G.2b (Welch and Satterthwaite), truncated as the note there says.

    Examples
    --------
    >>> effective_freedom([Term("a", 3e-3, 5), Term("b", 4e-3, 5)])
    9.0
    """
    whole = combined_u_m(terms)
    if whole == 0:
        return math.inf
    share = math.fsum((term.u_m / whole) ** 4 / term.freedom for term in terms)
    freedom = 1 / share if share > 0 else math.inf
    return max(1.0, float(math.floor(freedom * (1 + 1e-12)))) if math.isfinite(freedom) else math.inf


def t_factor(freedom: float, coverage: float = COVERAGE) -> float:
    """Coverage factor by Student's t.

    Parameters
    ----------
    freedom : float
        Degrees of freedom [1], above zero; infinite gives the normal factor.
    coverage : float
        Share the range is to hold [1], inside (0, 1).

    Returns
    -------
    float
        Two-sided factor [1].

    Raises
    ------
    NotAllowedError
        A freedom that is not above zero, or a coverage outside (0, 1).

    References
    ----------
    JCGM 100:2008 (GUM), G.3.2 and table G.2.

    Examples
    --------
    >>> round(t_factor(16, 0.99), 2)
    2.92
    """
    _share(coverage)
    if not freedom > 0:
        raise NotAllowedError("freedom", freedom, "above 0")
    upper = (1 + coverage) / 2
    return float(ndtri(upper) if math.isinf(freedom) else stdtrit(freedom, upper))


def trapezoid_factor(half_widths_m: tuple[float, float], coverage: float = COVERAGE) -> float:
    """Coverage factor where one or two rectangular terms outweigh everything else.

    Parameters
    ----------
    half_widths_m : tuple of (float, float)
        Half-widths of the two terms [m], zero or more and not both zero; one of them 0 gives the factor of a single rectangle.
    coverage : float
        Share the range is to hold [1], inside (0, 1).

    Returns
    -------
    float
        Half-width of the range over the standard uncertainty [1]; 1.645 for a single rectangle at 95 %.

    Raises
    ------
    NotAllowedError
        Half-widths that are negative or both zero, or a coverage outside (0, 1).

    References
    ----------
    EA-4/02, supplement (formula from memory); it is the quantile of a trapezoid with
    beta = abs(a1 - a2) / (a1 + a2), and on the flat top where p / (2 - p) is below beta.

    Examples
    --------
    >>> round(trapezoid_factor((1.0, 0.0)), 3)
    1.645
    """
    _share(coverage)
    one, two = half_widths_m
    if not (one >= 0 and two >= 0 and 0 < one + two < math.inf):
        raise NotAllowedError(
            "half-widths",
            phrase("{one} and {two} m", one=as_figure(one, "g"), two=as_figure(two, "g")),
            "0 or more, not both 0",
        )
    beta = abs(one - two) / (one + two)
    on_top = coverage / (2 - coverage) < beta
    reach = coverage * (1 + beta) / 2 if on_top else 1 - math.sqrt((1 - coverage) * (1 - beta**2))
    return reach / math.sqrt((1 + beta**2) / 6)


def _share(coverage: float) -> None:
    if not 0 < coverage < 1:
        raise NotAllowedError("coverage", coverage, "between 0 and 1")


def coverage_factor(terms: Sequence[Term], coverage: float = COVERAGE) -> float:
    """The coverage factor that suits a budget.

    Parameters
    ----------
    terms : sequence of Term
        Contributions to one figure.
    coverage : float
        Share the range is to hold [1], inside (0, 1).

    Returns
    -------
    float
        That of a rectangle or trapezoid where the largest one or two terms are rectangular and all others together are at most
        0.3 of them; else Student's t at the effective freedom [1].

    Raises
    ------
    NotAllowedError
        A coverage outside (0, 1).

    References
    ----------
    JCGM 100:2008 (GUM), G.6.4; EA-4/02 supplement for the dominant terms (rule from memory).

    Examples
    --------
    >>> round(coverage_factor([rectangular("a", 1e-3), rectangular("b", 1e-4)]), 3)
    1.645
    """
    largest = sorted(terms, key=lambda term: term.u_m, reverse=True)
    for count in (1, 2):
        leading, rest = largest[:count], largest[count:]
        widths = [term.half_width_m for term in leading if term.half_width_m]
        if len(widths) == count and combined_u_m(rest) <= DOMINANT_REST * combined_u_m(leading):
            return trapezoid_factor((widths[0], widths[1] if count > 1 else 0.0), coverage)
    return t_factor(effective_freedom(terms), coverage)


def doubt_of(terms: Sequence[Term]) -> Doubt:
    """The doubt of one figure from its budget.

    Parameters
    ----------
    terms : sequence of Term
        Independent contributions, each in the figure's own unit.

    Returns
    -------
    Doubt
        Combined, with its 95 % range.

    References
    ----------
    JCGM 100:2008 (GUM), annex G.

    Examples
    --------
    >>> doubt_of([Term("a", 3e-3, 5), Term("b", 4e-3, 5)]).u_m
    0.005
    """
    u_m = combined_u_m(terms)
    factor = coverage_factor(terms)
    return Doubt(u_m, effective_freedom(terms), factor, factor * u_m, tuple(terms))


def repeats_term(reading: Reading) -> Term:
    """The doubt of a reading's mean from scatter between repeats.

    Parameters
    ----------
    reading : Reading
        The reading, with its repeats and tool.

    Returns
    -------
    Term
        Of the whole length as read, not yet per joint. A single reading takes the tool's repeatability. Two or three repeats
        take the larger of their own scatter and the tool's repeatability over the root of their number: two readings that
        happen to agree prove little. From four repeats on, their own scatter. Where two or three repeats lead, they have the
        tool's freedom besides their own, as long as they scatter at most twice as far as the tool's figure says.

    References
    ----------
    JCGM 100:2008 (GUM), 4.2 and G.4.2; the rule for two or three repeats is our own.

    Examples
    --------
    >>> from pitchline.trade.readings import DEFAULT_TOOLS
    >>> from pitchline.trade.measurands import Measurand
    >>> from pitchline.trade.parts import PartKind, Place, Side
    >>> place = Place(PartKind.LINK, Side.LEFT)
    >>> twice = Reading(place, Measurand.RAIL_HEIGHT, (0.105, 0.105), DEFAULT_TOOLS["depth_gauge"])
    >>> round(repeats_term(twice).u_m * 1e3, 3)
    0.283
    """
    count = len(reading.repeats_m)
    known_m = reading.tool.repeatability_m
    known = Term("repeatability", known_m / math.sqrt(count), KNOWN_FREEDOM)
    if count == 1:
        return known
    own = type_a("repeats", reading.repeats_m)
    if count > FEW_REPEATS:
        return own
    if own.u_m <= known.u_m:
        return known
    return replace(own, freedom=own.freedom + KNOWN_FREEDOM) if own.u_m <= 2 * known.u_m else own


def reading_doubt(reading: Reading, step_m: float = 0.0) -> Doubt:
    """The doubt of a reading as one figure, per joint where joints are spanned.

    Parameters
    ----------
    reading : Reading
        The reading, with its repeats and tool.
    step_m : float
        Step it was rounded to [m], where that is coarser than the tool's.

    Returns
    -------
    Doubt
        Of `reading.value_m`; each term is per joint too. An error common to all readings of a part, such as the tolerance of
        its new size, is not in it: repeating does not average it out.

    References
    ----------
    JCGM 100:2008 (GUM); terms: repeats, resolution, tool limit, and what was entered besides (mud, paint, temperature).

    Examples
    --------
    >>> from pitchline.trade.readings import DEFAULT_TOOLS
    >>> from pitchline.trade.measurands import Measurand
    >>> from pitchline.trade.parts import PartKind, Place, Side
    >>> pitch = Reading(Place(PartKind.CHAIN, Side.LEFT), Measurand.PITCH, (0.7616,), DEFAULT_TOOLS["tape"], joints=4)
    >>> round(reading_doubt(pitch).u_m * 1e3, 3)
    0.193
    """
    tool = reading.tool
    terms = [
        repeats_term(reading),
        resolution(max(step_m, tool.resolution_m)),
        rectangular("tool limit", tool.permitted_error_m),
    ]
    if reading.extra_u_m > 0:
        terms.append(Term("entered besides", reading.extra_u_m, math.inf))
    return doubt_of([_per_joint(term, reading.joints) for term in terms])


def _per_joint(term: Term, joints: int) -> Term:
    if joints == 1:
        return term
    width = None if term.half_width_m is None else term.half_width_m / joints
    return replace(term, u_m=term.u_m / joints, half_width_m=width)
