// All parts as a list, for the keyboard and screen readers: modules that open and close, as on the map.

import { HallMap } from "./map.js";
import { byId, count, element } from "./words.js";

/** So many parts of an module are listed; the rest is found by name. */
const MOST_LISTED = 200;

/** The list of parts. */
export class Tree {
  /**
   * @param {HallMap} map
   * @param {(part: number) => void} choose
   */
  constructor(map, choose) {
    this.map = map;
    this.choosePart = choose;
    this.box = byId("tree", HTMLElement);
    byId("parts", HTMLElement).addEventListener("toggle", () => this.draw());
  }

  /** Draws what is open; nothing while the list is folded. */
  draw() {
    if (!(/** @type {HTMLDetailsElement} */ (byId("parts", HTMLElement)).open)) return;
    const focused = document.activeElement instanceof HTMLElement ? document.activeElement.dataset.key : undefined;
    this.box.replaceChildren(...this.rows(0));
    if (focused) /** @type {HTMLElement | null} */ (this.box.querySelector(`[data-key="${focused}"]`))?.focus();
    this.choose(this.map.chosen, this.map.chosenModule);
  }

  /**
   * @param {number} number
   * @returns {HTMLElement[]}
   */
  rows(number) {
    const { run, isOpen } = this.map;
    const module = run.modules[number];
    const rows = module.modules.map((inner) => {
      const row = element("li");
      const branch = element("div", "", "branch");
      const fold = element("button", isOpen[inner] ? "▾" : "▸");
      fold.type = "button";
      fold.dataset.key = `open-${inner}`;
      fold.setAttribute("aria-expanded", String(isOpen[inner] === 1));
      fold.setAttribute("aria-label", `${isOpen[inner] ? "close" : "open"} ${run.modules[inner].name}`);
      fold.addEventListener("click", () => this.map.setOpen(inner, !isOpen[inner]));
      const name = element("button", run.modules[inner].name, "row");
      name.type = "button";
      name.dataset.key = `module-${inner}`;
      name.addEventListener("click", () => {
        this.map.fitModule(inner);
        this.map.chooseModule(inner);
      });
      branch.append(fold, name);
      row.append(branch);
      if (isOpen[inner]) {
        const list = element("ul");
        list.append(...this.rows(inner));
        row.append(list);
      }
      return row;
    });
    const parts = module.parts.slice(0, MOST_LISTED).map((part) => {
      const row = element("li");
      const name = element("button", `${run.tails[part]} – ${run.sortOf(part)}`, "row");
      name.type = "button";
      name.dataset.key = `part-${part}`;
      name.addEventListener("click", () => this.choosePart(part));
      row.append(name);
      return row;
    });
    const more = module.parts.length - parts.length;
    if (more > 0) parts.push(element("li", `and ${count(more, "more part")}: find them by name`));
    return [...rows, ...parts];
  }

  /**
   * Marks what is chosen.
   * @param {number} part
   * @param {number} module
   */
  choose(part, module) {
    for (const row of this.box.querySelectorAll("[aria-current]")) row.removeAttribute("aria-current");
    const key = part >= 0 ? `part-${part}` : `module-${module}`;
    this.box.querySelector(`[data-key="${key}"]`)?.setAttribute("aria-current", "true");
  }
}
