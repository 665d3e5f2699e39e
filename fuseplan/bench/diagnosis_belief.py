"""How well each fault, of each size, agrees with what was read; and what a further reading would tell."""

from __future__ import annotations

import math

import numpy as np

from fuseplan.array_types import Flags, Floats, Ints
from fuseplan.records import dataclass

LEAST_SHARE = 1e-3
"""What has less of the whole weight is left out where further readings are weighed up."""
MOST_AT_ONCE = 120
_POINTS, _WEIGHTS = np.polynomial.hermite_e.hermegauss(5)
_WEIGHTS = _WEIGHTS / _WEIGHTS.sum()


@dataclass(frozen=True)
class Hypotheses:
    """Faulty cars, C of them, and what meters would show in each: Q readings, P things not known exactly."""

    fault: Ints
    """Number of the fault of each (C,)."""
    size: Floats
    log_prior: Floats
    mean: Floats
    """(C, Q)."""
    slopes: Floats
    """Change of each reading by one standard deviation of each unknown (C, Q, P); the last one is the size."""
    own: Floats
    """Variance of each reading that nothing else shares (C, Q)."""
    step: Floats
    """One standard deviation of the logarithm of the size around `size`, 0 where it has none (C,)."""
    ends: Floats
    """Least and largest logarithm of it (C, 2)."""

    def joined(self, other: Hypotheses) -> Hypotheses:
        """Both together."""
        return Hypotheses(*(np.concatenate([getattr(self, name), getattr(other, name)])
                            for name in self.__dataclass_fields__))

    def some(self, which: Flags | Ints) -> Hypotheses:
        """Some of them."""
        return Hypotheses(*(getattr(self, name)[which] for name in self.__dataclass_fields__))


@dataclass(frozen=True)
class Posterior:
    """Hypotheses in the light of readings."""

    log_weight: Floats
    """(C,), not normalised."""
    mean: Floats
    """What each reading, taken or not, would show (C, Q)."""
    variance: Floats
    """(C, Q), without the meter's error."""
    size_shift: Floats
    """Where the size lies, in its own standard deviations before anything was read (C,)."""
    size_spread: Floats
    unknowns: Floats
    """Where each unknown lies, in its own standard deviations (C, P)."""

    @property
    def weight(self) -> Floats:
        """Share of each (C,)."""
        best = self.log_weight.max()
        if not np.isfinite(best):
            return np.full(len(self.log_weight), 1.0 / len(self.log_weight))
        found = np.exp(self.log_weight - best)
        return np.asarray(found / found.sum())


def judged(hypotheses: Hypotheses, read: Ints, values: Floats, error: Floats, limited: Ints, limit: float) -> Posterior:
    """Hypotheses judged by readings.

    Args:
        read: which of the readings were taken (n,)
        values, error: what was read, and one standard deviation of the meter (n,)
        limited: unknowns that lie within a tolerance
        limit: their tolerance, in their standard deviations
    """
    mean, slopes = hypotheses.mean, hypotheses.slopes
    possible = np.asarray(np.isfinite(mean).all(axis=1) & np.isfinite(slopes).all(axis=(1, 2)))
    mean, slopes = np.where(possible[:, None], mean, 0.0), np.where(possible[:, None, None], slopes, 0.0)
    own_variance = np.where(possible[:, None], hypotheses.own, 1.0)
    prior_variance = (slopes**2).sum(axis=2) + own_variance
    if not len(read):
        weight = np.where(possible, hypotheses.log_prior, -np.inf)
        return Posterior(weight, mean, prior_variance, np.zeros(len(mean)), np.ones(len(mean)),
                         np.zeros((len(mean), slopes.shape[2])))
    mine = slopes[:, read]
    total = mine @ mine.swapaxes(1, 2)
    diagonal = np.arange(len(read))
    total[:, diagonal, diagonal] += own_variance[:, read] + error**2
    off = values - mean[:, read]
    inverse = np.linalg.inv(total)
    solved = np.einsum("cij,cj->ci", inverse, off)
    log_weight = hypotheses.log_prior - 0.5 * ((off * solved).sum(axis=1) + np.linalg.slogdet(total)[1])
    log_weight = np.where(possible, log_weight, -np.inf)
    cross = slopes @ mine.swapaxes(1, 2)
    own = np.zeros_like(cross)
    own[:, read, diagonal] = own_variance[:, read]
    cross = cross + own
    after = mean + np.einsum("cqi,ci->cq", cross, solved)
    variance = prior_variance - np.einsum("cqi,cij,cqj->cq", cross, inverse, cross)
    size = mine[:, :, -1]
    shift = (size * solved).sum(axis=1)
    spread = np.sqrt(np.maximum(1.0 - np.einsum("ci,cij,cj->c", size, inverse, size), 1e-12))
    for unknown in limited.tolist():
        mine_of = mine[:, :, unknown]
        at = (mine_of * solved).sum(axis=1)
        left = np.sqrt(np.maximum(1.0 - np.einsum("ci,cij,cj->c", mine_of, inverse, mine_of), 1e-12))
        share = (_normal((limit - at) / left) - _normal((-limit - at) / left)) / (1.0 - 2.0 * _normal(-limit))
        log_weight = log_weight + np.log(np.maximum(share, 1e-300))
    return Posterior(log_weight + _within(hypotheses, shift, spread), after, np.maximum(variance, 0.0), shift, spread,
                     np.einsum("cip,ci->cp", mine, solved))


def _within(hypotheses: Hypotheses, shift: Floats, spread: Floats) -> Floats:
    """Logarithm of the share of each hypothesis whose size lies between its ends (C,)."""
    searched = hypotheses.step > 0
    step = np.where(searched, hypotheses.step, 1.0)
    at = np.log(hypotheses.size) + step * shift
    low, high = ((end - at) / (step * spread) for end in hypotheses.ends.T)
    return np.where(searched, np.log(np.maximum(_normal(high) - _normal(low), 1e-300)), 0.0)


def _normal(value: Floats | float) -> Floats:
    """Share of a normal distribution below a value in standard deviations; to 1e-7 (Abramowitz and Stegun 26.2.17)."""
    x = np.abs(value)
    t = 1.0 / (1.0 + 0.2316419 * x)
    tail = np.exp(-0.5 * np.minimum(x, 38.0)**2) / math.sqrt(2.0 * math.pi) * t * (
        0.319381530 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))))
    return np.where(np.asarray(value) > 0, 1.0 - tail, tail)


def information(hypotheses: Hypotheses, found: Posterior, error: Floats) -> Floats:
    """What each reading would tell about which fault it is, on the average, in bits (Q,).

    Args:
        error: one standard deviation of the meter at what it would show (C, Q)
    """
    weight = found.weight
    order = np.argsort(weight)[::-1][:MOST_AT_ONCE]
    order = order[weight[order] > LEAST_SHARE * weight[order[0]]]
    share = weight[order] / weight[order].sum()
    labels, label = np.unique(hypotheses.fault[order], return_inverse=True)
    if len(labels) < 2:
        return np.zeros(found.mean.shape[1])
    mean, spread = found.mean[order], np.sqrt(found.variance[order] + error[order]**2)
    shown = mean[:, None, :] + spread[:, None, :] * _POINTS[None, :, None]
    off = (shown[:, :, None, :] - mean[None, None]) / spread[None, None]
    density = np.exp(-0.5 * off**2) / spread[None, None] * share[None, None, :, None]
    whole = density.sum(axis=2)
    members = (label[:, None] == np.arange(len(labels)))
    of_label = share @ members
    mine = np.einsum("cgdq,cd->cgq", density, members[:, label].T.astype(float)) / of_label[label][:, None, None]
    with np.errstate(divide="ignore"):
        told = np.log2(np.maximum(mine, 1e-300)) - np.log2(np.maximum(whole, 1e-300))
    return np.asarray(np.einsum("c,g,cgq->q", share, _WEIGHTS, told))
