// How often what stands beside the map is written, so that writing it never keeps goods from moving.

/** So many milliseconds pass at least before it is written anew: nobody reads that fast. */
const LEAST_MS = 40;
/** And so many times as long as the frame took in which it was written. */
const TIMES_AS_LONG = 4;
/** But never more than so many milliseconds. */
const MOST_MS = 400;

/** What is due, and the time before which it has to wait. @type {Set<() => void>} */
const due = new Set();
let notBefore = -Infinity;
let timer = 0;
/** Whether something was written in the frame that goes on: what else comes in it is written along. */
let isFresh = false;

/** Writes all that is due, and finds how long the frame takes. */
function write() {
  clearTimeout(timer);
  timer = 0;
  const acts = [...due];
  due.clear();
  const begun = performance.now();
  notBefore = begun + LEAST_MS;
  if (!isFresh) {
    isFresh = true;
    requestAnimationFrame(() => {
      isFresh = false;
      notBefore = begun + Math.min(MOST_MS, Math.max(LEAST_MS, TIMES_AS_LONG * (performance.now() - begun)));
    });
  }
  acts.forEach((act) => act());
}

/**
 * At once, but not in every frame: what is written lays out and paints half of the page.
 * @param {() => void} act
 */
export function seldom(act) {
  return () => {
    due.add(act);
    const wait = notBefore - performance.now();
    if (isFresh || wait <= 0) write();
    else timer ||= window.setTimeout(() => requestAnimationFrame(write), wait);
  };
}

/** Whether nothing is left to be written. */
export function isWritten() {
  return due.size === 0;
}
