// The address says what is seen, so that a link leads there and the browser's way back does too.

import { Choice } from "./choice.js";
import { Cursor } from "./cursor.js";
import { HallMap } from "./map.js";
import { byId } from "./words.js";

/** So much time is between two writes of the address: browsers allow 200 in half a minute. */
const REST_MS = 400;
/** For so long the button says that the link is copied. */
const SAID_MS = 2000;

/** Keeps the address, and goes where it leads. */
export class Address {
  /**
   * @param {Cursor} cursor
   * @param {HallMap} map
   * @param {Choice} choice
   * @param {(name: string) => void} showRun shows the run of a variant, if there is one of this name
   */
  constructor(cursor, map, choice, showRun) {
    this.cursor = cursor;
    this.map = map;
    this.choice = choice;
    this.showRun = showRun;
    this.timer = 0;
    this.pushed = -REST_MS;
    this.isGoing = false;
    this.read();
    cursor.followers.push(() => this.later());
    cursor.onSpan.push(() => this.later());
    window.addEventListener("hashchange", () => this.read());
    const button = byId("copy-link", HTMLButtonElement);
    button.addEventListener("click", async () => {
      history.replaceState(null, "", this.words());
      const isCopied = await copied(location.href);
      button.textContent = isCopied ? "Link copied" : "It is in the address";
      byId("reported", HTMLElement).textContent = button.textContent;
      setTimeout(() => { button.textContent = "Copy link"; }, SAID_MS);
    });
  }

  /** What is seen, as the last part of an address. */
  words() {
    const { cursor, map, choice } = this;
    const { from, until } = cursor.span;
    const said = new URLSearchParams({ t: String(cursor.tick), span: `${from}-${until}`, view: choice.words() });
    if (map.chosen >= 0) said.set("part", map.run.partName(map.chosen));
    if (cursor.runs.length > 1) said.set("variant", map.run.name);
    return `#${said}`;
  }

  /** Writes the address when nothing has moved for a while. */
  later() {
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => history.replaceState(null, "", this.words()), REST_MS);
  }

  /** Something else was chosen: the way back leads to what was before, unless that was but a moment ago. */
  choose() {
    if (this.isGoing || location.hash === this.words()) return;
    const now = performance.now();
    if (now - this.pushed < REST_MS) {
      this.later();
      return;
    }
    clearTimeout(this.timer);
    this.pushed = now;
    history.pushState(null, "", this.words());
  }

  /** Goes where the address leads. What it does not say stays, but for the part: without one, none is chosen. */
  read() {
    const said = new URLSearchParams(location.hash.slice(1));
    if (!["t", "part", "view", "span", "variant"].some((each) => said.has(each))) return;
    this.isGoing = true;
    this.showRun(said.get("variant") ?? "");
    if (said.has("view")) this.choice.read(said.get("view") ?? "");
    const [from, until] = (said.get("span") ?? "").split("-").map(Number);
    if (from < until) this.cursor.setSpan(from, until);
    this.cursor.go(Number(said.get("t") ?? NaN));
    this.map.choose(this.map.run.find(said.get("part") ?? ""), true);
    this.isGoing = false;
  }
}

/**
 * Copies a text; gives whether it is copied.
 * @param {string} text
 */
async function copied(text) {
  try {
    await navigator.clipboard.writeText(text);
    return true;
  } catch {
    return false;
  }
}
