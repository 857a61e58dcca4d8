"""A plain chart on the drawing board: a frame with marks along it, and bands between low and high figures."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pitchline.picture.ink import Board, points

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Chart:
    """A frame on a board; figures become pixels by `x` and `y`.

    Parameters
    ----------
    board : Board
        What is drawn on.
    left, top, right, bottom : float
        The frame [CSS pixels].
    across, up : tuple of (float, float)
        Figures at its ends.
    """

    board: Board
    left: float
    top: float
    right: float
    bottom: float
    across: tuple[float, float]
    up: tuple[float, float]

    def x(self, figure: float) -> float:
        """Pixel across, held inside the frame."""
        low, high = self.across
        return self.left + float(np.clip((figure - low) / (high - low), 0.0, 1.0)) * (self.right - self.left)

    def y(self, figure: float) -> float:
        """Pixel down, held inside the frame."""
        low, high = self.up
        return self.bottom - float(np.clip((figure - low) / (high - low), 0.0, 1.0)) * (self.bottom - self.top)

    def frame(self, marks: list[tuple[float, str]], heights: list[tuple[float, str]]) -> None:
        """Base line, marks along it, and level lines with their figures."""
        for figure, said in heights:
            self.board.line(self.left, self.y(figure), self.right, self.y(figure), "hair")
            self.board.text(self.left - 8, self.y(figure) + 4, said, "s g e")
        self.board.line(self.left, self.bottom, self.right, self.bottom)
        for figure, said in marks:
            self.board.line(self.x(figure), self.bottom, self.x(figure), self.bottom + 5)
            self.board.text(self.x(figure), self.bottom + 19, said, "s g m")

    def band(self, across: Floats, low: Floats, high: Floats, kind: str = "fan") -> None:
        """Grey between two lines, broken where there is no number."""
        for part in _runs(low, high):
            xs = [self.x(one) for one in across[part]]
            lows, highs = ([self.y(one) for one in ends[part]] for ends in (low, high))
            self.board.path(points([*xs, *xs[::-1]], [*lows, *highs[::-1]]), kind)

    def curve(self, across: Floats, up: Floats, kind: str = "line thick") -> None:
        """A line through figures, broken where there is no number."""
        for part in _runs(up, up):
            xs, ys = ([at(one) for one in ends[part]] for at, ends in ((self.x, across), (self.y, up)))
            self.board.path(points(xs, ys, closed=False), kind)


def _runs(low: Floats, high: Floats) -> list[slice]:
    """Stretches of two or more figures in a row."""
    known = np.isfinite(low) & np.isfinite(high)
    edges = np.flatnonzero(np.diff(np.concatenate(([False], known, [False])).astype(int)))
    pairs = zip(edges[::2], edges[1::2], strict=True)
    return [slice(int(start), int(end)) for start, end in pairs if end - start > 1]


def round_top(figure: float) -> tuple[float, float]:
    """A round end above a figure, and a round step that divides it into three to six."""
    step = 10.0 ** np.floor(np.log10(max(figure, 1e-9)))
    for share in (0.2, 0.25, 0.5, 1.0, 2.0):
        if figure / (step * share) <= 5.5:
            return float(np.ceil(figure / (step * share)) * step * share), float(step * share)
    return float(np.ceil(figure / step) * step), float(step)
