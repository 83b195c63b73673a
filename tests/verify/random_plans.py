# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Random plans with every key and its edge values: every accepted plan must end correctly.

    random_plans.py [PLANS [SEED [FIRST]]]     300 plans of seed 1, from number 0

The properties are in tests/support/random_plans.py. A failing plan is printed, minimised within a few tries. The commit
tier runs twenty others (tests/cli/test_random_plans.py).
"""

import json
import os
import sys
import tempfile
import time

sys.path.insert(0, os.path.join(os.environ["SRC"], "tests", "support"))
from random_plans import examine_many  # noqa: E402


def main():
    plans, seed, first = (int(word) for word in (sys.argv[1:] + ["300", "1", "0"][len(sys.argv) - 1 :])[:3])
    started = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        went, failing = examine_many(seed, range(first, first + plans), os.path.join(folder, "plan"))
    simulated = ", ".join(f"{n} {how}" for how, n in sorted(went.items()))
    print(f"{plans} plans of seed {seed} in {time.monotonic() - started:.0f} s: {simulated}")
    line = {
        "check": f"{plans} random plans: accepted ones finish, balance, repeat to the byte, and are drawn",
        "published": "none is wrong",
        "simulated": simulated,
        "source": f"tests/support/random_plans.py, seed {seed}",
        "verdict": "does not hold" if failing else "holds",
    }
    if failing:
        line["why"] = "; ".join(f"plan {number}: {wrong[:200]}" for number, wrong, _ in failing[:10])
    print(json.dumps(line, ensure_ascii=False))
    return 1 if failing else 0


if __name__ == "__main__":
    sys.exit(main())
