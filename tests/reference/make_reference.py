"""Reference values for the external checks, by general-purpose libraries.

Run in a virtual environment with scipy, mpmath, numpy, properscoring, edtf and cromulent (with requests) installed:

    python tests/reference/make_reference.py

It rewrites the CSV files beside it. Versions that made the committed numbers are in SOURCES.md.
"""

import csv
import pathlib

import mpmath
import numpy
import properscoring
import scipy.integrate
import scipy.stats
from cromulent import model as cromulent_model
from cromulent import vocab as cromulent_vocab
from edtf import parse_edtf

HERE = pathlib.Path(__file__).parent


def write(name, heading, rows):
    with open(HERE / name, "w", newline="") as out:
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(heading)
        writer.writerows(rows)


def student_t():
    """ln density of a standard t at 40 digits, from its definition by gamma functions."""
    mpmath.mp.dps = 40
    rows = []
    for v in ["3", "4", "8", "10", "37.5"]:
        for x in ["0", "0.1", "-1.5", "4", "25", "-300"]:
            v_, x_ = mpmath.mpf(v), mpmath.mpf(x)
            ln = (
                mpmath.loggamma((v_ + 1) / 2)
                - mpmath.loggamma(v_ / 2)
                - mpmath.log(v_ * mpmath.pi) / 2
                - (v_ + 1) / 2 * mpmath.log1p(x_ * x_ / v_)
            )
            rows.append([x, v, mpmath.nstr(ln, 20)])
    write("student_t.csv", ["x", "degrees_of_freedom", "ln_density"], rows)


def lag_over_years():
    """A likelihood that rises as a logistic curve, carried through a normal lag, by scipy.integrate.quad."""
    rows = []
    for sd in [4.0, 8.0, 12.0]:
        for year in range(80, 121, 5):
            def product(u):
                return (0.05 + 0.9 / (1 + numpy.exp(-(u - 100) / 6))) * scipy.stats.norm.pdf(u, year, sd)

            value, _ = scipy.integrate.quad(product, year - 12 * sd, year + 12 * sd, epsabs=1e-12, epsrel=1e-12, limit=400)
            rows.append([sd, year, repr(value)])
    write("lag_over_years.csv", ["sd", "year", "likelihood"], rows)


def multivariate_t():
    """ln density of a three-variate t and of its sub-blocks, by scipy.stats.multivariate_t."""
    scale = numpy.array([[0.04, 0.012, -0.006], [0.012, 0.09, 0.03], [-0.006, 0.03, 0.16]])
    mean = numpy.array([1.2, -0.5, 0.3])
    rows = []
    for v in [4.0, 10.0]:
        for point in [[1.2, -0.5, 0.3], [1.3, -0.9, 0.7], [0.2, 1.5, -2.0]]:
            for subset in [[0], [1], [2], [0, 1], [0, 2], [1, 2], [0, 1, 2]]:
                sub = numpy.ix_(subset, subset)
                ln = scipy.stats.multivariate_t(mean[subset], scale[sub], df=v).logpdf(numpy.array(point)[subset])
                mask = sum(1 << i for i in subset)
                rows.append([v, *point, mask, repr(float(ln))])
    write("multivariate_t.csv", ["degrees_of_freedom", "x0", "x1", "x2", "mask", "ln_density"], rows)


def scores():
    """Quantiles (numpy), CRPS (properscoring) and randomised PIT (scipy) of weights over years."""
    generator = numpy.random.default_rng(11)
    rows = []
    for _ in range(12):
        weights = generator.dirichlet(numpy.full(30, 0.6))
        years = numpy.arange(1800, 1830)
        truth = int(generator.integers(1800, 1830))
        crps = properscoring.crps_ensemble(float(truth), years.astype(float), weights=weights)
        quantiles = numpy.quantile(years, [0.1, 0.5, 0.9], weights=weights, method="inverted_cdf")
        cumulative = scipy.stats.rv_discrete(values=(years, weights / weights.sum())).cdf
        pit = 0.7 * cumulative(truth - 1) + 0.3 * cumulative(truth)
        rows.append([truth, repr(float(crps)), repr(float(pit)), *[int(q) for q in quantiles], *[repr(float(w)) for w in weights]])
    heading = ["truth", "crps", "pit_at_0.3", "q10", "q50", "q90"] + [f"w{y}" for y in range(1800, 1830)]
    write("weights_over_years.csv", heading, rows)


def edtf():
    """Forms of the EDTF strings that agewright writes, each accepted by an independent parser."""
    forms = ["[1885..1902]", "1893", "[..1825]", "[1891..]", "[1868..1874,1903..1911]", "[..1795,1903..1911]",
             "[1780..1785,1921..]", "[-0043..0012]", "[-0043..-0019,0037..0061]", "[0070..0095]", "[1780..1939]", "[1870,1905..1910]",
             "[1800..1810,1830..1840,1870..1880]",
             # level 1
             "1892~", "189X", "1885~/1902~", "../1825~", "1891~/..", "-0043~/0012~"]
    rows = [[form, type(parse_edtf(form)).__name__] for form in forms]  # raises where a form is refused
    write("edtf_forms.csv", ["form", "parsed_as"], rows)


def linked_art():
    """Properties that each class of Linked Art may have, and terms of the thesaurus, as cromulent has them."""
    classes = ["HumanMadeObject", "Production", "TimeSpan", "Name", "Identifier", "LinguisticObject", "Type"]
    rows = []
    for name in classes:
        everything = set()
        for base in getattr(cromulent_model, name).__mro__:
            everything.update(getattr(base, "_all_properties", {}))
        rows += [["property", name, word] for word in sorted(everything)]
    terms = {"PrimaryName": {"content": "x"}, "AccessionNumber": {"content": "x"}, "DisplayName": {"content": "x"}, "Description": {"content": "x"}}
    for name, values in terms.items():
        made = cromulent_model.factory.toJSON(getattr(cromulent_vocab, name)(**values))
        for term in made["classified_as"] + [t for c in made["classified_as"] for t in c.get("classified_as", [])]:
            rows.append(["term", term["_label"], term["id"]])
    write("linked_art_terms.csv", ["kind", "of", "word"], rows)


student_t()
multivariate_t()
scores()
edtf()
linked_art()
