"""The lessons, in the order a colleague learns them: how many steps each has, and the cautions that stand beside it."""

from dataclasses import dataclass

from pitchline.trade.jobs import Caution
from pitchline.trade.saying import saying
from pitchline.words import say


@dataclass(frozen=True, slots=True)
class Lesson:
    """One lesson; its words are `words/english/primer.py`.

    Parameters
    ----------
    name : str
        Its name in codes and addresses.
    steps : int
        How many steps it has, from 1.
    cautions : tuple of Caution
        What stands beside it.
    """

    name: str
    steps: int
    cautions: tuple[Caution, ...] = ()

    @property
    def title(self) -> str:
        """What it is about, in a few words."""
        return say(saying(f"primer.{self.name}_title"))

    @property
    def about(self) -> str:
        """What it is about, in a line."""
        return say(saying(f"primer.{self.name}_about"))

    @property
    def source(self) -> str:
        """Where it is from."""
        return say(saying(f"primer.{self.name}_source"))

    @property
    def told(self) -> tuple[str, ...]:
        """Its steps."""
        return tuple(say(saying(f"primer.{self.name}_{number}")) for number in range(1, self.steps + 1))


_LOOKING = (Caution.MOVING_TRACK,)
FIRST = (Lesson("clear", 4, tuple(Caution)), Lesson("kinds", 7))
AFTER_PARTS = (
    Lesson("round", 8, _LOOKING),
    Lesson("measuring", 6, _LOOKING),
    Lesson("turning", 7, (Caution.PRESSED_PINS, Caution.GREASE_PRESSURE, Caution.HEAVY_PARTS)),
    Lesson("tension", 7, (Caution.GREASE_PRESSURE, Caution.RECOIL_SPRING, Caution.MOVING_TRACK)),
    Lesson("rubber", 8, (Caution.CRUSH, Caution.MOVING_TRACK)),
    Lesson("widths", 6),
    Lesson("sprockets", 7, _LOOKING),
)
AFTER_SEEN = (Lesson("patterns", 6, _LOOKING), Lesson("causes", 4), Lesson("calls", 8), Lesson("jobs", 2))
LESSONS = {one.name: one for one in (*FIRST, *AFTER_PARTS, *AFTER_SEEN)}
