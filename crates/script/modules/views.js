// A placed hall as it is seen from above, from the side, or at one height: which blocks are seen, and how
// they are drawn.

import { around, drawFacing, drawFigure, drawGone, drawName, drawPlainBlock, drawRoom, drawStanding } from "./blocks.js";
import { clipped } from "./glyphs.js";
import { recentEvents } from "./events.js";
import { LINK, Run } from "./run.js";
import { BLOCK, Stand, STEPS } from "./stand.js";
import { State } from "./state.js";

/**
 * @typedef {import("./map.js").HallMap} HallMap
 * @typedef {import("./blocks.js").Box} Box
 * @typedef {"above" | "side" | "height"} ViewKind
 * @typedef {{near: number, blocks: number[], hidden: Set<number>}} Cell what is seen of one line of sight:
 *   how near it is, and the parts behind it
 * @typedef {{from: number, to: number, flow: number}} Way a way of goods between two blocks
 */

/** Below so many pixels a block, a part is a speck. */
const SPECK = 5;

/** One view of a placed hall. */
export class HallView {
  /**
   * @param {Run} run
   * @param {ViewKind} kind
   * @param {number} height the height that is shown, of that kind
   * @param {boolean} isTurned whether it is seen from the other side
   */
  constructor(run, kind, height, isTurned) {
    this.run = run;
    this.stand = /** @type {Stand} */ (run.stand);
    this.kind = kind;
    this.height = height;
    this.isTurned = isTurned;
    const count = this.stand.x.length;
    /** Of each block where it is in the picture, in blocks, and how near. */
    this.u = new Int32Array(count);
    this.v = new Int32Array(count);
    /** Whether each block is seen. */
    this.isShown = new Uint8Array(count);
    /** @type {Map<string, Cell>} */
    this.cells = new Map();
    /** The parts that are seen, and the blocks of wire, of which some are no parts. @type {number[]} */
    this.parts = [];
    /** @type {number[]} */
    this.wires = [];
    /** The full blocks and caps that are seen. @type {number[]} */
    this.plain = [];
    /** The whole picture, in blocks. */
    this.whole = { x: 0, y: 0, w: 1, h: 1 };
    /** @type {Way[]} */
    this.ways = [];
    /** @type {{box: Box, words: string}[] | null} the goods of modules, and where their blocks are */
    this.labels = null;
    /** @type {Map<number, number>} of two parts the number of the way between them */
    this.wayNumbers = new Map();
    /** The way along which an event of each shape goes, or -1. */
    this.wayOfShape = new Int32Array(0);
    this.project();
    this.layOut();
    this.findWays();
  }

  /** Where a way in the hall leads in the picture: right, down, and towards who looks. */
  turned(/** @type {number} */ x, /** @type {number} */ y, /** @type {number} */ z) {
    if (this.kind !== "side") return { u: x, v: z, near: y };
    return this.isTurned ? { u: -x, v: -y, near: -z } : { u: x, v: -y, near: z };
  }

  /** Where every block is in the picture. */
  project() {
    const { stand, u, v } = this;
    for (let block = 0; block < u.length; block += 1) {
      const at = this.turned(stand.x[block], stand.y[block], stand.z[block]);
      u[block] = at.u;
      v[block] = at.v;
    }
    const least = (/** @type {Int32Array} */ row) => row.reduce((one, other) => Math.min(one, other), row[0] ?? 0);
    const [left, top] = [least(u), least(v)];
    // So that the picture begins at 0.
    u.forEach((at, block) => { u[block] = at - left; });
    v.forEach((at, block) => { v[block] = at - top; });
    const most = (/** @type {Int32Array} */ row) => row.reduce((one, other) => Math.max(one, other), 0);
    this.whole = { x: -0.5, y: -0.5, w: most(u) + 2, h: most(v) + 2 };
  }

  /** @param {number} block */
  near(block) {
    const { stand } = this;
    return this.turned(stand.x[block], stand.y[block], stand.z[block]).near;
  }

  /** @param {number} block */
  isThere(block) {
    return this.kind !== "height" || this.stand.y[block] === this.height;
  }

  /** Which blocks are seen: the nearest parts and wire, and full blocks where there are none. */
  layOut() {
    const { stand, cells } = this;
    const take = (/** @type {number} */ block) => {
      if (!this.isThere(block)) return;
      const key = `${this.u[block]} ${this.v[block]}`;
      const near = this.near(block);
      const cell = cells.get(key);
      if (!cell) cells.set(key, { near, blocks: [block], hidden: new Set() });
      else if (near === cell.near) cell.blocks.push(block);
      else if (near < cell.near) cell.hidden.add(stand.of[block]);
      else {
        for (const behind of cell.blocks) cell.hidden.add(stand.of[behind]);
        cell.near = near;
        cell.blocks = [block];
      }
    };
    const partBlocks = stand.of.findIndex((of) => of < BLOCK.wire);
    const things = partBlocks < 0 ? stand.of.length : partBlocks;
    for (let block = 0; block < things; block += 1) take(block);
    for (const cell of cells.values()) for (const block of cell.blocks) this.isShown[block] = 1;
    const parts = new Set();
    for (let block = 0; block < things; block += 1) {
      if (!this.isShown[block]) continue;
      const of = stand.of[block];
      if (this.isWire(of)) this.wires.push(block);
      if (of >= 0) parts.add(of);
    }
    this.parts = [...parts];
    const seen = new Map();
    for (let block = things; block < stand.of.length; block += 1) {
      const key = `${this.u[block]} ${this.v[block]}`;
      if (!this.isThere(block) || cells.has(key)) continue;
      const before = seen.get(key);
      if (before === undefined || this.near(before) < this.near(block)) seen.set(key, block);
    }
    this.plain = [...seen.values()];
  }

  /** @param {number} of a part, or what a block is */
  isWire(of) {
    return of === BLOCK.wire || (of >= 0 && this.run.sortOf(of) === "wire");
  }

  /**
   * The number of the way between two parts; -1 if one of them stands nowhere.
   * @param {number} from
   * @param {number} to
   * @returns {number}
   */
  wayBetween(from, to) {
    const { run, stand, wayNumbers } = this;
    if (from === to || from < 0 || to < 0 || !stand.stands(from) || !stand.stands(to)) return -1;
    const key = from * run.partCount + to;
    const known = wayNumbers.get(key);
    if (known !== undefined) return known;
    const [a, b] = stand.nearest(from, to);
    const way = this.ways.push({ from: a, to: b, flow: 0 }) - 1;
    wayNumbers.set(key, way);
    return way;
  }

  /** Along which way each event goes. */
  findWays() {
    this.wayOfShape = Int32Array.from(this.run.shapes, ({ one, other, sort }) =>
      (other >= 0 && (sort === 0 || sort === 9) ? this.wayBetween(one, other) : -1));
  }

  /**
   * A block in the picture, in blocks.
   * @param {number} block
   * @returns {Box}
   */
  box(block) {
    return { x: this.u[block], y: this.v[block], w: 1, h: 1 };
  }

  /**
   * The blocks of a part that are seen, or all of them if none is.
   * @param {number} part
   */
  blocksOf(part) {
    const all = this.stand.blocksOf(part);
    const seen = all.filter((block) => this.isShown[block]);
    return { blocks: seen.length > 0 ? seen : all, isSeen: seen.length > 0 };
  }

  /**
   * Where some parts are in the picture, in blocks; `null` if none of them stands.
   * @param {number[]} parts
   */
  around(parts) {
    const blocks = parts.flatMap((part) => this.blocksOf(part).blocks);
    return blocks.length > 0 ? around(blocks.map((block) => this.box(block))) : null;
  }

  /**
   * The part at a place of the picture, or -1.
   * @param {number} x
   * @param {number} y
   */
  at(x, y) {
    const cell = this.cells.get(`${Math.floor(x)} ${Math.floor(y)}`);
    const parts = (cell?.blocks ?? []).map((block) => this.stand.of[block]).filter((of) => of >= 0);
    // A mouth stands in its stream.
    return parts.find((part) => this.run.sortOf(part) !== "stream") ?? parts[0] ?? -1;
  }

  /**
   * The parts behind the one that is seen at a place.
   * @param {number} x
   * @param {number} y
   */
  behind(x, y) {
    const cell = this.cells.get(`${Math.floor(x)} ${Math.floor(y)}`);
    const seen = new Set(cell?.blocks.map((block) => this.stand.of[block]));
    return [...(cell?.hidden ?? [])].filter((part) => part >= 0 && !seen.has(part));
  }

  /**
   * What a block of wire that is no part says at a place; nothing where there is none.
   * @param {State} state
   * @param {number} x
   * @param {number} y
   */
  wireWords(state, x, y) {
    const cell = this.cells.get(`${Math.floor(x)} ${Math.floor(y)}`);
    const wire = cell?.blocks.find((block) => this.stand.of[block] === BLOCK.wire);
    return wire === undefined ? "" : `wire: level ${this.level(state, wire)}`;
  }

  /**
   * What covers a part that stands and is not seen: a part, or -1.
   * @param {number} part
   */
  coverOf(part) {
    const [first] = this.stand.blocksOf(part);
    return this.at(this.u[first], this.v[first]);
  }

  /**
   * The level of a block of wire.
   * @param {State} state
   * @param {number} block
   */
  level(state, block) {
    const { run, stand } = this;
    const levelOf = (/** @type {number} */ part) => (run.isSignal(part) ? state.cells[run.firstCell[part]] : 0);
    if (stand.of[block] >= 0) return levelOf(stand.of[block]);
    const heard = stand.heard.get(block) ?? [];
    let most = 0;
    for (let at = 0; at < heard.length; at += 2) most = Math.max(most, levelOf(heard[at]) - heard[at + 1]);
    return most;
  }

  /**
   * Draws what lies below the goods that moved.
   * @param {HallMap} map
   */
  drawBelow(map) {
    this.drawPlain(map);
    if (map.scale < SPECK) {
      this.drawSpecks(map);
      return;
    }
    const isOf = (/** @type {string} */ sort) => this.parts.filter((part) => this.run.sortOf(part) === sort);
    for (const part of isOf("stream")) this.drawStream(map, part);
    this.drawWires(map);
    const standing = this.parts.filter((part) => !["stream", "wire"].includes(this.run.sortOf(part)));
    for (const part of standing) this.drawPart(map, part);
  }

  /**
   * Draws the marks for where parts point, which lie above them.
   * @param {HallMap} map
   */
  drawWays(map) {
    this.drawGoodsNames(map);
    if (map.scale < SPECK) return;
    for (const part of this.parts) {
      if (!["stream", "wire"].includes(this.run.sortOf(part))) this.drawWay(map, part);
    }
  }

  /**
   * The goods of the modules that have some, above their blocks.
   * @param {HallMap} map
   */
  drawGoodsNames(map) {
    const { run } = this;
    const { pen, colour, scale } = map;
    this.labels ??= run.modules.flatMap((module, number) => {
      const box = module.label === module.name ? null : this.around(run.partsIn(number).filter((part) => this.stand.blocksOf(part).some((block) => this.isShown[block])));
      return box ? [{ box, words: module.label }] : [];
    });
    pen.font = "600 11px system-ui, sans-serif";
    pen.textAlign = "left";
    pen.textBaseline = "bottom";
    pen.lineWidth = 3;
    for (const { box, words } of this.labels) {
      const room = box.w * scale - 2;
      const [x, y] = map.toPixel(box.x, box.y);
      if (room < 24 || !map.isSeen(box)) continue;
      pen.strokeStyle = colour.sheet;
      pen.fillStyle = colour.ink;
      const shown = clipped(pen, words, room);
      pen.strokeText(shown, x + 1, y - 1);
      pen.fillText(shown, x + 1, y - 1);
    }
  }

  /**
   * Where something is that has gone so much of its way, in pixels, and the number of the way; nothing where
   * it is not seen. From one block to the next: half of the time in each of them, if one is out of sight.
   * @param {HallMap} map
   * @param {number} from
   * @param {number} to
   * @param {number} share
   * @param {boolean} isFloating whether it floats along the first part
   * @returns {[number, number, number] | null}
   */
  spot(map, from, to, share, isFloating) {
    const { stand, u, v } = this;
    if (isFloating && stand.stands(from)) {
      const place = share * (stand.first[from + 1] - stand.first[from] - 1);
      const block = stand.first[from] + Math.floor(place);
      const next = Math.min(block + 1, stand.first[from + 1] - 1);
      const part = place - Math.floor(place);
      if (!this.isShown[part < 0.5 ? block : next]) return null;
      return this.spotAt(map, u[block] + (u[next] - u[block]) * part, v[block] + (v[next] - v[block]) * part, block);
    }
    const way = this.wayBetween(from, to);
    if (way < 0) return null;
    const [one, other] = [this.ways[way].from, this.ways[way].to];
    if (this.isShown[one] && this.isShown[other]) {
      return this.spotAt(map, u[one] + (u[other] - u[one]) * share, v[one] + (v[other] - v[one]) * share, way + 1e6);
    }
    const block = share < 0.5 ? one : other;
    return this.isShown[block] ? this.spotAt(map, u[block], v[block], way + 1e6) : null;
  }

  /**
   * Where a block is, in pixels.
   * @param {HallMap} map
   * @param {number} block
   * @returns {Box}
   */
  pixels(map, block) {
    const [x, y] = map.toPixel(this.u[block], this.v[block]);
    return { x, y, w: map.scale, h: map.scale };
  }

  /**
   * The middle of what is at a place of the picture, in pixels, with a number.
   * @param {HallMap} map
   * @param {number} u
   * @param {number} v
   * @param {number} number
   * @returns {[number, number, number]}
   */
  spotAt(map, u, v, number) {
    const [x, y] = map.toPixel(u + 0.5, v + 0.5);
    return [x, y, number];
  }

  /**
   * The middle of a block, in pixels.
   * @param {HallMap} map
   * @param {number} block
   * @returns {[number, number]}
   */
  middle(map, block) {
    return map.toPixel(this.u[block] + 0.5, this.v[block] + 0.5);
  }

  /**
   * Lines between blocks, full blocks and caps: all faint.
   * @param {HallMap} map
   */
  drawPlain(map) {
    const { pen, colour, scale } = map;
    const { whole } = this;
    if (scale >= 14) {
      pen.strokeStyle = colour.faint;
      pen.globalAlpha = 0.4;
      pen.lineWidth = 1;
      pen.beginPath();
      const [w, h] = [whole.w - 1, whole.h - 1];
      for (let x = 0; x <= w; x += 1) {
        pen.moveTo(...map.toPixel(x, 0));
        pen.lineTo(...map.toPixel(x, h));
      }
      for (let y = 0; y <= h; y += 1) {
        pen.moveTo(...map.toPixel(0, y));
        pen.lineTo(...map.toPixel(w, y));
      }
      pen.stroke();
      pen.globalAlpha = 1;
    }
    for (const block of this.plain) {
      if (!map.isSeen(this.box(block))) continue;
      if (this.stand.of[block] !== BLOCK.room) {
        drawPlainBlock(pen, colour, this.stand.of[block] === BLOCK.full, this.pixels(map, block));
      }
    }
    this.drawRooms(map);
  }

  /**
   * The rooms in those of their blocks that are seen, each with its name.
   * @param {HallMap} map
   */
  drawRooms(map) {
    const { pen, colour } = map;
    /** @type {Map<string, Box[]>} */
    const rooms = new Map();
    for (const block of this.plain) {
      const name = this.stand.rooms.get(block);
      if (name === undefined) continue;
      rooms.set(name, [...(rooms.get(name) ?? []), this.pixels(map, block)]);
    }
    for (const [name, boxes] of rooms) drawRoom(pen, colour, name, boxes);
  }

  /**
   * So small, a block is a square of one colour.
   * @param {HallMap} map
   */
  drawSpecks(map) {
    const { run } = this;
    const { pen, colour, state, scale } = map;
    for (const { blocks } of this.cells.values()) {
      const block = blocks[0];
      if (!map.isSeen(this.box(block))) continue;
      const of = this.stand.of[block];
      const isSignal = this.isWire(of) || run.isSignal(of);
      const on = this.isWire(of) ? this.level(state, block) > 0 : isSignal ? state.cells[run.firstCell[of]] > 0 : state.held[of] > 0;
      pen.fillStyle = on ? (isSignal ? colour.flow : colour.hold) : colour.faint;
      if (of >= 0 && state.misplaced[of] > 0) pen.fillStyle = colour.bad;
      const { x, y } = this.pixels(map, block);
      const size = Math.max(1, scale * 0.85);
      pen.fillRect(x, y, size, of >= 0 && run.isHopper[of] && state.isLocked(of) ? size / 2 : size);
    }
  }

  /**
   * A stream: its blocks, and a line with the way it flows.
   * @param {HallMap} map
   * @param {number} part
   */
  drawStream(map, part) {
    const { pen, colour, state, scale } = map;
    const path = this.stand.blocksOf(part);
    const held = state.held[part];
    const sign = map.sign(part);
    pen.fillStyle = colour.hold;
    pen.globalAlpha = 0.13;
    for (const block of path) {
      const { x, y, w, h } = this.pixels(map, block);
      if (this.isShown[block]) pen.fillRect(x, y, w, h);
    }
    pen.globalAlpha = 1;
    const tone = sign.wrong ? colour.bad : held > 0 ? colour.hold : colour.soft;
    pen.strokeStyle = pen.fillStyle = tone;
    pen.lineWidth = Math.max(1, scale * (held > 0 ? 0.1 : 0.05));
    pen.setLineDash(sign.asleep ? [1, 4] : []);
    pen.beginPath();
    for (let at = 1; at < path.length; at += 1) this.traceStep(map, path[at - 1], path[at]);
    pen.stroke();
    pen.setLineDash([]);
    path.forEach((block, at) => {
      if (!this.isShown[block]) return;
      const [from, to] = at + 1 < path.length ? [block, path[at + 1]] : [path[Math.max(0, at - 1)], block];
      const [du, dv] = [Math.sign(this.u[to] - this.u[from]), Math.sign(this.v[to] - this.v[from])];
      const [x, y] = this.middle(map, block);
      if (du === 0 && dv === 0) {
        // It drops, or is a single block.
        const sideways = path.length > 1 ? this.near(to) - this.near(from) : 0;
        if (sideways !== 0) drawFacing(pen, colour, "stream", this.pixels(map, block), { u: 0, v: 0, near: sideways });
        return;
      }
      const size = scale * 0.17;
      pen.beginPath();
      for (const [along, aside] of [[1, 0], [-0.8, -1], [-0.8, 1]]) {
        pen.lineTo(x + (du * along - dv * aside) * size, y + (dv * along + du * aside) * size);
      }
      pen.fillStyle = tone;
      pen.fill();
    });
    const first = path.find((block) => this.isShown[block]);
    if (first !== undefined) {
      const box = this.pixels(map, first);
      // Below the line.
      drawFigure(pen, colour, held, scale, { ...box, y: box.y + box.h * 0.27 });
      if (scale >= 54) drawName(pen, colour, sign.name, box, scale);
    }
  }

  /**
   * The line from a block to the next: whole, or as far as the edge of the one that is seen.
   * @param {HallMap} map
   * @param {number} from
   * @param {number} to
   */
  traceStep(map, from, to) {
    const [a, b] = [this.isShown[from], this.isShown[to]];
    if (!a && !b) return;
    const [one, other] = [this.middle(map, from), this.middle(map, to)];
    const half = /** @type {[number, number]} */ ([(one[0] + other[0]) / 2, (one[1] + other[1]) / 2]);
    map.pen.moveTo(...(a ? one : half));
    map.pen.lineTo(...(b ? other : half));
  }

  /**
   * Wire: lines between the blocks that join, thick where there is a signal.
   * @param {HallMap} map
   */
  drawWires(map) {
    const { pen, colour, state, scale } = map;
    const { joints, turned } = this.stand;
    for (const isOn of [false, true]) {
      const is = (/** @type {number} */ block) => this.level(state, block) > 0 === isOn;
      pen.strokeStyle = pen.fillStyle = isOn ? colour.flow : colour.soft;
      pen.lineWidth = Math.max(1, scale * (isOn ? 0.12 : 0.06));
      pen.beginPath();
      for (let at = 0; at < joints.length; at += 2) {
        const [one, other] = [joints[at], joints[at + 1]];
        if (!map.isSeen(this.box(one)) && !map.isSeen(this.box(other))) continue;
        // A line shows what is at its weaker end.
        if ((is(one) && is(other)) || (!isOn && (is(one) || is(other)))) this.traceStep(map, one, other);
      }
      for (let at = 0; at < turned.length; at += 2) {
        const block = turned[at];
        if (!this.isShown[block] || !map.isSeen(this.box(block)) || !is(block)) continue;
        const [x, y, z] = STEPS[turned[at + 1]];
        const way = this.turned(x, y, z);
        const [cx, cy] = this.middle(map, block);
        pen.moveTo(cx, cy);
        pen.lineTo(cx + (way.u * scale) / 2, cy + (way.v * scale) / 2);
      }
      pen.stroke();
      for (const block of this.wires) {
        if (!map.isSeen(this.box(block)) || !is(block)) continue;
        const [x, y] = this.middle(map, block);
        pen.beginPath();
        pen.arc(x, y, Math.max(1.5, scale * 0.12), 0, Math.PI * 2);
        pen.fill();
      }
    }
    for (const block of this.wires) if (map.isSeen(this.box(block))) this.drawWireWords(map, block);
  }

  /**
   * The level of a block of wire, and its name where it begins.
   * @param {HallMap} map
   * @param {number} block
   */
  drawWireWords(map, block) {
    const { pen, colour, scale, state } = map;
    const box = this.pixels(map, block);
    const part = this.stand.of[block];
    const level = this.level(state, block);
    if (scale >= 26) {
      pen.font = `${Math.min(13, scale * 0.24)}px system-ui, sans-serif`;
      pen.textAlign = "left";
      pen.textBaseline = "top";
      pen.fillStyle = level > 0 ? colour.ink : colour.soft;
      pen.fillText(String(level), box.x + box.w * 0.64, box.y + box.h * 0.64);
    }
    if (scale >= 54 && part >= 0 && this.stand.first[part] === block) drawName(pen, colour, this.run.tails[part], box, scale);
  }

  /**
   * A part in those of its blocks that are seen.
   * @param {HallMap} map
   * @param {number} part
   */
  drawPart(map, part) {
    const { blocks } = this.blocksOf(part);
    if (!blocks.some((block) => map.isSeen(this.box(block)))) return;
    const cells = blocks.map((block) => this.pixels(map, block));
    // Seen from above, blocks on top of each other are one.
    const seen = new Map(cells.map((cell) => [`${cell.x} ${cell.y}`, cell]));
    drawStanding(map.pen, map.colour, { ...map.sign(part), size: map.scale }, [...seen.values()]);
    for (const cell of this.run.isSignal(part) ? [] : seen.values()) map.tint?.(part, cell);
  }

  /**
   * The mark for where a part points.
   * @param {HallMap} map
   * @param {number} part
   */
  drawWay(map, part) {
    const face = this.stand.faces[part];
    if (face === 0) return;
    const [block] = this.blocksOf(part).blocks;
    if (!map.isSeen(this.box(block))) return;
    const [x, y, z] = STEPS[face];
    drawFacing(map.pen, map.colour, this.run.sortOf(part), this.pixels(map, block), this.turned(x, y, z));
  }

  /**
   * Goods that moved lately: lines between blocks that are seen, a point in one whose other end is not.
   * @param {HallMap} map
   */
  drawFlow(map) {
    if (map.scale < SPECK) return;
    for (const way of this.ways) way.flow = 0;
    recentEvents(this.run, map.state.tick, (shape) => {
      const way = this.wayOfShape[shape];
      if (way >= 0) this.ways[way].flow += 1;
    });
    /** @type {Map<number, number>} of blocks whose goods come from or go out of sight: how many */
    const gone = new Map();
    for (const { from, to, flow } of this.ways) {
      if (flow === 0) continue;
      if (this.isShown[from] && this.isShown[to] && (this.u[from] !== this.u[to] || this.v[from] !== this.v[to])) {
        this.drawMoved(map, from, to, flow);
        continue;
      }
      for (const block of [from, to]) if (this.isShown[block]) gone.set(block, (gone.get(block) ?? 0) + flow);
    }
    for (const [block, flow] of gone) {
      drawGone(map.pen, map.colour, this.pixels(map, block), flow < 3 ? 0.07 : flow < 9 ? 0.09 : 0.11);
    }
  }

  /**
   * An arrow from a block to another, from the edge of the one to that of the other.
   * @param {HallMap} map
   * @param {number} from
   * @param {number} to
   * @param {number} flow
   */
  drawMoved(map, from, to, flow) {
    const { pen, colour, scale } = map;
    const [a, b] = [this.middle(map, from), this.middle(map, to)];
    const [du, dv] = [b[0] - a[0], b[1] - a[1]];
    const angle = Math.atan2(dv, du);
    // What stands in the blocks stays readable.
    const trim = (scale * 0.27) / Math.hypot(du, dv);
    pen.strokeStyle = pen.fillStyle = colour.flow;
    pen.lineWidth = flow < 3 ? 1.6 : flow < 9 ? 3 : 5;
    pen.beginPath();
    pen.moveTo(a[0] + du * trim, a[1] + dv * trim);
    pen.lineTo(b[0] - du * trim, b[1] - dv * trim);
    pen.stroke();
    const size = Math.min(8, scale * 0.25);
    pen.beginPath();
    for (const turn of [0, 2.4, -2.4]) {
      pen.lineTo((a[0] + b[0]) / 2 + Math.cos(angle + turn) * size, (a[1] + b[1]) / 2 + Math.sin(angle + turn) * size);
    }
    pen.fill();
  }

  /**
   * The signals of the chosen part, dashed, wherever their other ends stand.
   * @param {HallMap} map
   */
  drawSignals(map) {
    const { run, stand } = this;
    const { pen, chosen } = map;
    if (chosen < 0 || !stand.stands(chosen)) return;
    pen.strokeStyle = map.colour.choice;
    pen.lineWidth = 1.5;
    pen.setLineDash([5, 4]);
    pen.beginPath();
    for (let link = 0; link < run.linkFrom.length; link += 1) {
      const [from, to] = [run.linkFrom[link], run.linkTo[link]];
      if (run.linkSort[link] <= LINK.round || (from !== chosen && to !== chosen)) continue;
      if (!stand.stands(from) || !stand.stands(to)) continue;
      const [a, b] = stand.nearest(from, to);
      pen.moveTo(...this.middle(map, a));
      pen.lineTo(...this.middle(map, b));
    }
    pen.stroke();
    pen.setLineDash([]);
  }

  /**
   * Frames around what is chosen and what is pointed out; dashed around what is behind others.
   * @param {HallMap} map
   */
  drawMarks(map) {
    const { pen, colour, scale } = map;
    const ring = (/** @type {Box | null} */ box, /** @type {string} */ tone, /** @type {boolean} */ isSeen) => {
      if (!box) return;
      const [x, y] = map.toPixel(box.x, box.y);
      const edge = Math.max(1, scale * 0.05);
      pen.strokeStyle = tone;
      pen.lineWidth = 3;
      pen.setLineDash(isSeen ? [] : [4, 4]);
      pen.strokeRect(x - edge, y - edge, box.w * scale + 2 * edge, box.h * scale + 2 * edge);
      pen.setLineDash([]);
    };
    const mark = (/** @type {number} */ part, /** @type {string} */ tone) => {
      const { isSeen } = this.blocksOf(part);
      if (isSeen || this.kind !== "height") ring(this.around([part]), tone, isSeen);
    };
    for (const part of map.marked) mark(part, colour.flow);
    if (map.chosen >= 0) mark(map.chosen, colour.choice);
    else if (map.chosenModule > 0) ring(this.around(this.run.partsIn(map.chosenModule)), colour.choice, true);
  }
}
