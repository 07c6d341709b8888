// Lets time run: as fast as in the hall, slower or faster, round and round through the span that is seen.

import { Cursor } from "./cursor.js";
import { byId } from "./words.js";

/** A frame that comes later than this is as if it came now: a page in the background does not leap. */
const LONGEST_FRAME_MS = 250;

/** The button and the keys that play. */
export class Play {
  /** @param {Cursor} cursor */
  constructor(cursor) {
    this.cursor = cursor;
    this.frame = 0;
    this.before = 0;
    this.button = byId("play", HTMLButtonElement);
    this.speed = byId("speed", HTMLSelectElement);
    this.button.addEventListener("click", () => this.toggle());
    document.addEventListener("keydown", (event) => this.key(event));
  }

  /** Lets time run, or stops it. */
  toggle() {
    const isOn = this.frame !== 0;
    this.button.setAttribute("aria-pressed", String(!isOn));
    this.button.textContent = isOn ? "Play" : "Pause";
    if (isOn) {
      cancelAnimationFrame(this.frame);
      this.frame = 0;
      return;
    }
    const { cursor } = this;
    if (!cursor.isInSpan() || cursor.tick >= cursor.span.until - 1) cursor.goExactly(cursor.span.from);
    this.before = performance.now();
    this.frame = requestAnimationFrame((now) => this.next(now));
  }

  /** @param {number} now */
  next(now) {
    const { cursor } = this;
    const passed = Math.min(LONGEST_FRAME_MS, Math.max(0, now - this.before));
    this.before = now;
    const { from, until } = cursor.span;
    const moment = cursor.moment + (passed * cursor.runs[0].ticksPerSecond * Number(this.speed.value)) / 1000;
    cursor.goExactly(moment < until ? moment : from + ((moment - until) % (until - from)));
    this.frame = requestAnimationFrame((later) => this.next(later));
  }

  /**
   * The space bar plays and stops, but for where it types or presses something.
   * @param {KeyboardEvent} event
   */
  key(event) {
    const { target } = event;
    if (event.key !== " " || event.altKey || event.ctrlKey || event.metaKey) return;
    const isOther = target instanceof HTMLElement && target.closest("button, select, summary, input:not([type=range])");
    if (isOther) return;
    event.preventDefault();
    if (!event.repeat) this.toggle();
  }
}
