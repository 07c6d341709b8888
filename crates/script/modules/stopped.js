// How the stop went: how long hall and sections took to each mark, and why.

import { Cursor } from "./cursor.js";
import { Rove } from "./rove.js";
import { Run } from "./run.js";
import { byId, element, grouped, seconds, time } from "./words.js";

/** How each mark is drawn. */
const MARK_SIGNS = { cleared: "▮", "safe to close": "◆", quiet: "●" };
/** Signs closer than this, as a part of the bar, stand beside each other. */
const SIGN_WIDTH = 0.06;

/**
 * @typedef {{decided?: string, begin: string, rows: [number | null, string | null, string][], isTried: boolean, shorter: string[], inTheWay?: string[]}} Why
 * @typedef {{name: string, ticks: number | null, isSure: boolean, why: Why | null}} Mark
 * @typedef {{name: string, isHall: boolean, marks: Mark[]}} Row
 * @typedef {{at: number, rows: Row[]}} Stop
 */

/** The panel of the stop. */
export class Stopped {
  /** @param {Cursor} cursor */
  constructor(cursor) {
    this.cursor = cursor;
    this.run = cursor.runs[0];
    this.stop = 0;
    this.row = 0;
    this.mark = -1;
    this.box = byId("stopping", HTMLElement);
    this.bars = byId("stopping-bars", HTMLElement);
    this.why = byId("stopping-why", HTMLElement);
    this.which = byId("stopping-which", HTMLElement);
    this.rove = new Rove(this.bars);
    this.show(this.run);
  }

  /** @returns {Stop[]} */
  get stops() {
    return this.run.stops;
  }

  /**
   * Shows the stops of a run.
   * @param {Run} run
   */
  show(run) {
    this.run = run;
    this.box.hidden = this.stops.length === 0;
    this.box.parentElement?.classList.toggle("with-stop", !this.box.hidden);
    if (!this.box.hidden) this.choose(0, 0);
  }

  /**
   * @param {number} stop
   * @param {number} row
   * @param {number} [mark] by default the last one of which there is something to say
   */
  choose(stop, row, mark = -1) {
    this.stop = stop;
    this.row = row;
    const { marks } = this.stops[stop].rows[row];
    const late = (/** @type {Mark} */ each) => (each.why ? 1e9 : 0) + (each.ticks ?? 1e8);
    this.mark = mark >= 0 ? mark : marks.reduce((best, each, at) => (late(each) > late(marks[best]) ? at : best), 0);
    this.draw();
  }

  /** Draws the panel. */
  draw() {
    const { stops, run } = this;
    const { at, rows } = stops[this.stop];
    const variant = this.cursor.runs.length > 1 ? `, ${run.name}` : "";
    byId("stopping-head", HTMLElement).textContent = `The stop at ${seconds(at, run.ticksPerSecond)}${variant}`;
    this.which.hidden = stops.length < 2;
    const held = this.which.contains(document.activeElement);
    this.which.replaceChildren(...stops.map((_, stop) => {
      const button = element("button", String(stop + 1));
      button.type = "button";
      button.setAttribute("aria-label", `stop ${stop + 1}`);
      button.setAttribute("aria-pressed", String(stop === this.stop));
      button.addEventListener("click", () => this.choose(stop, 0));
      return button;
    }));
    if (held) /** @type {HTMLElement} */ (this.which.children[this.stop]).focus();
    const longest = Math.max(1, ...rows.flatMap((row) => row.marks.map(({ ticks }) => ticks ?? 0)));
    this.rove.redraw(() => this.bars.replaceChildren(...rows.map((row, number) => this.bar(row, number, longest))));
    this.rove.turnTo(/** @type {HTMLElement} */ (this.bars.querySelectorAll("button")[this.row]));
    this.drawWhy(rows[this.row]);
  }

  /**
   * @param {Row} row
   * @param {number} number
   * @param {number} longest the ticks that the whole width is
   */
  bar(row, number, longest) {
    const rate = this.run.ticksPerSecond;
    const item = element("li");
    const button = element("button", "", "stopping-bar");
    button.type = "button";
    const words = row.marks.map((mark) => markWords(mark, rate));
    button.title = words.join("\n");
    if (number === this.row) button.setAttribute("aria-current", "true");
    const track = element("span", "", "track");
    const reached = row.marks.filter(({ ticks }) => ticks !== null).sort((one, other) => Number(one.ticks) - Number(other.ticks));
    const isNever = reached.length < row.marks.length;
    const width = isNever ? 1 : Number(reached[reached.length - 1].ticks) / longest;
    const all = element("i", "", isNever ? "never" : "");
    all.style.width = `${width * 100}%`;
    const full = element("i", "", "full");
    full.style.width = `${(Number(row.marks[0].ticks ?? longest) / longest) * 100}%`;
    track.append(all, full);
    let after = -1;
    for (const { name, ticks } of reached) {
      const sign = element("b", MARK_SIGNS[/** @type {keyof typeof MARK_SIGNS} */ (name)]);
      after = Math.max(Number(ticks) / longest, after + SIGN_WIDTH);
      sign.style.left = `${after * 100}%`;
      track.append(sign);
    }
    const last = isNever ? "never" : seconds(Number(reached[reached.length - 1].ticks), rate);
    // What is drawn is read aloud in words.
    const latest = element("span", last, "last");
    for (const drawn of [track, latest]) drawn.setAttribute("aria-hidden", "true");
    button.append(element("span", row.name, "name"), element("span", `: ${words.join(", ")}`, "hidden"), track, latest);
    button.addEventListener("click", () => {
      this.choose(this.stop, number);
      const mark = row.marks[this.mark];
      const part = mark.why?.rows?.reduce((found, [, each]) => each ?? found, /** @type {string | null} */ (null)) ?? null;
      if (mark.ticks !== null) this.go(mark.ticks, part);
    });
    item.append(button);
    return item;
  }

  /**
   * Goes so many ticks after the stop, to a part.
   * @param {number} ticks
   * @param {string | null} part
   */
  go(ticks, part) {
    this.cursor.go(this.stops[this.stop].at + ticks);
    if (part) document.dispatchEvent(new CustomEvent("choose", { detail: part }));
  }

  /**
   * Why a mark came no sooner.
   * @param {Row} row
   */
  drawWhy(row) {
    const rate = this.run.ticksPerSecond;
    const marks = element("div", "", "which");
    marks.setAttribute("role", "group");
    marks.setAttribute("aria-label", "Mark");
    row.marks.forEach((mark, at) => {
      const button = element("button", mark.name);
      button.type = "button";
      button.setAttribute("aria-pressed", String(at === this.mark));
      button.addEventListener("click", () => {
        this.choose(this.stop, this.row, at);
        /** @type {HTMLElement | null} */ (this.why.querySelector("[aria-pressed=true]"))?.focus();
      });
      marks.append(button);
    });
    const mark = row.marks[this.mark];
    this.why.replaceChildren(element("h3", `${row.name}: ${markWords(mark, rate)}`), marks);
    const { why } = mark;
    const add = (/** @type {HTMLElement} */ child) => this.why.append(child);
    if (!why) {
      add(element("p", noWhyWords(row, mark)));
      return;
    }
    if (why.inTheWay) {
      add(element("p", "In the way:"));
      const list = element("ul");
      list.append(...why.inTheWay.map((words) => element("li", words)));
      add(list);
      return;
    }
    add(element("p", why.decided));
    const way = element("ol", "", "stopping-way");
    way.append(this.step(0, null, why.begin), ...why.rows.map(([ticks, part, words]) => this.step(ticks, part, words)));
    way.append(this.step(mark.ticks, null, mark.name));
    add(way);
    new Rove(way).turnTo(/** @type {HTMLElement} */ (way.querySelector("button")));
    if (!why.isTried) add(element("p", "A shorter time was not tried for this mark: that takes many runs."));
    if (why.shorter.length === 0) return;
    add(element("h3", "What a shorter time would save (each tried by itself)"));
    const list = element("ul", "", "stopping-shorter");
    list.append(...why.shorter.map((words) => element("li", words)));
    add(list);
  }

  /**
   * A row of the way.
   * @param {number | null} ticks after the stop, at its end
   * @param {string | null} part
   * @param {string} words
   */
  step(ticks, part, words) {
    const item = element("li");
    if (ticks === null) {
      item.append(element("span", words));
      return item;
    }
    const button = element("button", "", "row");
    button.type = "button";
    button.append(element("b", `${grouped(ticks)} t`), element("span", words));
    button.addEventListener("click", () => this.go(ticks, part));
    item.append(button);
    return item;
  }
}

/**
 * @param {Mark} mark
 * @param {number} rate
 */
function markWords({ name, ticks, isSure }, rate) {
  if (ticks === null) return `never ${name}`;
  return `${name} after ${time(ticks, rate)}${isSure ? "" : ", as far as was watched"}`;
}

/**
 * @param {Row} row
 * @param {Mark} mark
 */
function noWhyWords(row, mark) {
  if (mark.ticks === 0) return "It was so at the stop already.";
  if (mark.ticks === null) return "What it waits for is in the way of the whole hall too: look there.";
  return row.isHall ? "Nothing moved for it: only signals changed." : "Nothing of the section moved or changed in that tick: a pulse that drives it ended, or another section's goods were away.";
}
