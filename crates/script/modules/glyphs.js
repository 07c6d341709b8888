// How parts and modules are drawn. Shape says what a part is, filling how full it is, hatching and a
// bolt that it is locked; colour only repeats what these say.

/**
 * @typedef {{paper: string, sheet: string, module: string, ink: string, soft: string, faint: string,
 *   hold: string, flow: string, lock: string, good: string, bad: string, choice: string}} Colours
 * @typedef {{sort: string, isSignal: boolean, x: number, y: number, size: number, held: number, fill: number,
 *   hasLock: boolean, locked: boolean, asleep: boolean, level: number, wrong: boolean, name: string}} PartSign
 * @typedef {{x: number, y: number, w: number, h: number, name: string, isWiring: boolean, waiting: number,
 *   stored: number, unlocked: number, hoppers: number, loose: number, wrong: number}} ModuleSign
 * @typedef {{words: string, draw: (pen: CanvasRenderingContext2D, colour: Colours, x: number, y: number, size: number) => void}} LegendRow
 */

/**
 * The colours as the style has them now.
 * @returns {Colours}
 */
export function colours() {
  const style = getComputedStyle(document.documentElement);
  const of = (/** @type {string} */ name) => style.getPropertyValue(`--${name}`).trim();
  return {
    paper: of("paper"), sheet: of("sheet"), module: of("module"), ink: of("ink"), soft: of("soft"),
    faint: of("faint"), hold: of("hold"), flow: of("flow"), lock: of("lock"), good: of("good"),
    bad: of("bad"), choice: of("choice"),
  };
}

/**
 * The outline of a part.
 * @param {CanvasRenderingContext2D} pen
 * @param {string} sort
 * @param {boolean} isSignal
 * @param {number} x
 * @param {number} y
 * @param {number} size
 */
export function outline(pen, sort, isSignal, x, y, size) {
  const [l, t, r, b] = [x + size * 0.06, y + size * 0.06, x + size * 0.94, y + size * 0.94];
  const middle = x + size / 2;
  pen.beginPath();
  if (isSignal) {
    pen.arc(middle, y + size / 2, size * 0.32, 0, Math.PI * 2);
  } else if (sort === "hopper") {
    pen.moveTo(l, t);
    pen.lineTo(r, t);
    pen.lineTo(r, t + size * 0.36);
    pen.lineTo(middle + size * 0.2, b);
    pen.lineTo(middle - size * 0.2, b);
    pen.lineTo(l, t + size * 0.36);
    pen.closePath();
  } else if (sort === "selector") {
    pen.moveTo(middle, t);
    pen.lineTo(r, y + size / 2);
    pen.lineTo(middle, b);
    pen.lineTo(l, y + size / 2);
    pen.closePath();
  } else if (sort === "mouth") {
    pen.moveTo(l, t);
    pen.lineTo(l + size * 0.14, b);
    pen.lineTo(r - size * 0.14, b);
    pen.lineTo(r, t);
  } else if (sort === "stream") {
    for (const [shift, back] of [[0.3, false], [0.74, true]]) {
      const at = y + size * Number(shift);
      const [from, to] = back ? [r, l] : [l, r];
      pen.lineTo(from, at);
      const third = (to - from) / 3;
      const lift = size * (back ? 0.16 : -0.16);
      pen.bezierCurveTo(from + third, at + lift, to - third, at - lift, to, at);
    }
    pen.closePath();
  } else if (sort === "dropper") {
    pen.moveTo(middle, t);
    pen.lineTo(r, y + size * 0.76);
    pen.lineTo(l, y + size * 0.76);
    pen.closePath();
  } else if (sort === "shuttle") {
    pen.roundRect(l, t + size * 0.12, r - l, b - t - size * 0.24, size * 0.22);
  } else if (sort === "bench") {
    pen.rect(l, t + size * 0.4, r - l, b - t - size * 0.4);
  } else {
    pen.rect(l, t, r - l, b - t);
  }
}

/**
 * Draws a part.
 * @param {CanvasRenderingContext2D} pen
 * @param {Colours} colour
 * @param {PartSign} sign
 */
export function drawPart(pen, colour, sign) {
  const { x, y, size } = sign;
  const inside = () => { if (size >= 12) drawInside(pen, colour, sign); };
  drawBody(pen, colour, sign, () => outline(pen, sign.sort, sign.isSignal, x, y, size), { x, y, w: size, h: size }, inside);
}

/**
 * Draws how full a part is, its edge, its lock, and whether something does not belong there.
 * @param {CanvasRenderingContext2D} pen
 * @param {Colours} colour
 * @param {PartSign} sign
 * @param {() => void} trace makes its outline the path
 * @param {{x: number, y: number, w: number, h: number}} box around it
 * @param {() => void} [inside] draws what is in it
 */
export function drawBody(pen, colour, sign, trace, box, inside = () => {}) {
  const { size } = sign;
  trace();
  pen.fillStyle = sign.isSignal && sign.level > 0 ? colour.flow : colour.sheet;
  pen.fill();
  if (sign.held > 0 && !sign.isSignal) {
    const height = (box.h - size * 0.12) * Math.max(0.14, Math.sqrt(sign.fill));
    pen.save();
    if (size >= 9) pen.clip();
    pen.fillStyle = colour.hold;
    pen.fillRect(box.x, box.y + box.h - size * 0.06 - height, box.w, height);
    pen.restore();
    trace();
  }
  pen.strokeStyle = sign.locked ? colour.lock : colour.ink;
  pen.lineWidth = sign.hasLock && !sign.locked ? Math.max(1.4, size * 0.07) : 1;
  pen.setLineDash(sign.sort === "dock" ? [3, 2] : []);
  if (sign.asleep) {
    // Dots: round caps on no line at all.
    pen.lineWidth = Math.max(1.8, size * 0.09);
    pen.lineCap = "round";
    pen.setLineDash([0, pen.lineWidth * 2]);
  }
  pen.stroke();
  pen.setLineDash([]);
  pen.lineCap = "butt";
  if (sign.locked) drawBolt(pen, colour, box, size);
  inside();
  if (sign.wrong) drawCross(pen, colour, box.x, box.y, size);
}

/**
 * Hatching and a bolt: locked. The path is the part's outline.
 * @param {CanvasRenderingContext2D} pen
 * @param {Colours} colour
 * @param {{x: number, y: number, w: number, h: number}} box
 * @param {number} size
 */
function drawBolt(pen, colour, { x, y, w, h }, size) {
  pen.strokeStyle = colour.lock;
  pen.lineWidth = 1;
  if (size >= 16) {
    pen.save();
    pen.clip();
    pen.beginPath();
    for (let shift = 0.2; size * shift < w + h; shift += 0.24) {
      pen.moveTo(x + size * shift, y);
      pen.lineTo(x + size * shift - h, y + h);
    }
    pen.stroke();
    pen.restore();
  }
  pen.fillStyle = colour.lock;
  pen.fillRect(x, y + size * 0.06, w, Math.max(2, size * 0.13));
}

/**
 * A cross: something here does not belong.
 * @param {CanvasRenderingContext2D} pen
 * @param {Colours} colour
 * @param {number} x
 * @param {number} y
 * @param {number} size
 */
export function drawCross(pen, colour, x, y, size) {
  pen.strokeStyle = colour.bad;
  pen.lineWidth = Math.max(2, size * 0.12);
  pen.beginPath();
  pen.moveTo(x, y);
  pen.lineTo(x + size, y + size);
  pen.moveTo(x + size, y);
  pen.lineTo(x, y + size);
  pen.stroke();
}

/**
 * Marks and figures inside a part.
 * @param {CanvasRenderingContext2D} pen
 * @param {Colours} colour
 * @param {PartSign} sign
 */
function drawInside(pen, colour, { sort, isSignal, x, y, size, held, level, name }) {
  pen.strokeStyle = colour.ink;
  pen.lineWidth = 1;
  if (sort === "container") {
    pen.beginPath();
    pen.moveTo(x + size * 0.06, y + size * 0.24);
    pen.lineTo(x + size * 0.94, y + size * 0.24);
    pen.stroke();
  } else if (sort === "dropper") {
    pen.beginPath();
    // What it throws flies out below.
    for (const lean of [-1, 0, 1]) {
      pen.moveTo(x + size * (0.5 + lean * 0.2), y + size * 0.82);
      pen.lineTo(x + size * (0.5 + lean * 0.3), y + size * 0.96);
    }
    pen.stroke();
  } else if (sort === "bench") {
    pen.beginPath();
    pen.moveTo(x, y + size * 0.4);
    pen.lineTo(x + size, y + size * 0.4);
    pen.stroke();
  }
  if (size < 18) return;
  pen.textAlign = "center";
  pen.textBaseline = "middle";
  const figure = isSignal ? String(level) : held > 0 ? String(held) : "";
  const font = Math.min(16, size * 0.36);
  if (figure && font >= 7) {
    pen.font = `600 ${font}px system-ui, sans-serif`;
    pen.lineWidth = 3;
    pen.strokeStyle = isSignal && level > 0 ? colour.flow : colour.sheet;
    if (!isSignal) pen.strokeText(figure, x + size / 2, y + size * 0.58);
    pen.fillStyle = isSignal && level > 0 ? colour.sheet : colour.ink;
    pen.fillText(figure, x + size / 2, y + size * (isSignal ? 0.52 : 0.58));
  }
  if (size >= 40) {
    pen.font = "12px system-ui, sans-serif";
    pen.fillStyle = colour.ink;
    pen.textBaseline = "top";
    pen.fillText(clipped(pen, name, size * 1.6), x + size / 2, y + size * 0.98);
  }
}

/**
 * A text cut to a width.
 * @param {CanvasRenderingContext2D} pen
 * @param {string} text
 * @param {number} width
 */
export function clipped(pen, text, width) {
  if (pen.measureText(text).width <= width) return text;
  let length = text.length;
  while (length > 1 && pen.measureText(`${text.slice(0, length)}…`).width > width) length -= 1;
  return length > 1 ? `${text.slice(0, length)}…` : "";
}

/**
 * Of a module in a row, its number says more than the beginning of its name.
 * @param {CanvasRenderingContext2D} pen
 * @param {string} name
 * @param {number} width
 */
export function shortName(pen, name, width) {
  const number = /\[[^\]]*\]$/.exec(name)?.[0];
  return number && pen.measureText(name).width > width ? number : name;
}

/**
 * Draws an module that is closed: what is in it as figures and bars.
 * @param {CanvasRenderingContext2D} pen
 * @param {Colours} colour
 * @param {ModuleSign} sign
 */
export function drawClosed(pen, colour, sign) {
  const { x, y, w, h } = sign;
  pen.fillStyle = sign.isWiring ? colour.sheet : colour.module;
  pen.fillRect(x, y, w, h);
  pen.strokeStyle = sign.isWiring ? colour.faint : colour.ink;
  pen.lineWidth = 1;
  pen.strokeRect(x, y, w, h);
  if (sign.isWiring) {
    pen.textAlign = "left";
    pen.textBaseline = "middle";
    pen.fillStyle = colour.soft;
    pen.font = "11px system-ui, sans-serif";
    if (w >= 44 && h >= 12) pen.fillText(clipped(pen, sign.name, w - 4), x + 2, y + h / 2);
    else if (h >= 8) {
      // Too small for its name: the sign of signals.
      pen.strokeStyle = colour.soft;
      pen.beginPath();
      pen.arc(x + w / 2, y + h / 2, Math.min(5, h * 0.3), 0, Math.PI * 2);
      pen.stroke();
    }
    return;
  }
  // A folded corner: it can be opened.
  const fold = Math.min(12, w * 0.2, h * 0.2);
  pen.fillStyle = colour.soft;
  pen.beginPath();
  pen.moveTo(x + w - fold, y);
  pen.lineTo(x + w, y + fold);
  pen.lineTo(x + w, y);
  pen.fill();
  if (w < 30 || h < 16) {
    if (sign.waiting > 0) {
      pen.fillStyle = colour.hold;
      pen.fillRect(x + 2, y + h * 0.5, w - 4, h * 0.5 - 2);
    }
    return;
  }
  pen.textAlign = "left";
  pen.textBaseline = "top";
  pen.fillStyle = colour.ink;
  const isNarrow = w < 100;
  pen.font = `600 ${isNarrow ? 11 : 13}px system-ui, sans-serif`;
  const room = w - (isNarrow ? 6 : fold + 8);
  pen.fillText(clipped(pen, shortName(pen, sign.name, room), room), x + (isNarrow ? 3 : 5), y + 4);
  pen.font = `${isNarrow ? 11 : 12}px system-ui, sans-serif`;
  // The longest words that there is room for.
  const fits = (/** @type {string[]} */ words) => words.find((each) => pen.measureText(each).width <= w - 8) ?? words[words.length - 1];
  const rows = [[fits([`${sign.waiting} on the way`, `${sign.waiting} on way`, `${sign.waiting}`]), 0, colour.hold]];
  const open = `${sign.unlocked}/${sign.hoppers}`;
  if (sign.hoppers > 0) rows.push([fits([`${open} unlocked`, open]), sign.unlocked / sign.hoppers, colour.flow]);
  if (sign.stored > 0) rows.push([`${sign.stored} in store`, 0, colour.soft]);
  if (sign.loose > 0) rows.push([`${sign.loose} loose`, 0, colour.soft]);
  if (sign.wrong > 0) rows.push([`✕ ${sign.wrong} misplaced`, 0, colour.bad]);
  let top = y + (isNarrow ? 19 : 23);
  if (top + 16 > y + h && sign.waiting > 0) {
    pen.fillStyle = colour.hold;
    pen.fillRect(x + 3, y + h - 6, w - 6, 4);
  }
  for (const [words, share, tone] of rows) {
    if (top + 16 > y + h) break;
    pen.fillStyle = tone === colour.bad ? colour.bad : colour.ink;
    pen.fillText(clipped(pen, String(words), w - 7), x + 5, top);
    top += 15;
    if (Number(share) > 0 && top + 4 < y + h) {
      pen.fillStyle = colour.faint;
      pen.fillRect(x + 5, top, w - 10, 4);
      pen.fillStyle = String(tone);
      pen.fillRect(x + 5, top, (w - 10) * Number(share), 4);
    }
    top += 7;
  }
}

/**
 * The signs with their meaning.
 * @param {HTMLCanvasElement} canvas
 * @param {number} columns how many stand beside each other
 * @param {LegendRow[]} more signs that are drawn in another way
 * @param {number} room how high it may be, in pixels
 * @param {number} scale dots a pixel
 */
export function drawLegend(canvas, columns, more, room, scale) {
  const none = { isSignal: false, held: 0, fill: 0, hasLock: false, locked: false, asleep: false, level: 0, wrong: false, name: "" };
  const rows = /** @type {[string, Partial<PartSign>][]} */ ([
    ["container, part full; the figure: its items", { sort: "container", held: 640, fill: 0.3 }],
    ["hopper without a lock", { sort: "hopper" }],
    ["hopper, unlocked: thick edge", { sort: "hopper", hasLock: true, held: 3, fill: 0.02 }],
    ["hopper, locked: bolt and hatching", { sort: "hopper", hasLock: true, locked: true }],
    ["selector", { sort: "selector" }], ["dropper or dispenser, a cone that scatters", { sort: "dropper" }],
    ["mouth, where loose items rest", { sort: "mouth" }], ["stream", { sort: "stream" }],
    ["bench", { sort: "bench" }], ["dock", { sort: "dock" }], ["shuttle", { sort: "shuttle" }],
    ["signal off, and on with its level", { sort: "lever", isSignal: true }],
    ["asleep: dotted edge", { sort: "container", asleep: true }],
    ["holds what does not belong there", { sort: "container", held: 1, fill: 0.1, wrong: true }],
  ]);
  const high = Math.ceil((rows.length + 3 + more.length) / columns);
  const [wide, pitch, size] = high * 30 + 10 > room ? [345, 23, 21] : [345, 30, 24];
  const [width, height] = [wide * columns, high * pitch + 10];
  const place = (/** @type {number} */ row) => ({ x: Math.floor(row / high) * wide + 8, y: (row % high) * pitch + 6 });
  canvas.width = width * scale;
  canvas.height = height * scale;
  canvas.style.width = `${width}px`;
  canvas.style.aspectRatio = `${width} / ${height}`;
  const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));
  pen.setTransform(scale, 0, 0, scale, 0, 0);
  const colour = colours();
  const words = (/** @type {string} */ text, /** @type {number} */ row) => {
    pen.font = "13px system-ui, sans-serif";
    pen.textAlign = "left";
    pen.textBaseline = "middle";
    pen.fillStyle = colour.ink;
    pen.fillText(text, place(row).x + 58, place(row).y + size / 2);
  };
  rows.forEach(([text, part], row) => {
    const { x, y } = place(row);
    const sign = /** @type {PartSign} */ ({ ...none, x, y, size, ...part });
    drawPart(pen, colour, sign);
    if (sign.isSignal) drawPart(pen, colour, { ...sign, x: x + 30, level: 15 });
    words(text, row);
  });
  const last = rows.length;
  const module = { name: "", w: 50, h: size - 4, isWiring: false, waiting: 0, stored: 0, unlocked: 0, hoppers: 0, wrong: 0, loose: 0 };
  [["module, closed: click to open it", false], ["module of signals only", true]].forEach(([text, isWiring], row) => {
    const { x, y } = place(last + row);
    drawClosed(pen, colour, { ...module, x, y, w: isWiring ? 30 : 50, isWiring: Boolean(isWiring) });
    words(String(text), last + row);
  });
  const { x, y } = place(last + 2);
  pen.strokeStyle = colour.flow;
  pen.lineWidth = 4;
  pen.beginPath();
  pen.moveTo(x, y + size / 2);
  pen.lineTo(x + 50, y + size / 2);
  pen.stroke();
  words("goods moved in the last 2 s: thicker, more", last + 2);
  more.forEach((row, at) => {
    const { x: left, y: top } = place(last + 3 + at);
    row.draw(pen, colour, left, top, size);
    words(row.words, last + 3 + at);
  });
}
