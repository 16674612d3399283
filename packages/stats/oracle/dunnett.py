"""Dunnett p-values for blocks with lost plots, without the product structure, by exact factor analysis.

In a block design the covariance of (treatment - control) is the inverse of
diag(r) - sum over kinds of block of m n n' / k (r replicates, n which treatments a kind of block holds,
k its plots, m how many blocks are of that kind). By Woodbury's identity that is a diagonal plus one factor
for each kind of block, so the probability is an integral over as many normals as there are kinds of block,
and the scale: all by the trapezoidal rule on a grid. No randomness, no approximation but the step.
Run: python3 dunnett.py > dunnett.json   (Python 3.11, numpy, scipy 1.17.1)
"""
import json
from itertools import product
import numpy as np
from scipy.special import gammaln, ndtr

# Treatments missing from each block: the six treatments in five blocks of a_rcbd_6x5_missing.json
# (control first), and a harsher loss.
DESIGNS = {
    "six treatments, five blocks, four plots lost": (6, [[2], [], [2], [4], [5]], 16, (0.5, 1.5, 2.8, 5.0)),
    "five treatments, four blocks, three plots lost": (5, [[1, 3], [], [2], []], 9, (0.5, 1.5, 3.0, 6.0)),
}


def model(treatments, lost):
    kinds = {}
    for block in lost:
        kinds[tuple(block)] = kinds.get(tuple(block), 0) + 1
    r = np.array([sum(t not in b for b in lost) for t in range(1, treatments)], float)
    u = np.array([[t not in kind for kind in kinds] for t in range(1, treatments)], float)
    w = np.array([m / (treatments - len(kind)) for kind, m in kinds.items()])
    d = np.diag(1 / r)
    inner = np.linalg.inv(np.diag(1 / w) - u.T @ d @ u)
    loadings = d @ u @ np.linalg.cholesky(inner)
    v = d + loadings @ loadings.T
    assert np.allclose(np.linalg.inv(v), np.diag(r) - (u * w) @ u.T)
    sd = np.sqrt(np.diag(v))
    return v / np.outer(sd, sd), loadings / sd[:, None], 1 / np.sqrt(r) / sd


def tail(t, loadings, spread, df, step=0.55):
    z = np.arange(-12, 13) * step
    weight = step * np.exp(-z * z / 2) / np.sqrt(2 * np.pi)
    u = np.arange(-60, 20) * 0.07
    log_density = np.log(2) + df / 2 * np.log(df / 2) - gammaln(df / 2) + df * u - df / 2 * np.exp(2 * u)
    total = 0.0
    k = loadings.shape[1]
    grid = np.array(list(product(range(len(z)), repeat=k - 1)))
    for first in range(len(z)):
        w = weight[first] * np.prod(weight[grid], axis=1)
        keep = w > 1e-17
        points = np.column_stack([np.full(keep.sum(), z[first]), z[grid[keep]]])
        mean = points @ loadings.T
        for j, s in enumerate(np.exp(u)):
            if log_density[j] < -36:
                continue
            inside = np.prod(ndtr((t * s - mean) / spread) - ndtr((-t * s - mean) / spread), axis=1)
            total += 0.07 * np.exp(log_density[j]) * np.dot(w[keep], 1 - inside)
    return total


cases = []
for name, (treatments, lost, df, points) in DESIGNS.items():
    correlation, loadings, spread = model(treatments, lost)
    p = [tail(t, loadings, spread, df) for t in points]
    cases.append({"name": name, "correlation": correlation.tolist(), "df": df, "t": points, "p": p})
print(json.dumps({"source": "dunnett.py beside this file", "cases": cases}, indent=0))
