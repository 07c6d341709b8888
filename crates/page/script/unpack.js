// Rows of numbers as the page's file holds them: base64, deflated, seven bits a byte.

/**
 * @param {string} text
 * @returns {Promise<Uint8Array>}
 */
async function inflated(text) {
  const bytes = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

/**
 * Numbers from 0.
 * @param {string} text
 * @returns {Promise<Int32Array>}
 */
export async function unpackNumbers(text) {
  const bytes = await inflated(text);
  let count = 0;
  for (const byte of bytes) count += byte < 0x80 ? 1 : 0;
  const numbers = new Int32Array(count);
  let at = 0;
  let number = 0;
  let shift = 0;
  for (const byte of bytes) {
    number |= (byte & 0x7f) << shift;
    shift += 7;
    if (byte < 0x80) {
      numbers[at] = number;
      at += 1;
      number = 0;
      shift = 0;
    }
  }
  return numbers;
}

/**
 * Numbers that may be below 0.
 * @param {string} text
 * @returns {Promise<Int32Array>}
 */
export async function unpackSigned(text) {
  const numbers = await unpackNumbers(text);
  for (let at = 0; at < numbers.length; at += 1) {
    numbers[at] = (numbers[at] >>> 1) ^ -(numbers[at] & 1);
  }
  return numbers;
}

/**
 * A series that is kept as its differences.
 * @param {string} text
 * @returns {Promise<Int32Array>}
 */
export async function unpackSeries(text) {
  const numbers = await unpackSigned(text);
  for (let at = 1; at < numbers.length; at += 1) numbers[at] += numbers[at - 1];
  return numbers;
}

/**
 * Ticks that are kept as the ticks since the last and how many entries there are in each: the tick
 * of every entry.
 * @param {string} text
 * @param {number} count how many entries there are
 * @returns {Promise<Int32Array>}
 */
export async function unpackTicks(text, count) {
  const pairs = await unpackNumbers(text);
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
