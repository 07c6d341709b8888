// The one cursor: a tick, and everything that follows it.

import { Run } from "./run.js";
import { byId, grouped, seconds } from "./words.js";

/** The cursor. */
export class Cursor {
  /** @param {Run[]} runs */
  constructor(runs) {
    this.runs = runs;
    this.last = Math.max(...runs.map((run) => run.runTicks)) - 1;
    this.tick = 0;
    /** @type {((tick: number) => void)[]} */
    this.followers = [];
    this.frame = 0;
    this.playing = 0;
    this.slider = byId("slider", HTMLInputElement);
    this.field = byId("tick", HTMLInputElement);
    this.clock = byId("clock", HTMLOutputElement);
    this.slider.max = String(this.last);
    this.field.max = String(this.last);
    this.slider.addEventListener("input", () => this.go(Number(this.slider.value)));
    this.field.addEventListener("change", () => this.go(Number(this.field.value)));
    for (const button of document.querySelectorAll("#cursor [data-step]")) {
      button.addEventListener("click", () => this.step(Number(button.getAttribute("data-step"))));
    }
    byId("play", HTMLButtonElement).addEventListener("click", () => this.play());
    this.fillJumps();
    document.addEventListener("keydown", (event) => this.key(event));
  }

  /**
   * Goes to a tick; whoever follows is reported once a frame.
   * @param {number} tick
   */
  go(tick) {
    const target = Number.isFinite(tick) ? Math.round(tick) : this.tick;
    this.tick = Math.min(this.last, Math.max(0, target));
    this.slider.value = String(this.tick);
    this.field.value = String(this.tick);
    const rate = this.runs[0].ticksPerSecond;
    this.clock.textContent = seconds(this.tick, rate);
    this.slider.setAttribute("aria-valuetext", `${seconds(this.tick, rate)}, tick ${grouped(this.tick)}`);
    if (!this.frame) {
      this.frame = requestAnimationFrame(() => {
        this.frame = 0;
        this.followers.forEach((follow) => follow(this.tick));
      });
    }
  }

  /** @param {number} ticks */
  step(ticks) {
    this.go(this.tick + ticks);
  }

  /** Lets time run as it does in the hall, or stops it. */
  play() {
    const button = byId("play", HTMLButtonElement);
    const isOn = button.getAttribute("aria-pressed") === "true";
    button.setAttribute("aria-pressed", String(!isOn));
    button.textContent = isOn ? "Play" : "Pause";
    if (isOn) {
      cancelAnimationFrame(this.playing);
      return;
    }
    const rate = this.runs[0].ticksPerSecond;
    let before = performance.now();
    let left = 0;
    const next = (/** @type {number} */ now) => {
      left += ((now - before) * rate) / 1000;
      before = now;
      const whole = Math.floor(left);
      left -= whole;
      if (whole > 0) this.step(whole);
      if (this.tick >= this.last) this.play();
      else this.playing = requestAnimationFrame(next);
    };
    this.playing = requestAnimationFrame(next);
  }

  /** The flags of the runs, to go to. */
  fillJumps() {
    const jump = byId("jump", HTMLSelectElement);
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
      jump.value = "";
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
