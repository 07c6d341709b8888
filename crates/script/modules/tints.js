// Where it waits: how much of a span each part waited full, locked or for goods, or worked; as tints on the map
// and as a list.

import { ROLE, Run } from "./run.js";
import { after } from "./unpack.js";
import { byId, element, seconds } from "./words.js";

/** The classes of waits, by their numbers in `waits.rs`. The last is none of them. */
const CLASSES = [
  { letter: "F", words: "full", tone: "bad" }, { letter: "L", words: "locked", tone: "lock" },
  { letter: "G", words: "for goods", tone: "hold" }, { letter: "W", words: "working", tone: "good" },
];
const SHARES = CLASSES.length + 1;
/** So many parts of each class are listed. */
const LISTED = 5;

/**
 * How many ticks each part was in each class of waits, part after part.
 * @param {Run} run
 * @param {number} from
 * @param {number} until not including this one
 */
export function ticksWaited(run, from, until) {
  const sums = new Float64Array(run.partCount * SHARES);
  if (from <= 0 && until >= run.runTicks) {
    run.waits.forEach((waits, part) => waits.forEach((wait) => { sums[part * SHARES + wait.class] += wait.ticks; }));
    return sums;
  }
  const { ticks, cells, after: then } = run.changes;
  const now = Int32Array.from({ length: run.partCount }, (_, part) => run.start[run.firstCell[part + 1] - 1]);
  const since = new Int32Array(run.partCount).fill(from);
  const add = (/** @type {number} */ part, /** @type {number} */ tick) => {
    sums[part * SHARES + (run.waits[part][now[part]]?.class ?? SHARES - 1)] += Math.max(0, tick - since[part]);
    since[part] = Math.max(from, tick);
  };
  const end = after(ticks, until - 1);
  for (let at = 0; at < end; at += 1) {
    if (run.role[cells[at]] !== ROLE.wait) continue;
    const part = run.partOf[cells[at]];
    add(part, ticks[at]);
    now[part] = then[at];
  }
  for (let part = 0; part < run.partCount; part += 1) add(part, Math.min(until, run.runTicks));
  return sums;
}

/** The tints of a map. */
export class Tints {
  /** @param {(part: number) => void} choose */
  constructor(choose) {
    this.choose = choose;
    this.isOn = false;
    /** Of each part, then of each module, the ticks in each class. */
    this.sums = new Float64Array(0);
    this.button = byId("tint", HTMLButtonElement);
    this.box = byId("waits-most", HTMLElement);
  }

  /**
   * Works a span out, and lists the parts that waited most.
   * @param {Run} run
   * @param {number} from
   * @param {number} until
   */
  show(run, from, until) {
    this.button.setAttribute("aria-pressed", String(this.isOn));
    this.box.hidden = byId("tint-key", HTMLElement).hidden = !this.isOn;
    if (!this.isOn) return;
    const parts = ticksWaited(run, from, until);
    this.sums = new Float64Array(parts.length + run.modules.length * SHARES);
    this.sums.set(parts);
    for (let part = 0; part < run.partCount; part += 1) {
      for (let at = run.isSignal(part) ? -1 : run.module[part]; at >= 0; at = run.modules[at].parent) {
        for (let each = 0; each < SHARES; each += 1) this.sums[(run.partCount + at) * SHARES + each] += parts[part * SHARES + each];
      }
    }
    const span = (/** @type {number} */ tick) => seconds(tick, run.ticksPerSecond);
    this.box.replaceChildren(element("h2", "Waits most"), element("p", `from ${span(from)} to ${span(Math.min(until, run.runTicks))}`, "hint"));
    const all = Array.from({ length: run.partCount }, (_, part) => part).filter((part) => !run.isSignal(part));
    CLASSES.slice(0, 3).forEach(({ letter, words }, each) => {
      const ticks = (/** @type {number} */ part) => parts[part * SHARES + each];
      const most = all.filter((part) => ticks(part) > 0).sort((one, other) => ticks(other) - ticks(one) || one - other);
      this.box.append(element("h3", `${letter} – ${words}`));
      for (const part of most.slice(0, LISTED)) {
        const share = (ticks(part) / (Math.min(until, run.runTicks) - from)) * 100;
        const row = element("button", `${share.toFixed(1)} % ${run.partName(part)}`, "row");
        row.type = "button";
        row.addEventListener("click", () => this.choose(part));
        this.box.append(row);
      }
      if (most.length === 0) this.box.append(element("p", "none"));
    });
  }

  /**
   * The class in which a part, or a module after all parts, was longest, and its share; -1 where it is in none.
   * @param {number} place
   */
  most(place) {
    let [best, all] = [-1, 0];
    for (let each = 0; each < SHARES; each += 1) {
      const ticks = this.sums[place * SHARES + each];
      all += ticks;
      if (each < CLASSES.length && ticks > 0 && (best < 0 || ticks > this.sums[place * SHARES + best])) best = each;
    }
    return { best, share: best < 0 ? 0 : this.sums[place * SHARES + best] / all };
  }

  /**
   * Tints a box: the colour, the lines and the letter of its class, stronger where that is most of the time.
   * @param {CanvasRenderingContext2D} pen
   * @param {import("./glyphs.js").Colours} colour
   * @param {number} place
   * @param {import("./blocks.js").Box} box in pixels
   */
  paint(pen, colour, place, { x, y, w, h }) {
    const { best, share } = this.most(place);
    if (best < 0) return;
    const { letter, tone } = CLASSES[best];
    pen.save();
    pen.beginPath();
    pen.rect(x, y, w, h);
    pen.clip();
    pen.fillStyle = pen.strokeStyle = colour[/** @type {"bad" | "lock" | "hold" | "good"} */ (tone)];
    pen.globalAlpha = 0.15 + 0.45 * share;
    pen.fillRect(x, y, w, h);
    pen.globalAlpha = 1;
    pen.lineWidth = 1;
    pen.beginPath();
    // Full: a frame; locked: slanting lines; for goods: a line below; working: lines upright.
    if (best === 0) pen.rect(x + 1.5, y + 1.5, w - 3, h - 3);
    for (let at = 5; best === 1 && at < w + h; at += 7) pen.moveTo(x + at, y), pen.lineTo(x + at - h, y + h);
    if (best === 2) pen.rect(x, y + h - 3, w, 2);
    for (let at = 4; best === 3 && at < w; at += 7) pen.moveTo(x + at, y), pen.lineTo(x + at, y + h);
    pen.stroke();
    pen.restore();
    const size = Math.min(15, w * 0.5, h * 0.5);
    if (size < 7) return;
    pen.font = `700 ${size}px system-ui, sans-serif`;
    pen.textAlign = "right";
    pen.textBaseline = "bottom";
    pen.lineWidth = 3;
    pen.strokeStyle = colour.sheet;
    const words = w >= 90 ? `${letter} ${Math.round(share * 100)} %` : letter;
    pen.strokeText(words, x + w - 2, y + h - 1);
    pen.fillStyle = colour.ink;
    pen.fillText(words, x + w - 2, y + h - 1);
  }
}
