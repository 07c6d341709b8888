// Drawings in SVG, which need nothing else: a pen that writes down what is drawn with it.

/**
 * A text in XML.
 * @param {string} text
 */
export function xmlText(text) {
  return text.replace(/[&<>"']/g, (letter) => `&#${letter.charCodeAt(0)};`);
}

/** @param {number} number */
const short = (number) => String(Math.round(number * 100) / 100);

/**
 * A whole drawing.
 * @param {number} width
 * @param {number} height
 * @param {string} title what it shows, in words
 * @param {string} inside
 */
export function svgFile(width, height, title, inside) {
  const size = `width="${short(width)}" height="${short(height)}" viewBox="0 0 ${short(width)} ${short(height)}"`;
  return `<?xml version="1.0" encoding="UTF-8"?>\n<svg xmlns="http://www.w3.org/2000/svg" ${size} role="img"><title>${xmlText(title)}</title>\n${inside}\n</svg>\n`;
}

const ANCHORS = /** @type {Record<string, string>} */ ({ center: "middle", right: "end", end: "end" });
const BASELINES = /** @type {Record<string, string>} */ ({ top: "text-before-edge", hanging: "hanging", middle: "central", bottom: "text-after-edge" });

/** A pen that is used as that of a canvas, and writes SVG. It knows what the map draws with. */
export class VectorPen {
  /** @param {CanvasRenderingContext2D} measure a canvas's pen, which knows how wide texts are */
  constructor(measure) {
    this.measure = measure;
    /** @type {string[]} */
    this.elements = [];
    this.fillStyle = "#000";
    this.strokeStyle = "#000";
    this.lineWidth = 1;
    this.lineCap = "butt";
    this.lineJoin = "miter";
    this.globalAlpha = 1;
    this.font = "10px sans-serif";
    this.textAlign = "left";
    this.textBaseline = "alphabetic";
    /** @type {number[]} */
    this.dashes = [];
    this.path = "";
    /** The clip that holds now, or -1. */
    this.clipNumber = -1;
    this.clips = 0;
    /** @type {Record<string, any>[]} */
    this.saved = [];
  }

  save() {
    const { fillStyle, strokeStyle, lineWidth, lineCap, lineJoin, globalAlpha, font, textAlign, textBaseline, dashes, clipNumber } = this;
    this.saved.push({ fillStyle, strokeStyle, lineWidth, lineCap, lineJoin, globalAlpha, font, textAlign, textBaseline, dashes, clipNumber });
  }

  restore() {
    Object.assign(this, this.saved.pop() ?? {});
  }

  /** The drawing is in pixels of the page, however many dots those have. */
  setTransform() {}

  /** Nothing is below. */
  clearRect() {}

  beginPath() {
    this.path = "";
  }

  closePath() {
    this.path += "Z";
  }

  /**
   * @param {number} x
   * @param {number} y
   */
  moveTo(x, y) {
    this.path += `M${short(x)} ${short(y)}`;
  }

  /**
   * @param {number} x
   * @param {number} y
   */
  lineTo(x, y) {
    this.path += `${this.path ? "L" : "M"}${short(x)} ${short(y)}`;
  }

  /** @param {number[]} points two between which it bends, and its end */
  bezierCurveTo(...points) {
    this.path += `C${points.map(short).join(" ")}`;
  }

  /**
   * @param {number} x
   * @param {number} y
   * @param {number} w
   * @param {number} h
   */
  rect(x, y, w, h) {
    this.path += `M${short(x)} ${short(y)}h${short(w)}v${short(h)}h${short(-w)}Z`;
  }

  /**
   * @param {number} x
   * @param {number} y
   * @param {number} w
   * @param {number} h
   * @param {number} corner
   */
  roundRect(x, y, w, h, corner) {
    const r = Math.max(0, Math.min(corner, w / 2, h / 2));
    const bend = (/** @type {number} */ dx, /** @type {number} */ dy) => `a${short(r)} ${short(r)} 0 0 1 ${short(dx)} ${short(dy)}`;
    this.path += `M${short(x + r)} ${short(y)}h${short(w - 2 * r)}${bend(r, r)}v${short(h - 2 * r)}${bend(-r, r)}h${short(2 * r - w)}${bend(-r, -r)}v${short(2 * r - h)}${bend(r, -r)}Z`;
  }

  /**
   * @param {number} x
   * @param {number} y
   * @param {number} r
   * @param {number} from
   * @param {number} to
   * @param {boolean} [isBack]
   */
  arc(x, y, r, from, to, isBack = false) {
    const at = (/** @type {number} */ angle) => `${short(x + Math.cos(angle) * r)} ${short(y + Math.sin(angle) * r)}`;
    const sweep = isBack ? 0 : 1;
    const whole = Math.abs(to - from) >= 2 * Math.PI - 1e-6;
    let turn = isBack ? from - to : to - from;
    while (turn < 0) turn += 2 * Math.PI;
    const part = (/** @type {number} */ end, /** @type {number} */ isLarge) => `A${short(r)} ${short(r)} 0 ${isLarge} ${sweep} ${at(end)}`;
    this.path += `${this.path ? "L" : "M"}${at(from)}`;
    this.path += whole ? part(from + Math.PI, 0) + part(from, 0) : part(to, turn > Math.PI ? 1 : 0);
  }

  /** What is drawn from now on is seen within the path alone. */
  clip() {
    const outer = this.clipNumber < 0 ? "" : ` clip-path="url(#c${this.clipNumber})"`;
    this.clipNumber = this.clips;
    this.clips += 1;
    this.elements.push(`<clipPath id="c${this.clipNumber}"${outer}><path d="${this.path}"/></clipPath>`);
  }

  fill() {
    if (this.path) this.add("path", `d="${this.path}" ${this.filled()}`);
  }

  stroke() {
    if (this.path) this.add("path", `d="${this.path}" ${this.stroked()}`);
  }

  /**
   * @param {number} x
   * @param {number} y
   * @param {number} w
   * @param {number} h
   */
  fillRect(x, y, w, h) {
    this.box(x, y, w, h, this.filled());
  }

  /**
   * @param {number} x
   * @param {number} y
   * @param {number} w
   * @param {number} h
   */
  strokeRect(x, y, w, h) {
    this.box(x, y, w, h, this.stroked());
  }

  /**
   * @param {number} x
   * @param {number} y
   * @param {number} w
   * @param {number} h
   * @param {string} look
   */
  box(x, y, w, h, look) {
    if (w > 0 && h > 0) this.add("rect", `x="${short(x)}" y="${short(y)}" width="${short(w)}" height="${short(h)}" ${look}`);
  }

  /**
   * @param {string} text
   * @param {number} x
   * @param {number} y
   */
  fillText(text, x, y) {
    this.text(text, x, y, this.filled());
  }

  /**
   * @param {string} text
   * @param {number} x
   * @param {number} y
   */
  strokeText(text, x, y) {
    this.text(text, x, y, this.stroked());
  }

  /**
   * @param {string} text
   * @param {number} x
   * @param {number} y
   * @param {string} look
   */
  text(text, x, y, look) {
    const [, weight, size, family] = /^(?:(\S+) )?([\d.]+)px (.*)$/.exec(this.font) ?? ["", "", "10", "sans-serif"];
    const font = `font-size="${short(Number(size))}" font-family="${xmlText(family)}"${weight ? ` font-weight="${weight}"` : ""}`;
    const anchor = ANCHORS[this.textAlign] ?? "start";
    const baseline = BASELINES[this.textBaseline] ?? "auto";
    const place = `x="${short(x)}" y="${short(y)}" text-anchor="${anchor}" dominant-baseline="${baseline}"`;
    this.add("text", `${place} ${font} ${look}`, xmlText(text));
  }

  /** @param {string} text */
  measureText(text) {
    const { font } = this.measure;
    this.measure.font = this.font;
    const found = this.measure.measureText(text);
    this.measure.font = font;
    return found;
  }

  /** @param {number[]} dashes */
  setLineDash(dashes) {
    this.dashes = dashes;
  }

  filled() {
    return `fill="${this.fillStyle}"${this.seenThrough()}`;
  }

  stroked() {
    const dashes = this.dashes.length > 0 ? ` stroke-dasharray="${this.dashes.join(" ")}"` : "";
    const ends = `${this.lineCap === "butt" ? "" : ` stroke-linecap="${this.lineCap}"`}${this.lineJoin === "miter" ? "" : ` stroke-linejoin="${this.lineJoin}"`}`;
    return `fill="none" stroke="${this.strokeStyle}" stroke-width="${short(this.lineWidth)}"${dashes}${ends}${this.seenThrough()}`;
  }

  seenThrough() {
    return this.globalAlpha === 1 ? "" : ` opacity="${short(this.globalAlpha)}"`;
  }

  /**
   * @param {string} tag
   * @param {string} look
   * @param {string} [inside]
   */
  add(tag, look, inside = "") {
    const clip = this.clipNumber < 0 ? "" : ` clip-path="url(#c${this.clipNumber})"`;
    this.elements.push(`<${tag} ${look}${clip}${inside ? `>${inside}</${tag}>` : "/>"}`);
  }
}
