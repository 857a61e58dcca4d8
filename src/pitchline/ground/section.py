"""What a verdict says of the ground: plain values, nothing computed.

See docs/explanation/ground.md.
"""

from dataclasses import dataclass

from pitchline.ground.going import Going
from pitchline.ground.outcomes import Outcome
from pitchline.ground.outline import Outline
from pitchline.ground.shoe_kinds import ShoeKind
from pitchline.ground.spans import Basis
from pitchline.trade.saying import Saying, saying

_NOT_TOLD = saying("no_figure.not_told_yet")


@dataclass(frozen=True, slots=True)
class GroundFigure:
    """One outcome on one ground, with its range and what it rests on.

    Parameters
    ----------
    outcome : Outcome
        What it is.
    low, middle, high : float or None
        1 in 10, 1 in 2 and 9 in 10 of the cases lie below [SI, slopes in deg]; None where there is no number.
    without : float
        Share of the cases without a number [1].
    reason : Saying or None
        Why; None where every case has one.
    measured, listed, assumed : tuple of str
        Inputs it rests on, by where they come from; by their names in English.

    References
    ----------
    `outcomes.OUTCOMES` names the method.
    """

    outcome: Outcome
    low: float | None
    middle: float | None
    high: float | None
    without: float
    reason: Saying | None
    measured: tuple[str, ...]
    listed: tuple[str, ...]
    assumed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class GroundOutcome:
    """The machine on one ground.

    Parameters
    ----------
    name : str
        The ground.
    percent : float or None
        Share of the hours it is worked in [%]; None where nobody said.
    going : Going
        What is said of it.
    because : Saying or None
        Why.
    share : float or None
        Share of the cases in which every method lets it go [1]; None where none says anything.
    figures : tuple of GroundFigure
        Every outcome.
    """

    name: str
    percent: float | None
    going: Going
    because: Saying | None
    share: float | None
    figures: tuple[GroundFigure, ...]

    def figure(self, outcome: Outcome) -> GroundFigure:
        """One figure.

        Returns
        -------
        GroundFigure
            That one; without a number in a verdict written before there was such a figure.
        """
        found = next((one for one in self.figures if one.outcome is outcome), None)
        return found or GroundFigure(outcome, None, None, None, 1.0, _NOT_TOLD, (), (), ())


@dataclass(frozen=True, slots=True)
class GroundInput:
    """One input behind the figures.

    Parameters
    ----------
    name : str
        Its code; `label`, in English, in verdicts written before.
    said : Saying or None
        Its range with unit; None for tested soils.
    basis : Basis
        Measured, listed or assumed.
    source : Saying or None
        Where exactly.
    grounds : tuple of str
        Grounds it belongs to; empty for one of the machine's.
    """

    name: str
    said: Saying | None
    basis: Basis
    source: Saying | None
    grounds: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ShoeOutcome:
    """One shoe over these grounds.

    Parameters
    ----------
    width_m : float
        Width [m].
    kind : ShoeKind
        Kind of shoe.
    fitted : bool
        Whether they are on the machine now; `worn` in verdicts written before.
    suggested : bool
        Whether they are the narrowest that floats; none is where nobody named the grounds.
    going : tuple of Going
        What is said of it on each ground, in their order.
    pressure_pa : float or None
        Average contact pressure on the first ground, middle of the cases [Pa].
    turning : tuple of (float, float) or None
        Least and most turning pull needed over given [1]; None where no ground tells.
    overall_m : tuple of (float, float) or None
        Width over both tracks [m], low and high.
    remarks : tuple of Saying
        What else to weigh; common practice, no source.
    shares : tuple of (float or None)
        Share of the cases in which it goes on each ground [1], in their order; empty in verdicts written before.

    References
    ----------
    `shoes`.
    """

    width_m: float
    kind: ShoeKind
    fitted: bool
    suggested: bool
    going: tuple[Going, ...]
    pressure_pa: float | None
    turning: tuple[float, float] | None
    overall_m: tuple[float, float] | None
    remarks: tuple[Saying, ...]
    shares: tuple[float | None, ...] = ()


@dataclass(frozen=True, slots=True)
class SlewPoint:
    """Highest pressure under each track with the boom at one angle.

    Parameters
    ----------
    slew_deg : float
        Boom to the right of straight ahead [deg].
    left_pa, right_pa : tuple of (float or None)
        Low, middle and high [Pa]; None where it tips.
    tips : float
        Share of the cases in which it tips with the boom there [1].

    References
    ----------
    `sweeps.slew_sweep`.
    """

    slew_deg: float
    left_pa: tuple[float | None, ...]
    right_pa: tuple[float | None, ...]
    tips: float


@dataclass(frozen=True, slots=True)
class GroundSection:
    """Whether a machine suits the grounds it works on, and which shoes it should wear.

    Parameters
    ----------
    entered : bool
        Whether somebody named the grounds; else they stand in for how hard the ground wears.
    how : Saying or None
        Where the grounds come from.
    task : Saying or None
        Load and slope it is looked at with.
    said : Saying or None
        The outcome over all grounds.
    shoe_width_m : float
        Shoe width fitted [m].
    shoe_kind : ShoeKind
        Kind of shoe fitted.
    grounds : tuple of GroundOutcome
        One for each ground.
    shoes : tuple of ShoeOutcome
        Its own and others on offer, narrow first.
    advice : Saying or None
        Which shoes and why.
    wear : float or None
        Wear an hour over these grounds, over that on middling ground [1]; None where a ground's wear is unknown.
    inputs : tuple of GroundInput
        Everything it rests on, once each.
    outline : Outline
        What it is drawn by.
    mean_pressure_pa : float or None
        Weight over the area of both tracks [Pa]; None without a mass.
    slew : tuple of SlewPoint
        Pressure under both tracks as the upper structure turns; none without a mass or a slewing structure.
    cautions : tuple of Saying
        What to heed.
    """

    entered: bool
    how: Saying | None
    task: Saying | None
    said: Saying | None
    shoe_width_m: float
    shoe_kind: ShoeKind
    grounds: tuple[GroundOutcome, ...]
    shoes: tuple[ShoeOutcome, ...]
    advice: Saying | None
    wear: float | None
    inputs: tuple[GroundInput, ...]
    outline: Outline
    mean_pressure_pa: float | None
    slew: tuple[SlewPoint, ...]
    cautions: tuple[Saying, ...]
