"""Independent values for the F distribution of tautbook-core: 40-digit arithmetic (mpmath).

Writes f_mpmath.json beside this file.

    python3 -m pip install mpmath scipy
    python3 tests/oracles/f_mpmath.py
"""

import json
import pathlib
import platform

import mpmath
import scipy
from scipy import stats

mpmath.mp.dps = 40

ABOVE = [1, 2, 3, 4, 5, 8, 9, 18, 27, 64, 200]
BELOW = [1, 2, 3, 4, 10, 20, 46, 60, 90, 180, 1800, 18000]
F = [0.01, 0.1, 0.433721, 0.5, 0.9, 1.0, 1.2, 2.0, 4.0, 10.0, 39.617246, 245.61391]
TAILS = [1e-9, 0.001, 0.01, 0.05, 0.25, 0.5, 0.9, 0.99]


def upper(f, above, below):
    """P(F > f)."""
    f, a, b = mpmath.mpf(f), mpmath.mpf(above), mpmath.mpf(below)
    return mpmath.betainc(b / 2, a / 2, 0, b / (b + a * f), regularized=True)


def critical(tail, above, below):
    """The f with P(F > f) = tail, refined from scipy's value."""
    start = mpmath.mpf(float(stats.f.isf(tail, above, below)))
    ln_f = mpmath.findroot(
        lambda x: mpmath.log(upper(mpmath.exp(x), above, below)) - mpmath.log(mpmath.mpf(tail)),
        mpmath.log(start))
    return mpmath.exp(ln_f)


def main():
    survival = []
    for above in ABOVE:
        for below in BELOW:
            for f in F:
                tail = upper(f, above, below)
                if tail > mpmath.mpf("1e-200"):
                    survival.append([repr(float(v)) for v in (above, below, f, tail)])
    quantile = []
    for above in ABOVE[:8]:
        for below in BELOW[1:9]:
            for tail in TAILS:
                quantile.append([repr(float(v)) for v in
                                 (above, below, tail, critical(tail, above, below))])
    result = {
        "made_by": "tests/oracles/f_mpmath.py",
        "versions": {"python": platform.python_version(), "mpmath": mpmath.__version__,
                     "scipy": scipy.__version__},
        "survival": survival,
        "upper_quantile": quantile,
    }
    rows = json.dumps(result).replace("], [", "],\n[").replace("[[", "[\n[")
    pathlib.Path(__file__).with_suffix(".json").write_text(rows + "\n", encoding="utf-8")
    print(len(survival), len(quantile))


if __name__ == "__main__":
    main()
