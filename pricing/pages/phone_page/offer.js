// Before the drive: the most to pay, what to start at, go or pass, chances, what to ask first, and why.
"use strict";
const HAUL = "haul", IF_FREE = "haul if free", IF_PAID = "only if paid", PASS = "pass";
const PRICE = 0, NO_PART = 1, PART = 2, BENCH = 3, SELL = 4; // the dimensions of the points

// ---- costs
function trip_of(question, usual) {
  const known = question.known, get = (name, other) => (name in known ? known[name] : other);
  const miles = get("miles", usual), share = 1 / get("on_trip", 1);
  const drive = "drive_min" in known ? known.drive_min / 60 : (2 * miles) / S.average_speed;
  const load = get("minutes", miles > 0 || drive > 0 ? S.minutes_per_trip : 0) / 60;
  const truck = 2 * miles * S.cost_per_distance * share, helper = get("helper", 0);
  return { money: truck + helper, hours: (drive + load) * share, out_money: truck / 2, out_hours: (drive * share) / 2, truck, helper, load_hours: load * share };
}

function usual_miles() {
  if (N.repair.miles[0] >= 3) return N.repair.miles[1];
  return S.distance_unit === "mi" ? C.usual_miles : rint(C.usual_miles / 0.621371);
}

/** Everything that is at stake in one case: a question at one of the ages it may have. */
function stakes(question, age, as_of) {
  const unit = { ...question.unit, age }, known = question.known, view = outlook(unit), type_name = type_of(question);
  const day = ordinal(as_of) + C.days_ahead, told = (name, estimate) => (known_number(known[name]) ? known[name] : estimate);
  const back = comeback_share(type_name, family_of(type_name)), comeback = back * S.comeback_cost, comeback_hours = back * S.comeback_hours;
  const spot = spot_a_day(), held = spot ? days_to_sell(unit, law(unit, day), ordinal(as_of)).mean : 0;
  const each = view.each.map((one) => {
    const one_law = law({ ...unit, repair: one.repair || null }, day), sale = told("price", mean_price(one_law));
    return {
      ...one, law: one_law, price: sale, fix: told("fix_chance", one.fix), net: sale * (1 - S.selling_fee_share) - S.selling_fee_fixed - comeback,
      parts: told("parts", one.parts_mean), wasted: known_number(known.parts) ? view.waste * known.parts : one.wasted_mean,
      hours_fixed: told("hours", one.hours_mean + one.sell_mean + comeback_hours),
      hours_failed: told("hours", one.hours_mean * Math.exp(view.failed_log) + view.failed_rest), spot: [spot * bench_days(), spot * held],
    };
  });
  const first = first_of(unit, as_of);
  return { question, unit, view, each, if_not: if_not_fixed(type_name), comeback, comeback_hours, trip: trip_of(question, usual_miles()), barred: first !== null && first.cap === "as-is" };
}

/** Sum over the candidate repairs of one case, weighted by their chance. */
const total = (at, value) => { let all = 0; for (const one of at.each) all += one.chance * value(one); return all; };

function worth_of(at) {
  const target = S.hourly_target, rest = at.view.failed_rest;
  let money = total(at, (r) => r.fix * (r.net - r.parts) + (1 - r.fix) * (at.if_not - r.wasted));
  let hours = total(at, (r) => r.fix * r.hours_fixed + (1 - r.fix) * r.hours_failed);
  let spot = total(at, (r) => r.spot[0] + r.fix * r.spot[1]);
  const tries = money - target * hours - spot >= at.if_not - target * rest && !at.barred, pays = money >= at.if_not && !at.barred;
  if (!tries) { money = at.if_not; hours = rest; spot = 0; }
  const trip_money = at.trip.money - (at.question.at_curb ? at.trip.out_money : 0), trip_hours = at.trip.hours - (at.question.at_curb ? at.trip.out_hours : 0);
  return { money, hours, tries, worth: money - trip_money - target * (hours + trip_hours) - spot, trip_money, trip_hours, pays, spot };
}

/** The most to pay: the mean over the ages it may have. */
function limit_of(question, as_of) {
  const ages = ages_of(question, as_of);
  return sum(ages.map((age) => worth_of(stakes(question, age, as_of)).worth)) / ages.length;
}

// ---- chances
function chances(at, worth, paid) {
  const known = at.question.known, n = C.points.n, view = at.view, target = S.hourly_target, waste = view.waste;
  const free = lattice(NO_PART), zp = normal_points(PART), zb = normal_points(BENCH), zs = normal_points(SELL);
  const told_parts = known_number(known.parts), told_price = known_number(known.price), told_hours = known_number(known.hours);
  const thin = C.thinned, m = n / thin, gains = new Float64Array(at.each.length * (2 * m + 1)), weights = new Float64Array(gains.length);
  const trip = worth.trip_money, lost = at.if_not - trip, failed_share = Math.exp(view.failed_log);
  let loss = 0, reached = 0, place = 0;
  for (const one of at.each) {
    const sale = told_price ? null : draws(one.law, PRICE), parts_sd = Math.sqrt(one.parts_var), bench_sd = Math.sqrt(one.hours_var), sell_sd = Math.sqrt(one.sell_var);
    const fixed = one.chance * one.fix, failed = one.chance * (1 - one.fix), keep = 1 - S.selling_fee_share;
    let done_lost = 0, part_lost = 0, done_reach = 0, lost_reach = 0, part_reach = 0;
    for (let i = 0; i < n; i++) {
      const size = told_parts ? known.parts : Math.exp(one.parts_log + parts_sd * zp[i]);
      const bought = told_parts || free[i] >= one.no_parts ? size : 0;
      const bench = told_hours ? 0 : Math.exp(one.hours_log + bench_sd * zb[i]);
      const hours = told_hours ? known.hours : bench + Math.exp(one.sell_log + sell_sd * zs[i]) + at.comeback_hours;
      const lost_hours = told_hours ? known.hours : bench * failed_share + view.failed_rest;
      const done = (told_price ? known.price : sale[i]) * keep - S.selling_fee_fixed - at.comeback - bought - trip, lost_part = lost - size;
      if (done < paid) done_lost += 1;
      if (lost_part < paid) part_lost += 1;
      const wanted = target * (lost_hours + worth.trip_hours);
      if (done - paid >= target * (hours + worth.trip_hours)) done_reach += 1;
      if (lost - paid >= wanted) lost_reach += 1;
      if (lost_part - paid >= wanted) part_reach += 1;
      if (i % thin) continue;
      gains[place] = done; weights[place++] = fixed / m;
      gains[place] = lost_part; weights[place++] = (failed * waste) / m;
    }
    gains[place] = lost; weights[place++] = failed * (1 - waste);
    loss += one.chance * (one.fix * (done_lost / n) + (1 - one.fix) * ((1 - waste) * (lost < paid ? 1 : 0) + waste * (part_lost / n)));
    reached += one.chance * (one.fix * (done_reach / n) + (1 - one.fix) * ((1 - waste) * (lost_reach / n) + waste * (part_reach / n)));
  }
  const left = at.if_not - worth.trip_money - paid;
  if (!worth.pays) loss = left < 0 ? 1 : 0;
  if (!worth.tries) reached = left >= target * (view.failed_rest + worth.trip_hours) ? 1 : 0;
  const cautious = worth.pays ? quantile_of(gains, weights, S.cautious_loss_chance) : at.if_not - worth.trip_money;
  return { loss: clip(loss, 0, 1), target: clip(reached, 0, 1), cautious };
}

// ---- days
function days_to_sell(unit, one_law, day) {
  const here = market(unit, day), sold_by = chance_sold(here, N.saletime.premium_mean, C.days_grid, unseen_sd(one_law)), tail = (1 - S.coverage) / 2;
  const [low, median, high] = [tail, 0.5, 1 - tail].map((level) => interp(level, sold_by, C.days_grid));
  let mean = 0;
  const upto = C.days_grid.filter((day_) => day_ <= S.clear_after_days).length;
  for (let i = 1; i < upto; i++) mean += ((C.days_grid[i] - C.days_grid[i - 1]) * (1 - sold_by[i] + (1 - sold_by[i - 1]))) / 2;
  return { median, low: Math.max(low, 1), high: Math.min(high, S.clear_after_days), mean, standing: standing(here.removed, here.n_type, here.n_family) };
}
const bench_days = () => (N.repair.bench_days[1] + 3 * C.bench_days) / (N.repair.bench_days[0] + 3);
const spot_a_day = () => (S.short_of === "space" ? Math.max(S.holding_cost_per_day, N.spot_a_day) : 0);

// ---- what to ask first
function value_of_answers(worths, odds, price) {
  const gains = worths.map((worth) => worth - price);
  return dot(odds, gains.map((gain) => Math.max(gain, 0))) - Math.max(0, dot(odds, gains));
}

function ask_first(question, price, as_of) {
  const ranked = [];
  for (const unknown of unknowns_of(question, as_of)) {
    const worths = unknown.answers.map(([, , again]) => limit_of(again, as_of)), odds = unknown.answers.map(([, chance]) => chance);
    const worth = value_of_answers(worths, odds, price);
    if (worth >= C.least_worth) ranked.push({ question: unknown.question, worth, answers: unknown.answers.map(([label, chance], k) => ({ answer: label, chance, pay_up_to: worths[k] })) });
  }
  return ranked.sort((a, b) => b.worth - a.worth || by_word(a.question, b.question));
}

const heard = (column) => new Map(N.repair.heard.filter(([name]) => name === column).map(([, what, count]) => [what, count]));

function unknowns_of(question, as_of) {
  const unit = question.unit, type_name = type_of(question), family = family_of(type_name), found = [];
  const blank = (name) => unit[name] === undefined || unit[name] === null, told = (name) => Boolean(unit[name]);
  const kinds = kinds_of(type_name);
  if (kinds.length) found.push({ question: `which kind of ${type_name}?`, answers: kinds.map((name) => [name, 1 / kinds.length, with_unit(question, { type: name })]) });
  if (question.made && question.made.length > 1) {
    const ages = ages_of(question, as_of);
    found.push({ question: "which year was it made?", answers: ages.map((age, k) => [String(question.made[k]), 1 / ages.length, with_unit(question, { age })]) });
  } else if (blank("age")) found.push({ question: "how old is it?", answers: ages_heard().map(([age, chance]) => [`${general(age)} yr`, chance, with_unit(question, { age })]) });
  if (blank("condition")) {
    const told_so = heard("condition"), counts = Object.entries(C.conditions_heard).map(([grade, share]) => [grade, (told_so.get(grade) || 0) + C.start_weight * share]);
    const all = sum(counts.map(([, count]) => count));
    found.push({ question: "how does it look?", answers: counts.map(([grade, count]) => [grade, count / all, with_unit(question, { condition: grade })]) });
  }
  if (!told("fault")) {
    const faults = faults_of(type_name, family);
    if (faults.length) found.push({ question: "what does it do, or not do?", answers: faults.map(([fault, chance]) => [fault, chance, with_unit(question, { fault })]) });
  } else if (!told("found") && !told("repair")) {
    const named = outlook(unit).each.filter((one) => one.repair), all = sum(named.map((one) => one.chance));
    if (named.length > 1) found.push({ question: "what exactly is wrong?", answers: named.map((one) => [one.repair, one.chance / all, with_unit(question, { repair: one.repair })]) });
  }
  if (!told("maker")) {
    const makers = top_of([...heard("maker")].filter(([name]) => name));
    if (makers.length > 1) found.push({ question: "what make is it?", answers: makers.map(([maker, chance]) => [maker, chance, with_unit(question, { maker })]) });
  }
  if (!told("features")) {
    for (const [feature, share] of features_of(heard(`features:${family}`))) {
      found.push({ question: `does it have ${feature}?`, answers: [["yes", share, with_unit(question, { features: feature })], ["no", 1 - share, question]] });
    }
  }
  return found;
}

function kinds_of(type_name) {
  if (C.types_by.has(type_name) || type_name.includes(" ")) return [];
  const named = C.types.map((row) => row.type).filter((name) => split_words(name).includes(type_name) && !name.includes("pair") && !name.includes("compact"));
  return named.slice(0, C.most_answers);
}

function ages_heard() {
  const told = heard("age"), start = new Map(C.ages_heard.map((age) => [general(age), C.start_weight / C.ages_heard.length]));
  const ages = [...new Set([...told.keys(), ...start.keys()])].map(Number).sort((a, b) => a - b);
  const reached = cumsum(ages.map((age) => (told.get(general(age)) || 0) + (start.get(general(age)) || 0)));
  const middles = [0.1, 0.3, 0.5, 0.7, 0.9].map((level) => ages[searchsorted(reached, level * reached[reached.length - 1])]);
  return [...new Set(middles)].map((age) => [age, middles.filter((other) => other === age).length / 5]);
}

function top_of(counts) {
  const named = [...counts].sort((a, b) => b[1] - a[1] || by_word(a[0], b[0])).slice(0, C.most_answers), all = sum(named.map(([, count]) => count));
  return named.map(([name, count]) => [name, count / all]);
}

function faults_of(type_name, family) {
  const kinds = fault_families(type_name, family), same = (other) => pair_key(...fault_families(other, family_of(other))) === pair_key(...kinds);
  const counts = new Map(C.faults.filter((row) => kinds.includes(row.family) && row.family !== "any").map((row) => [row.fault, 1]));
  for (const [fault, other, n] of N.repair.fixed_of) if (fault && same(other)) counts.set(fault, (counts.get(fault) || 0) + n);
  return top_of(counts);
}

function features_of(told) {
  const n = told.get("") || 0, named = [...told].filter(([feature]) => feature).sort((a, b) => b[1] - a[1] || by_word(a[0], b[0])).slice(0, 3);
  return named.map(([feature, count]) => [feature, (count + 2 * C.feature_share) / (n + 2)]);
}

// ---- the answer
function start_at(their_price, limit, usual) {
  if (limit <= 0) return Math.min(5 * Math.floor((limit * 1.25) / 5), their_price !== null ? their_price : 0);
  const wanted = usual === null ? C.usual_paid_share * limit : usual, first = 5 * Math.floor(Math.min(wanted, 0.8 * limit) / 5 + 1e-9);
  return Math.max(their_price !== null ? Math.min(first, their_price) : first, Math.min(0, their_price || 0));
}

function advise(limit, their_price, capped) {
  if (capped) return PASS;
  if (their_price !== null && limit >= their_price) return HAUL;
  if (limit >= C.worth_a_stop) return their_price === null ? HAUL : PASS;
  if (limit >= 0) return IF_FREE;
  return limit >= -C.most_removal_fee ? IF_PAID : PASS;
}

function offer(question, as_of) {
  kept = new Map();
  const ages = ages_of(question, as_of), type_name = type_of(question), known = question.known, day = ordinal(as_of);
  const cases = ages.map((age) => { const at = stakes(question, age, as_of), base = law(at.unit, day + C.days_ahead); return { age, at, worth: worth_of(at), base, days: days_to_sell(at.unit, base, day) }; });
  const mean = (value) => sum(cases.map((one) => value(one) / cases.length)), limit = mean((one) => one.worth.worth);
  const their_price = "their_price" in known ? known.their_price : null, usual = usual_paid(type_name), start = start_at(their_price, limit, usual);
  const paid = their_price !== null ? their_price : usual === null ? start : usual;
  for (const one of cases) one.odds = chances(one.at, one.worth, paid);
  const head = cases[0], trip = head.at.trip, out = trip.out_money + S.hourly_target * trip.out_hours;
  const hours = mean((one) => one.worth.hours) + mean((one) => one.worth.trip_hours), gain = mean((one) => one.worth.money) - mean((one) => one.worth.trip_money) - paid;
  const first = first_of(head.at.unit, as_of), fixed_of = k_of_n(String(question.unit.fault || ""), type_name);
  return {
    advice: advise(limit, their_price, first !== null && first.cap === "pass"), pay_up_to: limit, start_at: start, their_price, paid_assumed: paid,
    before_drive_pay_up_to: question.at_curb ? limit - out : limit, at_curb_pay_up_to: question.at_curb ? limit : limit + out, cautious_pay_up_to: mean((one) => one.odds.cautious),
    expected_gain: gain, hours, return_per_hour: hours > 0 ? gain / hours : 0, chance_of_loss: mean((one) => one.odds.loss), chance_of_target: mean((one) => one.odds.target),
    fix_chance: mean((one) => total(one.at, (r) => r.fix)), go_on: cases.length === 1 ? head.worth.tries : mean((one) => (one.worth.tries ? 1 : 0)) >= 0.5,
    repairs: candidates(cases), if_not_fixed: mean((one) => one.at.if_not), price: sold(question, cases), costs: spent(question, cases), ask_first: ask_first(question, paid, as_of),
    standing: standings(question, cases, fixed_of), fixed_of: { fixed: fixed_of[0], ended: fixed_of[1], other_types: fixed_of[2] },
    days: { median: mean((one) => one.days.median), low: mean((one) => one.days.low), high: mean((one) => one.days.high) },
    by_year: by_year(question, cases), because: because(cases), cautions: [...(first ? [first] : []), ...for_offer(question.unit)].map((one) => one.full), capped: first,
    known_fault: head.at.view.row[1], known_type: C.types_by.has(type_name) || n_of_type(type_name) > 0,
  };
}

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

function sold(question, cases) {
  const told = question.known.price;
  if (known_number(told)) return { median: told, low: told, high: told, mean: told };
  const average = sum(cases.map(({ at }) => total(at, (r) => r.fix * r.price) / Math.max(total(at, (r) => r.fix), 1e-9) / cases.length));
  if (cases.length === 1) { const [low, high] = range_of(cases[0].base, S.coverage); return { median: Math.exp(cases[0].base.center), low, high, mean: average }; }
  const all = Float64Array.from(cases.flatMap(({ base }) => [...draws(base, 0)])).sort();
  const [median, low, high] = [0.5, (1 - S.coverage) / 2, (1 + S.coverage) / 2].map((level) => all[Math.trunc(level * (all.length - 1))]);
  return { median, low, high, mean: average };
}

function spent(question, cases) {
  const mean = (value) => sum(cases.map(({ at }) => total(at, value(at)) / cases.length)), average = (value) => sum(cases.map((one) => value(one) / cases.length));
  const fixed = mean(() => (r) => r.fix), left = question.at_curb ? 0.5 : 1, tries = cases.some((one) => one.worth.tries), trip = cases[0].at.trip, failed = Math.exp(cases[0].at.view.failed_log);
  let bench = tries ? mean(() => (r) => r.fix * r.hours_mean + (1 - r.fix) * r.hours_mean * failed) : 0, back = tries ? average(({ at }) => at.comeback_hours) * fixed : 0;
  const all = average((one) => one.worth.hours);
  if ("hours" in question.known) { bench = Math.min(bench, all); back = 0; }
  const [parts_low, parts_high] = parts_spread(question, cases);
  return {
    truck: trip.truck * left, helper: trip.helper, parts: tries ? mean(() => (r) => r.fix * r.parts + (1 - r.fix) * r.wasted) : 0,
    parts_if_fixed: mean(() => (r) => r.fix * r.parts) / Math.max(fixed, 1e-9), parts_low, parts_high, comebacks: tries ? average(({ at }) => at.comeback) * fixed : 0,
    fees: tries ? mean(() => (r) => r.fix * (r.price * S.selling_fee_share + S.selling_fee_fixed)) : 0, drive_hours: (trip.hours - trip.load_hours) * left, load_hours: trip.load_hours,
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

function standings(question, cases, fixed_of) {
  const mean = (value) => sum(cases.map((one) => value(one) / cases.length)), type_name = type_of(question), [, n, near] = fixed_of;
  const removed = 1 - mean((one) => one.base.spread ** 2) / Math.max(mean((one) => one.base.prior_spread ** 2), 1e-300);
  const lines = {
    price: standing(removed, n_of_type(type_name), n_of_family(type_name)), fix: standing(mean((one) => one.at.view.fix_known), n, near),
    parts: standing(mean((one) => one.at.view.parts_known), n, near), hours: standing(mean((one) => one.at.view.hours_known), n, near), days: cases[0].days.standing,
  };
  for (const [name, option] of [["price", "price"], ["fix", "fix_chance"], ["parts", "parts"], ["hours", "hours"]]) if (option in question.known) lines[name] = "your number";
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
    ["the spot it holds", -mean((one) => one.worth.spot)],
    ["your hours", -S.hourly_target * mean((one) => one.worth.hours + one.worth.trip_hours)],
  ];
  return listed.filter(([, amount]) => Math.abs(amount) > 1e-9).map(([term, amount]) => ({ term, amount }));
}
