"""Makes haul.json: least sums of volume by distance, found by another library.

    python3 haul.py > haul.json

Plans by scipy.optimize.linprog (HiGHS); on a line, where all is moved, also by
scipy.stats.wasserstein_distance, which knows no linear programme.
"""
import json
import random

import numpy as np
import scipy
from scipy.optimize import linprog
from scipy.stats import wasserstein_distance


def least(sources, sinks):
    m, n = len(sources), len(sinks)
    cost = [np.hypot(a[0] - b[0], a[1] - b[1]) for a in sources for b in sinks]
    rows = np.zeros((m + n, m * n))
    for i in range(m):
        for j in range(n):
            rows[i, i * n + j] = rows[m + j, i * n + j] = 1
    limits = [a[2] for a in sources] + [b[2] for b in sinks]
    moved = min(sum(a[2] for a in sources), sum(b[2] for b in sinks))
    found = linprog(cost, A_ub=rows, b_ub=limits, A_eq=np.ones((1, m * n)), b_eq=[moved], method="highs")
    assert found.status == 0, found.message
    return moved, found.fun


def places(rng, n, line, lattice):
    def one():
        x = rng.uniform(0, 200)
        return round(x / 10) * 10 if lattice else round(x, 2)
    return [[one(), 0 if line else one(), 10 if lattice else round(rng.uniform(1, 90), 1)] for _ in range(n)]


cases = []
for seed, (m, n, line, lattice) in enumerate([
    (3, 3, False, False), (8, 5, False, False), (5, 8, False, False), (20, 20, False, False),
    (40, 40, False, False), (40, 12, False, False), (30, 30, False, True), (12, 40, False, True),
    (15, 15, True, False), (40, 40, True, True),
]):
    rng = random.Random(seed)
    sources, sinks = places(rng, m, line, lattice), places(rng, n, line, lattice)
    if line:
        sinks[-1][2] += sum(a[2] for a in sources) - sum(b[2] for b in sinks)
        assert sinks[-1][2] > 0
    moved, cost = least(sources, sinks)
    case = {"sources": sources, "sinks": sinks, "volume": moved, "least": cost}
    if line:
        case["earth_movers"] = moved * wasserstein_distance(
            [a[0] for a in sources], [b[0] for b in sinks], [a[2] for a in sources], [b[2] for b in sinks])
    cases.append(case)
print(json.dumps({"scipy": scipy.__version__, "cases": cases}, separators=(",", ":")).replace('{"sources"', '\n{"sources"'))
