"""Independent values for the statistics of tautbook-core.

Writes statistics_scipy.json beside this file. Student's t comes from 50-digit arithmetic
(mpmath), since scipy itself is wrong near the median: its quantile for p = 0.499999 and 4 degrees
of freedom is off in the fifth digit (scipy 1.17.1). Means and standard deviations come from
mpmath too; Grubbs' critical values and the intervals come from scipy.

    python3 -m pip install numpy scipy mpmath
    python3 tests/oracles/statistics_scipy.py
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

mpmath.mp.dps = 50

DF = [0.5, 0.75, 1, 1.5, 2, 2.5, 3, 4, 5, 6, 7.25, 8, 10, 13.7, 20, 29, 39, 39.5, 40, 41, 64, 100,
      136.875, 326, 1000, 4321.5, 1e4, 1e5, 1e6]
TAILS = [1e-12, 1e-9, 1e-6, 1e-4, 0.001, 0.005, 0.01, 0.025, 0.05, 0.1, 0.15, 0.2, 0.2499, 0.25,
         0.3, 0.4, 0.45, 0.49, 0.499, 0.499999]
T = [1e-9, 1e-3, 0.1, 0.5, 1.0, 1.5, 1.7, 1.732, 1.7325, 1.8, 2.0, 2.5, 3.0, 4.0, 5.0, 6.5, 7.0,
     12.7, 100.0, 1e5]


def upper(t, df):
    """P(T > t) to 50 digits: the incomplete beta function on its quickly converging side."""
    nu, t = mpmath.mpf(df), mpmath.mpf(t)
    square = t * t
    half = mpmath.mpf(1) / 2
    if square > nu:
        return mpmath.betainc(nu / 2, half, 0, nu / (nu + square), regularized=True) / 2
    lost = int(nu / 2 * mpmath.log1p(square / nu) / mpmath.log(10)) + 10
    with mpmath.workdps(50 + lost):
        middle = mpmath.betainc(half, nu / 2, 0, square / (nu + square), regularized=True)
        return (1 - middle) / 2


def upper_checked(t, df):
    """upper(), checked by integrating the density where that is quick."""
    value = upper(t, df)
    if df <= 1000 and 0.1 <= t <= 7:
        nu = mpmath.mpf(df)
        front = mpmath.gamma((nu + 1) / 2) / (mpmath.sqrt(nu * mpmath.pi) * mpmath.gamma(nu / 2))
        middle = mpmath.quad(lambda u: (1 + u * u / nu) ** (-(nu + 1) / 2),
                             mpmath.linspace(0, mpmath.mpf(t), 9))
        assert abs(value + front * middle - mpmath.mpf(1) / 2) < mpmath.mpf(10) ** -30, (t, df)
    return value


def quantile(p, df):
    """The t with P(T <= t) = p for the double p, refined from scipy's value to 50 digits."""
    exact = mpmath.mpf(p)
    tail = exact if p < 0.5 else 1 - exact
    nu = mpmath.mpf(df)
    ln_front = (mpmath.loggamma((nu + 1) / 2) - mpmath.loggamma(nu / 2)
                - mpmath.log(nu * mpmath.pi) / 2)
    t = mpmath.mpf(float(abs(stats.t.ppf(p, df))))
    for _ in range(30):
        density = mpmath.exp(ln_front - (nu + 1) / 2 * mpmath.log1p(t * t / nu))
        step = (upper(t, df) - tail) / density
        t += step
        if abs(step) <= mpmath.mpf(10) ** -30 * t:
            break
    else:
        raise ArithmeticError(f"no quantile for p={p}, df={df}")
    return -t if p < 0.5 else t


def number(value):
    """Nearest double."""
    return float(value)


def row(*values):
    """Doubles as shortest exact decimal text: some JSON readers round the last binary digit."""
    return [repr(number(v)) for v in values]


def student_t():
    cdf, inverse = [], []
    for df in DF:
        for t in T:
            if df * math.log1p(t * t / df) > 600:
                continue  # Below 1e-130: no use to anyone.
            tail = upper_checked(t, df)
            cdf.append(row(df, -t, tail))
            cdf.append(row(df, t, 1 - tail))
        for tail in TAILS:
            for p in (tail, 1 - tail):
                inverse.append(row(df, p, quantile(p, df)))
    return {"cdf": cdf, "quantile": inverse}


def grubbs():
    rows = []
    for n in [3, 4, 5, 6, 7, 8, 10, 15, 20, 30, 50, 100, 147]:
        for sides in (1, 2):
            for alpha in (0.1, 0.05, 0.025, 0.01, 0.001):
                t = stats.t.isf(alpha / (sides * n), n - 2)
                g = (n - 1) / numpy.sqrt(n) * numpy.sqrt(t * t / (n - 2 + t * t))
                rows.append([n, sides, *row(alpha, g)])
    return rows


def samples():
    """Made-up readings, summarised with exact rational arithmetic and scipy's t."""
    generator = numpy.random.default_rng(20260104)
    rows = []
    for n, centre, width in [(2, 12.0, 0.5), (3, 14.0, 1.0), (5, 9.5, 0.8), (10, 14.25, 1.5),
                             (30, 5.336, 0.05), (100, -3.0, 20.0), (50, 1e6, 0.01)]:
        readings = [number(x) for x in generator.normal(centre, width, n)]
        exact = [mpmath.mpf(x) for x in readings]
        mean = mpmath.fsum(exact) / n
        sd = mpmath.sqrt(mpmath.fsum((x - mean) ** 2 for x in exact) / (n - 1))
        for confidence in (0.9, 0.95, 0.99):
            low, high = stats.t.interval(confidence, n - 1, number(mean),
                                         number(sd) / numpy.sqrt(n))
            rows.append({"readings": row(*readings),
                         "mean_sd": row(mean, sd),
                         "confidence_low_high": row(confidence, low, high)})
    return rows


def main():
    result = {
        "made_by": "tests/oracles/statistics_scipy.py",
        "versions": {"python": platform.python_version(), "numpy": numpy.__version__,
                     "scipy": scipy.__version__, "mpmath": mpmath.__version__},
        "student_t": student_t(),
        "grubbs_critical": grubbs(),
        "samples": samples(),
    }
    path = pathlib.Path(__file__).with_suffix(".json")
    text = json.dumps(result, indent=1)
    # One row a line.
    text = re.sub(r"\[\s+([^\[\]{}]*?)\s+\]",
                  lambda m: "[" + re.sub(r"\s*\n\s*", " ", m.group(1)) + "]", text)
    path.write_text(text + "\n", encoding="utf-8")
    print(path.name, len(result["student_t"]["cdf"]), len(result["student_t"]["quantile"]))


if __name__ == "__main__":
    main()
