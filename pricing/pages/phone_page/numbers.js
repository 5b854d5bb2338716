// The numbers of the last fit and small sums. `use(given)` opens the body that the page carries; every formula reads it here.
// One function per function of the Python, by the same name; here a table of one unit where Python has tables of many.
"use strict";
let N = null, C = null, S = null, H = null; // fitted numbers; constants and starting figures; the person's settings; what the reader of words needs
let kept = new Map();             // laws that were worked out for this question already

function use(given) {
  N = given.numbers; C = given.constants; S = given.settings; H = given.heard;
  N.price.types_by = new Map(N.price.encoding.types.map((row) => [row.type, row]));
  N.price.prior_variance = Float64Array.from(N.price.encoding.blocks.flatMap((block) => block.mean.map(() => block.scale ** 2)));
  N.price.mean = Float64Array.from(N.price.mean);
  N.price.table.values = N.price.table.values.map((row) => Float64Array.from(row));
  C.types_by = new Map(C.types.map((row) => [row.type, row]));
  for (const name of ["fix", "parts", "hours", "sell"]) prepare_effects(N.repair[name]);
  N.repair.heard = in_columns(N.repair.heard);
  N.repair.ended = N.repair.fixed_of.map(([fault, type, ended, fixed]) => [[fault, type], [ended, fixed]]);
  N.price.factor = N.price.factor.map((row, i) => Float64Array.from(row, (whole) => whole * N.price.unit[i]));
  N.price.variances = N.price.factor.map((row) => row.reduce((total, value) => total + value * value, 0));
  [N.repair.tree, N.looked, anchors] = [null, new Map(), []];
  for (const forget of [kept, kept_families, kept_moves, kept_ages, kept_places, kept_premiums, past_rows]) forget.clear();
}

/** What was heard, [column, word, times], by column and word. */
function in_columns(rows) {
  const out = {};
  for (const [column, what, times] of rows) (out[column] = out[column] || []).push([what, times]);
  return Object.fromEntries(Object.entries(out).map(([column, words]) => [column, Object.fromEntries(words)]));
}

const own = (table, name) => (Object.prototype.hasOwnProperty.call(table, name) ? table[name] : undefined);
const pair_key = (...words) => JSON.stringify(words);
const { clip, general, round: rint, sum, less: by_word } = py, { standing } = standing_formulas;
const dot = (a, b) => { let total = 0; for (let i = 0; i < a.length; i++) total += a[i] * b[i]; return total; };
const range = (n) => Array.from({ length: n }, (_, i) => i);
const known_number = (value) => typeof value === "number" && Number.isFinite(value);

function interp(x, xs, ys) {
  const last = xs.length - 1;
  if (x <= xs[0]) return ys[0];
  if (x >= xs[last]) return ys[last];
  let low = 0, high = last;
  while (high - low > 1) { const middle = (low + high) >> 1; if (xs[middle] <= x) low = middle; else high = middle; }
  return ((ys[low + 1] - ys[low]) / (xs[low + 1] - xs[low])) * (x - xs[low]) + ys[low];
}

/** First place at which `x` could stand in rising values. */
function searchsorted(values, x, right = false) {
  const place = values.findIndex((value) => (right ? value > x : value >= x));
  return place < 0 ? values.length : place;
}

function cumsum(values) { let total = 0; return values.map((value) => (total += value)); }

// ---- days: ordinals as Python counts them, day 1 is 1 January of year 1
const EPOCH = 719163;
const ordinal = (iso) => Math.round(Date.UTC(+iso.slice(0, 4), +iso.slice(5, 7) - 1, +iso.slice(8, 10)) / 864e5) + EPOCH;
const isoformat = (day) => new Date((day - EPOCH) * 864e5).toISOString().slice(0, 10);

// ---- one unit: words and numbers by column
const word = (unit, name) => { const value = unit[name]; return value === undefined || value === null || is_numeric(name) ? "" : String(value); };
const number = (unit, name) => { const value = unit[name]; return value === undefined || value === null || !is_numeric(name) ? NaN : Number(value); };
const is_numeric = (name) => C.numeric.includes(name);
const type_of = (question) => String(question.unit.type || "");

/** The ages it may have: one, several where several years are named, or [null] where nothing is known. */
function ages_of(question, as_of) {
  const { made, unit } = question;
  return made && made.length ? made.map((year) => Math.max(+as_of.slice(0, 4) - year, 0)) : [py.nil(unit.age) ? null : Number(unit.age)];
}

function with_unit(question, columns) {
  const unit = { ...question.unit, ...columns };
  for (const name of Object.keys(unit)) if (unit[name] === null || unit[name] === undefined) delete unit[name];
  return { ...question, unit, made: "age" in columns ? [] : question.made };
}

// ---- points that fill a cube evenly, and the normal law at them
const remembered = (make) => { const found = new Map(); return (key) => { if (!found.has(key)) found.set(key, make(key)); return found.get(key); }; };
const lattice = remembered((dimension) => Float64Array.from({ length: C.n_points }, (_, i) => (((i * C.generator[dimension]) % C.n_points) + 0.5) / C.n_points));
const normal_points = remembered((dimension) => lattice(dimension).map(normal_law_formulas.quantile));

/** The smallest value at or below which the weight is at least `chance` of the whole: buckets first, then only one bucket is sorted. */
function quantile_of(values, weights, chance) {
  const n = values.length;
  let low = Infinity, high = -Infinity, total = 0;
  for (let i = 0; i < n; i++) { const v = values[i]; if (v < low) low = v; if (v > high) high = v; total += weights[i]; }
  if (!(high > low)) return low;
  const wanted = chance * total - 1e-12, K = 2048, each = K / (high - low), buckets = new Float64Array(K);
  const bucket = (v) => Math.min(K - 1, Math.floor((v - low) * each));
  for (let i = 0; i < n; i++) buckets[bucket(values[i])] += weights[i];
  let reached = 0, b = 0;
  while (b < K - 1 && reached + buckets[b] < wanted) reached += buckets[b++];
  const from = Math.max(b - 1, 0); // one bucket earlier, for sums in another order differ in the last digit
  if (from < b) reached -= buckets[from];
  const rest = [];
  for (let i = 0; i < n; i++) if (bucket(values[i]) >= from && bucket(values[i]) <= b + 1) rest.push(i);
  rest.sort((i, j) => values[i] - values[j]);
  for (const i of rest) { reached += weights[i]; if (reached >= wanted) return values[i]; }
  return high;
}

// ---- the words of numbers and questions: those of pricing/wording
const money = (value) => plain_words.money(value, S.place);
const day_text = (iso) => plain_words.day(iso);
const said_back = ({ unit, known, made }) => question_words.said_back(unit, known, made || [], S.place);
