// What is near a part: the other ends of its links, and the next one in a direction.

import { around } from "./blocks.js";

/**
 * @typedef {import("./map.js").HallMap} HallMap
 * @typedef {import("./blocks.js").Box} Box
 */

/** What is shown around a part is at least so many pixels a block. */
const LEAST_SIZE = 22;

/**
 * Where a part is in what the map shows, or the closed module it is in.
 * @param {HallMap} map
 * @param {number} part
 * @returns {Box | null}
 */
export function boxOf(map, part) {
  return map.placed ? map.placed.around([part]) : map.box(map.placeOf[part]);
}

/** @param {Box} box @returns {[number, number]} */
const middleOf = ({ x, y, w, h }) => [x + w / 2, y + h / 2];

/**
 * A part with the other ends of its links, the nearest first, as long as they can be read.
 * @param {HallMap} map
 * @param {number} part
 */
export function neighbourhood(map, part) {
  const own = boxOf(map, part);
  if (!own) return null;
  const { linkFrom, linkTo } = map.run;
  const { width, height } = map.size();
  const ends = new Set([...linkFrom].flatMap((from, link) => (from === part ? [linkTo[link]] : linkTo[link] === part ? [from] : [])));
  const boxes = [...ends].map((end) => boxOf(map, end)).filter((box) => box !== null);
  const far = (/** @type {Box} */ box) => Math.hypot(middleOf(box)[0] - middleOf(own)[0], middleOf(box)[1] - middleOf(own)[1]);
  let whole = own;
  for (const box of boxes.sort((one, other) => far(one) - far(other))) {
    const more = around([whole, box]);
    if (Math.min(width / (more.w + 3), height / (more.h + 3)) < LEAST_SIZE) break;
    whole = more;
  }
  return { x: whole.x - 1.5, y: whole.y - 1.5, w: whole.w + 3, h: whole.h + 3 };
}

/**
 * Chooses the next part, or closed module, in a direction from the chosen one, or from the middle.
 * @param {HallMap} map
 * @param {number} dx
 * @param {number} dy
 */
export function chooseNext(map, dx, dy) {
  const { run, view, chosen, chosenModule, placed, placeOf } = map;
  const places = placed ? placed.parts : [...new Set(placeOf)];
  const here = chosen >= 0 ? boxOf(map, chosen) : chosenModule > 0 && !placed ? run.modules[chosenModule] : null;
  const [x, y] = middleOf(here ?? view);
  let best = -1;
  let least = Infinity;
  for (const place of places) {
    const box = placed ? placed.around([place]) : map.box(place);
    if (!box) continue;
    const [right, down] = [middleOf(box)[0] - x, middleOf(box)[1] - y];
    const [along, aside] = [right * dx + down * dy, Math.abs(right * dy) + Math.abs(down * dx)];
    // What lies far aside is not in that direction.
    if (along < 0.3 || aside > along * 1.5 + 0.5 || along + aside * 2 >= least) continue;
    least = along + aside * 2;
    best = place;
  }
  if (best < 0) return;
  if (best < run.partCount) {
    map.choose(best, true);
    return;
  }
  const module = best - run.partCount;
  if (!map.isInView(run.modules[module])) map.fit(around([run.modules[module], map.view]));
  map.chooseModule(module);
}
