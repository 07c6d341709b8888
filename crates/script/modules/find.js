// Finding a part by its name, and every part that holds a kind at this tick.

import { ROLE, Run } from "./run.js";
import { State } from "./state.js";
import { byId, count, element, grouped } from "./words.js";

/** So many are listed. */
const MOST_FOUND = 30;

/** The search field and what it finds. */
export class Find {
  /**
   * @param {Run} run
   * @param {State} state
   * @param {(part: number) => void} choose
   */
  constructor(run, state, choose) {
    this.run = run;
    this.state = state;
    this.field = byId("find", HTMLInputElement);
    this.box = byId("found", HTMLElement);
    this.choose = choose;
    this.kind = -1;
    /** @type {(parts: Set<number>) => void} called with which parts are pointed out */
    this.onMark = () => {};
    /** @type {(part: number, kind: number) => void} called when an item of this kind is to be followed */
    this.onFollow = () => {};
    this.field.addEventListener("input", () => this.search());
    this.field.addEventListener("keydown", (event) => {
      if (event.key === "Enter") /** @type {HTMLElement | null} */ (this.box.querySelector("button"))?.click();
      if (event.key === "Escape") {
        this.field.value = "";
        this.search();
      }
    });
  }

  /**
   * @param {Run} run
   * @param {State} state
   */
  show(run, state) {
    if (this.run !== run) this.kind = -1;
    this.run = run;
    this.state = state;
    if (this.kind >= 0) this.parts(this.kind);
  }

  /** Lists parts and kinds with these letters in their names. */
  search() {
    const { run } = this;
    const letters = this.field.value.trim().toLowerCase();
    this.kind = -1;
    this.box.replaceChildren();
    this.onMark(new Set());
    if (!letters) return;
    const kinds = run.kinds.map((kind, number) => ({ name: kind.name, number }))
      .filter(({ name }) => name.toLowerCase().includes(letters));
    if (kinds.length > 0) this.box.append(element("h3", "Goods: where they are at this tick"));
    for (const { name, number } of kinds.slice(0, 8)) {
      this.row(name, () => this.parts(number));
    }
    const parts = [];
    let more = 0;
    for (let part = 0; part < run.partCount; part += 1) {
      const name = run.partName(part);
      if (!name.toLowerCase().includes(letters)) continue;
      if (parts.length < MOST_FOUND) parts.push({ name, part });
      else more += 1;
    }
    if (parts.length > 0) this.box.append(element("h3", "Parts"));
    for (const { name, part } of parts) this.row(name, () => this.choose(part));
    if (more > 0) this.box.append(element("p", `and ${count(more, "more part")}`));
    if (parts.length + kinds.length === 0) this.box.append(element("p", "no part and no kind has this in its name"));
  }

  /**
   * @param {string} words
   * @param {() => void} act
   */
  row(words, act) {
    const row = element("button", words, "row");
    row.type = "button";
    row.addEventListener("click", act);
    this.box.append(row);
  }

  /**
   * Lists every part that holds a kind at this tick, those with the most first.
   * @param {number} kind
   */
  parts(kind) {
    const { run, state } = this;
    this.kind = kind;
    const found = this.holding(kind);
    const rows = [...found].sort(([one, items], [other, others]) => others - items || one - other);
    const all = rows.reduce((sum, [, items]) => sum + items, 0);
    this.box.replaceChildren();
    const { name } = run.kinds[kind];
    this.box.append(element("h3", `${name}: ${count(all, "item")} in ${count(rows.length, "part")} at ${grouped(state.tick)} t`));
    if (rows.length > 0 && run.isExact(state.tick)) this.row(`follow one in ${run.partName(rows[0][0])}`, () => this.onFollow(rows[0][0], kind));
    for (const [part, items] of rows.slice(0, MOST_FOUND)) {
      this.row(`${grouped(items)} in ${run.partName(part)}`, () => this.choose(part));
    }
    if (rows.length > MOST_FOUND) this.box.append(element("p", `and ${count(rows.length - MOST_FOUND, "more part")}`));
    this.onMark(new Set(found.keys()));
  }

  /**
   * The items of a kind in each part, those in boxes included.
   * @param {number} kind
   * @returns {Map<number, number>}
   */
  holding(kind) {
    const { run, state } = this;
    const found = new Map();
    const take = (/** @type {number} */ part, /** @type {number} */ value) => {
      const stack = state.stack(value);
      if (!stack) return;
      let items = stack.kind === kind ? stack.count : 0;
      if (stack.box >= 0) {
        for (const inside of state.boxSlots(stack.box)) if (inside?.kind === kind) items += inside.count;
      }
      if (items > 0) found.set(part, (found.get(part) ?? 0) + items);
    };
    const cells = run.firstCell[run.partCount];
    for (let cell = 0; cell < cells; cell += 1) {
      const value = state.cells[cell];
      if (value === 0) continue;
      const role = run.role[cell];
      if (role === ROLE.slot || role === ROLE.standing) take(run.partOf[cell], value);
      if (role === ROLE.queue) run.lists[value].forEach((each) => take(run.partOf[cell], each));
      if (role === ROLE.loose) {
        run.lists[value].forEach((each, at) => { if (at % 2 === 0) take(run.partOf[cell], each); });
      }
    }
    return found;
  }
}
