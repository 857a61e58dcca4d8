"""Hours left of very many parts: chances at a few well-placed hours, then interpolation where the curve is almost straight."""

from collections.abc import Callable

import numpy as np
from scipy.special import ndtri

from pitchline.outlook.crossing import Crossing
from pitchline.outlook.paths import BoolArray, FloatArray

_PLACES = np.linspace(-2.9, 2.9, 10)
_EVENLY = np.linspace(0.0, 1.0, 12)
_SURE = 1e-6
_NEAR_LIMIT = 0.003
_BEND = 0.12
"""How far the cubic may leave the chord, as a share of the step, before a part is searched exactly."""


def hours_of_many(against: Crossing, levels: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Hours by which each part reaches its level, under one set of constants.

    Parameters
    ----------
    against : Crossing
        n parts, one set of constants.
    levels : ndarray, shape (t,)
        Chances inside (0, 1) [1], rising.

    Returns
    -------
    hours : ndarray, shape (n, t)
        Hours from now [h]; 0 where the chance is reached already.
    now : ndarray, shape (n,)
        Chance of being at the level already [1].

    References
    ----------
    Our own: the normal score of the chance is nearly straight over the logarithm of the hours; four-point interpolation between
    ten of them, and a bracketed search for parts near their level or where the points do not span the chances asked for.
    """
    count, precision = against.level.size, against.rate.dtype
    now = against.chance(np.zeros((count, 1), precision))[:, 0]
    wanted = ndtri(levels)
    mean, spread = against.log_hours()
    hours, sure = _by_interpolation(against, mean[:, None] + spread[:, None] * _PLACES, wanted, np.exp)
    sure &= now < _NEAR_LIMIT
    near = np.flatnonzero(~sure)
    if near.size:
        few = against.of(near)
        mean, spread = _plain_hours(few)
        farthest = np.maximum(mean + 2.9 * spread, 10.0)
        found, sure_near = _by_interpolation(few, farthest[:, None] * _EVENLY, wanted, _as_it_is)
        at_once = now[near, None] >= levels
        hours[near] = np.where(at_once, 0.0, found)
        hard = near[~(sure_near | at_once.all(axis=1))]
        if hard.size:
            hours[hard] = against.of(hard).hours(levels)
    return hours, now


def _as_it_is(places: FloatArray) -> FloatArray:
    return places


def _by_interpolation(
    against: Crossing, places: FloatArray, wanted: FloatArray, to_hours: Callable[[FloatArray], FloatArray]
) -> tuple[FloatArray, BoolArray]:
    """Hours at the wanted scores from chances at some places, and whether the places span them."""
    reached = against.chance(to_hours(places.astype(against.rate.dtype))).astype(np.float64)
    scores = ndtri(np.clip(reached, _SURE, 1 - _SURE))
    found, between = _interpolated(scores, places, wanted)
    spanned = _spanned(scores, wanted, starts_at_nothing=to_hours is _as_it_is)
    return to_hours(found), spanned & between


def _plain_hours(against: Crossing) -> tuple[FloatArray, FloatArray]:
    """Mean and standard deviation of the hours themselves, roughly; below zero for parts past their level."""
    left = against.level[None, :, None] - against.wear
    noise, span2 = against.noise[:, None, None], against.span_spread[:, None, None] ** 2
    ahead = np.maximum(left, 0.0)
    hours = left / against.rate
    within = (against.wear_var + ahead * (noise + span2 * ahead)) / (against.rate * against.rate)
    mean = (against.weight * hours).sum(axis=2)
    square = (against.weight * (hours * hours + within)).sum(axis=2)
    return mean[0].astype(np.float64), np.sqrt(np.maximum(square - mean**2, 1.0))[0].astype(np.float64)


def _spanned(scores: FloatArray, wanted: FloatArray, starts_at_nothing: bool) -> BoolArray:
    """Whether the points reach beyond the chances asked for and rise between them."""
    steep = np.diff(scores, axis=1).min(axis=1) > 1e-3
    begun = starts_at_nothing | (scores[:, 0] < wanted[0])
    return np.asarray(begun & (scores[:, -1] > wanted[-1]) & steep)


def _interpolated(scores: FloatArray, places: FloatArray, wanted: FloatArray) -> tuple[FloatArray, BoolArray]:
    """Place at each wanted score by the cubic through the four points about it, and whether it stays between its two."""
    above = (scores[:, :, None] < wanted[None, None, :]).sum(axis=1)
    first = np.clip(above - 2, 0, scores.shape[1] - 4)
    at = first[:, :, None] + np.arange(4)
    rows = np.arange(scores.shape[0])[:, None, None]
    x, y = scores[rows, at], places[rows, at]
    found = np.zeros(first.shape)
    for one in range(4):
        term = y[:, :, one].copy()
        for other in range(4):
            if other != one:
                apart = x[:, :, one] - x[:, :, other]
                term *= (wanted - x[:, :, other]) / np.where(apart == 0, 1.0, apart)
        found += term
    most = scores.shape[1] - 1
    row = np.arange(scores.shape[0])[:, None]
    below, beyond = np.clip(above - 1, 0, most), np.clip(above, 0, most)
    low, high = places[row, below], places[row, beyond]
    rise = np.maximum(scores[row, beyond] - scores[row, below], 1e-9)
    chord = low + (high - low) * np.clip((wanted - scores[row, below]) / rise, 0.0, 1.0)
    straight = (above == 0) | (np.abs(found - chord) <= _BEND * (high - low))
    return np.clip(found, low, high), np.asarray(straight.all(axis=1))
