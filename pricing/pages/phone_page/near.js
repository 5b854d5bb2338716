// What was not understood, and the known word most like it: the matching of Python's difflib, on code points.
"use strict";

/** The known word most like this one, at least as like as `cutoff`; null where none is. */
function nearest(told, known, cutoff = 0.6) {
  const wanted = Array.from(told.toLowerCase());
  let top = null;
  for (const name of known) {
    const lower = name.toLowerCase(), like = likeness(Array.from(lower), wanted, cutoff);
    if (like >= cutoff && (top === null || like > top[0] || (like === top[0] && lower > top[1]))) top = [like, lower];
  }
  return top && known.find((name) => name.toLowerCase() === top[1]);
}

/** Twice the signs that match, over all signs; 0 as soon as it cannot reach `cutoff`. */
function likeness(a, b, cutoff) {
  const all = a.length + b.length;
  if (!all) return 1;
  const counts = new Map();
  for (const sign of b) counts.set(sign, (counts.get(sign) || 0) + 1);
  let shared = 0;
  for (const sign of a) { const left = counts.get(sign) || 0; if (left > 0) { shared += 1; counts.set(sign, left - 1); } }
  if ((2 * Math.min(a.length, b.length)) / all < cutoff || (2 * shared) / all < cutoff) return 0;
  return (2 * matching(a, b, places_of(b))) / all;
}

/** Where each sign stands in b; in a long text, signs that stand in more than a hundredth of the places say nothing. */
function places_of(b) {
  const places = new Map();
  b.forEach((sign, j) => (places.has(sign) ? places.get(sign).push(j) : places.set(sign, [j])));
  if (b.length >= 200) for (const [sign, at] of places) if (at.length > Math.floor(b.length / 100) + 1) places.delete(sign);
  return places;
}

/** Signs in the longest common stretch, and in those to its left and right. */
function matching(a, b, places) {
  const todo = [[0, a.length, 0, b.length]];
  let matched = 0;
  while (todo.length) {
    const [a_low, a_high, b_low, b_high] = todo.pop(), [i, j, size] = longest(a, b, places, a_low, a_high, b_low, b_high);
    if (!size) continue;
    matched += size;
    if (a_low < i && b_low < j) todo.push([a_low, i, b_low, j]);
    if (i + size < a_high && j + size < b_high) todo.push([i + size, a_high, j + size, b_high]);
  }
  return matched;
}

function longest(a, b, places, a_low, a_high, b_low, b_high) {
  let best_i = a_low, best_j = b_low, size = 0, lengths = new Map();
  for (let i = a_low; i < a_high; i++) {
    const next = new Map();
    for (const j of places.get(a[i]) || []) {
      if (j < b_low) continue;
      if (j >= b_high) break;
      const length = (lengths.get(j - 1) || 0) + 1;
      next.set(j, length);
      if (length > size) { best_i = i - length + 1; best_j = j - length + 1; size = length; }
    }
    lengths = next;
  }
  while (best_i > a_low && best_j > b_low && a[best_i - 1] === b[best_j - 1]) { best_i -= 1; best_j -= 1; size += 1; }
  while (best_i + size < a_high && best_j + size < b_high && a[best_i + size] === b[best_j + size]) size += 1;
  return [best_i, best_j, size];
}

// ---- what was not known and what was taken for it, one sentence each
function offer_warnings(question, [row, known]) {
  const fault = String(question.unit.fault || ""), type_name = type_of(question), out = [...(question.warnings || []), ...not_known(question)];
  if (fault && !known) {
    const near = nearest_faults(fault, type_name);
    out.push(`I do not know the fault "${fault}"${near.length ? `; nearest known: ${near.join(", ")}` : ""}. Answered as "not known".`);
  }
  if (!C.types_by.has(type_name) && !n_of_type(type_name)) {
    const guess = nearest(type_name, [...C.types_by.keys()]);
    out.push(`I have no figures for "${type_name}": a wide guess${guess ? `. Did you mean ${guess}?` : "."}`);
  }
  if (row.fault === UNTOLD && !fault) out.push("No fault was told: answered as not known.");
  return out;
}

function ask_warnings(question) {
  const type_name = type_of(question), n_type = n_of_type(type_name), out = [...(question.warnings || []), ...not_known(question)];
  if (!("price" in question.known)) {
    if (!N.price.types_by.has(type_name) && own(N.price.types, type_name) === undefined) {
      const guess = nearest(type_name, [...N.price.types_by.keys()]);
      out.push(`no ${type_name} in your record nor in the starting figures: the range is wide${guess ? `; did you mean ${guess}?` : ""}`);
    } else if (n_type === 0 && N.price.n) out.push(`no sale of a ${type_name} of yours yet: the range is wide`);
  }
  return out;
}

/** One sentence where the question is asked as somebody whose sales the fit does not know. */
function not_known(question) {
  const name = String(question.unit.owner || ""), { people, named } = N;
  if (!name || people.includes(name) || "price" in question.known) return [];
  if (people.length && named.includes(name)) return [`no sale of ${name} tells yet: the group's prices, less sure`];
  if (named.includes(name)) return []; // a record of one: there is no group
  const guess = nearest(name, [...people, ...named]);
  return [`nobody named ${name} in the record yet: ${people.length ? "the group's numbers, less sure" : "the numbers of the whole record"}${guess ? `; did you mean ${guess}?` : ""}`];
}

const IDLE = ["won", "t", "or", "not"];

/** Up to three known faults of this kind of appliance that are spelled or worded most like this one. */
function nearest_faults(fault, type_name) {
  const kinds = fault_families(type_name, family_of(type_name));
  const names = [...new Set([
    ...C.faults.filter((row) => kinds.includes(row.family)).map((row) => row.fault),
    ...N.repair.fixed_of.filter(([what, which]) => what && which === type_name).map(([what]) => what),
  ])];
  const in_words = (text) => new Set(split_words(text.toLowerCase().replaceAll("'", " ")));
  const words = in_words(fault), shares = (name) => [...in_words(name.replaceAll("(", " "))].filter((one) => words.has(one)).length;
  const close = [...names].sort((a, b) => shares(b) - shares(a)).filter((name) => [...in_words(name)].some((one) => words.has(one) && !IDLE.includes(one)));
  const heard_as = nearest(squash(fault), Object.keys(C.fault_words), 0.75), spelled = nearest(fault, names, 0.4);
  return [...new Set([...(heard_as ? [C.fault_words[heard_as]] : []), ...(spelled ? [spelled] : []), ...close.slice(0, 3)])].slice(0, 3);
}
