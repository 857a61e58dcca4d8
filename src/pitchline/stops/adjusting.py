"""What sag and adjuster extension ask for: clean out, take up, let out, turn, a joint out, or a look for the cause."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from pitchline.shape.joint_wear import JointWear, joint_wear
from pitchline.stops.jobs import pieces_at
from pitchline.stops.work import Work
from pitchline.trade.calls import Call, Stake
from pitchline.trade.dossier import Dossier, PermittedRange
from pitchline.trade.findings import FindingKind
from pitchline.trade.jobs import JobKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import Reading
from pitchline.trade.saying import Saying, saying, then

STRETCH_SHARE = 0.5
"""Share of the extension that a chain's stretch has to explain before stretch counts as its cause: our own assumption."""


@dataclass(frozen=True, slots=True)
class TrackSeen:
    """What else is known of one side's track when its sag and adjuster are judged.

    Parameters
    ----------
    pitch_m : float or None
        Newest pitch of one joint of the chain now fitted [m]; None where it was not read.
    pitch_new_m, pitch_limit_m : float or None
        The yard's sizes of one joint [m]; None without a limit.
    turn_to_come : bool
        Whether its bushes are on their first face and a turn still pays.
    packed : tuple of Place
        Where packed soil was seen on that side.
    """

    pitch_m: float | None = None
    pitch_new_m: float | None = None
    pitch_limit_m: float | None = None
    turn_to_come: bool = False
    packed: tuple[Place, ...] = ()


def setting_work(readings: Sequence[Reading], dossier: Dossier, side: Side, seen: TrackSeen) -> list[Work]:
    """The work one side's adjusted quantities ask for.

    Parameters
    ----------
    readings : sequence of Reading
        Sag and adjuster extension of that side, where they were read.
    dossier : Dossier
        The machine with the yard's ranges.
    side : Side
        Left or right.
    seen : TrackSeen
        What else is known of that track.

    Returns
    -------
    list of Work
        None inside the ranges, or where none is entered. An adjuster at its end is never pumped further; soil is dug out first.

    References
    ----------
    Growth of a chain and what a joint gives back: geometry of a loop (`shape.joint_wear`); that a turn brings the pitch back, and
    the causes to look for: common practice, no source. An army bulletin has a joint taken out rather than the adjuster extended
    past its stated travel, because it can buckle (TB 43-PS-592).
    """
    return _Side(readings, dossier, side, seen).work()


class _Side:
    """One side's settings, judged together."""

    def __init__(self, readings: Sequence[Reading], dossier: Dossier, side: Side, seen: TrackSeen) -> None:
        self.dossier, self.seen = dossier, seen
        self.track = Place(PartKind.CHAIN if dossier.gear.has_chain else PartKind.RUBBER_TRACK, side)
        mine = [reading for reading in readings if reading.place.side is side]
        self.sag = _only(reading for reading in mine if reading.measurand is Measurand.SAG)
        self.out = _only(reading for reading in mine if reading.measurand is Measurand.ADJUSTER_EXTENSION)
        self.sag_band, self.out_band = self._band(self.sag), self._band(self.out)

    def _band(self, reading: Reading | None) -> PermittedRange | None:
        if reading is None:
            return None
        return self.dossier.range_of(reading.place.part, reading.measurand)

    def _most_m(self) -> float | None:
        """The furthest the adjuster may come out: by the yard's range, or by its stroke where that is less."""
        stated = [self.out_band.most_m] if self.out_band is not None else []
        stroke = self.dossier.gear.adjuster_stroke_m
        return min([*stated, *([stroke] if stroke is not None else [])], default=None)

    def work(self) -> list[Work]:
        slack = tight = False
        if self.sag is not None and self.sag_band is not None:
            slack, tight = self.sag.value_m > self.sag_band.most_m, self.sag.value_m < self.sag_band.least_m
        most_m = self._most_m()
        at_end = self.out is not None and most_m is not None and self.out.value_m > most_m
        if not (slack or tight or at_end):
            return []
        found = [
            Work(JobKind.CLEAN_OUT, place, place, Call.BOOK, self._soil(tight), 1, stake=Stake.SETTING)
            for place in self.seen.packed
        ]
        if at_end and not tight:
            return [*found, *self._at_its_end(slack, most_m or 0.0)]
        if tight and self.seen.packed:
            return found
        return [*found, *self._adjust(slack, at_end)]

    def _soil(self, tight: bool) -> Saying:
        if tight:
            return saying("setting.tight_and_packed", sag=self._sag_said(), finding=FindingKind.PACKED_WITH_SOIL)
        return saying("setting.packed")

    def _sag_said(self) -> Saying:
        if self.sag is None or self.sag_band is None:
            raise AssertionError("only said of a sag that was read and has a range")
        band = self.sag_band
        return saying("setting.sag", sag_m=self.sag.value_m, least_m=band.least_m, most_m=band.most_m)

    def _adjust(self, slack: bool, at_end: bool) -> list[Work]:
        """Take up or let out."""
        if self.sag is None:
            raise AssertionError("only a sag that was read is set")
        how = "slack_and_packed" if slack and self.seen.packed else "slack" if slack else "tight"
        besides = saying("setting.adjuster_besides") if at_end else None
        because = then(saying(f"setting.too_{how}", sag=self._sag_said()), besides)
        asking = [self.sag.place, *([self.out.place] if at_end and self.out is not None else [])]
        return [
            Work(JobKind.ADJUST, place, self.track, Call.BOOK, because, 1, stake=Stake.SETTING) for place in asking
        ]

    def _at_its_end(self, slack: bool, most_m: float) -> list[Work]:
        """What to do where the adjuster has no way left: asked for by the adjuster, and by the track where it is slack."""
        if self.out is None:
            raise AssertionError("only an adjuster that was read is at its end")
        what = saying(
            "setting.at_its_end_and_slack" if slack else "setting.at_its_end",
            out_m=self.out.value_m,
            most_m=most_m,
            sag=self._sag_said() if slack else None,
        )
        job, place, cure = self._cure(self.out)
        because = then(what, cure)
        pieces = pieces_at(job, place.part, self.dossier.gear, place.side)
        asking = [self.out.place, *([self.sag.place] if slack and self.sag is not None else [])]
        return [Work(job, asked_by, place, Call.BOOK, because, pieces, stake=Stake.SETTING) for asked_by in asking]

    def _cure(self, out: Reading) -> tuple[JobKind, Place, Saying]:
        """Job, place and why."""
        look, causes = (JobKind.INVESTIGATE, out.place), saying("setting.causes")
        if not self.dossier.gear.has_chain:
            return (*look, saying("setting.causes_on_rubber"))
        stretch = self._stretch()
        if stretch is None:
            return (*look, then(saying("setting.pitch_not_read"), causes))
        used_m = out.value_m - (self.out_band.least_m if self.out_band is not None else 0.0)
        explained_m = max(float(stretch.take_up_m) - self._given_back_m(), 0.0)
        if explained_m < STRETCH_SHARE * used_m:
            return (*look, then(saying("setting.stretch_explains_little", about_m=explained_m), causes))
        if self.seen.turn_to_come:
            bushes = Place(PartKind.BUSH, self.track.side)
            return (JobKind.TURN, bushes, saying("setting.turn_takes_back", about_m=explained_m))
        if self.seen.pitch_m is not None and self._past_limit(self.seen.pitch_m):
            return (JobKind.REPLACE, self.track, saying("setting.chain_past_limit"))
        if used_m < float(stretch.joint_out_m):
            return (*look, then(saying("setting.less_than_a_joint"), causes))
        return (JobKind.REMOVE_JOINT, self.track, saying("setting.joint_out", about_m=explained_m))

    def _stretch(self) -> JointWear | None:
        if self.seen.pitch_m is None or self.seen.pitch_new_m is None:
            return None
        return joint_wear(self.seen.pitch_new_m, self.seen.pitch_m, self.dossier.gear.joints(self.track.side))

    def _given_back_m(self) -> float:
        """How far the idler came back for the joints that were taken out: half of each one's new pitch."""
        gear = self.dossier.gear
        return (gear.joints_per_side - gear.joints(self.track.side)) * (self.seen.pitch_new_m or 0.0) / 2

    def _past_limit(self, pitch_m: float) -> bool:
        return self.seen.pitch_limit_m is not None and pitch_m >= self.seen.pitch_limit_m


def _only(readings: Iterable[Reading]) -> Reading | None:
    return next(iter(readings), None)
