"""An opponent for the dating model: seven general-purpose learners and their stack, each with a whole distribution.

Run in a virtual environment with ngboost, numpy, scipy and scikit-learn installed (versions: SOURCES.md), about a
quarter of an hour on one core:

    python tests/reference/make_stack.py

It rewrites stack_draws.csv (which clubs are learned from and which are dated), stack_scores.csv (means over the clubs
dated) and stack_weights.csv (how the stack weighs its learners) beside it. The clubs dated take no part in any
choice. What each learner says is mixed with 2 % of how often the years are, so that no log score is infinite.
"""

import os

os.environ["OMP_NUM_THREADS"] = "1"  # One core; and sums in one order, so that a run repeats.
os.environ["OPENBLAS_NUM_THREADS"] = "1"

import csv
import pathlib
import time
import warnings

import numpy as np
from ngboost import NGBRegressor
from ngboost.distns import Normal
from scipy.special import ndtr
from sklearn.discriminant_analysis import LinearDiscriminantAnalysis
from sklearn.ensemble import HistGradientBoostingClassifier, HistGradientBoostingRegressor, RandomForestRegressor
from sklearn.gaussian_process import GaussianProcessRegressor
from sklearn.gaussian_process.kernels import RBF, ConstantKernel, WhiteKernel
from sklearn.linear_model import LogisticRegression
from sklearn.model_selection import KFold
from sklearn.naive_bayes import GaussianNB
from sklearn.tree import DecisionTreeRegressor

HERE = pathlib.Path(__file__).parent
DATA = HERE.parent / "data"
N_DRAWS = 3
N_FOLDS = 10
PRIOR_SHARE = 0.02
# Kernels that spread one year, in steps of the axis: from half a step, so that no learner may bet on single years.
KERNEL_STEPS = (0.5, 1.0, 2.0, 3.0)


class Collection:
    """The clubs of a table, and the axis that they are dated on."""

    def __init__(self, name, file, first_year, end, step, measured, levels, ln, sizes, most_dated):
        self.name, self.step, self.sizes, self.most_dated = name, step, sizes, most_dated
        self.years = np.arange(first_year, end)
        with open(DATA / file, newline="") as table:
            rows = list(csv.DictReader(table))
        assert all(row["made_from"] == row["made_to"] for row in rows), "each club is of one year"
        self.ids = [row["id"] for row in rows]
        self.dates = np.array([int(row["made_from"]) for row in rows])
        self.measures = np.array([[float(row[clue] or "nan") for clue in measured] for row in rows])
        if ln:
            self.measures = np.log(self.measures)
        self.levels = np.array([[row[clue] for clue in levels] for row in rows]).reshape(len(rows), len(levels))

    def features(self, train, new):
        """Arrays of two sets of rows: gaps filled by the median, and told; measures in units of their spread."""
        known = self.measures[train]
        medians = np.nanmedian(known, axis=0)
        filled = np.where(np.isnan(self.measures), medians, self.measures)
        centre, spread = filled[train].mean(axis=0), filled[train].std(axis=0)
        columns = [(filled - centre) / np.where(spread > 0.0, spread, 1.0)]
        with_gaps = np.isnan(known).any(axis=0)
        columns.append(np.isnan(self.measures)[:, with_gaps].astype(float))
        for own in self.levels.T:
            seen = sorted(set(own[train]))  # A gap in a level is a level of its own.
            columns.append((own[:, None] == np.array(seen)).astype(float))
        every = np.hstack(columns)
        return every[train], every[new]

    def class_years(self, dates):
        """Each date's class over the years: even over one step of the axis, the date in its middle.

        A learner of classes is not told that the skulls are of five exact years: the model that it is held against is
        not told either. The middle is in the learner's favour.
        """
        first = np.asarray(dates)[:, None] - self.step // 2
        spread = ((self.years >= first) & (self.years < first + self.step)).astype(float)
        return spread / spread.sum(axis=1, keepdims=True)

    def prior(self, dates):
        """How often the years are among the dates; half a club for each step of the axis keeps every year possible."""
        mass = self.class_years(dates).sum(axis=0) + 0.5 / self.step
        return mass / mass.sum()

    def normals(self, means, deviations):
        """Normal distributions over whole years, a year from half before to half after it; cut to the axis."""
        edges = np.append(self.years - 0.5, self.years[-1] + 0.5)
        below = ndtr((edges - np.asarray(means)[..., None]) / np.asarray(deviations)[..., None])
        mass = np.diff(below, axis=-1) + 1e-300
        return mass / mass.sum(axis=-1, keepdims=True)


# Each learner takes a collection, the features and dates that it learns from and the features to date. It yields the
# name of a setting and distributions over the years, a row for each club to date; settings are chosen in the folds.


def of_classes(collection, model, x, dates, x_new):
    model.fit(x, dates)
    return model.predict_proba(x_new) @ collection.class_years(model.classes_)


def gaussian_nb(collection, x, dates, x_new):
    for smoothing in (1e-2, 1e-1, 1.0, 3.0, 10.0):  # The default is for columns that do vary: a one-hot one may not.
        yield f"smoothing {smoothing}", of_classes(collection, GaussianNB(var_smoothing=smoothing), x, dates, x_new)


def shrunk_lda(collection, x, dates, x_new):
    for shrinkage in ("auto", 0.1, 0.3, 0.6):  # Ledoit and Wolf's rule errs where a class has one or two members.
        model = LinearDiscriminantAnalysis(solver="lsqr", shrinkage=shrinkage)
        yield f"shrinkage {shrinkage}", of_classes(collection, model, x, dates, x_new)


def logistic(collection, x, dates, x_new):
    for c in (0.01, 0.1, 1.0, 10.0):
        yield f"C {c}", of_classes(collection, LogisticRegression(C=c, max_iter=5000), x, dates, x_new)


def random_forest(collection, x, dates, x_new):
    for least in (3, 8):
        forest = RandomForestRegressor(500, min_samples_leaf=least, max_features=0.5, random_state=0)
        leaves, leaves_new = forest.fit(x, dates).apply(x), forest.apply(x_new)
        # The share of a learned club in a distribution: how often it is in the same leaf, by the size of the leaf.
        shares = np.zeros((len(x_new), len(x)))
        for own, own_new in zip(leaves.T, leaves_new.T):
            same = own_new[:, None] == own
            shares += same / same.sum(axis=1, keepdims=True)
        for steps in KERNEL_STEPS:
            kernels = collection.normals(dates, np.full(len(dates), steps * collection.step))
            yield f"leaf {least} kernel {steps}", shares @ kernels / forest.n_estimators


def hist_boosting(collection, x, dates, x_new):
    """Boosted trees in two forms: of classes; and of ten quantiles, each a likely year spread by a kernel."""
    common = {"learning_rate": 0.1, "min_samples_leaf": 5, "max_leaf_nodes": 8, "early_stopping": False}
    stages = (10, 30, 100)
    boosted = HistGradientBoostingClassifier(max_iter=stages[-1], random_state=0, **common).fit(x, dates)
    spread = collection.class_years(boosted.classes_)
    for stage, p in enumerate(boosted.staged_predict_proba(x_new), 1):
        if stage in stages:
            yield f"classes rounds {stage}", p @ spread
    points = {stage: [] for stage in stages}
    for level in (np.arange(10) + 0.5) / 10:
        boosted = HistGradientBoostingRegressor(
            loss="quantile", quantile=level, max_iter=stages[-1], random_state=0, **common
        ).fit(x, dates)
        for stage, predicted in enumerate(boosted.staged_predict(x_new), 1):
            if stage in stages:
                points[stage].append(predicted)
    for stage in stages:
        for steps in KERNEL_STEPS:
            each = (collection.normals(own, np.full(len(own), steps * collection.step)) for own in points[stage])
            yield f"quantiles rounds {stage} kernel {steps}", sum(each) / 10


def gaussian_process(collection, x, dates, x_new):
    lengths = {"isotropic": np.sqrt(x.shape[1]), "ARD": np.full(x.shape[1], np.sqrt(x.shape[1]))}
    for name, length in lengths.items():
        kernel = ConstantKernel(1.0, (1e-2, 1e2)) * RBF(length, (1e-1, 1e3)) + WhiteKernel(0.5, (1e-3, 1e1))
        process = GaussianProcessRegressor(kernel, normalize_y=True, random_state=0).fit(x, dates)
        yield name, collection.normals(*process.predict(x_new, return_std=True))  # The noise is in the deviation.


def ngboost(collection, x, dates, x_new):
    centre, spread = dates.mean(), dates.std()
    stages = (10, 25, 50, 100)
    for depth, share in ((2, 1.0), (3, 1.0), (3, 0.5)):  # The share of the rows and columns that a round sees.
        boosted = NGBRegressor(
            Dist=Normal,
            Base=DecisionTreeRegressor(criterion="friedman_mse", max_depth=depth, min_samples_leaf=3, random_state=0),
            n_estimators=stages[-1],
            learning_rate=0.05,
            minibatch_frac=share,
            col_sample=share,
            verbose=False,
            random_state=0,
        ).fit(x, (dates - centre) / spread)
        staged = list(boosted.staged_pred_dist(x_new))
        for stage in stages:
            normal = staged[min(stage, len(staged)) - 1].params
            yield f"depth {depth} share {share} rounds {stage}", collection.normals(
                centre + spread * normal["loc"], spread * normal["scale"]
            )


LEARNERS = [gaussian_nb, shrunk_lda, logistic, random_forest, hist_boosting, gaussian_process, ngboost]


def dated(learner, collection, train, new):
    """What a learner with each of its settings says of the new rows, mixed with 2 % of the prior."""
    x, x_new = collection.features(train, new)
    dates = collection.dates[train]
    prior = collection.prior(dates)
    for setting, p in learner(collection, x, dates, x_new):
        assert np.allclose(p.sum(axis=1), 1.0), f"{learner.__name__} {setting}: not a distribution"
        yield setting, (1.0 - PRIOR_SHARE) * p + PRIOR_SHARE * prior


def shortest_set_holds(p, place, level):
    """Whether the place is in the shortest set with at least `level`: by falling probability, ties to the earlier."""
    key = np.round(p * 1e15)  # Years that differ by rounding alone are tied.
    order = np.argsort(-key, kind="stable")
    n_chosen = np.searchsorted(np.cumsum(p[order]), level - 1e-12) + 1
    return place in order[:n_chosen]


def scores(collection, p, rows):
    """Mean scores of distributions p, one a row, against the known years."""
    truth = collection.dates[rows]
    places = truth - collection.years[0]
    cumulative = np.cumsum(p, axis=1)
    after = collection.years >= truth[:, None]
    medians = collection.years[(cumulative >= 0.5 - 1e-12).argmax(axis=1)]
    covered = [np.mean([shortest_set_holds(q, k, level) for q, k in zip(p, places)]) for level in (0.8, 0.95)]
    return {
        "log_score": np.log(p[np.arange(len(rows)), places]).mean(),
        "crps": ((cumulative - after) ** 2).sum(axis=1).mean(),
        "mae": np.abs(medians - truth).mean(),
        "covered_80": covered[0],
        "covered_95": covered[1],
    }


def stack_weights(likelihoods):
    """Convex weights with the greatest sum of ln(likelihoods @ weights): EM, which climbs to the one summit there is.

    The greatest gain less one bounds how far below the summit the mean log score is.
    """
    weights = np.full(likelihoods.shape[1], 1.0 / likelihoods.shape[1])
    for _ in range(1_000_000):
        gain = (likelihoods / (likelihoods @ weights)[:, None]).mean(axis=0)
        if gain.max() < 1.0 + 1e-7:
            break
        weights *= gain
    assert gain.max() < 1.0 + 1e-5, "the weights have not settled"
    return weights / weights.sum()


def chosen_in_folds(learner, collection, train, folds):
    """The setting with the best log score out of fold, and the likelihoods and CRPS that it has there.

    The stack is weighed in the same folds: a learner of many settings looks a little better there than it is, and no
    club to date has a part in it.
    """
    places = collection.dates - collection.years[0]
    likelihoods, crps = {}, {}
    for learned, held_out in folds:
        new = train[held_out]
        for setting, p in dated(learner, collection, train[learned], new):
            likelihoods.setdefault(setting, np.empty(len(train)))[held_out] = p[np.arange(len(new)), places[new]]
            off = np.cumsum(p, axis=1) - (collection.years >= collection.dates[new][:, None])
            crps.setdefault(setting, np.empty(len(train)))[held_out] = (off**2).sum(axis=1)
    best = max(likelihoods, key=lambda setting: np.log(likelihoods[setting]).sum())
    return best, likelihoods[best], crps[best].mean()


def one_draw(collection, train, test, seed):
    """Scores by learner, and a row of weights for each of the seven."""
    folds = list(KFold(N_FOLDS, shuffle=True, random_state=seed).split(train))
    chosen = [chosen_in_folds(learner, collection, train, folds) for learner in LEARNERS]
    likelihoods = np.array([own for _, own, _ in chosen]).T
    weights = stack_weights(likelihoods)
    refitted = [dict(dated(own, collection, train, test))[best] for own, (best, _, _) in zip(LEARNERS, chosen)]
    results = {own.__name__: scores(collection, p, test) for own, p in zip(LEARNERS, refitted)}
    # The best of the seven is told by the clubs dated themselves: a choice that nobody could have made beforehand.
    best = min(results.values(), key=lambda result: result["crps"])
    results["stack"] = scores(collection, sum(w * p for w, p in zip(weights, refitted)), test)
    results["best_of_seven_by_crps"] = best
    rows = [
        [own.__name__, f"{weight:.6f}", setting, f"{np.log(own_likelihoods).mean():.6f}", f"{crps:.6f}"]
        for own, weight, (setting, own_likelihoods, crps) in zip(LEARNERS, weights, chosen)
    ]
    return results, rows


def write_csv(name, heading, rows):
    with open(HERE / name, "w", newline="") as out:
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(heading)
        writer.writerows(rows)


def main():
    # Expected: classes of one member (Ledoit-Wolf), lengths of a kernel that grow to their bound (a clue of no use).
    warnings.filterwarnings("ignore")
    measured = ["mpg", "displacement", "horsepower", "weight", "acceleration"]
    skulls = ["mb", "bh", "bl", "nh"]
    collections = [
        Collection("skulls", "egyptian_skulls.csv", -4250, 500, 250, skulls, [], False, (50, 100), 100),
        Collection(
            "cars", "car_model_years.csv", 1970, 1983, 1, measured, ["cylinders", "origin"], True, (50, 100, 200), 190
        ),
    ]
    draws, table, weights = [], [], []
    started = time.time()
    for place, collection in enumerate(collections):
        for n in collection.sizes:
            for draw in range(1, N_DRAWS + 1):
                order = np.random.default_rng([2024, place, n, draw]).permutation(len(collection.ids))
                train, test = np.sort(order[:n]), np.sort(order[n : n + collection.most_dated])
                key = [collection.name, n, draw]
                for role, rows in (("train", train), ("test", test)):
                    draws += [[*key, collection.ids[row], role] for row in rows]
                results, own_weights = one_draw(collection, train, test, 1000 * n + draw)
                table += [[*key, own, *(f"{x:.6f}" for x in result.values())] for own, result in results.items()]
                weights += [[*key, *row] for row in own_weights]
                print(*key, f"{time.time() - started:.0f} s", flush=True)
    key = ["collection", "n", "draw"]
    write_csv("stack_draws.csv", [*key, "id", "role"], draws)
    write_csv("stack_scores.csv", [*key, "learner", "log_score", "crps", "mae", "covered_80", "covered_95"], table)
    write_csv("stack_weights.csv", [*key, "learner", "weight", "setting", "fold_log_score", "fold_crps"], weights)


if __name__ == "__main__":
    main()
