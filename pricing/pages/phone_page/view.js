// The form, the answers and the notes. Nothing is computed here: `offer` and `ask` do that.
"use strict";
const given = JSON.parse(document.getElementById("numbers").textContent);
use(given);
const picks = given.picks, KEPT = "pricing-notes", LAST = "pricing-last", OLD_DAYS = 60;
let view = "offer", latest = null;

function el(tag, attributes = {}, ...inside) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) made.addEventListener(name.slice(2), value); else if (value === true) made.setAttribute(name, ""); else if (value !== false && value !== null) made.setAttribute(name, value);
  }
  made.append(...inside.filter((one) => one !== null && one !== undefined));
  return made;
}

// A phone may forbid a file to keep anything: then notes last as long as the page is open.
const memory = {};
function keep(name, value) { memory[name] = value; try { localStorage.setItem(name, JSON.stringify(value)); } catch { /* kept in memory */ } }
function recall(name, other) { if (name in memory) return memory[name]; try { const kept_text = localStorage.getItem(name); return kept_text === null ? other : JSON.parse(kept_text); } catch { return other; } }

const two = (n) => String(n).padStart(2, "0");
function today() { const now = new Date(); return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`; }
function money(value, step = 1) {
  const whole = Math.round(value / step + 1e-9) * step, digits = String(Math.abs(whole)).replace(/\B(?=(\d{3})+$)/g, ",");
  return `${whole < 0 ? "-" : ""}${S.sign}${digits}`;
}
const limit_text = (value) => money(value, Math.abs(value) >= 20 ? 5 : 1);
const of_ten = (value) => (value < 0.02 ? "hardly ever" : value > 0.98 ? "nearly always" : `${Math.min(Math.max(Math.round(value * 10), 1), 9)} in 10`);
const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
const day_text = (iso) => `${MONTHS[+iso.slice(5, 7) - 1]} ${+iso.slice(8)}`;
const share_text = () => `${Math.round(S.coverage * 100)} of 100`.replace("80 of 100", "4 of 5").replace("90 of 100", "9 of 10");

// ---- the form
const NUMBERS = { // name: [label, low, high, where it stands]
  age: ["Age, years", 0, 120], their_price: ["They want", -10000, 1e6], miles: [`One way, ${S.distance_unit}`, 0, 2000], parts: ["Parts cost", 0, 1e6], hours: ["Your hours on it", 0, 500],
  fix_of_ten: ["You fix how many of 10", 0, 10], price: ["Sells for, fixed", 0.01, 1e7], helper: ["A helper costs", 0, 1e5], minutes: ["Minutes to load", 0, 1000], on_trip: ["Units on this trip", 1, 50], asked_now: ["Listed at now", 0.01, 1e7],
};
const HINTS = { their_price: "-20: they pay" };

function field(name, label, input) { return el("div", { class: input.tagName === "SELECT" && name !== "condition" ? "long" : "" }, el("label", { for: name }, label), input); }
function number_field(name) {
  const last = recall(LAST, {})[name];
  return field(name, NUMBERS[name][0], el("input", { id: name, name, inputmode: name === "their_price" ? "text" : "decimal", autocomplete: "off", placeholder: HINTS[name] || "don't know", value: last || "" }));
}
function pick_field(name, label, words, changed) {
  const last = recall(LAST, {})[name];
  return field(name, label, el("select", { id: name, name, ...(changed ? { onchange: changed } : {}) }, el("option", { value: "" }, "don't know"), ...words.map((one) => el("option", { value: one, selected: one === last }, one))));
}
function faults_for(type_name) {
  const kinds = fault_families(type_name, family_of(type_name)), rows = C.faults.filter((row) => kinds.includes(row.family) || row.family === "any").map((row) => row.fault);
  const mine = N.repair.fixed_of.filter(([fault, other]) => fault && pair_key(...fault_families(other, family_of(other))) === pair_key(...kinds)).map(([fault]) => fault);
  return [...new Set([...mine, ...rows])]; // the words of the record first: those have units behind them
}
function tick(name, label) { return el("label", { class: "tick" }, el("input", { type: "checkbox", name, id: name, checked: Boolean(recall(LAST, {})[name]) }), label); }

function form() {
  const type_name = recall(LAST, {}).type || "", on_change = () => { keep(LAST, raw()); draw(); };
  const own_fields = Object.entries(picks.own).map(([name, about]) => about.words.length ? pick_field(`own ${name}`, name, about.words) : own_number(name, about));
  const features = el("details", {}, el("summary", {}, "Features"), ...picks.features.map((one) => tick(`feature ${one}`, one)));
  const common = [pick_field("type", "What is it?", picks.type, on_change), number_field("age"), pick_field("condition", "Looks, once cleaned", C.conditions)];
  const make = picks.maker.length ? [pick_field("maker", "Make", picks.maker)] : [];
  const more = (...names) => el("details", {}, el("summary", {}, "Numbers you know better"), el("div", { class: "fields" }, ...names.map(number_field)));
  const asks = view === "offer"
    ? [el("div", { class: "fields" }, ...common, pick_field("fault", "What is wrong?", faults_for(type_name)), number_field("their_price"), number_field("miles"), ...make, ...own_fields), tick("at_curb", "I stand in front of it"), features, more("parts", "hours", "fix_of_ten", "price", "helper", "minutes", "on_trip")]
    : [el("div", { class: "fields" }, ...common, ...make, ...own_fields, field("listed", "Listed since", el("input", { id: "listed", name: "listed", type: "date", value: recall(LAST, {}).listed || "" })), number_field("asked_now")), features];
  return el("form", { onsubmit: (event) => { event.preventDefault(); answer(); }, novalidate: true }, ...asks, el("button", { class: "big" }, view === "offer" ? "What do I pay?" : "What do I ask?"), el("button", { type: "button", class: "second", onclick: () => { keep(LAST, {}); latest = null; draw(); } }, "Clear"));
}
function own_number(name) { return field(`own ${name}`, name, el("input", { id: `own ${name}`, name: `own ${name}`, inputmode: "decimal", autocomplete: "off", value: recall(LAST, {})[`own ${name}`] || "" })); }

/** What stands in the form, as typed. */
function raw() {
  const out = { ...recall(LAST, {}) };
  for (const input of document.querySelectorAll("form [name]")) out[input.name] = input.type === "checkbox" ? input.checked : input.value;
  return out;
}

/** The question, and a sentence for each number that is none. */
function question_of(typed) {
  const unit = {}, known = {}, wrong = [];
  const read_it = (name) => {
    const text = String(typed[name] || "").trim().replace(/^[^\d.,-]+/, "");
    if (!String(typed[name] || "").trim()) return null;
    const value = Number(/^-?\d+,\d{1,2}$/.test(text) ? text.replace(",", ".") : text.replace(/,(?=\d{3})/g, "")), [label, low, high] = NUMBERS[name] || [name.replace("own ", ""), -1e12, 1e12];
    if (text === "" || !Number.isFinite(value) || value < low || value > high) { wrong.push([name, `${label}: write a number${NUMBERS[name] ? ` from ${low} to ${high}` : ""}, or leave it blank.`]); return null; }
    return value;
  };
  for (const name of ["type", "condition", "maker", ...(view === "offer" ? ["fault"] : [])]) if (typed[name]) unit[name] = typed[name];
  if (!unit.type) wrong.push(["type", "Say what it is."]);
  const features = picks.features.filter((one) => typed[`feature ${one}`]);
  if (features.length) unit.features = features.sort().join("; ");
  for (const [name, about] of Object.entries(picks.own)) {
    const value = about.kind === "number" || about.kind === "log" ? read_it(`own ${name}`) : typed[`own ${name}`];
    if (value !== null && value !== undefined && value !== "") unit[name] = value;
  }
  const age = read_it("age");
  if (age !== null) unit.age = age;
  const asked = view === "offer" ? ["their_price", "miles", "parts", "hours", "fix_of_ten", "price", "helper", "minutes", "on_trip"] : ["asked_now"];
  for (const name of asked) { const value = read_it(name); if (value !== null) known[name === "fix_of_ten" ? "fix_chance" : name] = name === "fix_of_ten" ? value / 10 : value; }
  if (view === "ask" && typed.listed) { if (typed.listed > today()) wrong.push(["listed", "Listed since: that day is still to come."]); else unit.listed = ordinal(typed.listed); }
  return [{ unit, known, made: [], at_curb: view === "offer" && Boolean(typed.at_curb) }, wrong];
}

function answer() {
  const typed = raw(), [question, wrong] = question_of(typed), place = document.getElementById("answer");
  keep(LAST, typed);
  for (const input of document.querySelectorAll("form .wrong")) input.classList.remove("wrong");
  if (wrong.length) {
    for (const [name] of wrong) { const input = document.getElementById(name); if (input) { input.classList.add("wrong"); const shut = input.closest("details"); if (shut) shut.open = true; } }
    place.replaceChildren(el("div", { class: "problems", role: "alert" }, ...wrong.map(([, text]) => el("p", {}, text))));
    return;
  }
  latest = { question, day: today(), view, found: view === "offer" ? offer(question, today()) : ask(question, today()) };
  place.replaceChildren(...(view === "offer" ? offer_view(latest.found, question) : ask_view(latest.found)));
  place.scrollIntoView({ block: "start" });
}

// ---- answers
const mark = (text) => el("span", { class: "mark" }, text);
const row = (...cells) => el("tr", {}, ...cells.map((cell, i) => el(i ? "td" : "th", i ? { class: "r" } : { scope: "row" }, cell)));
const fact = (label, value, more, whose) => row(el("span", {}, label, el("span", { class: "small more" }, more)), value, whose);
const rows_of = (title, heads, rows) => el("table", {}, el("caption", { class: "small" }, title), heads ? el("thead", {}, el("tr", {}, ...heads.map((head, i) => el("th", { scope: "col", class: i ? "r" : "" }, head)))) : null, el("tbody", {}, ...rows));

function drawn_range(low, middle, high, label) {
  const SVG = "http://www.w3.org/2000/svg", left = Math.max(0, low - (high - low) * 0.35), wide = high + (high - low) * 0.35 - left || 1, x = (value) => 10 + (340 * (value - left)) / wide;
  const shape = (tag, attributes, text) => { const made = document.createElementNS(SVG, tag); for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value); if (text) made.textContent = text; return made; };
  const svg = shape("svg", { viewBox: "0 0 360 58", role: "img", "aria-label": `${label}: ${money(low, 5)} to ${money(high, 5)}, middle ${money(middle, 5)}` });
  svg.append(shape("line", { x1: 10, x2: 350, y1: 28, y2: 28 }), shape("rect", { x: x(low), y: 19, width: Math.max(x(high) - x(low), 2), height: 18, rx: 3 }), shape("line", { x1: x(middle), x2: x(middle), y1: 14, y2: 42, class: "middle" }));
  for (const [value, y] of [[low, 54], [middle, 10], [high, 54]]) svg.append(shape("text", { x: Math.min(Math.max(x(value), 22), 338), y, "text-anchor": "middle" }, money(value, 5)));
  return svg;
}

function offer_words(found) {
  const most = limit_text(found.pay_up_to);
  if (found.capped && found.capped.cap === "pass") return ["pass", "PASS."];
  if (found.advice === HAUL) return ["go", found.pay_up_to < 0 ? `GO GET IT while they pay you ${money(-found.pay_up_to)} or more.` : `GO GET IT. Pay up to ${most}.${found.their_price === null || found.their_price > 0 ? ` Start at ${money(found.start_at)}.` : ""}`];
  if (found.advice === IF_FREE) return ["if", "ONLY IF FREE."];
  if (found.advice === IF_PAID) return ["if", `ONLY IF THEY PAY YOU ${limit_text(-found.pay_up_to)} or more.`];
  if (found.pay_up_to >= 5 && found.their_price !== null) return ["pass", `PASS at their ${money(found.their_price)}. It pays only up to ${most}.`];
  return ["pass", "PASS. It does not pay even where they pay you."];
}

function offer_view(found, question) {
  const [look_of, words] = offer_words(found), price = found.price, spent_on = found.costs, fixed = found.fixed_of;
  const at = found.their_price === null ? (found.paid_assumed === 0 ? "For free" : `At ${money(found.paid_assumed)}`) : found.their_price === 0 ? "For free" : found.their_price < 0 ? `With their ${money(-found.their_price)}` : `At their ${money(found.their_price)}`;
  const left = found.expected_gain >= 0 ? `you keep about ${limit_text(found.expected_gain)}` : `you lose about ${limit_text(-found.expected_gain)}`;
  const warned = [...(found.known_type ? [] : [`I have no figures for "${question.unit.type}": a wide guess.`]), ...(found.known_fault ? [] : ["I do not know this fault: answered as not known."]), ...(question.unit.fault ? [] : ["No fault was told: answered as not known."])];
  return [
    el("div", { class: `plate ${look_of}`, role: "status" }, el("p", { class: "verdict" }, words), found.go_on || found.capped ? null : el("p", {}, "Fixing it is not worth your hours."),
      el("p", { class: "lead" }, `${at} ${left}${found.hours > 0 ? `: ${money(found.return_per_hour)} an hour (you want ${money(S.hourly_target)})` : ""}.`),
      el("p", {}, `You lose money ${of_ten(found.chance_of_loss)}; you make your hour ${of_ten(found.chance_of_target)}.${question.at_curb ? "" : ` Once at the curb, up to ${limit_text(found.at_curb_pay_up_to)}.`}`)),
    ...found.cautions.map((text) => el("p", { class: "caution" }, text)),
    price.low < price.high ? drawn_range(price.low, price.median, price.high, "Sells for, once fixed") : null,
    rows_of("", null, [
      fact("Fixed, it sells for", limit_text(price.median), `${share_text()}: ${limit_text(price.low)}–${limit_text(price.high)}`, mark(found.standing.price)),
      fact("You fix it", `${Math.round(found.fix_chance * 100)}%`, fixed.ended ? `you: ${fixed.fixed} of ${fixed.ended}` : "none of yours yet", mark(found.standing.fix)),
      fact("Parts, if fixed", money(spent_on.parts_if_fixed), `usual ${limit_text(spent_on.parts_low)}–${limit_text(spent_on.parts_high)}`, mark(found.standing.parts)),
      fact("Days to sell", String(Math.round(found.days.median)), `usual ${Math.round(found.days.low)}–${Math.round(found.days.high)}`, mark(found.standing.days)),
      fact("Your time", `${found.hours.toFixed(1)} h`, `drive ${(spent_on.drive_hours + spent_on.load_hours).toFixed(1)}, bench ${spent_on.bench_hours.toFixed(1)}`, mark(found.standing.hours)),
    ]),
    found.ask_first.length ? el("h2", {}, "Ask them first") : null,
    ...found.ask_first.slice(0, 3).map((one) => el("p", {}, el("strong", {}, one.question), ` (worth ${money(one.worth)}) `, one.answers.map((other) => `${other.answer} → ${limit_text(other.pay_up_to)}`).join("   "))),
    el("details", {}, el("summary", {}, "Why, and what it may be"), rows_of("Adds up to the most to pay", null, found.because.map((one) => row(one.term, money(one.amount)))), rows_of("What it may be", ["", "Chance", "You fix it"], found.repairs.slice(0, 6).map((one) => row(one.repair, of_ten(one.chance), of_ten(one.fix))))),
    ...warned.map((text) => el("p", { class: "small" }, text)), guess_line(found.standing),
    el("button", { type: "button", class: "second", onclick: keep_note }, "Keep this call"),
  ].filter(Boolean);
}

const guess_line = (standings_of) => (Object.values(standings_of).includes("GUESS") ? el("p", { class: "small" }, "GUESS: a starting figure nobody measured for your area.") : null);

function ask_view(found) {
  const words = found.plan.length ? `ASK ${money(found.ask)}. Expect about ${limit_text(found.price_at_ask.median)}.` : `CLEAR IT OUT at about ${limit_text(found.clear.price)}: its time on the market is up.`;
  return [
    el("div", { class: "plate go", role: "status" }, el("p", { class: "verdict" }, words), found.plan.length ? el("p", { class: "lead" }, `Today take ${limit_text(found.take_at_least)} or more. Half like this sell within ${Math.round(found.median_days)} days.`) : null),
    ...found.cautions.map((text) => el("p", { class: "caution" }, text)),
    drawn_range(found.price_at_ask.low, found.price_at_ask.median, found.price_at_ask.high, "Will sell for"),
    rows_of("", null, [
      fact("Will sell for", limit_text(found.price_at_ask.median), `${share_text()}: ${limit_text(found.price_at_ask.low)}–${limit_text(found.price_at_ask.high)}`, mark(found.standing.price)),
      fact("Sold in 14 days", of_ten(found.chance_sold[14]), `30 days: ${of_ten(found.chance_sold[30])}`, mark(found.standing.days)),
      fact("They talk down", `${Math.round(found.talked_down * 100)}%`, "", mark(found.standing.haggle)),
    ]),
    found.plan.length ? rows_of("If it sits", ["From", "Ask", "Take at least"], [...found.plan.map((step) => row(day_text(step.date), money(step.ask), limit_text(step.take_at_least))), row(day_text(found.clear.date), "clear it out", limit_text(found.clear.price))]) : null,
    found.choices.length ? rows_of("Your choice", ["", "Ask", "Days", "Sells at", "Left"], found.choices.map((one) => row(one.name, money(one.ask), String(Math.round(one.days)), limit_text(one.price), limit_text(one.left)))) : null,
    el("details", {}, el("summary", {}, "Why this price"), rows_of("Adds up to the usual price of such a unit", null, found.because.map((one) => row(one.term, money(one.amount))))),
    found.ceiling ? el("p", { class: "small" }, `Held back: ${found.ceiling}.`) : null, el("p", { class: "small" }, "What you have in it is not in the ask."), guess_line(found.standing),
  ].filter(Boolean);
}

// ---- notes of calls, and handing them over
function keep_note() {
  const notes = recall(KEPT, []), { question, found, day } = latest;
  notes.push({ id: `P${day.slice(2).replaceAll("-", "")}-${notes.length + 1}-${Math.floor(Math.random() * 1e4)}`, day, unit: question.unit, known: question.known, up_to: Math.round(found.pay_up_to), advice: offer_words(found)[1], note: "", got: "", paid: "" });
  keep(KEPT, notes);
  view = "calls";
  draw();
}

function calls_view() {
  const notes = recall(KEPT, []), change = (i, name) => (event) => { notes[i][name] = event.target.type === "checkbox" ? (event.target.checked ? today() : "") : event.target.value; keep(KEPT, notes); document.getElementById("csv").value = csv(notes); };
  if (!notes.length) return [el("p", {}, "No calls kept yet. Ask \"Before the drive\", then press \"Keep this call\".")];
  return [
    ...notes.map((one, i) => el("details", { open: i === notes.length - 1 }, el("summary", {}, `${day_text(one.day)}: ${one.unit.type}`), el("p", {}, one.advice),
      el("label", { class: "tick" }, el("input", { type: "checkbox", checked: Boolean(one.got), onchange: change(i, "got") }), "I got it today"),
      field(`paid${i}`, "Paid", el("input", { id: `paid${i}`, inputmode: "decimal", value: one.paid, oninput: change(i, "paid") })), field(`note${i}`, "Note", el("input", { id: `note${i}`, value: one.note, oninput: change(i, "note") })),
      el("button", { type: "button", class: "second", onclick: () => { notes.splice(i, 1); keep(KEPT, notes); draw(); } }, "Remove"))),
    el("h2", {}, "Hand them over"), el("p", { class: "small" }, "The units you got, as a sheet that pricing add reads: save it, or copy the text into a file that ends in .csv. Calls not taken stay here."),
    el("textarea", { id: "csv", rows: "5", readonly: true, "aria-label": "The units you got, as a sheet" }, csv(notes)),
    el("button", { type: "button", class: "second", onclick: save_csv }, "Save as a file"), el("button", { type: "button", class: "second", onclick: copy_csv }, "Copy"),
  ];
}

/** The units got, as CSV text. A cell that a spreadsheet would take for a formula is led by an apostrophe. */
function csv(notes) {
  const heads = ["unit", "type", "maker", "age", "condition", "features", "fault", ...Object.keys(picks.own), "miles", "got", "paid", "outcome", "note"];
  const cell = (value) => { const text = value === undefined || value === null ? "" : String(value), led = /^[=+@\t\r]|^-(?!\d)/.test(text) ? `'${text}` : text; return /[",\n\r]/.test(led) ? `"${led.replaceAll('"', '""')}"` : led; };
  const rows = notes.filter((one) => one.got).map((one) => ({ ...one.unit, unit: one.id, miles: one.known.miles, got: one.got, paid: one.paid || (one.known.their_price === undefined ? "" : one.known.their_price), outcome: "in work", note: one.note }));
  return [heads, ...rows.map((each) => heads.map((head) => each[head]))].map((line) => line.map(cell).join(",")).join("\r\n") + "\r\n";
}
function save_csv() {
  const link = el("a", { href: URL.createObjectURL(new Blob([document.getElementById("csv").value], { type: "text/csv" })), download: `calls-${today()}.csv` });
  document.body.append(link); link.click(); link.remove();
}
function copy_csv() { const box = document.getElementById("csv"); box.select(); try { navigator.clipboard.writeText(box.value).catch(() => document.execCommand("copy")); } catch { document.execCommand("copy"); } }

// ---- the page
function draw() {
  const tabs = [["offer", "Before the drive"], ["ask", "Set the ask"], ["calls", "Calls"]].map(([name, label]) => el("button", { type: "button", role: "tab", "aria-selected": String(view === name), onclick: () => { if (document.querySelector("form")) keep(LAST, raw()); view = name; draw(); } }, label));
  document.getElementById("app").replaceChildren(el("div", { class: "tabs", role: "tablist", "aria-label": "What to ask" }, ...tabs), ...(view === "calls" ? calls_view() : [form(), el("div", { id: "answer" })]));
}
const old_by = ordinal(today()) - ordinal(N.as_of);
if (old_by > OLD_DAYS) { const warning = document.getElementById("old"); warning.hidden = false; warning.textContent = `This file was learned ${old_by} days ago. Write a new one: pricing fit, then pricing phone.`; }
draw();
// Once before it is needed, while the form is filled in: the first answer would take three times as long as the next.
setTimeout(() => { for (let i = 0; i < 3; i++) for (const answer_of of [ask, offer]) answer_of({ unit: { type: picks.type[0] }, known: {}, made: [], at_curb: false }, today()); }, 200);
