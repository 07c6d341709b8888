// How parts are drawn that stand in their blocks: squares with the same filling, hatching and edges as the
// signs of the map, and marks for where they point.

import { clipped, drawBody, drawPart, outline } from "./glyphs.js";
import { isFastened } from "./stand.js";

/**
 * @typedef {import("./glyphs.js").Colours} Colours
 * @typedef {import("./glyphs.js").PartSign} PartSign
 * @typedef {{x: number, y: number, w: number, h: number}} Box
 */

/** From so many pixels a block on, its part's name has room in it. */
const NAMED = 54;
/** Sorts of which a small sign says what the square is. */
const SIGNED = new Set(["hopper", "dropper", "selector", "shuttle", "bench"]);

/**
 * Draws a part in those of its blocks that are seen.
 * @param {CanvasRenderingContext2D} pen
 * @param {Colours} colour
 * @param {PartSign} sign its size is that of a block
 * @param {Box[]} cells the blocks, in pixels
 */
export function drawStanding(pen, colour, sign, cells) {
  const { size } = sign;
  const whole = around(cells);
  // What is hidden in part is drawn block by block.
  const isRectangle = Math.round((whole.w * whole.h) / (size * size)) === cells.length;
  const room = size >= NAMED ? sign.name : "";
  if (sign.isSignal || sign.sort === "mouth") {
    pen.fillStyle = colour.sheet;
    pen.strokeStyle = colour.faint;
    pen.lineWidth = 1;
    for (const { x, y, w, h } of cells) {
      pen.fillRect(x + 1, y + 1, w - 2, h - 2);
      pen.strokeRect(x + 1.5, y + 1.5, w - 3, h - 3);
    }
    const inner = Math.min(size * 0.8, 48);
    drawPart(pen, colour, {
      ...sign, size: inner, name: "",
      x: whole.x + (whole.w - inner) / 2, y: whole.y + (whole.h - inner) / 2 + (room ? size * 0.08 : 0),
    });
  } else {
    const inset = Math.min(2.5, size * 0.05);
    const boxes = isRectangle ? [whole] : cells;
    const trace = () => {
      pen.beginPath();
      for (const { x, y, w, h } of boxes) pen.rect(x + inset, y + inset, w - 2 * inset, h - 2 * inset);
    };
    drawBody(pen, colour, sign, trace, whole);
    if (size >= 22 && SIGNED.has(sign.sort)) {
      outline(pen, sign.sort, false, whole.x + size * 0.08, whole.y + whole.h - size * 0.36, size * 0.28);
      pen.fillStyle = colour.sheet;
      pen.fill();
      pen.strokeStyle = colour.ink;
      pen.lineWidth = 1;
      pen.stroke();
    }
    drawFigure(pen, colour, sign.held, size, isRectangle ? whole : cells[0]);
  }
  if (room) drawName(pen, colour, sign.name, isRectangle ? whole : cells[0], size);
}

/**
 * The rectangle around others.
 * @param {Box[]} boxes
 * @returns {Box}
 */
export function around(boxes) {
  let [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const { x, y, w, h } of boxes) {
    left = Math.min(left, x);
    top = Math.min(top, y);
    right = Math.max(right, x + w);
    bottom = Math.max(bottom, y + h);
  }
  return { x: left, y: top, w: right - left, h: bottom - top };
}

/**
 * How many items are in it.
 * @param {CanvasRenderingContext2D} pen
 * @param {Colours} colour
 * @param {number} held
 * @param {number} size
 * @param {Box} box
 */
export function drawFigure(pen, colour, held, size, box) {
  if (size < 18 || held === 0) return;
  pen.textAlign = "center";
  pen.textBaseline = "middle";
  pen.font = `600 ${Math.min(16, size * 0.34)}px system-ui, sans-serif`;
  pen.lineWidth = 3;
  pen.strokeStyle = colour.sheet;
  pen.strokeText(String(held), box.x + box.w / 2, box.y + box.h * 0.54);
  pen.fillStyle = colour.ink;
  pen.fillText(String(held), box.x + box.w / 2, box.y + box.h * 0.54);
}

/**
 * Its name, in the upper part of its block.
 * @param {CanvasRenderingContext2D} pen
 * @param {Colours} colour
 * @param {string} name
 * @param {Box} box
 * @param {number} size
 */
export function drawName(pen, colour, name, box, size) {
  pen.textAlign = "center";
  pen.textBaseline = "top";
  pen.font = "11px system-ui, sans-serif";
  const words = clipped(pen, name, box.w - 8);
  pen.lineWidth = 3;
  pen.strokeStyle = colour.sheet;
  pen.strokeText(words, box.x + box.w / 2, box.y + size * 0.16);
  pen.fillStyle = colour.ink;
  pen.fillText(words, box.x + box.w / 2, box.y + size * 0.16);
}

/**
 * A full block or a cap, faint.
 * @param {CanvasRenderingContext2D} pen
 * @param {Colours} colour
 * @param {boolean} isFull
 * @param {Box} box
 */
export function drawPlainBlock(pen, colour, isFull, { x, y, w, h }) {
  pen.fillStyle = pen.strokeStyle = colour.faint;
  if (isFull) {
    pen.globalAlpha = 0.45;
    pen.fillRect(x, y, w, h);
    pen.globalAlpha = 1;
    return;
  }
  pen.lineWidth = 1.5;
  pen.beginPath();
  pen.rect(x + w * 0.12, y + h * 0.12, w * 0.76, h * 0.76);
  pen.moveTo(x + w * 0.12, y + h * 0.88);
  pen.lineTo(x + w * 0.88, y + h * 0.12);
  pen.stroke();
}

/**
 * A room: a faint frame around its blocks, with its name if there is room for it.
 * @param {CanvasRenderingContext2D} pen
 * @param {Colours} colour
 * @param {string} name
 * @param {Box[]} boxes
 */
export function drawRoom(pen, colour, name, boxes) {
  const whole = around(boxes);
  pen.fillStyle = colour.sheet;
  for (const { x, y, w, h } of boxes) pen.fillRect(x, y, w, h);
  pen.strokeStyle = colour.soft;
  pen.lineWidth = 1.5;
  pen.strokeRect(whole.x + 1, whole.y + 1, whole.w - 2, whole.h - 2);
  if (Math.min(whole.w, whole.h) >= NAMED) drawName(pen, colour, name, whole, whole.h);
}

/**
 * The mark for where a part points: a wedge at the edge through which it gives something, an eye, or a foot
 * where it is fastened. Along the line of sight, a ring or, of a foot, a frame: with a point if it is
 * towards who looks, with a cross if it is away.
 * @param {CanvasRenderingContext2D} pen
 * @param {Colours} colour
 * @param {string} sort
 * @param {Box} box
 * @param {{u: number, v: number, near: number}} way in the picture: to the right, down, towards who looks
 */
export function drawFacing(pen, colour, sort, box, way) {
  const size = Math.min(box.w, box.h);
  if (size < 9) return;
  const [x, y] = [box.x + box.w / 2, box.y + box.h / 2];
  pen.fillStyle = colour.ink;
  pen.strokeStyle = colour.sheet;
  pen.lineWidth = 2;
  if (way.near !== 0) {
    drawAlong(pen, colour, isFastened(sort), box.x + box.w - size * 0.2, box.y + box.h - size * 0.2, size, way.near > 0);
    return;
  }
  /** The point so far towards the edge and so far to its side, in halves of the block. */
  const at = (/** @type {number} */ out, /** @type {number} */ aside) => /** @type {[number, number]} */ ([
    x + (way.u * out - way.v * aside) * (size / 2), y + (way.v * out + way.u * aside) * (size / 2),
  ]);
  pen.beginPath();
  if (isFastened(sort)) {
    for (const corner of [at(0.78, -0.6), at(1, -0.6), at(1, 0.6), at(0.78, 0.6)]) pen.lineTo(...corner);
  } else if (sort === "observer") {
    const [cx, cy] = at(0.76, 0);
    pen.arc(cx, cy, size * 0.12, 0, Math.PI * 2);
    pen.stroke();
    pen.fill();
    pen.fillStyle = colour.sheet;
    pen.beginPath();
    pen.arc(...at(0.82, 0), size * 0.045, 0, Math.PI * 2);
    pen.fill();
    return;
  } else {
    for (const corner of [at(0.68, -0.36), at(1.04, 0), at(0.68, 0.36)]) pen.lineTo(...corner);
  }
  pen.closePath();
  pen.stroke();
  pen.fill();
}

/**
 * A mark for a side along the line of sight.
 * @param {CanvasRenderingContext2D} pen
 * @param {Colours} colour
 * @param {boolean} isFoot
 * @param {number} x
 * @param {number} y
 * @param {number} size
 * @param {boolean} isNear
 */
function drawAlong(pen, colour, isFoot, x, y, size, isNear) {
  const radius = size * 0.13;
  pen.beginPath();
  if (isFoot) pen.rect(x - radius, y - radius, radius * 2, radius * 2);
  else pen.arc(x, y, radius, 0, Math.PI * 2);
  pen.stroke();
  pen.fillStyle = colour.sheet;
  pen.fill();
  pen.strokeStyle = colour.ink;
  pen.lineWidth = Math.max(1, size * 0.03);
  pen.stroke();
  pen.beginPath();
  if (isNear) {
    pen.arc(x, y, radius * 0.42, 0, Math.PI * 2);
    pen.fillStyle = colour.ink;
    pen.fill();
  } else {
    const arm = radius * 0.62;
    pen.moveTo(x - arm, y - arm);
    pen.lineTo(x + arm, y + arm);
    pen.moveTo(x + arm, y - arm);
    pen.lineTo(x - arm, y + arm);
    pen.stroke();
  }
}

/**
 * A point: goods moved between this block and one that is not seen.
 * @param {CanvasRenderingContext2D} pen
 * @param {Colours} colour
 * @param {Box} box
 * @param {number} share how wide the point is, as a share of the block
 */
export function drawGone(pen, colour, { x, y, w }, share) {
  pen.beginPath();
  pen.arc(x + w * 0.11, y + w * 0.11, Math.max(1.5, w * share), 0, Math.PI * 2);
  pen.strokeStyle = colour.sheet;
  pen.lineWidth = 2;
  pen.stroke();
  pen.fillStyle = colour.flow;
  pen.fill();
}

/** A part of this sort in its block, pointing so. */
const signRow = (/** @type {string} */ sort, /** @type {{u: number, v: number, near: number}[]} */ ways) =>
  (/** @type {CanvasRenderingContext2D} */ pen, /** @type {Colours} */ colour, /** @type {number} */ x, /** @type {number} */ y, /** @type {number} */ size) => {
    ways.forEach((way, at) => {
      const box = { x: x + at * (size + 6), y, w: size, h: size };
      const isSignal = sort === "observer" || sort === "lever";
      const none = { isSignal, held: 0, fill: 0, hasLock: false, locked: false, asleep: false, level: 0, wrong: false, name: "" };
      drawStanding(pen, colour, { ...none, sort, x: box.x, y, size }, [box]);
      if (sort !== "container") drawFacing(pen, colour, sort, box, way);
    });
  };

/** The signs of the views of a placed hall. @type {import("./glyphs.js").LegendRow[]} */
export const STANDING_SIGNS = [
  { words: "in its block: points to the wedge", draw: signRow("hopper", [{ u: 1, v: 0, near: 0 }]) },
  { words: "points towards you, and away", draw: signRow("dropper", [{ u: 0, v: 0, near: 1 }, { u: 0, v: 0, near: -1 }]) },
  { words: "observer: its eye", draw: signRow("observer", [{ u: 1, v: 0, near: 0 }]) },
  { words: "fastened on that side, and away", draw: signRow("lever", [{ u: 0, v: 1, near: 0 }, { u: 0, v: 0, near: -1 }]) },
  {
    words: "wire, off and on",
    draw: (pen, colour, x, y, size) => {
      [colour.soft, colour.flow].forEach((tone, at) => {
        pen.strokeStyle = pen.fillStyle = tone;
        pen.lineWidth = at === 0 ? 1.5 : 3;
        const [left, middle] = [x + at * (size + 6), y + size / 2];
        pen.beginPath();
        pen.moveTo(left, middle);
        pen.lineTo(left + size, middle);
        pen.stroke();
        pen.beginPath();
        pen.arc(left + size / 2, middle, 3, 0, Math.PI * 2);
        pen.fill();
      });
    },
  },
  {
    words: "stream, the way it flows",
    draw: (pen, colour, x, y, size) => {
      pen.fillStyle = colour.hold;
      pen.globalAlpha = 0.13;
      pen.fillRect(x, y, size * 2, size);
      pen.globalAlpha = 1;
      pen.strokeStyle = pen.fillStyle = colour.soft;
      pen.lineWidth = 1.5;
      pen.beginPath();
      pen.moveTo(x, y + size / 2);
      pen.lineTo(x + size * 2, y + size / 2);
      pen.stroke();
      pen.beginPath();
      for (const [dx, dy] of [[1.2, 0], [0.9, -0.17], [0.9, 0.17]]) pen.lineTo(x + size * dx, y + size * (0.5 + dy));
      pen.fill();
    },
  },
  {
    words: "goods moved out of sight, or from there",
    draw: (pen, colour, x, y, size) => {
      signRow("container", [{ u: 0, v: 0, near: 1 }])(pen, colour, x, y, size);
      drawGone(pen, colour, { x, y, w: size, h: size }, 0.12);
    },
  },
  {
    words: "full block, and a cap",
    draw: (pen, colour, x, y, size) => {
      drawPlainBlock(pen, colour, true, { x, y, w: size, h: size });
      drawPlainBlock(pen, colour, false, { x: x + size + 6, y, w: size, h: size });
    },
  },
];
