"""Reference values of the shelf (nearest dated clubs voting), by its reference implementation and general libraries.

Run in a virtual environment with numpy, scipy, scikit-learn and statsmodels installed:

    python tests/reference/make_shelf_reference.py

It rewrites shelf_fits.json, shelf_exponents.json, shelf_kernel_regression.json, normal_quantiles.csv and
normal_cdf.csv beside it, and asserts what scikit-learn and statsmodels can confirm. Versions: SOURCES.md.
"""

import csv
import json
import math
import pathlib

import numpy as np
import scipy.special
import shelf_reference as reference
from sklearn.linear_model import Ridge
from statsmodels.nonparametric.kernel_density import KDEMultivariateConditional
from statsmodels.nonparametric.kernel_regression import KernelReg

HERE = pathlib.Path(__file__).parent
DATA = HERE.parent / "data"
TARGETS = 12
LEVELS = {"cylinders": ["n3", "n4", "n5", "n6", "n8"], "origin": ["o1", "o2", "o3"]}


def write_csv(name, heading, rows):
    with open(HERE / name, "w", newline="") as out:
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(heading)
        writer.writerows([[repr(float(x)) for x in row] for row in rows])


def plain_values(value):
    """A value of JSON from one of NumPy; floats are written so that reading them gives the same bits."""
    if isinstance(value, dict):
        return {key: plain_values(x) for key, x in value.items()}
    if isinstance(value, (list, tuple, np.ndarray)):
        return [plain_values(x) for x in value]
    if isinstance(value, np.generic):
        return value.item()
    return value


def write_json(name, records):
    """A list of records; each key of a record on its own line."""
    texts = []
    for record in plain_values(records):
        lines = [f"  {json.dumps(key)}: {json.dumps(value)}" for key, value in record.items()]
        texts.append(" {\n" + ",\n".join(lines) + "\n }")
    (HERE / name).write_text("[\n" + ",\n".join(texts) + "\n]\n")


class Collection:
    """Dated clubs with their readings as arrays, columns in order of clue id."""

    def __init__(self, name, file, measures, levels, ln, axis, every=1, gaps=False):
        self.name, self.axis = name, axis
        self.measures, self.levels = sorted(measures), sorted(levels)
        clues = sorted(self.measures + self.levels)
        with open(DATA / file, newline="") as text:
            table = list(csv.DictReader(text))[::every]
        assert all(row["made_from"] == row["made_to"] for row in table)
        if gaps:
            for i, row in enumerate(table):
                row.update({clue: "" for c, clue in enumerate(clues) if (i * 7 + c * 5) % 6 == 0})
        self.ids = [row["id"] for row in table]
        self.y = np.array([int(row["made_from"]) for row in table])
        self.n = len(table)

        def measure(text):
            return math.nan if text == "" else (math.log(float(text)) if ln else float(text))

        def level(clue, text):
            return -1 if text == "" else LEVELS[clue].index(text)

        self.X = np.array([[measure(row[clue]) for clue in self.measures] for row in table]).reshape(self.n, -1)
        self.L = np.array([[level(clue, row[clue]) for clue in self.levels] for row in table], int)
        self.L = self.L.reshape(self.n, len(self.levels))
        self.K = [len(LEVELS[clue]) for clue in self.levels]
        first, end, step = axis
        self.years = np.arange(first, end)
        near = np.exp(-(((self.years[:, None] - self.y[None]) / (1.5 * step)) ** 2) / 2).sum(1) + 0.3
        self.prior = near / near.sum()
        # A long axis is written at every fiftieth year, and summed over its steps.
        self.listed = self.years[:: 50 if len(self.years) > 100 else 1]
        self.even = clues[::2]

    def targets(self, clues=None):
        """Rows of the targets, and their readings; only of some clues if they are given."""
        rows = [k * self.n // TARGETS for k in range(TARGETS)]
        L, X = self.L[rows].copy(), self.X[rows].copy()
        if clues is not None:
            L[:, [clue not in clues for clue in self.levels]] = -1
            X[:, [clue not in clues for clue in self.measures]] = math.nan
        return rows, L, X

    def by_step(self, p):
        return np.add.reduceat(p, np.arange(0, len(self.years), self.axis[2]))

    def written(self, p):
        return {"p": p[self.listed - self.axis[0]], "by_step": self.by_step(p)}

    def fit(self, **options):
        return reference.fit(self.y, self.L, self.X, self.K, self.prior, self.axis[0], **options)

    def row_names(self, shelf):
        """Clue and kind of each row of distances."""
        names = []
        for j in shelf.use:
            names += [(self.measures[j], kind) for kind in ["differs"] * shelf.rep[j] + ["distance"]]
        return names + [(self.levels[c], "level") for c in shelf.use_levels]


def collections():
    cars = ["acceleration", "displacement", "horsepower", "mpg", "weight"]
    return [
        Collection("skulls", "egyptian_skulls.csv", ["mb", "bh", "bl", "nh"], [], False, (-4250, 500, 250)),
        Collection("cars", "car_model_years.csv", cars, LEVELS, True, (1970, 1983, 1)),
        Collection("gaps", "car_model_years.csv", cars, LEVELS, True, (1960, 1990, 5), every=3, gaps=True),
    ]


def refined(shelf, at_start=False):
    rows = len(shelf.b)
    record = {"score": shelf.score, "ln_worths": shelf.refined.x[:rows], "g": shelf.g, "h": shelf.h}
    record["steps"] = shelf.refined.nit
    return {"score_at_start": shelf.score_at_start, **record} if at_start else record


def grid(shelf):
    return dict(zip(("score", "rho", "g", "h"), shelf.grid, strict=True))


def fit_record(collection, shelf):
    features = [(collection.measures[j], None) for j in shelf.use]
    features += [(collection.levels[c], level) for c in shelf.use_levels for level in LEVELS[collection.levels[c]]]
    votes = []
    for readings, clues in [("all", None), ("even", collection.even)]:
        rows, L, X = collection.targets(clues)
        for row, p in zip(rows, reference.vote(shelf, L, X), strict=True):
            votes.append({"row": row, "id": collection.ids[row], "readings": readings, **collection.written(p)})
    first, end, step = collection.axis
    return {
        "name": collection.name,
        "axis": {"from": first, "to": end, "step": step},
        "n": collection.n,
        "listed_years": collection.listed,
        "prior": collection.written(collection.prior),
        "z": shelf.z,
        "fold": shelf.fold,
        "measured": [
            {"id": collection.measures[j], "mu": shelf.mu[j], "sd": shelf.sd[j], "differs": shelf.rep[j]}
            for j in shelf.use
        ],
        "levels": [
            {"id": collection.levels[c], "levels": LEVELS[collection.levels[c]], "shares": shelf.fr[c]}
            for c in shelf.use_levels
        ],
        "alpha": shelf.alpha,
        "beta": [
            {"clue": clue, "level": level, "beta": beta}
            for (clue, level), beta in zip(features, shelf.beta, strict=True)
        ],
        "gains": [
            {"clue": clue, "gain": gain}
            for clue, gain in zip(dict.fromkeys(clue for clue, _ in features), shelf.gain, strict=True)
        ],
        "rows": [
            {"clue": clue, "kind": kind, "start_worth": worth}
            for (clue, kind), worth in zip(collection.row_names(shelf), shelf.start_worth, strict=True)
        ],
        "heap": shelf.heap,
        "least_width": shelf.least,
        "tau": reference.tau(collection.n),
        "grid": grid(shelf),
        "refined": refined(shelf, at_start=True),
        "refined_to_the_end": refined(collection.fit(to_the_end=True)),
        "plain_grid": grid(collection.fit(plain=True)),
        "even_clues": collection.even,
        "no_evidence": collection.written(reference.no_evidence(shelf)),
        "votes": votes,
    }


def ridge_by_sklearn(cars, gaps):
    """The allowance is scikit-learn's ridge, and its closed-form leave-one-out is leaving one out."""
    shelf = cars
    F, z = shelf.F, shelf.z
    theirs = Ridge(alpha=shelf.alpha, fit_intercept=False).fit(F, z - z.mean()).coef_
    apart = np.abs(theirs - shelf.beta).max()
    print(f"cars: beta and scikit-learn's ridge differ by at most {apart:.1e}")
    assert apart < 1e-10
    F, z = gaps.F, gaps.z
    for alpha in (1, 16):
        total = 0.0
        for i in range(len(z)):
            rest = np.arange(len(z)) != i
            without = Ridge(alpha=alpha, fit_intercept=False).fit(F[rest], z[rest] - z[rest].mean())
            total += (z[i] - z[rest].mean() - without.predict(F[i : i + 1])[0]) ** 2
        closed = reference.leave_one_out(F, z, alpha)
        print(f"gaps: penalty {alpha}: leave-one-out {closed:.6f}, by brute force {total:.6f}")
        assert abs(closed / total - 1) < 0.02


def kernel_regression(collection, shelf, clues):
    """Without allowance the shelf is a kernel regression and a conditional kernel distribution of statsmodels.

    exp(-B d/2) is a Gaussian kernel of width 1/sqrt(B) in sqrt(d). So the root of each distance to a target is given
    to statsmodels as a regressor, and asked for where they are all 0.
    """
    rows, L, X = collection.targets(clues)
    D, _ = reference.distances(shelf, L, X)
    worths = shelf.b * shelf.rho
    shelf.g, g = 0.0, shelf.g
    ours = reference.vote(shelf, L, X)
    shelf.g = g
    targets, apart = [], 0.0
    for t, row in enumerate(rows):
        used = [r for r in range(len(D)) if D[r, t].any()]
        roots, widths = np.sqrt(D[used, t].T), 1 / np.sqrt(worths[used])
        kinds, nought = "c" * len(used), np.zeros((1, len(used)))
        mean = KernelReg(shelf.z, roots, kinds, reg_type="lc", bw=widths).fit(nought)[0][0]
        density = KDEMultivariateConditional(shelf.z, roots, "c", kinds, bw=np.r_[shelf.h, widths])
        inner = shelf.edges[1:-1]
        below = density.cdf(inner[:, None], np.repeat(nought, len(inner), 0))
        p = 0.95 * np.diff(np.r_[0, below, 1]) + 0.05 * collection.prior
        l = -0.5 * worths @ D[:, t]
        w = np.exp(l - l.max())
        apart = max(apart, np.abs(p - ours[t]).max(), abs(w @ shelf.z / w.sum() - mean))
        targets.append({"row": row, "id": collection.ids[row], "mean_z": mean, **collection.written(p)})
    print(f"{collection.name}, {clues or 'all'}: statsmodels and the reference differ by at most {apart:.1e}")
    assert apart < 1e-10
    names = collection.row_names(shelf)
    return {
        "collection": collection.name,
        "clues": clues or sorted(collection.measures + collection.levels),
        "rows": [{"clue": c, "kind": k, "worth": b} for (c, k), b in zip(names, worths, strict=True)],
        "g": 0.0,
        "h": shelf.h,
        "targets": targets,
    }


def exponent_cases():
    """Tables and shelf of sixty made-up clubs over 24 years, by formula.

    Group 3 says nothing in the second case; in the third all are three times as far off, and no exponent is at a bound.
    """
    n, C, Y = 60, 4, 24
    widths = [3.0, 4.0, 6.0, 12.0]
    true = (np.arange(n) * 7) % Y
    years = np.arange(Y)
    prior = (1.0 + years) / (1.0 + years).sum()
    ln_prior = np.tile(np.log(prior), (n, 1))
    cases = []
    for name, silent, stretch in [("all groups", [], 1.0), ("group 3 silent", [3], 1.0), ("far off", [], 3.0)]:
        active = np.array([c not in silent for c in range(C)])
        tables = np.zeros((n, C, Y))
        ratio = np.zeros((n, Y))
        for i in range(n):
            for c in range(C):
                off = stretch * ((i * (3 + 2 * c) + c * c) % 7 - 3) * 0.9
                if active[c] and not (c == 2 and i % 5 == 0):
                    tables[i, c] = -0.5 * ((years - (true[i] + off)) / widths[c]) ** 2
            off = stretch * ((i * 11) % 5 - 2) * 1.1
            ratio[i] = -0.5 * ((years - (true[i] + off)) / 3.5) ** 2
        w, m0, b0, value, slope = reference.exponents(tables, active, ratio, ln_prior, true)
        inside = (w > 0) & (w < 1.2)
        print(f"exponents, {name}: {w}, {value}, steepest slope inside {np.abs(slope[inside]).max():.1e}")
        case = {"name": name, "active": active, "stretch": stretch}
        cases.append({**case, "m0": m0, "b0": b0, "weights": w, "objective": value})
    return cases


def normals():
    tails = [1e-9, 1e-8, 1e-7, 1e-6, 1e-5, 1e-4, 0.001, 0.0025, 0.005, 0.01, 0.02, 0.025, 0.03, 0.05, 0.075, 0.1]
    middle = [0.15, 0.2, 0.25, 0.3, 0.35, 0.4, 0.425, 0.45, 0.48, 0.499]
    low = tails + middle
    p = np.array(low + [0.5] + [1 - q for q in reversed(low)])
    write_csv("normal_quantiles.csv", ["p", "z"], zip(p, scipy.special.ndtri(p), strict=True))
    x = np.arange(-32, 33) / 4
    write_csv("normal_cdf.csv", ["x", "p"], zip(x, scipy.special.ndtr(x), strict=True))


def main():
    normals()
    write_json("shelf_exponents.json", exponent_cases())
    skulls, cars, gaps = collections()
    shelves = {collection.name: collection.fit() for collection in (skulls, cars, gaps)}
    records = [fit_record(collection, shelves[collection.name]) for collection in (skulls, cars, gaps)]
    write_json("shelf_fits.json", records)
    for record in records:
        print(record["name"], record["n"], "grid", record["grid"], "plain", record["plain_grid"])
        print("   refined", record["refined"], "\n   to the end", record["refined_to_the_end"])
        print("   heap, least width, penalty", record["heap"], record["least_width"], record["alpha"])
    ridge_by_sklearn(shelves["cars"], shelves["gaps"])
    cases = [(cars, ["weight"]), (cars, None), (gaps, None), (skulls, ["mb"])]
    write_json("shelf_kernel_regression.json", [kernel_regression(c, shelves[c.name], clues) for c, clues in cases])


if __name__ == "__main__":
    main()
