"""Published pressure-sinkage and shear figures of tested soils: bracketing cases, not anybody's site."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Terrain:
    """One tested soil.

    Parameters
    ----------
    name : str
        Its name with its moisture.
    exponent : float
        Sinkage exponent n [1].
    kc, kphi : float
        Moduli [N/m^(n+1)] and [N/m^(n+2)].
    cohesion_pa : float
        Cohesion [Pa].
    friction_deg : float
        Angle of friction [deg].

    References
    ----------
    See `TERRAINS`.
    """

    name: str
    exponent: float
    kc: float
    kphi: float
    cohesion_pa: float
    friction_deg: float


_ROWS = (
    ("dry sand", 1.10, 0.99, 1528.43, 1.04, 28),
    ("sandy loam 15 %", 0.70, 5.27, 1515.04, 1.72, 29),
    ("sandy loam 22 %", 0.20, 2.56, 43.12, 1.38, 38),
    ("sandy loam 11 %", 0.90, 52.53, 1127.97, 4.83, 20),
    ("sandy loam 23 %", 0.40, 11.42, 808.96, 9.65, 35),
    ("sandy loam 26 %", 0.30, 2.79, 141.11, 13.79, 22),
    ("sandy loam 32 %", 0.50, 0.77, 51.91, 5.17, 11),
    ("clayey soil 38 %", 0.50, 13.19, 692.15, 4.14, 13),
    ("clayey soil 55 %", 0.70, 16.03, 1262.53, 2.07, 10),
    ("heavy clay 25 %", 0.13, 12.70, 1555.95, 68.95, 34),
    ("heavy clay 40 %", 0.11, 1.84, 103.27, 20.69, 6),
    ("lean clay 22 %", 0.20, 16.43, 1724.69, 68.95, 20),
    ("lean clay 32 %", 0.15, 1.52, 119.61, 13.79, 11),
    ("fine sand, tested", 0.79, 102, 5301, 1.3, 31.1),
    ("upland sandy loam 51 %", 1.10, 74.6, 2080, 3.3, 33.7),
    ("clayey loam 46 %", 0.73, 41.6, 2471, 6.1, 26.6),
    ("loam 24 %", 1.01, 0.06, 5880, 3.1, 29.8),
    ("snow, first test", 1.60, 4.37, 196.72, 1.03, 19.7),
    ("snow, second test", 1.44, 10.55, 66.08, 6.0, 20.7),
)
TERRAINS: dict[str, Terrain] = {
    name: Terrain(name, n, kc * 1e3, kphi * 1e3, c * 1e3, float(phi)) for name, n, kc, kphi, c, phi in _ROWS
}
"""Wong, *Theory of Ground Vehicles*, 4th ed. (2008), terrain table, as seen in open-source code citing it; kN and kPa there."""

SHEAR_MODULUS_M: dict[str, tuple[float, float]] = {
    "firm sand": (0.008, 0.012),
    "loose sand": (0.020, 0.030),
    "clay": (0.005, 0.010),
    "loam": (0.010, 0.025),
    "snow": (0.025, 0.050),
}
"""Shear displacement K [m]. From memory (firm sand 10 mm, loose sand 25 mm, clay 6 mm, fresh snow 25 to 50 mm), widened by us;
loam is our own span between sand and clay."""
