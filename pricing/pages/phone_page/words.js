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
  const { unit, said = "" } = question, { read = {}, tags = [] } = question.heard || {}, name = String(unit.type || ""), listed = (...names) => names.flatMap((one) => read[one] || []);
  const made = ages_of(question, as_of).filter(known_number).map((age) => +as_of.slice(0, 4) - rint(age)), family = family_of(name), row = C.types_by.get(name);
  const told = gate_input_words.told(unit, stage, said, { faults: listed("faults", "fault"), found: listed("found"), tags }, S.attributes), families = fault_families(name, family);
  const kind = gate_input_words.kind_of(name, String(unit.fuel || ""), made, [own(C.plain_kinds, name) || { [name]: 1 }, families.filter((one) => one !== "any"),
    Boolean(row) || family !== "other"], [row ? row.weight_lb : null, C.generic_type.weight_lb], S);
  return gate_words.verdict(told, stage, kind, C.cautions, C.perils);
}

/** The part of every answer that comes before the money. */
const before_money = (found) => ({ decision: found.decision, free_only: found.free_only, dangers: found.dangers.map((one) => one.line),
  tags: [...new Set(found.dangers.map((one) => one.tag))],
  cautions: [...found.dangers.map((one) => one.full), ...found.cautions.map((one) => `${one.line} ${one.full}`), ...(found.dangers.length ? [gate_words.DEFER] : [])] });
