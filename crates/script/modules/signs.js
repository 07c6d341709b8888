// A short sign for each kind of goods, for where there is no room for its name.

/**
 * The first letter of each name, or as many as make the sign one of its own: B, Bm, Bn.
 * @param {import("./run.js").Kind[]} kinds
 * @returns {string[]}
 */
export function goodsSigns(kinds) {
  const taken = new Set();
  return kinds.map(({ name }) => {
    const words = name.split(/[^\p{L}\p{N}]+/u).filter(Boolean).map((word) => [...word.toLowerCase()]);
    const first = (words[0]?.[0] ?? "?").toUpperCase();
    const tries = ["", ...words.slice(1).map(([letter]) => letter), ...words.flat().slice(1)];
    let sign = tries.map((more) => first + more).find((each) => !taken.has(each));
    for (let number = 2; !sign; number += 1) if (!taken.has(first + number)) sign = first + number;
    taken.add(sign);
    return sign;
  });
}
