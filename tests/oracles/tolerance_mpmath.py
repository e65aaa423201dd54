"""Independent values for the noncentral t distribution and one-sided tolerance factors.

Writes tolerance_mpmath.json beside this file. Everything comes from 40-digit arithmetic (mpmath):
the distribution by integrating its definition over fixed panels with a 40-point rule (both tails,
whose sum is checked to be 1 to 20 digits), quantiles by the secant method on that. Where scipy's
own noncentral t is good, it is checked to agree.

    python3 -m pip install numpy scipy mpmath gmpy2
    python3 tests/oracles/tolerance_mpmath.py
"""

import json
import pathlib
import platform
import re

import mpmath
import numpy
import scipy
from mpmath import mpf
from scipy import stats

mpmath.mp.dps = 40


def ln_front(nu):
    """ln of the constant of the density of s = sqrt(V/nu)."""
    return mpmath.log(2) + nu / 2 * mpmath.log(nu / 2) - mpmath.loggamma(nu / 2)


def rule(n):
    """Points and weights of the Gauss-Legendre rule on -1..1 to 40 digits."""
    points = []
    for x in numpy.polynomial.legendre.leggauss(n)[0]:
        x = mpf(float(x))
        for _ in range(4):
            p, q = mpf(1), x
            for k in range(2, n + 1):
                p, q = q, ((2 * k - 1) * x * q - (k - 1) * p) / k
            slope = n * (x * q - p) / (x * x - 1)
            x -= q / slope
        points.append((x, 2 / ((1 - x * x) * slope * slope)))
    return points


RULE = rule(40)


def lower_and_upper(t, nu, delta):
    """Both tails by definition, over s."""
    t, nu, delta = mpf(t), mpf(nu), mpf(delta)
    front = ln_front(nu)
    root_half = 1 / mpmath.sqrt(2)
    # Break at the centre of the density and at the step of the normal law.
    spread = 1 / mpmath.sqrt(2 * nu)
    near = (-16, -9, -5, -2, 0, 2, 5, 9, 16)
    points = {mpf(0), *(1 + k * spread for k in near)}
    if t != 0:
        points |= {(delta + k) / t for k in near}
    far = 1 + 16 * spread
    least = max(mpf(0), 1 - 16 * spread)
    points = sorted({p for p in points if least <= p <= far} | {least})
    lower = upper = mpf(0)
    for a, b in zip(points, points[1:]):
        half, centre = (b - a) / 2, (b + a) / 2
        for x, weight in RULE:
            s = centre + half * x
            g = half * weight * mpmath.exp(front + (nu - 1) * mpmath.log(s) - nu * s * s / 2)
            z = (t * s - delta) * root_half
            lower += g * mpmath.erfc(-z) / 2
            upper += g * mpmath.erfc(z) / 2
    assert abs(lower + upper - 1) < mpf(10) ** -20, (t, nu, delta, lower + upper)
    return lower, upper


def quantile(p, nu, delta):
    """Secant on the logarithm of the smaller tail."""
    p = mpf(p)

    def f(t):
        low, up = lower_and_upper(t, nu, delta)
        return mpmath.log(low / p) if p < 0.5 else mpmath.log((1 - p) / up)

    z = mpf(float(stats.norm.ppf(float(p))))
    shrink = 1 - z * z / (2 * nu)
    if shrink > 0.1:
        a = (delta + z * mpmath.sqrt(max(shrink + delta * delta / (2 * nu), mpf(0)))) / shrink
    else:
        # With hardly any degrees of freedom T' is about delta over s.
        s = mpmath.sqrt(mpf(float(stats.chi2.ppf(float(1 - p), float(nu)))) / nu)
        a = (delta + z / 3) / s
    b = a * mpf("1.001") + mpf("0.001")
    fa, fb = f(a), f(b)
    for _ in range(60):
        if abs(fb) < mpf(10) ** -17:
            break
        step = -fb * (b - a) / (fb - fa)
        limit = max(abs(b), mpf(1)) / 2
        a, fa = b, fb
        b += max(-limit, min(limit, step))
        fb = f(b)
    else:
        raise ArithmeticError((p, nu, delta))
    if abs(delta) < 20 and nu < 200:
        scipys = float(stats.nct.ppf(float(p), float(nu), float(delta)))
        if numpy.isfinite(scipys):
            assert abs(scipys - b) < 1e-6 * max(1, abs(b)), (p, nu, delta, b, scipys)
    return b


def row(*values):
    """Doubles as shortest exact decimal text."""
    return [repr(float(v)) for v in values]


def main():
    cdf = []
    for nu in (1, 2, 3, 4, 7, 9, 19, 29, 42, 100, 1000, 10000, 100000):
        for delta in (-5, -1, 0, 0.5, 2.2, 4.05, 12, 40.5, 130, 405, 700):
            spread = (1 + delta * delta / (2 * nu)) ** 0.5
            for k in (-4, -1.5, 0, 0.3, 1, 5):
                t = delta + k * spread
                low, up = lower_and_upper(t, nu, delta)
                if min(low, up) > 1e-30:
                    cdf.append(row(nu, delta, t, low, up))
    print("cdf", len(cdf), flush=True)
    factors = []
    for n in (2, 3, 4, 5, 6, 8, 10, 15, 20, 30, 43, 100, 400, 2000, 20000, 100000):
        for coverage in (0.5, 0.9, 0.95, 0.999):
            for confidence in (0.05, 0.5, 0.95, 0.99):
                delta = mpmath.sqrt(2) * mpmath.erfinv(2 * mpf(coverage) - 1) * mpmath.sqrt(n)
                k = quantile(confidence, n - 1, delta) / mpmath.sqrt(n)
                factors.append([n, *row(coverage, confidence, k)])
    print("factors", len(factors), flush=True)
    result = {
        "made_by": "tests/oracles/tolerance_mpmath.py",
        "versions": {"python": platform.python_version(), "numpy": numpy.__version__,
                     "scipy": scipy.__version__, "mpmath": mpmath.__version__},
        "cdf": cdf,
        "factors": factors,
    }
    path = pathlib.Path(__file__).with_suffix(".json")
    text = json.dumps(result, indent=1)
    text = re.sub(r"\[\s+([^\[\]{}]*?)\s+\]",
                  lambda m: "[" + re.sub(r"\s*\n\s*", " ", m.group(1)) + "]", text)
    path.write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
