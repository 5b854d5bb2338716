// What was typed, read as a question; and a sentence for each answer that cannot be.
"use strict";

const ASKED = { // by page: the numbers that its form asks for
  offer: ["their_price", "miles", "parts", "hours", "fix_of_ten", "price", "helper", "minutes", "on_trip"],
  ask: ["offered", "asked_now"],
};
const LABELS = {
  age: "Age, years", size: "Size", their_price: "They want", miles: "One way", parts: "Parts cost", hours: "Your hours on it", fix_of_ten: "You fix how many of 10",
  price: "Sells for, fixed", helper: "A helper costs", minutes: "Minutes to load", on_trip: "Units on this trip", offered: "A buyer bids", asked_now: "Listed at now",
};
const limits_of = (name) => (name === "fix_of_ten" ? [0, 10] : own(C.limits, name) || [-1e12, 1e12]);

const MONEY = new Set(["their_price", "parts", "price", "helper", "offered", "asked_now"]);

/** What was typed, by the reader that every field of the program has: [number], [one, other] where it reads both ways, [] where it is none. */
const numbers_in = (text, name) => digits_words.said_number(text.normalize("NFKC").replace(/\p{Nd}/gu, digit_of), S.decimal === "," ? "," : ".", MONEY.has(name));
const number_in = (text, name = "their_price") => { const found = numbers_in(text, name); return found.length === 1 ? found[0] : NaN; };

/** The value of a digit of any script: they stand in rows of ten. */
function digit_of(sign) {
  let value = 0;
  while (value < 9 && /\p{Nd}/u.test(String.fromCodePoint(sign.codePointAt(0) - value - 1))) value += 1;
  return String(value);
}

/** The years that "2016", "2014-2016" or "2006, 2016" may mean, sorted; none where it says none. */
function years_in(text) {
  const years = new Set();
  for (const [, first, last] of text.matchAll(/\b(\d{4})\b(?:\s*(?:-|–|to|until)\s*(\d{4})\b)?/g)) {
    const [low, high] = [+first, +(last || first)].sort((a, b) => a - b);
    if (high - low <= 40) for (let year = low; year <= high; year++) years.add(year); else years.add(low).add(high);
  }
  return [...years].sort((a, b) => a - b);
}

/** A line in plain words as a question: {unit, known, made, warnings, heard, each, at_curb}. */
function question_in(text, page, as_of) {
  const found = reader_words.read(text, page, H.said, { ...H.own, mark: S.decimal === "," ? "," : "." }, +as_of.slice(0, 4)), row_of = (fault, type_name) => fault_row(fault, type_name, family_of(type_name));
  as_question_words.in_own_distance(found, S.distance_unit !== "mi");
  const called = (maker) => (H.blank.includes(squash(maker)) ? "" : split_words(maker).join(" ").toLowerCase()), question = as_question_words.asked(found, page, H.trade, row_of, called);
  if (page === "ask" && found.days_listed) question.unit = { listed: ordinal(as_of) - Math.trunc(found.days_listed), ...question.unit };
  return { ...question, at_curb: as_question_words.at_curb(text) };
}

/** The column of a field of the form. */
const column_of = (name) => (name === "fix_of_ten" ? "fix_chance" : name === "they_pay" ? "their_price" : name.startsWith("feature ") ? "features" : name);

/** What stands in the form beside a sentence and still counts. */
function beside_words(typed, said) {
  const kind = String(typed.type || "").toLowerCase();
  return Object.fromEntries(Object.entries(typed).filter(([name]) => as_question_words.counts_beside(column_of(name), kind, said)));
}

/** The question of a page, and [field, sentence] of all that is wrong. form: what stands in the form, by field. */
function question_of(page, form, as_of) {
  const say = `say_${page}`, text = String(form[say] || "").trim(), said = text ? question_in(text, page, as_of) : null;
  const typed = said ? beside_words(form, said) : form, wrong = [], [mine, numbers] = fields_of(page, typed, as_of, wrong);
  const question = { unit: said ? { ...said.unit, ...mine } : mine, known: said ? { ...said.known, ...numbers } : numbers, made: [],
    at_curb: page === "offer" && Boolean(typed.at_curb || (said && said.at_curb)) };
  if (!question.unit.type) wrong.unshift([said ? say : "type", "Say what it is."]);
  const years = String(typed.made || "").trim(), made = (one) => made_of(years || (one.made || []).join(", "), one.unit, as_of, wrong);
  question.made = made({ unit: question.unit, made: said ? said.made : [] });
  if (!said) return [question, wrong];
  const other = as_question_words.of_other_trade(said.heard, question.unit.type || "");
  if (other.length) wrong.unshift([say, `${other[0]}.`]);
  wrong.push(...impossible(said, say));
  const { their_price: _, ...alone } = numbers;
  const heard_of = (one, known) => ({ said: text, warnings: one.warnings, heard: { ...one.heard, waits: one.heard.asks_back.filter((name) => C.known.includes(name) && !(name in known)) } });
  const each = said.each.map((one) => { const unit = { ...one.unit, ...mine }, known = { ...one.known, ...alone };
    return { unit, known, made: made({ unit, made: one.made }), at_curb: false, ...heard_of(one, known), each: [] }; });
  return [{ ...question, ...heard_of(said, question.known), each }, wrong];
}

/** Numbers of a sentence that cannot be. */
function impossible(said, say) {
  return Object.entries({ ...said.unit, ...said.known }).filter(([name]) => own(C.limits, name)).flatMap(([name, value]) => { const [low, high] = limits_of(name);
    return value >= low && value <= high ? [] : [[say, `${LABELS[name] || name}: ${general(value)} is not possible; from ${thousands(low)} to ${thousands(high)}.`]]; });
}

/** The unit and the numbers that the fields of the form say. */
function fields_of(page, typed, as_of, wrong) {
  const unit = {}, known = {}, text_of = (name) => String(typed[name] || "").trim();
  const number_of = (name, label = LABELS[name]) => {
    const text = text_of(name);
    if (!text) return null;
    const found = numbers_in(text, name), [low, high] = limits_of(name);
    if (found.length === 1 && found[0] >= low && found[0] <= high) return found[0];
    if (found.length > 1) { wrong.push([name, `${label}: “${text}” can be read as ${found.join(" or as ")}. Write one of these.`]); return null; }
    wrong.push([name, `${label}: write a number${own(C.limits, name) || name === "fix_of_ten" ? ` from ${thousands(low)} to ${thousands(high)}` : ""}, or leave it blank.`]);
    return null;
  };
  for (const name of ["type", "condition", "maker", page === "offer" ? "fault" : "repair"]) if (text_of(name)) unit[name] = text_of(name);
  if (S.owner) unit.owner = S.owner;
  const features = Object.keys(typed).filter((name) => name.startsWith("feature ") && typed[name]).map((name) => name.slice("feature ".length)).sort(by_word);
  if (features.length) unit.features = features.join("; ");
  for (const name of S.attributes) {
    const value = is_numeric(name) ? number_of(`own ${name}`, name) : text_of(`own ${name}`) || null;
    if (value !== null) unit[name] = value;
  }
  for (const name of ["age", "size"]) { const value = number_of(name); if (value !== null) unit[name] = value; }
  for (const name of ASKED[page]) {
    const value = number_of(name);
    if (value === null) continue;
    if (name === "fix_of_ten") known.fix_chance = value / 10;
    else known[name] = name === "their_price" && typed.they_pay ? -Math.abs(value) : value;
  }
  if (page === "ask" && text_of("listed")) {
    if (text_of("listed") > as_of) wrong.push(["listed", "Listed since: that day is still to come."]);
    else unit.listed = ordinal(text_of("listed"));
  }
  return [unit, known];
}

const thousands = (x) => String(x).replace(/\B(?=(\d{3})+$)/g, ",");

/** Several years made; one year alone is turned into the age. */
function made_of(text, unit, as_of, wrong) {
  if (!text) return [];
  const years = years_in(text), this_year = +as_of.slice(0, 4), impossible = years.find((year) => year < C.oldest_made || year > this_year);
  if (!years.length) wrong.push(["made", "Year made: write 2016, 2014-2016, or 2006, 2016."]);
  else if (impossible !== undefined) wrong.push(["made", `Year made: ${impossible} is not possible; from ${C.oldest_made} to ${this_year}.`]);
  else if (unit.age !== undefined && years.every((year) => Math.abs(this_year - year - unit.age) > 1.5)) wrong.push(["made",
    "Age and year made contradict each other: give one of the two."]);
  else if (years.length === 1 && unit.age === undefined) { unit.age = this_year - years[0]; return []; }
  return years;
}
