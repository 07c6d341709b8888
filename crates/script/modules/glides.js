// What is on its way between parts at a moment: items around their move, and what floats along a stream.

import { LINK, ROLE, Run } from "./run.js";
import { after } from "./unpack.js";

/** The sorts of events in which an item goes from a part to another. See `record.rs`. */
const EVENT = { moved: 0, thrown: 4, collected: 7, set: 9 };

/**
 * @typedef {(from: number, to: number, share: number, kind: number, isFloating: boolean) => void} Visit
 *   what is on its way: from a part to another, which share of the way it has gone, of what kind, and
 *   whether it floats along the first part, which is a stream
 */

/** What is on its way in a run. */
export class Glides {
  /** @param {Run} run */
  constructor(run) {
    this.run = run;
    /** An item is on its way for half a cooldown before its move, and for as long after it. */
    this.half = run.cooldownTicks / 2;
    /** Of each part where it lets go to, and where it collects from, or -1. */
    const [to, from] = [new Int32Array(run.partCount).fill(-1), new Int32Array(run.partCount).fill(-1)];
    run.linkSort.forEach((sort, link) => {
      if (sort !== LINK.loose) return;
      to[run.linkFrom[link]] = run.linkTo[link];
      from[run.linkTo[link]] = run.linkFrom[link];
    });
    /** Of each shape of event the part from which something goes and the one to which; -1 for nothing. */
    this.from = Int32Array.from(run.shapes, ({ sort, one }) => (sort === EVENT.collected ? from[one] : one));
    this.to = Int32Array.from(run.shapes, ({ sort, one, other }) => {
      if (sort === EVENT.moved || sort === EVENT.set) return other;
      if (sort === EVENT.thrown) return to[one];
      return sort === EVENT.collected && from[one] >= 0 ? one : -1;
    });
    this.kind = Int32Array.from(run.shapes, ({ kind }) => kind);
    this.streamTo = to;
    /** Whether each part is one where things lie or float, and the streams to each mouth. */
    this.isLoose = Uint8Array.from({ length: run.partCount }, (_, part) => (["mouth", "stream"].includes(run.sortOf(part)) ? 1 : 0));
    /** @type {Map<number, number[]>} */
    this.streamsOf = new Map();
    to.forEach((mouth, stream) => {
      if (mouth >= 0 && this.isLoose[stream]) this.streamsOf.set(mouth, [...(this.streamsOf.get(mouth) ?? []), stream]);
    });
    /** @type {{part: number, kind: number, from: number, until: number}[]} */
    this.floats = [];
    this.floatTicks = new Int32Array(0);
    this.longest = 0;
    this.readFloats();
  }

  /** What floats: of every stack in a stream when it came there and when it was gone, by the first. */
  readFloats() {
    const { run } = this;
    const { floats } = this;
    /** @type {Map<number, Map<string, number>>} of the cell of each stream what is in it, and since when */
    const inside = new Map();
    const turn = (/** @type {number} */ cell, /** @type {number} */ tick, /** @type {number} */ value) => {
      const list = run.lists[value];
      const before = inside.get(cell) ?? new Map();
      const now = new Map();
      for (let at = 0; at < list.length; at += 2) {
        const key = `${list[at]} ${list[at + 1]} ${at / 2 - list.indexOf(list[at])}`;
        now.set(key, before.get(key) ?? tick);
        before.delete(key);
      }
      for (const [key, from] of before) {
        floats.push({ part: run.partOf[cell], kind: run.kindOf(Number(key.split(" ")[0])), from, until: tick });
      }
      inside.set(cell, now);
    };
    const isStream = Uint8Array.from(run.role, (role, cell) =>
      (role === ROLE.loose && run.sortOf(run.partOf[cell]) === "stream" ? 1 : 0));
    if (!isStream.includes(1)) return;
    isStream.forEach((is, cell) => { if (is && run.start[cell] > 0) turn(cell, 0, run.start[cell]); });
    const { ticks, cells, after: then } = run.changes;
    for (let at = 0; at < cells.length; at += 1) if (isStream[cells[at]]) turn(cells[at], ticks[at], then[at]);
    for (const cell of inside.keys()) turn(cell, run.runTicks, 0);
    floats.sort((one, other) => one.from - other.from);
    this.longest = floats.reduce((most, { from, until }) => Math.max(most, until - from), 0);
    this.floatTicks = Int32Array.from(floats, ({ from }) => from);
  }

  /**
   * Visits all that is on its way at a moment.
   * @param {number} moment
   * @param {Visit} visit
   */
  each(moment, visit) {
    const { run, half, from, to, kind, floats, longest } = this;
    const end = after(run.eventTicks, Math.ceil(moment + half) - 1);
    for (let at = after(run.eventTicks, Math.floor(moment - half)); at < end; at += 1) {
      const shape = run.events[at];
      if (to[shape] < 0) continue;
      visit(from[shape], to[shape], (moment - run.eventTicks[at] + half) / (2 * half), kind[shape], false);
    }
    const last = after(this.floatTicks, Math.floor(moment));
    for (let at = after(this.floatTicks, Math.floor(moment - longest) - 1); at < last; at += 1) {
      const { part, until, from: since, kind: of } = floats[at];
      if (until > moment) visit(part, this.streamTo[part], (moment - since) / (until - since), of, true);
    }
  }
}
