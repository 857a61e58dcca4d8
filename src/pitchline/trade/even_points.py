"""Points that fill a cube evenly, each a different way for each seed: scrambled Sobol points.

The same figures as scipy.stats.qmc.Sobol gives (a test holds them together). It stands here because importing scipy.stats takes
longer than judging a machine.
"""

from functools import lru_cache

import numpy as np
import numpy.typing as npt

_BITS = 30
# fmt: off
_PRIMITIVE = (
    (1, (1,)), (3, (1,)), (7, (1, 3)), (11, (1, 3, 1)), (13, (1, 1, 1)), (19, (1, 1, 3, 3)), (25, (1, 3, 5, 13)),
    (37, (1, 1, 5, 5, 17)), (41, (1, 1, 5, 5, 5)), (47, (1, 1, 7, 11, 19)), (55, (1, 1, 5, 1, 1)),
    (59, (1, 1, 1, 3, 11)), (61, (1, 3, 5, 5, 31)), (67, (1, 3, 3, 9, 7, 49)), (91, (1, 1, 1, 15, 21, 21)),
    (97, (1, 3, 1, 13, 27, 49)), (103, (1, 1, 1, 15, 7, 5)), (109, (1, 3, 1, 15, 13, 25)),
    (115, (1, 1, 5, 5, 19, 61)), (131, (1, 3, 7, 11, 23, 15, 103)), (137, (1, 3, 7, 13, 13, 15, 69)),
    (143, (1, 1, 3, 13, 7, 35, 63)), (145, (1, 3, 5, 9, 1, 25, 53)), (157, (1, 3, 1, 13, 9, 35, 107)),
    (167, (1, 3, 1, 5, 27, 61, 31)), (171, (1, 1, 5, 11, 19, 41, 61)), (185, (1, 3, 5, 3, 3, 13, 69)),
    (191, (1, 1, 7, 13, 1, 19, 1)), (193, (1, 3, 7, 5, 13, 19, 59)), (203, (1, 1, 3, 9, 25, 29, 41)),
    (211, (1, 3, 5, 13, 23, 1, 55)), (213, (1, 3, 7, 3, 13, 59, 17)), (229, (1, 3, 1, 3, 5, 53, 69)),
    (239, (1, 1, 5, 5, 23, 33, 13)), (241, (1, 1, 7, 7, 1, 61, 123)), (247, (1, 1, 7, 9, 13, 61, 49)),
    (253, (1, 3, 3, 5, 3, 55, 33)), (285, (1, 3, 1, 15, 31, 13, 49, 245)), (299, (1, 3, 5, 15, 31, 59, 63, 97)),
    (301, (1, 3, 1, 11, 11, 11, 77, 249)),
)
# fmt: on
"""For each dimension the primitive polynomial, its coefficients as bits, and the first odd numbers."""


@lru_cache(maxsize=16)  # every machine asks for the same few
def even_points(inputs: int, points: int, seed: int) -> npt.NDArray[np.float64]:
    """Scrambled Sobol points.

    Parameters
    ----------
    inputs : int
        Dimensions of the cube, 1 or more.
    points : int
        How many, a power of two.
    seed : int
        Where chance starts, zero or more.

    Returns
    -------
    ndarray, shape (points, inputs)
        Shares inside [0, 1) [1], the same for the same seed; read-only.

    References
    ----------
    Joe and Kuo, SIAM J. Sci. Comput. 30 (2008) 2635, the direction numbers of new-joe-kuo-6 (by way of scipy); scrambled by a
    random lower triangle and a shift: Matousek, J. Complexity 14 (1998) 527 (both papers from memory).

    Examples
    --------
    >>> even_points(2, 4, seed=1).shape
    (4, 2)
    """
    chance = np.random.default_rng(seed)
    if inputs > len(_PRIMITIVE):  # more than any machine asks for
        from scipy.stats import qmc

        return _kept(np.asarray(qmc.Sobol(inputs, rng=chance).random(points), dtype=np.float64))
    chance = chance.spawn(1)[0]  # as scipy does, so that the same seed gives the same points
    rising = 2 ** np.arange(_BITS, dtype=np.uint64)
    quasi = chance.integers(2, size=(inputs, _BITS), dtype=np.uint32).astype(np.uint64) @ rising
    lower = np.tril(chance.integers(2, size=(inputs, _BITS, _BITS), dtype=np.uint32)).astype(np.uint64)
    lower |= np.eye(_BITS, dtype=np.uint64)
    bits = (_directions(inputs)[:, :, None] // rising[::-1]) & 1
    scrambled = (np.einsum("dpk,djk->djp", lower, bits) & 1) @ rising[::-1]
    found = np.empty((points, inputs), dtype=np.uint64)
    for number in range(
        points
    ):  # Antonov and Saleev: the next differs by one direction number, that of the lowest zero bit
        found[number] = quasi
        quasi = quasi ^ scrambled[:, (~number & (number + 1)).bit_length() - 1]
    return _kept(found / 2.0**_BITS)


def _kept(points: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    points.setflags(write=False)
    return points


def _directions(inputs: int) -> npt.NDArray[np.uint64]:
    """Direction numbers, shape (inputs, 30), by the recurrence of each dimension's polynomial."""
    numbers = np.ones((inputs, _BITS), dtype=np.uint64)
    for row, (polynomial, first) in zip(numbers[1:], _PRIMITIVE[1:inputs], strict=True):
        degree, odd = len(first), list(first)
        while len(odd) < _BITS:
            following = odd[-degree] ^ odd[-degree] << degree
            for back in range(1, degree):
                if polynomial >> (degree - back) & 1:
                    following ^= odd[-back] << back
            odd.append(following)
        row[:] = odd
    return numbers << np.arange(_BITS - 1, -1, -1, dtype=np.uint64)
