"""Reference implementation in NumPy of the shelf: the dated clubs most like a club vote on its year.

Readings of n clubs stand in two arrays: L [n, level clues] holds the index of the level or -1, X [n, measured clues]
the measure (its ln where the catalogue says log) or nan. y holds whole years, `prior` the probability of each year of
the axis, `first` the first year.

    shelf = fit(y, L, X, K, prior, first)    K: number of levels of each level clue
    vote(shelf, L, X)                        distribution by year for whatever has been read
    no_evidence(shelf)                       the vote where nothing has been read
    exponents(...)                           exponents of the tables and of the shelf, fitted together

A *row* is one distance of a clue. A level clue has one row ("level"). A measured clue has a row "distance", and before
it a row "differs" if enough clubs share their reading. Needs numpy and scipy.
"""

import math
import warnings
from statistics import NormalDist

import numpy as np
from scipy.optimize import minimize
from scipy.special import logsumexp, ndtr

NORMAL = NormalDist()
PRIOR_SHARE = 0.05  # share of the prior in every vote
FLOOR = 0.4  # least worth of a clue, in units of the mean gain
CLIP = 4.0  # standardised measures are clipped here in the allowance
MISSING_MEASURE = 2.0  # distance to a club without the reading: what two readings at random have on average
LEVEL = 2.4  # distance of two different levels; half of it to a club without the reading
SHARED = 0.2  # share of clubs with a reading that another has too, from which on a clue gets the row "differs"
SEARCH = 600  # at most so many clubs in the search
FOLDS = 10
REFINED_FROM = 36  # clubs
ALPHAS = (1, 2, 4, 8, 16, 32, 64, 128)
RHOS = tuple(2.0**k for k in np.arange(-4, 4.01, 0.5))
SHIFTS = (0.0, 0.25, 0.5, 0.75, 1.0)
WIDTHS = (0.06, 0.09, 0.13, 0.18, 0.25, 0.35, 0.5, 0.7)
RHO_MEAN, RHO_SD = -1.0, 1.5  # normal prior of ln rho
H_MEAN, H_SD = math.log(0.35), 0.7  # normal prior of ln h


class Shelf:
    """What has been fitted; attributes are set by `fit`."""


def edges_of(prior):
    """z at the edges of the years: normal quantiles of the prior's distribution function."""
    F = np.r_[0, np.cumsum(prior)]
    F /= F[-1]
    return np.array([NORMAL.inv_cdf(min(max(f, 1e-9), 1 - 1e-9)) for f in F])


def middles(prior, index):
    """z in the middle of years, given by their index on the axis."""
    F = np.r_[0, np.cumsum(prior)]
    F /= F[-1]
    return np.array([NORMAL.inv_cdf((F[i] + F[i + 1]) / 2) for i in index])


def share_repeated(x):
    """Share of the readings that stand at more than one club."""
    _, count = np.unique(x[np.isfinite(x)], return_counts=True)
    return count[count > 1].sum() / max(count.sum(), 1)


def distances(shelf, L, X):
    """[rows, targets, clubs], and the clue of each row; 0 where the target has no reading."""
    rows, owner, clue = [], [], 0
    for j in shelf.use:
        a = (X[:, j] - shelf.mu[j]) / shelf.sd[j]
        d = np.abs(a[:, None] - shelf.Z[:, j][None])
        unread = np.isnan(a)[:, None]
        missing = np.isnan(shelf.Z[:, j])[None]
        if shelf.plain:
            # Only one row, the square root of the distance, of mean 2 between two normal readings.
            scale = 2 / (math.sqrt(2) * math.gamma(0.75) / math.sqrt(math.pi))
            of_clue = [scale * d**0.5]
        else:
            of_clue = ([2.0 * (d > 1e-9)] if shelf.rep[j] else []) + [math.sqrt(math.pi) * d]
        for row in of_clue:
            rows.append(np.where(unread, 0.0, np.where(missing, MISSING_MEASURE, row)))
            owner.append(clue)
        clue += 1
    for c in shelf.use_levels:
        a, b = L[:, c], shelf.L[:, c]
        differs = LEVEL * (a[:, None] != b[None])
        rows.append(np.where(a[:, None] < 0, 0.0, np.where(b[None] < 0, LEVEL / 2, differs)))
        owner.append(clue)
        clue += 1
    return np.array(rows).reshape(len(rows), len(L), shelf.n), np.array(owner, int)


def features(shelf, L, X):
    """Standardised measures and centred level indicators, 0 where missing; and the clue of each."""
    columns, owner, clue = [], [], 0
    for j in shelf.use:
        a = (X[:, j] - shelf.mu[j]) / shelf.sd[j]
        columns.append(np.where(np.isnan(a), 0, np.clip(np.nan_to_num(a), -CLIP, CLIP)))
        owner.append(clue)
        clue += 1
    for c in shelf.use_levels:
        for level in range(shelf.K[c]):
            columns.append(np.where(L[:, c] >= 0, (L[:, c] == level) - shelf.fr[c][level], 0.0))
            owner.append(clue)
        clue += 1
    return np.stack(columns, 1), np.array(owner)


def ridge(F, z, alpha):
    return np.linalg.solve(F.T @ F + alpha * np.eye(F.shape[1]), F.T @ (z - z.mean()))


def leave_one_out(F, z, alpha):
    """Sum of squared errors of the ridge, each club left out, by the hat matrix."""
    U, s, _ = np.linalg.svd(F, full_matrices=False)
    shrunk = s**2 / (s**2 + alpha)
    left = z - z.mean() - U @ (shrunk * (U.T @ (z - z.mean())))
    return ((left / (1 - np.minimum((U**2 * shrunk).sum(1) + 1 / len(z), 0.95))) ** 2).sum()


def present(shelf, L, X):
    measures = [~np.isnan(X[:, j]) for j in shelf.use]
    return np.stack(measures + [L[:, c] >= 0 for c in shelf.use_levels], 1)


def shifts(shelf, F, read, beta):
    """[targets, clubs]: sum over the target's own clues of beta (phi(target) - phi(club))."""
    G = read[:, shelf.feature_owner] * beta[None]
    return (G * F).sum(1)[:, None] - G @ shelf.F.T


def by_content(y, L, X, folds):
    """Fold of each club from the order of year and readings, so that the order of rows changes nothing."""
    def content(i):
        return int(y[i]), tuple(L[i]), tuple(np.nan_to_num(X[i], nan=-1e300))

    order = sorted(range(len(y)), key=content)
    fold = np.zeros(len(y), int)
    fold[order] = np.arange(len(y)) % folds
    return fold


def heaping(y, z):
    """Mean over clubs of dz (1 - 1/dy) to the nearest other date: the width of dates in fives or tens."""
    def nearest(dates, own):
        gap = np.diff(dates)
        return np.minimum(np.r_[np.inf, gap], np.r_[gap, np.inf])[np.searchsorted(dates, own)]

    years = np.unique(y)
    if len(years) < 2:
        return 0.0
    return float(np.mean(nearest(np.unique(z), z) * (1 - 1 / nearest(years, y))))


def tau(n):
    """How far a worth may leave its start, in ln."""
    return 1.2 * n * n / (n * n + 150**2)


def normalised(l, exclude):
    """Weights of the clubs from their logarithms, no club for itself."""
    l[exclude] = -np.inf
    w = np.exp(l - l.max(1, keepdims=True))
    return w / w.sum(1, keepdims=True)


def gain(d, dz, pz, exclude):
    """What a clue alone gains over the prior, in nats a club: leave-one-out, the best of three sharpnesses."""
    near = np.exp(-0.5 * (dz / 0.35) ** 2) / (0.35 * math.sqrt(2 * math.pi))
    best = 0.0
    for sharpness in (1.0, 4.0, 16.0):
        w = np.exp(-0.5 * sharpness * d)
        w[exclude] = 0
        alone = (w * near).sum(1) / np.maximum(w.sum(1), 1e-300)
        best = max(best, float(np.log((0.9 * alone + 0.1 * pz) / pz).mean()))
    return best


def search_grid(d, dz, sh, pz, exclude, least):
    """Score, rho, g and h of the best point of the grid; d are the distances summed with their worths."""
    widths = [least] + [h for h in WIDTHS if h > 1.01 * least]
    best = None
    for rho in RHOS:
        w = normalised(-0.5 * rho * d, exclude)
        for g in SHIFTS:
            e = (dz - g * sh) ** 2
            for h in widths:
                p = (w * np.exp(-0.5 / h**2 * e)).sum(1) / (h * math.sqrt(2 * math.pi))
                score = np.log((1 - PRIOR_SHARE) * p + PRIOR_SHARE * pz).sum()
                score -= 0.5 * ((math.log(rho) - RHO_MEAN) / RHO_SD) ** 2
                score -= 0.5 * ((math.log(h) - H_MEAN) / H_SD) ** 2
                if best is None or score > best[0]:
                    best = (score, rho, g, h)
    return best


def refinement(D, dz, sh, pz, exclude, start, t):
    """The function to minimise, of ln worth of each row, g and ln h: minus the score, and its gradient."""
    C = len(D)

    def objective(v):
        B, g, h = np.exp(v[:C]), v[C], math.exp(v[C + 1])
        w = normalised(-0.5 * np.tensordot(B, D, 1), exclude)
        e = dz - g * sh
        wq = w * np.exp(-0.5 * (e / h) ** 2) / (h * math.sqrt(2 * math.pi))
        p = wq.sum(1)
        den = (1 - PRIOR_SHARE) * p + PRIOR_SHARE * pz
        c = (1 - PRIOR_SHARE) / den
        x = v[:C] - start
        x = x - x.mean()
        r = v[:C].mean()
        A = c[:, None] * (wq - w * p[:, None])
        score = np.log(den).sum() - 0.5 * (x**2).sum() / t**2 - 0.5 * ((r - RHO_MEAN) / RHO_SD) ** 2
        score -= 0.5 * ((v[C + 1] - H_MEAN) / H_SD) ** 2
        of_worths = -0.5 * B * np.einsum("ij,cij->c", A, D) - x / t**2 - (r - RHO_MEAN) / RHO_SD**2 / C
        of_g = (c[:, None] * wq * e * sh).sum() / h**2
        of_h = (c[:, None] * wq * ((e / h) ** 2 - 1)).sum() - (v[C + 1] - H_MEAN) / H_SD**2
        return -score, -np.r_[of_worths, of_g, of_h]

    return objective


def fit(y, L, X, K, prior, first, fold=None, plain=False, to_the_end=False):
    """Fits a shelf.

    For comparison only: `plain`, the root of the distance, a least width of .18 and no refinement; `to_the_end`, as
    many steps of refinement as it takes in place of at most 40.
    """
    shelf = Shelf()
    n = shelf.n = len(y)
    shelf.plain, shelf.K, shelf.L, shelf.prior = plain, K, L, prior
    shelf.edges = edges_of(prior)
    z = shelf.z = middles(prior, y - first)
    pz = np.exp(-0.5 * z * z) / math.sqrt(2 * math.pi)

    # Clues that take part, and their scales.
    measures = range(X.shape[1])
    count = np.isfinite(X).sum(0)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of columns without a reading
        mu, sd = (np.nanmean(X, 0), np.nanstd(X, 0, ddof=1)) if X.shape[1] else (np.zeros(0), np.zeros(0))
    shelf.mu = np.nan_to_num(mu)
    shelf.use = [j for j in measures if count[j] >= 4 and sd[j] > 1e-9]
    shelf.use_levels = [c for c in range(L.shape[1]) if len(np.unique(L[L[:, c] >= 0, c])) > 1]
    shelf.rep = {j: bool(share_repeated(X[:, j]) >= SHARED) for j in shelf.use}
    shelf.sd = np.where(np.isfinite(sd) & (sd > 1e-9), sd, 1.0)
    shelf.Z = (X - shelf.mu) / shelf.sd
    shelf.fr = {
        c: np.bincount(L[L[:, c] >= 0, c], minlength=K[c]) / max((L[:, c] >= 0).sum(), 1) for c in shelf.use_levels
    }

    # Allowance: ridge of z on the readings, penalty by leave-one-out.
    shelf.F, shelf.feature_owner = features(shelf, L, X)
    read = present(shelf, L, X)
    shelf.alpha = min(ALPHAS, key=lambda alpha: leave_one_out(shelf.F, z, alpha))
    shelf.beta = ridge(shelf.F, z, shelf.alpha)
    shelf.fold = fold = by_content(y, L, X, FOLDS) if fold is None else fold

    # The search uses at most SEARCH clubs, evenly spaced in order of year; shifts come without the club's own fold.
    m = min(n, SEARCH)
    ix = np.sort(np.argsort(y, kind="stable")[((np.arange(m) + 0.5) * n / m).astype(int)])
    full = (shelf.Z, shelf.L, shelf.F, shelf.n)
    shelf.Z, shelf.L, shelf.F, shelf.n = shelf.Z[ix], L[ix], shelf.F[ix], m
    pz = pz[ix]
    D, owner = distances(shelf, L[ix], X[ix])
    shelf.row_owner = owner
    itself = np.eye(m, dtype=bool)
    dz = z[ix][:, None] - z[ix][None]
    sh = np.zeros((m, m))
    for q in range(FOLDS):
        out = fold[ix] == q
        if out.any():
            without = ridge(full[2][fold != q], z[fold != q], shelf.alpha)
            sh[out] = shifts(shelf, shelf.F[out], read[ix][out], without)

    # Worth of each clue at the start, shared by its rows.
    shelf.gain = np.array([gain(D[owner == k].mean(0), dz, pz, itself) for k in range(owner.max() + 1)])
    b = shelf.gain / max(np.mean(shelf.gain), 1e-9) + FLOOR
    shelf.b = (b / np.exp(np.log(b).mean()) / np.bincount(owner))[owner]
    shelf.start_worth = shelf.b.copy()

    shelf.heap = heaping(y, z)
    narrowing = min(1.0, (200 / n) ** (1 / 3))
    shelf.least = max(0.13 * min(1.4, max(1.0, 90 / n)) * narrowing, shelf.heap)
    if plain:
        shelf.least = 0.18 * narrowing
    shelf.grid = search_grid(np.tensordot(shelf.b, D, 1), dz, sh, pz, itself, shelf.least)
    shelf.score, shelf.rho, shelf.g, shelf.h = shelf.grid

    shelf.refined = None
    if n >= REFINED_FROM and not plain:
        C = len(D)
        start = np.log(shelf.b * shelf.rho)
        objective = refinement(D, dz, sh, pz, itself, start, tau(n))
        v = np.r_[start, shelf.g, math.log(shelf.h)]
        shelf.score_at_start = -objective(v)[0]
        bounds = [(-6, 5)] * C + [(0, 1.0), (math.log(shelf.least), math.log(0.9))]
        steps = {"maxiter": 40}
        if to_the_end:
            steps = {"maxiter": 15000, "maxfun": 15000, "ftol": 1e-15, "gtol": 1e-8}
        found = minimize(objective, v, jac=True, method="L-BFGS-B", bounds=bounds, options=steps)
        shelf.refined = found
        shelf.rho = math.exp(found.x[:C].mean())
        shelf.b = np.exp(found.x[:C]) / shelf.rho
        shelf.g, shelf.h, shelf.score = found.x[C], math.exp(found.x[C + 1]), -found.fun
    shelf.Z, shelf.L, shelf.F, shelf.n = full
    return shelf


def vote(shelf, L, X):
    """[targets, years]: distribution by year for whatever readings the targets have."""
    D, _ = distances(shelf, L, X)
    F, _ = features(shelf, L, X)
    w = normalised(-0.5 * shelf.rho * np.tensordot(shelf.b, D, 1), np.zeros((len(L), shelf.n), bool))
    position = shelf.z[None] + shelf.g * shifts(shelf, F, present(shelf, L, X), shelf.beta)
    P = np.zeros((len(L), len(shelf.edges) - 1))
    for i in range(len(L)):
        below = ndtr((shelf.edges[None] - position[i][:, None]) / shelf.h)
        below[:, 0] = 0  # the first and the last year take the tails
        below[:, -1] = 1
        P[i] = w[i] @ np.diff(below, axis=1)
    P = (1 - PRIOR_SHARE) * P + PRIOR_SHARE * shelf.prior[None]
    return P / P.sum(1, keepdims=True)


def no_evidence(shelf):
    """The vote where nothing has been read: the denominator, so that no reading moves nothing."""
    return vote(shelf, np.full((1, len(shelf.K)), -1), np.full((1, len(shelf.mu)), np.nan))[0]


def exponents(tables, active, ratio, ln_prior, true, pull=5.0, pull_mean=5.0, pull_shelf=3.0, n0=30.0):
    """Exponents of the tables' clues and of the shelf; (weights with the shelf's last, m0, b0, what was minimised).

    tables [n, clues, years]: ln likelihoods out of fold; ratio [n, years]: ln of the vote over the vote with nothing
    read, out of fold; ln_prior [n, years]; true: index of the true year; active: clues with evidence.
    """
    n, C, _ = tables.shape
    A = np.concatenate([tables, ratio[:, None]], 1)
    each = np.arange(n)
    hit = A[each, :, true].sum(0)
    count = max(active.sum(), 1)
    m0 = 0.8 - 0.4 * n / (n + n0)
    b0 = 0.6 * n / (n + n0)

    def objective(v):
        a = np.einsum("c,ncy->ny", v, A) + ln_prior
        Z = logsumexp(a, axis=1)
        P = np.exp(a - Z[:, None])
        w = v[:C]
        m = w[active].mean() if active.any() else m0
        slope = -(hit - np.einsum("ny,ncy->c", P, A))
        pulled = np.zeros(C + 1)
        pulled[:C][active] = 2 * pull * (w[active] - m) + 2 * pull_mean * (m - m0) / count
        pulled[C] = 2 * pull_shelf * (v[C] - b0)
        value = -(hit @ v + ln_prior[each, true].sum() - Z.sum())
        value += pull * ((w[active] - m) ** 2).sum() + pull_mean * (m - m0) ** 2 + pull_shelf * (v[C] - b0) ** 2
        return value, slope + pulled

    options = {"ftol": 1e-15, "gtol": 1e-10, "maxiter": 2000}
    start = np.r_[np.full(C, m0), b0]
    found = minimize(objective, start, jac=True, method="L-BFGS-B", bounds=[(0, 1.2)] * (C + 1), options=options)
    return found.x, m0, b0, float(found.fun), found.jac
