"""Independent values for Welch's comparison, numbers of readings, and rates of counted events.

Writes comparing_scipy.json beside this file. Welch's t, its p and interval come from scipy;
numbers of readings by trying each in turn with scipy's t; Garwood's limits from scipy's chi-square
quantiles, polished with mpmath to 30 digits; ratios of rates from scipy's binomtest.

    python3 -m pip install numpy scipy mpmath
    python3 tests/oracles/comparing_scipy.py
"""

import json
import math
import pathlib
import platform
import re

import mpmath
import numpy
import scipy
from scipy import stats

mpmath.mp.dps = 40


def row(*values):
    """Doubles as shortest exact decimal text."""
    return [repr(float(v)) for v in values]


def welch():
    generator = numpy.random.default_rng(20260307)
    rows = []
    for _ in range(300):
        n = generator.integers(2, 40, 2)
        scale = 10.0 ** generator.uniform(-3, 3)
        spread = scale * 10.0 ** generator.uniform(-2, 1, 2)
        new = generator.normal(scale * generator.uniform(-2, 2), spread[0], n[0])
        old = generator.normal(scale * generator.uniform(-2, 2), spread[1], n[1])
        confidence = float(generator.choice([0.8, 0.9, 0.95, 0.99]))
        result = stats.ttest_ind(new, old, equal_var=False)
        interval = result.confidence_interval(confidence)
        one_sided = stats.ttest_ind(new, old, equal_var=False, alternative="greater")
        rows.append({"new": row(*new), "old": row(*old), "expected": row(
            confidence, result.statistic, result.df, result.pvalue, interval.low, interval.high,
            one_sided.confidence_interval(confidence).low)})
    return rows


def readings():
    """Smallest n with t s/sqrt(n) <= E, by trying each."""
    rows = []
    for ratio in (0.05, 0.0813, 0.1, 0.137, 0.2, 0.25, 0.333, 0.5, 0.77, 1.0, 1.5, 3.0, 10.0):
        for confidence in (0.8, 0.9, 0.95, 0.99):
            n = 2
            while stats.t.ppf((1 + confidence) / 2, n - 1) / math.sqrt(n) > ratio:
                n += 1
            rows.append([n, *row(ratio, confidence)])
    return rows


def polished(guess, shape, tail, upper):
    """The mean at which the Poisson tail is just that, to 30 digits."""
    def off(mean):
        if upper:
            return mpmath.gammainc(shape, mean, mpmath.inf, regularized=True) - tail
        return mpmath.gammainc(shape, 0, mean, regularized=True) - tail
    return mpmath.findroot(off, (mpmath.mpf(guess), mpmath.mpf(guess) * mpmath.mpf("1.0001")),
                           tol=1e-50)


def poisson():
    rows = []
    for events in (0, 1, 2, 3, 4, 5, 7, 10, 20, 53, 100, 400, 1000, 2500):
        for confidence in (0.8, 0.9, 0.95, 0.99):
            tail = (1 - mpmath.mpf(confidence)) / 2
            low = 0
            if events:
                low = polished(stats.chi2.ppf(float(tail), 2 * events) / 2, events, tail, False)
            high = polished(stats.chi2.isf(float(tail), 2 * events + 2) / 2, events + 1, tail, True)
            one = polished(stats.chi2.isf(float(2 * tail), 2 * events + 2) / 2, events + 1,
                           2 * tail, True)
            rows.append([events, *row(confidence, low, high, one)])
    return rows


def ratios():
    rows = []
    for new, e1 in ((0, 10), (1, 10), (3, 250), (12, 40), (60, 1000), (500, 800)):
        for old, e2 in ((0, 7), (1, 30), (5, 10), (20, 900), (333, 500)):
            for confidence in (0.9, 0.95):
                total = new + old
                if total == 0:
                    continue
                share = e1 / (e1 + e2)
                p = min(1.0, 2 * min(
                    stats.binomtest(new, total, share, alternative="greater").pvalue,
                    stats.binomtest(new, total, share, alternative="less").pvalue))
                limits = stats.binomtest(new, total, share).proportion_ci(confidence, "exact")
                low = limits.low / (1 - limits.low) * e2 / e1
                high = limits.high / (1 - limits.high) * e2 / e1 if old else -1.0
                rows.append([new, old, *row(e1, e2, confidence, low, high, p)])
    return rows


def main():
    result = {
        "made_by": "tests/oracles/comparing_scipy.py",
        "versions": {"python": platform.python_version(), "numpy": numpy.__version__,
                     "scipy": scipy.__version__, "mpmath": mpmath.__version__},
        "welch": welch(),
        "readings": readings(),
        "poisson": poisson(),
        "ratios": ratios(),
    }
    path = pathlib.Path(__file__).with_suffix(".json")
    text = json.dumps(result, indent=1)
    text = re.sub(r"\[\s+([^\[\]{}]*?)\s+\]",
                  lambda m: "[" + re.sub(r"\s*\n\s*", " ", m.group(1)) + "]", text)
    path.write_text(text + "\n", encoding="utf-8")
    print(path.name, {k: len(v) for k, v in result.items() if isinstance(v, list)})


if __name__ == "__main__":
    main()
