// Puts the page together.

import { Address } from "./address.js";
import { Choice } from "./choice.js";
import { Curves } from "./curves.js";
import { Cursor } from "./cursor.js";
import { Details } from "./details.js";
import { Find } from "./find.js";
import { openAtFirst } from "./first.js";
import { HallMap } from "./map.js";
import { drawLegendOf, listenToPrinting } from "./paper.js";
import { isWritten, seldom } from "./pace.js";
import { Play } from "./play.js";
import { boxOf } from "./near.js";
import { listen } from "./reach.js";
import { Pair } from "./pair.js";
import { Reading } from "./reading.js";
import { Run } from "./run.js";
import { State } from "./state.js";
import { followItem, StoryPanel } from "./story.js";
import { Tints } from "./tints.js";
import { Stopped } from "./stopped.js";
import { Tree } from "./tree.js";
import { offerFiles } from "./takeaway.js";
import { openShelf } from "./unpack.js";
import { partWords } from "./waits.js";
import { byId, element } from "./words.js";

/** Reads the data and puts the page together. */
async function begin() {
  const data = JSON.parse(byId("data", HTMLElement).textContent ?? "");
  const rows = byId("rows", HTMLElement).textContent ?? "";
  const reading = new Reading(rows);
  await reading.say("unpacking the record");
  const shelf = await openShelf(rows);
  /** @type {Run[]} */
  const runs = [];
  for (const each of data.runs) {
    await reading.say(`what happened in ${each.name}`);
    runs.push(new Run(each, shelf));
  }
  await reading.say("the map");
  const states = runs.map((run) => new State(run));
  const cursor = new Cursor(runs);
  const curves = new Curves(runs, cursor);
  const play = new Play(cursor);
  const stopped = new Stopped(cursor);
  const map = new HallMap(runs[0], states[0], byId("map", HTMLCanvasElement));
  map.goods.key = byId("goods-key", HTMLElement);
  listen(map);
  const choose = (/** @type {number} */ part) => map.choose(part, true);
  const details = new Details(runs[0], states[0], choose);
  details.saysVariant = runs.length > 1;
  const find = new Find(runs[0], states[0], choose);
  const tree = new Tree(map, choose);
  const choice = new Choice(map, choose);
  let shown = 0;
  const moves = ["previous-move", "next-move"].map((id) => byId(id, HTMLButtonElement));

  const write = seldom(() => {
    details.show(runs[shown], states[shown], map.chosen, map.chosenModule);
    find.show(runs[shown], states[shown]);
  });
  const follow = (/** @type {number} */ tick) => {
    states[shown].go(Math.min(tick, runs[shown].runTicks - 1));
    write();
  };
  cursor.onMoment.push((moment) => {
    map.moment = moment;
    map.draw();
  });
  cursor.followers.push(follow);
  map.onChoose = (part, module) => {
    details.show(runs[shown], states[shown], part, module);
    tree.choose(part, module);
    choice.say();
    byId("reported", HTMLElement).textContent = part < 0 ? "" : `${runs[shown].partName(part)}: ${partWords(runs[shown], states[shown], part)}`;
    for (const button of moves) button.disabled = part < 0;
  };
  map.onOpen = () => tree.draw();
  details.onGo = (tick) => cursor.go(tick);
  find.onMark = (parts) => {
    map.marked = parts;
    map.draw();
  };
  moves.forEach((button, at) => button.addEventListener("click", () => {
    const tick = details.moveFrom(at === 0 ? -1 : 1);
    if (tick >= 0) cursor.go(tick);
  }));
  document.addEventListener("choose", (event) => {
    const part = runs[shown].find(/** @type {CustomEvent} */ (event).detail);
    if (part >= 0) map.choose(part, true);
  });
  const story = new StoryPanel(choose, (tick) => cursor.go(tick));
  const ride = () => {
    const part = story.mark(cursor.tick);
    const box = part >= 0 && story.rides ? boxOf(map, part) : null;
    if (box && !(map.scale >= 8 && map.isInView(box))) map.fit({ x: box.x - 6, y: box.y - 4, w: 13, h: 9 });
  };
  story.onFollow = () => {
    map.way = story.story?.visits.map(({ part }) => part) ?? [];
    map.draw();
    ride();
  };
  cursor.followers.push(ride);
  details.onFollow = find.onFollow = (part, kind) => {
    const run = runs[shown];
    story.show(run, followItem(run, map.goods.of(run).glides, part, kind, cursor.tick));
    ride();
  };
  const tints = new Tints(choose);
  const tint = () => {
    tints.show(runs[shown], cursor.span.from, cursor.span.until);
    map.tint = tints.isOn ? (place, box) => tints.paint(map.pen, map.colour, place, box) : null;
    map.version += 1;
    map.draw();
  };
  tints.button.addEventListener("click", () => {
    tints.isOn = !tints.isOn;
    tint();
  });
  cursor.onSpan.push(() => { if (tints.isOn) tint(); });
  tools(map);
  const pair = new Pair(map, runs, states, (name) => map.choose(runs[shown].find(name), false));
  map.onDraw = () => pair.show();
  const show = which(runs, (at) => {
    if (at === shown) {
      follow(cursor.tick);
      return;
    }
    const { scale, left, top, isWhole, chosen, run, isOpen } = map;
    const open = new Set(run.modules.map((_, module) => (isOpen[module] ? run.moduleName(module) : "")));
    const before = chosen < 0 ? null : boxOf(map, chosen);
    const name = chosen < 0 ? "" : run.partName(chosen);
    shown = at;
    stopped.show(runs[at]);
    map.show(runs[at], states[at]);
    runs[at].modules.forEach((_, module) => { map.isOpen[module] = module === 0 || open.has(runs[at].moduleName(module)) ? 1 : 0; });
    map.opened();
    choice.show();
    map.chosen = name ? runs[at].find(name) : -1;
    const now = map.chosen < 0 ? null : boxOf(map, map.chosen);
    // What was seen stays where it was: the chosen part, or else the place.
    if (isWhole) map.fitAll();
    else Object.assign(map, { scale, left: left + (before && now ? now.x - before.x : 0), top: top + (before && now ? now.y - before.y : 0), isWhole });
    follow(cursor.tick);
    tint();
    story.show(runs[at], null);
    map.onChoose(map.chosen, map.chosen < 0 ? 0 : -1);
  }, pair.button);
  theme(map);
  listenToPrinting(map, curves);
  offerFiles(runs, curves, map);
  openAtFirst(runs, cursor, curves, map, show);
  tree.draw();
  const address = new Address(cursor, map, choice, (name) => show(Math.max(0, runs.findIndex((run) => run.name === name))));
  const chosen = map.onChoose;
  map.onChoose = (part, module) => {
    chosen(part, module);
    address.choose();
  };
  choice.onChoose = () => address.choose();
  Object.assign(window, { hallwright: { runs, states, cursor, curves, map, pair, play, story, tints, isWritten } });
  reading.end();
  performance.mark("ready");
  document.documentElement.dataset.ready = "yes";
}

/** @param {HallMap} map */
function tools(map) {
  const on = (/** @type {string} */ id, /** @type {() => void} */ act) => byId(id, HTMLButtonElement).addEventListener("click", act);
  on("fit", () => map.fitAll());
  on("open-more", () => map.setAll(true));
  on("close-all", () => map.setAll(false));
  on("zoom-in", () => map.zoom(1.4));
  on("zoom-out", () => map.zoom(1 / 1.4));
  const legend = byId("legend", HTMLCanvasElement);
  const folded = legend.closest("details");
  folded?.addEventListener("toggle", () => { if (!map.paper) drawLegendOf(map, legend); });
  folded?.addEventListener("keydown", (event) => { if (event.key === "Escape") folded.open = false; });
  legend.addEventListener("click", () => folded?.removeAttribute("open"));
}

/**
 * Buttons for the run that the map shows. Gives what shows a run, and says so on its button.
 * @param {Run[]} runs
 * @param {(at: number) => void} show
 * @param {HTMLElement} more a button behind them
 * @returns {(at: number) => void}
 */
function which(runs, show, more) {
  if (runs.length < 2) return show;
  const box = byId("which", HTMLElement);
  box.hidden = false;
  const buttons = runs.map((run) => {
    const button = element("button", run.name);
    button.type = "button";
    return button;
  });
  const choose = (/** @type {number} */ at) => {
    buttons.forEach((each, other) => each.setAttribute("aria-pressed", String(other === at)));
    show(at);
  };
  buttons.forEach((button, at) => button.addEventListener("click", () => choose(at)));
  box.append(...buttons);
  box.after(more);
  return choose;
}

/**
 * The switch between day and night.
 * @param {HallMap} map
 */
function theme(map) {
  const button = byId("theme", HTMLButtonElement);
  const dark = window.matchMedia("(prefers-color-scheme: dark)");
  const isDark = () => (document.documentElement.dataset.theme ?? (dark.matches ? "dark" : "light")) === "dark";
  const report = () => {
    button.setAttribute("aria-pressed", String(isDark()));
    map.recolour();
  };
  button.addEventListener("click", () => {
    document.documentElement.dataset.theme = isDark() ? "light" : "dark";
    report();
  });
  dark.addEventListener("change", report);
  report();
}

begin().catch((/** @type {unknown} */ error) => {
  byId("reading", HTMLElement).hidden = true;
  const box = byId("trouble", HTMLElement);
  box.hidden = false;
  box.textContent = `The page's record cannot be shown in this browser: ${error}`;
  throw error;
});
