// How the map is moved, and how parts on it are chosen: pointers, wheel and keys.

import { HallMap } from "./map.js";
import { chooseNext } from "./near.js";
import { partWords } from "./waits.js";
import { byId } from "./words.js";

/** Below this many pixels a part, opening an module moves closer. */
const READABLE = 13;

/**
 * Pointers, wheel and keys.
 * @param {HallMap} map
 */
export function listen(map) {
  /** @type {Map<number, {x: number, y: number}>} */
  const pointers = new Map();
  let moved = 0;
  const { canvas } = map;
  const hint = byId("wheel-hint", HTMLElement);
  canvas.addEventListener("pointerdown", (event) => {
    canvas.setPointerCapture(event.pointerId);
    pointers.set(event.pointerId, { x: event.offsetX, y: event.offsetY });
    moved = 0;
    map.tip.hidden = true;
  });
  canvas.addEventListener("pointermove", (event) => {
    const before = pointers.get(event.pointerId);
    const now = { x: event.offsetX, y: event.offsetY };
    if (!before) {
      pointAt(map, now.x, now.y);
      return;
    }
    const other = [...pointers].find(([id]) => id !== event.pointerId)?.[1];
    if (other) {
      const gap = (/** @type {{x: number, y: number}} */ one) => Math.hypot(one.x - other.x, one.y - other.y);
      map.zoom(gap(now) / Math.max(1, gap(before)), other.x, other.y);
    } else if (event.pointerType !== "touch") {
      map.left -= (now.x - before.x) / map.scale;
      map.top -= (now.y - before.y) / map.scale;
      map.isWhole = false;
      map.draw();
    }
    moved += Math.abs(now.x - before.x) + Math.abs(now.y - before.y);
    pointers.set(event.pointerId, now);
  });
  canvas.addEventListener("pointerup", (event) => {
    pointers.delete(event.pointerId);
    if (moved < 6) click(map, event.offsetX, event.offsetY);
  });
  canvas.addEventListener("pointercancel", (event) => pointers.delete(event.pointerId));
  canvas.addEventListener("pointerleave", () => { map.tip.hidden = true; });
  canvas.addEventListener("wheel", (event) => {
    // Whoever only goes past the map scrolls the page.
    const isMeant = event.ctrlKey || event.metaKey || document.activeElement === canvas;
    hint.hidden = isMeant;
    if (!isMeant) return;
    event.preventDefault();
    map.zoom(Math.exp(-event.deltaY * 0.0016), event.offsetX, event.offsetY);
  }, { passive: false });
  canvas.addEventListener("pointerleave", () => { hint.hidden = true; });
  // One finger scrolls the page, two are the map's.
  for (const name of /** @type {("touchstart" | "touchmove")[]} */ (["touchstart", "touchmove"])) {
    canvas.addEventListener(name, (event) => { if (event.touches.length > 1) event.preventDefault(); }, { passive: false });
  }
  canvas.addEventListener("keydown", (event) => key(map, event));
}

/**
 * @param {HallMap} map
 * @param {number} x
 * @param {number} y
 */
function click(map, x, y) {
  const { part, module } = map.at(x, y);
  if (part >= 0) {
    map.choose(part, false);
  } else if (module > 0 && !map.isOpen[module]) {
    openAndShow(map, module);
  } else if (module > 0 && isHead(map, module, y)) {
    map.setOpen(module, false);
    map.chooseModule(module);
  } else {
    map.chooseModule(module);
  }
}

/**
 * Opens an module, and moves closer if its parts would be too small to be read.
 * @param {HallMap} map
 * @param {number} module
 */
function openAndShow(map, module) {
  map.setOpen(module, true);
  if (map.scale < READABLE) map.fit(map.run.modules[module]);
  map.chooseModule(module);
}

/**
 * Whether a pixel is in the head of an open module, where its name stands.
 * @param {HallMap} map
 * @param {number} module
 * @param {number} py
 */
function isHead(map, module, py) {
  return py / map.scale + map.top < map.run.modules[module].y + Math.max(0.9, 16 / map.scale);
}

/**
 * Reports what is at a pixel.
 * @param {HallMap} map
 * @param {number} x
 * @param {number} y
 */
function pointAt(map, x, y) {
  const { part, module } = map.at(x, y);
  const said = part >= 0
    ? `${map.run.partName(part)}: ${partWords(map.run, map.state, part)}`
    : module > 0 ? `${map.run.moduleName(module)}${map.isOpen[module] ? "" : " – click to open"}` : "";
  const words = said + (map.placed ? placedWords(map, map.placed, x, y, said === "") : "");
  map.tip.hidden = words === "";
  map.tip.textContent = words;
  const { width, height } = map.size();
  const isRight = x > width / 2;
  map.tip.style.left = isRight ? "auto" : `${x + 14}px`;
  map.tip.style.right = isRight ? `${width - x + 10}px` : "auto";
  map.tip.style.top = `${Math.min(y + 14, height - 50)}px`;
}

/**
 * What there is to say of a pixel in the view of a placed hall: wire that is no part, and what is behind.
 * @param {HallMap} map
 * @param {import("./views.js").HallView} placed
 * @param {number} px
 * @param {number} py
 * @param {boolean} isBare whether no part is seen there
 */
function placedWords(map, placed, px, py, isBare) {
  const [x, y] = [px / map.scale + map.left, py / map.scale + map.top];
  const behind = placed.behind(x, y).map((part) => map.run.partName(part));
  const names = behind.length > 4 ? [...behind.slice(0, 3), `${behind.length - 3} more`] : behind;
  const wire = isBare ? placed.wireWords(map.state, x, y) : "";
  if (names.length === 0) return wire;
  return `${wire} – ${placed.kind === "above" ? "below" : "behind"} it: ${names.join(", ")}`;
}

/**
 * @param {HallMap} map
 * @param {KeyboardEvent} event
 */
function key(map, event) {
  const step = 60 / map.scale;
  const ways = /** @type {Record<string, [number, number]>} */ ({ ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] });
  const way = ways[event.key];
  if (event.shiftKey && way) {
    event.preventDefault();
    chooseNext(map, ...way);
    return;
  }
  if (event.key === "Enter" && map.chosenModule > 0 && !map.placed) {
    const module = map.chosenModule;
    if (map.isOpen[module]) map.setOpen(module, false);
    else openAndShow(map, module);
    return;
  }
  const moves = /** @type {Record<string, () => void>} */ ({
    "+": () => map.zoom(1.3),
    "-": () => map.zoom(1 / 1.3),
    0: () => map.fitAll(),
  });
  const move = way ? () => {
    map.left += way[0] * step;
    map.top += way[1] * step;
  } : moves[event.key];
  if (!move || event.ctrlKey || event.metaKey) return;
  event.preventDefault();
  move();
  map.draw();
}
