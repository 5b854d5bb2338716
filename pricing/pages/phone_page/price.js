// What a unit sells for: how a unit is read as numbers, the law of its price, and why the price is what it is.
"use strict";
const AGE_MARGINS = ["age line", "age since new", "age bend", "age hinges", "age steps"];
const DAYS_A_MONTH = 30.4375, DAYS_A_YEAR = 365.25, FIRST_OF_A_YEAR = 730120;

// ---- ages
const { line, OLDEST, MIDDLE_AGE, START_WEIGHT, POOL_WEIGHT } = by_age_formulas;
const GRID = () => range(OLDEST + 1);
const basis = (kind, knots, age) => (knots.length ? knots : [0]).map((knot) => by_age_formulas.basis(kind, knot, age));

/** The expected columns of a blank age. */
function mean_basis(kind, knots, weights) {
  const total = basis(kind, knots, 0).map(() => 0);
  weights.forEach((weight, age) => basis(kind, knots, age).forEach((value, k) => { total[k] += weight * value; }));
  return total;
}

function start_ages(grade) {
  const density = GRID().map((age) => by_age_formulas.usual_density(grade, age)), total = sum(density);
  return density.map((d) => d / total);
}

/** p(age | type, grade) of a blank age, over the ages 0 to 40. */
function weights_of(type_name, family, grade) {
  const table = N.price.encoding.ages, size = OLDEST + 1;
  const counts = (keep) => {
    const total = new Array(size).fill(0);
    table.counts.forEach((row, i) => { if (keep(i)) row.forEach((count, age) => { total[age] += count; }); });
    return total;
  };
  const same_grade = (i) => table.grades[i] === grade || grade < 0;
  const everyone = counts(() => true), all = sum(everyone);
  let weights;
  if (table.start) weights = start_ages(grade >= 0 ? C.conditions[grade] : "");
  else if (all > 0) weights = everyone.map((count) => count / all);
  else weights = GRID().map((age) => (age === rint(MIDDLE_AGE) ? 1 : 0));
  const levels = [
    [same_grade, START_WEIGHT],
    [(i) => same_grade(i) && table.families[i] === family && family !== "", POOL_WEIGHT],
    [(i) => same_grade(i) && table.types[i] === type_name && type_name !== "", POOL_WEIGHT],
  ];
  for (const [keep, strength] of levels) {
    const here = counts(keep), n = sum(here);
    weights = weights.map((weight, age) => (here[age] + strength * weight) / (n + strength));
  }
  return weights;
}

let kept_ages = new Map();
function kept_weights(type_name, family, grade) {
  const key = pair_key(type_name, family, grade);
  if (!kept_ages.has(key)) kept_ages.set(key, Object.assign(weights_of(type_name, family, grade), { columns: new Map() }));
  return kept_ages.get(key);
}

// ---- a unit as a row of numbers
function family_for_price(unit) {
  const name = word(unit, "type");
  if (!name) return "";
  const row = N.price.types_by.get(name);
  return row ? row.family : N.price.encoding.other.family ? family_by_name(name) : "";
}

const starts = (unit) => { const name = word(unit, "type"); return (name && N.price.types_by.get(name)) || N.price.encoding.other; };

/** The unit as the model reads it: of a plain word that leaves the kind open the mean over its kinds. */
function read(unit, day) {
  const name = word(unit, "type"), kinds = Object.entries(own(N.price.encoding.kinds, name) || { [name]: 1 }), rows = kinds.map(([type]) => read_kind({ ...unit, type }, day));
  const mean = (of) => sum(rows.map((row, k) => kinds[k][1] * of(row)));
  return { ...rows[0], columns: rows[0].columns.map((_, i) => mean((row) => row.columns[i])), offset: mean((row) => row.offset), start: mean((row) => row.start) };
}

/** The unit of a known kind as of a day (ordinal): columns, offset, start, missing by block, spread columns, months ahead, and its blank age. */
function read_kind(unit, day) {
  const encoding = N.price.encoding, age = number(unit, "age"), blank = !Number.isFinite(age);
  const family = family_for_price(unit);
  const weights = blank ? kept_weights(word(unit, "type"), family, C.conditions.indexOf(word(unit, "condition"))) : null;
  const parts = encoding.margins.map((margin) => read_margin(margin, unit, day, family, weights));
  if (encoding.smooth) parts.push([smooth_columns(encoding.smooth, parts), 0]);
  const unsaid = unsaid_of(unit), open_of = parts.map(([part, unknown]) => dot(part, part) + unknown), prior = starts(unit);
  const along = blank ? dot(weights, GRID().map(line)) : line(age);
  const columns = new Float64Array(N.price.mean.length), missing = [], partner = [];
  let offset = prior.log_price + prior.slope * along, at = 0;
  for (const block of encoding.blocks) {
    const [left] = parts[block.left], [right] = parts[block.right], { pairs, mean } = block;
    let square = 0;
    for (let i = 0; i < pairs.length; i++) {
      const [l, r] = pairs[i], value = block.right === 0 ? left[l] : left[l] * right[r];
      columns[at++] = value; offset += value * mean[i]; square += value * value;
    }
    const open = Math.max(open_of[block.left] * open_of[block.right] - square, 0);
    missing.push(open < 1e-9 || unsaid.has(missing.length) ? 0 : open);
    if (blank && by_age(block)) for (const [, r] of pairs) partner.push(block.right ? right[r] : 1);
  }
  const spread = encoding.spread_margins.flatMap((index) => parts[index][0]);
  return { columns, offset, start: prior.log_price, missing, spread, ahead: Math.max(day - encoding.last_day, 0) / DAYS_A_MONTH, blank, weights,
    slope: prior.slope, partner, unsaid };
}

const by_age = (block) => block.left < N.price.encoding.margins.length && AGE_MARGINS.includes(N.price.encoding.margins[block.left].kind);

/** Value of the day on the straight line through the middles of the months. */
function along_the_year(values, day) {
  const at = ((((day - FIRST_OF_A_YEAR) / DAYS_A_YEAR) * 12 - 0.5) % 12 + 12) % 12, month = Math.floor(at) % 12;
  return values[month] + (at - month) * (values[(month + 1) % 12] - values[month]);
}

function read_margin(margin, unit, day, family, weights) {
  const { kind, labels, values } = margin, last_day = N.price.encoding.last_day;
  if (kind === "one") return [[1], 0];
  if (kind === "word" || kind === "doubt") {
    const said_word = margin.column === "family" ? family : word(unit, margin.column);
    const [columns, unknown] = one_hot(said_word, labels, (labels.length > 0 && !(values.length && sum(values) <= 0)) || kind === "doubt");
    if (kind === "word") return [values.length && !said_word ? values : columns, unknown];
    const doubt = starts(unit).doubt;
    return [columns.map((value) => value * doubt), unknown * doubt * doubt];
  }
  if (kind === "words") return many_hot(word(unit, margin.column), labels, values);
  if (kind === "steps") {
    const rank = labels.indexOf(word(unit, margin.column));
    if (rank < 0 || !word(unit, margin.column)) return [values.map(() => 0), sum(values.map((usual) => usual * (1 - usual)))];
    return [values.map((usual, k) => (rank >= k + 1 ? 1 : 0) - usual), 0];
  }
  if (kind === "grade") { const rank = C.conditions.indexOf(word(unit, margin.column)); return [[rank < 0 ? 0 : rank - 2], 0]; }
  if (kind === "number" || kind === "hinges") return read_number(number(unit, margin.column), margin);
  if (AGE_MARGINS.includes(kind)) {
    if (!weights) return [basis(kind, values, number(unit, "age")), 0];
    if (!weights.columns.has(margin)) weights.columns.set(margin, mean_basis(kind, values, weights));
    return [weights.columns.get(margin), 0];
  }
  if (kind === "blank") return [[weights ? 1 : 0], 0];
  if (kind === "trend") return [[(day - last_day) / DAYS_A_YEAR], 0];
  if (kind === "walk") {
    const months = Math.max(last_day - day, 0) / DAYS_A_MONTH;
    return [range(values.length - 1).map((k) => -Math.sqrt(values[k + 1] - values[k]) * (months > (values[k + 1] + values[k]) / 2 ? 1 : 0)), 0];
  }
  if (kind === "season") { const turn = (2 * Math.PI * day) / DAYS_A_YEAR; return [[Math.cos(turn), Math.sin(turn)], 0]; }
  if (kind === "usual season") {
    const place = labels.indexOf(word(unit, "type"));
    if (place < 0) return [[0], 0];
    return [[along_the_year(values.slice(12 * place, 12 * place + 12), day)], 0];
  }
  if (kind === "anchor") { const name = word(unit, "type"), place = name ? labels.indexOf(name) : -1; return [[place < 0 ? 0 : values[place]], 0]; }
  throw new Error(`no reading called ${kind}`);
}

function one_hot(said_word, labels, blank_is_unknown) {
  const place = said_word || labels.includes("") ? labels.indexOf(said_word) : -1;
  return [labels.map((_, k) => (k === place ? 1 : 0)), place < 0 && (blank_is_unknown || said_word !== "") ? 1 : 0];
}

function many_hot(text, labels, usual) {
  const table = text === "" ? [...usual] : labels.map(() => 0);
  let unknown = 0;
  for (const entry of new Set(text.split(";").map((part) => part.trim()).filter(Boolean))) {
    const place = labels.indexOf(entry);
    if (place >= 0) table[place] = 1; else unknown += 1;
  }
  return [table.map((value, k) => value - usual[k]), unknown];
}

function read_number(value, margin) {
  const [centre, spread, low, high, ...knots] = margin.values;
  let x = margin.labels[0].startsWith("ln ") ? Math.log(value) : value;
  const blank = !Number.isFinite(x);
  x = (clip(blank ? centre : x, low, high) - centre) / spread;
  return margin.kind === "number" ? [[x], blank ? 1 : 0] : [knots.map((knot) => Math.max(x - knot, 0)), 0];
}

function smooth_columns(smooth, parts) {
  const x = smooth.margins.flatMap((index, i) => parts[index][0].map((value) => value * smooth.weights[i]));
  const near = smooth.landmarks.map((mark) => Math.exp((-0.5 * Math.max(dot(x, x) + dot(mark, mark) - 2 * dot(x, mark), 0)) / (smooth.length * smooth.length)));
  const out = smooth.turn[0].map(() => 0);
  near.forEach((value, i) => { const row = smooth.turn[i]; for (let k = 0; k < out.length; k++) out[k] += value * row[k]; });
  return out;
}

/** What a blank age or grade leaves open: variance of ln price, and what the mixture does to the mean price beside a normal of that variance. */
function left_open(rows) {
  const found = { variance: 0, tilt: 1 };
  if (rows.blank) add_open(found, age_curve(rows), rows.weights);
  let position = 0;
  N.price.encoding.blocks.forEach((block, index) => {
    const here = position; position += block.mean.length;
    if (!rows.unsaid.has(index)) return;
    const effects = block.mean.map((value, k) => value + N.price.mean[here + k]), doubt = block.mean.map((_, k) => N.price.variances[here + k]);
    const [each, within] = by_age_formulas.levels(N.price.encoding.margins[block.left], effects, doubt, block.scale);
    for (const [curve, shares] of each) add_open(found, curve, shares);
    found.variance += within;
  });
  return found;
}

/** Blocks of a word that a blank is a mixture of, where the unit leaves it blank. */
function unsaid_of(unit) {
  const found = new Set();
  N.price.encoding.blocks.forEach((block, index) => {
    const { margins } = N.price.encoding;
    if (by_age_formulas.is_mixture(margins, block) && !word(unit, margins[block.left].column)) found.add(index);
  });
  return found;
}

function add_open(found, curve, weights) {
  const middle = dot(weights, curve), variance = sum(curve.map((value, k) => weights[k] * (value - middle) ** 2));
  found.variance += variance;
  found.tilt *= sum(curve.map((value, k) => weights[k] * Math.exp(value - middle))) * Math.exp(-variance / 2);
}

function age_curve(rows) {
  const grid = GRID(), curve = grid.map((age) => rows.slope * line(age));
  let position = 0, used = 0;
  for (const block of N.price.encoding.blocks) {
    const width = block.mean.length;
    if (by_age(block) && width) {
      const margin = N.price.encoding.margins[block.left], by_knot = [];
      block.pairs.forEach(([l], k) => { by_knot[l] = (by_knot[l] || 0) + rows.partner[used + k] * (N.price.mean[position + k] + block.mean[k]); });
      grid.forEach((age) => { const row = basis(margin.kind, margin.values, age); by_knot.forEach((value, l) => { curve[age] += value * row[l]; }); });
      used += width;
    }
    position += width;
  }
  return curve;
}

// ---- the law of ln price
function law(unit, day) {
  const kinds = own(N.price.encoding.kinds, word(unit, "type")); if (kinds) return mixed(Object.keys(kinds).map((type) => law({ ...unit, type }, day)), Object.values(kinds));
  const key = JSON.stringify([day, N.price.encoding.margins.some((margin) => margin.column === "repair") ? unit : { ...unit, repair: null }]);
  if (!kept.has(key)) kept.set(key, law_of(read_kind(unit, day))); return kept.get(key);
}

/** S z for the columns z, by the factor of S: what the model knows, turned by this unit. */
function turned_by(columns) {
  const moved = moved_by(columns);
  return Float64Array.from(N.price.factor, (row) => { let total = 0; for (let k = 0; k < row.length; k++) total += row[k] * moved[k]; return total; });
}

/** z' times the factor. Units of one question differ in few columns, so that only these are gone through, from the nearest one whose sums are whole. */
const MOST_ANCHORS = 6; let anchors = [];
function moved_by(columns) {
  const factor = N.price.factor, p = columns.length;
  let near = null, fewest = p / 3;
  for (const one of anchors) {
    let changed = 0;
    for (let i = 0; i < p; i++) if (columns[i] !== one.columns[i]) changed += 1;
    if (changed < fewest) { near = one; fewest = changed; }
  }
  const moved = near ? near.moved.slice() : new Float64Array(p), from = near && near.columns;
  for (let i = 0; i < p; i++) {
    const change = from ? columns[i] - from[i] : columns[i];
    if (change !== 0) add_row(moved, factor[i], change);
  }
  if (!near) anchors = [{ columns, moved: moved.slice() }, ...anchors.slice(0, MOST_ANCHORS - 1)];
  return moved;
}
function add_row(moved, row, value) { for (let k = 0; k < row.length; k++) moved[k] += value * row[k]; }

function law_of(rows) {
  const Z = rows.columns, model = N.price, p = Z.length, moved = moved_by(Z), { mean, prior_variance } = model;
  const drift = model.walk * model.walk * rows.ahead, blocks = model.encoding.blocks;
  let open = drift, before = drift, learned = 0, center = rows.offset;
  rows.missing.forEach((value, g) => { open += value * model.scales[g] ** 2; before += value * blocks[g].scale ** 2; });
  for (let i = 0; i < p; i++) { learned += moved[i] * moved[i]; before += Z[i] * Z[i] * prior_variance[i]; center += Z[i] * mean[i]; }
  const blanks = left_open(rows);
  return finished({ center, scale: model.error * Math.exp(spread_of(rows)), spread: Math.sqrt(learned + open + blanks.variance),
    prior_spread: Math.sqrt(before), blank: blanks.variance, tilt: blanks.tilt });
}

/** The kinds that a plain word leaves open, the likeliest first, each with its share. */
function likely_kinds(name) {
  const row = N.price.types_by.get(name), usual = (row && row.plain && own(C.plain_kinds, name)) || {};
  return open_kinds_formulas.likely(usual, Object.fromEntries(Object.keys(usual).map((kind) => [kind, n_of_type(kind)])));
}

/** One law of the laws of what a unit may be, by mean and variance of ln price; spread as the first is. */
function mixed(laws, weights) {
  const all = sum(weights), share = weights.map((weight) => weight / all), center = sum(laws.map((one, i) => share[i] * one.center));
  const apart = sum(laws.map((one, i) => share[i] * (one.center - center) ** 2)), head = laws[0];
  return finished({ center, scale: head.scale, spread: Math.sqrt(head.spread ** 2 + apart), prior_spread: head.prior_spread, blank: head.blank + apart, tilt: head.tilt });
}

/** The law with its summed scale and the share of it that is not the unit's own. */
function finished(one) {
  const total = one.scale ** 2 + one.spread ** 2; return { ...one, total: Math.sqrt(total), share: one.spread ** 2 / Math.max(total, 1e-300),
    removed: clip(1 - (one.spread ** 2 - one.blank) / Math.max(one.prior_spread ** 2, 1e-300), 0, 1) };
}

const spread_of = (rows) => clip(dot(rows.spread, N.price.gamma), -C.most_spread, C.most_spread);

// ---- quantiles of the t variable plus the normal one, in units of the summed scale
const MOST_LOGIT = 8;

/** Where chances stand in the table: sign, place and part of each. */
function places_in_table(chances) {
  const n_logits = N.price.table.values[0].length, step = MOST_LOGIT / (n_logits - 1), sign = new Float64Array(chances.length),
    low = new Int32Array(chances.length), part = new Float64Array(chances.length);
  chances.forEach((prob, i) => {
    const logit = clip(Math.log(prob) - Math.log1p(-prob), -MOST_LOGIT, MOST_LOGIT), place = Math.abs(logit) / step;
    low[i] = Math.min(Math.floor(place), n_logits - 2); part[i] = place - low[i]; sign[i] = Math.sign(logit);
  });
  return { sign, low, part };
}

/** The table's row for a share of the spread that is not the unit's own. */
function row_of_share(share) {
  const values = N.price.table.values, n_shares = values.length, at = clip(share, 0, 1) * (n_shares - 1), row = Math.min(Math.floor(at), n_shares - 2), mix = at - row;
  const few = values[row], more = values[row + 1], out = new Float64Array(few.length);
  for (let j = 0; j < out.length; j++) out[j] = few[j] * (1 - mix) + more[j] * mix;
  return out;
}

function quantiles(share, { sign, low, part }) {
  const row = row_of_share(share), out = new Float64Array(sign.length);
  for (let i = 0; i < out.length; i++) out[i] = sign[i] * (row[low[i]] * (1 - part[i]) + row[low[i] + 1] * part[i]);
  return out;
}
const quantile = (share, prob) => quantiles(share, places_in_table([prob]))[0];

let kept_places = new Map(); // the middles of 199 equal parts, and the points of each dimension
function places_of_points(dimension) {
  const [low, high] = C.cut;
  if (!kept_places.has(dimension)) {
    const points = dimension === "mean" ? range(199).map((i) => (i + 0.5) / 199) : lattice(dimension);
    kept_places.set(dimension, places_in_table(Float64Array.from(points, (point) => low + (high - low) * point)));
  }
  return kept_places.get(dimension);
}

function mean_price(one) {
  if (one.mean === undefined) {
    let all = 0;
    for (const value of quantiles(one.share, places_of_points("mean"))) all += Math.exp(one.total * value);
    one.mean = (Math.exp(one.center) * all) / 199 * N.price.lift * one.tilt;
  }
  return one.mean;
}

const drawn = new WeakMap();
function draws(one, dimension) {
  const own_draws = drawn.get(one) || new Map();
  drawn.set(one, own_draws);
  if (!own_draws.has(dimension)) own_draws.set(dimension, quantiles(one.share,
    places_of_points(dimension)).map((value) => N.price.lift * one.tilt * Math.exp(one.center) * Math.exp(one.total * value)));
  return own_draws.get(dimension);
}

function range_of(one, coverage) {
  let low = 0, high = 0;
  for (const upto of [...C.coverages.filter((c) => c < coverage), coverage]) {
    const half = quantile(one.share, (1 + upto) / 2);
    low = Math.max(low, interp(upto, C.coverages, N.price.ranges.low) * half);
    high = Math.max(high, interp(upto, C.coverages, N.price.ranges.high) * half);
  }
  return [Math.exp(one.center - one.total * low), Math.exp(one.center + one.total * high)];
}

const n_of_type = (type_name) => own(N.price.types, type_name) || 0;
function n_of_family(type_name) {
  const row = N.price.types_by.get(type_name) || N.price.encoding.other;
  return row.family ? (own(N.price.families, row.family) || 0) - n_of_type(type_name) : 0;
}
