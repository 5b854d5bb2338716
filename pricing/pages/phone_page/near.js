// What was not known, and the known word most like it.
"use strict";
const { nearest } = nearest_word_formulas;

// ---- what was not known and what was taken for it, one sentence each
function offer_warnings(question, [row, known]) {
  const fault = String(question.unit.fault || ""), type_name = type_of(question), out = [...(question.warnings || []), ...not_known(question)];
  if (fault && !known) out.push(unknown_words.fault(fault, nearest_faults(fault, type_name)));
  if (!C.types_by.has(type_name) && !n_of_type(type_name)) out.push(unknown_words.type_of_offer(type_name, nearest(type_name, [...C.types_by.keys()])));
  if (row.fault === UNTOLD && !fault) out.push(unknown_words.NO_FAULT_TOLD);
  return out;
}

function ask_warnings(question) {
  const type_name = type_of(question), n_type = n_of_type(type_name), out = [...(question.warnings || []), ...not_known(question)];
  if (!("price" in question.known)) {
    if (!N.price.types_by.has(type_name) && own(N.price.types, type_name) === undefined) {
      out.push(unknown_words.type_of_ask(type_name, nearest(type_name, [...N.price.types_by.keys()])));
    } else if (n_type === 0 && N.price.n) out.push(unknown_words.no_sale_yet(type_name));
  }
  return out;
}

/** One sentence where the question is asked as somebody whose sales the fit does not know. */
function not_known(question) {
  const name = String(question.unit.owner || ""), { people, named } = N;
  return "price" in question.known ? [] : unknown_words.person(name, people, named, nearest(name, [...people, ...named]));
}

/** Up to three known faults of this kind of appliance that are spelled or worded most like this one. */
function nearest_faults(fault, type_name) {
  const kinds = fault_families(type_name, family_of(type_name));
  const own_words = N.repair.fixed_of.filter(([what, which]) => what && which === type_name).map(([what]) => what);
  const names = [...new Set([...C.faults.filter((row) => kinds.includes(row.family)).map((row) => row.fault), ...own_words])];
  return nearest_word_formulas.nearest_faults(fault, squash(fault), names, C.fault_words);
}
