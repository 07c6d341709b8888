// The page on paper: black on white whatever the screen is, nothing folded away, the map drawn sharp.

import { STANDING_SIGNS } from "./blocks.js";
import { Curves } from "./curves.js";
import { drawLegend } from "./glyphs.js";
import { GOODS_SIGNS } from "./goods.js";
import { HallMap } from "./map.js";
import { byId } from "./words.js";

/** The map's size on paper, in pixels of the page's width. */
const MAP = { width: 820, height: 370 };
/** How wide the curves are on paper at least, without their names. */
const CURVES_WIDTH = 500;

/**
 * Turns the page into paper for as long as it is printed.
 * @param {HallMap} map
 * @param {Curves} curves
 */
export function listenToPrinting(map, curves) {
  /** @type {(() => void) | null} */
  let back = null;
  const legend = byId("legend", HTMLCanvasElement);
  const toPaper = () => {
    if (back) return;
    const { dataset } = document.documentElement;
    const theme = dataset.theme;
    const folded = [...document.querySelectorAll("details:not(.parts)")].map((each) => /** @type {HTMLDetailsElement} */ (each));
    const open = folded.map((each) => each.open);
    dataset.theme = "paper";
    for (const each of folded) each.open = true;
    map.recolour();
    map.printed(MAP);
    curves.layOut(CURVES_WIDTH);
    drawLegend(legend, 2, signsOf(map), 0, 3);
    back = () => {
      if (theme) dataset.theme = theme;
      else delete dataset.theme;
      folded.forEach((each, at) => { each.open = open[at]; });
      map.recolour();
      map.printed(null);
      curves.layOut(0);
      if (legend.closest("details")?.open) drawLegendOf(map, legend);
    };
  };
  const toScreen = () => {
    back?.();
    back = null;
  };
  window.addEventListener("beforeprint", toPaper);
  window.addEventListener("afterprint", toScreen);
  const media = window.matchMedia("print");
  media.addEventListener("change", () => (media.matches ? toPaper() : toScreen()));
}

/** @param {HallMap} map */
function signsOf(map) {
  return map.run.stand ? [...GOODS_SIGNS, ...STANDING_SIGNS] : GOODS_SIGNS;
}

/**
 * Draws the signs of a map so that all of them are within the window.
 * @param {HallMap} map
 * @param {HTMLCanvasElement} legend
 */
export function drawLegendOf(map, legend) {
  const columns = Math.max(1, Math.min(3, Math.floor((window.innerWidth - 16) / 345)));
  drawLegend(legend, columns, signsOf(map), window.innerHeight - (columns > 1 ? 100 : 180), window.devicePixelRatio || 1);
}
