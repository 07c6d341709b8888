"""Figures of planned halls, worked out from a catalogue and a hall.

Written from the page on planning and the rules that it names: an item needs at most 8 ticks for a hopper of a line; a
section has at most 14 blocks of slices, and stands one block lower than the one before it; wire and air carry a signal
18 steps. Whole numbers only.
"""

from collections import deque

SORTS = ["bulk", "multi", "oddments"]
LINE_THOUSANDTHS = 9_000_000  # 2.5 items a second for an hour, in thousandths of an item
MOST_BLOCKS_A_SECTION = 14
MOST_STEPS = 18
TURN_BLOCKS = 3
SLOTS_OF_BARREL, SLOTS_OF_DOUBLE = 27, 54


def up(number, divisor):
    """Divides, and rounds up."""
    return -(-number // divisor)


def stacks(good):
    return max(1, up(good["amount"], good["stack_limit"]))


def sort_of(good, hall):
    """Which sort of slice a kind gets."""
    there = [slice is not None for slice in hall["slices"]]
    wish = good["wish"].split(" ")[0]
    if wish in SORTS:
        return wish
    if good["stack_limit"] == 1:
        return "oddments"
    bulk, multi = there[0], there[1]
    if bulk and multi:
        slice = hall["slices"][1]
        share = hall["bulk_share"]
        # Without a share it is what is left to each kind of a slice that is full of kinds.
        many = stacks(good) * slice["kinds"] > slice["slots"] if share is None else stacks(good) > share * slice["slots"]
        return "bulk" if many else "multi"
    return "bulk" if bulk else "multi" if multi else "oddments"


def parts_of_kinds(goods, slots):
    """How many slices all kinds fill up, and what each leaves for its last slice: stacks, and whether it is such a rest."""
    full, rests = 0, []
    for good in goods:
        before = up(stacks(good), slots) - 1
        full += before
        rests.append((stacks(good) - before * slots, before > 0))
    return full, rests


def lower_bound(goods, slice):
    """As many slices as the stacks fill, and as many as the kinds need."""
    full, rests = parts_of_kinds(goods, slice["slots"])
    by_room = up(sum(stacks(good) for good in goods), slice["slots"])
    return max(by_room, up(full + len(rests), slice["kinds"]))


def first_fit_decreasing(goods, slice):
    """How many slices, if families count for nothing. The rests of two large kinds never share one."""
    full, rests = parts_of_kinds(goods, slice["slots"])
    bins = []
    for size, is_rest in sorted(rests, key=lambda rest: -rest[0]):
        for bin in bins:
            fits = bin["stacks"] + size <= slice["slots"] and bin["kinds"] < slice["kinds"]
            if fits and not (is_rest and bin["is_rest"]):
                break
        else:
            bin = {"stacks": 0, "kinds": 0, "is_rest": False}
            bins.append(bin)
        bin["stacks"] += size
        bin["kinds"] += 1
        bin["is_rest"] |= is_rest
    return full + len(bins)


def levels(slice):
    """A barrel at the top, double chests below it, and one more barrel if half a double chest is left."""
    doubles, left = divmod(slice["slots"] - SLOTS_OF_BARREL, SLOTS_OF_DOUBLE)
    return doubles, left > 0


def reserve(hall, sort, used, kinds):
    """How many slices are wished to be free."""
    growth = hall["growth"]
    if "share_tenths" in growth:
        return up(used * growth["share_tenths"], 10)
    if "slices" in growth:
        return growth["slices"][SORTS.index(sort)]
    return up(growth["new_kinds"] * used, max(1, kinds))


def run_on_ticks(sort, slice, hoppers):
    """From the head to the last chest: the line, the filter with what gathers below it, each chest, and one to spare."""
    below = 1 if sort == "oddments" else 2 + slice["kinds"]
    doubles, last = levels(slice)
    return 8 * hoppers + 15 * (below + 1 + doubles + last) + 15


def sections_of(counts, hall):
    """The sections of all lines, in order: as many places as 14 blocks and the time from a stop allow."""
    found = []
    for sort, slice, count in zip(SORTS, hall["slices"], counts):
        if slice is None:
            continue
        width = slice["width_blocks"]
        most = MOST_BLOCKS_A_SECTION // width
        if slice["sections"] is not None:
            most = min(most, up(count, slice["sections"]))
        while most > 1 and run_on_ticks(sort, slice, most * width) > hall["stop_within_ticks"]:
            most -= 1
        most = max(most, 1)
        for first in range(0, count, most):
            places = min(most, count - first)
            found.append({
                "name": f"{sort} {first // most + 1}",
                "sort": sort,
                "first": first,
                "places": places,
                "hoppers": places * width,
                "run_on": run_on_ticks(sort, slice, places * width),
            })
    return found


def walk(sections, sides, length):
    """Walks along the rows with every section: where its first hopper is, and which way the line runs.

    Rows run there and back. What does not end before the turn goes into the next row, over a way: across the aisle 13
    hoppers, back to back 7, and 12 to the next row of a hall with one side. In a hall with two sides a row that comes
    back is one hopper longer at its end than its slices, and its last section has at least three. None if a section is longer than a row.
    """
    room = length - TURN_BLOCKS
    x, y, z, row, is_begun = 0, 0, 0, 0, False
    found = []

    def tail(hoppers):
        return max(1, 3 - hoppers) if sides == 2 and row % 2 == 1 else 0

    for section in sections:
        while True:
            forward = -1 if row % 2 else 1
            end = x + forward * (section["hoppers"] + 1 + tail(section["hoppers"]))
            if 0 <= end < room:
                found.append(dict(section, row=row, at=(x + forward, y, z), forward=forward))
                x, y, is_begun = x + forward * (section["hoppers"] + 1), y - 1, True
                break
            if not is_begun:
                return None
            longer = tail(found[-1]["hoppers"])
            found[-1]["hoppers"] += longer
            found[-1]["run_on"] += 8 * longer
            x += forward * longer
            apart = 13 if sides == 1 else 8 if row % 2 else 14
            found.append({
                "name": f"way {row + 1}",
                "sort": None,
                "places": 0,
                "hoppers": apart - 1,
                "run_on": 8 * apart,
                "row": row,
                "at": (x, y, z + 1),
                "forward": 0,
            })
            z, y, row, is_begun = z + apart, y - 1, row + 1, False
    return found


def rows_of(walked):
    return walked[-1]["row"] + 1


def least_length(sections, hall):
    """The shortest rows with which there are as many as are wished: two for each sort that has sections, or one."""
    rows = hall["rows"]
    if rows is None:
        rows = hall["sides"] * max(1, len({section["sort"] for section in sections}))
    blocks = sum(section["hoppers"] + 1 for section in sections)
    for length in range(blocks // rows, blocks + 2 * TURN_BLOCKS + 1):
        walked = walk(sections, hall["sides"], length)
        if walked is not None and rows_of(walked) <= rows:
            return length
    return None


def rooms_on_the_way(walked):
    """Through how many rooms the switch comes to each section: from room to room as far as a signal carries."""
    places = [section["at"] for section in walked]
    rooms = {0: 1}
    open = deque([0])
    while open:
        here = open.popleft()
        for there in range(len(places)):
            if there not in rooms:
                x, y, z = (abs(a - b) for a, b in zip(places[here], places[there]))
                if max(x + z, y) <= MOST_STEPS:
                    rooms[there] = rooms[here] + 1
                    open.append(there)
    return rooms


def promised_ticks(walked):
    """From a stop until each section is safe to close: 2 ticks a room, running out, and 14 for gates and a last pulse."""
    rooms = rooms_on_the_way(walked)
    return [2 * rooms[number] + section["run_on"] + 14 for number, section in enumerate(walked)]
