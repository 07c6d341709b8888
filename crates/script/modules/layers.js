// What of the map stands still from frame to frame: drawn once into two pictures, a little larger than what
// is seen. Moving the map moves the pictures; in them only the parts are drawn anew that look different.

/** @typedef {import("./map.js").HallMap} HallMap */

/** So many pixels more are drawn on each side, so that the map can be moved. */
const PAD = 96;
/** From so many pixels a part on, its name stands below it, in the square of another. */
const NAMED_PART = 40;

/** The two pictures: what lies below the goods that moved, and what lies above. */
export class Layers {
  constructor() {
    this.below = this.layer(false);
    this.above = this.layer(true);
    /** So small that they are specks, parts are points of this picture. */
    this.specks = this.layer(true);
    this.image = new ImageData(1, 1);
    this.points = new Uint32Array(1);
    /** Of each look of a speck its colour, as it is in the picture. */
    this.tones = new Uint32Array(4);
    this.key = "";
    this.left = 0;
    this.top = 0;
    /** What each part looks like in the picture. */
    this.looks = new Float64Array(0);
    this.tick = -1;
  }

  /**
   * A picture.
   * @param {boolean} alpha whether something is to be seen through it
   */
  layer(alpha) {
    const canvas = document.createElement("canvas");
    return { canvas, pen: /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d", { alpha })) };
  }

  /**
   * Brings the pictures up to date.
   * @param {HallMap} map
   */
  refresh(map) {
    const { scale, state, placed } = map;
    const { width, height, ratio } = map.size();
    const key = [scale, width, height, ratio, map.version, map.chosenModule].join(" ");
    const isNear = Math.abs(map.left - this.left) * scale < PAD && Math.abs(map.top - this.top) * scale < PAD;
    if (key !== this.key || !isNear) this.drawAll(map, key);
    else if (state.touched.length > 0 || state.tick !== this.tick) {
      if (placed) this.drawBelow(map);
      else this.drawTouched(map);
    }
    this.tick = state.tick;
    for (const part of state.touched) state.isTouched[part] = 0;
    state.touched.length = 0;
  }

  /**
   * Lets the map draw into a picture.
   * @param {HallMap} map
   * @param {{canvas: HTMLCanvasElement, pen: CanvasRenderingContext2D}} layer
   * @param {() => void} draw
   */
  into(map, layer, draw) {
    const { pen, left, top, view, scale } = map;
    const { width, height, ratio } = map.size();
    map.pen = layer.pen;
    map.left = this.left - PAD / scale;
    map.top = this.top - PAD / scale;
    map.view = { x: map.left, y: map.top, w: (width + 2 * PAD) / scale, h: (height + 2 * PAD) / scale };
    layer.pen.setTransform(ratio, 0, 0, ratio, 0, 0);
    draw();
    Object.assign(map, { pen, left, top, view });
  }

  /**
   * Draws both pictures anew.
   * @param {HallMap} map
   * @param {string} key
   */
  drawAll(map, key) {
    const { width, height, ratio } = map.size();
    this.key = key;
    this.left = map.left;
    this.top = map.top;
    if (this.looks.length !== map.run.partCount) this.looks = new Float64Array(map.run.partCount);
    const [w, h] = [width + 2 * PAD, height + 2 * PAD];
    for (const { canvas } of [this.below, this.above, this.specks]) {
      if (canvas.width !== Math.round(w * ratio)) canvas.width = Math.round(w * ratio);
      if (canvas.height !== Math.round(h * ratio)) canvas.height = Math.round(h * ratio);
    }
    this.drawBelow(map);
    this.into(map, this.above, () => {
      map.pen.clearRect(0, 0, w, h);
      this.clearSpecks(map);
      map.drawAbove();
    });
    this.putSpecks(map);
  }

  /**
   * Draws what lies below anew.
   * @param {HallMap} map
   */
  drawBelow(map) {
    this.into(map, this.below, () => {
      map.pen.fillStyle = map.colour.sheet;
      map.pen.fillRect(0, 0, map.view.w * map.scale, map.view.h * map.scale);
      map.drawBelow();
    });
  }

  /**
   * An empty picture of specks, and their colours.
   * @param {HallMap} map
   */
  clearSpecks({ colour }) {
    const { canvas } = this.specks;
    if (this.image.width !== canvas.width || this.image.height !== canvas.height) {
      this.image = new ImageData(canvas.width, canvas.height);
      this.points = new Uint32Array(this.image.data.buffer);
    } else this.points.fill(0);
    const bytes = new Uint8ClampedArray(this.tones.buffer);
    [colour.faint, colour.hold, colour.flow, colour.bad].forEach((tone, at) => {
      const number = parseInt(tone.slice(1), 16);
      const parts = tone.length === 4 ? [8, 4, 0].map((shift) => ((number >> shift) & 15) * 17) : [16, 8, 0].map((shift) => (number >> shift) & 255);
      bytes.set([...parts, 255], at * 4);
    });
  }

  /**
   * Draws a speck: half as high where the part is locked.
   * @param {HallMap} map
   * @param {number} part
   * @param {number} look
   */
  speck(map, part, look) {
    const { points, image, tones } = this;
    const each = map.scale * map.size().ratio;
    const size = Math.max(1, Math.round(each * 0.8));
    const left = Math.round((map.run.x[part] - map.left) * each);
    const top = Math.round((map.run.y[part] - map.top) * each);
    const [right, bottom] = [Math.min(image.width, left + size), Math.min(image.height, top + size)];
    const half = top + Math.ceil(size / 2);
    for (let y = Math.max(0, top); y < bottom; y += 1) {
      const tone = look & 1 && y >= half ? 0 : tones[look >> 1];
      points.fill(tone, y * image.width + Math.max(0, left), y * image.width + Math.max(left, right));
    }
  }

  /**
   * Puts the specks into their picture.
   * @param {HallMap} map
   */
  putSpecks(map) {
    if (map.isSpecks()) this.specks.pen.putImageData(this.image, 0, 0);
  }

  /**
   * Draws the parts and closed modules anew that look different.
   * @param {HallMap} map
   */
  drawTouched(map) {
    const { run, state, placeOf, scale } = map;
    const isSpecks = map.isSpecks();
    for (const part of run.spellsOf.keys()) state.touch(part);
    this.into(map, this.above, () => {
      const { pen } = map;
      const modules = new Set();
      for (const part of state.touched) {
        const place = placeOf[part];
        if (place >= run.partCount) {
          modules.add(place - run.partCount);
          continue;
        }
        const look = map.look(part);
        if (look === this.looks[part]) continue;
        if (isSpecks) {
          this.looks[part] = look;
          this.speck(map, part, look);
          continue;
        }
        if (!map.isSeen(map.box(part))) continue;
        if (scale >= NAMED_PART) {
          pen.clearRect(0, 0, map.view.w * scale, map.view.h * scale);
          map.drawAbove();
          return;
        }
        const [x, y] = map.toPixel(run.x[part], run.y[part]).map(Math.round);
        pen.clearRect(x, y, Math.ceil(scale), Math.ceil(scale));
        map.drawPlace(part);
      }
      for (const module of modules) {
        const { x, y, w, h } = run.modules[module];
        if (!map.isSeen(run.modules[module])) continue;
        const [left, top] = map.toPixel(x, y);
        pen.clearRect(left - 1, top - 1, w * scale + 2, h * scale + 2);
        map.drawClosedModule(module);
      }
    });
    this.putSpecks(map);
  }

  /**
   * Puts a picture onto the map.
   * @param {HallMap} map
   * @param {{canvas: HTMLCanvasElement}} layer
   */
  put(map, { canvas }) {
    const { ratio } = map.size();
    const shift = (/** @type {number} */ cells) => Math.round((cells * map.scale - PAD) * ratio);
    map.pen.setTransform(1, 0, 0, 1, 0, 0);
    map.pen.drawImage(canvas, shift(this.left - map.left), shift(this.top - map.top));
    map.pen.setTransform(ratio, 0, 0, ratio, 0, 0);
  }
}
