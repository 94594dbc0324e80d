"""Holds every statistic of `src/measure` against scipy, statsmodels and numpy on random data.

    compare_with_scipy.py BRIDGE [--seed N]

BRIDGE is the built example program `bridge`, which computes the same cases. Prints one line for each statistic and
"N passed, N failed"; the exit code is not 0 when one fails, has no case, or is not answered case for case.
"""

import argparse
import gc
import json
import math
import subprocess
import sys
import warnings

import numpy as np
from checks import harness
from checks.harness import Refused, generator


def plain(value):
    """Numbers of numpy as Python's own."""
    if isinstance(value, dict):
        return {k: plain(v) for k, v in value.items()}
    if isinstance(value, (list, tuple, np.ndarray)):
        return [plain(v) for v in value]
    return value.item() if isinstance(value, np.generic) else value


def draw(statistic, seed):
    # statsmodels' Holm collects garbage on each call; what is already there need not be looked at again.
    gc.freeze()
    rng = generator(seed, statistic.name)
    return [statistic.make(rng) for _ in range(statistic.cases)]


def answers(bridge, lines):
    """The bridge's replies by case number; ends the program when the bridge does not run to its end."""
    done = subprocess.run([bridge], input="\n".join(lines) + "\n", capture_output=True, text=True, check=False)
    if done.returncode != 0:
        sys.exit(f"the bridge failed: {done.stderr.strip()}")
    replies = {}
    for line in done.stdout.splitlines():
        reply = json.loads(line)
        if reply["id"] in replies:
            sys.exit(f"the bridge answered case {reply['id']} twice")
        replies[reply["id"]] = reply
    return replies


def judge(statistic, cases, replies):
    """(Largest difference, what is wrong or an empty text)."""
    if not cases or len(cases) != statistic.cases:
        return math.inf, f"{len(cases)} cases where {statistic.cases} are wanted"
    largest, where = 0.0, ""
    computed = 0
    for (args, expected), reply in zip(cases, replies):
        if reply is None:
            return math.inf, f"no answer for {json.dumps(plain(args))[:300]}"
        if isinstance(expected, Refused):
            apart, path = (0.0 if "refused" in reply else math.inf), " (not refused)"
        elif "refused" in reply:
            apart, path = math.inf, f" (refused: {reply['refused']})"
        else:
            computed += 1
            apart, path = harness.difference(expected, reply["result"])
        if apart > largest:
            largest, where = apart, f"{path or 'value'} of {json.dumps(plain(args))[:600]}"
    if computed == 0:
        return math.inf, "no case was computed"
    return largest, where if largest > statistic.tolerance else ""


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("bridge")
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    # scipy warns of its own lost digits in tails; what comes out is compared all the same.
    warnings.simplefilter("ignore")

    drawn = [(s, draw(s, options.seed)) for s in harness.ALL]
    lines = []
    for statistic, cases in drawn:
        for args, _ in cases:
            lines.append(json.dumps(plain({"id": len(lines), "statistic": statistic.name, **args}), allow_nan=False))
    replies = answers(options.bridge, lines)
    if set(replies) != set(range(len(lines))):
        sys.exit(f"{len(lines)} cases were sent and {len(replies)} answered")

    failed, first = 0, 0
    print(f"seed {options.seed}\n{'statistic':<26}{'cases':>6}{'largest difference':>20}{'allowed':>10}")
    for statistic, cases in drawn:
        own = [replies.get(first + i) for i in range(len(cases))]
        first += len(cases)
        largest, wrong = judge(statistic, cases, own)
        failed += bool(wrong)
        note = f"  {statistic.why}" if statistic.why else ""
        row = f"{statistic.name:<26}{len(cases):>6}{largest:>20.1e}{statistic.tolerance:>10.0e}"
        print(f"{row}  {'FAIL' if wrong else 'pass'}{note}")
        if wrong:
            print(f"    {wrong}")
    print(f"{len(drawn) - failed} passed, {failed} failed")
    return 1 if failed or not drawn else 0


if __name__ == "__main__":
    sys.exit(main())
