// The way of one item: where it was, from when until when, and what it waited for there. Items of a kind are
// alike, so the first that came into a part is the first that leaves it.

import { Glides } from "./glides.js";
import { ROLE, Run } from "./run.js";
import { State } from "./state.js";
import { after } from "./unpack.js";
import { waitWords } from "./events.js";
import { byId, element, grouped, seconds } from "./words.js";

/**
 * @typedef {{part: number, from: number, until: number}} Visit a part from a tick up to, not including, another
 * @typedef {{kind: number, visits: Visit[], end: string}} Story
 */

/** How an item's way ends, by the sort of event. */
const ENDS = /** @type {Record<number, string>} */ ({ 2: "taken out by the operator", 8: "lost" });

/**
 * Follows the item of a kind that has been in a part for longest at a tick.
 * @param {Run} run
 * @param {Glides} glides
 * @param {number} part
 * @param {number} kind
 * @param {number} tick
 * @returns {Story | null} nothing where the record has no single moves, or there is none
 */
export function followItem(run, glides, part, kind, tick) {
  const span = run.exact.find(([from, until]) => from <= tick && tick < until);
  if (!span) return null;
  const [begin, end] = span;
  /** @type {Map<number, Story[]>} of a part and a kind what is there, the first in first */
  const queues = new Map();
  const queue = (/** @type {number} */ at, /** @type {number} */ of) => {
    const key = at * run.kinds.length + of;
    const known = queues.get(key) ?? [];
    queues.set(key, known);
    return known;
  };
  const come = (/** @type {number} */ at, /** @type {Story} */ item, /** @type {number} */ since) => {
    item.visits.push({ part: at, from: since, until: end });
    queue(at, item.kind).push(item);
  };
  const fresh = (/** @type {number} */ of) => /** @type {Story} */ ({ kind: of, visits: [], end: "" });
  const leave = (/** @type {number} */ at, /** @type {number} */ of, /** @type {number} */ then) => {
    const item = queue(at, of).shift() ?? fresh(of);
    const last = item.visits[item.visits.length - 1];
    if (last) last.until = then;
    return item;
  };
  const before = new State(run);
  before.go(begin > 0 ? begin : -1);
  for (let cell = 0; cell < run.firstCell[run.partCount]; cell += 1) {
    const [value, role] = [before.cells[cell], run.role[cell]];
    if (value === 0) continue;
    const values = role === ROLE.slot || role === ROLE.standing ? [value]
      : role === ROLE.queue ? run.lists[value] : role === ROLE.loose ? run.lists[value].filter((_, at) => at % 2 === 0) : [];
    for (const each of values) {
      for (let items = before.items(ROLE.slot, each); items > 0; items -= 1) come(run.partOf[cell], fresh(run.kindOf(each)), begin);
    }
  }
  /** @type {Story[]} what was thrown and has not come to lie anywhere yet */
  const thrown = [];
  /** @type {Story | undefined} */
  let found;
  let at = after(run.eventTicks, begin > 0 ? begin : -1);
  for (; at < run.events.length && run.eventTicks[at] < end; at += 1) {
    const now = run.eventTicks[at];
    if (!found && now > tick) found = queue(part, kind)[0];
    const shape = run.events[at];
    const { sort, one, kind: of, count } = run.shapes[shape];
    if (sort === 0 || sort === 9) come(glides.to[shape], leave(one, of, now), now);
    else if (sort === 1 && !glides.isLoose[one]) for (let each = 0; each < count; each += 1) come(one, fresh(of), now);
    else if (sort === 4) thrown.push(leave(one, of, now));
    else if (sort === 5) {
      for (let each = 0; each < count; each += 1) {
        const place = thrown.findIndex((item) => item.kind === of);
        come(one, place < 0 ? fresh(of) : thrown.splice(place, 1)[0], now);
      }
    } else if (sort === 7) {
      for (let each = 0; each < count; each += 1) {
        // What floated to the mouth came there without an event.
        const source = [glides.from[shape], ...(glides.streamsOf.get(glides.from[shape]) ?? [])].find((place) => queue(place, of).length > 0);
        come(one, leave(source ?? glides.from[shape], of, now), now);
      }
    } else if (ENDS[sort]) for (let each = 0; each < count; each += 1) leave(one, of, now).end = ENDS[sort];
  }
  return found ?? queue(part, kind)[0] ?? null;
}

/** The panel of an item's way. */
export class StoryPanel {
  /**
   * @param {(part: number) => void} choose
   * @param {(tick: number) => void} go
   */
  constructor(choose, go) {
    this.choose = choose;
    this.go = go;
    this.box = byId("story", HTMLElement);
    /** @type {Story | null} */
    this.story = null;
    this.rides = false;
    this.at = -1;
    /** @type {() => void} called when another item is followed, or none */
    this.onFollow = () => {};
  }

  /**
   * Shows the way of an item, or none.
   * @param {Run} run
   * @param {Story | null} story
   */
  show(run, story) {
    this.story = story;
    this.at = -1;
    this.box.hidden = !story;
    this.box.replaceChildren();
    if (story) this.draw(run, story);
    this.onFollow();
  }

  /**
   * @param {Run} run
   * @param {Story} story
   */
  draw(run, story) {
    const button = (/** @type {string} */ words, /** @type {() => void} */ act, className = "") => {
      const made = element("button", words, className);
      made.type = "button";
      made.addEventListener("click", act);
      return made;
    };
    const ride = button("Ride along", () => {
      this.rides = !this.rides;
      ride.setAttribute("aria-pressed", String(this.rides));
      this.at = -1;
      this.onFollow();
    });
    ride.setAttribute("aria-pressed", String(this.rides));
    const { visits, kind, end } = story;
    // Where it stays in the end is no stop on its way.
    const longest = (end || visits.length < 2 ? visits : visits.slice(0, -1)).reduce((one, other) => (other.until - other.from > one.until - one.from ? other : one));
    const last = visits[visits.length - 1];
    const span = (/** @type {Visit} */ { from, until }) => seconds(until - from, run.ticksPerSecond);
    const ends = end ? `${end} at ${run.partName(last.part)}` : `at the end in ${run.partName(last.part)}: ${waitedFor(run, last)}`;
    const list = element("ol", "", "events");
    list.append(...visits.map((visit) => {
      const row = element("li");
      const times = button(`${seconds(visit.from, run.ticksPerSecond)}, ${grouped(visit.until - visit.from)} t`, () => this.go(visit.from), "row");
      row.append(times, button(run.partName(visit.part), () => this.choose(visit.part), "link"), `: ${waitedFor(run, visit)}`);
      return row;
    }));
    this.box.append(element("h2", `One ${run.kinds[kind].name} and its way`), ride, button("End", () => this.show(run, null)),
      element("p", `${visits.length} parts; longest in ${run.partName(longest.part)}, ${span(longest)}: ${waitedFor(run, longest)}; ${ends}.`),
      element("p", "Items of a kind are alike: the first in is taken to be the first out.", "hint"), list);
  }

  /**
   * Marks where it is at a tick; the part, if it is another one than before, or -1.
   * @param {number} tick
   */
  mark(tick) {
    const at = this.story?.visits.findIndex(({ from, until }) => from <= tick && tick < until) ?? -1;
    if (at === this.at) return -1;
    this.at = at;
    const rows = [...this.box.querySelectorAll("li")];
    rows.forEach((row, each) => (each === at ? row.setAttribute("aria-current", "true") : row.removeAttribute("aria-current")));
    if (at >= 0) rows[at].parentElement?.scrollTo({ top: rows[at].offsetTop - rows[0].offsetTop - 60 });
    return at < 0 ? -1 : this.story?.visits[at].part ?? -1;
  }
}

/**
 * What a part waited for longest in a time, in words.
 * @param {Run} run
 * @param {Visit} visit
 */
function waitedFor(run, { part, from, until }) {
  if (until <= from) return "on in the same tick";
  const { ticks, cells, after: then } = run.changes;
  const cell = run.firstCell[part + 1] - 1;
  const sums = new Map();
  let [now, since] = [run.start[cell], from];
  const add = (/** @type {number} */ tick) => {
    if (tick > since) sums.set(now, (sums.get(now) ?? 0) + tick - since);
    since = Math.max(since, tick);
  };
  for (let at = 0; at < cells.length && ticks[at] < until; at += 1) {
    if (cells[at] !== cell) continue;
    add(ticks[at]);
    now = then[at];
  }
  add(until);
  const [most] = [...sums].sort(([, one], [, other]) => other - one)[0] ?? [0];
  return waitWords(run, run.waits[part][most]);
}
