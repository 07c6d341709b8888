// The one cursor: a tick, the span of time that is seen, and everything that follows them.

import { seldom } from "./pace.js";
import { Run } from "./run.js";
import { byId, grouped, seconds } from "./words.js";

/** @typedef {{from: number, until: number}} Span ticks from this one up to, not including, that one */

/** So many ticks are seen at least. */
const LEAST_SPAN = 16;

/** The cursor. */
export class Cursor {
  /** @param {Run[]} runs */
  constructor(runs) {
    this.runs = runs;
    this.last = Math.max(...runs.map((run) => run.runTicks)) - 1;
    this.tick = 0;
    /** The exact time, in ticks with their fractions: between two ticks while time runs slowly. */
    this.moment = 0;
    /** @type {Span} what curves and slider show */
    this.span = { from: 0, until: this.last + 1 };
    /** @type {((tick: number) => void)[]} called with the tick, once a frame, when it is another */
    this.followers = [seldom(() => this.write())];
    /** @type {((moment: number) => void)[]} called with the exact time, once a frame, when it is another */
    this.onMoment = [];
    /** @type {((span: Span) => void)[]} called once a frame, before the followers, when the span is another */
    this.onSpan = [];
    this.frame = 0;
    this.isTickDue = false;
    this.isSpanDue = false;
    this.slider = byId("slider", HTMLInputElement);
    this.field = byId("tick", HTMLInputElement);
    this.clock = byId("clock", HTMLOutputElement);
    this.jump = byId("jump", HTMLSelectElement);
    this.slider.max = String(this.last);
    this.field.max = String(this.last);
    this.slider.addEventListener("input", () => this.go(Number(this.slider.value)));
    // An emptied field is no number: the cursor stays, and the field says where it is.
    this.field.addEventListener("change", () => this.go(this.field.valueAsNumber));
    for (const button of document.querySelectorAll("#cursor [data-step]")) {
      button.addEventListener("click", () => this.step(Number(button.getAttribute("data-step"))));
    }
    this.fillJumps();
    document.addEventListener("keydown", (event) => this.key(event));
  }

  /**
   * Goes to a tick; whoever follows hears of it once a frame.
   * @param {number} tick
   */
  go(tick) {
    this.isTickDue = true;
    this.goExactly(Number.isFinite(tick) ? Math.round(tick) : this.tick);
  }

  /**
   * Goes to a time between ticks.
   * @param {number} moment
   */
  goExactly(moment) {
    this.moment = Math.min(this.last + 0.999, Math.max(0, moment));
    const tick = Math.min(this.last, Math.floor(this.moment));
    this.isTickDue ||= tick !== this.tick;
    this.tick = tick;
    // The list says where the cursor is, so that its keys go on from there.
    if (this.jump.value !== "" && Number(this.jump.value) !== this.tick) this.jump.selectedIndex = 0;
    const { from, until } = this.span;
    if (tick < from || tick >= until) this.setSpan(tick - (until - from) / 2, tick + (until - from) / 2);
    this.later();
  }

  /** Writes where the cursor is. */
  write() {
    this.slider.value = String(this.tick);
    this.field.value = String(this.tick);
    const rate = this.runs[0].ticksPerSecond;
    this.clock.textContent = seconds(this.tick, rate);
    this.slider.setAttribute("aria-valuetext", `${seconds(this.tick, rate)}, tick ${grouped(this.tick)}`);
  }

  /** Lets whoever follows know, in the next frame. */
  later() {
    this.frame ||= requestAnimationFrame(() => {
      this.frame = 0;
      if (this.isSpanDue) this.onSpan.forEach((follow) => follow(this.span));
      if (this.isTickDue) this.followers.forEach((follow) => follow(this.tick));
      this.isSpanDue = false;
      this.isTickDue = false;
      this.onMoment.forEach((follow) => follow(this.moment));
    });
  }

  /**
   * Shows another span of time. The cursor may be out of it.
   * @param {number} from
   * @param {number} until
   */
  setSpan(from, until) {
    const all = this.last + 1;
    const length = Math.min(all, Math.max(LEAST_SPAN, Math.round(until - from)));
    const start = Math.min(all - length, Math.max(0, Math.round(from)));
    this.span = { from: start, until: start + length };
    this.slider.min = String(start);
    this.slider.max = String(start + length - 1);
    this.slider.value = String(this.tick);
    this.isSpanDue = true;
    this.later();
  }

  /** Whether the cursor is in the span that is shown. */
  isInSpan() {
    return this.span.from <= this.tick && this.tick < this.span.until;
  }

  /**
   * Zooms the time so many times closer; what is at a tick stays where it is.
   * @param {number} factor
   * @param {number} [at] by default the cursor, or the middle of what is shown
   */
  zoom(factor, at = this.isInSpan() ? this.tick + 0.5 : (this.span.from + this.span.until) / 2) {
    const { from, until } = this.span;
    const length = Math.max(LEAST_SPAN, (until - from) / factor);
    const start = at - ((at - from) * length) / (until - from);
    this.setSpan(start, start + length);
  }

  /** @param {number} ticks */
  step(ticks) {
    this.go(this.tick + ticks);
  }

  /** The flags of the runs, to go to. */
  fillJumps() {
    const { jump } = this;
    this.runs.forEach((run) => {
      const group = this.runs.length > 1 ? document.createElement("optgroup") : jump;
      if (group instanceof HTMLOptGroupElement) {
        group.label = run.name;
        jump.append(group);
      }
      for (const moment of run.flags) {
        const option = document.createElement("option");
        option.value = String(moment.tick);
        option.textContent = `${seconds(moment.tick, run.ticksPerSecond)}  ${moment.name}`;
        if (moment.part) option.dataset.part = moment.part;
        option.dataset.sort = moment.sort;
        group.append(option);
      }
    });
    jump.addEventListener("change", () => {
      if (jump.value === "") return;
      const part = jump.selectedOptions[0].dataset.part;
      this.go(Number(jump.value));
      if (part) document.dispatchEvent(new CustomEvent("choose", { detail: part }));
    });
  }

  /** @param {KeyboardEvent} event */
  key(event) {
    const target = event.target;
    const typing = target instanceof HTMLInputElement || target instanceof HTMLSelectElement;
    if (typing || event.altKey || event.ctrlKey || event.metaKey || target instanceof HTMLCanvasElement) return;
    const step = event.shiftKey ? 8 : 1;
    if (event.key === "ArrowLeft") this.step(-step);
    else if (event.key === "ArrowRight") this.step(step);
    else return;
    event.preventDefault();
  }
}
