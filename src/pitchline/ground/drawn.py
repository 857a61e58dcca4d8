"""Even draws of every input of a machine and of several grounds, ready to be computed with at once."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pitchline.ground.checked import Floats
from pitchline.ground.soils import Ground
from pitchline.ground.spans import Span, even_shares
from pitchline.ground.standing import Standing
from pitchline.ground.terrain import TERRAINS

MACHINE_INPUTS = (
    "mass_kg",
    "shoe_width_m",
    "level_length_m",
    "centres_m",
    "loop_height_m",
    "clearance_m",
    "grouser_m",
    "roller_m",
    "pitch_m",
    "gravity_height_m",
    "own_offset_m",
    "power_w",
    "rolling",
)
GROUND_INPUTS = (
    "shear_m",
    "rating_index",
    "strength_pa",
    "friction_deg",
    "cohesion_pa",
    "weight_n_m3",
    "sliding",
    "turning_steel",
    "turning_rubber",
)
SOILS_DIFFER, COHESIONS_DIFFER = 2.0, 1.4
"""How many times stiffer or softer, and more or less cohesive, a soil may be than the tested one of its name; our own."""
TERRAIN_INPUTS = ("exponent", "kc", "kphi", "soil_cohesion_pa", "soil_friction_deg")


@dataclass(frozen=True, slots=True)
class Drawn:
    """Inputs as arrays.

    Parameters
    ----------
    machine : dict of str to ndarray
        By field name, shape (1, 1, n), the shoe width (1, w, 1) [as each name says].
    ground : dict of str to ndarray
        By field name, shape (g, 1, n), NaN where unknown [as each name says].
    """

    machine: dict[str, Floats]
    ground: dict[str, Floats]


def drawn(
    machine: Standing, grounds: Sequence[Ground], widths_m: Sequence[float] | None, draws: int, seed: int
) -> Drawn:
    """Every input drawn from its range.

    Parameters
    ----------
    machine : Standing
        The machine.
    grounds : sequence of Ground
        The grounds.
    widths_m : sequence of float or None
        Shoe widths to compare [m]; None takes the machine's own.
    draws : int
        How many draws, 1 or more.
    seed : int
        Where chance starts, zero or more.

    Returns
    -------
    Drawn
        The same draws of the machine for every ground and width, so that differences are not chance.

    References
    ----------
    Our own; `spans.even_shares`.
    """
    shares = even_shares(len(MACHINE_INPUTS) + len(GROUND_INPUTS) + 3, draws, seed)
    sizes = {
        name: _at(getattr(machine, name), shares[number])[None, None, :]
        for number, name in enumerate(MACHINE_INPUTS)
    }
    if widths_m is not None:
        sizes["shoe_width_m"] = np.asarray(widths_m, dtype=float)[None, :, None]
    soil = {
        name: np.stack([_at(getattr(ground, name), shares[len(MACHINE_INPUTS) + number]) for ground in grounds])
        for number, name in enumerate(GROUND_INPUTS)
    }
    same = shares[len(MACHINE_INPUTS) + GROUND_INPUTS.index("sliding")]  # no ground has both
    soil["traction"] = np.stack([_at(ground.traction, same) for ground in grounds])
    rows = np.stack([_terrain(ground.terrains, shares[-3:]) for ground in grounds])
    soil |= {name: rows[:, number] for number, name in enumerate(TERRAIN_INPUTS)}
    return Drawn(sizes, {name: found[:, None, :] for name, found in soil.items()})


def _at(span: Span | None, share: Floats) -> Floats:
    return np.full(share.shape, np.nan) if span is None else span.at(share)


def _terrain(names: tuple[str, ...], shares: Floats) -> Floats:
    """Anywhere between neighbouring tested soils, ordered by strength; moduli along their logarithms, then widened."""
    share, stiffer, stronger = shares
    if not names:
        return np.full((len(TERRAIN_INPUTS), share.size), np.nan)
    modulus, cohesion = SOILS_DIFFER ** (2 * stiffer - 1), COHESIONS_DIFFER ** (2 * stronger - 1)
    rows = sorted((TERRAINS[name] for name in names), key=lambda row: row.kphi * 0.1**row.exponent)
    place = share * (len(rows) - 1)
    known = np.arange(len(rows))
    columns = [
        np.interp(place, known, [row.exponent for row in rows]),
        np.exp(np.interp(place, known, [np.log(row.kc) for row in rows])) * modulus,
        np.exp(np.interp(place, known, [np.log(row.kphi) for row in rows])) * modulus,
        np.interp(place, known, [row.cohesion_pa for row in rows]) * cohesion,
        np.interp(place, known, [row.friction_deg for row in rows]),
    ]
    return np.stack(columns)
