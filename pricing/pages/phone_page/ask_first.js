// What to ask the owner first: the answers that change the most to pay by most.
"use strict";

function ask_first(question, price, as_of) {
  const ranked = [], plan = by_plan(question, as_of), of = unknowns_formulas;
  for (const [name, text, found] of unknowns_of(question, as_of)) {
    const told = found.map(([, , columns]) => with_unit(question, columns)), middle = name === "age" ? by_plan(told[Math.floor(told.length / 2)], as_of) : plan;
    const worths = told.map((again) => limit_of(again, as_of, of.OWN_PLAN.includes(name) ? by_plan(again, as_of) : middle));
    const worth = of.value_of_answers(worths, found.map(([, chance]) => chance), price);
    if (worth >= of.LEAST_WORTH) ranked.push({ name, question: text, worth,
      answers: found.map(([answer, chance, , value], k) => ({ answer, chance, pay_up_to: worths[k], value })) });
  }
  return ranked.sort((a, b) => b.worth - a.worth || by_word(a.question, b.question));
}

function unknowns_of(question, as_of) {
  const { unit, made } = question, kind = type_of(question), years = made && made.length > 1 ? ages_of(question, as_of).map((age, k) => [made[k], age]) : [];
  const faults = () => unknowns_formulas.faults_of(kind, C.faults, N.repair.ended, (name) => fault_families(name, family_of(name)), C.any_faults);
  return unknowns_formulas.unknowns(unit, years, N.repair.heard, family_of(kind), own(C.plain_kinds, kind) || {}, faults,
    () => outlook(unit).each.map((one) => [one.repair, one.chance]));
}
