// One unit on the market: what is not known about it, how the asks work, and asks as people write them.
"use strict";
const { exposure, gently, rounded, steps } = asks_formulas;

const { gross_of, haggled, log_calls, net_of, off_at } = selling_formulas;

/** What is not known: q, ln rate and their weight, each (L,); the law of the asks runs fastest. */
function latent_of(demand) {
  const { buyer_points: z, shape_points: zx, buyer_weights: wz, shape_weights: wzx } = C, E = demand.eta.length, L = z.length * zx.length * E, q = new Float64Array(L), level = new Float64Array(L),
    weight = new Float64Array(L);
  for (let l = 0; l < L; l++) {
    const e = l % E, j = Math.floor(l / E) % zx.length, i = Math.floor(l / E / zx.length);
    q[l] = demand.sd * z[i]; level[l] = demand.log_rate[e] + demand.log_rate_sd * zx[j]; weight[l] = wz[i] * wzx[j] * demand.law_weight[e];
  }
  return { q, level, weight };
}

/** Sales a day at each of K asks, ln(ask / estimate): (L, K). */
function rates_of(demand, { level }, logs) {
  const { buyer_points: z, shape_points: zx } = C, E = demand.eta.length, X = zx.length, K = logs.length, rate = new Float64Array(level.length * K), speed = level.map(Math.exp);
  for (let i = 0; i < z.length; i++) for (let e = 0; e < E; e++) for (let k = 0; k < K; k++) {
    const calls = Math.exp(log_calls(logs[k] - demand.sd * z[i], demand.eta[e], demand.most[e]));
    for (let j = 0; j < X; j++) { const l = (i * X + j) * E + e; rate[l * K + k] = speed[l] * calls; }
  }
  return rate;
}

function best(demand, at, past) {
  const days = steps(at.after - past.days, past.spells), most = Math.min(at.highest / demand.estimate, C.ratios[C.ratios.length - 1]);
  const ratios = [...C.ratios.filter((ratio) => ratio < most * (1 - 1e-9)), most]; // the ceiling itself among them
  const sale = sale_of(demand, at, days, ratios, past), found = solve(sale, track_of(demand, at, days, ratios, past, sale.latent));
  const planned = at_asks(demand, at, gently(found.map((k) => rounded(ratios[k] * demand.estimate, at.highest)), at.highest, past.spells), past);
  if (!days.length) return planned;
  const usual = at_asks(demand, at, gently(asks_formulas.usual_asks(demand.estimate, at.habit, at.highest, days, past.spells), at.highest, past.spells), past);
  const gain = Array.from(usual.course.value_by_latent, (each, l) => planned.course.value_by_latent[l] - each), weight = Array.from(sale.weight);
  return { ...(usual_way_formulas.surely_better(gain, weight, demand.eta.length) ? planned : usual), usual };
}

function at_asks(demand, at, asks, past) {
  const days = steps(at.after - past.days, past.spells), different = [...new Set(asks)].sort((a, b) => a - b), place = asks.map((ask) => different.indexOf(ask));
  const sale = sale_of(demand, at, days, days.length ? different.map((ask) => Math.max(ask, 1e-9) / demand.estimate) : [1], past);
  const course = along(sale, place), starts_at = [0, ...cumsum(days)].slice(0, days.length);
  return { starts: starts_at, asks, place, value: course.value, sale, course };
}

/** Mean days until it is sold by its plan or cleared. */
function days_held(listing) {
  const { sale, place } = listing, zero = (numbers) => numbers.map(() => 0);
  return -along({ ...sale, net: zero(sale.net), clear: zero(sale.clear), holding: 1 }, place).value[0];
}

function chance_by(listing, days) {
  const step = searchsorted(listing.starts, days) - 1;
  if (step < 0) return 0;
  return Math.min(sum(listing.course.sold.slice(0, step)) + sold_of(inside(listing, step), Math.min(days - listing.starts[step], listing.sale.days[step])), 1);
}

const median_days = (listing) => day_sold(listing, 0.5);

/** Days by which this share of units like it are sold, by its plan. */
function day_sold(listing, share) {
  const upto = cumsum(listing.course.sold), step = searchsorted(upto, share, true);
  if (step >= upto.length) return sum(listing.sale.days);
  const wanted = share - (step ? upto[step - 1] : 0);
  const [alive, rate] = inside(listing, step), all = sum(alive);
  let days = 0;
  for (let i = 0; i < 8; i++) {
    let left = 0, going = 0;
    for (let l = 0; l < alive.length; l++) { const still = alive[l] * Math.exp(-days * rate[l]); left += still; going += still * rate[l]; }
    days += (wanted - (all - left)) / Math.max(going, 1e-300);
  }
  return listing.starts[step] + Math.min(days, listing.sale.days[step]);
}

function clearing_price(listing, demand, at) {
  const left = listing.course.left_by_latent;
  return (at.share * demand.estimate * dot(left, listing.sale.latent.q.map(Math.exp))) / Math.max(sum(left), 1e-300);
}

function sale_prices(listing, demand, share, full_share, off_sd) {
  const prices = [], chance = [];
  listing.asks.forEach((ask, t) => { for (const [price, part] of haggled(ask, off_at(demand, Math.log(Math.max(ask, 1e-9) / demand.estimate)), full_share, off_sd)) {
    prices.push(price); chance.push(listing.course.sold[t] * part);
  } });
  listing.sale.latent.q.forEach((q, l) => { prices.push(share * demand.estimate * Math.exp(q)); chance.push(listing.course.left_by_latent[l]); });
  const order = range(prices.length).sort((i, j) => prices[i] - prices[j] || i - j), all = Math.max(sum(chance), 1e-300);
  return [order.map((i) => prices[i]), order.map((i) => chance[i] / all)];
}

/** What the mean sale along the plan rises by as ln of what the unit is worth does. */
function money_per_ln({ asks, course, sale }, demand, share, full_share, off_sd) {
  const of_ask = asks.map((ask) => sum(haggled(ask, off_at(demand, Math.log(Math.max(ask, 1e-9) / demand.estimate)), full_share, off_sd).map(([price, part]) => price * part)));
  const brought = (q, l) => sum(of_ask.map((money, t) => money * course.sold_by_latent[t][l])) + share * demand.estimate * Math.exp(q) * course.left_by_latent[l];
  return sum(Array.from(sale.latent.q, (q, l) => q * brought(q, l))) / Math.max(demand.sd ** 2, 1e-12);
}

/** Weight still unsold when a step begins, and sales a day within it. */
function inside(listing, step) {
  const { sale, course } = listing, k = listing.place[step], K = sale.net.length;
  const alive = sale.weight.map((weight, l) => { let gone = 0; for (let t = 0; t < step; t++) gone += course.sold_by_latent[t][l]; return weight - gone; });
  return [alive, Float64Array.from(alive, (_, l) => sale.rate[l * K + k] * sale.pace[step])];
}

function sold_of([alive, rate], days) {
  let chance = 0;
  for (let l = 0; l < alive.length; l++) chance -= alive[l] * Math.expm1(-days * rate[l]);
  return chance;
}

function sale_of(demand, at, days, ratios, past) {
  const latent = latent_of(demand), { q } = latent, L = q.length, logs = ratios.map(Math.log), rate = rates_of(demand, latent, logs);
  let weight = latent.weight;
  if (past.spells.length) {
    const told = new Float64Array(L);
    let begin = 0;
    for (const [length, ask] of past.spells) {
      const spell = exposure(at.shape, begin, begin + length), one = rates_of(demand, latent, [Math.log(Math.max(ask, 1e-9) / demand.estimate)]);
      for (let l = 0; l < L; l++) told[l] += spell * one[l];
      begin += length;
    }
    const logged = weight.map((w, l) => Math.log(Math.max(w, 1e-300)) - told[l]), top = Math.max(...logged), raw = logged.map((value) => Math.exp(value - top)), all = sum(raw);
    weight = raw.map((value) => value / all);
  }
  const net = ratios.map((ratio, k) => net_of(at, ratio * demand.estimate * (1 - off_at(demand, logs[k])))),
    clear = q.map((one) => net_of(at, at.share * demand.estimate * Math.exp(one)));
  const begins = [0, ...cumsum(days)], pace = days.map((length,
    t) => { const start = past.days + begins[t]; return exposure(at.shape, start, start + length) / length; });
  return { net, rate, weight, clear, days, holding: at.holding, pace, latent };
}


/** States by the one constant ask that would have told as much since now. first, last: the states that any of the asks can lead to. */
function track_of(demand, at, days, ratios, past, latent) {
  const states = C.states, begins = [0, ...cumsum(days)], each = states[1] - states[0];
  const told = [0, ...cumsum(days.map((d, t) => { const start = past.days + begins[t]; return exposure(at.shape, start, start + d); }))];
  const ends = [Math.log(ratios[0]),
    Math.log(ratios[ratios.length - 1])].map((log) => clip((log - states[0]) / each, 0, states.length - 1));
  return {
    told, rate: rates_of(demand, latent, states), grid: states.length, width: ratios.length,
      moves: moves_of(demand, told, ratios),
    first: Math.max(Math.floor(ends[0] - 1e-9), 0), last: Math.min(Math.ceil(ends[1] + 1e-9), states.length - 1),
  };
}

/** Positions of the next states, (T, S, K); the same for all units with the same clock, so kept. */
let kept_moves = new Map();
function moves_of({ eta, most, law_weight }, told, ratios) {
  const key = pair_key(ratios.length, ratios[ratios.length - 1], ...eta, ...most, ...law_weight, ...told);
  if (kept_moves.has(key)) return kept_moves.get(key);
  const states = C.states, calls = (x) => sum(Array.from(eta, (one, e) => law_weight[e] * Math.exp(log_calls(x, one, most[e])))),
    asks = ratios.map((ratio) => calls(Math.log(ratio))), before_now = states.map(calls), logs = before_now.map((one) => -Math.log(one)),
    places = states.map((_, i) => i), out = new Float64Array((told.length - 1) * states.length * asks.length);
  let i = 0;
  for (let t = 0; t + 1 < told.length; t++) for (const past_told of before_now) for (const ask_told of asks) {
    out[i++] = interp(-Math.log((told[t] * past_told + (told[t + 1] - told[t]) * ask_told) / told[t + 1]), logs, places);
  }
  if (kept_moves.size > 40) kept_moves.clear();
  kept_moves.set(key, out);
  return out;
}
