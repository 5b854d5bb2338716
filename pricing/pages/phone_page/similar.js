// The own past sales that weigh most in this very answer, each adjusted to this unit and to today.
"use strict";
let past_rows = new Map(); // place of a sale: the row as the model reads it, worked out once

const past_sales = () => N.similar;

/** Places of the sales that are weighed for a type: all where there are few, else the type's own first, then its family's, the newest first. */
function looked_at(type_name) {
  const sales = past_sales();
  if (sales.length <= C.looked_at) return range(sales.length);
  if (!N.looked.has(type_name)) {
    const family = (name) => (N.price.types_by.get(name) || N.price.encoding.other).family, mine = family(type_name);
    const near = sales.map(({ type = "" }) => (type === type_name ? 0 : family(type) === mine ? 1 : 2));
    N.looked.set(type_name, range(sales.length).sort((i, j) => near[i] - near[j] || j - i).slice(0, C.looked_at));
  }
  return N.looked.get(type_name);
}

function past_row(place) {
  if (!past_rows.has(place)) {
    const sale = past_sales()[place], rows = read(sale, sale.sold);
    past_rows.set(place, { columns: rows.columns, level: rows.offset + dot(rows.columns, N.price.mean) });
  }
  return past_rows.get(place);
}

/** a_j = z' S z_j w_j / s_j^2 for the sales that are looked at; the heaviest first, none without weight. */
function closest(unit, day, most = 5) {
  const here = read(unit, day), level = here.offset + dot(here.columns, N.price.mean), turned = turned_by(here.columns), sales = past_sales();
  const found = looked_at(String(unit.type || "")).map((place, turn) => {
    const row = past_row(place), sale = sales[place];
    return { place, turn, weight: dot(row.columns, turned) * sale.pull, adjusted: Math.exp(level - row.level) * sale.price };
  });
  found.sort((a, b) => b.weight - a.weight || a.turn - b.turn);
  return found.slice(0, most).filter(({ weight }) => weight > 0).map(({ place, weight, adjusted }) => {
    const sale = sales[place];
    return { unit: sale.unit === undefined ? "" : String(sale.unit), sold: isoformat(sale.sold), price: sale.price, adjusted, weight, said: sale_said(sale) };
  });
}

/** What a past sale was, in a few words: "wall oven, 6y, good, steam". */
function sale_said({ type = "", age, condition = "", features = "" }) {
  return [type, typeof age === "number" ? `${rint(age)}y` : "", condition, features].filter(Boolean).join(", ");
}
