// The strips: the cursor's line through them, dragging, figures at the cursor, flags for flags.

import { Cursor } from "./cursor.js";
import { Run } from "./run.js";
import { byId, element, grouped, seconds, time } from "./words.js";

/** Throughput is a mean over so many seconds, as in the drawing. */
const WINDOW_SECONDS = 10;

/** The strips. */
export class Curves {
  /**
   * @param {Run[]} runs
   * @param {Cursor} cursor
   */
  constructor(runs, cursor) {
    this.runs = runs;
    this.cursor = cursor;
    this.ticks = cursor.last + 1;
    this.box = /** @type {HTMLElement} */ (document.getElementById("strips"));
    this.line = /** @type {HTMLElement} */ (document.getElementById("line"));
    this.flags = /** @type {HTMLElement} */ (document.getElementById("flags"));
    this.axis = /** @type {HTMLElement} */ (document.getElementById("axis"));
    for (const curve of this.box.querySelectorAll(".strip-curve")) {
      this.draggable(/** @type {HTMLElement} */ (curve));
      this.shade(/** @type {HTMLElement} */ (curve));
    }
    this.width = 0;
    this.isPaper = false;
    this.drawAxis();
    new ResizeObserver(() => this.resized()).observe(this.box);
    cursor.followers.push(() => this.show());
  }

  /** @param {HTMLElement} curve */
  draggable(curve) {
    const go = (/** @type {PointerEvent} */ event) => {
      const { left, width } = curve.getBoundingClientRect();
      this.cursor.go(((event.clientX - left) / width) * this.ticks);
    };
    curve.addEventListener("pointerdown", (event) => {
      curve.setPointerCapture(event.pointerId);
      go(event);
    });
    curve.addEventListener("pointermove", (event) => {
      if (event.buttons & 1) go(event);
    });
  }

  /**
   * From each stop to its restart; and where the record is thinned out.
   * @param {HTMLElement} curve
   */
  shade(curve) {
    const band = (/** @type {string} */ name, /** @type {number} */ from, /** @type {number} */ to) => {
      const made = element("span", "", name);
      made.style.left = `${(from / this.ticks) * 100}%`;
      made.style.width = `${((to - from) / this.ticks) * 100}%`;
      curve.append(made);
    };
    const [run] = this.runs;
    const stops = run.flags.filter((moment) => moment.sort === "stop");
    stops.forEach((moment, at) => {
      if (moment.name.startsWith("stop")) band("stopped", moment.tick, stops[at + 1]?.tick ?? run.runTicks);
    });
    let thin = 0;
    for (const [from, to] of [...run.exact, [run.runTicks, 0]]) {
      if (from > thin) band("thinned", thin, from);
      thin = to;
    }
  }

  /** Seconds below the strips. */
  drawAxis() {
    const rate = this.runs[0].ticksPerSecond;
    const all = this.ticks / rate;
    const step = [1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1200, 3600].find((each) => all / each <= 12) ?? 7200;
    for (let at = 0; at < all * 0.99; at += step) {
      const mark = element("span", `${grouped(at)} s`);
      mark.style.left = `${(at / all) * 100}%`;
      this.axis.append(mark);
    }
  }

  /** Flags stand in as many lines as they need not to cover each other. */
  resized() {
    if (!this.isPaper && this.flags.clientWidth > 0 && this.flags.clientWidth !== this.width) this.layOut(0);
  }

  /**
   * Lays the flags out for this width, in pixels; 0: for the width that they have.
   * @param {number} paper
   */
  layOut(paper) {
    this.isPaper = paper > 0;
    const width = paper || this.flags.clientWidth;
    this.width = width;
    this.flags.replaceChildren();
    const lines = /** @type {number[][]} */ ([]);
    const seen = new Map();
    for (const moment of this.runs[0].flags) {
      const name = moment.sort === "loss" ? "✕ lost" : moment.name;
      if (moment.sort === "operator" || moment.sort === "limit") continue;
      const x = (moment.tick / this.ticks) * width;
      // Of very many losses, one in each place is enough.
      if (moment.sort === "loss" && x - (seen.get(name) ?? -100) < 60) continue;
      seen.set(name, x);
      this.flag(moment, name, x, width, lines);
    }
    this.flags.style.height = `${Math.max(1, lines.length) * 21}px`;
    this.show();
  }

  /**
   * @param {import("./run.js").Moment} moment
   * @param {string} name
   * @param {number} x
   * @param {number} width
   * @param {number[][]} lines taken stretches of each line
   */
  flag(moment, name, x, width, lines) {
    const rate = this.runs[0].ticksPerSecond;
    const flag = element("button", name, `flag ${moment.sort}`);
    flag.type = "button";
    flag.title = `${moment.name}: ${time(moment.tick, rate)}`;
    flag.setAttribute("aria-label", `go to ${moment.name}, ${time(moment.tick, rate)}`);
    const length = name.length * 6.6 + 14;
    const isLeft = x + length > width;
    const [from, to] = isLeft ? [x - length, x] : [x, x + length];
    let line = lines.findIndex((taken) => taken.every((edge, at) => at % 2 || to <= edge || from >= taken[at + 1]));
    if (line < 0) line = lines.push([]) - 1;
    lines[line].push(from, to);
    flag.classList.toggle("left", isLeft);
    flag.style.left = `${(x / width) * 100}%`;
    flag.style.top = `${line * 21}px`;
    flag.addEventListener("click", () => {
      this.cursor.go(moment.tick);
      if (moment.part) document.dispatchEvent(new CustomEvent("choose", { detail: moment.part }));
    });
    this.flags.append(flag);
  }

  /** Moves the line and reports the figures. */
  show() {
    this.line.style.setProperty("--at", String((this.cursor.tick + 0.5) / this.ticks));
    byId("moment", HTMLElement).textContent = `The hall at the end of tick ${grouped(this.cursor.tick)}, ${this.words()} into the run`;
    for (const strip of this.box.querySelectorAll(".strip")) {
      const key = strip.getAttribute("data-key") ?? "";
      strip.querySelectorAll("output").forEach((output) => {
        output.textContent = this.figure(this.runs[Number(output.dataset.run)], key);
      });
    }
    this.waiting();
  }

  /**
   * The figure of a strip at the cursor.
   * @param {Run} run
   * @param {string} key
   */
  figure(run, key) {
    if (this.cursor.tick >= run.runTicks) return "over";
    const index = Math.floor(this.cursor.tick / run.seriesStep);
    const at = (/** @type {Int32Array} */ series, where = index) => series[Math.min(where, series.length - 1)] ?? 0;
    if (key === "backlog") return grouped(run.backlog.reduce((sum, series) => sum + at(series), 0));
    if (key === "unlocked") return grouped(at(run.unlocked));
    if (key === "loose") return grouped(at(run.loose));
    if (key === "work") return grouped(at(run.work));
    const window = Math.ceil((WINDOW_SECONDS * run.ticksPerSecond) / run.seriesStep);
    const counted = (/** @type {number} */ where) =>
      where < 0 ? 0 : run.counted.reduce((sum, series) => sum + at(series, where), 0);
    const items = counted(index) - counted(index - window);
    return (items / ((window * run.seriesStep) / run.ticksPerSecond)).toFixed(2);
  }

  /** What waits in each section at the cursor. */
  waiting() {
    const [run] = this.runs;
    const box = document.getElementById("now");
    const list = document.getElementById("waiting");
    if (!box || !list || run.sections.length === 0) return;
    box.hidden = false;
    const index = Math.min(Math.floor(this.cursor.tick / run.seriesStep), run.work.length - 1);
    const most = Math.max(1, ...run.backlog.map((series) => series[index] ?? 0));
    if (list.childElementCount !== run.sections.length) {
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
