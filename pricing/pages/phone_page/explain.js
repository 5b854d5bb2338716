// Why the price is what it is: every term in money.
"use strict";

function terms(unit, day) {
  let total = 0, before = 0;
  const out = [];
  for (const [name, value] of log_terms(unit, day)) {
    total += value;
    const now = Number(Math.exp(total).toFixed(2));
    if (now !== before) out.push([name, Number((now - before).toFixed(2))]);
    before = now;
  }
  return out;
}

function log_terms(unit, day) {
  const type_name = word(unit, "type"), usual_age = usual_age_of(type_name);
  const rows = read(unit, day), usual = read({ age: usual_age, type: type_name, condition: "good" }, day);
  const prior = N.price.encoding.blocks.flatMap((block) => block.mean), values = new Map();
  let base = usual.start;
  const add = (name, value) => values.set(name, (values.get(name) || 0) + value);
  column_terms().forEach((name, i) => {
    const coefficient = N.price.mean[i] + prior[i], here = rows.columns[i] * coefficient, there = usual.columns[i] * coefficient;
    if (name === "type") base += here;
    else if (name === "season" || name === "prices lately") add(name, here);
    else { base += there; add(name, here - there); }
  });
  const slopes = [rows, usual].map((r) => r.offset - r.start - dot(r.columns, prior));
  base += slopes[1];
  const unknown = values.get("age not known") || 0;
  values.delete("age not known");
  add("age", slopes[0] - slopes[1] + unknown);
  const ordered = [...values.keys()].filter((name) => Math.abs(values.get(name)) > 1e-9).sort(by_place);
  return [[type_name ? `usual ${type_name}` : "usual price", base], ...ordered.map((name) => [said_term(name, unit, type_name), values.get(name)])];
}

const usual_age_of = (type_name) => { const age = own(N.price.usual_age, type_name); return age === undefined ? C.ages.middle : age; };

function column_terms() {
  const encoding = N.price.encoding;
  return encoding.blocks.flatMap((block) => block.pairs.map((pair) => {
    const listed = [block.left, block.right].flatMap((side,
      i) => { const m = encoding.margins[side]; return m && m.kind === "words" ? [`${m.column}: ${m.labels[pair[i]]}`] : []; });
    return listed.length ? listed[0] : block.term === "level" || block.term === "type" ? "type" : block.term;
  }));
}

const FIRST_TERMS = ["age", "condition", "maker"], LAST_TERMS = ["fine pattern", "sold_where", "season", "prices lately"];
function by_place(a, b) {
  const place = (name) => { const head = name.split(":")[0]; return FIRST_TERMS.includes(head) ? FIRST_TERMS.indexOf(head) : LAST_TERMS.includes(head) ? 100 + LAST_TERMS.indexOf(head) : 50; };
  return place(a) - place(b) || by_word(a, b);
}

function said_term(name, unit, type_name) {
  if (name === "age") return age_said(unit, usual_age_of(type_name));
  if (name === "owner") return "your prices beside the group's";
  if (name === "fine pattern") return "this combination";
  if (name === "season") return "time of year";
  if (name.startsWith("features: ")) return name.slice("features: ".length);
  if (name === "usual price") return "your usual price";
  const told = word(unit, name);
  if (name === "sold_where") return told ? `sold by ${told}` : "where it sells";
  return told && !name.startsWith("repair") ? `${name} ${told}` : name;
}

function age_said(unit, usual) {
  const age = number(unit, "age"), years = age - usual;
  if (!Number.isFinite(age)) return "age not known";
  if (Math.abs(years) < 0.5) return "age";
  return `${Math.abs(years) < 1.5 ? "a year" : `${rint(Math.abs(years))} years`} ${years > 0 ? "older" : "younger"} than usual`;
}
