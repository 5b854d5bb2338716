// Answers as a person reads them: the decision first, then the range, what it rests on, why, and what would change it.
"use strict";
const mark = (text) => el("span", { class: "mark" }, text);
const row = (...cells) => el("tr", {}, ...cells.map((cell, i) => el(i ? "td" : "th", i ? { class: "r" } : { scope: "row" }, cell)));
const fact = (label, value, more, whose) => row(el("span", {}, label, el("span", { class: "small more" }, more)), value, whose);
const small = (text) => el("p", { class: "small" }, text);
const fold = (title, ...inside) => el("details", {}, el("summary", {}, title), ...inside);
const caution = (text) => el("p", { class: "caution" }, text);
const sentence = (text) => `${text[0].toUpperCase()}${text.slice(1).replace(/\.$/, "")}.`;
const span_text = (low, high) => `${limit_text(low)}–${limit_text(high)}`;

function rows_of(title, heads, rows) {
  const head = heads ? el("thead", {}, el("tr", {}, ...heads.map((one, i) => (one ? el("th", { scope: "col", class: i ? "r" : "" }, one) : el("td", {}))))) : null;
  return el("table", {}, title ? el("caption", {}, title) : null, head, el("tbody", {}, ...rows));
}

/** A range as a bar: its ends and its middle. */
function drawn_range(low, middle, high, label) {
  const wide = high - low, left = Math.max(0, low - wide * 0.35), all = high + wide * 0.35 - left || 1, x = (value) => 10 + (340 * (value - left)) / all;
  const shape = (tag, attributes, text) => {
    const made = document.createElementNS("http://www.w3.org/2000/svg", tag);
    for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
    if (text) made.textContent = text;
    return made;
  };
  const words = ({ value, y }) => shape("text", { x: clip(x(value), 22, 338), y, "text-anchor": "middle" }, limit_text(value));
  const svg = shape("svg", { viewBox: "0 0 360 58", role: "img", "aria-label": `${label}: ${limit_text(low)} to ${limit_text(high)}, middle ${limit_text(middle)}` });
  svg.append(
    shape("line", { x1: 10, x2: 350, y1: 28, y2: 28 }), shape("rect", { x: x(low), y: 19, width: Math.max(x(high) - x(low), 2), height: 18, rx: 3 }),
    shape("line", { x1: x(middle), x2: x(middle), y1: 14, y2: 42, class: "middle" }),
    ...[{ value: low, y: 54 }, { value: middle, y: 10 }, { value: high, y: 54 }].map(words),
  );
  return svg;
}

const guess_line = (lines) => (Object.values(lines).includes("GUESS") ? small("GUESS: a starting figure nobody measured for your area.") : null);

function decision(kind, verdict, ...lines) {
  return el("div", { class: `plate ${kind}`, tabindex: "-1" }, el("p", { class: "verdict" }, verdict),
    ...lines.filter(Boolean).map((line, i) => el("p", i ? {} : { class: "lead" }, line)));
}

// ---- before the drive
function offer_words(found) {
  const most = limit_text(found.pay_up_to);
  if (found.capped && found.capped.cap === "pass") return ["pass", "PASS."];
  if (found.advice === HAUL && found.pay_up_to < 0) return ["go", `GO GET IT while they pay you ${money(-found.pay_up_to)} or more.`];
  if (found.advice === HAUL) return ["go", `GO GET IT. Pay up to ${most}.${found.their_price === null || found.their_price > 0 ? ` Start at ${money(found.start_at)}.` : ""}`];
  if (found.advice === IF_FREE) return ["if", "ONLY IF FREE."];
  if (found.advice === IF_PAID) return ["if", `ONLY IF THEY PAY YOU ${limit_text(-found.pay_up_to)} or more.`];
  if (found.pay_up_to >= 5 && found.their_price !== null) return ["pass", `PASS at their ${money(found.their_price)}. It pays only up to ${most}.`];
  return ["pass", "PASS. It does not pay even where they pay you."];
}

function at_price(found) {
  if (found.their_price === null) return found.paid_assumed === 0 ? "For free" : `At ${money(found.paid_assumed)}`;
  if (found.their_price < 0) return `With their ${money(-found.their_price)}`;
  return found.their_price === 0 ? "For free" : `At their ${money(found.their_price)}`;
}

function kept_words(found) {
  const left = found.expected_gain >= 0 ? `you keep about ${limit_text(found.expected_gain)}` : `you lose about ${limit_text(-found.expected_gain)}`;
  return `${at_price(found)} ${left}${found.hours > 0 ? `: ${money(found.return_per_hour)} an hour (you want ${money(S.hourly_target)})` : ""}.`;
}

const so_often = (share) => (chance_text(share) === "half" ? "half the time" : chance_text(share));

function odds_words(found, question) {
  const words = `${sentence(so_often(found.chance_of_loss)).slice(0, -1)} you lose money; ${so_often(found.chance_of_target)} you make your hour.`;
  if (question.at_curb) return `${words} Before the drive it was up to ${limit_text(found.before_drive_pay_up_to)}.`;
  return found.at_curb_pay_up_to > 0 && found.at_curb_pay_up_to - found.pay_up_to >= 1 ? `${words} Already at the curb? Up to ${limit_text(found.at_curb_pay_up_to)}.` : words;
}

/** keep_call: called with what came of it. */
function offer_view(found, question, keep_call) {
  const [kind, verdict] = offer_words(found), capped = found.capped && found.capped.cap === "pass", first = found.capped ? found.cautions.slice(0, 1) : [];
  const button = (words, came) => el("button", { type: "button", class: "second", onclick: () => keep_call(came) }, words);
  return [
    ...first.map(caution),
    decision(kind, verdict, ...(capped ? [] : [kept_words(found), found.go_on || found.capped ? "" : "Fixing it is not worth your hours.", odds_words(found, question)])),
    small(`I read: ${found.as_read}.`),
    el("div", { class: "keep" }, button("I take it", GOT), button("I pass on it", PASSED), button("Keep the call", "")),
    ...found.cautions.slice(first.length).map(caution),
    ...found.warnings.map((text) => small(text)),
    found.price.low < found.price.high ? drawn_range(found.price.low, found.price.median, found.price.high, "Sells for, once fixed") : null,
    offer_facts(found),
    el("div", { id: "ask-them" }, el("h2", {}, "Ask them first"), el("p", {}, "…")),
    by_year_table(found),
    fold("Why, and what it may be", rows_of("Adds up to the most to pay", null, found.because.map((one) => row(one.term, money(one.amount)))),
      rows_of("What it may be", ["Repair", "Chance", "You fix it", "Parts"],
        found.repairs.slice(0, 6).map((one) => row(one.repair, chance_text(one.chance), chance_text(one.fix), money(one.parts))))),
    guess_line(found.standing),
  ].filter(Boolean);
}

function offer_facts(found) {
  const { price, costs, fixed_of, standing: lines, days } = found,
    own_words = fixed_of.ended ? `you: ${fixed_of.fixed} of ${fixed_of.ended}` : fixed_of.other_types ? `${fixed_of.other_types} on other types` : "none of yours yet";
  return rows_of("", null, [
    fact("Fixed, it sells for", limit_text(price.median), price.low < price.high ? `${chance_text(S.coverage)}: ${span_text(price.low, price.high)}` : "",
      mark(lines.price)),
    fact("You fix it", `${Math.round(found.fix_chance * 100)}%`, own_words, mark(lines.fix)),
    fact("Parts, if fixed", money(costs.parts_if_fixed), costs.parts_low < costs.parts_high ? `usual ${span_text(costs.parts_low, costs.parts_high)}` : "",
      mark(lines.parts)),
    fact("Days to sell", String(rint(days.median)), `usual ${rint(days.low)}–${rint(days.high)}`, mark(lines.days)),
    fact("Your time", `${found.hours.toFixed(1)} h`, hours_words(costs), mark(lines.hours)),
  ]);
}

function hours_words(costs) {
  const [drive, bench, sell] = [costs.drive_hours + costs.load_hours, costs.bench_hours, costs.clean_sell_hours].map((hours) => hours.toFixed(1));
  return `drive ${drive}, bench ${bench}, clean and sell ${sell}`;
}

const may_pay = (most) => (most > 0 ? `up to ${limit_text(most)}` : "pass");

/** ranked: of `ask_first`. */
function ask_them(ranked) {
  if (!ranked.length) return [];
  return [el("h2", {}, "Ask them first"), ...ranked.slice(0, 3).map((one) => {
    const ranked = [...one.answers].sort((a, b) => b.pay_up_to - a.pay_up_to), ends = [...new Set([ranked[0], ranked[ranked.length - 1]])];
    return el("p", {}, el("strong", {}, one.question), ` ${ends.map((other) => `${other.answer}: ${may_pay(other.pay_up_to)}`).join("; ")}`);
  })];
}

function by_year_table(found) {
  return found.by_year.length ? rows_of("If it was made in", ["Year", "Sells for", "Pay up to"],
    found.by_year.map((one) => row(String(one.made), limit_text(one.price), limit_text(one.pay_up_to)))) : null;
}

// ---- set the ask
function offered_words({ offered, say, take_at_least, counter, until }) {
  const later = until ? ` Still there on ${day_text(until)}? Then take ${money(offered)}.` : "";
  if (say === "take it") return `TAKE the ${money(offered)}: today anything from ${limit_text(take_at_least)} is worth taking.`;
  if (say === "counter") return `COUNTER at ${money(counter)}; walk away under ${limit_text(take_at_least)} today.${later}`;
  return `HOLD. ${money(offered)} is under the ${limit_text(take_at_least)} that waiting is worth.${later}`;
}

const days_words = (days) => `${rint(days)} day${rint(days) === 1 ? "" : "s"}`;

function ask_view(found, question, as_of) {
  const price = found.price_at_ask, up = !found.plan.length, told = found.offered ? offered_words(found.offered) : "";
  const asks = up ? `CLEAR IT OUT at about ${limit_text(found.clear.price)}: its time on the market is up.` : `ASK ${money(found.ask)}. Expect about ${limit_text(price.median)}.`;
  const wait = up ? "" : `Today take ${limit_text(found.take_at_least)} or more. Half like this sell within ${days_words(found.median_days)}.`;
  const since = found.days_listed === null ? "Not listed yet." : `Listed ${days_words(found.days_listed)}.`;
  return [
    decision(up || (found.offered && found.offered.say !== "take it") ? "if" : "go", told || asks, told ? asks : wait, told ? wait : ""),
    small(`I read: ${found.as_read}. ${since}`),
    ...found.cautions.map(caution),
    ...found.warnings.map((text) => small(sentence(text))),
    price.low < price.high ? drawn_range(price.low, price.median, price.high, "Will sell for") : null,
    rows_of("", null, [
      fact("Will sell for", limit_text(price.median), `${chance_text(S.coverage)}: ${span_text(price.low, price.high)}`, mark(found.standing.price)),
      ...(up ? [] : [fact("Sold in 14 days", chance_text(found.chance_sold[14]),
        `7 days ${chance_text(found.chance_sold[7])}, 30 days ${chance_text(found.chance_sold[30])}`, mark(found.standing.days))]),
      fact("They talk down", `${rint(found.talked_down * 100)}%`, "off what you ask", mark(found.standing.haggle)),
    ]),
    up ? null : rows_of("If it sits", ["From", "Ask", "Take at least"], [
      ...found.plan.map((step) => row(day_text(step.date), money(step.ask), limit_text(step.take_at_least))),
        row(day_text(found.clear.date), "clear it out", limit_text(found.clear.price)),
    ]),
    found.choices.length ? rows_of("Your choice", ["Way", "Ask", "Days", "Sells at", "Left"],
      found.choices.map((one) => row(one.name, money(one.ask), String(rint(one.days)), money(one.price), money(one.left)))) : null,
    found.choices.length ? small(`Left: after ${money(found.holding_cost_per_day)} a day.`) : null,
    pair_view(found.pair), similar_table(found.similar, as_of),
    fold("Why this price", rows_of(usual_words(found), null, found.because.map((one) => row(one.term, money(one.amount))))),
    found.ceiling ? small(`Held back: ${found.ceiling}.`) : null, small("What you have in it is not in the ask."), guess_line(found.standing),
  ].filter(Boolean);
}

function usual_words(found) {
  return `Adds up to the ${limit_text(found.median)} it brings the way you usually ask (${chance_text(S.coverage)}: ${span_text(found.low, found.high)})`;
}

function pair_view(pair) {
  if (!pair) return null;
  const apart = sum(pair.as_two.map((one) => one.price)), more = `${limit_text(Math.abs(pair.as_pair - apart))} ${pair.premium > 0 ? "more" : "less"} as a pair`;
  return rows_of("As a pair, or as two", null, [
    fact("As a pair", limit_text(pair.as_pair), more, mark(pair.standing)), ...pair.as_two.map((one) => fact(one.type, limit_text(one.price), "by itself", "")),
  ]);
}

function similar_table(similar, as_of) {
  if (!similar.length) return null;
  const sold_on = (one) => `${one.unit} sold ${day_text(one.sold)}${one.sold.slice(0, 4) === as_of.slice(0, 4) ? "" : ` ${one.sold.slice(0, 4)}`}`;
  return rows_of("Closest of yours", ["Unit", "Sold", "As this, today"],
    similar.map((one) => row(el("span", {}, one.said, el("span", { class: "small more" }, sold_on(one))), money(one.price), money(one.adjusted))));
}
