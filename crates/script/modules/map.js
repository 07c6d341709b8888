// The map: modules that open and close, parts, links, recent flow; zoom and pan.

import { RECENT_TICKS } from "./events.js";
import { clipped, colours, drawClosed, drawPart, shortName } from "./glyphs.js";
import { Goods } from "./goods.js";
import { Layers } from "./layers.js";
import { boxOf, neighbourhood } from "./near.js";
import { LINK, ROLE, Run } from "./run.js";
import { State } from "./state.js";
import { after } from "./unpack.js";
import { byId } from "./words.js";

/** So many places at most are open when the page is opened. */
const FIRST_PLACES = 90;

/** Below so many pixels, a part is a speck. */
const SPECK_CELL = 5;
/** Below so many pixels, very many lines are a veil over everything. */
const LINE_CELL = 1;

/** The map. */
export class HallMap {
  /**
   * @param {Run} run
   * @param {State} state
   * @param {HTMLCanvasElement} canvas
   */
  constructor(run, state, canvas) {
    this.canvas = canvas;
    this.pen = /** @type {CanvasRenderingContext2D} */ (this.canvas.getContext("2d", { alpha: false }));
    this.tip = byId("tip", HTMLElement);
    /** @type {(part: number, module: number) => void} called with what is chosen; -1 for none */
    this.onChoose = () => {};
    /** @type {() => void} called when an module opens or closes */
    this.onOpen = () => {};
    this.scale = 10;
    this.left = 0;
    this.top = 0;
    this.chosen = -1;
    this.chosenModule = -1;
    /** @type {Set<number>} parts that are pointed out */
    this.marked = new Set();
    this.frame = 0;
    this.sizeBefore = 0;
    /** Whether the whole hall is shown, and is to be when the page gets another size. */
    this.isWhole = true;
    /** @type {{width: number, height: number} | null} its size while the page is printed */
    this.paper = null;
    /** Where it was before. */
    this.onScreen = { scale: 10, left: 0, top: 0, isWhole: true };
    this.colour = colours();
    this.run = run;
    this.state = state;
    this.isOpen = new Uint8Array(0);
    /** Whether an module holds nothing but signals. */
    this.isWiring = new Uint8Array(0);
    /** For each module, the outermost closed one that it is in, or -1. */
    this.closed = new Int32Array(0);
    /** The place of a part: its own number, or that of the closed module it is in, after all parts. */
    this.placeOf = new Int32Array(0);
    /** @type {{from: number, to: number}[]} */
    this.lines = [];
    /** How often something moved along each line lately: in events from one up to, not including, another. */
    this.flow = new Int32Array(0);
    this.flowFrom = 0;
    this.flowUntil = 0;
    /** The time that is shown, in ticks; between two of them while time runs slowly. */
    this.moment = 0;
    this.layers = new Layers();
    this.goods = new Goods();
    /** @type {((place: number, box: import("./blocks.js").Box) => void) | null} draws something over a place */
    this.tint = null;
    /** @type {number[]} the parts through which the item goes that is followed */
    this.way = [];
    /** Of each part whether it is another one in the other variant: 1 in what it holds, 2 not there at all. */
    this.differs = new Uint8Array(0);
    /** @type {() => void} called before it is drawn */
    this.onDraw = () => {};
    /** Another number whenever everything is to be drawn anew. */
    this.version = 0;
    /** The middles of the two ends of each line: x, y, x, y in cells. */
    this.lineEnds = new Float32Array(0);
    /** The line along which an event of each shape goes, or -1. */
    this.lineOfShape = new Int32Array(0);
    this.view = { x: 0, y: 0, w: 1, h: 1 };
    /** @type {import("./views.js").HallView | null} the blocks of a placed hall, in place of the map */
    this.placed = null;
    /** @type {(part: number) => void} called before a part is brought into view */
    this.beforeShowing = () => {};
    /** @type {{run: Run, has: Uint8Array} | null} */
    this.lockable = null;
    this.screen = { width: 0, height: 0, ratio: 1 };
    this.measure();
    this.show(run, state);
    new ResizeObserver(() => this.resized()).observe(this.canvas);
  }

  /**
   * Shows another run.
   * @param {Run} run
   * @param {State} state
   */
  show(run, state) {
    this.run = run;
    this.state = state;
    this.chosen = -1;
    this.chosenModule = -1;
    this.isOpen = new Uint8Array(run.modules.length);
    this.isOpen[0] = 1;
    this.isWiring = new Uint8Array(run.modules.length).fill(1);
    for (let part = 0; part < run.partCount; part += 1) {
      for (let at = run.module[part]; at >= 0 && !run.isSignal(part); at = run.modules[at].parent) this.isWiring[at] = 0;
    }
    this.openSome();
    this.opened();
  }

  /** Opens modules from the outside in, as long as there are not too many places. */
  openSome() {
    let places = this.run.modules[0].parts.length + this.run.modules[0].modules.length;
    const waiting = [...this.run.modules[0].modules];
    for (const number of waiting) {
      const module = this.run.modules[number];
      const more = module.parts.length + module.modules.length;
      if (places + more > FIRST_PLACES || module.parts.every((part) => this.run.isSignal(part))) continue;
      places += more;
      this.isOpen[number] = 1;
      waiting.push(...module.modules);
    }
  }

  /** What is open has changed: which places are seen, and the links between them. */
  opened() {
    const { run } = this;
    const closed = new Int32Array(run.modules.length).fill(-1);
    run.modules.forEach((module, number) => {
      const above = module.parent < 0 ? -1 : closed[module.parent];
      closed[number] = above >= 0 ? above : this.isOpen[number] ? -1 : number;
    });
    this.closed = closed;
    this.placeOf = Int32Array.from(run.module, (module, part) => (closed[module] < 0 ? part : run.partCount + closed[module]));
    const numbers = new Map();
    this.lines = [];
    const lineOf = (/** @type {number} */ from, /** @type {number} */ to, /** @type {boolean} */ make) => {
      const [a, b] = [this.placeOf[from], this.placeOf[to]];
      if (a === b) return -1;
      const key = a * (run.partCount + run.modules.length) + b;
      if (!numbers.has(key) && make) numbers.set(key, this.lines.push({ from: a, to: b }) - 1);
      return numbers.get(key) ?? -1;
    };
    for (let link = 0; link < run.linkFrom.length; link += 1) {
      if (run.linkSort[link] <= LINK.round) lineOf(run.linkFrom[link], run.linkTo[link], true);
    }
    this.lineOfShape = Int32Array.from(run.shapes, ({ one, other, sort }) =>
      other >= 0 && (sort === 0 || sort === 9) ? lineOf(one, other, true) : -1);
    this.flow = new Int32Array(this.lines.length);
    this.flowFrom = this.flowUntil = 0;
    this.version += 1;
    this.lineEnds = new Float32Array(this.lines.length * 4);
    this.lines.forEach(({ from, to }, line) => {
      const [a, b] = [this.box(from), this.box(to)];
      this.lineEnds.set([a.x + a.w / 2, a.y + a.h / 2, b.x + b.w / 2, b.y + b.h / 2], line * 4);
    });
    this.draw();
    this.onOpen();
  }

  /**
   * Opens or closes an module.
   * @param {number} module
   * @param {boolean} open
   */
  setOpen(module, open) {
    this.isOpen[module] = open ? 1 : 0;
    for (let at = this.run.modules[module].parent; open && at >= 0; at = this.run.modules[at].parent) this.isOpen[at] = 1;
    this.opened();
  }

  /** @param {boolean} open */
  setAll(open) {
    this.isOpen.fill(open ? 1 : 0);
    this.isOpen[0] = 1;
    this.opened();
  }

  /**
   * Where a place is, in cells.
   * @param {number} place
   */
  box(place) {
    const { run } = this;
    if (place < run.partCount) return { x: run.x[place], y: run.y[place], w: 1, h: 1 };
    return run.modules[place - run.partCount];
  }

  /**
   * Brings a part of the map into view, at most so large.
   * @param {{x: number, y: number, w: number, h: number}} box
   * @param {number} [largest] pixels a cell
   */
  fit(box, largest = 46) {
    const { width, height } = this.size();
    if (!width || !height) return;
    this.scale = Math.min(largest, (width - 16) / box.w, (height - 16) / box.h);
    this.left = box.x + box.w / 2 - width / 2 / this.scale;
    this.top = box.y + box.h / 2 - height / 2 / this.scale;
    this.isWhole = false;
    this.draw();
  }

  /** Shows the whole hall. */
  fitAll() {
    if (this.placed) this.fit(this.placed.whole, 72);
    else this.fit(this.run.modules[0]);
    this.isWhole = true;
  }

  /**
   * Brings a module into view.
   * @param {number} module
   */
  fitModule(module) {
    const box = this.placed ? this.placed.around(this.run.partsIn(module)) : this.run.modules[module];
    if (box) this.fit(box);
  }

  /**
   * Shows the blocks of a placed hall, or the map.
   * @param {import("./views.js").HallView | null} placed
   * @param {boolean} isOther whether the picture is another one, and is to be seen whole
   */
  setView(placed, isOther) {
    this.placed = placed;
    this.version += 1;
    if (isOther) this.fitAll();
    this.draw();
  }

  /**
   * @param {number} factor
   * @param {number} [x] the pixel that stays where it is
   * @param {number} [y]
   */
  zoom(factor, x = this.size().width / 2, y = this.size().height / 2) {
    const scale = Math.min(140, Math.max(0.05, this.scale * factor));
    this.left += x / this.scale - x / scale;
    this.top += y / this.scale - y / scale;
    this.scale = scale;
    this.isWhole = false;
    this.draw();
  }

  /**
   * Chooses a part, and shows it.
   * @param {number} part
   * @param {boolean} show whether to bring it into view
   */
  choose(part, show) {
    this.chosen = part;
    this.chosenModule = -1;
    if (part >= 0 && show) this.beforeShowing(part);
    if (part >= 0 && show) {
      if (!this.placed && this.closed[this.run.module[part]] >= 0) this.setOpen(this.run.module[part], true);
      const box = boxOf(this, part);
      const whole = neighbourhood(this, part);
      if (box && whole && !(this.scale >= 20 && this.isInView(box))) this.fit(whole);
    }
    this.draw();
    this.onChoose(part, -1);
  }

  /**
   * Whether a box is in view as a whole.
   * @param {{x: number, y: number, w: number, h: number}} box
   */
  isInView({ x, y, w, h }) {
    const { width, height } = this.size();
    const { scale, left, top } = this;
    return x >= left && y >= top && x + w <= left + width / scale && y + h <= top + height / scale;
  }

  /**
   * Chooses an module.
   * @param {number} module
   */
  chooseModule(module) {
    this.chosen = -1;
    this.chosenModule = module;
    this.draw();
    this.onChoose(-1, module);
  }

  /** Its size in pixels of the page, and how many dots each has. */
  size() {
    return this.paper ? { ...this.paper, ratio: 3 } : this.screen;
  }

  /**
   * Draws what is seen in this size, for paper; without one, for the screen again.
   * @param {{width: number, height: number} | null} paper
   */
  printed(paper) {
    const { scale, left, top, isWhole } = this;
    const before = this.size();
    this.paper = paper;
    if (paper) {
      const { width, height, ratio } = this.size();
      this.canvas.width = width * ratio;
      this.canvas.height = height * ratio;
      this.onScreen = { scale, left, top, isWhole };
      this.fit({ x: left, y: top, w: before.width / scale, h: before.height / scale }, 80);
    } else {
      Object.assign(this, this.onScreen);
      this.resized();
    }
    this.drawNow();
  }

  /** Asks for its size, which takes long while the page changes. */
  measure() {
    const { clientWidth, clientHeight } = this.canvas;
    this.screen = { width: clientWidth, height: clientHeight, ratio: window.devicePixelRatio || 1 };
  }

  /** The page has another size. */
  resized() {
    if (this.paper) return;
    this.measure();
    const { width, height, ratio } = this.size();
    this.canvas.width = Math.max(1, Math.round(width * ratio));
    this.canvas.height = Math.max(1, Math.round(height * ratio));
    // What was in the middle stays there.
    if (this.isWhole) this.fitAll();
    else if (this.sizeBefore) this.left += (this.sizeBefore - width) / 2 / this.scale;
    this.sizeBefore = width;
    this.draw();
  }

  /** Draws at the next frame. */
  draw() {
    if (this.frame) return;
    this.frame = requestAnimationFrame(() => {
      this.frame = 0;
      this.drawNow();
    });
  }

  /** Draws everything that is in view. */
  drawNow() {
    this.onDraw();
    const { pen, scale, left, top } = this;
    const { width, height, ratio } = this.size();
    pen.setTransform(ratio, 0, 0, ratio, 0, 0);
    this.view = { x: left, y: top, w: width / scale, h: height / scale };
    this.layers.refresh(this);
    this.layers.put(this, this.layers.below);
    if (this.placed) this.placed.drawFlow(this);
    else this.drawFlow();
    if (this.isSpecks()) this.layers.put(this, this.layers.specks);
    if (this.hasAbove()) this.layers.put(this, this.layers.above);
    if (this.placed) this.placed.drawSignals(this);
    else this.drawSignals();
    this.drawWay();
    this.goods.draw(this);
    this.drawDifferences();
    if (this.placed) this.placed.drawMarks(this);
    else this.drawMarks();
  }

  /** A dashed frame and a sign at what is different in the other variant. */
  drawDifferences() {
    const { pen, scale, differs } = this;
    pen.strokeStyle = pen.fillStyle = this.colour.bad;
    pen.lineWidth = 2;
    pen.font = `700 ${Math.max(10, Math.min(15, scale * 0.45))}px system-ui, sans-serif`;
    pen.textAlign = "left";
    pen.textBaseline = "top";
    const places = new Set();
    for (let part = 0; part < differs.length; part += 1) {
      if (!differs[part] || (this.placed && !this.placed.blocksOf(part).isSeen)) continue;
      const box = boxOf(this, part);
      const place = this.placed ? part : this.placeOf[part];
      if (!box || places.has(place) || !this.isSeen(box)) continue;
      places.add(place);
      const [x, y] = this.toPixel(box.x, box.y);
      pen.setLineDash([3, 3]);
      pen.strokeRect(x, y, box.w * scale, box.h * scale);
      pen.setLineDash([]);
      if (scale >= 12) pen.fillText(differs[part] === 2 ? "1×" : "≠", x + 1, y - 1);
    }
  }

  /** The way of the item that is followed. */
  drawWay() {
    const { pen } = this;
    pen.strokeStyle = this.colour.choice;
    pen.lineWidth = 4;
    pen.globalAlpha = 0.6;
    pen.beginPath();
    for (const part of this.way) {
      const box = boxOf(this, part);
      if (box) pen.lineTo(...this.toPixel(box.x + box.w / 2, box.y + box.h / 2));
    }
    pen.stroke();
    pen.globalAlpha = 1;
  }

  /** Draws what lies below the goods that moved. */
  drawBelow() {
    if (this.placed) {
      this.placed.drawBelow(this);
      return;
    }
    this.drawFrames(0);
    this.drawLines();
  }

  /** Whether anything lies above them: not where all modules are open and all parts specks. */
  hasAbove() {
    return !this.isSpecks() || this.isOpen.includes(0);
  }

  /** Draws what lies above them. */
  drawAbove() {
    if (this.placed) this.placed.drawWays(this);
    else this.drawPlaces(0);
  }

  /** @param {{x: number, y: number, w: number, h: number}} box */
  isSeen(box) {
    const { view } = this;
    return box.x < view.x + view.w && box.x + box.w > view.x && box.y < view.y + view.h && box.y + box.h > view.y;
  }

  /**
   * @param {number} x
   * @param {number} y
   * @returns {[number, number]}
   */
  toPixel(x, y) {
    return [(x - this.left) * this.scale, (y - this.top) * this.scale];
  }

  /**
   * The frames of the open modules in an open module.
   * @param {number} number
   */
  drawFrames(number) {
    const module = this.run.modules[number];
    const { pen, colour } = this;
    const [w, h] = [module.w * this.scale, module.h * this.scale];
    // What is in it is then hardly more than a point.
    if (w < 14) return;
    if (number > 0) {
      const [x, y] = this.toPixel(module.x, module.y);
      pen.fillStyle = colour.module;
      pen.globalAlpha = 0.55;
      pen.fillRect(x, y, w, h);
      pen.globalAlpha = 1;
      pen.strokeStyle = this.chosenModule === number ? colour.choice : colour.faint;
      pen.lineWidth = this.chosenModule === number ? 3 : 1;
      pen.strokeRect(x, y, w, h);
      // Parts as small as that have no tints of their own.
      if (this.isSpecks() && module.parts.length > 0) this.tint?.(this.run.partCount + number, { x, y, w, h });
      // In the room above the parts, and within what is seen of the frame.
      const height = Math.max(9, Math.min(12, this.scale * 0.85));
      const seen = x + w - Math.max(x, 0) - 6;
      if (seen > 30 && this.scale >= 6) {
        pen.textAlign = "left";
        pen.textBaseline = "top";
        pen.font = `600 ${height}px system-ui, sans-serif`;
        pen.fillStyle = colour.soft;
        pen.fillText(clipped(pen, `▾ ${shortName(pen, module.label, seen - 14)}`, seen), Math.max(x, 0) + 4, y + Math.max(1, this.scale * 0.1));
      }
    }
    for (const inner of module.modules) {
      if (this.isOpen[inner] && this.isSeen(this.run.modules[inner])) this.drawFrames(inner);
    }
  }

  /** All links. */
  drawLines() {
    const { pen, scale, lines } = this;
    // So small, lines at rest would be a grey veil over everything.
    if (scale < 3 && lines.length >= 2000) return;
    pen.strokeStyle = this.colour.soft;
    pen.globalAlpha = scale < 8 ? 0.35 : 0.6;
    pen.lineWidth = 1;
    pen.beginPath();
    for (let line = 0; line < lines.length; line += 1) this.trace(line);
    pen.stroke();
    pen.globalAlpha = 1;
  }

  /** Counts along each line what moved lately: what came since the last time, without what is no longer so. */
  countFlow() {
    const { run, flow, lineOfShape } = this;
    const add = (/** @type {number} */ from, /** @type {number} */ until, /** @type {number} */ more) => {
      for (let at = from; at < until; at += 1) {
        const line = lineOfShape[run.events[at]];
        if (line >= 0) flow[line] += more;
      }
    };
    const [from, until] = [after(run.eventTicks, this.state.tick - RECENT_TICKS), after(run.eventTicks, this.state.tick)];
    if (from >= this.flowUntil || until <= this.flowFrom) {
      add(this.flowFrom, this.flowUntil, -1);
      add(from, until, 1);
    } else {
      add(this.flowFrom, from, -1);
      add(from, this.flowFrom, 1);
      add(this.flowUntil, until, 1);
      add(until, this.flowUntil, -1);
    }
    this.flowFrom = from;
    this.flowUntil = until;
  }

  /** The links along which goods moved lately. */
  drawFlow() {
    const { pen, colour, flow, scale } = this;
    this.countFlow();
    if (scale < LINE_CELL && flow.length > 2000) return;
    pen.strokeStyle = colour.flow;
    for (const [from, to, thick] of [[1, 3, 1.6], [3, 9, 3], [9, Infinity, 5]]) {
      pen.lineWidth = scale < 3 ? 1 : thick;
      this.traceAll(from, to);
    }
    pen.fillStyle = colour.flow;
    for (let line = 0; line < flow.length && scale >= 2; line += 1) if (flow[line] > 0) this.arrow(line);
  }

  /**
   * Where something is that has gone so much of its way between two parts, in pixels, and the number of the
   * way; nothing if both are in one closed module.
   * @param {number} from
   * @param {number} to
   * @param {number} share
   * @returns {[number, number, number] | null}
   */
  spot(from, to, share) {
    const { placeOf, run, scale } = this;
    const [a, b] = [placeOf[from], placeOf[to]];
    if (a === b) return null;
    const [one, other] = [this.box(a), this.box(b)];
    const [x, y] = [one.x + one.w / 2, one.y + one.h / 2];
    const [dx, dy] = [other.x + other.w / 2 - x, other.y + other.h / 2 - y];
    // From the edge of a closed module to that of another: what is written in them stays readable.
    const inside = (/** @type {{w: number, h: number}} */ box, /** @type {number} */ place) =>
      (place < run.partCount ? 0 : Math.min(0.5, box.w / 2 / Math.abs(dx || 1e-9), box.h / 2 / Math.abs(dy || 1e-9)));
    const [start, end] = [inside(one, a), inside(other, b)];
    const at = start + (1 - start - end) * share;
    return [(x + dx * at - this.left) * scale, (y + dy * at - this.top) * scale, a * 65536 * 16 + b];
  }

  /**
   * Draws the lines with so much flow, from the first up to, not including, the second.
   * @param {number} least
   * @param {number} most
   */
  traceAll(least, most) {
    const { pen, flow } = this;
    pen.beginPath();
    for (let line = 0; line < flow.length; line += 1) {
      if (flow[line] >= least && flow[line] < most) this.trace(line);
    }
    pen.stroke();
  }

  /** @param {number} line */
  trace(line) {
    const { lineEnds, view, pen, scale, left, top } = this;
    const [ax, ay, bx, by] = [lineEnds[line * 4], lineEnds[line * 4 + 1], lineEnds[line * 4 + 2], lineEnds[line * 4 + 3]];
    // What is hardly longer than a point says nothing, and there may be very much of it.
    if ((Math.abs(ax - bx) + Math.abs(ay - by)) * scale < 3) return;
    if ((ax < view.x && bx < view.x) || (ay < view.y && by < view.y)) return;
    if ((ax > view.x + view.w && bx > view.x + view.w) || (ay > view.y + view.h && by > view.y + view.h)) return;
    pen.moveTo((ax - left) * scale, (ay - top) * scale);
    pen.lineTo((bx - left) * scale, (by - top) * scale);
  }

  /**
   * An arrow in the middle of a line.
   * @param {number} line
   */
  arrow(line) {
    const { lineEnds, scale, pen } = this;
    const [dx, dy] = [lineEnds[line * 4 + 2] - lineEnds[line * 4], lineEnds[line * 4 + 3] - lineEnds[line * 4 + 1]];
    const length = Math.hypot(dx, dy) * scale;
    if (length < 7) return;
    const [x, y] = this.toPixel(lineEnds[line * 4] + dx / 2, lineEnds[line * 4 + 1] + dy / 2);
    if (x < 0 || y < 0 || x > this.view.w * scale || y > this.view.h * scale) return;
    const angle = Math.atan2(dy, dx);
    const size = Math.min(8, length * 0.3);
    pen.beginPath();
    for (const turn of [0, 2.4, -2.4]) pen.lineTo(x + Math.cos(angle + turn) * size, y + Math.sin(angle + turn) * size);
    pen.fill();
  }

  /** The signals of the chosen part, dashed. */
  drawSignals() {
    const { pen, run, chosen } = this;
    if (chosen < 0) return;
    pen.strokeStyle = this.colour.choice;
    pen.lineWidth = 1.5;
    pen.setLineDash([5, 4]);
    pen.beginPath();
    for (let link = 0; link < run.linkFrom.length; link += 1) {
      const [from, to] = [run.linkFrom[link], run.linkTo[link]];
      if (run.linkSort[link] > LINK.round && (from === chosen || to === chosen)) {
        const [a, b] = [this.box(this.placeOf[from]), this.box(this.placeOf[to])];
        pen.moveTo(...this.toPixel(a.x + a.w / 2, a.y + a.h / 2));
        pen.lineTo(...this.toPixel(b.x + b.w / 2, b.y + b.h / 2));
      }
    }
    pen.stroke();
    pen.setLineDash([]);
  }

  /**
   * The parts and the closed modules in an open module.
   * @param {number} number
   */
  drawPlaces(number) {
    const { run, view } = this;
    const module = run.modules[number];
    const [right, bottom] = [view.x + view.w, view.y + view.h];
    for (const part of module.parts) {
      const [x, y] = [run.x[part], run.y[part]];
      if (x < right && y < bottom && x + 1 > view.x && y + 1 > view.y) this.drawPlace(part);
    }
    for (const inner of module.modules) {
      if (!this.isSeen(run.modules[inner])) continue;
      if (this.isOpen[inner]) this.drawPlaces(inner);
      else this.drawClosedModule(inner);
    }
  }

  /** @param {number} module */
  drawClosedModule(module) {
    const { state } = this;
    const box = this.run.modules[module];
    const [x, y] = this.toPixel(box.x, box.y);
    drawClosed(this.pen, this.colour, {
      x, y, w: box.w * this.scale, h: box.h * this.scale, name: box.label,
      isWiring: this.isWiring[module] === 1,
      waiting: state.moduleWaiting[module], stored: state.moduleStored[module],
      unlocked: state.moduleUnlocked[module], hoppers: state.moduleHoppers[module],
      loose: state.moduleLoose[module], wrong: state.moduleMisplaced[module],
    });
    if (!this.isWiring[module]) this.tint?.(this.run.partCount + module, { x, y, w: box.w * this.scale, h: box.h * this.scale });
  }

  /**
   * Draws a part of the map, and notes what it looks like.
   * @param {number} part
   */
  drawPlace(part) {
    const look = this.look(part);
    this.layers.looks[part] = look;
    if (this.isSpecks()) this.layers.speck(this, part, look);
    else {
      const sign = this.sign(part);
      drawPart(this.pen, this.colour, sign);
      if (!sign.isSignal) this.tint?.(part, { x: sign.x, y: sign.y, w: this.scale, h: this.scale });
    }
  }

  /** Whether a part is so small that it is only a speck: full where it holds something or is on. */
  isSpecks() {
    return this.scale < SPECK_CELL && !this.placed;
  }

  /**
   * What a part looks like, as a number: as long as it is the same, the part need not be drawn anew.
   * @param {number} part
   */
  look(part) {
    const { run, state, scale } = this;
    const [first, end] = [run.firstCell[part], run.firstCell[part + 1]];
    const isSignal = run.role[first] === ROLE.level;
    const [held, level] = [state.held[part], isSignal ? state.cells[first] : 0];
    const isLocked = run.isHopper[part] ? state.cells[end - 3] : 0;
    const isWrong = state.misplaced[part] > 0;
    if (this.isSpecks()) return (isWrong ? 3 : level > 0 ? 2 : held > 0 ? 1 : 0) * 2 + isLocked;
    const asleep = run.spellsOf.has(part) && run.spellsAt(part, state.tick).some(({ how }) => how === "asleep") ? 1 : 0;
    const locked = isLocked || (run.role[end - 2] === ROLE.lock && state.cells[end - 2]) ? 1 : 0;
    const fill = held > 0 ? 1 + Math.round(Math.sqrt(state.fill(part)) * scale * 2) : 0;
    const bits = level + 16 * locked + 32 * asleep + 64 * Number(isWrong);
    return (scale < 18 ? 0 : held) * 131072 + fill * 128 + bits;
  }

  /** @param {number} part */
  sign(part) {
    const { run, state, scale } = this;
    // On whole pixels, so that it can be drawn anew without touching its neighbours.
    const [x, y] = this.toPixel(run.x[part], run.y[part]).map(Math.round);
    const lock = run.isHopper[part] || run.sortOf(part) === "selector" ? state.cellOf(part, ROLE.lock) : -1;
    const isSignal = run.isSignal(part);
    const held = state.held[part];
    return {
      sort: run.sortOf(part), isSignal, x, y, size: scale, held,
      fill: held > 0 && scale >= 5 ? state.fill(part) : 0,
      hasLock: lock >= 0 && this.hasLock(part), locked: lock >= 0 && state.cells[lock] === 1,
      asleep: run.spellsAt(part, state.tick).some(({ how }) => how === "asleep"),
      level: isSignal ? state.cells[run.firstCell[part]] : 0, wrong: state.misplaced[part] > 0,
      name: run.tails[part],
    };
  }

  /** @param {number} part */
  hasLock(part) {
    let known = this.lockable;
    if (!known || known.run !== this.run) {
      const has = new Uint8Array(this.run.partCount);
      this.run.linkTo.forEach((to, link) => { if (this.run.linkSort[link] === LINK.lock) has[to] = 1; });
      known = { run: this.run, has };
      this.lockable = known;
    }
    return known.has[part] === 1;
  }

  /** Frames around what is chosen and what is pointed out. */
  drawMarks() {
    const { pen, colour } = this;
    const ring = (/** @type {number} */ place, /** @type {string} */ tone, /** @type {number} */ wide) => {
      const box = this.box(place);
      const [x, y] = this.toPixel(box.x, box.y);
      pen.strokeStyle = tone;
      pen.lineWidth = wide;
      const edge = Math.max(2, this.scale * 0.12);
      pen.strokeRect(x - edge, y - edge, box.w * this.scale + 2 * edge, box.h * this.scale + 2 * edge);
    };
    const places = new Set([...this.marked].map((part) => this.placeOf[part]));
    for (const place of places) ring(place, colour.flow, 3);
    if (this.chosen >= 0) ring(this.placeOf[this.chosen], colour.choice, 3);
  }

  /**
   * What is at a pixel: a part, or an module.
   * @param {number} px
   * @param {number} py
   */
  at(px, py) {
    const [x, y] = [px / this.scale + this.left, py / this.scale + this.top];
    if (this.placed) {
      const part = this.placed.at(x, y);
      return { part, module: part < 0 ? 0 : -1 };
    }
    const within = (/** @type {{x: number, y: number, w: number, h: number}} */ box) =>
      x >= box.x && x <= box.x + box.w && y >= box.y && y <= box.y + box.h;
    let module = 0;
    for (;;) {
      const { parts, modules } = this.run.modules[module];
      const { x: xs, y: ys } = this.run;
      const part = parts.find((each) => x >= xs[each] && x <= xs[each] + 1 && y >= ys[each] && y <= ys[each] + 1);
      if (part !== undefined) return { part, module: -1 };
      const inner = modules.find((each) => within(this.run.modules[each]));
      if (inner === undefined) return { part: -1, module };
      if (!this.isOpen[inner]) return { part: -1, module: inner };
      module = inner;
    }
  }

  /** The colours have changed. */
  recolour() {
    this.colour = colours();
    this.version += 1;
    this.draw();
  }
}
