// What is being read while the page of a large hall is put together.

import { byId } from "./words.js";

/** From so many letters of packed rows on, reading takes long enough to say what is being read. */
const LARGE = 400_000;

/** The line on the map that says so, until all is read. */
export class Reading {
  /** @param {string} rows the packed rows of the page */
  constructor(rows) {
    this.line = byId("reading", HTMLElement);
    this.isLarge = rows.length > LARGE;
    /** What the line says before the script runs: how large the runs are. */
    this.size = this.line.textContent ?? "";
  }

  /**
   * Says what is read next, and lets the browser draw it.
   * @param {string} what
   */
  async say(what) {
    if (!this.isLarge) return;
    this.line.textContent = `${this.size} ${what}`;
    await new Promise((done) => { requestAnimationFrame(() => setTimeout(done)); });
  }

  /** Everything is read, or cannot be. */
  end() {
    this.line.hidden = true;
  }
}
