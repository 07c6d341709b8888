// What can be taken away from the page as files: curves and events as tables, curves and map as drawings.

import { csvTable } from "./csv.js";
import { Curves } from "./curves.js";
import { eventsOf } from "./events.js";
import { HallMap } from "./map.js";
import { Run } from "./run.js";
import { roundTime } from "./series.js";
import { VectorPen, svgFile } from "./vectors.js";
import { byId, element, grouped, seconds } from "./words.js";

/** The curves as a drawing, in pixels: room for names on the left, for figures above each, for the axis. */
const DRAWN = { names: 150, width: 900, height: 90, gap: 26, top: 70, points: 900 };

/**
 * The buttons.
 * @param {Run[]} runs
 * @param {Curves} curves
 * @param {HallMap} map
 */
export function offerFiles(runs, curves, map) {
  const title = document.querySelector("h1")?.textContent ?? "hall";
  const said = byId("taken", HTMLElement);
  const on = (/** @type {string} */ id, /** @type {() => void} */ act) => byId(id, HTMLButtonElement).addEventListener("click", act);
  const give = (/** @type {string} */ name, /** @type {string} */ ending, /** @type {Blob} */ blob) => {
    const file = `${fileName(name)}.${ending}`;
    download(file, blob);
    said.textContent = `Made ${file}`;
  };
  const text = (/** @type {string} */ words, /** @type {string} */ sort) => new Blob([words], { type: `${sort};charset=utf-8` });
  on("take-curves-csv", () => give(`${title} curves`, "csv", text(curvesTable(curves), "text/csv")));
  on("take-curves-svg", () => give(`${title} curves`, "svg", text(curvesDrawing(title, curves), "image/svg+xml")));
  on("take-map-svg", () => give(`${title} map`, "svg", text(mapDrawing(title, map), "image/svg+xml")));
  on("take-map-png", () => {
    map.drawNow();
    map.canvas.toBlob((blob) => { if (blob) give(`${title} map`, "png", blob); }, "image/png");
  });
  on("take-events", () => {
    if (map.chosen >= 0) give(`${map.run.partName(map.chosen)} events`, "csv", text(eventsTable(map.run, map.chosen), "text/csv"));
    else said.textContent = "Choose a part first: its events are what is taken away.";
  });
}

/**
 * A name that can be one of a file everywhere.
 * @param {string} name
 */
function fileName(name) {
  return name.normalize("NFKD").replace(/[^A-Za-z0-9]+/g, "-").replace(/^-+|-+$/g, "").slice(0, 80).toLowerCase() || "hall";
}

/**
 * @param {string} name
 * @param {Blob} blob
 */
function download(name, blob) {
  const link = element("a");
  link.href = URL.createObjectURL(blob);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}

/**
 * Each curve of each run, a row for each step of the record.
 * @param {Curves} curves
 */
export function curvesTable({ runs, strips }) {
  const columns = strips.flatMap((strip) => runs.map((run, at) => ({
    name: `${nameOfStrip(strip)} (${strip.unit})${runs.length > 1 ? `, ${run.name}` : ""}`,
    at: (/** @type {number} */ tick) => (tick < run.runTicks ? rounded(strip.lines[at][Math.floor(tick / run.seriesStep)] ?? 0) : ""),
  })));
  const step = Math.min(...runs.map((run) => run.seriesStep));
  const last = Math.max(...runs.map((run) => run.runTicks));
  const rows = /** @type {(string | number)[][]} */ ([["tick", "time (s)", ...columns.map(({ name }) => name)]]);
  for (let tick = 0; tick < last; tick += step) {
    rows.push([tick, rounded(tick / runs[0].ticksPerSecond), ...columns.map(({ at }) => at(tick))]);
  }
  return csvTable(rows);
}

/**
 * The events of a part as far as they are kept.
 * @param {Run} run
 * @param {number} part
 */
export function eventsTable(run, part) {
  const rows = eventsOf(run, part).map(({ tick, words }) => [run.partName(part), tick, rounded(tick / run.ticksPerSecond), words]);
  return csvTable([["part", "tick", "time (s)", "event"], ...rows]);
}

/** @param {number} number */
function rounded(number) {
  return Math.round(number * 1000) / 1000;
}

/** @param {import("./curves.js").Strip} strip */
function nameOfStrip({ box }) {
  return box.querySelector("h3")?.firstChild?.textContent?.trim() ?? "";
}

/**
 * The curves of the span that is seen.
 * @param {string} title
 * @param {Curves} curves
 */
export function curvesDrawing(title, { runs, strips, cursor }) {
  const { from, until } = cursor.span;
  const style = getComputedStyle(document.documentElement);
  const colour = (/** @type {string} */ name) => style.getPropertyValue(`--${name}`).trim();
  const pen = new VectorPen(/** @type {CanvasRenderingContext2D} */ (document.createElement("canvas").getContext("2d")));
  const { names, width, height, gap, top, points } = DRAWN;
  const [wide, high] = [names + width + 20, top + strips.length * (height + gap) + 30];
  const x = (/** @type {number} */ tick) => names + ((tick - from) / (until - from)) * width;
  pen.fillStyle = colour("sheet");
  pen.fillRect(0, 0, wide, high);
  const write = (/** @type {string} */ words, /** @type {number} */ left, /** @type {number} */ y, tone = "ink", size = 12, align = "left") => {
    pen.fillStyle = colour(tone);
    pen.font = `${size}px sans-serif`;
    pen.textAlign = align;
    pen.fillText(words, left, y);
  };
  write(title, 10, 24, "ink", 16);
  runs.forEach((run, at) => write(`${at === 0 ? "——" : "– –"} ${run.name}`, 10 + at * 420, 44, at === 0 ? "hold" : "second"));
  strips.forEach((strip, number) => {
    const upper = top + number * (height + gap);
    // Each of the points stands for the most in its stretch, so that no peak is left out.
    const lines = runs.map((run, at) => sampled(strip.lines[at], from / run.seriesStep, Math.min(until, run.runTicks) / run.seriesStep, points)
      .map(([step, value]) => /** @type {[number, number]} */ ([step * run.seriesStep, value])));
    const most = Math.max(strip.bound, ...lines.flat().map(([, value]) => value)) || 1;
    const y = (/** @type {number} */ value) => upper + height - (value / most) * height;
    write(nameOfStrip(strip), 10, upper + 12, "ink", 13);
    write(strip.unit, 10, upper + 28, "soft", 11);
    write(grouped(most), names - 6, upper + 10, "soft", 11, "right");
    write("0", names - 6, upper + height, "soft", 11, "right");
    pen.strokeStyle = colour("faint");
    pen.lineWidth = 1;
    pen.strokeRect(names, upper, width, height);
    if (strip.bound > 0) line(pen, [[names, y(strip.bound)], [names + width, y(strip.bound)]], colour("bad"), 1, [8, 4]);
    lines.forEach((points, at) => line(pen, points.map(([tick, value]) => [x(tick), y(value)]), colour(at === 0 ? "hold" : "second"), 1.6, at === 0 ? [] : [5, 3]));
  });
  const foot = top + strips.length * (height + gap);
  const rate = runs[0].ticksPerSecond;
  const step = roundTime(until - from, 10, rate);
  for (let tick = Math.ceil(from / step) * step; tick < until; tick += step) write(seconds(tick, rate), x(tick), foot + 4, "soft", 11, "center");
  for (const { sort, tick, name } of runs[0].flags) {
    if (sort !== "stop" || tick < from || tick >= until) continue;
    line(pen, [[x(tick), top - 6], [x(tick), foot - gap]], colour("soft"), 1, [2, 3]);
    write(name, x(tick) + 3, top - 8, "soft", 11);
  }
  return svgFile(wide, high, `${title}: curves from ${seconds(from, rate)} to ${seconds(until, rate)}`, pen.elements.join("\n"));
}

/**
 * @param {VectorPen} pen
 * @param {number[][]} points
 * @param {string} tone
 * @param {number} width
 * @param {number[]} dashes
 */
function line(pen, points, tone, width, dashes) {
  pen.beginPath();
  for (const [x, y] of points) pen.lineTo(x, y);
  pen.strokeStyle = tone;
  pen.lineWidth = width;
  pen.setLineDash(dashes);
  pen.stroke();
  pen.setLineDash([]);
}

/**
 * At most so many of some values, each the most in its stretch, with where the stretch begins.
 * @param {ArrayLike<number>} values
 * @param {number} from
 * @param {number} until
 * @param {number} points
 * @returns {[number, number][]}
 */
function sampled(values, from, until, points) {
  const [first, end] = [Math.floor(from), Math.min(values.length, Math.ceil(until))];
  const stretch = Math.max(1, Math.ceil((end - first) / points));
  const found = /** @type {[number, number][]} */ ([]);
  for (let at = first; at < end; at += stretch) {
    let most = values[at];
    for (let each = at + 1; each < Math.min(end, at + stretch); each += 1) most = Math.max(most, values[each]);
    found.push([at, most]);
  }
  return found;
}

/**
 * The map as it is seen.
 * @param {string} title
 * @param {HallMap} map
 */
export function mapDrawing(title, map) {
  // What is seen is up to date before another pen draws it.
  map.drawNow();
  const { pen, layers, view, scale, colour } = map;
  const drawing = new VectorPen(pen);
  const specks = {
    looks: new Float64Array(map.run.partCount),
    // As in the map's picture: half as high where the part is locked.
    speck: (/** @type {HallMap} */ { run }, /** @type {number} */ part, /** @type {number} */ look) => {
      const [x, y] = map.toPixel(run.x[part], run.y[part]);
      const size = Math.max(1, scale * 0.8);
      drawing.fillStyle = [colour.faint, colour.hold, colour.flow, colour.bad][look >> 1];
      drawing.fillRect(x, y, size, look & 1 ? size / 2 : size);
    },
  };
  Object.assign(map, { pen: drawing, layers: specks });
  const [width, height] = [view.w * scale, view.h * scale];
  drawing.fillStyle = colour.sheet;
  drawing.fillRect(0, 0, width, height);
  map.drawBelow();
  if (map.placed) map.placed.drawFlow(map);
  else map.drawFlow();
  map.drawAbove();
  if (map.placed) map.placed.drawSignals(map);
  else map.drawSignals();
  map.goods.draw(map);
  if (map.placed) map.placed.drawMarks(map);
  else map.drawMarks();
  Object.assign(map, { pen, layers });
  const tick = grouped(map.state.tick);
  return svgFile(width, height, `${title}, ${map.run.name}: the hall at the end of tick ${tick}`, drawing.elements.join("\n"));
}
