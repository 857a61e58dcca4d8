"""What ground fit asks of a machine: each size as a range that says whether it was measured, listed or assumed."""

from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np

from pitchline.ground.outline import Outline
from pitchline.ground.spans import Basis, Span, exact
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.machine import Layout, Machine, MachineKind, RunningGear, SprocketGaps, TrackKind
from pitchline.trade.saying import saying
from pitchline.trade.writing import as_figure


@dataclass(frozen=True, slots=True)
class Standing:
    """One machine on its tracks.

    Parameters
    ----------
    mass_kg : Span or None
        Operating mass [kg]; None where nobody knows.
    shoe_width_m, level_length_m, centres_m : Span
        Shoe width, contact length, distance between the tracks' centre lines [m].
    loop_height_m, clearance_m, grouser_m : Span
        Height of the track's loop, ground clearance, grouser height [m].
    roller_m, pitch_m : Span
        Roller tread diameter and pitch of one joint [m].
    gravity_height_m, own_offset_m : Span
        Height of the centre of gravity, and how far it stands ahead of the middle along the boom [m]; negative behind.
    power_w : Span
        Engine power [W].
    rolling : Span
        Internal motion resistance over weight [1].
    rollers_per_side : int
        Bottom rollers on one track.
    hydraulic : bool
        Hydraulic drive, not a mechanical gearbox.
    track : TrackKind
        What touches the ground.
    slews : bool
        Whether its upper structure turns.
    """

    mass_kg: Span | None
    shoe_width_m: Span
    level_length_m: Span
    centres_m: Span
    loop_height_m: Span
    clearance_m: Span
    grouser_m: Span
    roller_m: Span
    pitch_m: Span
    gravity_height_m: Span
    own_offset_m: Span
    power_w: Span
    rolling: Span
    rollers_per_side: int
    hydraulic: bool
    track: TrackKind
    slews: bool

    @property
    def outline(self) -> Outline:
        """What it is drawn by."""
        spans = (self.level_length_m, self.loop_height_m, self.gravity_height_m, self.own_offset_m)
        return Outline(*((span.low + span.high) / 2 for span in spans))

    @property
    def spans(self) -> dict[str, Span]:
        """Every input that is known, by name."""
        return {one.name: span for one in fields(self) if isinstance(span := getattr(self, one.name), Span)}

    def with_figures(self, basis: Basis, **figures: float) -> "Standing":
        """The same machine with some sizes known.

        Parameters
        ----------
        basis : Basis
            Whether they were measured or listed.
        **figures : float
            Sizes by field name [as the field's name says].

        Returns
        -------
        Standing
            A copy; known sizes have no range.

        Raises
        ------
        NotAllowedError
            A size that is not finite, or not above zero where it has to be.
        """
        for name, figure in figures.items():
            if not np.isfinite(figure) or (figure <= 0 and name != "own_offset_m"):
                raise NotAllowedError(name.rsplit("_", 1)[0].replace("_", " "), as_figure(figure, "g"), "above 0")
        known: dict[str, Any] = {
            name: exact(figure, basis, saying("source.entered")) for name, figure in figures.items()
        }
        return replace(self, **known)


def _around_loop(gear: RunningGear) -> tuple[float, float]:
    """Length of the track's loop and diameter of its pitch circle on the sprocket [m]."""
    teeth = gear.sprocket_teeth if gear.sprocket_gaps is SprocketGaps.EACH else gear.sprocket_teeth / 2
    return gear.joints_per_side * gear.pitch_m, gear.pitch_m / float(np.sin(np.pi / teeth))


def _level_length(gear: RunningGear) -> Span:
    loop, wheel = _around_loop(gear)
    if gear.layout is Layout.RAISED_SPROCKET:
        return _proportion(0.33, 0.38, loop, "track_length")
    straight = (loop - np.pi * wheel) / 2
    source = saying("source.joints_pitch_sprocket")
    return Span(straight * 0.98, straight + 0.1 * np.pi * wheel / 4, Basis.ASSUMED, source)


def _proportion(low: float, high: float, of: float, what: str) -> Span:
    """A range that is our own proportion of something."""
    return Span(low * of, high * of, Basis.ASSUMED, saying(f"source.of_{what}", low=low, high=high))


def standing(machine: Machine, gear: RunningGear) -> Standing:
    """A machine as its file lists it, with what the file lacks as wide ranges of our own.

    Returns
    -------
    Standing
        Every size with its range and where it comes from.

    References
    ----------
    Contact length by geometry of a loop over two wheels; other proportions are our own, wide on purpose.
    Internal resistance: 0.0375 of the weight implied by CRREL Report 95-1 for a tracked vehicle, widened by us.
    """
    file = saying("source.machine_file")
    length = _level_length(gear)
    middle = (length.low + length.high) / 2
    _, wheel = _around_loop(gear)
    mass = machine.mass_kg
    rubber = gear.track is not TrackKind.STEEL
    tonnes = 10.0 if mass is None else mass / 1e3
    offset = 0.12 if gear.slew_ring else 0.06
    low, high, stands = 0.28, 0.42, "contact_length"
    if machine.kind is MachineKind.OTHER_TRACKED:
        low, high, stands = 0.28, 0.80, "contact_length_high"
    return Standing(
        mass_kg=None if mass is None else exact(mass, Basis.LISTED, file),
        shoe_width_m=exact(gear.shoe_width_m, Basis.LISTED, file),
        level_length_m=length,
        centres_m=_proportion(0.62, 0.80, middle, "contact_length"),
        loop_height_m=_proportion(1.15, 1.45, wheel, "pitch_circle"),
        clearance_m=_proportion(0.10, 0.15, middle, "contact_length"),
        grouser_m=_proportion(0.0, 0.05, 1.0, "pads_or_lugs")
        if rubber
        else _proportion(0.10, 0.35, gear.pitch_m, "pitch_grouser"),
        roller_m=_proportion(0.75, 0.95, gear.pitch_m, "pitch_roller")
        if gear.has_chain
        else _proportion(1.5, 3, gear.pitch_m, "rubber_pitch_roller"),
        pitch_m=exact(gear.pitch_m, Basis.LISTED, file),
        gravity_height_m=_proportion(low, high, middle, stands),
        own_offset_m=_proportion(-offset, 0.0 if gear.slew_ring else offset, middle, "contact_length_offset"),
        power_w=_proportion(4.5e3, 8e3, tonnes, "mass_power"),
        rolling=Span(0.03, 0.06, Basis.ASSUMED, saying("source.implied_rolling", implied=0.0375)),
        rollers_per_side=max(gear.bottom_rollers_per_side, 1),
        hydraulic=True,
        track=gear.track,
        slews=gear.slew_ring or machine.kind is MachineKind.EXCAVATOR,
    )
