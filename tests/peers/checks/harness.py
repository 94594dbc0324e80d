"""What a check is, and how two results are held against each other."""

import math
import zlib
from dataclasses import dataclass

import numpy as np

EXACT = 1e-9


@dataclass
class Statistic:
    name: str
    cases: int
    tolerance: float
    # Why the tolerance is what it is, or what the peer is; printed for other tolerances than EXACT.
    why: str
    make: object


@dataclass
class Near:
    """A number that comes out of a difference: held against the size of what was subtracted."""

    value: float
    scale: float


class Refused:
    """The program has to refuse this case."""


ALL: list[Statistic] = []


def statistic(name, cases, tolerance=EXACT, why=""):
    """Registers `make(rng)`, which draws a case and returns (arguments, expected result)."""

    def register(make):
        ALL.append(Statistic(name, cases, tolerance, why, make))
        return make

    return register


def generator(seed, name):
    """Each statistic has its own random numbers, so that adding one does not change the others."""
    return np.random.default_rng([seed, zlib.crc32(name.encode())])


def short(x, digits=12):
    """Few enough digits that both sides read the same number."""
    if isinstance(x, (list, tuple, np.ndarray)):
        return [short(v, digits) for v in x]
    return float(f"{float(x):.{digits}g}")


def difference(expected, found, path=""):
    """Largest relative difference and where it is; infinite where the kinds or lengths differ."""
    if isinstance(expected, Near):
        return _apart(expected.value, found, expected.scale), path
    if isinstance(expected, dict):
        if not isinstance(found, dict) or set(expected) - set(found):
            return math.inf, path + " (parts missing)"
        return _largest((difference(expected[k], found[k], f"{path}.{k}") for k in expected), path)
    if isinstance(expected, (list, tuple, np.ndarray)):
        if not isinstance(found, list) or len(expected) != len(found):
            return math.inf, path + " (length)"
        pairs = enumerate(zip(expected, found))
        return _largest((difference(e, f, f"{path}[{i}]") for i, (e, f) in pairs), path)
    if expected is None or isinstance(expected, (str, bool, np.bool_)):
        plain = bool(expected) if isinstance(expected, np.bool_) else expected
        return (0.0 if plain == found and type(plain) is type(found) else math.inf), path
    return _apart(float(expected), found, 0.0), path


def _largest(found, path):
    return max(found, key=lambda pair: pair[0], default=(0.0, path))


def _apart(expected, found, scale):
    if found is None or isinstance(found, (bool, dict, list)):
        return math.inf
    try:
        value = float(found)
    except ValueError:
        return math.inf
    if math.isnan(expected) or math.isnan(value):
        # A peer without an answer checks nothing, so it counts as a difference and not as agreement.
        return math.inf
    if expected == value:
        return 0.0
    if math.isinf(expected) or math.isinf(value):
        return math.inf
    return abs(value - expected) / max(abs(expected), scale)
