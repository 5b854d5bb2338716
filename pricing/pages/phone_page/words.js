// Which family a type belongs to, which row of the starting table speaks of a fault, and which reminders a unit calls for.
"use strict";
const squash = (text) => text.normalize("NFKC").toLowerCase().replace(/[^\p{L}\p{N}]/gu, " ").split(/\s+/).filter(Boolean).join(" ");
const split_words = (text) => text.split(/\s+/).filter(Boolean);
const { steps_of } = repairs_needed_formulas, { qualifier_fits, UNTOLD } = faults_formulas;

let kept_families = new Map();
function family_by_name(type_name) {
  if (!kept_families.has(type_name)) kept_families.set(type_name, family_in(type_name));
  return kept_families.get(type_name);
}

function family_in(type_name) {
  const row = own(C.families, type_name);
  if (row !== undefined) return row;
  const words = new Set(squash(type_name).split(" "));
  for (const [family, signs] of C.family_signs) if (signs.some((sign) => words.has(sign))) return family;
  return "other";
}
const family_of = (type_name) => own(C.own_families, type_name) || family_by_name(type_name);

function fault_families(type_name, family) {
  const row = C.types.find((one) => one.type === type_name);
  return faults_formulas.families(type_name, family, row && row.fault_family.length ? row.fault_family : null);
}

function fault_row(fault, type_name, family) {
  const kinds = fault_families(type_name, family), own_rows = C.faults.slice(0, C.n_own_faults);
  return faults_formulas.row_of(fault, type_name, kinds[0], faults_formulas.able(own_rows, C.faults.slice(C.n_own_faults), kinds, type_name, family));
}

// ---- dangers and cautions: the gate of advice/cautions
/** What stands above the money: decision, as_is, free_only, scrap, dangers, cautions. */
function verdict_of(question, stage, as_of) {
  const unit = question.unit, type_name = String(unit.type || ""), heard = (question.heard && question.heard.read) || {};
  const past = stage === "sale" && unit.repair ? ["fault", "found", "repair"] : []; // what was wrong is in the past once it is repaired and listed
  const texts = [type_name, question.said || "", ...["fault", "found", "repair", "features", "note", "fuel", ...S.attributes].filter((name) => !past.includes(name)).map((name) => unit[name])];
  const made = ages_of(question, as_of).filter(known_number).map((age) => +as_of.slice(0, 4) - rint(age));
  const listed = (...names) => names.flatMap((name) => heard[name] || []), parts = (name) => String(unit[name] || "").split("; ").filter(Boolean);
  const told = { text: texts.filter(Boolean).join(", "), faults: [String(unit.fault || ""), ...listed("faults", "fault")].filter(Boolean),
    found: [...parts("found"), ...parts("repair"), ...listed("found")], tags: (question.heard && question.heard.tags) || [], repaired: Boolean(unit.repair),
    recall_checked: unit.recall_checked !== undefined && unit.recall_checked !== null };
  return gate_words.verdict(told, stage, kind_of(type_name, String(unit.fuel || ""), made), C.cautions, C.perils);
}

function kind_of(type_name, fuel, made) {
  const row = C.types_by.get(type_name), family = family_of(type_name), types = C.plain_kinds[type_name] || { [type_name]: 1 };
  const families = fault_families(type_name, family).filter((name) => name !== "any"), kinds = Object.keys(types), pounds = (row || C.generic_type).weight_lb;
  const known = Boolean(row) || family !== "other";
  return { types, families, known, resale: known && !C.not_resale.includes(type_name),
    cold: families.includes("fridge") || families.includes("air") || kinds.some((name) => C.cold_too.includes(name)), gas: burns(fuel, families, kinds), made,
    weight_lb: row ? pounds : 0, weight: S.weight_unit === "lb" ? `${rint(pounds)} lb` : `${rint(pounds * 0.45359237)} kg`, us: S.region === "US" };
}

function burns(fuel, families, kinds) {
  if (fuel) return ["gas", "propane", "lp"].some((word) => fuel.startsWith(word)) ? "yes" : "no";
  const gas = kinds.filter((name) => name.startsWith("gas "));
  if (gas.length === kinds.length) return "yes";
  if (gas.length || kinds.some((name) => name.includes("gas"))) return "maybe";
  const none = families.length && !families.includes("range") && !families.includes("dryer");
  return none || kinds.every((name) => C.electric.some((word) => name.startsWith(word))) ? "no" : "maybe";
}

/** The part of every answer that comes before the money. */
const before_money = (found) => ({ decision: found.decision, free_only: found.free_only, dangers: found.dangers.map((one) => one.line),
  tags: [...new Set(found.dangers.map((one) => one.tag))],
  cautions: [...found.dangers.map((one) => one.full), ...found.cautions.map((one) => `${one.line} ${one.full}`), ...(found.dangers.length ? [gate_words.DEFER] : [])] });
