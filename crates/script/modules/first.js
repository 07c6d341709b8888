// What the page opens at: what went wrong first, with the part where it shows; else the first stop.

import { Cursor } from "./cursor.js";
import { Curves } from "./curves.js";
import { HallMap } from "./map.js";
import { Run } from "./run.js";

/**
 * Opens the page at what went wrong first; without anything, at the first stop, loss or mishap.
 * @param {Run[]} runs
 * @param {Cursor} cursor
 * @param {Curves} curves
 * @param {HallMap} map
 * @param {(at: number) => void} show shows a run on the map, as it is at the cursor
 */
export function openAtFirst(runs, cursor, curves, map, show) {
  const goTo = (/** @type {number} */ at, /** @type {number} */ tick) => {
    cursor.go(tick);
    show(at);
    const { part } = runs[at].first;
    const number = part === null ? -1 : runs[at].find(part);
    if (number >= 0) map.choose(number, true);
  };
  const [run] = runs;
  const flag = ["stop", "loss", "wrong"].map((sort) => run.flags.find((moment) => moment.sort === sort)).find(Boolean);
  const tick = run.first.tick ?? flag?.tick ?? 0;
  const stop = curves.zoom.stops.findIndex(({ from, until }) => from <= tick && tick < until);
  if (stop >= 0) curves.zoom.toStop(stop);
  goTo(0, tick);
  for (const button of document.querySelectorAll(".headline .link")) {
    const at = Number(button.getAttribute("data-run"));
    button.addEventListener("click", () => goTo(at, runs[at].first.tick ?? cursor.tick));
  }
}
