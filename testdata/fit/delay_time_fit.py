#!/usr/bin/env python3
"""The onset-and-delay likelihood of score/cohort with an adaptive quadrature a
history (scipy.integrate.quad), for comparing speed and values. Not run by go test.

    /usr/bin/python3 testdata/fit/delay_time_fit.py [HISTORIES]

It simulates histories alike BenchmarkFit's (one part, improved, Weibull onset and
delay), times one value of the log-likelihood and, for few histories, a whole fit.
"""
import sys
import time

import numpy as np
from scipy.integrate import quad
from scipy.optimize import minimize

ONSET, DELAY, MISS, DETECTS = (2.8, 170e3), (1.6, 33e3), 0.1, 0.9


def simulate(n, rng):
    """(x, clean inspections, ending) of n lives seen from new."""
    out = []
    for now in rng.uniform(2e4, 3e5, n):
        onset = ONSET[1] * rng.weibull(ONSET[0])
        fail = onset + DELAY[1] * rng.weibull(DELAY[0])
        clean, end = [], None
        for y in np.sort(rng.uniform(0, now, rng.integers(0, 5))):
            if y >= min(fail, now):
                break
            if y >= onset and rng.uniform() < DETECTS:
                end = (y, clean, "worn")
                break
            clean.append(y)
        if end is None:
            end = (fail, clean, "failed") if fail < now else (now, clean, "running")
        out.append(end)
    return out


def survival(t, shape, scale):
    return np.exp(-((t / scale) ** shape))


def density(t, shape, scale):
    return shape / t * (t / scale) ** shape * survival(t, shape, scale)


def log_likelihood(theta, lives):
    onset, delay = (np.exp(theta[1]), np.exp(theta[0])), (np.exp(theta[3]), np.exp(theta[2]))
    total = 0.0
    for x, clean, end in lives:
        follows = density if end == "failed" else survival

        def integrand(u):
            seen = sum(1 for y in clean if u <= y)
            return MISS**seen * density(u, *onset) * follows(max(x - u, 1e-9), *delay)

        value = quad(integrand, 0, x, points=clean or None, limit=200)[0]
        if end == "running":
            value += survival(x, *onset)
        elif end == "worn":
            value *= DETECTS
        total += np.log(max(value, 1e-300))
    return total


def main():
    n = int(sys.argv[1]) if len(sys.argv) > 1 else 500
    lives = simulate(n, np.random.default_rng(20261125))
    start = np.log([ONSET[1], ONSET[0], DELAY[1], DELAY[0]])
    begin = time.process_time()
    value = log_likelihood(start, lives)
    took = time.process_time() - begin
    print(f"one value: {value:.6f}, {1e6 * took / n:.0f} us a history (processor time)")
    begin = time.process_time()
    fit = minimize(lambda t: -log_likelihood(t, lives), start, method="BFGS")
    took = time.process_time() - begin
    print(f"whole fit: {fit.nfev} values, {1e6 * took / n:.0f} us a history (processor time)")
    print("ln scale, ln shape of onset and delay:", fit.x)


if __name__ == "__main__":
    main()
