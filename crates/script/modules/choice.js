// Which view of a placed hall is shown: the map, from above, from the side, or one height; and the parts
// that stand nowhere.

import { HallMap } from "./map.js";
import { Run } from "./run.js";
import { HallView } from "./views.js";
import { byId, count, element } from "./words.js";

/** @typedef {"map" | import("./views.js").ViewKind} Choosable */

/** So many parts that stand nowhere are listed; the rest is found by name. */
const MOST_NOWHERE = 60;

/** The buttons for the view. */
export class Choice {
  /**
   * @param {HallMap} map
   * @param {(part: number) => void} choose
   */
  constructor(map, choose) {
    this.map = map;
    this.choosePart = choose;
    /** @type {Choosable} */
    this.kind = "map";
    // The topmost, until one is chosen.
    this.height = NaN;
    this.isTurned = false;
    this.box = byId("views", HTMLElement);
    this.heights = byId("heights", HTMLElement);
    this.select = byId("height", HTMLSelectElement);
    this.turn = byId("turn", HTMLButtonElement);
    this.lower = byId("lower", HTMLButtonElement);
    this.higher = byId("higher", HTMLButtonElement);
    this.note = byId("view-note", HTMLElement);
    for (const button of this.box.querySelectorAll("button")) {
      button.addEventListener("click", () => this.go(/** @type {Choosable} */ (button.dataset.view)));
    }
    this.turn.addEventListener("click", () => {
      this.isTurned = !this.isTurned;
      this.draw(true);
      this.onChoose();
    });
    this.lower.addEventListener("click", () => this.step(-1));
    this.higher.addEventListener("click", () => this.step(1));
    this.select.addEventListener("change", () => this.goTo(Number(this.select.value)));
    map.canvas.addEventListener("keydown", (event) => {
      const step = event.key === "PageUp" ? 1 : event.key === "PageDown" ? -1 : 0;
      if (step === 0 || this.kind !== "height") return;
      event.preventDefault();
      this.step(step);
    });
    map.beforeShowing = (part) => this.reach(part);
    /** Called when another view is chosen. */
    this.onChoose = () => {};
    this.show();
  }

  /** The map shows another run. */
  show() {
    const { run } = this.map;
    const { stand } = run;
    this.box.hidden = !stand;
    if (!stand) this.kind = "map";
    else {
      if (!stand.heights.includes(this.height)) this.height = stand.heights[stand.heights.length - 1] ?? 0;
      this.isTurned = isBetterTurned(run);
    }
    this.select.replaceChildren(...(stand ? [...stand.heights].reverse() : []).map((height) => {
      const option = element("option", `y ${height}`);
      option.value = String(height);
      return option;
    }));
    this.listNowhere();
    this.draw(true);
  }

  /** @param {Choosable} kind */
  go(kind) {
    this.kind = kind;
    this.draw(true);
    this.onChoose();
  }

  /** The view in one word: side, turned, or height 4. */
  words() {
    if (this.kind === "height") return `height ${this.height}`;
    return this.kind === "side" && this.isTurned ? "turned" : this.kind;
  }

  /**
   * Shows the view of such a word, if there is one.
   * @param {string} words
   */
  read(words) {
    const { stand } = this.map.run;
    const [kind, height] = words.replace("turned", "side").split(" ");
    if (words === this.words() || !stand || !["map", "above", "side", "height"].includes(kind)) return;
    if (kind === "side") this.isTurned = words === "turned";
    if (stand.heights.includes(Number(height))) this.height = Number(height);
    this.go(/** @type {Choosable} */ (kind));
  }

  /** @param {number} height */
  goTo(height) {
    this.height = height;
    this.draw(false);
    this.onChoose();
  }

  /**
   * Goes so many heights up at which something stands.
   * @param {number} steps
   */
  step(steps) {
    const heights = this.map.run.stand?.heights;
    const next = heights?.[heights.indexOf(this.height) + steps];
    if (next !== undefined) this.goTo(next);
  }

  /**
   * A part is to be seen: goes to its height.
   * @param {number} part
   */
  reach(part) {
    const { stand } = this.map.run;
    if (this.kind !== "height" || !stand?.stands(part)) return;
    const heights = stand.blocksOf(part).map((block) => stand.y[block]);
    if (!heights.includes(this.height)) this.goTo(heights[0]);
  }

  /** @param {boolean} isOther whether the picture is another one, and is to be seen whole */
  draw(isOther) {
    const { map, kind } = this;
    for (const button of this.box.querySelectorAll("button")) button.setAttribute("aria-pressed", String(button.dataset.view === kind));
    const isMap = kind === "map";
    for (const id of ["open-more", "close-all", "map-key"]) byId(id, HTMLElement).hidden = !isMap;
    for (const id of ["view-key", "view-note"]) byId(id, HTMLElement).hidden = isMap;
    byId("nowhere", HTMLElement).hidden = isMap || byId("nowhere", HTMLElement).childElementCount === 0;
    this.turn.hidden = kind !== "side";
    this.turn.setAttribute("aria-pressed", String(this.isTurned));
    this.heights.hidden = kind !== "height";
    const heights = map.run.stand?.heights ?? new Int32Array(0);
    this.select.value = String(this.height);
    this.lower.disabled = this.height === heights[0];
    this.higher.disabled = this.height === heights[heights.length - 1];
    map.setView(isMap ? null : new HallView(map.run, kind, this.height, this.isTurned), isOther);
    this.say();
  }

  /** Says what is seen. */
  say() {
    const { map } = this;
    const { placed, run, chosen } = map;
    if (!placed) {
      this.note.textContent = "";
      return;
    }
    const words = {
      above: "From above: x to the right, z down. Of what stands in one column, the topmost.",
      side: `From the side, looking to ${this.isTurned ? "+z: x to the left" : "-z: x to the right"}, y up. Of what stands behind each other, the nearest.`,
      height: `Height y ${this.height}: ${count(placed.parts.length, "part")}. x to the right, z down.`,
    };
    let said = words[placed.kind];
    if (chosen >= 0 && run.stand?.stands(chosen) && !placed.blocksOf(chosen).isSeen) {
      const cover = placed.kind === "height" ? -1 : placed.coverOf(chosen);
      said += ` ${run.partName(chosen)} ${cover < 0 ? "is not seen here" : `is ${placed.kind === "above" ? "below" : "behind"} ${run.partName(cover)}`}.`;
    } else if (chosen >= 0 && !run.stand?.stands(chosen)) {
      said += ` ${run.partName(chosen)} ${run.stand?.words(chosen, "")}.`;
    }
    this.note.textContent = said;
  }

  /** Lists the parts that stand nowhere. */
  listNowhere() {
    const { run } = this.map;
    const { stand } = run;
    const box = byId("nowhere", HTMLElement);
    box.replaceChildren();
    if (!stand) return;
    const without = Array.from({ length: run.partCount }, (_, part) => part).filter((part) => !stand.stands(part));
    const lists = /** @type {[string, number[]][]} */ ([
      ["Stands nowhere:", without.filter((part) => !stand.atShuttles.has(part) && !stand.roomOf.has(part))],
      ["Stands in a room:", without.filter((part) => stand.roomOf.has(part))],
      ["Stands at a side of its shuttle:", without.filter((part) => stand.atShuttles.has(part))],
    ]);
    for (const [words, parts] of lists) {
      if (parts.length === 0) continue;
      const line = element("p", `${words} `);
      parts.slice(0, MOST_NOWHERE).forEach((part, at) => {
        const button = element("button", run.partName(part), "link");
        button.type = "button";
        button.addEventListener("click", () => this.choosePart(part));
        line.append(...(at > 0 ? [", "] : []), button);
      });
      const more = parts.length - MOST_NOWHERE;
      if (more > 0) line.append(` and ${count(more, "more part")}: find them by name`);
      box.append(line);
    }
  }
}

/**
 * Whether clearly more parts are seen from the other side. If not, x runs to the right as in all other views.
 * @param {Run} run
 */
function isBetterTurned(run) {
  const seen = (/** @type {boolean} */ isTurned) => new HallView(run, "side", 0, isTurned).parts.length;
  return seen(true) > seen(false) * 1.1;
}
