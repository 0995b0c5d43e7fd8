"""Times the same kind of pH solve by PHREEQC and by scipy's brentq; prints microseconds for one as JSON."""

import json
import pathlib
import sys
import time

from check import STEPS, Phreeqc
from scipy.optimize import brentq


def balance(c, ph):
    total = -(10.0 ** -ph) - c["net_cations"]
    for amount, constants, steps in zip(c["acids"], c["pk"], STEPS):
        terms = [1.0]
        for n in range(steps):
            terms.append(terms[-1] * 10.0 ** (ph - constants[n]))
        total += amount * sum(i * t for i, t in enumerate(terms)) / sum(terms)
    return total


cases = json.loads(pathlib.Path(sys.argv[1]).read_text())
water = cases["water"]
engine = Phreeqc(water[0]["pk"], "")
start = time.perf_counter()
for c in water:
    engine.ph(c["acids"], c["net_cations"])
phreeqc = (time.perf_counter() - start) / len(water) * 1e6
start = time.perf_counter()
for c in cases["conditional"]:
    brentq(lambda x: balance(c, x), 1.5, 9.0, xtol=1e-13)
scipy = (time.perf_counter() - start) / len(cases["conditional"]) * 1e6
print(json.dumps({"phreeqc_us": phreeqc, "scipy_us": scipy}))
