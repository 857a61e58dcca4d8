"""Plan view: both tracks from above, with track gauge, shoe width and length on the ground; standard and wide shoes compared."""

from pitchline.picture.gear_drawing import outer_m, reach_m
from pitchline.picture.heading import heading
from pitchline.picture.ink import SMALL_PX, Board, Tone, hatch_of, px, tone_of
from pitchline.picture.letters import shortened, width_px, wrapped
from pitchline.picture.part_words import (
    GAP,
    big_length_said,
    call_said,
    day_said,
    first_up,
    invented,
    machine_said,
    part_name,
    sided,
)
from pitchline.picture.verdict_sizes import laid_of
from pitchline.shape.gear import Laid
from pitchline.shape.sizes import PROPORTIONS, scale_of
from pitchline.trade.calls import Call
from pitchline.trade.machine import ShoeClass
from pitchline.trade.parts import PartKind, Side
from pitchline.trade.units import INCH_M, UnitSystem
from pitchline.trade.writing import as_figure
from pitchline.verdict import PartVerdict, Verdict
from pitchline.words import in_english, translated, worded
from pitchline.words.labels import label

LEAST_WIDTH, MOST_WIDTH = 320, 2400
WIDE_TO_STANDARD = 1.4
"""Width of wide shoes over standard ones. Our own, assumed."""
_STEP = 12
_SHOES = {
    (True, False): in_english("Shoes standard, {own}: about {area} on firm ground between the end wheels."),
    (True, True): in_english(
        "Shoes wide, for low ground pressure, {own}: about {area} on firm ground between the end wheels."
    ),
    (False, False): in_english("Track standard, {own}: about {area} on firm ground between the end wheels."),
    (False, True): in_english(
        "Track wide, for low ground pressure, {own}: about {area} on firm ground between the end wheels."
    ),
}
"""What is drawn, by whether it has a chain and whether it is wide."""
_UNDER = (PartKind.SHOE, PartKind.PAD, PartKind.RUBBER_TRACK)


def plan_svg(
    verdict: Verdict,
    width: int = 1000,
    units: UnitSystem = UnitSystem.METRIC,
    tone: Tone = Tone.SYSTEM,
    prefix: str = "plan",
) -> str:
    """Both tracks from above as an SVG drawing, front to the left.

    Parameters
    ----------
    verdict : Verdict
        The verdict.
    width : int
        Width [CSS pixels], 320 to 2400.
    units : UnitSystem
        Metric or imperial.
    tone : Tone
        Light, dark, or what the reader's system prefers.
    prefix : str
        Beginning of every id and class.

    Raises
    ------
    NotAllowedError
        Sizes that cannot go together.

    References
    ----------
    Our own drawing; the track gauge is a proportion of our own.
    """
    board, height, told = plan_board(verdict, width, units, prefix)
    return board.svg(
        height, worded("{verdict}: both tracks from above", verdict=machine_said(verdict)), told, tone
    )


def plan_board(verdict: Verdict, width: int, units: UnitSystem, prefix: str) -> tuple[Board, float, str]:
    """The same before it becomes text: the board, its height, and the drawing told in words."""
    board = Board(min(max(width, LEAST_WIDTH), MOST_WIDTH), prefix)
    return _Plan(board, verdict, units).draw()


class _Plan:
    """Both tracks on their board."""

    def __init__(self, board: Board, verdict: Verdict, units: UnitSystem) -> None:
        self.board, self.verdict, self.units = board, verdict, units
        self.edge = 16 if board.width >= 640 else 10
        self.laid: Laid = laid_of(verdict, Side.LEFT)
        self.gauge_m = PROPORTIONS["track gauge"] * scale_of(verdict.gear)
        self.gauge_m = max(self.gauge_m, 1.5 * self.widest_m)
        first, last, _ = reach_m(self.laid)
        self.length_m, self.scale = last - first, 1.0

    @property
    def other_m(self) -> float:
        """Width of the other class of shoes."""
        own, wide = self.verdict.gear.shoe_width_m, self.verdict.gear.shoe_class is ShoeClass.LOW_GROUND_PRESSURE
        return own / WIDE_TO_STANDARD if wide else own * WIDE_TO_STANDARD

    @property
    def widest_m(self) -> float:
        return max(self.verdict.gear.shoe_width_m, self.other_m)

    def draw(self) -> tuple[Board, float, str]:
        board, room = self.board, self.board.width - 2 * self.edge
        said = worded(
            "Both tracks from above, front to the left; {verdict}. {verdict_2}",
            verdict=day_said(self.verdict),
            verdict_2=invented(self.verdict),
        )
        down = heading(board, self.edge, machine_said(self.verdict), said)
        said_there = (f"{translated('track gauge')}*", self._said(self.gauge_m), self._said(self.widest_m))
        side_room = 26 + _STEP + max(width_px(said, SMALL_PX) for said in said_there)
        scale = self.scale = (room - side_room) / self.length_m
        top = 86 + down + self.widest_m / 2 * scale
        lines = {Side.RIGHT: top, Side.LEFT: top + self.gauge_m * scale}
        self._between(scale, lines)
        for side, middle in lines.items():
            self._track(side, middle, scale)
        self._dimensions(scale, lines)
        bottom = lines[Side.LEFT] + self.widest_m / 2 * scale
        y = self._lengths(scale, bottom + 38)
        for sentence in self._sentences():
            for line in wrapped(sentence, SMALL_PX, room):
                y += 16
                board.text(self.edge, y, line, "s g")
        return board, y + 16, self._told()

    def _said(self, size_m: float) -> str:
        return big_length_said(size_m, self.units)

    def _area(self, area_m2: float) -> str:
        if self.units is UnitSystem.IMPERIAL:
            return f"{area_m2 / (12 * INCH_M) ** 2:.0f}{GAP}ft²"
        return f"{as_figure(area_m2, '.1f')}{GAP}m²"

    def _part(self, side: Side) -> PartVerdict | None:
        found = [part for part in self.verdict.parts if part.place.side is side and part.place.part in _UNDER]
        return max(found, key=lambda part: (part.call.rank, part.place.part is not PartKind.SHOE), default=None)

    def _track(self, side: Side, middle: float, scale: float) -> None:
        """Shoes one after the other; the other class of shoes as a dashed outline."""
        part, gear = self._part(side), self.verdict.gear
        call = part.call if part is not None else Call.RUN
        wide, step = gear.shoe_width_m * scale, self.laid.sizes.pitch_m * scale
        title = (
            f"{first_up(part_name(part.place, gear))}, {label(side)}: {call_said(part)}"
            if part is not None
            else sided(translated("Track"), side)
        )
        with self.board.group(f"track-{side.value}", title):
            name = f"shoe-{side.value}"
            rubber, inset = not gear.has_chain, 0.12 * wide
            if rubber:
                self.board.box(self.edge, middle - wide / 2, self.length_m * scale, wide, hatch_of(call))
            drawn = (0.45 * step, wide - 2 * inset) if rubber else (0.94 * step, wide)
            kind = "fine" if rubber else hatch_of(call)
            self.board.shape(name, f'<rect class="{kind}" width="{px(drawn[0])}" height="{px(drawn[1])}"/>')
            count = int(self.length_m * scale / step)
            start = self.edge + (self.length_m * scale - count * step) / 2
            for number in range(count):
                self.board.use(name, start + number * step, middle - drawn[1] / 2)
            other = self.other_m * scale
            self.board.box(self.edge, middle - other / 2, self.length_m * scale, other, "other")
        tone = f" {tone_of(call)}".rstrip()
        half = max(other, wide) / 2
        y = middle - half - 7 if side is Side.RIGHT else middle + half + 16
        self.board.text(self.edge, y, shortened(title, SMALL_PX, self.board.width - 2 * self.edge), f"s{tone}")

    def _between(self, scale: float, lines: dict[Side, float]) -> None:
        """Cross members and slew ring, drawn plain."""
        middle = (lines[Side.LEFT] + lines[Side.RIGHT]) / 2
        across = self.edge + self.length_m * scale / 2
        half = 0.16 * self.length_m * scale
        tall = lines[Side.LEFT] - lines[Side.RIGHT]
        self.board.box(across - half, middle - tall / 2, 2 * half, tall, "fine")
        ring = next((part for part in self.verdict.parts if part.place.part is PartKind.SLEW_RING), None)
        if self.verdict.gear.slew_ring:
            title = (
                worded("slew ring: {ring}", ring=call_said(ring)) if ring is not None else translated("slew ring")
            )
            with self.board.group("slew-ring", title):
                radius = min(0.3 * tall, 0.46 * (tall - self.widest_m * scale))
                self.board.circle(across, middle, radius, hatch_of(ring.call if ring is not None else Call.RUN))
                self.board.circle(across, middle, 0.75 * radius, "solid")
                self._ring_said(across, middle, radius, call_said(ring) if ring is not None else "")

    def _ring_said(self, across: float, middle: float, radius: float, called: str) -> None:
        """The slew ring's name and call inside it, or beside it where there is more room; neither where there is none."""
        lines = [(translated("slew ring"), "s g"), *([(called, "s")] if called else [])]
        wide = max(width_px(line, SMALL_PX) for line, _ in lines)
        inside = wide < 1.3 * radius
        if not inside and across + radius + 10 + wide > self.edge + self.length_m * self.scale:
            return
        for number, (line, kind) in enumerate(lines):
            y = middle + 4 + 16 * (number - (len(lines) - 1) / 2)
            self.board.text(across if inside else across + radius + 10, y, line, f"{kind} m" if inside else kind)

    def _dimensions(self, scale: float, lines: dict[Side, float]) -> None:
        """Shoe width edge to edge, and track gauge between the middles of the tracks, at the right."""
        end = self.edge + self.length_m * scale
        right, shoe = end + 14, lines[Side.RIGHT]
        half = self.verdict.gear.shoe_width_m / 2 * scale
        for y in (shoe - half, shoe + half):
            self.board.line(end + 4, y, right + 5, y, "fine")
        self.board.arrow(right, shoe - half, right, shoe + half)
        low = lines[Side.LEFT]
        for y in (shoe, low):
            self.board.line(self.edge, y, right + _STEP + 5, y, "hair")
        self.board.arrow(right + _STEP, shoe, right + _STEP, low)
        top = max(min(shoe - half + 10, shoe - 24), shoe - self.widest_m / 2 * scale + 8)
        self.board.text(
            right + _STEP + 10,
            top,
            translated("shoes") if self.verdict.gear.has_chain else translated("track"),
            "s g",
        )
        self.board.text(right + _STEP + 10, top + 16, self._said(2 * half / scale), "s")
        middle = max((shoe + low) / 2, top + 36)
        self.board.text(right + _STEP + 10, middle - 2, f"{translated('track gauge')}*", "s g")
        self.board.text(right + _STEP + 10, middle + 14, self._said(self.gauge_m), "s")

    def _lengths(self, scale: float, y: float) -> float:
        """On the ground between the end wheels, and over all."""
        left, whole = self.edge, self.edge + self.length_m * scale
        front = left + (self.laid.wheels[0].radius_m + outer_m(self.laid)) * scale
        for x1, x2, size, word in (
            (front, front + self.laid.centres_m * scale, self.laid.centres_m, translated("wheel centres")),
            (left, whole, self.length_m, translated("over all")),
        ):
            said = f"{word} {self._said(size)}"
            if width_px(said, SMALL_PX) + 50 > x2 - x1:
                said = self._said(size)
            middle, half = (x1 + x2) / 2, width_px(said, SMALL_PX) / 2 + 6
            self.board.line(x1, y, middle - half, y, "fine")
            self.board.line(middle + half, y, x2, y, "fine")
            for x, way in ((x1, 1), (x2, -1)):
                self.board.line(x, y - 6, x, y + 6, "fine")
                self.board.path(f"M{px(x)} {px(y)}l{7 * way} -2.2v4.4Z", "full")
            self.board.text(middle, y + 4, said, "s m")
            y += 24
        return y - 4

    def _sentences(self) -> list[str]:
        gear = self.verdict.gear
        wide = gear.shoe_class is ShoeClass.LOW_GROUND_PRESSURE
        own, other = gear.shoe_width_m, self.other_m
        area = 2 * own * self.laid.centres_m
        drawn = translated(_SHOES[gear.has_chain, wide]).format(own=self._said(own), area=self._area(area))
        figures = {"other": self._said(other), "area": self._area(area * other / own)}
        dashed = (
            worded("Dashes and dots: standard ones, {other}*, {area}.", **figures)
            if wide
            else worded("Dashes and dots: wide ones, {other}*, {area}.", **figures)
        )
        return [
            f"{drawn} {dashed}",
            translated(
                "* Assumed by a proportion of our own, not measured, as is where wheels stand. Do not order by this drawing."
            ),
        ]

    def _told(self) -> str:
        calls = [
            f"{first_up(label(side))}: {call_said(part)}."
            for side in (Side.LEFT, Side.RIGHT)
            if (part := self._part(side))
        ]
        return worded(
            "Both tracks from above. {calls} {sentences}",
            calls=" ".join(calls),
            sentences=" ".join(self._sentences()),
        )
