// What is known of the chosen part, or module, at the cursor.

import { eventsOf, kindWords } from "./events.js";
import { Rove } from "./rove.js";
import { LINK, ROLE, Run } from "./run.js";
import { State } from "./state.js";
import { Waits } from "./waits.js";
import { byId, count, element, grouped, seconds, time } from "./words.js";

/** So many events are listed around the cursor. */
const EVENTS = 40;

/** The panel of the chosen part. */
export class Details {
  /**
   * @param {Run} run
   * @param {State} state
   * @param {(part: number) => void} choose
   */
  constructor(run, state, choose) {
    this.run = run;
    this.state = state;
    this.box = byId("details", HTMLElement);
    /** @type {Waits | null} */
    this.waits = null;
    this.choose = choose;
    this.part = -1;
    this.module = 0;
    /** Whether there are two variants, so that the panel says which one it reports of. */
    this.saysVariant = false;
    /** @type {{tick: number, words: string, moves: boolean}[]} */
    this.events = [];
    /** @type {(tick: number) => void} */
    this.onGo = () => {};
    /** @type {(part: number, kind: number) => void} called when an item of this kind is to be followed */
    this.onFollow = () => {};
  }

  /**
   * @param {Run} run
   * @param {State} state
   * @param {number} part
   * @param {number} module
   */
  show(run, state, part, module) {
    const isNew = part !== this.part || run !== this.run;
    this.run = run;
    this.state = state;
    this.part = part;
    this.module = module;
    if (part >= 0 && isNew) {
      this.events = eventsOf(run, part);
      this.waits = new Waits(run, part, this.choose);
    }
    this.draw();
  }

  /** Draws the panel as it is at the cursor. */
  draw() {
    const { run, state, part } = this;
    const focused = this.box.contains(document.activeElement) ? document.activeElement?.textContent ?? "" : null;
    this.box.replaceChildren();
    if (part < 0) {
      this.drawModule();
      return;
    }
    const add = (/** @type {HTMLElement} */ child) => this.box.append(child);
    const isSignal = run.isSignal(part);
    add(element("h2", run.partName(part)));
    const store = run.storeOf.get(part);
    const role = store ? `, of the ${store.overflow ? "overflow " : ""}store ${store.name}` : "";
    add(element("p", `${run.sortOf(part)}${isSignal ? ", a signal" : ""}${role}`));
    if (run.stand) add(element("p", run.stand.words(part, run.sortOf(part)), "place"));
    const holding = element("p", state.holding(part), "state");
    holding.id = "holding";
    add(holding);
    for (const { how, until } of run.spellsAt(part, state.tick)) {
      add(element("p", `${how} until ${time(until, run.ticksPerSecond)}`, "state"));
    }
    this.waits?.drawNow(this.box, state);
    if (!run.isExact(state.tick)) {
      const from = seconds(state.tick - (state.tick % run.stepTicks), run.ticksPerSecond);
      add(element("p", `thinned out here: as it was at about ${from}`, "note"));
    }
    if (state.misplaced[part] > 0) {
      add(element("p", `✕ holds ${count(state.misplaced[part], "item")} that do not belong in ${store?.name}`, "state"));
    }
    this.drawContents();
    this.waits?.drawAll(this.box, state);
    this.drawLinks();
    this.drawEvents();
    this.keepFocus(focused);
  }

  /**
   * The panel is drawn anew at every step; whoever was in it with the keyboard stays there.
   * @param {string | null} focused what the button said that had the focus
   */
  keepFocus(focused) {
    if (focused === null) return;
    const buttons = [...this.box.querySelectorAll("button")];
    (buttons.find((button) => button.textContent === focused) ?? this.box).focus({ preventScroll: true });
  }

  /** What an module holds. */
  drawModule() {
    const { run, state, module } = this;
    const at = Math.max(0, module);
    const variant = this.saysVariant ? `, ${run.name}` : "";
    this.box.append(element("h2", (at > 0 ? run.moduleName(at) : "The whole hall") + variant));
    const pairs = element("dl", "", "pairs");
    const pair = (/** @type {string} */ label, /** @type {string} */ words) => pairs.append(element("dt", label), element("dd", words));
    pair("on the way", count(state.moduleWaiting[at], "item"));
    pair("in containers", count(state.moduleStored[at], "item"));
    if (state.moduleLoose[at]) pair("loose", count(state.moduleLoose[at], "item"));
    if (state.moduleMisplaced[at]) pair("misplaced", `✕ ${count(state.moduleMisplaced[at], "item")}`);
    if (state.moduleHoppers[at]) pair("unlocked", `${grouped(state.moduleUnlocked[at])} of ${count(state.moduleHoppers[at], "hopper")}`);
    this.box.append(pairs, element("p", "Choose a part on the map or in the list to see what it holds and what it waits for.", "hint"));
  }

  /** The contents, slot by slot. */
  drawContents() {
    const { run, state, part } = this;
    const cooldown = state.cooldownTicks(part);
    if (run.isHopper[part]) {
      const line = `${state.isLocked(part) ? "locked" : "unlocked"}; cooldown ${cooldown} t`;
      this.box.append(element("p", line));
    }
    const slots = state.slots(part);
    if (slots.length > 0) {
      this.box.append(element("h3", `Contents, ${count(slots.length, "slot")}`));
      this.box.append(this.slotList(slots));
    }
    const queue = state.list(part, ROLE.queue);
    if (state.cellOf(part, ROLE.queue) >= 0) {
      this.box.append(element("h3", "Waiting inside, first in first"));
      this.box.append(this.slotList(Array.from(queue, (value) => state.stack(value))));
    }
    const loose = state.list(part, ROLE.loose);
    if (state.cellOf(part, ROLE.loose) >= 0) {
      this.box.append(element("h3", "Loose here"));
      const list = element("ul", "", "slots");
      for (let at = 0; at < loose.length; at += 2) {
        const stack = state.stack(loose[at]);
        const row = this.slot(stack);
        row.append(element("span", `lost at ${time(loose[at + 1], run.ticksPerSecond)} unless collected`));
        list.append(row);
      }
      this.box.append(loose.length ? list : element("p", "nothing"));
    }
    const trip = state.list(part, ROLE.trip);
    if (trip.length === 3) {
      const [stop, docked, tick] = trip;
      const when = time(tick, run.ticksPerSecond);
      this.box.append(element("p", docked ? `docked at stop ${stop + 1} since ${when}` : `under way to stop ${stop + 1}, there at ${when} at the earliest`));
    }
  }

  /** @param {(import("./state.js").Stack | null)[]} slots */
  slotList(slots) {
    const list = element("ul", "", "slots");
    list.id = "slots";
    let empty = 0;
    slots.forEach((stack, at) => {
      if (!stack && slots.length > 9) empty += 1;
      else list.append(this.slot(stack, at));
    });
    if (empty > 0) list.append(element("li", count(empty, "empty slot"), "empty"));
    return list;
  }

  /**
   * @param {import("./state.js").Stack | null} stack
   * @param {number} [at]
   */
  slot(stack, at = -1) {
    const number = at >= 0 ? `slot ${at + 1}` : "";
    if (!stack) return element("li", `${number} empty`.trim(), "empty");
    const store = this.run.storeOf.get(this.part);
    const isWrong = store && !store.overflow && stack.box < 0 && !store.takes.has(stack.kind);
    const row = element("li", "", isWrong ? "wrong" : "");
    if (at >= 0) row.dataset.slot = String(at);
    row.append(element("b", `${isWrong ? "✕ " : ""}${stack.count} ${this.run.kinds[stack.kind].name}`));
    if (stack.box >= 0) {
      const inside = new Map();
      for (const each of this.state.boxSlots(stack.box)) if (each) inside.set(each.kind, (inside.get(each.kind) ?? 0) + each.count);
      const words = [...inside].map(([kind, items]) => `${items} ${this.run.kinds[kind].name}`);
      row.append(element("span", words.length ? `holds ${words.join(", ")}` : "an empty box"));
    } else if (number) {
      row.append(element("span", number));
    }
    if (this.run.isExact(this.state.tick)) {
      const button = element("button", "follow", "link");
      button.type = "button";
      button.setAttribute("aria-label", `follow ${this.run.kinds[stack.kind].name}`);
      button.addEventListener("click", () => this.onFollow(this.part, stack.kind));
      row.append(button);
    }
    return row;
  }

  /** What it is linked to. */
  drawLinks() {
    const { run, part, state } = this;
    const pairs = element("dl", "", "pairs");
    const out = { [LINK.push]: "pushes into", [LINK.pull]: "is pulled from by", [LINK.loose]: "lets go to", [LINK.lock]: "locks", [LINK.trigger]: "triggers", [LINK.input]: "is read by", [LINK.release]: "releases", [LINK.reading]: "is read by", [LINK.watch]: "is watched by" };
    const into = { [LINK.push]: "is fed by", [LINK.pull]: "pulls from", [LINK.loose]: "collects from", [LINK.lock]: "locked by", [LINK.trigger]: "triggered by", [LINK.input]: "reads", [LINK.release]: "released by", [LINK.reading]: "reads", [LINK.watch]: "watches" };
    let rows = 0;
    for (let link = 0; link < run.linkFrom.length && rows < 40; link += 1) {
      const [from, to, sort] = [run.linkFrom[link], run.linkTo[link], run.linkSort[link]];
      const [label, other] = from === part ? [out[sort], to] : to === part ? [into[sort], from] : ["", -1];
      if (!label) continue;
      rows += 1;
      const cell = element("dd");
      const button = element("button", run.partName(other), "link");
      button.type = "button";
      button.addEventListener("click", () => this.choose(other));
      cell.append(button);
      if (run.isSignal(other)) cell.append(` (level ${state.cells[run.firstCell[other]]})`);
      pairs.append(element("dt", label), cell);
    }
    if (rows > 0) this.box.append(element("h3", "Links and signals"), pairs);
  }

  /** Its events around the cursor. */
  drawEvents() {
    const { run, state, events } = this;
    this.box.append(element("h3", `Events (${grouped(events.length)} kept)`));
    const list = element("div", "", "events");
    let next = events.findIndex((event) => event.tick > state.tick);
    if (next < 0) next = events.length;
    const from = Math.max(0, next - EVENTS / 2);
    for (const event of events.slice(from, from + EVENTS)) {
      const row = element("button", `${seconds(event.tick, run.ticksPerSecond)}  ${event.words}`, "row");
      row.type = "button";
      if (event.tick === state.tick) row.setAttribute("aria-current", "true");
      row.addEventListener("click", () => this.onGo(event.tick));
      list.append(row);
    }
    this.box.append(events.length ? list : element("p", "none"));
    // One stop of the Tab key, at the cursor.
    new Rove(list).turnTo(/** @type {HTMLElement | undefined} */ (list.children[Math.max(0, next - from - 1)]));
    // The cursor's place in the list is kept in the middle of what is seen of it.
    const here = /** @type {HTMLElement | undefined} */ (list.children[Math.max(0, next - from - 1)]);
    if (here) list.scrollTop = here.offsetTop - list.offsetTop - list.clientHeight / 2;
  }

  /**
   * The tick of the next move of the part, or the one before; -1 for none.
   * @param {number} direction
   */
  moveFrom(direction) {
    const moves = this.events.filter((event) => event.moves);
    const now = this.state.tick;
    const found = direction > 0
      ? moves.find((event) => event.tick > now)
      : moves.reverse().find((event) => event.tick < now);
    return found ? found.tick : -1;
  }
}

/**
 * What a stack is, in words.
 * @param {Run} run
 * @param {import("./state.js").Stack} stack
 */
export function stackWords(run, stack) {
  return kindWords(run, stack.kind, stack.count);
}
