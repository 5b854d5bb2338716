// A matching washer and dryer: what they bring as a pair and what as two, with the premium that the own sales show.
"use strict";
const PAIR_COLUMNS = ["age", "maker", "tier", "condition", "features", "finish"];

function pair_of(question, as_of) {
  const kind = type_of(question), by_count = Object.entries(N.price.types).sort((a, b) => b[1] - a[1] || by_word(a[0], b[0])).map(([name]) => name);
  const parts = pair_formulas.halves(kind, String(question.unit.fuel || ""), by_count);
  if (!parts) return null;
  const unit = {}, day = ordinal(as_of);
  for (const name of PAIR_COLUMNS) if (question.unit[name] !== undefined) unit[name] = question.unit[name];
  const [whole, ...each] = [kind, ...parts].map((type) => law({ ...unit, type }, day)), [start, sure, n_linked] = premium(kind);
  return pair_formulas.told(parts, [whole.center, whole.spread], each.map((one) => [one.center, one.spread]), [start, sure], [n_of_type(kind), n_linked, whole.removed]);
}

/** Mean and sd of the premium in log points after the linked sales, and how many pairs they are; worked out once a type. */
let kept_premiums = new Map();
function premium(kind) {
  if (!kept_premiums.has(kind)) kept_premiums.set(kind, premium_of(kind));
  return kept_premiums.get(kind);
}

function premium_of(kind) {
  const parts = pair_formulas.halves(kind, "") || ["top-load washer", "electric dryer"], price_of = (name) => (C.types_by.get(name) || C.generic_type).price;
  const whole = price_of(C.types_by.has(kind) ? kind : pair_formulas.type_of(parts[0])), start = pair_formulas.starting_premium(whole, ...parts.map(price_of));
  const pairs = pair_formulas.linked(N.similar), worth_now = (sale) => Math.exp(law(sale, sale.sold).center);
  if (!pairs.length) return [start, pair_formulas.PREMIUM_SD, 0];
  const found = pairs.map(([one, two]) => Math.log((one.price + two.price) / (worth_now(one) + worth_now(two))));
  return [...pair_formulas.premium(start, found), pairs.length];
}
