// How numbers and states are reported. Every number has its unit.

/**
 * 1728 as 1,728.
 * @param {number} number
 */
export function grouped(number) {
  return String(Math.round(number)).replace(/\B(?=(\d{3})+$)/g, ",");
}

/**
 * Seconds with one decimal, or two where one would not be exact.
 * @param {number} ticks
 * @param {number} ticksPerSecond
 */
export function seconds(ticks, ticksPerSecond) {
  const hundredths = Math.round((ticks * 100) / ticksPerSecond);
  const whole = grouped(Math.floor(hundredths / 100));
  const rest = hundredths % 100;
  return rest % 10 === 0 ? `${whole}.${rest / 10} s` : `${whole}.${String(rest).padStart(2, "0")} s`;
}

/**
 * Seconds and ticks.
 * @param {number} ticks
 * @param {number} ticksPerSecond
 */
export function time(ticks, ticksPerSecond) {
  return `${seconds(ticks, ticksPerSecond)} (${grouped(ticks)} t)`;
}

/**
 * @param {number} number
 * @param {string} one
 * @param {string} [many]
 */
export function count(number, one, many = `${one}s`) {
  return `${grouped(number)} ${number === 1 ? one : many}`;
}

/**
 * An element with text in it. Names are untrusted: this is the only way in which they get into the
 * page.
 * @template {keyof HTMLElementTagNameMap} K
 * @param {K} tag
 * @param {string} [text]
 * @param {string} [className]
 * @returns {HTMLElementTagNameMap[K]}
 */
export function element(tag, text = "", className = "") {
  const made = document.createElement(tag);
  if (text) made.textContent = text;
  if (className) made.className = className;
  return made;
}

/**
 * The element of this id. It is in the template.
 * @template {HTMLElement} T
 * @param {string} id
 * @param {new () => T} sort
 * @returns {T}
 */
export function byId(id, sort) {
  const found = document.getElementById(id);
  if (!(found instanceof sort)) throw new Error(`the page has no ${id}`);
  return found;
}
