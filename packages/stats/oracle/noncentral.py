"""Non-central t and F at the points of k_numerics.json, to 20 digits.

R 4.2.2 sums these series to an absolute 1e-9 only, so its answers cannot judge a relative 1e-10.
Here: t by quadrature over the chi density, F by its Poisson mixture of incomplete beta functions
(Abramowitz & Stegun 26.6.20), both with 30 digits.
Run: python3 noncentral.py > noncentral.json   (Python 3.11, mpmath 1.3.0)
"""
import json
from pathlib import Path
from mpmath import mp, mpf, betainc, erfc, exp, factorial, gamma, linspace, nstr, quad, sqrt

mp.dps = 30


def t_tails(x, d, c):
    def density(s):
        return 2 * (d / 2) ** (d / 2) / gamma(d / 2) * s ** (d - 1) * exp(-d * s * s / 2)

    cuts = linspace(0, 6, 49)
    return [quad(lambda s, k=k: density(s) * erfc(k * (x * s - c) / sqrt(mpf(2))) / 2, cuts) for k in (-1, 1)]


def f_tails(x, d1, d2, nc):
    y = d1 * x / (d1 * x + d2)
    w = [exp(-nc / 2) * (nc / 2) ** j / factorial(j) for j in range(160)]
    return [
        sum(w[j] * betainc(d1 / 2 + j, d2 / 2, a, b, regularized=True) for j in range(160))
        for a, b in ((0, y), (y, 1))
    ]


out = []
for p in json.loads((Path(__file__).parent / "k_numerics.json").read_text())["expected"]["points"]:
    tails = {"pt_n": t_tails, "pf_n": f_tails}.get(p["fn"][:4])
    if tails:
        args = [float(a) for a in p["args"].split(",")]
        lower, upper = tails(*map(mpf, args))
        out.append({"fn": p["fn"][:4][1], "args": args, "lower": float(nstr(lower, 20)), "upper": float(nstr(upper, 20))})
print(json.dumps({"source": "noncentral.py beside this file", "points": out}, indent=0))
