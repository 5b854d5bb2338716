// At listing: what to ask, what it will really sell for, the days, the dated plan and the least to take.
"use strict";
const WEEK = 7, ASK_DAYS = [7, 14, 30, 60];

// ---- how long it waits, and what buyers talk down
const sale_family = (name) => own(N.saletime.family_of_type, name) || (name ? family_by_name(name) : "");

function market(unit, day) {
  const model = N.saletime, name = word(unit, "type"), family = sale_family(name), F = model.families.length, T = model.types.length;
  const f = model.families.indexOf(family), t = model.types.indexOf(name), angle = (2 * Math.PI * day) / 365.25, row = [[0, 1]];
  if (f >= 0) row.push([1 + f, 1]);
  if (t >= 0) row.push([1 + F + t, 1]);
  if (f >= 0) row.push([1 + F + T + 2 * f, Math.cos(angle)], [1 + F + T + 2 * f + 1, Math.sin(angle)]);
  const at = (i, j) => (i >= j ? model.covariance[i][j] : model.covariance[j][i]), rate = own(model.log_rates, name);
  let center = 0, variance = 0, with_eta = 0;
  for (const [i, a] of row) {
    center += a * model.coefficients[i]; with_eta += a * model.with_eta[i];
    for (const [j, b] of row) variance += a * b * at(i, j);
  }
  variance += (t >= 0 ? 0 : model.scales[2] ** 2) + (f >= 0 ? 0 : model.scales[1] ** 2);
  const n_type = name ? own(model.n_type, name) || 0 : 0, sd = Math.sqrt(Math.max(variance, 0)), prior = sum(C.sale_scales.map((s) => s * s));
  let n_family = -n_type;
  for (const other of Object.keys(model.n_type)) if (sale_family(other) === family) n_family += model.n_type[other];
  return { log_rate: center + (rate === undefined ? model.log_rates[""] : rate), log_rate_sd: sd, per_eta: with_eta / model.eta_sd ** 2, n_type, n_family, removed: clip(1 - (sd * sd) / prior, 0, 1) };
}

const own_factor = (nu) => (nu > 2 ? Math.min(nu / (nu - 2), 2) : 2);
const unseen_sd = (one) => Math.sqrt((N.saletime.seen_share * one.scale) ** 2 * own_factor(N.price.table.nu) + one.spread ** 2);

/** Chance to be sold within each of `days` at one ask kept, over all that is not known. */
function chance_sold(here, log_ask_ratio, days, q_sd) {
  const model = N.saletime, rest = Math.max(here.log_rate_sd ** 2 - (here.per_eta * model.eta_sd) ** 2, 0), rates = [], weights = [];
  model.eta_points.forEach((eta, e) => {
    const center = here.log_rate + here.per_eta * (eta - model.eta_mean) - eta * log_ask_ratio, wide = Math.sqrt(rest + (eta * q_sd) ** 2);
    C.hermite_nodes.forEach((z, k) => { rates.push(Math.exp(center + wide * z)); weights.push(model.eta_weights[e] * C.hermite_weights[k]); });
  });
  return days.map((day) => {
    const clock = WEEK * Math.pow(Math.max(day, 0) / WEEK, model.shape);
    let chance = 0;
    for (let i = 0; i < rates.length; i++) chance -= Math.expm1(-clock * rates[i]) * weights[i];
    return chance;
  });
}

function haggle(unit) {
  const model = N.saletime, name = word(unit, "type"), found = name ? model.haggle_types.indexOf(name) : -1, place = found < 0 ? model.haggle_full.length - 1 : found;
  const full = model.haggle_full[place], off = clip((1 - full) * model.haggle_off[place] + model.haggle_slope * (0 - model.haggle_at[place]), 0, 0.5), inner = off / Math.max(1 - full, 1e-9);
  return { full_share: full, off_mean: off, off_sd: Math.sqrt((1 - full) * (model.haggle_sd ** 2 + full * inner * inner)), n: found >= 0 ? Math.trunc(model.haggle_n[place]) : 0, off_slope: model.haggle_slope };
}

function learned_from() {
  const model = N.saletime, many = (n) => (n === 1 ? "" : "s");
  if (model.n_listings === 0 || model.eta_sd > 0.95 * C.elasticity_sd) return "GUESS";
  return `from ${model.n_drops} drop${many(model.n_drops)} and ${model.n_listings} listing${many(model.n_listings)}`;
}
const drops_have_taught = () => 1 - (N.saletime.eta_sd / C.elasticity_sd) ** 2 > C.taught_share && N.saletime.n_drops >= C.taught_drops;

// ---- one unit on the market
const off_at = (demand, log_ratio) => clip(demand.off + demand.off_slope * log_ratio, 0, 0.5);
const net_of = (at, price) => price * (1 - at.fee_share) - at.fee_fixed;
const gross_of = (at, left) => (left + at.fee_fixed) / (1 - at.fee_share);

/** What is not known: q, ln rate, eta and their weight, each (L,). */
function latent_of(demand) {
  const q = [], level = [], eta = [], weight = [];
  C.plan.z.forEach((z, i) => C.plan.zx.forEach((zx, j) => demand.eta.forEach((e, k) => {
    q.push(demand.sd * z); level.push(demand.log_rate[k] + demand.log_rate_sd * zx); eta.push(e); weight.push(C.plan.wz[i] * C.plan.wzx[j] * demand.eta_weight[k]);
  })));
  return { q, level, eta, weight };
}

function best(demand, at, past) {
  const days = steps(at.after - past.days), most = at.highest / demand.estimate;
  const ratios = most > C.plan.ratios[0] ? C.plan.ratios.filter((ratio) => ratio <= most * (1 + 1e-9)) : [most];
  const sale = sale_of(demand, at, days, ratios, past), found = solve(sale, track_of(demand, at, days, ratios, past));
  let lowest = Infinity;
  const asks = found.asks.map((k) => (lowest = Math.min(lowest, rounded(ratios[k] * demand.estimate, at.highest))));
  return at_asks(demand, at, asks, past);
}

function at_asks(demand, at, asks, past) {
  const days = steps(at.after - past.days), different = [...new Set(asks)].sort((a, b) => a - b), place = asks.map((ask) => different.indexOf(ask));
  const sale = sale_of(demand, at, days, days.length ? different.map((ask) => Math.max(ask, 1e-9) / demand.estimate) : [1], past);
  const course = along(sale, place), starts_at = [0, ...cumsum(days)].slice(0, days.length);
  return { starts: starts_at, asks, place, value: course.value, sale, course };
}

function steps(left) {
  const whole = Math.floor(Math.max(left, 0) / WEEK), rest = Math.max(left, 0) - whole * WEEK;
  return [...new Array(whole).fill(WEEK), ...(rest >= 1 ? [rest] : [])];
}

/** An ask as people write it. */
function rounded(ask, highest = Infinity) {
  const step = ask < 100 ? 5 : ask < 1000 ? 25 : 50, nine = ask < 1000 ? 10 : 50;
  const one = rint(ask / step) * step, other = rint((ask + 1) / nine) * nine - 1;
  let near = Math.abs(one - ask) <= Math.abs(other - ask) ? one : other;
  if (ask < 20) near = Math.max(rint(ask), 1);
  const below = ask < 20 ? Math.floor(ask) : Math.max(Math.floor(ask / step) * step, Math.floor((ask + 1) / nine) * nine - 1);
  return near > highest * (1 + 1e-9) ? Math.max(below, 1) : near;
}

function chance_by(listing, days) {
  const step = searchsorted(listing.starts, days) - 1;
  if (step < 0) return 0;
  return Math.min(sum(listing.course.sold.slice(0, step)) + sold_of(inside(listing, step), Math.min(days - listing.starts[step], listing.sale.days[step])), 1);
}

function median_days(listing) {
  const upto = cumsum(listing.course.sold), step = searchsorted(upto, 0.5, true);
  if (step >= upto.length) return sum(listing.sale.days);
  const wanted = 0.5 - (step ? upto[step - 1] : 0);
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
  const spots = [-1.4, -0.7, 0, 0.7, 1.4], parts = [0.13, 0.23, 0.28, 0.23, 0.13].map((part) => part * (1 - full_share)), prices = [], chance = [];
  listing.asks.forEach((ask, t) => { prices.push(ask); chance.push(listing.course.sold[t] * full_share); });
  listing.asks.forEach((ask, t) => {
    const off = Math.min(off_at(demand, Math.log(Math.max(ask, 1e-9) / demand.estimate)) / Math.max(1 - full_share, 0.05), 0.6);
    spots.forEach((spot, k) => { prices.push(ask * (1 - clip(off + spot * off_sd, 0, 0.9))); chance.push(listing.course.sold[t] * parts[k]); });
  });
  listing.sale.latent.q.forEach((q, l) => { prices.push(share * demand.estimate * Math.exp(q)); chance.push(listing.course.left_by_latent[l]); });
  const order = range(prices.length).sort((i, j) => prices[i] - prices[j] || i - j), all = Math.max(sum(chance), 1e-300);
  return [order.map((i) => prices[i]), order.map((i) => chance[i] / all)];
}

/** Weight still unsold when a step begins, and sales a day within it. */
function inside(listing, step) {
  const { sale, course } = listing, k = listing.place[step], K = sale.net.length;
  const alive = sale.weight.map((weight, l) => { let gone = 0; for (let t = 0; t < step; t++) gone += course.sold_by_latent[t][l]; return weight - gone; });
  return [alive, alive.map((_, l) => sale.rate[l * K + k] * sale.pace[step])];
}

function sold_of([alive, rate], days) {
  let chance = 0;
  for (let l = 0; l < alive.length; l++) chance -= alive[l] * Math.expm1(-days * rate[l]);
  return chance;
}

function sale_of(demand, at, days, ratios, past) {
  const latent = latent_of(demand), { q, level, eta } = latent, L = q.length, K = ratios.length, logs = ratios.map(Math.log), rate = new Float64Array(L * K);
  let weight = latent.weight;
  for (let l = 0; l < L; l++) for (let k = 0; k < K; k++) rate[l * K + k] = Math.exp(level[l] - eta[l] * (logs[k] - q[l]));
  if (past.spells.length) {
    const told = new Array(L).fill(0);
    let begin = 0;
    for (const [length, ask] of past.spells) {
      const spell = exposure(at.shape, begin, begin + length), ratio = Math.log(Math.max(ask, 1e-9) / demand.estimate);
      for (let l = 0; l < L; l++) told[l] += spell * Math.exp(level[l] - eta[l] * (ratio - q[l]));
      begin += length;
    }
    const logged = weight.map((w, l) => Math.log(w) - told[l]), top = Math.max(...logged), raw = logged.map((value) => Math.exp(value - top)), all = sum(raw);
    weight = raw.map((value) => value / all);
  }
  const net = ratios.map((ratio, k) => net_of(at, ratio * demand.estimate * (1 - off_at(demand, logs[k])))), clear = q.map((one) => net_of(at, at.share * demand.estimate * Math.exp(one)));
  const begins = [0, ...cumsum(days)], pace = days.map((length, t) => { const start = past.days + begins[t]; return exposure(at.shape, start, start + length) / length; });
  return { net, rate, weight, clear, days, holding: at.holding, pace, latent };
}

const exposure = (shape, start, end) => (shape === 1 ? end - start : (Math.pow(end, shape) - Math.pow(start, shape)) * Math.pow(WEEK, 1 - shape));

/** States by the one constant ask that would have told as much since now. */
function track_of(demand, at, days, ratios, past) {
  const { q, level, eta } = latent_of(demand), states = C.plan.states, middle = dot(demand.eta_weight, demand.eta), begins = [0, ...cumsum(days)];
  const told = [0, ...cumsum(days.map((d, t) => { const start = past.days + begins[t]; return exposure(at.shape, start, start + d); }))];
  const one = states.map((state) => Float64Array.from(q, (quality, l) => Math.exp(level[l] - eta[l] * (state - quality))));
  const asks = ratios.map((ratio) => Math.exp(-middle * Math.log(ratio))), before_now = states.map((state) => Math.exp(-middle * state));
  const moves = days.map((_, t) => before_now.map((past_told) => Float64Array.from(asks, (ask) => {
    const state = -Math.log((told[t] * past_told + (told[t + 1] - told[t]) * ask) / told[t + 1]) / middle;
    return clip((state - states[0]) / (states[1] - states[0]), 0, states.length - 1);
  })));
  return { told, one, moves, start: 0 };
}

// ---- the dynamic programme
/** The best asks; V_t is tabled by state from the end, then the asks are chosen at the very states that are reached. */
function solve(sale, track) {
  const T = sale.days.length, n_states = track.one.length, table = new Array(T + 1), step = steps_of_sale(sale);
  for (let t = T; t >= 1; t--) {
    table[t] = Float64Array.from({ length: n_states }, (_, s) => {
      const belief = belief_of(sale.weight, track.one[s], track.told[t]);
      return t === T ? dot(belief, sale.clear) : Math.max(...worth_of_asks(belief, step[t], table[t + 1], track.moves[t][s]));
    });
  }
  const asks = [];
  let place = track.start;
  for (let t = 0; t < T; t++) {
    const low = Math.min(Math.floor(place), n_states - 1), part = place - low, next = Math.min(low + 1, n_states - 1), mix = (a, b) => (part === 0 ? a : Float64Array.from(a, (value, i) => value * (1 - part) + b[i] * part));
    const moves = mix(track.moves[t][low], track.moves[t][next]), worth = worth_of_asks(belief_of(sale.weight, mix(track.one[low], track.one[next]), track.told[t]), step[t], table[t + 1], moves);
    let top = 0;
    for (let k = 1; k < worth.length; k++) if (worth[k] > worth[top]) top = k;
    asks.push(top);
    place = moves[top];
  }
  return { asks };
}

function worth_of_asks(belief, { stay, gain }, ahead, moves) {
  const K = moves.length, now = new Float64Array(K), later = new Float64Array(K), live = [];
  for (let l = 0; l < belief.length; l++) if (belief[l] > 1e-16) live.push(l); // less adds nothing to a cent's millionth
  while (live.length % 4) live.push(live.length ? live[live.length - 1] : 0);
  for (let i = 0, last = -1; i < live.length; i += 4) { // four at a time: a phone waits for memory, not for sums
    const own_weight = (l) => { const weight = l === last ? 0 : belief[l]; last = l; return weight; };
    const [l0, l1, l2, l3] = [live[i], live[i + 1], live[i + 2], live[i + 3]], b0 = own_weight(l0), b1 = own_weight(l1), b2 = own_weight(l2), b3 = own_weight(l3);
    for (let k = 0, p0 = l0 * K, p1 = l1 * K, p2 = l2 * K, p3 = l3 * K; k < K; k++, p0++, p1++, p2++, p3++) {
      now[k] += b0 * gain[p0] + b1 * gain[p1] + b2 * gain[p2] + b3 * gain[p3];
      later[k] += b0 * stay[p0] + b1 * stay[p1] + b2 * stay[p2] + b3 * stay[p3];
    }
  }
  for (let k = 0; k < K; k++) now[k] += later[k] * between(ahead, moves[k]);
  return now;
}

function along(sale, asks) {
  const step = steps_of_sale(sale), L = sale.weight.length, K = sale.net.length, sold_by_latent = [], sold_chance = [], ahead = [], alive_sums = [];
  let alive = sale.weight;
  asks.forEach((k, t) => {
    const next = alive.map((w, l) => w * step[t].stay[l * K + k]);
    let brings = 0;
    for (let l = 0; l < L; l++) brings += alive[l] * step[t].gain[l * K + k];
    ahead.push(brings); alive_sums.push(sum(alive));
    sold_by_latent.push(alive.map((w, l) => w - next[l]));
    sold_chance.push(sum(sold_by_latent[t]));
    alive = next;
  });
  ahead.push(dot(alive, sale.clear)); alive_sums.push(sum(alive));
  const value = new Array(ahead.length);
  let after = 0;
  for (let t = ahead.length - 1; t >= 0; t--) { after += ahead[t]; value[t] = after / Math.max(alive_sums[t], 1e-300); }
  return { value, sold: sold_chance, left: sum(alive), sold_by_latent, left_by_latent: alive };
}

function steps_of_sale(sale) {
  const known = new Map(), K = sale.net.length;
  return sale.days.map((days, t) => {
    const key = pair_key(days, sale.pace[t]);
    if (!known.has(key)) {
      const stay = new Float64Array(sale.rate.length), gain = new Float64Array(sale.rate.length);
      for (let i = 0; i < stay.length; i++) {
        const rate = sale.rate[i] * sale.pace[t], gone = -Math.expm1(-days * rate), spell = rate > 1e-12 ? gone / Math.max(rate, 1e-12) : days;
        stay[i] = 1 - gone; gain[i] = gone * sale.net[i % K] - sale.holding * spell;
      }
      known.set(key, { stay, gain });
    }
    return known.get(key);
  });
}

function belief_of(weight, one, told) {
  const out = new Float64Array(weight.length);
  let top = -Infinity, all = 0;
  for (let l = 0; l < out.length; l++) { out[l] = Math.log(Math.max(weight[l], 1e-300)) - told * one[l]; if (out[l] > top) top = out[l]; }
  for (let l = 0; l < out.length; l++) all += out[l] = Math.exp(out[l] - top);
  for (let l = 0; l < out.length; l++) out[l] /= all;
  return out;
}

function between(row, place) {
  const low = clip(Math.floor(place), 0, Math.max(row.length - 2, 0)), part = clip(place - low, 0, 1);
  return row[low] * (1 - part) + row[Math.min(low + 1, row.length - 1)] * part;
}

// ---- the asks so far
function dated(text) {
  const out = [];
  for (const entry of String(text).split(";")) {
    const cut = entry.trim().lastIndexOf(":"), tail = entry.trim().slice(cut + 1).trim(), head = entry.trim().slice(0, Math.max(cut, 0)).trim();
    const amount = tail === "" ? NaN : Number(tail), day = cut >= 0 && /^\d{4}-\d{2}-\d{2}/.test(head) ? ordinal(head) : null;
    if (!Number.isFinite(amount) || (cut >= 0 && day === null) || !(amount > 0 && amount < 1e9)) continue;
    out.push([day, amount]);
  }
  return out.sort((a, b) => (a[0] !== null) - (b[0] !== null) || (a[0] || 0) - (b[0] || 0));
}

function past_of(unit, today, asked_now, unwritten) {
  const listed = typeof unit.listed === "string" ? ordinal(unit.listed) : typeof unit.listed === "number" ? Math.trunc(unit.listed) : null;
  if (listed === null || listed > today) return null;
  let entries = dated(unit.asked || "").filter(([day]) => (day || listed) <= today).map(([day, amount]) => [Math.max(day || listed, listed), amount]);
  if (!entries.length) entries = [[listed, asked_now !== undefined ? asked_now : unwritten]];
  const latest = new Map(entries), days = [...latest.keys()].sort((a, b) => a - b), changes = [listed, ...days.slice(1), today];
  const spells = days.map((day, i) => [changes[i + 1] - changes[i], latest.get(day)]);
  return { spells, days: sum(spells.map(([length]) => length)) };
}

// ---- the answer
function look(question, as_of) {
  const day = ordinal(as_of), units = ages_of(question, as_of).map((age) => ({ ...question.unit, age })), laws = units.map((unit) => law(unit, day)), n = laws.length, head = laws[0];
  const center = sum(laws.map((one) => one.center / n)), apart = sum(laws.map((one) => (one.center - center) ** 2 / n));
  const one = finished({ center, scale: head.scale, spread: Math.sqrt(head.spread ** 2 + apart), prior_spread: head.prior_spread }), told = question.known.price, known = known_number(told);
  const [low, high] = range_of(one, S.coverage), median = known ? told : Math.exp(center), unit = units[0], here = market(unit, day), talk = haggle(unit), model = N.saletime;
  const demand = {
    estimate: median, sd: known ? C.told_sd : unseen_sd(one), log_rate: model.eta_points.map((eta) => here.log_rate + here.per_eta * (eta - model.eta_mean)), log_rate_sd: here.log_rate_sd,
    eta: model.eta_points, eta_weight: model.eta_weights, off: talk.off_mean, off_slope: talk.off_slope,
  };
  return { unit, median, mean: known ? told : mean_price(one), low: known ? told : low, high: known ? told : high, removed: one.removed, open: known ? 0 : one.spread, demand, market: here, haggle: talk };
}

function terms_of(question, view) {
  const demand = view.demand, plainest = own(S.new_price, type_of(question));
  let highest = C.plan.ratios[C.plan.ratios.length - 1] * demand.estimate, why = "";
  if (!drops_have_taught()) {
    highest = Math.min(highest, C.ask_ceiling * demand.estimate * Math.exp(view.open));
    why = `no ask over ${general(C.ask_ceiling)} times what it may well be worth, until your own price drops have shown what an ask does to the days`;
  }
  if (plainest !== undefined && C.new_price_ceiling * plainest < highest) { highest = C.new_price_ceiling * plainest; why = "no ask over six tenths of what the plainest new one costs"; }
  const holding = S.short_of === "space" ? Math.max(S.holding_cost_per_day, N.spot_a_day) : S.holding_cost_per_day;
  return [{ holding, after: S.clear_after_days, share: S.clear_share, fee_share: S.selling_fee_share, fee_fixed: S.selling_fee_fixed, highest, shape: N.saletime.shape }, why];
}

function ask(question, as_of) {
  kept = new Map();
  const view = look(question, as_of), demand = view.demand, [at, why] = terms_of(question, view), today = ordinal(as_of), type_name = type_of(question);
  const so_far = past_of(question.unit, today, question.known.asked_now, demand.estimate), past = so_far || { spells: [], days: 0 };
  const found = best(demand, at, past), cleared = clearing_price(found, demand, at), value = found.value.map((left) => gross_of(at, left));
  const plan = plan_of(found, value, today), price = found.asks.length ? found.asks[0] : cleared;
  return {
    ask: price, median: view.median, mean: view.mean, low: view.low, high: view.high, coverage: S.coverage, price_at_ask: span(found, demand, at, view.haggle), take_at_least: Math.min(Math.max(value[0], 0), price),
    median_days: median_days(found), chance_sold: Object.fromEntries(ASK_DAYS.map((days) => [String(days), chance_by(found, days)])), plan,
    clear: { date: isoformat(today + rint(sum(found.sale.days))), price: cleared }, choices: choices(found, demand, at, past), talked_down: off_at(demand, Math.log(Math.max(price, 1e-9) / demand.estimate)),
    holding_cost_per_day: at.holding, ceiling: found.asks.length && rounded(price * 1.03) > at.highest ? why : "", days_listed: so_far === null ? null : so_far.days, ask_effect_from: learned_from(), sales_used: N.price.n,
    standing: {
      price: "price" in question.known ? "YOURS" : standing(view.removed, n_of_type(type_name), n_of_family(type_name)), days: standing(view.market.removed, view.market.n_type, view.market.n_family),
      haggle: standing(view.haggle.n / (view.haggle.n + 8), view.haggle.n),
    },
    because: terms(view.unit, today).map(([term, amount]) => ({ term, amount })), cautions: cautions_for(question.unit, "sale").map((one) => one.full),
    known_type: N.price.types_by.has(type_name) || type_name in N.price.types, time_is_up: so_far !== null && so_far.days >= at.after,
  };
}

function plan_of(found, value, today) {
  const out = [];
  found.asks.forEach((price, t) => { if (!out.length || price < out[out.length - 1].ask) out.push({ date: isoformat(today + rint(found.starts[t])), ask: price, take_at_least: Math.min(Math.max(value[t], 0), price) }); });
  return out;
}

function span(found, demand, at, talk) {
  const [prices, chance] = sale_prices(found, demand, at.share, talk.full_share, talk.off_sd), upto = cumsum(chance);
  const [median, low, high] = [0.5, (1 - S.coverage) / 2, (1 + S.coverage) / 2].map((level) => prices[Math.min(searchsorted(upto, level), prices.length - 1)]);
  return { median, low, high };
}

function choices(found, demand, at, past) {
  const out = [];
  for (const [name, factor] of [["quick", C.quick], ["usual", 1], ["patient", C.patient]]) {
    const one = factor === 1 ? found : at_asks(demand, at, found.asks.map((price) => rounded(price * factor)), past);
    if (!one.asks.length) return [];
    const money = one.asks.map((price) => price * (1 - off_at(demand, Math.log(price / demand.estimate)))), chance = one.course.sold;
    out.push({ name, ask: one.asks[0], days: median_days(one), price: dot(chance, money) / Math.max(sum(chance), 1e-12), left: one.value[0] });
  }
  return out;
}
