// Why the price is what it is: every term in money.
"use strict";

function terms(unit, day) {
  const kind = word(unit, "type"), { mean, encoding, usual_age } = N.price, age = number(unit, "age"), usual_years = py.get(usual_age, kind, MIDDLE_AGE);
  const here = read(unit, day), usual = read({ age: usual_years, type: kind, condition: "good" }, day), prior = encoding.blocks.flatMap((block) => block.mean);
  const moved = (rows) => Array.from(rows.columns, (value, i) => value * (mean[i] + prior[i])), slopes = [here, usual].map((one) => one.offset - one.start - dot(one.columns, prior));
  const about = [kind, (name) => word(unit, name), Number.isFinite(age) ? age : null, usual_years], of = price_terms_formulas;
  return of.in_money(of.log_terms(of.column_terms(encoding.margins, encoding.blocks), moved(here), moved(usual), slopes, usual.start, about));
}
