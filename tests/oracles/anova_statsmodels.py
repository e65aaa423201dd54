"""Independent values for the analysis of variance of tautbook-core.

Writes anova_statsmodels.json beside this file:

* for every NIST StRD one-way data set that the repository keeps: F, R-squared and the residual
  standard deviation of the nearest doubles, in 60-digit arithmetic (mpmath). What lies between
  these and the certified values is lost by writing the data as doubles, before any computing;
* made-up one-way data, even and uneven: scipy's f_oneway, and the variance between groups by
  statsmodels' MixedLM (REML, which for even groups and a variance above zero is the same);
* made-up part x person x trial data: statsmodels' anova_lm.

    python3 -m pip install statsmodels pandas mpmath
    python3 tests/oracles/anova_statsmodels.py
"""

import json
import pathlib
import platform

import mpmath
import numpy
import pandas
import scipy
import statsmodels
import statsmodels.formula.api as smf
from scipy import stats
from statsmodels.stats.anova import anova_lm

mpmath.mp.dps = 60
HERE = pathlib.Path(__file__).parent


def text(value):
    return repr(float(value))


def nist():
    rows = {}
    folder = HERE.parent.parent / "core/tests/it/data/nist-strd/anova"
    for path in sorted(folder.glob("*.dat")):
        groups = {}
        for line in path.read_text().splitlines()[60:]:
            treatment, value = line.split()
            groups.setdefault(int(treatment), []).append(mpmath.mpf(float(value)))
        every = [x for group in groups.values() for x in group]
        grand = mpmath.fsum(every) / len(every)
        between = mpmath.fsum(len(g) * (mpmath.fsum(g) / len(g) - grand) ** 2
                              for g in groups.values())
        within = mpmath.fsum((x - mpmath.fsum(g) / len(g)) ** 2
                             for g in groups.values() for x in g)
        df = (len(groups) - 1, len(every) - len(groups))
        rows[path.stem] = [text(between / df[0] / (within / df[1])),
                           text(between / (between + within)),
                           text(mpmath.sqrt(within / df[1]))]
    return rows


def one_way(generator):
    rows = []
    for sizes, spread in [((5, 5, 5, 5), 3.0), ((3, 7, 4), 1.0), ((2, 1, 6, 9, 3), 0.2),
                          ((12, 12), 2.0)]:
        groups = [generator.normal(40 + generator.normal(0, spread), 1.5, n) for n in sizes]
        f, p = stats.f_oneway(*groups)
        row = {"groups": [[text(x) for x in group] for group in groups], "f_p": [text(f), text(p)]}
        if len(set(sizes)) == 1 and f > 1:
            frame = pandas.DataFrame({"y": numpy.concatenate(groups),
                                      "g": numpy.repeat(range(len(sizes)), sizes[0])})
            fitted = smf.mixedlm("y ~ 1", frame, groups=frame["g"]).fit(reml=True)
            row["mixed_sr_sl"] = [text(numpy.sqrt(fitted.scale)),
                                  text(numpy.sqrt(fitted.cov_re.iloc[0, 0]))]
        rows.append(row)
    return rows


def crossed(generator):
    rows = []
    for parts, people, trials, mixed in [(5, 3, 2, 0.0), (10, 2, 3, 1.0), (4, 4, 4, 0.5)]:
        y = (50 + generator.normal(0, 4, (parts, 1, 1)) + generator.normal(0, 1, (1, people, 1))
             + generator.normal(0, 1, (parts, people, 1)) * mixed
             + generator.normal(0, 0.8, (parts, people, trials)))
        index = numpy.indices(y.shape).reshape(3, -1)
        frame = pandas.DataFrame({"y": y.ravel(), "part": index[0], "person": index[1]})
        table = anova_lm(smf.ols("y ~ C(part) * C(person)", frame).fit())
        names = ["C(part)", "C(person)", "C(part):C(person)", "Residual"]
        rows.append({
            "readings": [[[text(x) for x in cell] for cell in row] for row in y],
            "ss": [text(table.loc[name, "sum_sq"]) for name in names],
            "interaction_f_p": [text(table.loc[names[2], "F"]),
                                text(table.loc[names[2], "PR(>F)"])],
        })
    return rows


def main():
    generator = numpy.random.default_rng(20260302)
    result = {
        "made_by": "tests/oracles/anova_statsmodels.py",
        "versions": {"python": platform.python_version(), "numpy": numpy.__version__,
                     "scipy": scipy.__version__, "statsmodels": statsmodels.__version__,
                     "pandas": pandas.__version__, "mpmath": mpmath.__version__},
        "nist_doubles": nist(),
        "one_way": one_way(generator),
        "crossed": crossed(generator),
    }
    (HERE / "anova_statsmodels.json").write_text(json.dumps(result, indent=1) + "\n",
                                                 encoding="utf-8")


if __name__ == "__main__":
    main()
