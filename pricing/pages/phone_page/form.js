// The form: what is asked, what was typed last, and the words to pick from.
"use strict";
const given = JSON.parse(inflated(document.getElementById("numbers").textContent));
use(given);
const picks = given.picks, LAST = "pricing-last";

function el(tag, attributes = {}, ...inside) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) made.addEventListener(name.slice(2), value);
    else if (value === true) made.setAttribute(name, "");
    else if (value !== false && value !== null && value !== undefined) made.setAttribute(name, value);
  }
  made.append(...inside.filter((one) => one !== null && one !== undefined));
  return made;
}

// A phone may forbid a file to keep anything: then what was typed lasts as long as the page is open.
const memory = {};
let lasting = true;
function keep(name, value) {
  memory[name] = value;
  try { localStorage.setItem(name, JSON.stringify(value)); lasting = true; } catch { lasting = false; }
}
function recall(name, other) {
  if (name in memory) return memory[name];
  try { const text = localStorage.getItem(name); return text === null ? other : JSON.parse(text); } catch { return other; }
}

const two = (n) => String(n).padStart(2, "0");
function today() { const now = new Date(); return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`; }

const SAY_LIKE = { offer: "electric dryer, 8 years, no heat, wants 40, 12 miles", ask: "front-load washer, 7 years, good, steam" };
const HINTS = { made: "2014-2016", their_price: "free: 0" };
const last_typed = (name) => recall(LAST, {})[name] || "";
const long_ones = ["type", "fault", "repair"];

function field(name, label, input) {
  return el("div", { class: long_ones.includes(name) ? "long" : "" }, el("label", { for: name }, label), input);
}
function text_field(name, label, more = {}) {
  return field(name, label, el("input", { id: name, name, autocomplete: "off", maxlength: "200", placeholder: HINTS[name] || "don't know",
    value: last_typed(name), ...more }));
}
function number_field(name, label = LABELS[name]) {
  return text_field(name, name === "miles" ? `${label}, ${S.distance_unit}` : label, { inputmode: "decimal" });
}
function options_of(name, words) {
  const last = last_typed(name);
  return [el("option", { value: "" }, "don't know"), ...words.map((one) => el("option", { value: one, selected: one === last }, one))];
}
function pick_field(name, label, words, changed) {
  return field(name, label, el("select", { id: name, name, ...(changed ? { onchange: changed } : {}) }, ...options_of(name, words)));
}
function tick(name, label) {
  return el("label", { class: "tick" }, el("input", { type: "checkbox", name, id: name, checked: Boolean(recall(LAST, {})[name]) }), label);
}

/** Faults of this kind of appliance: the words of the record first, those have units behind them; then those of the starting figures that fit the type and are not among them. */
function faults_for(type_name) {
  const kinds = fault_families(type_name, family_of(type_name)), same = (other) => pair_key(...fault_families(other, family_of(other))) === pair_key(...kinds);
  const mine = new Set(N.repair.fixed_of.filter(([fault, other]) => fault && same(other)).map(([fault]) => fault));
  const rows = C.faults.filter((row) => ([...kinds, "any", "danger"].includes(row.family)) && qualifier_fits(row.fault,
    type_name) && !mine.has(row.fault.split(" (")[0]));
  return [...new Set([...mine, ...rows.map((row) => row.fault)])];
}

function own_fields() {
  return Object.entries(picks.own).map(([name, about]) => {
    const label = name.replaceAll("_", " ");
    if (about.words.length) return pick_field(`own ${name}`, label, about.words);
    return is_numeric(name) ? number_field(`own ${name}`, label) : text_field(`own ${name}`, label);
  });
}

/** The form of a page. type_changed, asked, cleared: what to do then. */
function form_of(page, type_changed, asked, cleared) {
  const grid = (...fields) => el("div", { class: "fields" }, ...fields);
  const type = pick_field("type", "What is it?", picks.type, type_changed), maker = picks.maker.length ? [pick_field("maker", "Brand", picks.maker)] : [];
  const age = [number_field("age"), text_field("made", "Or year made")], condition = pick_field("condition", "Condition", C.conditions);
  const more = [...maker, ...(picks.size ? [number_field("size")] : []), ...own_fields()],
    features = picks.features.length ? [fold("Features", ...picks.features.map((one) => tick(`feature ${one}`, one)))] : [];
  const better = ["parts", "hours", "fix_of_ten", "price", "helper", "minutes", "on_trip"].map((name) => number_field(name));
  const inside = page === "offer"
    ? [grid(type, pick_field("fault", "What's wrong?", faults_for(last_typed("type"))), number_field("their_price"), number_field("miles"), ...age, condition, ...more),
      el("div", { class: "ticks" }, tick("they_pay", "They pay me"), tick("at_curb", "I'm already there")), ...features, fold("Numbers you know better", grid(...better))]
    : [grid(type, ...age, condition, ...(picks.repair.length ? [pick_field("repair", "What was repaired", picks.repair)] : []), ...more,
      number_field("offered")), ...features,
      fold("It is listed already", grid(field("listed", "Listed since",
        el("input", { id: "listed", name: "listed", type: "date", value: last_typed("listed") })), number_field("asked_now")))];
  const say = `say_${page}`, words = el("textarea", { id: say, name: say, rows: "2", maxlength: "2000", autocapitalize: "none", dir: "auto", placeholder: SAY_LIKE[page] }, last_typed(say));
  return el("form", { onsubmit: (event) => { event.preventDefault(); asked(); }, novalidate: true }, grid(el("div", { class: "long" }, el("label", { for: say }, "Say it in your words"), words)), ...inside,
    el("button", { class: "big" }, page === "offer" ? "What do I pay?" : "What do I ask?"), el("button", { type: "button", class: "second", onclick: cleared }, "Clear"));
}

/** What stands in the form, as typed, beside what stood in the other form. */
function raw() {
  const out = { ...recall(LAST, {}) };
  for (const input of document.querySelectorAll("form [name]")) out[input.name] = input.type === "checkbox" ? input.checked : input.value;
  return out;
}

/** Only what the form of this page shows is part of its question. */
function shown_only(typed) {
  const names = new Set([...document.querySelectorAll("form [name]")].map((input) => input.name));
  return Object.fromEntries(Object.entries(typed).filter(([name]) => names.has(name)));
}
