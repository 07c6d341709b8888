// Goods on their way, drawn where they are: a letter for each kind, boxes as boxes, a figure for many.

import { Glides } from "./glides.js";
import { seldom } from "./pace.js";
import { goodsSigns } from "./signs.js";

/** @typedef {import("./map.js").HallMap} HallMap */

/** More than so many on one way at once are a figure. */
const HANDFUL = 5;
/** Below so many pixels a part, goods near each other are a figure. */
const FAR = 11;
/** In a square of so many pixels they are near each other. */
const NEAR = 96;

/** The goods on their way. */
export class Goods {
  constructor() {
    /** @type {Map<import("./run.js").Run, {glides: Glides, signs: string[]}>} */
    this.known = new Map();
    /** @type {HTMLElement | null} where the signs that are seen are named, of the first map */
    this.key = null;
    /** What was drawn last: where in pixels, of what kind. */
    this.x = new Float32Array(256);
    this.y = new Float32Array(256);
    this.kind = new Int32Array(256);
    this.way = new Float64Array(256);
    this.count = 0;
    /** The signs that were drawn last, with their kinds. @type {Set<string>} */
    this.seen = new Set();
    this.name = seldom(() => this.writeKey());
    /** @type {{x: number, y: number, items: number}[]} the figures that were drawn last */
    this.figures = [];
  }

  /** @param {import("./run.js").Run} run */
  of(run) {
    let known = this.known.get(run);
    if (!known) {
      known = { glides: new Glides(run), signs: goodsSigns(run.kinds) };
      this.known.set(run, known);
    }
    return known;
  }

  /**
   * Draws what is on its way at the map's moment.
   * @param {HallMap} map
   */
  draw(map) {
    const { run, scale, view } = map;
    const { glides, signs } = this.of(run);
    const [right, bottom] = [view.w * scale, view.h * scale];
    this.count = 0;
    this.figures = [];
    glides.each(map.moment, (from, to, share, kind, isFloating) => {
      const spot = map.placed ? map.placed.spot(map, from, to, share, isFloating) : map.spot(from, to, share);
      if (!spot || spot[0] < 0 || spot[1] < 0 || spot[0] > right || spot[1] > bottom) return;
      if (this.count === this.x.length) this.grow();
      this.x[this.count] = spot[0];
      this.y[this.count] = spot[1];
      this.kind[this.count] = kind;
      this.way[this.count] = scale < FAR ? Math.floor(spot[0] / NEAR) + 4096 * Math.floor(spot[1] / NEAR) : spot[2];
      this.count += 1;
    });
    this.gather(scale < FAR ? 0 : HANDFUL);
    const size = Math.max(6.5, Math.min(12, scale * 0.25));
    const seen = new Set();
    for (let at = 0; at < this.count; at += 1) {
      if (this.way[at] < 0) continue;
      const { name, box } = run.kinds[this.kind[at]];
      drawGoods(map.pen, map.colour, this.x[at], this.y[at], size, signs[this.kind[at]], box);
      seen.add(`${signs[this.kind[at]]} ${name}`);
    }
    for (const { x, y, items } of this.figures) drawMany(map.pen, map.colour, x, y, items);
    if (seen.size === this.seen.size && [...seen].every((words) => this.seen.has(words))) return;
    this.seen = seen;
    this.name();
  }

  /** Names the signs that are seen. */
  writeKey() {
    const words = [...this.seen].sort().join(" · ");
    if (!this.key) return;
    this.key.dataset.words = words;
    this.key.textContent = words ? `On its way: ${words}` : "";
  }

  /** Room for twice as many. */
  grow() {
    const twice = (/** @type {Float32Array | Int32Array | Float64Array} */ row) => {
      const more = new /** @type {any} */ (row.constructor)(row.length * 2);
      more.set(row);
      return more;
    };
    [this.x, this.y, this.kind, this.way] = [twice(this.x), twice(this.y), twice(this.kind), twice(this.way)];
  }

  /**
   * Makes figures of those that are too many on one way.
   * @param {number} most
   */
  gather(most) {
    /** @type {Map<number, {x: number, y: number, items: number}>} */
    const ways = new Map();
    for (let at = 0; at < this.count; at += 1) {
      const sum = ways.get(this.way[at]);
      if (sum) {
        sum.x += this.x[at];
        sum.y += this.y[at];
        sum.items += 1;
      } else ways.set(this.way[at], { x: this.x[at], y: this.y[at], items: 1 });
    }
    for (let at = 0; at < this.count; at += 1) {
      const items = ways.get(this.way[at])?.items ?? 0;
      if (items > most) this.way[at] = -1;
    }
    for (const { x, y, items } of ways.values()) {
      if (items > most) this.figures.push({ x: x / items, y: y / items, items });
    }
  }
}

/**
 * Goods: a disc with the sign of their kind; a box is a square with a lid.
 * @param {CanvasRenderingContext2D} pen
 * @param {import("./glyphs.js").Colours} colour
 * @param {number} x
 * @param {number} y
 * @param {number} size half of its width
 * @param {string} sign
 * @param {boolean} isBox
 */
export function drawGoods(pen, colour, x, y, size, sign, isBox) {
  pen.fillStyle = colour.ink;
  pen.strokeStyle = colour.sheet;
  pen.lineWidth = 1.5;
  pen.beginPath();
  if (isBox) pen.rect(x - size, y - size, size * 2, size * 2);
  else pen.arc(x, y, size, 0, Math.PI * 2);
  pen.fill();
  pen.stroke();
  if (isBox) {
    pen.beginPath();
    pen.moveTo(x - size, y - size * 0.5);
    pen.lineTo(x + size, y - size * 0.5);
    pen.stroke();
  }
  pen.fillStyle = colour.sheet;
  pen.textAlign = "center";
  pen.textBaseline = "middle";
  pen.font = `600 ${size * [0, 1.35, 1, 0.78][Math.min(3, sign.length)]}px system-ui, sans-serif`;
  pen.fillText(sign, x, y + size * (isBox ? 0.3 : 0.08));
}

/**
 * So many goods on one way or near each other.
 * @param {CanvasRenderingContext2D} pen
 * @param {import("./glyphs.js").Colours} colour
 * @param {number} x
 * @param {number} y
 * @param {number} items
 */
export function drawMany(pen, colour, x, y, items) {
  const words = `×${items}`;
  const half = 5 + words.length * 3;
  pen.fillStyle = colour.ink;
  pen.strokeStyle = colour.sheet;
  pen.lineWidth = 1.5;
  pen.beginPath();
  pen.roundRect(x - half, y - 8, half * 2, 16, 3);
  pen.fill();
  pen.stroke();
  pen.fillStyle = colour.sheet;
  pen.textAlign = "center";
  pen.textBaseline = "middle";
  pen.font = "600 11px system-ui, sans-serif";
  pen.fillText(words, x, y + 0.5);
}

/** The signs of goods on their way. @type {import("./glyphs.js").LegendRow[]} */
export const GOODS_SIGNS = [
  { words: "on its way: the letter of its kind", draw: (pen, colour, x, y, size) => drawGoods(pen, colour, x + 12, y + size / 2, 10, "B", false) },
  { words: "a box on its way", draw: (pen, colour, x, y, size) => drawGoods(pen, colour, x + 12, y + size / 2, 10, "S", true) },
  { words: "so many on one way, or near each other", draw: (pen, colour, x, y, size) => drawMany(pen, colour, x + 16, y + size / 2, 12) },
];
