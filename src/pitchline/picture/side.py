"""Side elevation: one side's running gear to scale, each part with the word and the hatch of its call and its middle hours."""

from dataclasses import dataclass, replace
from itertools import groupby

import numpy as np

from pitchline.judge.called import counted_due
from pitchline.picture.details import draw_details
from pitchline.picture.footnote import assumed_said
from pitchline.picture.gear_drawing import Drawn, Sight, draw_gear, outer_m, reach_m
from pitchline.picture.heading import heading
from pitchline.picture.ink import SMALL_PX, TEXT_PX, Board, Tone, tone_of
from pitchline.picture.letters import width_px, wrapped
from pitchline.picture.measures import Measures
from pitchline.picture.part_words import (
    GAP,
    big_length_said,
    call_said,
    day_said,
    first_up,
    invented,
    length_said,
    machine_said,
    numbers_said,
    part_name,
    parts_of,
    state_said,
)
from pitchline.picture.rows import spread
from pitchline.picture.verdict_sizes import laid_of, sizes_known
from pitchline.picture.worn import draw_calls
from pitchline.shape.gear import Laid
from pitchline.shape.joint_wear import joint_wear
from pitchline.shape.sizes import Sizes, sizes_of
from pitchline.trade.calls import Call
from pitchline.trade.machine import Layout
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.units import UnitSystem
from pitchline.verdict import PartVerdict, Verdict
from pitchline.words import in_english, translated, worded
from pitchline.words.called import part_called
from pitchline.words.labels import label as called
from pitchline.words.labels import plural

LEAST_WIDTH, MOST_WIDTH, LABELS_FROM = 320, 2400, 700
_ALONG = {PartKind.CHAIN: 0.13, PartKind.BUSH: 0.36, PartKind.LINK: 0.62, PartKind.SHOE: 0.86, PartKind.PAD: 0.86}
_BESIDES = (PartKind.FINAL_DRIVE, PartKind.TRACK_ADJUSTER, PartKind.GUARD)
_STEP, _NAMES = 17, 42
_SIDE = {Side.LEFT: in_english("left side"), Side.RIGHT: in_english("right side")}
_SEEN = {
    Side.LEFT: in_english("left side, front to the left"),
    Side.RIGHT: in_english("right side, front to the right"),
}


@dataclass(frozen=True, slots=True)
class _Label:
    """Words beside a part, and the spot on it that is meant."""

    part: PartKind
    lines: tuple[str, ...]
    call: Call
    x: float
    y: float

    @property
    def wide(self) -> float:
        return max(
            width_px(line, TEXT_PX if line[:1].isdigit() or number else SMALL_PX)
            for number, line in enumerate(self.lines)
        )


def side_svg(
    verdict: Verdict,
    side: Side,
    width: int = 1200,
    units: UnitSystem = UnitSystem.METRIC,
    tone: Tone = Tone.SYSTEM,
    prefix: str = "side",
) -> str:
    """One side's running gear as an SVG drawing.

    Parameters
    ----------
    verdict : Verdict
        The verdict.
    side : Side
        Left, seen with its front to the left, or right.
    width : int
        Width [CSS pixels], 320 to 2400; from 700 on labels stand beside their parts, below that in a list.
    units : UnitSystem
        Metric or imperial.
    tone : Tone
        Light, dark, or what the reader's system prefers.
    prefix : str
        Beginning of every id and class; a letter, then letters, digits or dashes.

    Raises
    ------
    NotAllowedError
        Sizes that cannot go together.

    References
    ----------
    Our own drawing; geometry as in docs/explanation/shape.md.
    """
    board, height, told = side_board(verdict, side, width, units, prefix)
    title = worded("{machine}: running gear, {side}", machine=machine_said(verdict), side=translated(_SIDE[side]))
    return board.svg(height, title, told, tone)


def side_board(
    verdict: Verdict, side: Side, width: int, units: UnitSystem, prefix: str, brief: bool = False
) -> tuple[Board, float, str]:
    """The same before it becomes text: the board, its height, and the drawing told in words; brief as part of a paper."""
    wide = min(max(width, LEAST_WIDTH), MOST_WIDTH)
    laid = laid_of(verdict, side)
    board = Board(wide, prefix)
    fresh = sizes_of(verdict.gear, side, sizes_known(verdict, side)[1])
    sheet = _SideSheet(board, verdict, laid, fresh, units, parts_of(verdict, side), brief)
    height = sheet.draw()
    return board, height, sheet.told()


class _SideSheet:
    """One side elevation on its board."""

    def __init__(
        self,
        board: Board,
        verdict: Verdict,
        laid: Laid,
        fresh: Sizes,
        units: UnitSystem,
        parts: dict[Place, PartVerdict],
        brief: bool,
    ):
        self.board, self.verdict, self.laid, self.units, self.parts = board, verdict, laid, units, parts
        self.fresh, self.brief, self.reach = fresh, brief, reach_m(laid)
        self.measures = Measures(board, laid, units, parts)
        self.edge = 16 if board.width >= LABELS_FROM else 10
        self.flip = laid.side is Side.LEFT
        self.down = self._head(brief)

    def draw(self) -> float:
        beside = self.board.width >= LABELS_FROM
        if beside and self._with_labels():
            return self._foot(self.below)
        return self._foot(self._with_list())

    def _head(self, brief: bool) -> float:
        told = _SEEN if self.board.width >= LABELS_FROM else _SIDE
        seen = first_up(translated(told[self.laid.side]))
        if brief:
            return heading(self.board, self.edge, seen)
        said = f"{seen}; {day_said(self.verdict)}. {invented(self.verdict)}"
        return heading(self.board, self.edge, machine_said(self.verdict), said)

    def _sight(self, top: float, room: float) -> Sight:
        """The drawing as large as the width allows; the ground's place follows from its height."""
        low, high, tall = self.reach
        scale = room / (high - low)
        return Sight(scale, self.edge, top + tall * scale, low, high, self.flip)

    def _drawn(self, sight: Sight) -> Drawn:
        drawn = Drawn(self.board, self.laid, sight, self.parts, sight.scale > 120, self.fresh)
        draw_gear(drawn)
        self.board.line(self.edge, sight.ground, self.board.width - self.edge, sight.ground, "fine")
        return drawn

    def _with_labels(self) -> bool:
        """Labels over and under the drawing; False where they would not fit beside each other."""
        sight = self._sight(128 + self.down, self.board.width - 2 * self.edge - 78)
        over, under = self._over(sight), self._under(sight)
        left, right = self.edge, self.board.width - self.edge
        rows = []
        for labels in (over, under):
            labels.sort(key=lambda label: label.x)
            places = spread([one.x for one in labels], [one.wide for one in labels], left, right, 12)
            if places is None:
                return False
            rows.append(places)
        leaders = [(middle, 94 + self.down, label.x, label.y) for label, middle in zip(over, rows[0], strict=True)]
        self._drawn(sight)
        self.measures.sag(sight, leaders)
        for leader in leaders:
            self.board.leader(*leader)
        for label, middle in zip(over, rows[0], strict=True):
            self._label(label, middle, 72 + self.down)
        for label, middle in zip(under, rows[1], strict=True):
            self.board.line(label.x, sight.ground + 1, middle, sight.ground + 9, "fine")
            self._label(label, middle, sight.ground + 22)
        if not self.parts:
            self._numbers(sight)
        deep = max((len(label.lines) for label in under), default=1)
        self.below = self.measures.over_all(sight, sight.ground + 22 + deep * _STEP)
        return True

    def _label(self, label: _Label, middle: float, y: float) -> None:
        quiet = {Call.STOP: " a", Call.UNJUDGED: " g"}.get(label.call, "")
        for number, line in enumerate(label.lines):
            tone = f" {tone_of(label.call)}".rstrip() if number == 1 else quiet if number else ""
            small = " g s" if number == 0 and not line[:1].isdigit() else ""
            self.board.text(middle, y + number * _STEP, line, f"m{small}{tone}")

    def _over(self, sight: Sight) -> list[_Label]:
        """Labels of the chain's parts and of what stands high."""
        labels = []
        x, y = self.laid.joints
        upper = np.flatnonzero(y > np.median(y))
        upper = upper[(x[upper] > 0.08 * self.laid.centres_m) & (x[upper] < 0.92 * self.laid.centres_m)]
        order = upper[np.argsort([sight.x(one) for one in x[upper]])]
        for place, part in self.parts.items():
            if place.part in (PartKind.UPPER_ROLLER, PartKind.SPROCKET):
                if place.part is PartKind.SPROCKET and self.laid.gear.layout is Layout.LEVEL:
                    continue
                wheel = self.laid.wheel(place.part, place.position)
                up = 0.8 * wheel.radius_m if place.part is PartKind.SPROCKET else 0.0
                labels.append(self._of(part, sight.x(wheel.x_m), sight.y(wheel.y_m + up)))
            elif place.part in _ALONG or place.part is PartKind.RUBBER_TRACK:
                joint = order[int(_ALONG.get(place.part, 0.3) * (len(order) - 1))]
                labels.append(self._of(part, *self._spot(sight, place.part, int(joint))))
            elif place.part in _BESIDES and part.call.asks:
                labels.append(self._of(part, *self._besides(sight, place.part)))
        return labels

    def _besides(self, sight: Sight, part: PartKind) -> tuple[float, float]:
        """The spot that a label of what is drawn plain means: hub, adjuster, or the frame where guards hang."""
        idler, drive = self.laid.wheel(PartKind.IDLER, 1), self.laid.wheel(PartKind.SPROCKET)
        if part is PartKind.FINAL_DRIVE:
            return sight.x(drive.x_m), sight.y(drive.y_m + 0.5 * drive.radius_m)
        back = {PartKind.TRACK_ADJUSTER: 2.0 * idler.radius_m}.get(part, 0.5 * self.laid.centres_m)
        return sight.x(idler.x_m - back), sight.y(idler.y_m)

    def _spot(self, sight: Sight, part: PartKind, joint: int) -> tuple[float, float]:
        """The spot on a chain's part that a label means: middle of a link, face of a shoe, centre of a joint."""
        sizes = self.laid.sizes
        beyond = {
            PartKind.SHOE: sizes.joint_above_shoe_m + sizes.shoe_m / 2,
            PartKind.PAD: outer_m(self.laid) - sizes.tread_out_m / 2,
            PartKind.BUSH: 0.42 * sizes.bush_m,
            PartKind.LINK: -0.75 * sizes.joint_below_rail_m,
        }
        half = 0.5 * sizes.pitch_m if part not in (PartKind.CHAIN, PartKind.BUSH) else 0.0
        x, y, way = self.laid.line.at(self.laid.joint_along_m[joint] + half)
        out = beyond.get(part, 0.0)
        return sight.x(float(x + out * np.sin(way))), sight.y(float(y - out * np.cos(way)))

    def _under(self, sight: Sight) -> list[_Label]:
        """Columns under wheels that stand low, and under what is not drawn but called."""
        labels = []
        for place, part in self.parts.items():
            low = place.part in (PartKind.BOTTOM_ROLLER, PartKind.IDLER)
            low |= place.part is PartKind.SPROCKET and self.laid.gear.layout is Layout.LEVEL
            if low:
                wheel = self.laid.wheel(place.part, place.position)
                alone = place.part is PartKind.BOTTOM_ROLLER
                name = str(place.position) if alone else part_name(place, self.laid.gear)
                lines = (name, part_called(part, brief=True), state_said(part))
                labels.append(
                    _Label(
                        place.part,
                        tuple(line for line in lines if line),
                        part.call,
                        sight.x(wheel.x_m),
                        sight.ground,
                    )
                )
        return labels

    def _of(self, part: PartVerdict, x: float, y: float) -> _Label:
        name = part_name(part.place, self.laid.gear)
        return _Label(part.place.part, (name, call_said(part)), part.call, x, y)

    def _with_list(self) -> float:
        """Narrow paper: the drawing, roller numbers under it, and every part in a list."""
        room = self.board.width - 2 * self.edge
        named = self._named(self._sight(64 + self.down + _NAMES, room))
        sight = self._sight(64 + self.down + (_NAMES if named else 0), room)
        self._drawn(sight)
        for label, middle in named:
            self.board.leader(middle, 76 + self.down, label.x, label.y)
            tone = tone_of(label.call) or "g"
            self.board.text(middle, 71 + self.down, label.lines[0], f"s m {tone}")
        self._numbers(sight)
        edge, kind = (self.edge, "s g") if self.flip else (self.board.width - self.edge, "s g e")
        self.board.text(edge, sight.ground + 14, translated("front"), kind)
        top = self._end_wheels(sight) + 26
        lines = self._listed()
        columns = max(1, int((self.board.width - 2 * self.edge) // 330))
        column = (self.board.width - 2 * self.edge + 20) / columns
        rows = -(-len(lines) // columns)
        x, y, lowest = self.edge - column, top, top
        for number, (name, said, call) in enumerate(lines):
            if number % rows == 0:
                x, y = x + column, top
            end = x + column - 20
            self.board.swatch(x, y, call)
            tone = f"e {tone_of(call)}".strip()
            room = end - x - 18 - width_px(said, TEXT_PX) - 10
            under = width_px(name, TEXT_PX) > room
            for extra, line in enumerate(wrapped(name, TEXT_PX, end - x - 18 if under else room)):
                y += 18 if extra else 0
                self.board.text(x + 18, y, line)
            y += 18 if under else 0
            self.board.text(end, y, said, tone)
            self.board.line(x, y + 7, end, y + 7, "hair")
            y += 23
            lowest = max(lowest, y)
        return lowest + 4

    def _named(self, sight: Sight) -> list[tuple[_Label, float]]:
        """Names over the drawing and where their middles stand; where not all fit, what is called on stays longest."""
        labels = [replace(label, lines=(_brief_name(label),)) for label in self._over(sight)]
        first_left_out = (PartKind.CHAIN, PartKind.UPPER_ROLLER, PartKind.SHOE)
        for dropped in (*(first_left_out[:many] for many in range(4)), tuple(PartKind)):
            chosen = [label for label in labels if label.call.asks or label.part not in dropped]
            chosen.sort(key=lambda label: label.x)
            widths = [width_px(label.lines[0], SMALL_PX) for label in chosen]
            right = self.board.width - self.edge
            middles = spread([label.x for label in chosen], widths, self.edge, right, 10)
            if middles:
                return list(zip(chosen, middles, strict=True))
        return []

    def _end_wheels(self, sight: Sight) -> float:
        """Narrow paper: between the end wheels' centres, and what these wheels are."""
        ends = [(self.laid.places[number], self.laid.wheels[number]) for number in (0, 1)]
        y = sight.ground + 32
        xs = [sight.x(wheel.x_m) for _, wheel in ends]
        self.measures.level(xs[0], xs[1], y, big_length_said(self.laid.centres_m, self.units))
        for x, (place, _) in zip(xs, ends, strict=True):
            name = part_name(place, self.laid.gear)
            half = width_px(name, SMALL_PX) / 2
            self.board.text(
                max(x, self.edge + half)
                if x < self.board.width / 2
                else min(x, self.board.width - self.edge - half),
                y + 19,
                name,
                "s m g",
            )
        return y + 19

    def _numbers(self, sight: Sight) -> None:
        """Numbers under the bottom rollers."""
        for place in self.laid.places:
            if place.part is PartKind.BOTTOM_ROLLER:
                wheel = self.laid.wheel(place.part, place.position)
                self.board.text(sight.x(wheel.x_m), sight.ground + 14, str(place.position), "s m g")

    def _listed(self) -> list[tuple[str, str, Call]]:
        """Every part with its call; like parts with the same call in one line, the soonest speaking for them."""
        drawn = (PartKind.GUARD, PartKind.FINAL_DRIVE, PartKind.TRACK_ADJUSTER)
        parts = [part for place, part in self.parts.items() if place.part not in drawn or part.call.asks]
        lines = []
        for kind, found in groupby(parts, key=lambda part: part.place.part):
            same: dict[tuple[Call, str], list[PartVerdict]] = {}
            for part in found:
                seen = "" if state_said(part).endswith(f"{GAP}h") else state_said(part)
                same.setdefault((part.call, seen), []).append(part)
            for (call, seen), group in same.items():
                first = min(group, key=_soonest)
                if len(group) == 1:
                    lines.append((part_name(first.place, self.laid.gear), call_said(first), call))
                else:
                    numbers = numbers_said([part.place.position for part in group])
                    state = state_said(first)
                    said = (
                        f"{part_called(first, brief=True)} · {worded('from {hours}', hours=state)}"
                        if state and not seen
                        else call_said(first)
                    )
                    lines.append((f"{plural(kind)} {numbers}", said, call))
        return lines

    def _foot(self, top: float) -> float:
        """Details of worn parts, what the shape tells, and what was assumed."""
        y = top
        if not self.brief:
            y = draw_details(self.board, self.laid.gear, self.parts, self.edge, top + 10, self.units)
            if self.parts:  # nobody went round it yet: nothing is hatched
                y = draw_calls(self.board, self.edge, y, (part.call for part in self.parts.values()))
        for sentence in (*self._facts(), assumed_said(self.laid.sizes)):
            for line in wrapped(sentence, SMALL_PX, self.board.width - 2 * self.edge):
                y += 16
                self.board.text(self.edge, y, line, "s g")
        return y + 16

    def _facts(self) -> list[str]:
        """Chain growth and take-up, from pitch and count."""
        laid = self.laid
        many = laid.gear.joints(laid.side)
        worn = joint_wear(laid.gear.pitch_m, laid.sizes.pitch_m, many, laid.take_up_rate)
        unit, of_chain = self.units, laid.gear.has_chain
        gone = laid.gear.joints_per_side - many
        back_m = gone * laid.gear.pitch_m / laid.take_up_rate
        pitch = length_said(laid.sizes.pitch_m, unit)
        if worn.growth_m <= 0.0005:
            return [
                worded("{n} joints, pitch {pitch}: drawn as a new chain.", n=many, pitch=pitch)
                if of_chain
                else worded("{n} links, pitch {pitch}: drawn as a new track.", n=many, pitch=pitch)
            ]
        text = (
            translated(
                "{n} joints, pitch {pitch}: the chain is {growth} longer than new, which takes {take_up} of take-up."
            )
            if of_chain
            else translated(
                "{n} links, pitch {pitch}: the track is {growth} longer than new, which takes {take_up} of take-up."
            )
        )
        grown = text.format(
            n=many,
            pitch=pitch,
            growth=big_length_said(float(worn.growth_m), unit),
            take_up=big_length_said(float(worn.take_up_m), unit),
        )
        out = (
            " "
            + worded(
                "One joint out gives {back} of it back."
                if worn.take_up_m - back_m >= worn.joint_out_m
                else "One joint out gives {back} of it back, so none can come out yet.",
                back=big_length_said(float(worn.joint_out_m), unit),
            )
            if of_chain
            else ""
        )
        if gone:
            given = big_length_said(float(back_m), unit)
            out = f" {worded('Joints taken out brought the idler back by {back}.', back=given)}{out}"
        return [f"{grown}{out}"]

    def told(self) -> str:
        """The drawing in sentences, for those who cannot see it."""
        calls = ". ".join(f"{name}: {said}" for name, said, _ in self._listed()) or first_up(
            day_said(self.verdict)
        )
        front = called(Side.LEFT if self.flip else Side.RIGHT)
        facts = " ".join(self._facts())
        return worded(
            "Side elevation to scale, front to the {front}. {calls}. {facts}",
            front=front,
            calls=calls,
            facts=facts,
        )


def _soonest(part: PartVerdict) -> float:
    due = counted_due(part)
    return due.middle if due is not None else np.inf


def _brief_name(label: _Label) -> str:
    """A name for narrow paper: upper rollers by word and number, as bottom rollers by number alone."""
    name, _, number = label.lines[0].rpartition(GAP)
    is_numbered = label.part is PartKind.UPPER_ROLLER and name and number.isdecimal()
    return worded("upper {n}", n=number).replace(" ", GAP) if is_numbered else label.lines[0]
