"""Independent values for film and the film balance of tautbook-core.

Writes film_balance.json beside this file. The film formulas are worked in trade units by pint's
own definitions (gauge is a hundredth of pint's thou); the uncertainties of stretch by marks and
of the balance come from the package uncertainties, which differentiates the formulas by itself.

    python3 -m pip install pint scipy uncertainties
    python3 tests/oracles/film_balance.py
"""

import importlib.metadata
import json
import math
import pathlib
import platform
import random

import pint
from scipy import stats
from uncertainties import ufloat

units = pint.UnitRegistry()
units.define("gauge_of_film = 0.01 * thou")
Q = units.Quantity


def si(value, unit):
    return float(value.to(unit).magnitude)


# density g/cm3, width in, thickness gauge, length ft, width on load in, overall stretch %
FILMS = [(0.918, 20, 80, 6000, 17, 250), (0.918, 20, 60, 7538.1, 18, 200),
         (0.92, 19.685, 90.55, 4921.26, 17.7, 300), (0.915, 30, 47, 9000, 25.5, 150),
         (0.925, 15, 120, 1500, 15, 0)]


def film(density, width, thickness, length, on_load, stretch):
    rho, w = Q(density, "g/cm**3"), Q(width, "inch")
    t, length_q = Q(thickness, "gauge_of_film"), Q(length, "foot")
    w1, grown = Q(on_load, "inch"), 1 + stretch / 100
    mass = (rho * w * t * length_q).to("pound")
    return {
        "density": density, "width": width, "thickness": thickness, "length": length,
        "on_load": on_load, "stretch": stretch,
        "mass_lb": si(mass, "pound"),
        "yield_in2_per_lb": si(1 / (rho * t), "inch**2/pound"),
        "thickness_back_gauge": si(mass / (rho * w * length_q), "gauge_of_film"),
        "neck_in_percent": si((w - w1) / w, "percent"),
        "thickness_on_load_gauge": si(t * w / w1 / grown, "gauge_of_film"),
        "length_of_6_oz_ft": si(Q(6, "ounce") / (rho * w * t), "foot"),
    }


# pairs of marks, in inches: on the roll, after; each good to 1/8 in either way
MARKS = [[(10, 35)], [(20, 70), (20, 69.5), (20, 70.5)], [(10, 30), (10, 31)],
         [(10, 25), (12, 30), (20, 50), (20, 50.25)], [(10, 10)]]


def marks(pairs):
    half = 0.125 / math.sqrt(3)
    stretches = [ufloat(after, half) / ufloat(before, half) - 1 for before, after in pairs]
    mean = sum(stretches) / len(stretches)
    values = [stretch.nominal_value for stretch in stretches]
    read, spread = mean.std_dev, 0.0
    n = len(values)
    if n > 1:
        centre = sum(values) / n
        spread = math.sqrt(sum((x - centre) ** 2 for x in values) / (n - 1) / n)
    if spread > read:
        u, k = spread, float(stats.t.ppf(0.975, n - 1))
    else:
        u, k = read, float(stats.norm.ppf(0.975))
    return {"pairs_in": pairs, "mean": mean.nominal_value, "uncertainty": u, "half_width": k * u}


def balance(given):
    """given: name -> [value, standard uncertainty, degrees of freedom or null]."""
    at = {name: ufloat(value, u, tag=name) for name, (value, u, _) in given.items()}
    per_metre = at["density"] * at["width"] * at["thickness"]
    predicted_length = at["path"] / (1 + at["stretch"])
    predicted = per_metre * predicted_length
    weighed_length = at["weighed"] / per_metre
    results = {
        "predicted_length": predicted_length,
        "predicted": predicted,
        "weighed_length": weighed_length,
        "effective_stretch": at["path"] / weighed_length - 1,
        "difference": at["weighed"] - predicted,
        "ratio": at["weighed"] / predicted,
    }
    out = {}
    for name, result in results.items():
        parts = {variable.tag: part for variable, part in result.error_components().items()}
        over = sum(part ** 4 / given[tag][2] for tag, part in parts.items() if given[tag][2])
        df = result.std_dev ** 4 / over if over else math.inf
        k = float(stats.t.ppf(0.975, df)) if math.isfinite(df) else float(stats.norm.ppf(0.975))
        out[name] = [result.nominal_value, result.std_dev, k * result.std_dev]
    return {"given": given, "result": out}


pick = random.Random(20_261_125)


def a_case():
    def estimate(low, high, relative, counted):
        value = pick.uniform(low, high)
        df = pick.choice([None, 1, 2, 4, 9]) if counted else None
        return [value, value * pick.uniform(0, relative), df]

    return {
        "path": estimate(10, 200, 0.02, False),
        "stretch": estimate(0.5, 4, 0.05, True),
        "density": estimate(915, 925, 0.003, False),
        "width": estimate(0.25, 0.75, 0.01, False),
        "thickness": estimate(9e-6, 30e-6, 0.05, True),
        "weighed": estimate(0.05, 0.6, 0.05, True),
    }


# Two worked by hand elsewhere, then chance.
FIXED = [
    {"path": [2933.3333333 * 0.0254, 0.5, None], "stretch": [2.5, 0.02, 2],
     "density": [918.0, 0.6, None], "width": [0.508, 0.0018, None],
     "thickness": [15.24e-6, 0.44e-6, None], "weighed": [0.1512929, 0.004, 3]},
    {"path": [52.0, 0.6, None], "stretch": [2.0, 0.0, None], "density": [920.0, 2.9, None],
     "width": [0.5, 0.0018, None], "thickness": [17e-6, 0.3e-6, 4],
     "weighed": [0.170, 0.002, None]},
]

made = {
    "made_by": "tests/oracles/film_balance.py",
    "versions": {"python": platform.python_version(), "pint": pint.__version__,
                 "scipy": importlib.metadata.version("scipy"),
                 "uncertainties": importlib.metadata.version("uncertainties")},
    "film": [film(*one) for one in FILMS],
    "marks": [marks(pairs) for pairs in MARKS],
    "balance": [balance(given) for given in FIXED + [a_case() for _ in range(60)]],
}
path = pathlib.Path(__file__).with_suffix(".json")
rows = [
    f' "{name}": ' + ("[\n  " + ",\n  ".join(map(json.dumps, value)) + "\n ]"
                     if isinstance(value, list) else json.dumps(value))
    for name, value in made.items()
]
path.write_text("{\n" + ",\n".join(rows) + "\n}\n", encoding="utf-8")
print(path.name, {name: len(made[name]) for name in ("film", "marks", "balance")})
