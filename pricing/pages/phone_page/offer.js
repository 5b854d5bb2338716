// Before the drive: the most to pay, what to start at, go or pass, chances, what to ask first, and why.
"use strict";
const { total } = offer_sums_formulas;
const PRICE = 0, NO_PART = 1, PART = 2, BENCH = 3, SELL = 4; // the dimensions of the points

// ---- costs
/** The drive, and what is still to come of it: at the curb only the way home. */
function trip_of({ known, at_curb }) {
  const of = offer_sums_formulas, trip = of.trip_of(known, of.usual_miles(N.repair.miles, S.distance_unit), S);
  return { ...trip, still: at_curb ? [trip.money - trip.out_money, trip.hours - trip.out_hours] : [trip.money, trip.hours] };
}

/** What a fixed unit comes to when it is listed by the very plan that ask would give, and at each of the ages that it may have. */
function by_plan(question, as_of) {
  const plan = plan_of_one(question, as_of);
  if (question.made.length > 1) plan.by_age = ages_of(question, as_of).map((age) => plan_of_one({ ...question, made: [], unit: { ...question.unit, age } }, as_of));
  return plan;
}

function plan_of_one(question, as_of) {
  const unit = { ...question.unit }, known = "price" in question.known ? { price: question.known.price } : {};
  delete unit.listed; delete unit.asked;
  const fixed = { ...question, unit, known }, view = look(fixed, as_of), [at] = terms_of(fixed, view), found = best(view.demand, at, { spells: [], days: 0 });
  const prices = sale_prices(found, view.demand, at.share, view.haggle.full_share, view.haggle.off_sd), tail = (1 - S.coverage) / 2;
  const [low, median, high] = [tail, 0.5, 1 - tail].map((level) => day_sold(found, level));
  const sale = dot(prices[0], prices[1]), sd = Math.sqrt(Math.max(dot(prices[0].map((price) => price * price), prices[1]) * Math.exp(view.blank) - sale * sale, 0));
  return { sale, sd, moves: money_per_ln(found, view.demand, at.share, view.haggle.full_share, view.haggle.off_sd), span: span_of(prices, view.wider), days: { median, low: Math.max(low, 1), high },
    standing: days_standing(view), usual: view.mean_known, held: days_held(found), holding: at.holding };
}

/** The plan at one of the ages it may have, by its place among them. */
const plan_at = (plan, k) => (plan.by_age ? plan.by_age[k] : plan);

/** Everything that is at stake in one case: a question at one of the ages it may have. */
function stakes(question, age, as_of, plan) {
  const unit = { ...question.unit, age }, known = question.known, view = outlook(unit), type_name = type_of(question);
  const day = ordinal(as_of) + C.days_ahead, told = (name, estimate) => (known_number(known[name]) ? known[name] : estimate);
  const back = comeback_share(type_name, family_of(type_name)), comeback = back * S.comeback_cost, comeback_hours = back * S.comeback_hours;
  const over_usual = plan.sale / plan.usual, keeping = [spot_a_day() * bench_days(), plan.holding * plan.held];
  const each = view.each.map((one) => {
    const one_law = law({ ...unit, repair: one.repair || null }, day), sale = told("price", mean_price(one_law) * over_usual);
    return {
      ...one, law: one_law, price: sale, fix: told("fix_chance", one.fix), net: sale * (1 - S.selling_fee_share) - S.selling_fee_fixed - comeback, parts: told("parts", one.parts_mean),
      wasted: known_number(known.parts) ? view.waste * known.parts : one.wasted_mean, hours_fixed: told("hours", one.hours_mean + one.sell_mean + comeback_hours), keeping,
    };
  });
  const ended = (value) => sum(each.map((one) => one.chance * one.fix * value(one))), sold = ended((one) => one.price) / Math.max(ended(() => 1), 1e-9);
  const left = best_exit(type_name, sold, verdict_of(question, "bench", as_of).as_is);
  const looking = (one) => [told("hours", one.hours_mean * Math.exp(view.failed_log) + left.hours), exits_formulas.FINDING_SHARE * told("hours", one.hours_mean)];
  for (const one of each) [one.hours_failed, one.looked] = looking(one);
  const barred = verdict_of(question, "call", as_of).decision !== "";
  going_on(each, [left.money, left.hours], barred);
  return { question, unit, view, each, failed: Math.exp(view.failed_log), if_not: left.money, rest: left.hours, back, comeback, comeback_hours, over_usual, trip: trip_of(question), barred };
}

/** With which repairs the bench goes on: none of a fault where all of them together are worth less than to leave it at once. */
function going_on(each, left, barred) {
  const at_once = left[0] - S.hour_worth * left[1], found = each.map((one) => offer_sums_formulas.found_out(one, left, S.hour_worth));
  const over = (told) => sum(each.map((one, i) => (one.told === told ? one.chance * (found[i][0] - at_once) : 0)));
  const leave = each.map((one) => barred || over(one.told) < 0);
  each.forEach((one, i) => { one.goes = leave[i] || !found[i][1] ? 0 : 1; if (leave[i]) one.looked = 0; });
}

function worth_of({ each, if_not, rest, trip, barred }) {
  const of = offer_sums_formulas, sums_of = (all) => [0, 1, 2].map((k) => sum(each.map((one, i) => one.chance * all[i][k])));
  const done = sums_of(each.map((one) => of.as_done(one, [if_not, rest]))), pays = sums_of(each.map((one) => of.ended(one, if_not)))[0] >= if_not;
  return of.worth(done, sum(each.map((one) => one.chance * one.goes)), pays, trip.still, barred, S.hour_worth);
}

/** The most to pay: the mean over the ages it may have. */
function limit_of(question, as_of, plan) {
  const ages = ages_of(question, as_of);
  return sum(ages.map((age, k) => worth_of(stakes(question, age, as_of, plan_at(plan, k))).worth)) / ages.length;
}

// ---- chances
function chances(at, worth, paid) {
  const known = at.question.known, n = C.n_points, view = at.view, target = S.hourly_target, waste = view.waste;
  const dud = normal_points(PRICE).map((z) => Math.exp(C.dud_sd * z - (C.dud_sd * C.dud_sd) / 2)), free = lattice(NO_PART), zp = normal_points(PART), zb = normal_points(BENCH), zs = normal_points(SELL);
  const told_parts = known_number(known.parts), told_price = known_number(known.price), told_hours = known_number(known.hours);
  const gains = new Float64Array(at.each.length * 4 * n), weights = new Float64Array(gains.length);
  const trip = worth.trip_money, failed_share = Math.exp(view.failed_log);
  const brought = Float64Array.from(dud, (one) => at.if_not * one - trip), of_all = (test) => brought.filter(test).length / n;
  let loss = 0, reached = 0, place = 0;
  for (const one of at.each) {
    const sale = told_price ? null : draws(one.law, PRICE), parts_sd = Math.sqrt(one.parts_var), bench_sd = Math.sqrt(one.hours_var), sell_sd = Math.sqrt(one.sell_var);
    const fixed = one.chance * one.fix, failed = one.chance * (1 - one.fix), keep = 1 - S.selling_fee_share;
    const under = [0, 0, 0, 0], reach = [0, 0, 0, 0], weights_of = [fixed * (1 - at.back), fixed * at.back, failed * (1 - waste), failed * waste];
    for (let i = 0; i < n; i++) {
      const size = told_parts ? known.parts : Math.exp(one.parts_log + parts_sd * zp[i]);
      const bought = told_parts || free[i] >= one.no_parts ? size : 0;
      const bench = told_hours ? 0 : Math.exp(one.hours_log + bench_sd * zb[i]);
      const hours = told_hours ? known.hours : bench + Math.exp(one.sell_log + sell_sd * zs[i]) + at.comeback_hours;
      const lost_hours = told_hours ? known.hours : bench * failed_share + at.rest;
      const done = (told_price ? known.price : sale[i] * at.over_usual) * keep - S.selling_fee_fixed - bought - trip, lost = at.if_not * dud[i] - trip;
      const ends = [done, done - S.comeback_cost, lost, lost - size], wanted = [hours, lost_hours].map((work) => target * (work + worth.trip_hours));
      for (let k = 0; k < 4; k++) {
        if (ends[k] < paid) under[k] += 1;
        if (ends[k] - paid >= wanted[k >> 1]) reach[k] += 1;
        gains[place] = ends[k]; weights[place++] = weights_of[k];
      }
    }
    const mixed = ([kept, come, whole, part]) => one.fix * ((1 - at.back) * (kept / n) + at.back * (come / n)) + (1 - one.fix) * ((1 - waste) * (whole / n) + waste * (part / n));
    loss += one.chance * mixed(under);
    reached += one.chance * (one.goes ? mixed(reach) : of_all((left) => left - paid >= target * (at.rest + one.looked + worth.trip_hours)));
  }
  if (!worth.pays) loss = of_all((one) => one < paid);
  const cautious = worth.pays ? quantile_of(gains, weights, S.cautious_loss_chance) : quantile_of(brought, new Float64Array(n).fill(1), S.cautious_loss_chance);
  return { loss: clip(loss, 0, 1), target: clip(reached, 0, 1), cautious };
}

// ---- days
const bench_days = () => (N.repair.bench_days[1] + 3 * C.bench_days) / (N.repair.bench_days[0] + 3);
const spot_a_day = () => (S.short_of === "space" ? Math.max(S.holding_cost_per_day, N.spot_a_day) : 0);

// ---- the answer
const offer = (question, as_of) => whole_answer(question, as_of, asking);
/** The answer without what to ask them first, which takes most of the time. */
const offer_at_once = (question, as_of) => whole_answer(question, as_of, offer_of_one);

function asking(question, as_of) {
  const found = offer_of_one(question, as_of);
  return { ...found, ask_first: found.decision ? [] : ask_first(question, found.paid_assumed, as_of) };
}

/** With the limit of each likely kind where the kind is open; of several units in one call each answered, and the lot in place of the first. */
function whole_answer(question, as_of, answer_of) {
  const units = question.each || [], n = units.length, found = answer_of(question, as_of);
  if (n < 2) return { ...found, by_kind: by_kind(question, as_of) };
  const sharing = (k) => units.map((one) => (k > 1 ? { ...one, known: { on_trip: k, ...one.known } } : one));
  const told_of = (one) => ({ unit: { ...one.unit, ...(one.made.length ? { made: one.made } : {}) }, as_read: said_back(one) });
  const each = sharing(n).map((one, i) => ({ ...answer_of(one, as_of), ...told_of(units[i]) }));
  const plans = units.map((one) => by_plan(one, as_of)), barred = range(n).filter((i) => each[i].decision), told = question.heard.read.their_price;
  const [most, take] = lot_formulas.best_of(n, barred, (k) => sharing(k).map((one, i) => limit_of(one, as_of, plans[i])));
  const price = lot_formulas.price_of(told === undefined || told === null ? question.known.their_price : told, units.map((one) => one.known.their_price));
  const ours = lot_formulas.together_of(n, barred, take), z = normal_law_formulas.quantile((1 + S.coverage) / 2), roots = ours.map((i) => roots_of(units[i], as_of));
  const sold = ours.length ? lot_formulas.sells_for(ours.map((i) => plans[i]), roots.map((one) => roots.map((other) => dot(one, other))), z) : { mean: 0, median: 0, low: 0, high: 0 };
  return { ...found, ...lot_formulas.over_first(lot_formulas.told(each, take, most, price === undefined ? null : price, sold)) };
}

/** What moves the estimate of a unit together with that of others. */
function roots_of(question, as_of) {
  const rows = read({ ...question.unit, age: ages_of(question, as_of)[0] }, ordinal(as_of)), all = [...moved_by(rows.columns), N.price.walk * Math.sqrt(rows.ahead)];
  return known_number(question.known.price) ? all.map(() => 0) : all;
}

function by_kind(question, as_of) {
  const answers = likely_kinds(type_of(question)).map(([type, share]) => ({ type, share, found: offer_of_one({ ...question, unit: { ...question.unit, type } }, as_of) }));
  return answers.filter((one) => !one.found.decision).map(({ type, share, found }) => ({ type, share, pay_up_to: found.pay_up_to }));
}

function offer_of_one(question, as_of) {
  kept = new Map();
  const { known, unit, at_curb } = question, kind = type_of(question), day = ordinal(as_of) + C.days_ahead, plan = by_plan(question, as_of), sums = offer_sums_formulas;
  const cases = ages_of(question, as_of).map((age, k) => { const at = stakes(question, age, as_of, plan_at(plan, k)); return { ...at, age, ...worth_of(at), base: law(at.unit, day) }; });
  const verdict = verdict_of(question, "call", as_of), their_price = "their_price" in known ? known.their_price : null, whole = sums.mean(cases, (one) => one.worth);
  const [start, paid] = limit_formulas.opening(their_price, whole, usual_paid(kind), C.usual_paid_share);
  for (const one of cases) Object.assign(one, chances(one, one, paid));
  const { trip, view } = cases[0], out = trip.out_money + S.hour_worth * trip.out_hours, fixed_of = repairs_needed_formulas.k_of_n(N.repair.ended, String(unit.fault || ""), kind);
  const { before_drive, ...limits } = limit_formulas.limits(whole, start, out, at_curb, their_price, verdict), { cautious, tries, ...expected } = sums.expected(cases, paid);
  const [parts_low, parts_high] = parts_spread(question, cases), told = known.price, price = known_number(told) ? { median: told, low: told, high: told, mean: told } : { ...plan.span, mean: plan.sale };
  const found = {
    ...limits, their_price, paid_assumed: paid, before_drive_pay_up_to: before_drive, ...expected, cautious_pay_up_to: cautious, go_on: tries,
    repairs: sums.candidates(cases).map(([repair, chance, fix, parts, hours]) => ({ repair, chance, fix, parts, hours })), price,
    costs: { ...sums.spent(cases, at_curb, known, S), parts_low, parts_high },
    standing: { ...standings(question, cases, fixed_of), days: plan.standing }, fixed_of: { fixed: fixed_of[0], ended: fixed_of[1], other_types: fixed_of[2] }, days: plan.days,
    by_year: by_year(question, cases), by_kind: [], because: sums.because(cases, S).map(([term, amount]) => ({ term, amount })), ...before_money(verdict),
    as_read: said_back(question), warnings: offer_warnings(question, view.row), heard: question.heard || {},
  };
  return verdict.decision ? without_money(found) : found;
}

/** The answer where a decision stands above the money. */
function without_money(found) {
  const free = Object.fromEntries(["pay_up_to", "start_at", "before_drive_pay_up_to", "at_curb_pay_up_to", "cautious_pay_up_to"].map((name) => [name, Math.min(found[name], 0)]));
  return { ...found, ...free, fix_chance: 0, go_on: false, repairs: [], by_year: [], because: [] };
}
