// Both variants beside each other: a second map that follows the first, and marks for what is different.

import { HallMap } from "./map.js";
import { Run } from "./run.js";
import { State } from "./state.js";
import { HallView } from "./views.js";
import { byId, element } from "./words.js";

/** The second map. */
export class Pair {
  /**
   * @param {HallMap} map the first
   * @param {Run[]} runs
   * @param {State[]} states
   * @param {(name: string) => void} choose called with the name of a part that is clicked in the second map
   */
  constructor(map, runs, states, choose) {
    this.map = map;
    this.runs = runs;
    this.states = states;
    this.choose = choose;
    const names = runs.map((run) => new Map(Array.from({ length: run.partCount }, (_, part) => [run.partName(part), part])));
    /** Of each part of a run the one of the same name in the other, or -1. */
    this.twins = runs.map((run, at) => Int32Array.from({ length: run.partCount }, (_, part) => names[1 - at]?.get(run.partName(part)) ?? -1));
    this.compared = "";
    this.button = element("button", "Side by side");
    this.button.type = "button";
    this.button.id = "pair";
    this.button.setAttribute("aria-pressed", "false");
    this.button.addEventListener("click", () => this.turn());
    /** @type {HallMap | null} */
    this.second = null;
    this.name = element("p", "", "pair-name");
  }

  /** Whether both are shown. */
  isOn() {
    return this.button.getAttribute("aria-pressed") === "true";
  }

  /** Shows both, or one. */
  turn() {
    this.button.setAttribute("aria-pressed", String(!this.isOn()));
    const isOn = this.isOn();
    byId("map", HTMLElement).parentElement?.classList.toggle("paired", isOn);
    byId("pair-key", HTMLElement).hidden = !isOn;
    if (isOn && !this.second) {
      const canvas = element("canvas", "", "second");
      canvas.setAttribute("role", "img");
      this.map.canvas.after(canvas, this.name);
      this.second = new HallMap(this.runs[this.other()], this.states[this.other()], canvas);
      canvas.addEventListener("click", ({ offsetX, offsetY }) => {
        const part = this.second?.at(offsetX, offsetY).part ?? -1;
        if (part >= 0 && this.second) this.choose(this.second.run.partName(part));
      });
    }
    if (this.second) this.second.canvas.hidden = !isOn;
    this.name.hidden = !isOn;
    this.map.differs = new Uint8Array(0);
    this.compared = "";
    this.map.resized();
    this.show();
  }

  /** The number of the run that the first map does not show. */
  other() {
    return this.runs.indexOf(this.map.run) === 0 ? 1 : 0;
  }

  /** The first map is drawn: the second one shows the same place at the same tick. */
  show() {
    const { map, second } = this;
    if (!this.isOn() || !second) return;
    const [run, state] = [this.runs[this.other()], this.states[this.other()]];
    state.go(Math.min(map.state.tick, run.runTicks - 1));
    if (second.run !== run) second.show(run, state);
    const open = new Set(map.run.modules.map((_, module) => (map.isOpen[module] ? map.run.moduleName(module) : "")));
    const isOpen = Uint8Array.from(run.modules, (_, module) => (open.has(run.moduleName(module)) ? 1 : 0));
    if (isOpen.some((is, module) => is !== second.isOpen[module])) {
      second.isOpen = isOpen;
      second.opened();
    }
    const { placed } = map;
    if (!placed || !run.stand) second.setView(null, false);
    else if (second.placed?.run !== run || second.placed.kind !== placed.kind || second.placed.height !== placed.height || second.placed.isTurned !== placed.isTurned) {
      second.setView(new HallView(run, placed.kind, placed.height, placed.isTurned), false);
    }
    Object.assign(second, { scale: map.scale, left: map.left, top: map.top, moment: map.moment, isWhole: false });
    second.chosen = map.chosen < 0 ? -1 : this.twins[1 - this.other()][map.chosen];
    this.name.textContent = `Left: ${map.run.name}. Right: ${run.name}`;
    second.canvas.setAttribute("aria-label", `Map of ${run.name}, at the same place and tick`);
    const compared = `${map.run.name} ${map.state.tick}`;
    if (compared !== this.compared) this.compare();
    this.compared = compared;
    second.drawNow();
  }

  /** Marks in both maps what is only in one of them, or locked or filled in another way at this tick. */
  compare() {
    const maps = [this.map, /** @type {HallMap} */ (this.second)];
    maps.forEach((map, at) => {
      const [one, other] = [map.state, maps[1 - at].state];
      map.differs = Uint8Array.from(this.twins[this.runs.indexOf(map.run)], (twin, part) => {
        if (twin < 0) return 2;
        return one.held[part] !== other.held[twin] || one.isLocked(part) !== other.isLocked(twin) ? 1 : 0;
      });
    });
  }
}
