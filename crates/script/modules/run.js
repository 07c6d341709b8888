// One run as the page's file holds it: the network, the map, the record, the series.

import { Stand } from "./stand.js";
import { Shelf } from "./unpack.js";

/** What a cell holds. See `cells.rs`, which lays them out. */
export const ROLE = { slot: 0, lock: 1, ready: 2, level: 3, queue: 4, loose: 5, trip: 6, docked: 7, standing: 8, wait: 9 };

/** What a link is for, by its number. */
export const LINK = { push: 0, pull: 1, loose: 2, round: 3, input: 4, lock: 5, trigger: 6, release: 7, reading: 8, watch: 9 };

const BOX_SLOTS = 27;
const HELD_IN_LINES = new Set(["hopper", "dropper", "selector", "mouth", "stream"]);

/**
 * @typedef {{name: string, limit: number, box: boolean}} Kind
 * @typedef {{tick: number, sort: string, name: string, part: string | null}} Moment
 * @typedef {{name: string, label: string, parent: number, x: number, y: number, w: number, h: number, parts: number[], modules: number[]}} Module
 * @typedef {{name: string, takes: Set<number>, overflow: boolean}} Store
 * @typedef {{name: string, parts: Int32Array}} Section
 * @typedef {{from: number, until: number, how: string}} Spell from this tick up to, not including, that one
 * @typedef {{sort: number, one: number, other: number, kind: number, count: number}} Shape what an
 *   event is about: its sort, two parts (-1 for none), a kind, a count
 * @typedef {{words: string, by: number, ticks: number, isFull: boolean, class: number}} Wait what a part waits for, with `{}` where the
 *   part that causes it is named (-1 for none), for how long in the whole run, and whether that part
 *   has no room
 */

/** A run. */
export class Run {
  /**
   * @param {any} data
   * @param {Shelf} shelf
   */
  constructor(data, shelf) {
    /** @type {string} */
    this.name = data.name;
    /** @type {number} */
    this.ticksPerSecond = data.ticksPerSecond;
    /** @type {number} */
    this.runTicks = data.runTicks;
    /** @type {number} how long a hopper waits after a move */
    this.cooldownTicks = data.cooldownTicks;
    /** @type {Kind[]} */
    this.kinds = data.kinds;
    /** @type {Moment[]} */
    this.flags = data.flags;
    /** @type {{tick: number | null, part: string | null}} where and when what went wrong first shows */
    this.first = data.first;
    /** @type {[number, number][]} */
    this.exact = data.record.exact;
    /** @type {number} */
    this.stepTicks = data.record.stepTicks;
    /** @type {Module[]} */
    this.modules = readModules(data.modules, shelf);
    /** @type {string[]} */
    this.tails = shelf.names(data.parts.names);
    /** @type {string[]} */
    this.sorts = data.parts.sorts;
    this.partCount = this.tails.length;
    /** @type {Section[]} */
    this.sections = [];
    /** @type {Map<number, Store>} the store of a part */
    this.storeOf = new Map();
    /** @type {Map<number, Spell[]>} of each part, the times for which it sleeps or is stuck */
    this.spellsOf = new Map();
    /** @type {Stand | null} where things stand, block by block, if any part does */
    this.stand = null;
    /** @type {string[]} */
    this.flows = data.flows;
    /** @type {import("./stopped.js").Stop[]} */
    this.stops = data.stops;
    /** @type {Int32Array} */
    const none = new Int32Array(0);
    /** For each part: its sort, its module, its place in cells. */
    this.sort = none;
    this.module = none;
    this.x = new Float32Array(0);
    this.y = new Float32Array(0);
    /** For each part: whether it holds what is on its way, and whether it is a hopper. */
    this.isInLine = new Uint8Array(0);
    this.isHopper = new Uint8Array(0);
    this.linkFrom = none;
    this.linkTo = none;
    this.linkSort = none;
    /** The first cell of each part; of each cell, the part and the role. */
    this.firstCell = none;
    this.partOf = none;
    this.role = new Uint8Array(0);
    this.cellCount = 0;
    this.boxKinds = none;
    /** @type {Int32Array[]} */
    this.lists = [];
    /** @type {Wait[][]} what each part waited for; its cell of that role says which it is now */
    this.waits = [];
    this.start = none;
    this.changes = { ticks: none, cells: none, before: none, after: none };
    /** @type {Shape[]} */
    this.shapes = [];
    this.events = none;
    this.eventTicks = none;
    this.seriesStep = 1;
    /** @type {Int32Array[]} */
    this.backlog = [];
    /** @type {Int32Array[]} */
    this.counted = [];
    this.unlocked = none;
    this.loose = none;
    this.work = none;
    this.read(data, shelf);
  }

  /**
   * How a part is held at a tick, if it sleeps or is stuck.
   * @param {number} part
   * @param {number} tick
   * @returns {Spell[]}
   */
  spellsAt(part, tick) {
    return (this.spellsOf.get(part) ?? []).filter(({ from, until }) => from <= tick && tick < until);
  }

  /**
   * Reads everything that the constructor left.
   * @param {any} data
   * @param {Shelf} shelf
   */
  read({ parts, links, record, series, stores, sections, spells, waits, stand }, shelf) {
    this.sort = shelf.numbers(parts.sort);
    this.module = shelf.numbers(parts.module);
    this.x = Float32Array.from(shelf.series(parts.x), (hundredths) => hundredths / 100);
    this.y = Float32Array.from(shelf.series(parts.y), (hundredths) => hundredths / 100);
    this.module.forEach((of, part) => this.modules[of].parts.push(part));
    this.isInLine = Uint8Array.from(this.sort, (number) => (HELD_IN_LINES.has(this.sorts[number]) ? 1 : 0));
    this.isHopper = Uint8Array.from(this.sort, (number) => (this.sorts[number] === "hopper" ? 1 : 0));
    this.linkFrom = shelf.series(links.from);
    this.linkTo = shelf.series(links.to);
    this.linkSort = shelf.numbers(links.sort);
    this.readRecord(record, shelf.numbers(parts.cells), shelf);
    this.readWaits(waits, shelf);
    for (const { name, parts: members, takes, overflow } of stores) {
      const store = { name, takes: new Set(shelf.numbers(takes)), overflow };
      for (const part of shelf.numbers(members)) this.storeOf.set(part, store);
    }
    for (const { name, line, queue } of sections) {
      const both = new Set([...shelf.numbers(line), ...shelf.numbers(queue)]);
      this.sections.push({ name, parts: Int32Array.from(both) });
    }
    for (const { from, until, how, parts: members } of spells) {
      for (const part of shelf.numbers(members)) {
        const known = this.spellsOf.get(part) ?? [];
        known.push({ from, until, how });
        this.spellsOf.set(part, known);
      }
    }
    if (stand) this.stand = new Stand(stand, shelf);
    this.seriesStep = series.stepTicks;
    this.backlog = series.backlog.map((/** @type {number} */ row) => shelf.series(row));
    this.counted = series.counted.map((/** @type {number} */ row) => shelf.series(row));
    this.unlocked = shelf.series(series.unlocked);
    this.loose = shelf.series(series.loose);
    this.work = shelf.series(series.work);
  }

  /**
   * @param {any} record
   * @param {Int32Array} cells
   * @param {Shelf} shelf
   */
  readRecord(record, cells, shelf) {
    this.boxKinds = shelf.numbers(record.boxKinds);
    this.layCells(cells);
    const lists = shelf.numbers(record.lists);
    for (let at = 0; at < lists.length; at += 1 + lists[at]) {
      this.lists.push(lists.subarray(at + 1, at + 1 + lists[at]));
    }
    this.start = new Int32Array(this.cellCount);
    const start = shelf.numbers(record.start);
    let cell = 0;
    for (let at = 0; at < start.length; at += 2) {
      cell += start[at];
      this.start[cell] = start[at + 1];
    }
    this.readChanges(record, shelf);
    const shapes = shelf.numbers(record.shapes);
    for (let at = 0; at < shapes.length; at += 5) {
      this.shapes.push({
        sort: shapes[at], one: shapes[at + 1], other: shapes[at + 2] - 1,
        kind: shapes[at + 3], count: shapes[at + 4],
      });
    }
    this.events = shelf.numbers(record.events);
    this.eventTicks = shelf.ticks(record.eventTicks, this.events.length);
  }

  /**
   * @param {{words: [string, string][], classes: number[], full: number | null, ofParts: number}} waits
   * @param {Shelf} shelf
   */
  readWaits(waits, shelf) {
    const numbers = shelf.numbers(waits.ofParts);
    for (let at = 0; at < numbers.length;) {
      const list = [];
      const end = at + 1 + 3 * numbers[at];
      for (at += 1; at < end; at += 3) {
        const by = numbers[at + 1] - 1;
        const [named, alone] = waits.words[numbers[at]];
        list.push({ words: by < 0 ? alone : named, by, ticks: numbers[at + 2], isFull: numbers[at] === waits.full, class: waits.classes[numbers[at]] });
      }
      this.waits.push(list);
    }
  }

  /**
   * Every change, with what the cell held before, so that time can be gone through both ways.
   * @param {any} record
   * @param {Shelf} shelf
   */
  readChanges(record, shelf) {
    const cells = shelf.signed(record.cells);
    const deltas = shelf.signed(record.deltas);
    const ticks = shelf.ticks(record.ticks, cells.length);
    const before = new Int32Array(cells.length);
    const after = new Int32Array(cells.length);
    const now = this.start.slice();
    let cell = 0;
    for (let at = 0; at < cells.length; at += 1) {
      if (at > 0 && ticks[at] !== ticks[at - 1]) cell = 0;
      cell += cells[at];
      cells[at] = cell;
      before[at] = now[cell];
      now[cell] = this.role[cell] === ROLE.ready ? ticks[at] + 1 + deltas[at] : now[cell] + deltas[at];
      after[at] = now[cell];
    }
    this.changes = { ticks, cells, before, after };
  }

  /**
   * Which part each cell is of, and what it holds.
   * @param {Int32Array} cells how many each part has
   */
  layCells(cells) {
    this.firstCell = new Int32Array(this.partCount + 1);
    for (let part = 0; part < this.partCount; part += 1) {
      this.firstCell[part + 1] = this.firstCell[part] + cells[part];
    }
    const partCells = this.firstCell[this.partCount];
    this.cellCount = partCells + BOX_SLOTS * this.boxKinds.length;
    this.role = new Uint8Array(this.cellCount);
    this.partOf = new Int32Array(this.cellCount).fill(-1);
    /** @type {Record<string, number[]>} the roles of a part's last cells */
    const last = {
      hopper: [ROLE.lock, ROLE.ready], container: [], dropper: [], mouth: [ROLE.loose], stream: [ROLE.loose],
      bench: [ROLE.standing], selector: [ROLE.queue, ROLE.lock], place: [ROLE.docked], shuttle: [ROLE.trip],
    };
    for (let part = 0; part < this.partCount; part += 1) {
      const [from, to] = [this.firstCell[part], this.firstCell[part + 1]];
      this.partOf.fill(part, from, to);
      const roles = [...(last[this.sortOf(part)] ?? [ROLE.level]), ROLE.wait];
      roles.forEach((role, at) => { this.role[to - roles.length + at] = role; });
    }
  }

  /** @param {number} box */
  firstCellOfBox(box) {
    return this.firstCell[this.partCount] + box * BOX_SLOTS;
  }

  /** @param {number} part */
  sortOf(part) {
    return this.sorts[this.sort[part]];
  }

  /**
   * The kind of what a slot's value stands for. See `cells.rs`.
   * @param {number} value
   */
  kindOf(value) {
    return value % 2 === 0 ? this.boxKinds[value / 2 - 1] : Math.floor((value - 1) / 128);
  }

  /** @param {number} part */
  isSignal(part) {
    return this.role[this.firstCell[part]] === ROLE.level;
  }

  /** @param {number} module */
  moduleName(module) {
    const words = [];
    for (let at = module; at > 0; at = this.modules[at].parent) words.unshift(this.modules[at].name);
    return words.join(".");
  }

  /** @param {number} part */
  partName(part) {
    const module = this.moduleName(this.module[part]);
    return module ? `${module}.${this.tails[part]}` : this.tails[part];
  }

  /**
   * All parts in a module and in those in it.
   * @param {number} module
   * @returns {number[]}
   */
  partsIn(module) {
    const { parts, modules } = this.modules[module];
    return [...parts, ...modules.flatMap((inner) => this.partsIn(inner))];
  }

  /**
   * The part of a name, or -1.
   * @param {string} name
   */
  find(name) {
    for (let part = 0; part < this.partCount; part += 1) {
      if (name.endsWith(this.tails[part]) && this.partName(part) === name) return part;
    }
    return -1;
  }

  /**
   * Whether the state at a tick is exact.
   * @param {number} tick
   */
  isExact(tick) {
    return this.exact.some(([from, to]) => from <= tick && tick < to);
  }
}

/**
 * The modules, each with the modules in it; their parts come later.
 * @param {any} data
 * @param {Shelf} shelf
 * @returns {Module[]}
 */
function readModules(data, shelf) {
  const [parents, x, y, w, h] = [shelf.numbers(data.parent), ...[data.x, data.y, data.w, data.h].map((row) => shelf.series(row))];
  const modules = shelf.names(data.names).map((name, at) => ({
    name, label: name, parent: parents[at] - 1, x: x[at] / 100, y: y[at] / 100, w: w[at] / 100, h: h[at] / 100,
    parts: /** @type {number[]} */ ([]), modules: /** @type {number[]} */ ([]),
  }));
  modules.forEach(({ parent }, number) => { if (parent >= 0) modules[parent].modules.push(number); });
  for (const [number, goods] of data.goods) modules[number].label = `${goods} (${modules[number].name})`;
  return modules;
}
