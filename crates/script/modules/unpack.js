// Rows of numbers as the page's file holds them: all of them deflated together, in base64, seven bits a byte.

/** The rows of a page. See `pack.rs`, which packs them. */
export class Shelf {
  /** @param {Uint8Array} bytes */
  constructor(bytes) {
    this.bytes = bytes;
    const most = readNumbers(bytes, 0, Math.min(9, bytes.length));
    let from = 0;
    while (bytes[from] >= 0x80) from += 1;
    from += 1;
    const lengths = readNumbers(bytes, from, from + most[0]);
    /** Where each row begins, and where the last one ends. */
    this.begins = new Int32Array(lengths.length + 1);
    this.begins[0] = from + most[0];
    for (let row = 0; row < lengths.length; row += 1) this.begins[row + 1] = this.begins[row] + lengths[row];
  }

  /**
   * Numbers from 0.
   * @param {number} row
   */
  numbers(row) {
    return readNumbers(this.bytes, this.begins[row], this.begins[row + 1]);
  }

  /**
   * Numbers that may be below 0.
   * @param {number} row
   */
  signed(row) {
    const numbers = this.numbers(row);
    for (let at = 0; at < numbers.length; at += 1) numbers[at] = (numbers[at] >>> 1) ^ -(numbers[at] & 1);
    return numbers;
  }

  /**
   * A series that is kept as its differences.
   * @param {number} row
   */
  series(row) {
    const numbers = this.signed(row);
    for (let at = 1; at < numbers.length; at += 1) numbers[at] += numbers[at - 1];
    return numbers;
  }

  /**
   * Ticks that are kept as the ticks since the last and how many entries there are in each: the tick
   * of every entry.
   * @param {number} row
   * @param {number} count how many entries there are
   */
  ticks(row, count) {
    const pairs = this.numbers(row);
    const ticks = new Int32Array(count);
    let tick = 0;
    let at = 0;
    for (let pair = 0; pair < pairs.length; pair += 2) {
      tick += pairs[pair];
      ticks.fill(tick, at, at + pairs[pair + 1]);
      at += pairs[pair + 1];
    }
    return ticks;
  }

  /**
   * Names of which each is kept once.
   * @param {{words: string[], which: number}} names
   * @returns {string[]}
   */
  names({ words, which }) {
    return Array.from(this.numbers(which), (word) => words[word]);
  }
}

/**
 * Unpacks the rows of a page.
 * @param {string} text
 */
export async function openShelf(text) {
  const letters = atob(text);
  const bytes = new Uint8Array(letters.length);
  for (let at = 0; at < bytes.length; at += 1) bytes[at] = letters.charCodeAt(at);
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
  return new Shelf(new Uint8Array(await new Response(stream).arrayBuffer()));
}

/**
 * The numbers in these bytes: seven bits a byte, lowest first, the eighth says that more follow.
 * @param {Uint8Array} bytes
 * @param {number} from
 * @param {number} to
 */
function readNumbers(bytes, from, to) {
  let count = 0;
  for (let at = from; at < to; at += 1) count += bytes[at] < 0x80 ? 1 : 0;
  const numbers = new Int32Array(count);
  let next = 0;
  let number = 0;
  let shift = 0;
  for (let at = from; at < to; at += 1) {
    const byte = bytes[at];
    number |= (byte & 0x7f) << shift;
    shift += 7;
    if (byte < 0x80) {
      numbers[next] = number;
      next += 1;
      number = 0;
      shift = 0;
    }
  }
  return numbers;
}

/**
 * Where the first entry after this tick stands in ascending ticks.
 * @param {Int32Array} ticks
 * @param {number} tick
 */
export function after(ticks, tick) {
  let low = 0;
  let high = ticks.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (ticks[middle] <= tick) low = middle + 1;
    else high = middle;
  }
  return low;
}
