"""The sampler: NumPyro's NUTS over machine and part effects, constants fixed, on the same likelihood written again in JAX."""

import importlib.util
import time
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from pitchline.outlook.filter import less_worn

FloatArray = npt.NDArray[np.float64]
INSTALLED = importlib.util.find_spec("numpyro") is not None
WARM_UP, DRAWS, CHAINS = 500, 2500, 2


@dataclass(frozen=True, slots=True)
class Sampled:
    """Mean and standard deviation of each part's log rate, its effective draws, and seconds of a second run."""

    mean: FloatArray
    deviation: FloatArray
    effective: FloatArray
    seconds: float


def log_likelihood(paths: Any, constants: Any, habits: Any) -> Any:
    """A JAX function of every part's log rate, shape (n,): the log likelihood of its readings, as filter.py defines it."""
    import jax
    import jax.numpy as jnp
    from jax.scipy.special import log_ndtr, ndtr

    jax.config.update("jax_enable_x64", True)
    effective = jnp.asarray(paths.step_h @ np.exp(constants.ground[0]))
    wear, wear_u = jnp.asarray(paths.wear), jnp.asarray(paths.wear_u)
    count, start2 = jnp.asarray(paths.count), jnp.asarray(paths.start_u**2)
    unknown = jnp.asarray(~paths.start_known)
    noise, span2 = float(constants.noise[0]), float(constants.span_spread[0]) ** 2
    changed = jnp.maximum(habits.unrecorded * jnp.asarray(less_worn(paths)), 1e-30)

    def as_read(mean, var, y, s2):
        total = var + s2
        log = -0.5 * (jnp.log(2 * jnp.pi * total) + (y - mean) ** 2 / total)
        return log, mean + var / total * (y - mean), var * s2 / total

    def far_off(mean, var, y, s2):
        log, *after = as_read(mean, var, y, s2 * habits.far_times**2)
        return log + jnp.log(2.0) + log_ndtr(-(y - mean) / jnp.sqrt(var + s2)), *after

    def somewhere(y, s2, growth, most):
        width = jnp.clip(growth, 1e-6, most)
        spread2 = s2 + start2
        spread = jnp.sqrt(spread2)
        low, high = -y / spread, (width - y) / spread
        share = jnp.maximum(ndtr(high) - ndtr(low), 1e-12)
        density_low, density_high = (jnp.exp(-0.5 * z * z) / jnp.sqrt(2 * jnp.pi) for z in (low, high))
        pull = (density_low - density_high) / share
        inside = jnp.clip(y + spread * pull, 0.0, width)
        inside2 = jnp.clip(
            spread2 * (1 + (low * density_low - high * density_high) / share - pull**2), 0.0, 0.25 * width**2
        )
        weight = s2 / spread2
        return jnp.log(share / width), weight * inside + (1 - weight) * y, weight**2 * inside2 + (1 - weight) * s2

    def mixed(first, second, log_first, log_second):
        a, b = first[0] + log_first, second[0] + log_second
        log = jnp.logaddexp(a, b)
        chance = jnp.exp(b - log)
        gap = second[1] - first[1]
        var = first[2] + chance * (second[2] - first[2]) + chance * (1 - chance) * gap**2
        return log, first[1] + chance * gap, var

    def share(part):
        return np.log(1 - part), np.log(part)

    def of_rates(log_rate):
        rate = jnp.exp(log_rate)
        total, mean, var = jnp.zeros_like(rate), jnp.zeros_like(rate), start2
        for turn in range(wear.shape[1]):
            y, s2 = wear[:, turn], wear_u[:, turn] ** 2
            growth = rate * effective[:, turn]
            before = mean + growth, var + noise * growth + span2 * growth**2
            sound, far = as_read(*before, y, s2), far_off(*before, y, s2)
            read = mixed(sound, far, *share(habits.far_off))
            shares = jnp.log1p(-changed[:, turn]), jnp.log(changed[:, turn])
            found = mixed(read, somewhere(y, s2, growth, 1.0), *shares)
            if turn == 0:
                fading = log_ndtr((1 - growth) / jnp.sqrt(noise * growth + 0.06**2))
                log_original = np.log(habits.original) + fading
                later = mixed(
                    somewhere(y, s2, growth, 1.0), somewhere(y, s2, growth, 3.0), *share(habits.past_limit)
                )
                met = mixed(read, later, log_original, jnp.log1p(-jnp.exp(log_original)))
                found = tuple(jnp.where(unknown, a, b) for a, b in zip(met, found, strict=True))
            there = turn < count
            total = total + jnp.where(there, found[0], 0.0)
            mean, var = jnp.where(there, found[1], mean), jnp.where(there, found[2], var)
        return total

    return of_rates


def sample(paths: Any, constants: Any, habits: Any, seed: int = 0) -> Sampled:
    """Run NUTS on all parts of some machines."""
    import jax
    import jax.numpy as jnp
    import numpyro
    import numpyro.distributions as dist
    from numpyro.diagnostics import effective_sample_size
    from numpyro.infer import MCMC, NUTS

    of_rates = log_likelihood(paths, constants, habits)
    centre, group = jnp.asarray(constants.log_rate[0][paths.kind]), jnp.asarray(paths.group)
    machines = int(paths.group[-1]) + 1
    spread_u, spread_v = (
        float(np.hypot(spread[0], habits.least_spread))
        for spread in (constants.machine_spread, constants.part_spread)
    )
    own = dist.MixtureSameFamily(
        dist.Categorical(jnp.array([1 - habits.odd_part, habits.odd_part])),
        dist.Normal(jnp.array([0.0, habits.odd_faster]), jnp.array([spread_v, habits.odd_spread])),
    )

    def model():
        u = numpyro.sample("u", dist.Normal(0, 1).expand([machines]).to_event(1))
        v = numpyro.sample("v", own.expand([paths.kind.size]).to_event(1))
        theta = numpyro.deterministic("theta", centre + spread_u * u[group] + v)
        numpyro.factor("readings", of_rates(theta).sum())

    sampler = MCMC(
        NUTS(model),
        num_warmup=WARM_UP,
        num_samples=DRAWS,
        num_chains=CHAINS,
        chain_method="sequential",
        progress_bar=False,
    )
    sampler.run(jax.random.PRNGKey(seed))
    start = time.perf_counter()
    sampler.run(jax.random.PRNGKey(seed + 1))
    seconds = time.perf_counter() - start
    draws = np.asarray(sampler.get_samples(group_by_chain=True)["theta"])
    flat = draws.reshape(-1, draws.shape[-1])
    return Sampled(flat.mean(axis=0), flat.std(axis=0), effective_sample_size(draws), seconds)
