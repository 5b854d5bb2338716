// At listing: what to ask, what it will really sell for, the days, the dated plan and the least to take.
"use strict";
const ASK_DAYS = [7, 14, 30, 60];

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
  const listed = typeof unit.listed === "string" ? ordinal(unit.listed) : typeof unit.listed === "number" ? Math.trunc(unit.listed) : asked_now !== undefined ? today : null;
  if (listed === null || listed > today) return null;
  const now = asked_now ?? (unwritten === undefined ? null : rounded(unwritten)), spells = asks_formulas.spells_of(dated(unit.asked || ""), listed, today, now);
  return { spells, days: sum(spells.map(([length]) => length)) };
}

// ---- the answer
function look(question, as_of) {
  const day = ordinal(as_of), units = ages_of(question, as_of).map((age) => ({ ...question.unit, age })), laws = units.map((unit) => law(unit, day));
  const first = mixed(laws, laws.map(() => 1)),
    [one, told_by_ask] = with_first_ask(question, units[0], first, ordinal(as_of)), told = question.known.price, known = known_number(told);
  const [low, high] = range_of(one, S.coverage), median = known ? told : Math.exp(one.center), unit = units[0], here = market(unit, day), talk = haggle(unit),
    model = N.saletime, callers = sum(model.callers_weight);
  const plain = finished({ ...one, mean: undefined, spread: Math.sqrt(Math.max(one.spread ** 2 - one.blank, 0)), blank: 0, tilt: 1 });
  const demand = {
    estimate: median, sd: known ? C.told_sd : unseen_sd(plain),
    log_rate: [...model.eta_points.map((eta) => here.log_rate + here.per_eta * (eta - model.eta_mean)), ...model.callers_level.map((level) => here.log_rate + level)],
    log_rate_sd: here.log_rate_sd, eta: [...model.eta_points, ...model.callers_eta], most: [...model.eta_points.map(() => C.power_most), ...model.callers_most],
    law_weight: [...model.eta_weights.map((weight) => (1 - callers) * weight), ...model.callers_weight], off: talk.off_mean, off_slope: talk.off_slope,
  };
  return { unit, median, mean: known ? told : mean_price(one), mean_known: known ? told : mean_price(plain), wider: known ? [1, 1] : wider_of(one, plain), blank: known ? 0 : one.blank, low: known ? told : low, high: known ? told : high, removed: one.removed,
    told_by_ask: known ? 0 : told_by_ask, demand, market: here, haggle: talk };
}

/** Both sides of the range with blanks over those without. */
function wider_of(one, plain) {
  const sides = [one, plain].map((each) => range_of(each, S.coverage).map((end) => Math.abs(Math.log(end) - each.center)));
  return sides[0].map((side, k) => side / Math.max(sides[1][k], 1e-12));
}

/** The law once the first ask that the person made is known, and by how much that moved its middle. */
function with_first_ask(question, unit, law_of_it, today) {
  const past = past_of(question.unit, today, question.known.asked_now), model = N.saletime;
  if (past === null || !past.spells.length) return [law_of_it, 0];
  const sd = unseen_sd(law_of_it), of = selling_formulas, apart = Math.log(past.spells[0][1]) - law_of_it.center - of.usual_premium(model, word(unit, "type"));
  const [moved, left] = of.quality_from_ask(model, apart, sd), share = left / sd;
  return [finished({ ...law_of_it, center: law_of_it.center + moved, scale: law_of_it.scale * share, spread: law_of_it.spread * share, blank: law_of_it.blank * share * share }), moved];
}

/** Whose the days to sell are. */
const days_standing = ({ market }) => standing(market.removed, market.n_type, market.n_family);

function terms_of(question, view) {
  const kind = type_of(question), [highest, why] = selling_formulas.ceiling(N.saletime, kind, view.demand.estimate, py.get(S.new_price, kind));
  const holding = S.short_of === "space" ? Math.max(S.holding_cost_per_day, N.spot_a_day) : S.holding_cost_per_day;
  return [{ holding, after: S.clear_after_days, share: S.clear_share, fee_share: S.selling_fee_share, fee_fixed: S.selling_fee_fixed, highest,
    shape: N.saletime.shape, habit: [selling_formulas.usual_premium(N.saletime, kind), N.saletime.drop_fall, N.saletime.drop_days] }, why];
}

function ask(question, as_of) {
  kept = new Map();
  const view = look(question, as_of), demand = view.demand, [at, why] = terms_of(question, view), today = ordinal(as_of), type_name = type_of(question);
  const so_far = past_of(question.unit, today, question.known.asked_now, demand.estimate), past = so_far || { spells: [], days: 0 };
  const found = best(demand, at, past), cleared = clearing_price(found, demand, at), value = found.value.map((left) => gross_of(at, left));
  const plan = plan_of(found, value, today), price = found.asks.length ? found.asks[0] : cleared, verdict = verdict_of(question, "sale", as_of);
  const answer = {
    ask: price, median: view.median, mean: view.mean, low: view.low, high: view.high, coverage: S.coverage, price_at_ask: span(found, demand, at, view.haggle, view.wider),
      take_at_least: Math.min(Math.max(value[0], 0), price),
    median_days: median_days(found), chance_sold: Object.fromEntries(ASK_DAYS.map((days) => [String(days), chance_by(found, days)])), plan,
    clear: { date: isoformat(today + rint(sum(found.sale.days))), price: cleared }, choices: choices(found, demand, at, past),
      talked_down: off_at(demand, Math.log(Math.max(price, 1e-9) / demand.estimate)),
    holding_cost_per_day: at.holding, ceiling: found.asks.length && rounded(price * 1.03) > at.highest ? why : "",
      days_listed: so_far === null ? null : so_far.days, in_force: asks_formulas.in_force((past_of(question.unit, today, question.known.asked_now) || { spells: [] }).spells), ask_effect_from: selling_formulas.learned_from(N.saletime), sales_used: N.price.n,
    standing: { days: days_standing(view), haggle: standing(view.haggle.n / (view.haggle.n + 8), view.haggle.n),
      price: "price" in question.known ? "your number" : standing(view.removed, n_of_type(type_name), n_of_family(type_name)) },
    because: [...terms(view.unit, today).map(([term, amount]) => ({ term, amount })),
      ...(view.told_by_ask ? [{ term: "your own first ask", amount: view.median * (1 - Math.exp(-view.told_by_ask)) }] : [])], ...before_money(verdict),
    as_of, spot: S.short_of === "space" && at.holding > S.holding_cost_per_day, as_read: said_back(question), warnings: ask_warnings(question), heard: question.heard || {}, similar: closest(view.unit, today), pair: pair_of(question, as_of),
    offered: "offered" in question.known ? bids_formulas.judged(question.known.offered, price, off_at(demand, Math.log(Math.max(price, 1e-9) / demand.estimate)), Math.min(Math.max(value[0], 0), price), plan) : null,
  };
  if (!verdict.decision) return answer;
  return { ...answer, ask: 0, take_at_least: 0, clear: { ...answer.clear, price: 0 }, price_at_ask: { median: 0, low: 0, high: 0 }, chance_sold: {}, plan: [], choices: [],
    offered: null, pair: null };
}

const plan_of = (found, value, today) => asks_formulas.dated(found.starts, found.asks, value).map(([days, price, take_at_least]) => ({ date: isoformat(today + days), ask: price, take_at_least }));

function span(found, demand, at, talk, wider) {
  return span_of(sale_prices(found, demand, at.share, talk.full_share, talk.off_sd), wider);
}

/** Middle and ends of sorted prices with their chances, the sides so much wider. */
function span_of([prices, chance], wider) {
  const upto = cumsum(chance);
  const [median, low, high] = [0.5, (1 - S.coverage) / 2, (1 + S.coverage) / 2].map((level) => prices[Math.min(searchsorted(upto, level), prices.length - 1)]);
  const end = (value, factor) => median * Math.pow(Math.max(value, 1e-9) / Math.max(median, 1e-9), factor);
  return { median, low: end(low, wider[0]), high: end(high, wider[1]) };
}

function choices(found, demand, at, past) {
  const times = (factor) => at_asks(demand, at, found.asks.map((price) => rounded(price * factor, at.highest)), past), off = (price) => off_at(demand, Math.log(price / demand.estimate));
  return asks_formulas.choices(found, times, off, median_days).map(([name, ask, days, price, left]) => ({ name, ask, days, price, left }));
}
