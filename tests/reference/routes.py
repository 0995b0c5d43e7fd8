"""Holds the search for routes against general solvers: OR-Tools CP-SAT 9.15 and HiGHS 1.16.

Reads the additive instances that `cargo run --example route_instances` prints, has each solver find the cheapest choice anew
and compares it, rounded to the step in which the search counts money. Prints how long each took in all, as a ratio.
"""

import json
import math
import pathlib
import sys
import time

import highspy
import numpy
from ortools.sat.python import cp_model


def rows(v):
    """Each constraint as (coefficients, least, most)."""
    acts = v["acts"]
    n = len(acts)
    for j, wanted in enumerate(v["wanted"]):
        yield [a["brings"][j] for a in acts], wanted, math.inf
    for l in range(len(acts[0]["uses"])):
        yield [a["uses"][l] for a in acts], -math.inf, 1000
    yield [a["days"] for a in acts], -math.inf, v["days"]
    yield [1] * n, -math.inf, v["decisions"]
    for a, b in v["never"]:
        yield [1 if i in (a, b) else 0 for i in range(n)], -math.inf, 1


def by_cp_sat(v):
    model = cp_model.CpModel()
    x = [model.new_bool_var(str(i)) for i in range(len(v["acts"]))]
    for row, least, most in rows(v):
        total = sum(c * b for c, b in zip(row, x))
        model.add(total >= least) if least > -math.inf else model.add(total <= int(most))
    model.minimize(sum(a["cents"] * b for a, b in zip(v["acts"], x)))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    status = solver.solve(model)
    assert status in (cp_model.OPTIMAL, cp_model.INFEASIBLE), solver.status_name(status)
    return round(solver.objective_value) if status == cp_model.OPTIMAL else None


def by_highs(v):
    h = highspy.Highs()
    h.setOptionValue("output_flag", False)
    n = len(v["acts"])
    for a in v["acts"]:
        h.addVar(0.0, 1.0)
    for i, a in enumerate(v["acts"]):
        h.changeColCost(i, float(a["cents"]))
        h.changeColIntegrality(i, highspy.HighsVarType.kInteger)
    for row, least, most in rows(v):
        used = [i for i, c in enumerate(row) if c]
        h.addRow(max(least, -highspy.kHighsInf), min(most, highspy.kHighsInf), len(used), numpy.array(used, dtype=numpy.int32),
                 numpy.array([float(row[i]) for i in used]))
    h.setOptionValue("mip_rel_gap", 0.0)
    h.setOptionValue("threads", 1)
    h.run()
    if h.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None
    return round(h.getInfo().objective_function_value)


cases = json.loads(pathlib.Path(sys.argv[1]).read_text())
took = {"CP-SAT": 0.0, "HiGHS": 0.0}
wrong = 0
solved = 0
for at, v in enumerate(cases["instances"]):
    for name, solve in (("CP-SAT", by_cp_sat), ("HiGHS", by_highs)):
        start = time.perf_counter()
        cents = solve(v)
        took[name] += time.perf_counter() - start
        # Halves go up in the search as they do here.
        expected = None if cents is None else math.floor(cents / 100.0 / cases["step"] + 0.5) * cases["step"]
        if expected is None and v["money"] is None:
            continue
        if expected is None or v["money"] is None or abs(expected - v["money"]) > 1e-9:
            print(f"instance {at}: {name} finds {expected}, the search {v['money']}")
            wrong += 1
    solved += v["money"] is not None
count = len(cases["instances"])
print(f"routes: {count} instances, {solved} with a way, {wrong} differences; our search {cases['seconds'] * 1000:.1f} ms in all, "
      + ", ".join(f"{name} {t / max(cases['seconds'], 1e-9):.0f} times as long" for name, t in took.items()))
if wrong or count < 100 or not 40 <= solved <= count - 5:
    sys.exit(1)
if len(sys.argv) > 2:
    pathlib.Path(sys.argv[2]).write_text(json.dumps({name: t / count * 1e6 for name, t in took.items()}))
