// The parts of an offer that need the law or the settings: the rest is summed by formulas/offer_sums.
"use strict";

function parts_spread(question, cases) {
  const told = question.known.parts;
  if (known_number(told)) return [told, told];
  const normal = normal_points(0).filter((_, i) => i % 16 === 0), values = [], weights = [];
  for (const { each: all } of cases) {
    for (const one of all) {
      const each = (one.chance * one.fix) / cases.length;
      values.push(0); weights.push(each * one.no_parts);
      for (const z of normal) { values.push(Math.exp(one.parts_log + Math.sqrt(one.parts_var) * z)); weights.push((each * (1 - one.no_parts)) / normal.length); }
    }
  }
  return [quantile_of(values, weights, (1 - S.coverage) / 2), quantile_of(values, weights, (1 + S.coverage) / 2)];
}

function standings(question, cases, fixed_of) {
  const kind = type_of(question), mean = (of) => offer_sums_formulas.mean(cases, of), before = Math.max(mean((one) => one.base.prior_spread ** 2), 1e-300);
  const removed = { price: 1 - mean((one) => one.base.spread ** 2 - one.base.blank) / before };
  for (const name of ["fix", "parts", "hours"]) removed[name] = mean((one) => one.view[`${name}_known`]);
  return offer_sums_formulas.standings(removed, [n_of_type(kind), n_of_family(kind)], fixed_of, question.known);
}

function by_year({ made, known }, cases) {
  if (!made || made.length < 2) return [];
  return cases.map((one, k) => ({ made: made[k], age: one.age || 0, price: known_number(known.price) ? known.price : Math.exp(one.base.center), pay_up_to: one.worth }));
}
