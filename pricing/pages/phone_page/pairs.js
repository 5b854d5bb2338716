// A matching washer and dryer: what they bring as a pair and what as two, with the premium that the own sales show.
"use strict";
const PAIR_COLUMNS = ["age", "maker", "tier", "condition", "features", "finish"];

/** The two units that a pair type is made of; null for a type that is no pair. known: own types, commonest first. */
function halves(type_name, fuel, known = []) {
  const words = split_words(type_name.replaceAll("+", " ")), has = (...names) => names.some((name) => words.includes(name));
  if (!has("pair", "set") || !has("washer", "dryer", "laundry")) return null;
  const own_washer = known.find((name) => name.endsWith("washer") && !name.includes("dish")) || "top-load washer";
  const own_dryer = known.find((name) => name.endsWith("dryer")) || "electric dryer";
  const washer = ["front-load washer", "top-load washer"].find((name) => has(name.split(" ")[0])) || own_washer;
  return [washer, fuel === "gas" || has("gas") ? "gas dryer" : fuel || has("electric") ? "electric dryer" : own_dryer];
}

const pair_type_of = (washer) => (washer.includes("front") ? "front-load washer + dryer pair" : "top-load washer + dryer pair");

function pair_of(question, as_of) {
  const kind = type_of(question), by_count = Object.entries(N.price.types).sort((a, b) => b[1] - a[1] || by_word(a[0], b[0])).map(([name]) => name);
  const parts = halves(kind, String(question.unit.fuel || ""), by_count);
  if (!parts) return null;
  const unit = {}, day = ordinal(as_of);
  for (const name of PAIR_COLUMNS) if (question.unit[name] !== undefined) unit[name] = question.unit[name];
  const whole = law({ ...unit, type: kind }, day), each = parts.map((type) => law({ ...unit, type }, day)), alone = each.map((one) => Math.exp(one.center)),
    both = sum(alone);
  const [start, sure, n_linked] = premium(kind);
  const by_sum = Math.log(both) + start, by_sum_variance = sum(each.map((one, i) => (alone[i] / both) ** 2 * one.spread ** 2)) + sure ** 2;
  const weight = by_sum_variance / (by_sum_variance + whole.spread ** 2), as_pair = Math.exp(weight * whole.center + (1 - weight) * by_sum), n_pairs = n_of_type(kind);
  const removed = Math.max(1 - (sure / C.pair_premium_sd) ** 2, n_pairs ? whole.removed : 0);
  return {
    as_pair, as_two: parts.map((type, i) => ({ type, price: alone[i] })), premium: as_pair / both - 1, sales: n_pairs + n_linked,
      standing: standing(removed, n_pairs + n_linked),
  };
}

/** Mean and sd of the premium in log points after the linked sales, and how many pairs they are; worked out once a type. */
let kept_premiums = new Map();
function premium(kind) {
  if (!kept_premiums.has(kind)) kept_premiums.set(kind, premium_of(kind));
  return kept_premiums.get(kind);
}

function premium_of(kind) {
  const parts = halves(kind, "") || ["top-load washer", "electric dryer"], price_of = (name) => (C.types_by.get(name) || C.generic_type).price;
  const whole = price_of(C.types_by.has(kind) ? kind : pair_type_of(parts[0])), [first, second] = parts.map(price_of);
  const start = clip(Math.log(whole / (first + second)), -0.2, 0.3), pairs = linked(past_sales());
  if (!pairs.length) return [start, C.pair_premium_sd, 0];
  const worth_now = (sale) => Math.exp(law(sale, sale.sold).center);
  const found = sum(pairs.map(([one, two]) => Math.log(one.price + two.price) - Math.log(worth_now(one) + worth_now(two))));
  const before_it = C.pair_premium_sd ** -2, each = C.pair_sale_sd ** -2, precision = before_it + pairs.length * each;
  return [(start * before_it + found * each) / precision, precision ** -0.5, pairs.length];
}

/** Sales that were written down as pairs, a washer and a dryer each: by the unit that each names, or by a name they share. */
function linked(sales) {
  const by_unit = new Map(sales.map((sale) => [String(sale.unit || ""), sale])), shared = new Map(), out = [], used = new Set();
  const match = (...two) => {
    const dryer_last = (sale) => (String(sale.type).includes("dryer") ? 1 : 0), [washer, dryer] = two.sort((a, b) => dryer_last(a) - dryer_last(b));
    const fits = String(washer.type).includes("washer") && !dryer_last(washer) && dryer_last(dryer);
    if (fits && !used.has(washer) && !used.has(dryer)) { used.add(washer).add(dryer); out.push([washer, dryer]); }
  };
  for (const sale of sales) {
    const told = String(sale.pair || "").trim();
    if (!told) continue;
    const mate = by_unit.get(told);
    if (mate !== undefined && mate !== sale) match(sale, mate);
    else if (shared.has(told)) shared.get(told).push(sale);
    else shared.set(told, [sale]);
  }
  for (const two of shared.values()) if (two.length === 2) match(...two);
  return out;
}
