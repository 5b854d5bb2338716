// What to ask the owner first: the answers that change the most to pay by most.
"use strict";

function value_of_answers(worths, odds, price) {
  const gains = worths.map((worth) => worth - price);
  return dot(odds, gains.map((gain) => Math.max(gain, 0))) - Math.max(0, dot(odds, gains));
}

function ask_first(question, price, as_of) {
  const ranked = [], plan = by_plan(question, as_of);
  for (const unknown of unknowns_of(question, as_of)) {
    const told = unknown.answers.map(([, , again]) => again), middle = unknown.name === "age" ? by_plan(told[Math.floor(told.length / 2)], as_of) : plan,
      other = ["type", "made"].includes(unknown.name), // kinds and years far apart have plans of their own
      worths = told.map((again) => limit_of(again, as_of, other ? by_plan(again, as_of) : middle)), odds = unknown.answers.map(([, chance]) => chance);
    const worth = value_of_answers(worths, odds, price);
    if (worth >= C.least_worth) ranked.push({ name: unknown.name, question: unknown.question, worth,
      answers: unknown.answers.map(([label, chance, again], k) => ({ answer: label, chance, pay_up_to: worths[k], value: value_told(unknown.name, label, again) })) });
  }
  return ranked.sort((a, b) => b.worth - a.worth || by_word(a.question, b.question));
}

/** What a form's field `name` holds once the question is told so. */
function value_told(name, label, again) {
  const value = name === "made" ? label : again.unit[name === "found" ? "repair" : name];
  return value === undefined || value === null ? "" : typeof value === "number" ? general(value) : value;
}

const heard = (column) => new Map(N.repair.heard.filter(([name]) => name === column).map(([, what, count]) => [what, count]));

function unknowns_of(question, as_of) {
  const unit = question.unit, type_name = type_of(question), family = family_of(type_name), found = [];
  const blank = (name) => unit[name] === undefined || unit[name] === null, told = (name) => Boolean(unit[name]);
  const kinds = kinds_of(type_name);
  if (kinds.length) found.push({ name: "type", question: `which kind of ${type_name}?`, answers: kinds.map(([name, share]) => [name, share, with_unit(question, { type: name })]) });
  if (question.made && question.made.length > 1) {
    const ages = ages_of(question, as_of);
    found.push({ name: "made", question: "which year was it made?", answers: ages.map((age, k) => [String(question.made[k]), 1 / ages.length, with_unit(question, { age })]) });
  } else if (blank("age")) found.push({ name: "age", question: "how old is it?",
    answers: ages_heard().map(([age, chance]) => [`${general(age)} yr`, chance, with_unit(question, { age })]) });
  if (blank("condition")) {
    const told_so = heard("condition"), counts = Object.entries(C.conditions_heard).map(([grade, share]) => [grade, (told_so.get(grade) || 0) + C.start_weight * share]);
    const all = sum(counts.map(([, count]) => count));
    found.push({ name: "condition", question: "how does it look?", answers: counts.map(([grade, count]) => [grade, count / all, with_unit(question, { condition: grade })]) });
  }
  if (!told("fault")) {
    const faults = faults_of(type_name, family);
    if (faults.length) found.push({ name: "fault", question: "what does it do, or not do?", answers: faults.map(([fault, chance]) => [fault, chance, with_unit(question, { fault })]) });
  } else if (!told("found") && !told("repair")) {
    const named = outlook(unit).each.filter((one) => one.repair), all = sum(named.map((one) => one.chance));
    if (named.length > 1) found.push({ name: "found", question: "what exactly is wrong?",
      answers: named.map((one) => [one.repair, one.chance / all, with_unit(question, { repair: one.repair })]) });
  }
  if (!told("maker")) {
    const makers = top_of([...heard("maker")].filter(([name]) => name));
    if (makers.length > 1) found.push({ name: "maker", question: "what make is it?", answers: makers.map(([maker, chance]) => [maker, chance, with_unit(question, { maker })]) });
  }
  if (!told("features")) {
    for (const [feature, share] of features_of(heard(`features:${family}`))) {
      found.push({ name: "features", question: `does it have ${feature}?`, answers: [["yes", share, with_unit(question, { features: feature })], ["no", 1 - share, question]] });
    }
  }
  return found;
}

function kinds_of(type_name) {
  const likely = Object.entries(own(C.plain_kinds, type_name) || {}).slice(0, C.most_answers), all = sum(likely.map(([, share]) => share));
  return likely.map(([name, share]) => [name, share / all]);
}

function ages_heard() {
  const told = heard("age"), start = new Map(C.ages_heard.map((age) => [general(age), C.start_weight / C.ages_heard.length]));
  const ages = [...new Set([...told.keys(), ...start.keys()])].map(Number).sort((a, b) => a - b);
  const reached = cumsum(ages.map((age) => (told.get(general(age)) || 0) + (start.get(general(age)) || 0)));
  const middles = [0.1, 0.3, 0.5, 0.7, 0.9].map((level) => ages[searchsorted(reached, level * reached[reached.length - 1])]);
  return [...new Set(middles)].map((age) => [age, middles.filter((other) => other === age).length / 5]);
}

function top_of(counts) {
  const named = [...counts].sort((a, b) => b[1] - a[1] || by_word(a[0], b[0])).slice(0, C.most_answers), all = sum(named.map(([, count]) => count));
  return named.map(([name, count]) => [name, count / all]);
}

function faults_of(type_name, family) {
  const kinds = fault_families(type_name, family), same = (other) => pair_key(...fault_families(other, family_of(other))) === pair_key(...kinds);
  const counts = new Map(C.faults.filter((row) => kinds.includes(row.family) && row.family !== "any" && !C.any_faults.includes(row.fault)).map((row) => [row.fault, 1]));
  for (const [fault, other, n] of N.repair.fixed_of) if (fault && same(other)) counts.set(fault, (counts.get(fault) || 0) + n);
  return top_of(new Map([...counts].filter(([fault]) => qualifier_fits(fault, type_name))));
}

function features_of(told) {
  const n = told.get("") || 0, named = [...told].filter(([feature]) => feature).sort((a, b) => b[1] - a[1] || by_word(a[0], b[0])).slice(0, 3);
  return named.map(([feature, count]) => [feature, (count + 2 * C.feature_share) / (n + 2)]);
}
