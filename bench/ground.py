"""How long ground fit takes for one machine on 20 soils with 6 shoe widths and 2,000 draws, and a plain loop beside it.

The loop does pressure, sinkage, resistance, thrust, pull, cone index and bearing resistance once more with the standard library's
`math`, one draw after the other, on a part of the same work; its time is scaled up. It leaves out turning, slopes and the slew
sweep, which the fit has, so the ratio is on the careful side. Run from the repository: `python bench/ground.py`.
"""

import math
import time
from statistics import median

import numpy as np

from pitchline.demo.machines import MAIN_NUMBER, RECIPES
from pitchline.ground.drawn import drawn
from pitchline.ground.fit import fits_of
from pitchline.ground.going import DRAWS, Task, ground_table
from pitchline.ground.soils import GROUNDS
from pitchline.ground.standing import Standing, standing

SOILS, WIDTHS, REPEATS, LOOP_DRAWS = 20, (0.5, 0.6, 0.7, 0.8, 0.9, 1.0), 7, 100
INCH, POUND = 0.0254, 0.45359237


def loop(machine: Standing, draws: int) -> float:
    """Seconds of the plain loop over so many draws of every soil and width."""
    grounds = list(GROUNDS.values())[:SOILS]
    inputs = drawn(machine, grounds, WIDTHS, draws, 1)
    m = {name: found.ravel().tolist() for name, found in inputs.machine.items()}
    soils = [{name: found[g, 0].tolist() for name, found in inputs.ground.items()} for g in range(SOILS)]
    start = time.perf_counter()
    for soil in soils:
        for width in WIDTHS:
            for n in range(draws):
                one({name: figures[n] for name, figures in soil.items()}, m, width, n, machine.rollers_per_side)
    return time.perf_counter() - start


def one(s: dict[str, float], m: dict[str, list[float]], width: float, n: int, rollers: int) -> tuple[float, ...]:
    """One draw."""
    mass, length, weight = m["mass_kg"][n], m["level_length_m"][n], m["mass_kg"][n] * 9.81
    pressure = weight / (2 * width * (length + 0.33 * m["loop_height_m"][n]))
    k = s["kc"] / width + s["kphi"]
    depth = (pressure / k) ** (1 / s["exponent"])
    resistance = 2 * width * k * depth ** (s["exponent"] + 1) / (s["exponent"] + 1)
    most = 2 * width * length * s["soil_cohesion_pa"] + weight * math.tan(math.radians(s["soil_friction_deg"]))
    ratio = 0.2 * length / s["shear_m"]
    pull = (most * (1 - (1 - math.exp(-ratio)) / ratio) - resistance) / weight - m["rolling"][n]
    psi = mass / POUND / (2 * width * length / INCH**2)
    bogie = mass / POUND / 10 / (2 * rollers * width * m["pitch_m"][n] / INCH**2)
    mobility = psi / (width / INCH / 100 * 1.1) + bogie - m["clearance_m"][n] / INCH / 10
    once = 7 + 0.2 * mobility - 39.2 / (mobility + 5.6)
    angle = math.radians(s["friction_deg"])
    n_q = math.exp(math.pi * math.tan(angle)) * math.tan(math.pi / 4 + angle / 2) ** 2
    drained = s["weight_n_m3"] * width * (n_q - 1) * math.tan(angle) * (1 - 0.3 * width / length)
    undrained = (math.pi + 2) * s["strength_pa"] * (1 + 0.2 * width / length)
    return pressure, depth, pull, s["rating_index"] - once, drained, undrained


def main() -> None:
    """Print the table."""
    recipe = next(one for one in RECIPES if one.number == MAIN_NUMBER)
    machine = standing(recipe.machine, recipe.gear)
    grounds, task = tuple(GROUNDS.values())[:SOILS], Task(2000.0, 6.0, 5.0)
    taken = {"outcomes only": [], "with ranges and words": []}
    for run in range(REPEATS):
        start = time.perf_counter()
        table = ground_table(machine, grounds, WIDTHS, task, DRAWS, run)
        taken["outcomes only"].append(time.perf_counter() - start)
        fits_of(machine, grounds, WIDTHS, task, table)
        taken["with ranges and words"].append(time.perf_counter() - start)
    plain = median(loop(machine, LOOP_DRAWS) for _ in range(3)) * DRAWS / LOOP_DRAWS
    cases = SOILS * len(WIDTHS) * DRAWS
    print(f"{SOILS} soils x {len(WIDTHS)} shoe widths x {DRAWS:,} draws = {cases:,} cases, numpy {np.__version__}")
    print(f"{'':28}{'seconds':>10}{'loop / this':>14}")
    print(f"{'plain loop, fewer outcomes':28}{plain:10.3f}{1.0:14.1f}")
    for name, seconds in taken.items():
        print(f"{name:28}{median(seconds):10.3f}{plain / median(seconds):14.1f}")


if __name__ == "__main__":
    main()
