// What to ask, step by step, until a unit is sold or cleared out: the dynamic programme over what is believed.
"use strict";

/** The best asks by place, one a step. V_t is tabled by state from the end; what each ask brings of itself does not hang on V, and comes first. */
function solve(sale, track) {
  const T = sale.days.length, L = sale.weight.length, K = sale.net.length, step = steps_of_sale(sale), { told, rate, moves, grid, width, first, last } = track;
  const S = last - first + 1, now = new Float64Array(T * S * K), later = new Float64Array(T * S * K), ends = new Float64Array(last + 2), spent = new Float64Array(L);
  for (let s = first; s <= last; s++) {
    for (let l = 0; l < L; l++) spent[l] = rate[l * grid + s];
    const beliefs = beliefs_of(sale.weight, spent, told);
    for (let t = 1; t < T; t++) asks_bring(beliefs[t], step[t], now.subarray((t * S + s - first) * K, (t * S + s - first + 1) * K),
      later.subarray((t * S + s - first) * K, (t * S + s - first + 1) * K));
    ends[s] = dot(beliefs[T], sale.clear);
  }
  const table = new Array(T + 1);
  table[T] = ends;
  for (let t = T - 1; t >= 1; t--) {
    table[t] = new Float64Array(last + 2);
    for (let s = first; s <= last; s++) {
      const at = (t * S + s - first) * K, to = (t * grid + s) * width;
      let top = -Infinity;
      for (let k = 0; k < K; k++) { const worth = now[at + k] + later[at + k] * between(table[t + 1], moves[to + k]); if (worth > top) top = worth; }
      table[t][s] = top;
    }
  }
  return followed(sale, track, table, step);
}

/** From the first state on, choosing at the very state that is reached. */
function followed(sale, { told, rate, moves, grid, width }, table, step) {
  const T = sale.days.length, L = sale.weight.length, K = sale.net.length, asks = [], spent = new Float64Array(L), row = new Float64Array(K),
    now = new Float64Array(K), later = new Float64Array(K);
  let place = 0;
  for (let t = 0; t < T; t++) {
    const low = Math.min(Math.floor(place), grid - 1), part = place - low, next = Math.min(low + 1, grid - 1), from = (t * grid + low) * width,
      to = (t * grid + next) * width;
    for (let k = 0; k < K; k++) row[k] = part === 0 ? moves[from + k] : moves[from + k] * (1 - part) + moves[to + k] * part;
    for (let l = 0; l < L; l++) {
      const here = rate[l * grid + low];
      spent[l] = told[t] * (part === 0 ? here : here * (1 - part) + rate[l * grid + next] * part);
    }
    now.fill(0); later.fill(0);
    asks_bring(belief_of(sale.weight, spent), step[t], now, later);
    let top = 0, best_worth = -Infinity;
    for (let k = 0; k < K; k++) { const worth = now[k] + later[k] * between(table[t + 1], row[k]); if (worth > best_worth) { best_worth = worth; top = k; } }
    asks.push(top);
    place = row[top];
  }
  return asks;
}

/** What each ask brings in this step, and the chance that the unit is still there after it, added up over the belief. */
function asks_bring(belief, { stay, gain }, now, later) {
  const K = now.length, live = [];
  for (let l = 0; l < belief.length; l++) if (belief[l] > 1e-16) live.push(l); // less adds nothing to a cent's millionth
  const full = live.length - (live.length % 4);
  for (let i = 0; i < full; i += 4) { // four at a time: a phone waits for memory, not for sums
    const l0 = live[i], l1 = live[i + 1], l2 = live[i + 2], l3 = live[i + 3], b0 = belief[l0], b1 = belief[l1], b2 = belief[l2], b3 = belief[l3];
    for (let k = 0, p0 = l0 * K, p1 = l1 * K, p2 = l2 * K, p3 = l3 * K; k < K; k++, p0++, p1++, p2++, p3++) {
      now[k] += b0 * gain[p0] + b1 * gain[p1] + b2 * gain[p2] + b3 * gain[p3];
      later[k] += b0 * stay[p0] + b1 * stay[p1] + b2 * stay[p2] + b3 * stay[p3];
    }
  }
  for (let i = full; i < live.length; i++) {
    const l = live[i], b = belief[l];
    for (let k = 0, p = l * K; k < K; k++, p++) { now[k] += b * gain[p]; later[k] += b * stay[p]; }
  }
}

/** What comes of asks given by place: the belief is carried exactly. */
function along(sale, asks) {
  const step = steps_of_sale(sale), T = asks.length, L = sale.weight.length, K = sale.net.length, sold_by_latent = [], sold_chance = [],
    ahead = new Float64Array(T + 1), alive_sums = new Float64Array(T + 1), value_by_latent = new Float64Array(L);
  let alive = sale.weight;
  for (let t = 0; t < T; t++) {
    const next = new Float64Array(L), gone = new Float64Array(L), { stay, gain } = step[t];
    let brings = 0, chance = 0;
    alive_sums[t] = sum(alive);
    for (let l = 0, p = asks[t]; l < L; l++, p += K) { next[l] = alive[l] * stay[p]; const here = alive[l] * gain[p]; brings += here; value_by_latent[l] += here; gone[l] = alive[l] - next[l]; chance += gone[l]; }
    ahead[t] = brings;
    sold_by_latent.push(gone); sold_chance.push(chance);
    alive = next;
  }
  ahead[T] = dot(alive, sale.clear); alive_sums[T] = sum(alive);
  const value = new Array(T + 1);
  let after = 0;
  for (let t = T; t >= 0; t--) { after += ahead[t]; value[t] = after / Math.max(alive_sums[t], 1e-300); }
  for (let l = 0; l < L; l++) value_by_latent[l] += alive[l] * sale.clear[l];
  return { value, sold: sold_chance, left: sum(alive), sold_by_latent, left_by_latent: alive, value_by_latent };
}

/** By step: the chance to be still there after it, and what it brings less holding, each (L, K). Steps alike share theirs. */
function steps_of_sale(sale) {
  const known = new Map(), K = sale.net.length, { rate, net, holding } = sale;
  return sale.days.map((days, t) => {
    const pace = sale.pace[t], key = `${days} ${pace}`;
    if (!known.has(key)) {
      const stay = new Float64Array(rate.length), gain = new Float64Array(rate.length);
      for (let i = 0, k = 0; i < stay.length; i++) {
        const speed = rate[i] * pace, gone = -Math.expm1(-days * speed), spell = speed > 1e-12 ? gone / speed : days;
        stay[i] = 1 - gone; gain[i] = gone * net[k] - holding * spell;
        if (++k === K) k = 0;
      }
      known.set(key, { stay, gain });
    }
    return known.get(key);
  });
}

/** w exp(-spent), adding up to 1; where nothing is left that could be, the least impossible. */
function belief_of(weight, spent) {
  const out = new Float64Array(weight.length);
  let top = -Infinity, all = 0;
  for (let l = 0; l < out.length; l++) { out[l] = Math.log(Math.max(weight[l], 1e-300)) - spent[l]; if (out[l] > top) top = out[l]; }
  for (let l = 0; l < out.length; l++) all += out[l] = Math.exp(out[l] - top);
  for (let l = 0; l < out.length; l++) out[l] /= all;
  return out;
}

/** The belief after each of the times that have been told, from one state: steps alike multiply by the same factors, so that few exponents are taken. */
function beliefs_of(weight, rate, told) {
  const L = weight.length, out = [weight], factors = new Map();
  let raw = weight;
  for (let t = 1; t < told.length; t++) {
    const spell = told[t] - told[t - 1], next = new Float64Array(L), belief = new Float64Array(L);
    if (!factors.has(spell)) factors.set(spell, Float64Array.from(rate, (one) => Math.exp(-spell * one)));
    const factor = factors.get(spell);
    let all = 0;
    for (let l = 0; l < L; l++) all += next[l] = raw[l] * factor[l];
    if (all > 1e-200) for (let l = 0; l < L; l++) belief[l] = next[l] / all;
    out.push(all > 1e-200 ? belief : belief_of(weight, rate.map((one) => told[t] * one)));
    raw = next;
  }
  return out;
}

function between(row, place) {
  const low = Math.floor(place), part = place - low;
  return part === 0 ? row[low] : row[low] * (1 - part) + row[low + 1] * part;
}
