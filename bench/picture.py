"""How long the full set of drawings of one machine takes, and how large a side elevation gets: the whole demo yard.

Run: python bench/picture.py. The set: both sides, both tracks from above, a sheet of every kind of part, and the wear record of
the part due first. Aims: under 150 ms a set, under 60 kB a side elevation.
"""

import time

from pitchline.demo.yard import build_yard
from pitchline.judge import judge
from pitchline.picture.views import Wanted, drawn
from pitchline.trade.parts import Side

AIM_MS, AIM_KB, TURNS = 150, 60, 5


def full_set(verdict):
    """Every drawing of one machine; sides first."""
    wanted = [Wanted("side", side) for side in (Side.LEFT, Side.RIGHT)]
    wanted += [Wanted("plan"), Wanted("record")]
    wanted += [Wanted("part", part=kind) for kind in dict.fromkeys(part.place.part for part in verdict.parts)]
    return [drawn([verdict], one) for one in wanted]


def measured(verdict):
    """Best of a few turns [ms], and the larger side [kB]."""
    best = float("inf")
    for _ in range(TURNS):
        start = time.process_time()
        drawings = full_set(verdict)
        best = min(best, time.process_time() - start)
    return 1e3 * best, max(len(svg.encode()) for svg in drawings[:2]) / 1e3, len(drawings)


def main():
    """Measure every machine and say the worst."""
    found = []
    for machine in build_yard().machines:
        verdict = judge(machine.with_sheet, None, None)
        found.append((*measured(verdict), verdict.machine.machine_id))
        print(
            f"{found[-1][3]:<12} {found[-1][2]:>2} drawings  {found[-1][0]:6.1f} ms  largest side {found[-1][1]:5.1f} kB"
        )
    print(f"worst {max(found)[0]:.0f} ms (aim {AIM_MS}), {max(one[1] for one in found):.0f} kB (aim {AIM_KB})")


if __name__ == "__main__":
    main()
