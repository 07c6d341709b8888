// The strips: curves and axes of the span that is seen, the cursor's line through them, dragging, figures.

import { Cursor } from "./cursor.js";
import { Flags } from "./flags.js";
import { Run } from "./run.js";
import { seldom } from "./pace.js";
import { mostIn, roundStep, roundTime, valuesOf } from "./series.js";
import { byId, element, grouped, seconds } from "./words.js";
import { Zoom } from "./zoom.js";

/** How many steps a curve has at most, and the size of its own coordinates: as in the page's drawing. */
const CURVE = { steps: 500, width: 1000, height: 100, top: 1.06 };
/** So many pixels a time or a value on an axis needs. */
const ROOM = { time: 78, value: 16 };

/**
 * @typedef {{key: string, box: HTMLElement, curve: HTMLElement, svg: SVGElement, unit: string, bound: number,
 *   lines: ArrayLike<number>[], outputs: HTMLElement[], most: HTMLElement, axis: HTMLElement, hover: HTMLElement}} Strip
 */

/** The strips. */
export class Curves {
  /**
   * @param {Run[]} runs
   * @param {Cursor} cursor
   */
  constructor(runs, cursor) {
    this.runs = runs;
    this.cursor = cursor;
    this.box = byId("strips", HTMLElement);
    this.line = byId("line", HTMLElement);
    this.hover = byId("hover", HTMLElement);
    this.axis = byId("axis", HTMLElement);
    this.flags = new Flags(cursor);
    this.zoom = new Zoom(cursor, this.box);
    this.strips = [...this.box.querySelectorAll(".strip")].map((box) => this.strip(/** @type {HTMLElement} */ (box)));
    this.zoom.choosable(this.axis, () => true);
    // The axis says it, and it covers the curve.
    for (const { most } of this.strips) most.classList.add("hidden");
    this.width = 0;
    this.isPaper = false;
    new ResizeObserver(() => this.resized()).observe(this.box);
    this.box.addEventListener("pointermove", (event) => this.point(event));
    this.box.addEventListener("pointerleave", () => this.point(null));
    cursor.onSpan.push(() => this.draw());
    const write = seldom(() => this.write());
    cursor.followers.push(() => {
      this.place();
      write();
    });
  }

  /**
   * @param {HTMLElement} box
   * @returns {Strip}
   */
  strip(box) {
    const key = box.dataset.key ?? "";
    const curve = /** @type {HTMLElement} */ (box.querySelector(".strip-curve"));
    const axis = element("div", "", "values");
    const hover = element("span", "", "hover-value");
    hover.hidden = true;
    axis.setAttribute("aria-hidden", "true");
    hover.setAttribute("aria-hidden", "true");
    curve.append(axis, hover);
    this.draggable(curve);
    return {
      key, box, curve, axis, hover,
      svg: /** @type {SVGElement} */ (curve.querySelector("svg")),
      unit: box.querySelector(".strip-name span")?.textContent ?? "",
      bound: Number(box.dataset.bound ?? 0),
      lines: this.runs.map((run) => valuesOf(run, key)),
      outputs: [...box.querySelectorAll("output")],
      most: /** @type {HTMLElement} */ (curve.querySelector(".most")),
    };
  }

  /**
   * The tick at a place of the window.
   * @param {number} x
   */
  tickAt(x) {
    const { left, width } = this.axis.getBoundingClientRect();
    const { from, until } = this.cursor.span;
    return Math.min(until - 1, Math.max(from, Math.floor(from + ((x - left) / width) * (until - from))));
  }

  /** @param {HTMLElement} curve */
  draggable(curve) {
    let isHeld = false;
    curve.addEventListener("pointerdown", (event) => {
      if (event.button !== 0 || event.shiftKey) return;
      // Else the text around would be marked.
      event.preventDefault();
      curve.setPointerCapture(event.pointerId);
      isHeld = true;
      this.cursor.go(this.tickAt(event.clientX));
    });
    curve.addEventListener("pointermove", (event) => {
      if (isHeld) this.cursor.go(this.tickAt(event.clientX));
    });
    for (const end of ["pointerup", "pointercancel"]) curve.addEventListener(end, () => { isHeld = false; });
    this.zoom.choosable(curve, (event) => event.shiftKey);
  }

  /** The curves are drawn for the room that they have. */
  resized() {
    if (!this.isPaper && this.axis.clientWidth > 0 && this.axis.clientWidth !== this.width) this.layOut(0);
  }

  /**
   * Lays everything out for this width, in pixels; 0: for the width that there is.
   * @param {number} paper
   */
  layOut(paper) {
    this.isPaper = paper > 0;
    this.width = paper || this.axis.clientWidth;
    this.draw();
    this.show();
  }

  /** Draws what is seen of the run. */
  draw() {
    if (this.width === 0) return;
    this.flags.layOut(this.width, this.isPaper);
    const { from, until } = this.cursor.span;
    const rate = this.runs[0].ticksPerSecond;
    const step = roundTime(until - from, this.width / ROOM.time, rate);
    const times = [];
    for (let at = Math.ceil(from / step) * step; at < until; at += step) times.push(at);
    this.axis.replaceChildren(...times.map((at) => {
      const mark = element("span", seconds(at, rate).replace(".0 s", " s"));
      const place = (at - from) / (until - from);
      mark.style.left = `${place * 100}%`;
      if (place * this.width < 24) mark.className = "first";
      if ((1 - place) * this.width < 24) mark.className = "last";
      return mark;
    }));
    for (const strip of this.strips) this.drawStrip(strip, times);
    this.place();
    this.point(null);
  }

  /**
   * @param {Strip} strip
   * @param {number[]} times ticks that the time's axis names
   */
  drawStrip(strip, times) {
    const { from, until } = this.cursor.span;
    const { seriesStep } = this.runs[0];
    const most = Math.max(...strip.lines.map((line) => mostIn(line, Math.floor(from / seriesStep), Math.ceil(until / seriesStep))));
    const highest = Math.max(most, strip.bound);
    const top = (highest || 1) * CURVE.top;
    const shapes = /** @type {SVGElement[]} */ ([]);
    const add = (/** @type {"polyline" | "polygon"} */ shape, /** @type {string} */ name, /** @type {[number, number][]} */ points) => {
      const made = document.createElementNS("http://www.w3.org/2000/svg", shape);
      const x = (/** @type {number} */ tick) => (((tick - from) / (until - from)) * CURVE.width).toFixed(1);
      made.setAttribute("points", points.map(([tick, value]) => `${x(tick)},${((1 - value / top) * CURVE.height).toFixed(1)}`).join(" "));
      made.setAttribute("class", name);
      shapes.push(made);
    };
    // Whole things are not named in parts.
    const step = Math.max(strip.key === "throughput" ? 0 : 1, roundStep(highest || 1, strip.curve.clientHeight / ROOM.value - 1));
    const values = [];
    for (let at = 0; at * step <= highest; at += 1) values.push(at * step);
    for (const tick of times) add("polyline", "grid", [[tick, 0], [tick, top]]);
    for (const value of values.slice(1)) add("polyline", "grid", [[from, value], [until, value]]);
    for (const { tick, sort } of this.runs[0].flags) {
      if (sort !== "operator" && sort !== "limit") continue;
      if (tick >= from && tick < until) add("polyline", sort === "limit" ? "bound" : sort, [[tick, 0], [tick, top]]);
    }
    if (strip.bound > 0) add("polyline", "bound", [[from, strip.bound], [until, strip.bound]]);
    [...strip.lines.keys()].reverse().forEach((run) => {
      const points = this.points(this.runs[run], strip.lines[run]);
      if (run === 0 && points.length > 0) add("polygon", "first", [[points[0][0], 0], ...points, [points[points.length - 1][0], 0]]);
      add("polyline", ["first", "second"][run], points);
    });
    strip.svg.replaceChildren(...shapes);
    const words = `most in this span: ${figureWords(strip.key, most)} ${strip.unit}`;
    strip.most.textContent = words;
    strip.box.title = words;
    strip.axis.replaceChildren(...values.map((value) => {
      const mark = element("span", step < 1 ? value.toFixed(1) : grouped(value));
      // The topmost stays within its strip.
      mark.style.bottom = `min(${(value / top) * 100}%, 100% - 7px)`;
      return mark;
    }));
    this.shade(strip.curve);
  }

  /**
   * The corners of a curve in the span that is seen: of very many values, the most in each step.
   * @param {Run} run
   * @param {ArrayLike<number>} values
   * @returns {[number, number][]}
   */
  points(run, values) {
    const { from, until } = this.cursor.span;
    const end = Math.min(values.length, Math.ceil(until / run.seriesStep));
    const first = Math.floor(from / run.seriesStep);
    const each = Math.max(1, Math.ceil((end - first) / CURVE.steps));
    const points = /** @type {[number, number][]} */ ([]);
    for (let at = first - (first % each); at < end; at += each) {
      const most = mostIn(values, at, at + each);
      const last = points[points.length - 1];
      const to = Math.min((at + each) * run.seriesStep, run.runTicks);
      if (last && last[1] === most) last[0] = to;
      else points.push([at * run.seriesStep, most], [to, most]);
    }
    return points;
  }

  /**
   * From each stop to its restart; and where the record is thinned out.
   * @param {HTMLElement} curve
   */
  shade(curve) {
    const { from, until } = this.cursor.span;
    curve.querySelectorAll(".stopped, .thinned").forEach((each) => each.remove());
    const band = (/** @type {string} */ name, /** @type {number} */ begin, /** @type {number} */ end) => {
      const [left, right] = [Math.max(from, begin), Math.min(until, end)];
      if (left >= right) return;
      const made = element("span", "", name);
      made.style.left = `${((left - from) / (until - from)) * 100}%`;
      made.style.width = `${((right - left) / (until - from)) * 100}%`;
      curve.append(made);
    };
    const [run] = this.runs;
    const stops = run.flags.filter((moment) => moment.sort === "stop");
    stops.forEach((moment, at) => {
      if (moment.name.startsWith("stop")) band("stopped", moment.tick, stops[at + 1]?.tick ?? run.runTicks);
    });
    let thin = 0;
    for (const [begin, end] of [...run.exact, [run.runTicks, 0]]) {
      if (begin > thin) band("thinned", thin, begin);
      thin = end;
    }
  }

  /** Puts the cursor's line where it is; out of the span, there is none. */
  place() {
    const { from, until } = this.cursor.span;
    this.line.style.setProperty("--at", String((this.cursor.tick + 0.5 - from) / (until - from)));
    this.line.hidden = !this.cursor.isInSpan();
  }

  /** Moves the line and reports the figures. */
  show() {
    this.place();
    this.write();
  }

  /** Reports the figures. */
  write() {
    byId("moment", HTMLElement).textContent = `The hall at the end of tick ${grouped(this.cursor.tick)}, ${this.words()} into the run`;
    for (const { outputs, key, lines } of this.strips) {
      for (const output of outputs) {
        const run = Number(output.dataset.run);
        output.textContent = figureAt(this.runs[run], lines[run], key, this.cursor.tick);
      }
    }
    this.waiting();
  }

  /**
   * The values where the mouse is.
   * @param {PointerEvent | null} event
   */
  point(event) {
    const { left, width } = this.axis.getBoundingClientRect();
    const isOver = event !== null && event.buttons === 0 && event.pointerType !== "touch" && event.clientX >= left && event.clientX < left + width;
    this.hover.hidden = !isOver;
    for (const { hover } of this.strips) hover.hidden = !isOver;
    if (!event || !isOver) return;
    const { from, until } = this.cursor.span;
    const tick = this.tickAt(event.clientX);
    const place = (tick + 0.5 - from) / (until - from);
    this.hover.style.setProperty("--at", String(place));
    byId("hover-time", HTMLElement).textContent = `${seconds(tick, this.runs[0].ticksPerSecond)} (${grouped(tick)} t)`;
    this.hover.classList.toggle("left", place > 0.5);
    for (const strip of this.strips) {
      const figures = this.runs.map((run, at) => figureAt(run, strip.lines[at], strip.key, tick));
      strip.hover.textContent = `${figures.join(" ┆ ")} ${strip.unit}`;
      strip.hover.style.left = `${place * 100}%`;
      strip.hover.classList.toggle("left", place > 0.5);
    }
  }

  /** What waits in each section at the cursor. */
  waiting() {
    const [run] = this.runs;
    const box = byId("now", HTMLElement);
    const list = byId("waiting", HTMLElement);
    if (run.sections.length === 0) return;
    box.hidden = false;
    const index = Math.min(Math.floor(this.cursor.tick / run.seriesStep), run.work.length - 1);
    const most = Math.max(1, ...run.backlog.map((series) => series[index] ?? 0));
    if (list.childElementCount === 0) {
      list.replaceChildren(...run.sections.slice(0, 40).map(({ name }) => {
        const row = element("li");
        const label = element("span", name);
        label.title = name;
        row.append(label, element("i"), element("b"));
        return row;
      }));
    }
    [...list.children].forEach((row, section) => {
      const items = run.backlog[section]?.[index] ?? 0;
      const bar = /** @type {HTMLElement} */ (row.children[1]);
      bar.style.width = `${(items / most) * 100}%`;
      row.children[2].textContent = `${grouped(items)} ${items === 1 ? "item" : "items"}`;
    });
  }

  /** The moment of the cursor in words. */
  words() {
    return seconds(this.cursor.tick, this.runs[0].ticksPerSecond);
  }
}

/**
 * @param {string} key
 * @param {number} value
 */
function figureWords(key, value) {
  return key === "throughput" ? value.toFixed(2) : grouped(value);
}

/**
 * The figure of a curve at a tick.
 * @param {Run} run
 * @param {ArrayLike<number>} values
 * @param {string} key
 * @param {number} tick
 */
function figureAt(run, values, key, tick) {
  if (tick >= run.runTicks) return "over";
  const at = Math.min(Math.floor(tick / run.seriesStep), values.length - 1);
  return figureWords(key, values[at] ?? 0);
}
