// The flags over the curves. Those that would cover each other share one with their number.

import { Cursor } from "./cursor.js";
import { Rove } from "./rove.js";
import { byId, element, time } from "./words.js";

/** So many lines of flags there are at most; on paper, as many as they need. */
const MOST_LINES = 2;
const LINE_PIXELS = 21;
const LETTER_PIXELS = 6.6;
/** What the number of a flag that stands for several takes. */
const NUMBER_PIXELS = 26;

/**
 * @typedef {import("./run.js").Moment} Moment
 * @typedef {{marks: Moment[], x: number, line: number, isLeft: boolean}} Flag where it stands, and what
 *   it stands for
 */

/** The flags. */
export class Flags {
  /** @param {Cursor} cursor */
  constructor(cursor) {
    this.cursor = cursor;
    this.box = byId("flags", HTMLElement);
    this.rove = new Rove(this.box);
    /** @type {Moment | null} what was gone to last: several may be in one tick */
    this.gone = null;
    const sorts = new Set(["operator", "limit"]);
    this.marks = cursor.runs[0].flags.filter(({ sort }) => !sorts.has(sort));
  }

  /**
   * Lays the flags out for this width, in pixels.
   * @param {number} width
   * @param {boolean} isPaper
   */
  layOut(width, isPaper) {
    const { from, until } = this.cursor.span;
    /** @type {Flag[]} */
    const flags = [];
    /** Where the last flag of each line begins and ends. */
    const lines = /** @type {[number, number][]} */ ([]);
    for (const moment of this.marks) {
      if (moment.tick < from || moment.tick >= until) continue;
      const x = ((moment.tick + 0.5 - from) / (until - from)) * width;
      const before = flags[flags.length - 1];
      const length = nameOf(moment).length * LETTER_PIXELS + 14;
      if (before && moment.sort === "loss" && before.marks[0].sort === "loss" && x - before.x < 60) {
        before.marks.push(moment);
        continue;
      }
      const isLeft = x + length + NUMBER_PIXELS > width;
      const [left, right] = isLeft ? [x - length - NUMBER_PIXELS, x] : [x, x + length + NUMBER_PIXELS];
      let line = lines.findIndex(([, end]) => left >= end);
      if (line < 0 && (isPaper || lines.length < MOST_LINES)) line = lines.length;
      if (line < 0 && before) {
        before.marks.push(moment);
        continue;
      }
      lines[line] = [left, right];
      flags.push({ marks: [moment], x, line, isLeft });
    }
    this.rove.redraw(() => this.box.replaceChildren(...flags.map((flag) => this.button(flag, width))));
    this.box.style.height = `${(isPaper ? Math.max(1, lines.length) : MOST_LINES) * LINE_PIXELS}px`;
  }

  /**
   * @param {Flag} flag
   * @param {number} width
   */
  button({ marks, x, line, isLeft }, width) {
    const rate = this.cursor.runs[0].ticksPerSecond;
    const words = marks.map((moment) => `${moment.name}, ${time(moment.tick, rate)}`);
    const more = marks.length > 1;
    const button = element("button", nameOf(marks[0]), `flag ${marks[0].sort}`);
    button.type = "button";
    if (more) button.append(element("b", ` +${marks.length - 1}`));
    button.title = words.join("\n");
    button.setAttribute("aria-label", more ? `${button.textContent}: go to one after the other: ${words.join("; ")}` : `go to ${words[0]}`);
    button.classList.toggle("left", isLeft);
    button.style.left = `${(x / width) * 100}%`;
    button.style.top = `${line * LINE_PIXELS}px`;
    button.addEventListener("click", () => {
      const at = marks.findIndex((moment) => moment === this.gone && moment.tick === this.cursor.tick);
      this.go(marks[(at + 1) % marks.length]);
    });
    return button;
  }

  /** @param {Moment} moment */
  go(moment) {
    this.gone = moment;
    this.cursor.go(moment.tick);
    if (moment.part) document.dispatchEvent(new CustomEvent("choose", { detail: moment.part }));
  }
}

/** @param {Moment} moment */
function nameOf(moment) {
  return moment.sort === "loss" ? "✕ lost" : moment.name;
}
