// Where things stand, block by block. See `stand.rs`, which numbers the blocks.

import { Shelf } from "./unpack.js";

/** The way to the neighbour on each side, by the side's number; 0 is none. */
export const STEPS = [[0, 0, 0], [1, 0, 0], [-1, 0, 0], [0, 1, 0], [0, -1, 0], [0, 0, 1], [0, 0, -1]];
/** The sides as layouts write them. */
export const SIDE_NAMES = ["", "+x", "-x", "+y", "-y", "+z", "-z"];

/** What a block belongs to that is no part. */
export const BLOCK = { wire: -1, full: -2, cap: -3, room: -4 };

/** The blocks of a hall. */
export class Stand {
  /**
   * @param {any} data
   * @param {Shelf} shelf
   */
  constructor(data, shelf) {
    /** @type {Int32Array} */
    const none = new Int32Array(0);
    /** Of each part the number of its first block, then those of wire, full blocks, caps, rooms, and of all. */
    this.first = none;
    this.x = none;
    this.y = none;
    this.z = none;
    /** Of each block its part, or what it is. */
    this.of = none;
    /** Of each part the side to which it points, or on which it is fastened. */
    this.faces = none;
    /** @type {Map<number, string>} of each block of a room the name of the room */
    this.rooms = new Map();
    /** @type {Map<number, string>} of each part in a room the name of the room */
    this.roomOf = new Map();
    /** @type {Set<number>} docks that stand at a side of their shuttle and fill nothing */
    this.atShuttles = new Set();
    /** Which two blocks of wire join, one after the other. */
    this.joints = none;
    /** A block of wire and a side on which it turns to something else, one after the other. */
    this.turned = none;
    /** @type {Map<number, number[]>} of a block of wire that is no part: a part it hears and what is lost, and so on */
    this.heard = new Map();
    /** The heights at which parts or wire stand, from the bottom. */
    this.heights = none;
    this.read(data, shelf);
  }

  /**
   * @param {any} data
   * @param {Shelf} shelf
   */
  read(data, shelf) {
    const counts = shelf.numbers(data.counts);
    const [x, y, z] = [shelf.series(data.x), shelf.series(data.y), shelf.series(data.z)];
    const heard = shelf.numbers(data.heard);
    this.first = new Int32Array(counts.length + 1);
    counts.forEach((count, at) => { this.first[at + 1] = this.first[at] + count; });
    [this.x, this.y, this.z] = [x, y, z].map((row, axis) => row.map((offset) => offset + data.least[axis]));
    this.of = new Int32Array(x.length);
    const parts = counts.length - 4;
    for (let at = 0; at < counts.length; at += 1) {
      this.of.fill(at < parts ? at : parts - 1 - at, this.first[at], this.first[at + 1]);
    }
    let block = this.first[counts.length - 1];
    for (const [name, count, inside] of data.rooms) {
      for (const part of inside) this.roomOf.set(part, name);
      for (const end = block + count; block < end; block += 1) this.rooms.set(block, name);
    }
    this.faces = shelf.numbers(data.faces);
    this.atShuttles = new Set(shelf.numbers(data.atShuttles));
    this.joints = shelf.numbers(data.joints);
    this.turned = shelf.numbers(data.turned);
    for (let at = 0; at < heard.length; at += 3) {
      const known = this.heard.get(heard[at]) ?? [];
      known.push(heard[at + 1], heard[at + 2]);
      this.heard.set(heard[at], known);
    }
    const stands = this.y.filter((_, block) => this.of[block] >= BLOCK.wire);
    this.heights = Int32Array.from(new Set(stands)).sort();
  }

  /**
   * The numbers of a part's blocks.
   * @param {number} part
   */
  blocksOf(part) {
    return Array.from({ length: this.first[part + 1] - this.first[part] }, (_, at) => this.first[part] + at);
  }

  /** @param {number} part */
  stands(part) {
    return this.first[part + 1] > this.first[part];
  }

  /**
   * The blocks of two parts that are nearest to each other, by their numbers.
   * @param {number} from
   * @param {number} to
   * @returns {[number, number]}
   */
  nearest(from, to) {
    /** @type {[number, number]} */
    let found = [this.first[from], this.first[to]];
    let least = Infinity;
    for (let a = this.first[from]; a < this.first[from + 1]; a += 1) {
      for (let b = this.first[to]; b < this.first[to + 1]; b += 1) {
        const far = Math.abs(this.x[a] - this.x[b]) + Math.abs(this.y[a] - this.y[b]) + Math.abs(this.z[a] - this.z[b]);
        if (far < least) {
          least = far;
          found = [a, b];
        }
      }
    }
    return found;
  }

  /**
   * Where a part stands, in words; nothing of one that stands nowhere.
   * @param {number} part
   * @param {string} sort
   */
  words(part, sort) {
    if (this.atShuttles.has(part)) return "stands at a side of its shuttle";
    if (this.roomOf.has(part)) return `stands in the room ${this.roomOf.get(part)}`;
    if (!this.stands(part)) return "stands nowhere";
    const at = (/** @type {number} */ block) => `(${this.x[block]}, ${this.y[block]}, ${this.z[block]})`;
    const [first, last] = [this.first[part], this.first[part + 1] - 1];
    const name = SIDE_NAMES[this.faces[part]];
    const way = !name ? "" : isFastened(sort) ? `, fastened on ${name}` : sort === "observer" ? `, its eye to ${name}` : `, pointing to ${name}`;
    return `stands at ${at(first)}${last > first ? ` to ${at(last)}` : ""}${way}`;
  }
}

/**
 * Whether a part's side is the one on which it is fastened, not one to which it gives something.
 * @param {string} sort
 */
export function isFastened(sort) {
  return sort === "inverter" || sort === "lever" || sort === "button";
}
