// The state of a run at one tick, and going to another.

import { ROLE, Run } from "./run.js";
import { after } from "./unpack.js";

/**
 * @typedef {{kind: number, count: number, box: number}} Stack what a slot holds; box -1 for goods
 */

/** The state at the end of a tick. */
export class State {
  /** @param {Run} run */
  constructor(run) {
    this.run = run;
    this.tick = -1;
    this.cells = run.start.slice();
    /** How many changes are done. */
    this.done = 0;
    /** Items in each part, a box counting as one. */
    this.held = new Int32Array(run.partCount);
    /** Items in each part that do not belong there. */
    this.misplaced = new Int32Array(run.partCount);
    const modules = run.modules.length;
    this.moduleWaiting = new Int32Array(modules);
    this.moduleStored = new Int32Array(modules);
    this.moduleUnlocked = new Int32Array(modules);
    this.moduleHoppers = new Int32Array(modules);
    this.moduleMisplaced = new Int32Array(modules);
    this.moduleLoose = new Int32Array(modules);
    /** The parts of which a cell changed since these were read. @type {number[]} */
    this.touched = [];
    this.isTouched = new Uint8Array(run.partCount);
    const parts = run.firstCell[run.partCount];
    for (let cell = 0; cell < parts; cell += 1) {
      if (run.role[cell] === ROLE.lock && run.isHopper[run.partOf[cell]]) {
        this.addUp(this.moduleHoppers, run.partOf[cell], 1);
        this.addUp(this.moduleUnlocked, run.partOf[cell], 1);
      }
      this.account(cell, 0, this.cells[cell]);
    }
  }

  /**
   * Goes to the end of a tick.
   * @param {number} tick
   */
  go(tick) {
    const { ticks, cells, before, after: then } = this.run.changes;
    const target = after(ticks, tick);
    while (this.done < target) {
      this.set(cells[this.done], then[this.done]);
      this.done += 1;
    }
    while (this.done > target) {
      this.done -= 1;
      this.set(cells[this.done], before[this.done]);
    }
    this.tick = tick;
  }

  /**
   * @param {number} cell
   * @param {number} value
   */
  set(cell, value) {
    this.account(cell, this.cells[cell], value);
    this.cells[cell] = value;
    const part = this.run.partOf[cell];
    if (part >= 0) this.touch(part);
  }

  /**
   * Notes that a part may look different.
   * @param {number} part
   */
  touch(part) {
    if (this.isTouched[part]) return;
    this.isTouched[part] = 1;
    this.touched.push(part);
  }

  /**
   * Adds to the sums of every module around a part.
   * @param {Int32Array} sums
   * @param {number} part
   * @param {number} number
   */
  addUp(sums, part, number) {
    for (let module = this.run.module[part]; module >= 0; module = this.run.modules[module].parent) sums[module] += number;
  }

  /**
   * Keeps the sums up.
   * @param {number} cell
   * @param {number} old
   * @param {number} value
   */
  account(cell, old, value) {
    const { role, partOf, isHopper, isInLine } = this.run;
    const part = partOf[cell];
    if (part < 0 || old === value) return;
    const sort = role[cell];
    if (sort === ROLE.lock) {
      if (isHopper[part]) this.addUp(this.moduleUnlocked, part, old - value);
      return;
    }
    if (sort !== ROLE.slot && sort !== ROLE.queue && sort !== ROLE.loose && sort !== ROLE.standing) return;
    const more = this.items(sort, value) - this.items(sort, old);
    this.held[part] += more;
    this.addUp(isInLine[part] ? this.moduleWaiting : this.moduleStored, part, more);
    if (sort === ROLE.loose) this.addUp(this.moduleLoose, part, more);
    const store = this.run.storeOf.get(part);
    if (store && !store.overflow) {
      const wrong = this.wrong(store, value) - this.wrong(store, old);
      this.misplaced[part] += wrong;
      if (wrong) this.addUp(this.moduleMisplaced, part, wrong);
    }
  }

  /**
   * @param {import("./run.js").Store} store
   * @param {number} value
   */
  wrong(store, value) {
    if (value === 0 || value % 2 === 0) return 0;
    const stack = this.stack(value);
    return stack && !store.takes.has(stack.kind) ? stack.count : 0;
  }

  /**
   * How many items a cell's value stands for.
   * @param {number} role
   * @param {number} value
   */
  items(role, value) {
    if (value === 0) return 0;
    if (role === ROLE.queue) return this.run.lists[value].length;
    if (role === ROLE.loose) {
      const list = this.run.lists[value];
      let items = 0;
      for (let at = 0; at < list.length; at += 2) items += this.items(ROLE.slot, list[at]);
      return items;
    }
    return value % 2 === 0 ? 1 : (((value - 1) / 2) % 64) + 1;
  }

  /**
   * What a slot's value stands for.
   * @param {number} value
   * @returns {Stack | null}
   */
  stack(value) {
    if (value === 0) return null;
    if (value % 2 === 0) {
      const box = value / 2 - 1;
      return { kind: this.run.boxKinds[box], count: 1, box };
    }
    const number = (value - 1) / 2;
    return { kind: Math.floor(number / 64), count: (number % 64) + 1, box: -1 };
  }

  /**
   * The cell of a part with this role, or -1.
   * @param {number} part
   * @param {number} role
   */
  cellOf(part, role) {
    for (let cell = this.run.firstCell[part + 1] - 1; cell >= this.run.firstCell[part]; cell -= 1) {
      if (this.run.role[cell] === role) return cell;
      if (this.run.role[cell] === ROLE.slot) return -1;
    }
    return -1;
  }

  /**
   * The value of that cell; `none` where there is no such cell.
   * @param {number} part
   * @param {number} role
   * @param {number} none
   */
  valueOf(part, role, none) {
    const cell = this.cellOf(part, role);
    return cell < 0 ? none : this.cells[cell];
  }

  /**
   * The slots of a part: its own, or those of the box that stands there or the shuttle that is docked.
   * @param {number} part
   * @returns {(Stack | null)[]}
   */
  slots(part) {
    const standing = this.valueOf(part, ROLE.standing, 0);
    if (standing > 0) {
      const box = this.stack(standing)?.box ?? -1;
      return box < 0 ? [] : this.boxSlots(box);
    }
    const docked = this.valueOf(part, ROLE.docked, 0);
    if (docked > 0) return this.slots(docked - 1);
    const slots = [];
    for (let cell = this.run.firstCell[part]; cell < this.run.firstCell[part + 1]; cell += 1) {
      if (this.run.role[cell] === ROLE.slot) slots.push(this.stack(this.cells[cell]));
    }
    return slots;
  }

  /** @param {number} box */
  boxSlots(box) {
    const first = this.run.firstCellOfBox(box);
    return Array.from(this.cells.subarray(first, first + 27), (value) => this.stack(value));
  }

  /**
   * How full a part is, from 0 to 1, by its slots.
   * @param {number} part
   */
  fill(part) {
    let sum = 0;
    let slots = 0;
    for (let cell = this.run.firstCell[part]; cell < this.run.firstCell[part + 1]; cell += 1) {
      if (this.run.role[cell] !== ROLE.slot) break;
      slots += 1;
      const value = this.cells[cell];
      if (value > 0) {
        const odd = value % 2 === 1;
        const number = (value - 1) / 2;
        sum += odd ? ((number % 64) + 1) / this.run.kinds[Math.floor(number / 64)].limit : 1;
      }
    }
    return slots ? sum / slots : 0;
  }

  /** @param {number} part */
  isLocked(part) {
    return this.valueOf(part, ROLE.lock, 0) === 1;
  }

  /**
   * Ticks for which a hopper still waits.
   * @param {number} part
   */
  cooldownTicks(part) {
    return Math.max(0, this.valueOf(part, ROLE.ready, 0) - (this.tick + 1));
  }

  /**
   * What is in a list: loose stacks, or what waits in a selector.
   * @param {number} part
   * @param {number} role
   */
  list(part, role) {
    return this.run.lists[this.valueOf(part, role, 0)];
  }

  /**
   * What a part waits for.
   * @param {number} part
   * @returns {import("./run.js").Wait}
   */
  wait(part) {
    return this.run.waits[part][this.valueOf(part, ROLE.wait, 0)];
  }

  /**
   * What a part holds, or a signal's level, in words.
   * @param {number} part
   */
  holding(part) {
    const { run } = this;
    if (run.isSignal(part)) {
      const level = this.cells[run.firstCell[part]];
      return level ? `on, level ${level}` : "off, level 0";
    }
    const held = this.held[part];
    return held ? `holding ${held === 1 ? "1 item" : `${held} items`}` : "empty";
  }
}
