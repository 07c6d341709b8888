"""Tandems of servers as processes in SimPy.

A tick is one unit of time. Deliveries come at the whole numbers: phase 1. Each server takes its turn a
fraction of a tick later: phase 4. The fractions follow the update order; they are multiples of 1/64,
which floating point holds exactly.
"""

from math import floor

import simpy

TURNS_IN_A_TICK = 64
COOLDOWN_TICKS = 8
ARRIVAL_TICKS = 7


def wait_for_turn(env, tick, fraction):
    """Waits for the server's turn in a tick, or for the next one if that is past."""
    turn = tick + fraction
    while turn < env.now:
        turn += 1
    return env.timeout(turn - env.now)


def selector(env, fraction, inbox, hand_on, service_ticks):
    """Serves one item after the other; each takes the service time from when it begins."""
    free = 0
    while True:
        accepted = yield inbox.get()
        free = max(accepted, free) + service_ticks
        yield wait_for_turn(env, free, fraction)
        hand_on(floor(env.now))


def pulling_hopper(env, fraction, inbox, hand_on):
    """Pulls an item in one turn and pushes it 8 ticks later, in the turn in which it pulls the next.

    A hopper that finds nothing to pull then waits out 8 ticks more, for it has pushed.
    """
    while True:
        if not inbox.items:
            yield inbox.get()
            yield wait_for_turn(env, floor(env.now), fraction)
        else:
            yield inbox.get()
        while True:
            yield env.timeout(COOLDOWN_TICKS)
            hand_on(floor(env.now))
            if not inbox.items:
                break
            yield inbox.get()
        yield env.timeout(COOLDOWN_TICKS)


def pushing_hopper(env, fraction, inbox, hand_on):
    """Pushes an item 7 ticks after it came into the empty hopper, the others at intervals of 8."""
    while True:
        if inbox.items:
            yield inbox.get()
            yield env.timeout(COOLDOWN_TICKS)
        else:
            came = yield inbox.get()
            yield wait_for_turn(env, came + ARRIVAL_TICKS, fraction)
        hand_on(floor(env.now))


def deliveries(env, ticks, inbox):
    """Puts an item into the first server's inbox at each of these ticks."""
    for tick in ticks:
        if tick > env.now:
            yield env.timeout(tick - env.now)
        inbox.put(tick)


def departures(stages, arrival_ticks):
    """The tick in which each item leaves the last server."""
    env = simpy.Environment()
    departed = []
    hand_on = departed.append
    for stage in reversed(stages):
        inbox = simpy.Store(env)
        fraction = (stage["turn"] + 1) / TURNS_IN_A_TICK
        if stage["sort"] == "selector":
            process = selector(env, fraction, inbox, hand_on, stage["service_ticks"])
        elif stage["sort"] == "pulling hopper":
            process = pulling_hopper(env, fraction, inbox, hand_on)
        elif stage["sort"] == "pushing hopper":
            process = pushing_hopper(env, fraction, inbox, hand_on)
        else:
            raise ValueError(f"no such sort of stage: {stage['sort']}")
        env.process(process)
        hand_on = inbox.put
    env.process(deliveries(env, arrival_ticks, inbox))
    env.run()
    return departed
