"""Works planned halls out anew, and compares them with their reports.

Use: python compare_plans.py FOLDER, where FOLDER holds what the Rust test `exchange::plans_for_python` wrote. Ends with
status 1 if anything differs, or if a case made wrong on purpose goes unnoticed. Python alone is enough.
"""

import copy
import json
import sys
from pathlib import Path

import plans
from plans import SORTS, stacks, up


def compare(case):
    """All that differs, one sentence each."""
    report, hall, goods = case["report"], case["hall"], case["goods"]
    said = []

    def same(what, by_plan, worked_out):
        if by_plan != worked_out:
            said.append(f"{what}: {by_plan} by the plan, {worked_out} worked out")

    by_name = {good["name"]: good for good in goods}
    same("kinds", report["kinds"], len(goods))
    allocation(report, hall, by_name, same)
    slices(report, hall, goods, same)
    counts = [sum(place["section"].startswith(sort + " ") for place in report["allocation"]) for sort in SORTS]
    sections = plans.sections_of(counts, hall)
    length = plans.least_length(sections, hall)
    same("length", report["length_blocks"], length)
    if length is not None:
        walked = plans.walk(sections, hall["sides"], length)
        same("rows", report["rows"], plans.rows_of(walked))
        standing(report, hall, walked, by_name, same)
        parts(report, hall, walked, by_name, same)
    return said


def allocation(report, hall, by_name, same):
    """Every kind is where it belongs, in slices next to one another that have room for it."""
    slices_of = {}
    for place in report["allocation"]:
        sort = place["section"].split(" ")[0]
        slice = hall["slices"][SORTS.index(sort)]
        for kind in place["kinds"]:
            slices_of.setdefault(kind, []).append((sort, place["slice"]))
        where = f"{sort} {place['slice']}"
        same(f"{where} too full", place["used_stacks"] > slice["slots"], False)
        same(f"{where} has too many kinds", len(place["kinds"]) > slice["kinds"], False)
        same(f"room of {where}", place["room_stacks"], slice["slots"])
        same(f"state of {where}", place["state"], state(place, sort, hall))
    same("kinds that lie somewhere", sorted(slices_of), sorted(by_name))
    lie = {sort: 0 for sort in SORTS}
    for kind, where in slices_of.items():
        if kind not in by_name:
            continue
        sort = plans.sort_of(by_name[kind], hall)
        slots = hall["slices"][SORTS.index(sort)]["slots"]
        same(f"sort of {kind}", {sort for sort, _ in where}, {sort})
        same(f"slices of {kind}", len(where), up(stacks(by_name[kind]), slots))
        numbers = [number for _, number in where]
        left_out = [number for number in range(numbers[0], numbers[-1]) if is_left_out(hall, sort, number)]
        same(f"gap between slices of {kind}", numbers[-1] - numbers[0] + 1 - len(left_out), len(numbers))
        lie[sort] += stacks(by_name[kind])
        side = by_name[kind]["wish"].partition("side ")[2]
        if side:
            sides = {place["side"] for place in report["allocation"] if kind in place["kinds"]}
            same(f"side of {kind}", sides, {int(side)})
    for sort in SORTS:
        own = [place for place in report["allocation"] if place["section"].startswith(sort + " ")]
        same(f"stacks in {sort}", sum(place["used_stacks"] for place in own), lie[sort])


def is_left_out(hall, sort, number):
    gap = hall["left_out"]
    return gap is not None and gap[0] == sort and gap[1] <= number < gap[1] + gap[2]


def state(place, sort, hall):
    if is_left_out(hall, sort, place["slice"]):
        return "left out"
    return "used" if place["kinds"] else "free"


def slices(report, hall, goods, same):
    """How many slices there are of each sort, beside how many would do."""
    for figures in report["slices"]:
        sort = figures["sort"]
        slice = hall["slices"][SORTS.index(sort)]
        own = [good for good in goods if plans.sort_of(good, hall) == sort]
        mixed = plans.first_fit_decreasing(own, slice)
        bound = plans.lower_bound(own, slice)
        same(f"kinds in {sort}", figures["kinds"], len(own))
        same(f"lower bound of {sort}", figures["lower_bound_slices"], bound)
        same(f"{sort} if families are mixed", figures["without_families_slices"], mixed)
        same(f"{sort} above the bound", figures["above_bound_slices"], figures["used_slices"] - bound)
        sided = any("side" in good["wish"] for good in own)
        if hall["families"] == "Mixed" and not sided:
            same(f"slices of {sort}", figures["used_slices"], mixed)
        # Each family has slices of its own at the worst.
        families = {}
        for good in own:
            families.setdefault(good["family"] or good["name"], []).append(good)
        apart = sum(plans.first_fit_decreasing(members, slice) for members in families.values())
        same(f"slices of {sort} within their limits", bound <= figures["used_slices"] <= max(apart, mixed), True)
        reserve = plans.reserve(hall, sort, figures["used_slices"], len(goods))
        same(f"reserve of {sort}", figures["reserve_slices"], reserve)
        same(f"free {sort} enough", figures["free_slices"] >= reserve, True)
        same(f"room of {sort}", figures["room_stacks"], figures["used_slices"] * slice["slots"])
        same(f"stacks of {sort}", figures["used_stacks"], sum(map(stacks, own)))


def standing(report, hall, walked, by_name, same):
    """What stands where, what passes it, and how long it stops."""
    same("sections", [one["name"] for one in report["sections"]], [one["name"] for one in walked])
    promised = plans.promised_ticks(walked)
    left = sum(good["inflow_thousandths"] for good in by_name.values())
    same("inflow", report["flow"]["inflow_thousandths_per_hour"], left)
    same("line", report["flow"]["line_thousandths_per_hour"], plans.LINE_THOUSANDTHS)
    same("share of the line", report["flow"]["share_permille"], up(left * 1000, plans.LINE_THOUSANDTHS))
    places = iter(report["allocation"])
    taken = set()
    for one, own, ticks in zip(report["sections"], walked, promised):
        name = own["name"]
        same(f"row of {name}", one["row"], own["row"] + 1)
        same(f"places of {name}", one["places"], own["places"])
        same(f"hoppers of {name}", one["line_hoppers"], own["hoppers"])
        same(f"blocks of {name} too many", own["hoppers"] > plans.MOST_BLOCKS_A_SECTION + 2, False)
        same(f"stop of {name}", one["stop_at_most_ticks"], ticks)
        same(f"inflow of {name}", one["inflow_thousandths_per_hour"], left)
        same(f"share of {name}", one["share_permille"], up(left * 1000, plans.LINE_THOUSANDTHS))
        if own["sort"] is None:
            continue
        width = hall["slices"][SORTS.index(own["sort"])]["width_blocks"]
        for number in range(own["places"]):
            place = next(places, None)
            if place is None:
                same(f"place {number} of {name}", None, "there")
                continue
            # In a row that comes back the place's last block is its first from the input's end.
            begins = own["at"][0] + own["forward"] * width * number
            first = begins if own["forward"] == 1 else begins - width + 1
            same(f"section of place {number} of {name}", place["section"], name)
            same(f"number of place {number} of {name}", place["slice"], own["first"] + number + 1)
            same(f"blocks of place {number} of {name}", (place["first_block"], place["width_blocks"]), (first, width))
            same(f"row of place {number} of {name}", place["row"], own["row"] + 1)
            same(f"side of place {number} of {name}", place["side"], own["row"] % hall["sides"] + 1)
            new = [kind for kind in place["kinds"] if kind in by_name and kind not in taken]
            taken.update(new)
            coming = sum(by_name[kind]["inflow_thousandths"] for kind in new)
            same(f"inflow of place {number} of {name}", place["inflow_thousandths_per_hour"], coming)
            left -= coming
    same("inflow that no slice takes", left, 0)
    same("places beyond the sections", next(places, None), None)


def parts(report, hall, walked, by_name, same):
    """Counts hoppers, chests, filters and what gives signals, slice for slice."""
    hoppers = sum(1 + one["hoppers"] for one in walked)
    comparators = 2 * len(walked)
    # The chest for what no slice takes, and a buffer over each head.
    doubles, barrels, selectors, filled = 1 + len(walked), 0, 0, 0
    slots = 0
    for place in report["allocation"]:
        sort = place["section"].split(" ")[0]
        kinds = [by_name[kind] for kind in place["kinds"] if kind in by_name]
        if not kinds:
            continue
        slice = hall["slices"][SORTS.index(sort)]
        own_doubles, last = plans.levels(slice)
        doubles, barrels, slots = doubles + own_doubles, barrels + 1 + last, slots + slice["slots"]
        # Between two chests, one leads down.
        hoppers += own_doubles + last
        if sort == "oddments":
            # The eye stands in place of the last hopper; one leads down below it.
            selectors += 1
        else:
            # A sieve, the hopper that it opens and one that gathers for each kind.
            hoppers += 3 * len(kinds)
            comparators += len(kinds)
            filled += sum(45 if good["stack_limit"] == 64 else 14 for good in kinds)
    counts = report["parts"]
    items, signals = counts["items"], counts["signals"]
    same("hoppers", items.get("hopper", 0), hoppers)
    same("double chests", items.get("double chest", 0), doubles)
    same("barrels", items.get("barrel", 0), barrels)
    same("selectors", items.get("selector", 0), selectors)
    same("comparators", signals.get("comparator", 0), comparators)
    same("holds", signals.get("hold", 0), 2 * len(walked))
    same("levers", signals.get("lever", 0), 1)
    same("items in filters", counts["goods_in_filters"], filled)
    same("storage slots", counts["storage_slots"], slots)
    same("other slots", counts["other_slots"], plans.SLOTS_OF_DOUBLE * (1 + len(walked)))
    same("hoppers a block", counts["hoppers_a_block"], round(hoppers / report["length_blocks"] + 1e-9, 2))


def made_wrong(case):
    """The case with one thing wrong, over and over: each must be noticed."""

    def wrong(change):
        other = copy.deepcopy(case)
        change(other)
        return other

    def add(*path):
        def change(other):
            place = other["report"]
            for step in path[:-1]:
                place = place[step]
            place[path[-1]] += 1

        return wrong(change)

    used = [number for number, place in enumerate(case["report"]["allocation"]) if place["state"] == "used"]
    last = len(case["report"]["sections"]) - 1
    yield "length", add("length_blocks")
    yield "rows", add("rows")
    yield "hoppers", add("parts", "items", "hopper")
    yield "comparators", add("parts", "signals", "comparator")
    yield "storage", add("parts", "storage_slots")
    yield "a stop", add("sections", last, "stop_at_most_ticks")
    yield "what passes", add("sections", last, "inflow_thousandths_per_hour")
    yield "a share", add("sections", 0, "share_permille")
    yield "a line", add("sections", 0, "line_hoppers")
    yield "a bound", add("slices", 0, "lower_bound_slices")
    yield "mixed families", add("slices", 0, "without_families_slices")
    yield "a place", add("allocation", used[-1], "first_block")
    yield "a side", add("allocation", used[0], "side")
    yield "stacks", add("allocation", used[0], "used_stacks")
    yield "a kind that lies nowhere", wrong(lambda other: other["report"]["allocation"][used[0]]["kinds"].pop())
    yield "a kind that is not there", wrong(lambda other: other["goods"].pop())
    yield "an amount", wrong(lambda other: other["goods"][0].update(amount=other["goods"][0]["amount"] + 64 * 27))
    yield "an inflow", wrong(lambda other: other["goods"][0].update(inflow_thousandths=1 + other["goods"][0]["inflow_thousandths"]))


def main():
    if len(sys.argv) != 2:
        sys.exit("use: python compare_plans.py FOLDER")
    cases = json.loads((Path(sys.argv[1]) / "plans.json").read_text(encoding="utf-8"))
    differing = wrong = noticed = 0
    for case in cases:
        said = compare(case)
        differing += bool(said)
        for sentence in said[:5]:
            print(f"seed {case['seed']}: {sentence}")
        for what, other in made_wrong(case):
            wrong += 1
            if compare(other):
                noticed += 1
            else:
                print(f"seed {case['seed']}: {what} made wrong, and not noticed")
    kinds = sum(len(case["goods"]) for case in cases)
    print(f"planned halls: {len(cases)} with {kinds} kinds compared, {differing} differ")
    print(f"planned halls made wrong on purpose: {noticed} of {wrong} noticed")
    sys.exit(0 if cases and wrong and not differing and noticed == wrong else 1)


if __name__ == "__main__":
    main()
