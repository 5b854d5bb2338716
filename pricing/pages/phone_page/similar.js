// The own past sales that weigh most in this very answer, each adjusted to this unit and to today.
"use strict";
let past_rows = new Map(); // place of a sale: the row as the model reads it, worked out once

/** Places of the sales that are weighed for a type, found once. */
function looked_at(kind) {
  const family_of_sale = (name) => (N.price.types_by.get(name) || N.price.encoding.other).family;
  if (!N.looked.has(kind)) N.looked.set(kind, price_terms_formulas.looked_at(N.similar, kind, family_of_sale, C.looked_at));
  return N.looked.get(kind);
}

function past_row(place) {
  if (!past_rows.has(place)) {
    const sale = N.similar[place], rows = read(sale, sale.sold);
    past_rows.set(place, { columns: rows.columns, level: rows.offset + dot(rows.columns, N.price.mean) });
  }
  return past_rows.get(place);
}

/** a_j = z' S z_j w_j / s_j^2 for the sales that are looked at; the heaviest first, none without weight. */
function closest(unit, day, most = 5) {
  const here = read(unit, day), level = here.offset + dot(here.columns, N.price.mean), turned = turned_by(here.columns), sales = N.similar;
  const found = looked_at(String(unit.type || "")).map((place, turn) => {
    const row = past_row(place), sale = sales[place];
    return { place, turn, weight: dot(row.columns, turned) * sale.pull, adjusted: Math.exp(level - row.level) * sale.price };
  });
  found.sort((a, b) => b.weight - a.weight || a.turn - b.turn);
  return found.slice(0, most).filter(({ weight }) => weight > 0).map(({ place, weight, adjusted }) => {
    const sale = sales[place];
    return { unit: sale.unit === undefined ? "" : String(sale.unit), sold: isoformat(sale.sold), price: sale.price, adjusted, weight, said: price_terms_formulas.sale_said(sale) };
  });
}
