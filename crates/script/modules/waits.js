// What the chosen part waits for: at the cursor, and in the whole run.

import { waitsBegun, waitWords } from "./events.js";
import { Run } from "./run.js";
import { State } from "./state.js";
import { after } from "./unpack.js";
import { element, grouped, seconds } from "./words.js";

/** So many waits are listed; the others are added up. */
const ROWS = 12;
/** So many parts are followed to the one that holds them all up. */
const CHAIN = 500;

/** The waits of one part. */
export class Waits {
  /**
   * @param {Run} run
   * @param {number} part
   * @param {(part: number) => void} choose
   */
  constructor(run, part, choose) {
    this.run = run;
    this.part = part;
    this.choose = choose;
    this.begun = waitsBegun(run, part);
  }

  /**
   * A wait in words, with the part that causes it to go to.
   * @param {HTMLElement} box
   * @param {import("./run.js").Wait} wait
   */
  report(box, wait) {
    if (wait.by < 0) {
      box.append(wait.words);
      return;
    }
    const [before, then] = wait.words.split("{}");
    const button = element("button", this.run.partName(wait.by), "link");
    button.type = "button";
    button.addEventListener("click", () => this.choose(wait.by));
    box.append(before, button, then ?? "");
  }

  /**
   * The wait at the cursor: what for, since when, for how long.
   * @param {HTMLElement} box
   * @param {State} state
   */
  drawNow(box, state) {
    const { run, part, begun } = this;
    const wait = state.wait(part);
    const line = element("p", run.isSignal(part) ? "" : "Waits: ", "now-waits");
    line.id = "now-waits";
    this.report(line, wait);
    const next = after(Int32Array.from(begun), state.tick);
    if (run.isExact(state.tick)) {
      const from = next > 0 ? begun[next - 1] : 0;
      const to = next < begun.length ? begun[next] : run.runTicks;
      const span = (/** @type {number} */ ticks) => `${grouped(ticks)} t (${seconds(ticks, run.ticksPerSecond)})`;
      const ends = run.isExact(to - 1) ? ` of ${span(to - from)}` : "";
      line.append(element("span", `, this time ${span(state.tick + 1 - from)} so far${ends}`));
    }
    box.append(line);
    this.drawChain(box, state, wait);
  }

  /**
   * Where what is full waits for what is full: the part that holds them up in the end.
   * @param {HTMLElement} box
   * @param {State} state
   * @param {import("./run.js").Wait} wait
   */
  drawChain(box, state, wait) {
    const { run } = this;
    const isFull = (/** @type {import("./run.js").Wait} */ each) => each.isFull && each.by >= 0;
    if (!isFull(wait)) return;
    const seen = new Set([this.part]);
    let part = wait.by;
    while (isFull(state.wait(part)) && !seen.has(part) && seen.size < CHAIN) {
      seen.add(part);
      part = state.wait(part).by;
    }
    const line = element("p", "", "chain");
    if (seen.has(part)) line.append(`${seen.size} parts wait for each other in a ring.`);
    else {
      const between = seen.size - 1;
      line.append(between > 0 ? `Behind it ${between === 1 ? "is another full part" : `are ${between} more full parts`}; in the end ` : "There, ");
      this.report(line, { words: "{}", by: part, ticks: 0, isFull: false, class: 0 });
      line.append(": ");
      this.report(line, state.wait(part));
    }
    box.append(line);
  }

  /**
   * How long it waited for what in the whole run.
   * @param {HTMLElement} box
   * @param {State} state
   */
  drawAll(box, state) {
    const { run, part } = this;
    const now = state.wait(part);
    const waits = run.waits[part].slice().sort((one, other) => other.ticks - one.ticks);
    const table = element("table", "", "causes");
    table.id = "causes";
    const head = table.createTHead().insertRow();
    for (const words of [run.isSignal(part) ? "Was" : "Waited for", "ticks", "time", "share"]) {
      const cell = element("th", words);
      cell.scope = "col";
      head.append(cell);
    }
    const body = table.createTBody();
    for (const wait of waits.slice(0, ROWS)) {
      const row = body.insertRow();
      const cell = element("th");
      cell.scope = "row";
      this.report(cell, wait);
      if (wait === now) {
        row.setAttribute("aria-current", "true");
        cell.append(element("em", " ◂ now"));
      }
      this.figures(row, cell, wait.ticks);
    }
    const rest = waits.slice(ROWS);
    if (rest.length > 0) {
      const cell = element("th", `${rest.length} more`);
      cell.scope = "row";
      this.figures(body.insertRow(), cell, rest.reduce((sum, wait) => sum + wait.ticks, 0));
    }
    const whole = element("th", "the whole run");
    whole.scope = "row";
    this.figures(table.createTFoot().insertRow(), whole, waits.reduce((sum, wait) => sum + wait.ticks, 0));
    box.append(element("h3", run.isSignal(part) ? "Its time in the whole run" : "What it waited for in the whole run"), table);
  }

  /**
   * @param {HTMLTableRowElement} row
   * @param {HTMLElement} cell
   * @param {number} ticks
   */
  figures(row, cell, ticks) {
    const { run } = this;
    const share = (ticks / run.runTicks) * 100;
    cell.style.setProperty("--share", `${share.toFixed(2)}%`);
    row.append(cell, element("td", `${grouped(ticks)} t`), element("td", seconds(ticks, run.ticksPerSecond)), element("td", `${share.toFixed(1)} %`));
  }
}

/**
 * What a part holds and waits for, in words.
 * @param {Run} run
 * @param {State} state
 * @param {number} part
 */
export function partWords(run, state, part) {
  const wait = state.wait(part);
  const settled = wait.words === "on" || wait.words === "off";
  return settled ? state.holding(part) : `${state.holding(part)}; waits: ${waitWords(run, wait)}`;
}
