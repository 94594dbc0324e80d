"""The hangar order as a mixed-integer programme, solved by scipy.optimize.milp (HiGHS).

x[j, p]: job j at place p. y[p, a, s]: aspect a in setting s at place p, place 0 being the start. z[p, a, s] is at
least y[p, a, s] - y[p-1, a, s], so 1 where place p changes the aspect into s. Least sum of cost[a][s] * z.
"""

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import lil_matrix

from .harness import statistic

SETTINGS = [2, 3, 2, 2, 2, 2, 2]


class Programme:
    def __init__(self, jobs):
        self.jobs = jobs
        self.rows, self.low, self.high = [], [], []
        self.changes = [(a, s) for a, count in enumerate(SETTINGS) for s in range(count)]
        self.size = jobs * jobs + (jobs + 1) * len(self.changes) + jobs * len(self.changes)

    def x(self, j, p):
        return j * self.jobs + p - 1

    def y(self, p, a, s):
        return self.jobs**2 + p * len(self.changes) + self.changes.index((a, s))

    def z(self, p, a, s):
        return self.jobs**2 + (self.jobs + p) * len(self.changes) + self.changes.index((a, s))

    def add(self, terms, low, high):
        self.rows.append(terms)
        self.low.append(low)
        self.high.append(high)

    def matrix(self):
        matrix = lil_matrix((len(self.rows), self.size))
        for number, terms in enumerate(self.rows):
            for column, factor in terms:
                matrix[number, column] += factor
        return matrix.tocsr()


def least(needs, after, start, costs):
    n = len(needs)
    m = Programme(n)
    places = range(1, n + 1)
    for j in range(n):
        m.add([(m.x(j, p), 1) for p in places], 1, 1)
        m.add([(m.x(k, j + 1), 1) for k in range(n)], 1, 1)
        for before in after[j]:
            m.add([(m.x(j, p), p) for p in places] + [(m.x(before, p), -p) for p in places], 1, np.inf)
    for p in range(n + 1):
        for a, count in enumerate(SETTINGS):
            m.add([(m.y(p, a, s), 1) for s in range(count)], 1, 1)
            if p == 0:
                m.add([(m.y(0, a, start[a]), 1)], 1, 1)
    for p in places:
        for a, s in m.changes:
            m.add([(m.z(p, a, s), 1), (m.y(p, a, s), -1), (m.y(p - 1, a, s), 1)], 0, np.inf)
        for j in range(n):
            for a, s in enumerate(needs[j]):
                if s >= 0:
                    m.add([(m.y(p, a, s), 1), (m.x(j, p), -1)], 0, np.inf)
    price = np.zeros(m.size)
    for p in places:
        for a, s in m.changes:
            price[m.z(p, a, s)] = costs[a][s]
    found = milp(
        price,
        constraints=LinearConstraint(m.matrix(), m.low, m.high),
        integrality=np.ones(m.size),
        bounds=Bounds(0, 1),
    )
    assert found.status == 0, found.message
    return round(found.fun)


@statistic("hangar_order", 40, why="a mixed-integer programme, solved by HiGHS")
def hangar_order(rng):
    n = int(rng.integers(3, 9))
    needs = [[int(rng.integers(0, c)) if rng.random() < 0.3 else -1 for c in SETTINGS] for _ in range(n)]
    line = rng.permutation(n)
    density = rng.choice([0.0, 0.15, 0.35])
    after = [[] for _ in range(n)]
    for late in range(n):
        for early in range(late):
            if rng.random() < density:
                after[line[late]].append(int(line[early]))
    start = [int(rng.integers(0, c)) for c in SETTINGS]
    costs = [[int(rng.integers(1, 60)) for _ in range(c)] for c in SETTINGS]
    cost = least(needs, after, start, costs)
    return {"needs": needs, "after": after, "start": start, "costs": costs}, {"cost": cost, "bound": cost, "optimal": True}
