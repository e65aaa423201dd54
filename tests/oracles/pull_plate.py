"""Independent values for the pull plate and for the relation of the two hand tools.

Writes pull_plate.json beside this file. The force on the plate is not taken from a formula: the
film is a string over the plate with tension T0 + EA·strain, its energy is integrated, and the
force is the numerical derivative of that energy by the pull (virtual work), in 40 digits. The
straight line comes from scipy.

    python3 -m pip install mpmath numpy scipy
    python3 tests/oracles/pull_plate.py
"""

import json
import pathlib
import platform

import mpmath
import numpy
import scipy
from mpmath import mpf
from scipy import stats

mpmath.mp.dps = 40


def string_length(face, plate, edge, pull):
    """Length of a string from (0, 0) by the two edges of the plate to (face, 0)."""
    points = [(mpf(0), mpf(0)), (edge, pull), (edge + plate, pull), (face, mpf(0))]
    return mpmath.fsum(mpmath.hypot(x1 - x0, y1 - y0)
                       for (x0, y0), (x1, y1) in zip(points, points[1:]))


def tension(face, plate, edge, pull, t0, ea):
    return t0 + ea * (string_length(face, plate, edge, pull) - face) / face


def force(face, plate, edge, pull, t0, ea):
    """Derivative of the string's energy by the pull."""
    def energy(d):
        longer = string_length(face, plate, edge, d) - face
        return mpmath.quad(lambda u: t0 + ea * u / face, [0, longer])
    return mpmath.diff(energy, pull, h=mpf(10) ** -12)


def pulls():
    rows = []
    for face in ("40", "48", "31.496", "47.244", "36", "60"):
        for reference in ("near_edge", "centre"):
            for side in ("18", "17", "19", "12"):
                for pull in ("4", "3.75", "4.25", "2", "6"):
                    f, w, s, d = mpf(face), mpf(6), mpf(side), mpf(pull)
                    edge = s if reference == "near_edge" else s - w / 2
                    if f - edge - w < 4:
                        continue
                    k = force(f, w, edge, d, mpf(1), mpf(0))
                    strain = (string_length(f, w, edge, d) - f) / f
                    by_pull = mpmath.diff(lambda x: force(f, w, edge, x, mpf(1), mpf(0)), d,
                                          h=mpf(10) ** -6) / k / 4
                    by_place = mpmath.diff(lambda x: force(f, w, x, d, mpf(1), mpf(0)), edge,
                                           h=mpf(10) ** -6) / k
                    loaded = [[ea, repr(float(force(f, w, edge, d, mpf(20), mpf(ea)))),
                               repr(float(tension(f, w, edge, d, mpf(20), mpf(ea))))]
                              for ea in (0, 100, 200)]
                    rows.append({"face_in": face, "reference": reference, "side_in": side,
                                 "pull_in": pull, "k": repr(float(k)),
                                 "strain": repr(float(strain)),
                                 "quarter_inch_of_pull": repr(float(by_pull)),
                                 "inch_from_side": repr(float(by_place)),
                                 "ea_force_tension_lbf": loaded})
    return rows


def lines():
    generator = numpy.random.default_rng(20260207)
    rows = []
    for n, slope, intercept, scatter in [(10, 1.6, 3.0, 1.5), (12, 0.8, -2.0, 4.0),
                                         (40, 2.2, 10.0, 6.0)]:
        x = [round(float(v), 3) for v in generator.uniform(30, 90, n)]
        y = [round(float(intercept + slope * v + generator.normal(0, scatter)), 3) for v in x]
        fit = stats.linregress(x, y)
        t = stats.t.ppf(0.975, n - 2)
        rest = numpy.array(y) - fit.intercept - fit.slope * numpy.array(x)
        rows.append({"x": x, "y": y, "slope": fit.slope, "intercept": fit.intercept,
                     "slope_half": t * fit.stderr, "intercept_half": t * fit.intercept_stderr,
                     "residual_sd": float(numpy.sqrt((rest ** 2).sum() / (n - 2)))})
    return rows


def main():
    result = {
        "made_by": "tests/oracles/pull_plate.py",
        "versions": {"python": platform.python_version(), "mpmath": mpmath.__version__,
                     "numpy": numpy.__version__, "scipy": scipy.__version__},
        "pulls": pulls(),
        "lines": lines(),
    }
    path = pathlib.Path(__file__).with_suffix(".json")
    path.write_text(json.dumps(result, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
