"""Independent values for the regression through the origin of tautbook-core.

Writes regression_statsmodels.json beside this file: made-up layers and forces fitted by
statsmodels (OLS without a constant, its prediction limits, and compare_f_test for one common
slope and for lack of fit).

    python3 -m pip install statsmodels
    python3 tests/oracles/regression_statsmodels.py
"""

import json
import pathlib
import platform

import numpy
import scipy
import statsmodels
import statsmodels.api as sm


def texts(values):
    """Doubles as their shortest exact text."""
    return [repr(float(v)) for v in numpy.atleast_1d(values)]


def fits(generator):
    rows = []
    for n, slope, scatter in [(2, 8.0, 0.5), (3, 9.5, 1.0), (6, 7.2, 2.0), (12, 11.0, 0.1),
                              (40, 3.3, 4.0)]:
        x = generator.integers(1, 7, n).astype(float)
        y = slope * x + generator.normal(0, scatter, n)
        model = sm.OLS(y, x.reshape(-1, 1)).fit()
        predictions = []
        for x0 in (0.5, 3.0, 8.0):
            for confidence in (0.9, 0.95, 0.99):
                # One-sided: the lower limit of a two-sided interval with twice the tail.
                frame = model.get_prediction([[x0]]).summary_frame(alpha=2 * (1 - confidence))
                predictions.append(texts([x0, confidence, frame["obs_ci_lower"].iloc[0],
                                          frame["mean_ci_lower"].iloc[0],
                                          frame["obs_ci_upper"].iloc[0],
                                          frame["mean_ci_upper"].iloc[0]]))
        row = {"x": texts(x), "y": texts(y),
               "slope_se_sd_ss": texts([model.params[0], model.bse[0],
                                        numpy.sqrt(model.mse_resid), model.ssr]),
               "predictions": predictions}
        if n > 3:
            levels = numpy.unique(x)
            cells = sm.OLS(y, (x[:, None] == levels[None, :]).astype(float)).fit()
            row["lack_of_fit"] = texts(cells.compare_f_test(model))
            line = sm.OLS(y, sm.add_constant(x)).fit()
            row["intercept"] = texts([line.params[0], *line.compare_f_test(model)])
        rows.append(row)
    return rows


def groups(generator):
    rows = []
    for slopes, sizes in [((8.0, 8.0, 8.0), (4, 5, 3)), ((8.0, 9.5, 6.0), (4, 5, 3)),
                          ((5.0, 5.2), (8, 9)), ((3.0, 3.0, 3.1), (1, 2, 6))]:
        x = [generator.integers(1, 7, n).astype(float) for n in sizes]
        y = [s * xs + generator.normal(0, 1.5, len(xs)) for s, xs in zip(slopes, x)]
        all_x, all_y = numpy.concatenate(x), numpy.concatenate(y)
        design = numpy.zeros((len(all_x), len(sizes)))
        start = 0
        for column, n in enumerate(sizes):
            design[start:start + n, column] = all_x[start:start + n]
            start += n
        full = sm.OLS(all_y, design).fit()
        one = sm.OLS(all_y, all_x.reshape(-1, 1)).fit()
        f, p, _ = full.compare_f_test(one)
        rows.append({"x": [texts(v) for v in x], "y": [texts(v) for v in y],
                     "slopes": texts(full.params), "se_common_spread": texts(full.bse),
                     "pooled_slope_se": texts([one.params[0], one.bse[0]]),
                     "f_p": texts([f, p])})
    return rows


def main():
    generator = numpy.random.default_rng(20260301)
    result = {
        "made_by": "tests/oracles/regression_statsmodels.py",
        "versions": {"python": platform.python_version(), "numpy": numpy.__version__,
                     "scipy": scipy.__version__, "statsmodels": statsmodels.__version__},
        "fits": fits(generator),
        "groups": groups(generator),
    }
    pathlib.Path(__file__).with_suffix(".json").write_text(
        json.dumps(result, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
