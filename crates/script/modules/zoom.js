// Which span of time is seen: chosen with the wheel, by dragging, or with a button.

import { Cursor } from "./cursor.js";
import { Run } from "./run.js";
import { byId, element, seconds } from "./words.js";

/** What is seen around a stop, as a part of it, and at least. */
const MARGIN = { part: 0.12, ticks: 20 };
/** So many pixels of the wheel double or halve what is seen. */
const WHEEL_PIXELS = 240;
/** Dragging less than this is a click. */
const CLICK_PIXELS = 4;

/**
 * Around each stop: from a little before it to a little after its last mark, and after the restart if that is near.
 * @param {Run} run
 * @returns {{stop: number, from: number, until: number}[]}
 */
export function stopSpans(run) {
  const stops = run.flags.filter(({ sort, name }) => sort === "stop" && name.startsWith("stop"));
  return stops.map(({ tick: stop }, at) => {
    const next = stops[at + 1]?.tick ?? run.runTicks;
    const later = run.flags.filter(({ tick }) => tick > stop && tick < next);
    const restart = later.find(({ sort }) => sort === "stop")?.tick ?? next;
    const marks = later.filter(({ sort, tick }) => sort === "mark" && tick <= restart).map(({ tick }) => tick);
    const rested = marks.length > 0 ? Math.max(...marks) : restart;
    const end = restart - stop <= 2 * (rested - stop) ? restart : rested;
    const margin = Math.max(MARGIN.ticks, Math.round((end - stop) * MARGIN.part));
    return { stop, from: stop - margin, until: end + margin };
  });
}

/** The buttons, the wheel, and the bar of the whole run. */
export class Zoom {
  /**
   * @param {Cursor} cursor
   * @param {HTMLElement} strips
   */
  constructor(cursor, strips) {
    this.cursor = cursor;
    this.strips = strips;
    this.bar = byId("overview", HTMLElement);
    this.window = element("i", "", "window");
    this.chosen = element("span", "", "chosen");
    this.chosen.hidden = true;
    this.chosen.setAttribute("aria-hidden", "true");
    strips.append(this.chosen);
    this.stops = stopSpans(cursor.runs[0]);
    this.buttons();
    this.drawBar();
    strips.addEventListener("wheel", (event) => this.wheel(event), { passive: false });
    cursor.onSpan.push(() => this.show());
    this.show();
  }

  /** The buttons for the span. */
  buttons() {
    const { cursor, stops } = this;
    const on = (/** @type {string} */ id, /** @type {() => void} */ act) => byId(id, HTMLButtonElement).addEventListener("click", act);
    on("whole-run", () => cursor.setSpan(0, cursor.last + 1));
    on("span-in", () => cursor.zoom(2));
    on("span-out", () => cursor.zoom(0.5));
    const stop = byId("the-stop", HTMLButtonElement);
    stop.hidden = stops.length === 0;
    if (stops.length > 1) stop.textContent = "Next stop";
    on("the-stop", () => {
      const { span } = cursor;
      const isShown = stops.findIndex((each) => each.from <= span.from && span.until <= each.until);
      this.toStop((isShown + 1) % stops.length);
    });
  }

  /**
   * Shows a stop; the cursor goes there, unless it is near already.
   * @param {number} number
   */
  toStop(number) {
    const { cursor } = this;
    const { stop, from, until } = this.stops[number];
    cursor.setSpan(from, until);
    if (!cursor.isInSpan()) cursor.go(stop);
  }

  /** Where things happen in the whole run. */
  drawBar() {
    const { cursor, bar } = this;
    const all = cursor.last + 1;
    for (const { tick, sort } of cursor.runs[0].flags) {
      if (sort === "operator" || sort === "limit") continue;
      const mark = element("i", "", sort);
      mark.style.left = `${((tick + 0.5) / all) * 100}%`;
      bar.append(mark);
    }
    this.stops.forEach(({ stop }, at) => {
      const restart = cursor.runs[0].flags.find(({ sort, tick, name }) => sort === "stop" && tick > stop && name.startsWith("restart"));
      const until = Math.min(restart?.tick ?? all, this.stops[at + 1]?.stop ?? all);
      const halt = element("i", "", "stopped");
      halt.style.left = `${(stop / all) * 100}%`;
      halt.style.width = `${((until - stop) / all) * 100}%`;
      bar.append(halt);
    });
    bar.append(this.window);
    const tickAt = (/** @type {PointerEvent} */ event) => {
      const { left, width } = bar.getBoundingClientRect();
      return ((event.clientX - left) / width) * all;
    };
    bar.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) return;
      event.preventDefault();
      bar.setPointerCapture(event.pointerId);
      const begun = { tick: tickAt(event), x: event.clientX, ...cursor.span };
      const isHeld = begun.from <= begun.tick && begun.tick < begun.until && begun.until - begun.from < all;
      const move = (/** @type {PointerEvent} */ now) => {
        const tick = tickAt(now);
        const moved = tick - begun.tick;
        if (Math.abs(now.clientX - begun.x) < CLICK_PIXELS) return;
        if (isHeld) cursor.setSpan(begun.from + moved, begun.until + moved);
        else cursor.setSpan(Math.min(tick, begun.tick), Math.max(tick, begun.tick));
      };
      const end = (/** @type {PointerEvent} */ now) => {
        bar.removeEventListener("pointermove", move);
        const half = (begun.until - begun.from) / 2;
        if (Math.abs(now.clientX - begun.x) < CLICK_PIXELS) cursor.setSpan(begun.tick - half, begun.tick + half);
      };
      bar.addEventListener("pointermove", move);
      bar.addEventListener("pointerup", end, { once: true });
      bar.addEventListener("pointercancel", () => bar.removeEventListener("pointermove", move), { once: true });
    });
  }

  /**
   * Lets a span be chosen by dragging in an element over the curves.
   * @param {HTMLElement} box as wide as the curves
   * @param {(event: PointerEvent) => boolean} isMeant
   */
  choosable(box, isMeant) {
    box.addEventListener("pointerdown", (event) => {
      if (event.button !== 0 || !isMeant(event)) return;
      event.preventDefault();
      box.setPointerCapture(event.pointerId);
      const { left, width } = box.getBoundingClientRect();
      const offset = left - this.strips.getBoundingClientRect().left;
      const { from, until } = this.cursor.span;
      const within = (/** @type {number} */ x) => Math.min(width, Math.max(0, x - left));
      const begun = within(event.clientX);
      let now = begun;
      const move = (/** @type {PointerEvent} */ moved) => {
        now = within(moved.clientX);
        this.chosen.hidden = false;
        this.chosen.style.left = `${offset + Math.min(begun, now)}px`;
        this.chosen.style.width = `${Math.abs(now - begun)}px`;
      };
      const end = (/** @type {PointerEvent} */ ended) => {
        box.removeEventListener("pointermove", move);
        box.removeEventListener("pointerup", end);
        box.removeEventListener("pointercancel", end);
        this.chosen.hidden = true;
        if (ended.type === "pointercancel" || Math.abs(now - begun) < CLICK_PIXELS) return;
        const tick = (/** @type {number} */ x) => from + (x / width) * (until - from);
        this.cursor.setSpan(tick(Math.min(begun, now)), tick(Math.max(begun, now)));
      };
      box.addEventListener("pointermove", move);
      box.addEventListener("pointerup", end);
      box.addEventListener("pointercancel", end);
    });
  }

  /** @param {WheelEvent} event */
  wheel(event) {
    const { cursor } = this;
    const { left, width } = this.bar.getBoundingClientRect();
    if (event.clientX < left) return;
    const { from, until } = cursor.span;
    const length = until - from;
    const lines = event.deltaMode === 1 ? 16 : 1;
    const isSideways = event.shiftKey || Math.abs(event.deltaX) > Math.abs(event.deltaY);
    const turned = (isSideways ? event.deltaX || event.deltaY : event.deltaY) * lines;
    // The whole run is seen: there is nothing further out, and the page scrolls on.
    if (length > cursor.last && (isSideways || turned > 0)) return;
    event.preventDefault();
    if (isSideways) cursor.setSpan(from + (turned / width) * length, until + (turned / width) * length);
    else cursor.zoom(2 ** (-turned / WHEEL_PIXELS), from + ((event.clientX - left) / width) * length);
  }

  /** Says which span is seen. */
  show() {
    const { cursor } = this;
    const { from, until } = cursor.span;
    const all = cursor.last + 1;
    const rate = cursor.runs[0].ticksPerSecond;
    this.window.style.left = `${(from / all) * 100}%`;
    this.window.style.width = `${((until - from) / all) * 100}%`;
    const isWhole = until - from === all;
    byId("whole-run", HTMLButtonElement).setAttribute("aria-pressed", String(isWhole));
    byId("span-words", HTMLOutputElement).textContent = `${isWhole ? "whole run: " : ""}${seconds(from, rate)} to ${seconds(until, rate)}`;
  }
}
