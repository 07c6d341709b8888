// What happened: the events of a part, recent flow, waits in words.

import { ROLE, Run } from "./run.js";
import { after } from "./unpack.js";
import { count } from "./words.js";

/** For so many ticks back a flow counts as recent: two seconds. */
export const RECENT_TICKS = 40;

/**
 * An event in words, from the side of a part.
 * @param {Run} run
 * @param {number} shape
 * @param {number} part
 */
export function eventWords(run, shape, part) {
  const { sort, one, other, kind, count: items } = run.shapes[shape];
  const what = run.kinds[kind]?.name ?? "";
  const much = items === 1 ? what : `${items} ${what}`;
  const name = (/** @type {number} */ of) => (of < 0 ? "" : run.partName(of));
  switch (sort) {
    case 0: return part === one ? `${what} to ${name(other)}` : `${what} from ${name(one)}`;
    case 1: return `${much} delivered`;
    case 2: return `${much} taken out by the operator`;
    case 3: return "clicked: nothing inside";
    case 4: return `${what} thrown`;
    case 5: return `${much} came loose`;
    case 6: return `${much} merged into a stack that lay there`;
    case 7: return `${much} collected`;
    case 8: return `LOST: ${much}`;
    case 9: return part === one ? `set ${what} down at ${name(other)}` : `${what} set down by ${name(one)}`;
    case 10: return `${what} lifted`;
    case 11: return part === one ? `docked at ${name(other)}` : `${name(one)} docked`;
    case 12: return part === one ? `left ${name(other)}` : `${name(one)} left`;
    default: return "";
  }
}

/**
 * Every event of a part: moves, and changes of its lock or level, by tick.
 * @param {Run} run
 * @param {number} part
 * @returns {{tick: number, words: string, moves: boolean}[]}
 */
export function eventsOf(run, part) {
  const list = [];
  const mine = Uint8Array.from(run.shapes, (shape) => (shape.one === part || shape.other === part ? 1 : 0));
  for (let at = 0; at < run.events.length; at += 1) {
    if (mine[run.events[at]]) {
      list.push({ tick: run.eventTicks[at], words: eventWords(run, run.events[at], part), moves: run.shapes[run.events[at]].sort !== 3 });
    }
  }
  const { ticks, cells, after: then } = run.changes;
  const [from, to] = [run.firstCell[part], run.firstCell[part + 1]];
  for (let at = 0; at < cells.length; at += 1) {
    const cell = cells[at];
    if (cell >= from && cell < to) {
      if (run.role[cell] === ROLE.lock) list.push({ tick: ticks[at], words: then[at] ? "locked" : "unlocked", moves: false });
      if (run.role[cell] === ROLE.level) list.push({ tick: ticks[at], words: `level ${then[at]}`, moves: true });
    }
  }
  return list.sort((one, other) => one.tick - other.tick);
}

/**
 * A wait in words.
 * @param {Run} run
 * @param {import("./run.js").Wait} wait
 */
export function waitWords(run, wait) {
  return wait.by < 0 ? wait.words : wait.words.replace("{}", () => run.partName(wait.by));
}

/**
 * The ticks from which on a part waited for something else, as far as they are kept.
 * @param {Run} run
 * @param {number} part
 * @returns {number[]}
 */
export function waitsBegun(run, part) {
  const { ticks, cells } = run.changes;
  const cell = run.firstCell[part + 1] - 1;
  const begun = [];
  for (let at = 0; at < cells.length; at += 1) if (cells[at] === cell) begun.push(ticks[at]);
  return begun;
}

/**
 * How often each shape of event came up in the last ticks.
 * @param {Run} run
 * @param {number} tick
 * @param {(shape: number) => void} each
 */
export function recentEvents(run, tick, each) {
  const end = after(run.eventTicks, tick);
  for (let at = after(run.eventTicks, tick - RECENT_TICKS); at < end; at += 1) each(run.events[at]);
}

/**
 * @param {Run} run
 * @param {number} kind
 * @param {number} items
 */
export function kindWords(run, kind, items) {
  const { name, box } = run.kinds[kind];
  return box ? `${count(items, "box", "boxes")} (${name})` : `${items} ${name}`;
}
