// The parts of an offer: what it may be, what it sells for, what it costs, how far each line is own, and why.
"use strict";

function candidates(cases) {
  const sums = new Map();
  for (const { at } of cases) {
    for (const one of at.each) {
      const share = one.chance / cases.length, before_it = sums.get(one.repair) || [0, 0, 0, 0];
      sums.set(one.repair, [1, one.fix, one.parts, one.hours_mean].map((value, k) => before_it[k] + share * value));
    }
  }
  const ranked = [...sums].sort((a, b) => (a[0] === "") - (b[0] === "") || b[1][0] - a[1][0] || by_word(a[0], b[0])).filter(([, all]) => all[0] > 0);
  return ranked.map(([repair, all]) => ({ repair: repair || "something else", chance: all[0], fix: all[1] / all[0], parts: all[2] / all[0], hours: all[3] / all[0] }));
}

function sold(question, plan) {
  const told = question.known.price;
  if (known_number(told)) return { median: told, low: told, high: told, mean: told };
  return { ...plan.span, mean: plan.sale };
}

function spent(question, cases) {
  const mean = (value) => sum(cases.map(({ at }) => total(at, value(at)) / cases.length)), average = (value) => sum(cases.map((one) => value(one) / cases.length));
  const fixed = mean(() => (r) => r.fix), left = question.at_curb ? 0.5 : 1, tries = cases.some((one) => one.worth.tries), trip = cases[0].at.trip,
    failed = Math.exp(cases[0].at.view.failed_log);
  let bench = tries ? mean(() => (r) => r.fix * r.hours_mean + (1 - r.fix) * r.hours_mean * failed) : 0,
    back = tries ? average(({ at }) => at.comeback_hours) * fixed : 0;
  const all = average((one) => one.worth.hours);
  if ("hours" in question.known) { bench = Math.min(bench, all); back = 0; }
  const [parts_low, parts_high] = parts_spread(question, cases);
  return {
    truck: trip.truck * left, helper: trip.helper, parts: tries ? mean(() => (r) => r.fix * r.parts + (1 - r.fix) * r.wasted) : 0,
    parts_if_fixed: mean(() => (r) => r.fix * r.parts) / Math.max(fixed, 1e-9), parts_low, parts_high, comebacks: tries ? average(({ at }) => at.comeback) * fixed : 0,
    fees: tries ? mean(() => (r) => r.fix * (r.price * S.selling_fee_share + S.selling_fee_fixed)) : 0, drive_hours: (trip.hours - trip.load_hours) * left,
      load_hours: trip.load_hours,
    bench_hours: bench, clean_sell_hours: Math.max(all - bench - back, 0), comeback_hours: back,
  };
}

function parts_spread(question, cases) {
  const told = question.known.parts;
  if (known_number(told)) return [told, told];
  const normal = normal_points(0).filter((_, i) => i % 16 === 0), values = [], weights = [];
  for (const { at } of cases) {
    for (const one of at.each) {
      const each = (one.chance * one.fix) / cases.length;
      values.push(0); weights.push(each * one.no_parts);
      for (const z of normal) { values.push(Math.exp(one.parts_log + Math.sqrt(one.parts_var) * z)); weights.push((each * (1 - one.no_parts)) / normal.length); }
    }
  }
  return [quantile_of(values, weights, (1 - S.coverage) / 2), quantile_of(values, weights, (1 + S.coverage) / 2)];
}

function standings(question, cases, fixed_of, days) {
  const mean = (value) => sum(cases.map((one) => value(one) / cases.length)), type_name = type_of(question), [, n, near] = fixed_of;
  const removed = 1 - mean((one) => one.base.spread ** 2 - one.base.blank) / Math.max(mean((one) => one.base.prior_spread ** 2), 1e-300);
  const lines = {
    price: standing(removed, n_of_type(type_name), n_of_family(type_name)), fix: standing(mean((one) => one.at.view.fix_known), n, near),
    parts: standing(mean((one) => one.at.view.parts_known), n, near), hours: standing(mean((one) => one.at.view.hours_known), n, near), days,
  };
  for (const [name, option] of [["price", "price"], ["fix", "fix_chance"], ["parts", "parts"],
    ["hours", "hours"]]) if (option in question.known) lines[name] = "your number";
  return lines;
}

function by_year(question, cases) {
  if (!question.made || question.made.length < 2) return [];
  const told = question.known.price;
  return cases.map((one, k) => ({ made: question.made[k], age: one.age || 0, price: known_number(told) ? told : Math.exp(one.base.center), pay_up_to: one.worth.worth }));
}

function because(cases) {
  const mean = (value) => sum(cases.map((one) => value(one) / cases.length)), when = (one, value) => (one.worth.tries ? value : 0);
  const listed = [
    ["sold, when fixed", mean((one) => when(one, total(one.at, (r) => r.fix * r.price)))],
    ["selling fees", -mean((one) => when(one, total(one.at, (r) => r.fix * (r.price * S.selling_fee_share + S.selling_fee_fixed))))],
    ["set by for comebacks", -mean((one) => when(one, total(one.at, (r) => r.fix * one.at.comeback)))],
    ["parts, duds counted", -mean((one) => when(one, total(one.at, (r) => r.fix * r.parts + (1 - r.fix) * r.wasted)))],
    ["if it beats you", mean((one) => when(one, total(one.at, (r) => 1 - r.fix) * one.at.if_not))],
    ["left as it is", mean((one) => (one.worth.tries ? 0 : one.at.if_not))],
    ["truck and helper", -mean((one) => one.worth.trip_money)],
    ["keeping it until it sells", -mean((one) => one.worth.keeping)],
    ["your hours", -S.hour_worth * mean((one) => one.worth.hours + one.worth.trip_hours)],
  ];
  return listed.filter(([, amount]) => Math.abs(amount) > 1e-9).map(([term, amount]) => ({ term, amount }));
}
