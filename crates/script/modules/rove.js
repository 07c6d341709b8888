// Many buttons as one stop of the Tab key: the arrow keys go from one to the next.

/** A group of buttons. */
export class Rove {
  /** @param {HTMLElement} box */
  constructor(box) {
    this.box = box;
    box.addEventListener("keydown", (event) => this.key(event));
    box.addEventListener("focusin", (event) => this.turnTo(/** @type {HTMLElement} */ (event.target)));
  }

  /** @returns {HTMLElement[]} */
  each() {
    return [...this.box.querySelectorAll("button")];
  }

  /**
   * Draws the buttons anew; whoever was on one of them stays on the one of the same name.
   * @param {() => void} draw
   */
  redraw(draw) {
    const nameOf = (/** @type {Element | null} */ each) => each?.getAttribute("aria-label") ?? each?.textContent;
    const held = this.box.contains(document.activeElement) ? nameOf(document.activeElement) : null;
    draw();
    const all = this.each();
    const same = held === null ? undefined : all.find((each) => nameOf(each) === held) ?? all[0];
    this.turnTo(same ?? all[0]);
    same?.focus({ preventScroll: true });
  }

  /** @param {HTMLElement | undefined} one the button that Tab comes to from now on */
  turnTo(one) {
    for (const each of this.each()) each.tabIndex = each === one ? 0 : -1;
  }

  /** @param {KeyboardEvent} event */
  key(event) {
    const all = this.each();
    const at = all.indexOf(/** @type {HTMLElement} */ (document.activeElement));
    /** @type {Record<string, number>} */
    const to = { ArrowLeft: at - 1, ArrowUp: at - 1, ArrowRight: at + 1, ArrowDown: at + 1, Home: 0, End: all.length - 1 };
    const next = to[event.key];
    if (at < 0 || next === undefined || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    // Else the cursor would step too.
    event.stopPropagation();
    all[Math.min(all.length - 1, Math.max(0, next))].focus();
  }
}
