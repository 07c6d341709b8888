// What the curves show, and the steps of their axes.

import { Run } from "./run.js";

/** Throughput is a mean over so many seconds. */
const WINDOW_SECONDS = 10;

/**
 * The values of a curve, each the number of a step of the run's series.
 * @param {Run} run
 * @param {string} key
 * @returns {ArrayLike<number>}
 */
export function valuesOf(run, key) {
  if (key === "unlocked") return run.unlocked;
  if (key === "loose") return run.loose;
  if (key === "work") return run.work;
  if (key === "backlog") return sumOf(run.backlog);
  const counted = sumOf(run.counted);
  const window = Math.ceil((WINDOW_SECONDS * run.ticksPerSecond) / run.seriesStep);
  const windowSeconds = (window * run.seriesStep) / run.ticksPerSecond;
  return counted.map((items, at) => (items - (counted[at - window] ?? 0)) / windowSeconds);
}

/**
 * @param {Int32Array[]} lists
 * @returns {Float64Array}
 */
function sumOf(lists) {
  const sums = new Float64Array(Math.max(0, ...lists.map((list) => list.length)));
  for (const list of lists) list.forEach((value, at) => { sums[at] += value; });
  return sums;
}

/**
 * The most in a stretch of values.
 * @param {ArrayLike<number>} values
 * @param {number} from
 * @param {number} until
 */
export function mostIn(values, from, until) {
  let most = 0;
  for (let at = Math.max(0, from); at < Math.min(values.length, until); at += 1) most = Math.max(most, values[at]);
  return most;
}

/**
 * A round step, 1, 2 or 5 with noughts: the least of which no more than so many fit into a length, or
 * else the greatest that fits into it.
 * @param {number} length
 * @param {number} most
 */
export function roundStep(length, most) {
  const least = length / Math.max(1, most);
  const unit = 10 ** Math.floor(Math.log10(least));
  const steps = [0.5, 1, 2, 5, 10].map((each) => each * unit);
  return steps.find((each) => each >= least * 0.999 && each <= length) ?? steps.filter((each) => each <= length).at(-1) ?? unit;
}

/**
 * A round step of time in ticks.
 * @param {number} ticks the length of what is shown
 * @param {number} most
 * @param {number} ticksPerSecond
 */
export function roundTime(ticks, most, ticksPerSecond) {
  const least = ticks / Math.max(1, most);
  const inSeconds = [1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1200, 1800, 3600, 7200, 18_000, 36_000];
  const parts = [10, 5, 2].map((part) => ticksPerSecond / part).filter(Number.isInteger);
  const steps = [1, ...parts, ...inSeconds.map((each) => each * ticksPerSecond)].sort((one, other) => one - other);
  return steps.find((each) => each >= least) ?? Math.ceil(least);
}
