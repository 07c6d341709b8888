"""Compares the engine with SimPy, and petgraph with networkx, case for case.

Use: python compare.py FOLDER, where FOLDER holds what the Rust test `exchange::cases_for_python`
wrote. Ends with status 1 if anything differs, or if a case made wrong on purpose goes unnoticed.
"""

import json
import sys
from pathlib import Path

from cuts import minimum_cut
from tandems import departures


def read(folder, name):
    return json.loads((Path(folder) / name).read_text(encoding="utf-8"))


def with_one_slower(stages):
    """The stages, one of them wrong: a selector one tick slower, or one hopper of another sort."""
    wrong = [dict(stage) for stage in stages]
    other = {"pulling hopper": "pushing hopper", "pushing hopper": "pulling hopper"}
    if wrong[0]["sort"] == "selector":
        wrong[0]["service_ticks"] += 1
    else:
        wrong[0]["sort"] = other[wrong[0]["sort"]]
    return wrong


def compare_tandems(cases):
    """Says what differs, and how many items were compared. Hands back whether all is well."""
    items = differences = unnoticed = 0
    for case in cases:
        expected, arrivals = case["departure_ticks"], case["arrival_ticks"]
        simulated = departures(case["stages"], arrivals)
        items += len(expected)
        if len(simulated) != len(expected):
            differences += 1
            print(f"seed {case['seed']}: {len(expected)} items by the engine, {len(simulated)} by SimPy")
        for item, (by_engine, by_simpy) in enumerate(zip(expected, simulated)):
            if by_engine != by_simpy:
                differences += 1
                print(f"seed {case['seed']}: item {item} leaves at {by_engine} by the engine, at {by_simpy} by SimPy")
                break
        unnoticed += departures(with_one_slower(case["stages"]), arrivals) == expected
    print(f"tandems: {len(cases)} cases, {items} items compared, {differences} cases differ")
    print(f"tandems made wrong on purpose: {len(cases) - unnoticed} of {len(cases)} noticed")
    return len(cases) > 0 and items > 0 and differences == 0 and unnoticed == 0


def compare_cuts(cases):
    """Says what differs, and how many cuts were compared. Hands back whether all is well."""
    differences = unnoticed = broken = 0
    for case in cases:
        value, cut = minimum_cut(case, case["edges"])
        if value != case["minimum_cut"]:
            differences += 1
            print(f"seed {case['seed']}: cut {case['minimum_cut']} by petgraph, {value} by networkx")
        if cut:
            broken += 1
            edges = list(case["edges"])
            edges.remove(cut[0])
            unnoticed += minimum_cut(case, edges)[0] == case["minimum_cut"]
    print(f"minimum cuts: {len(cases)} graphs compared, {differences} differ")
    print(f"graphs without one link of the cut: {broken - unnoticed} of {broken} noticed")
    return broken > 0 and differences == 0 and unnoticed == 0


def main():
    if len(sys.argv) != 2:
        sys.exit("use: python compare.py FOLDER")
    folder = sys.argv[1]
    results = [
        compare_tandems(read(folder, "tandems.json")),
        compare_cuts(read(folder, "graphs.json")),
    ]
    sys.exit(0 if all(results) else 1)


if __name__ == "__main__":
    main()
