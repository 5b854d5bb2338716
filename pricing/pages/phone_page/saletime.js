// How long a unit waits for a buyer, and what buyers talk down.
"use strict";

const sale_family = (name) => own(N.saletime.family_of_type, name) || (name ? family_by_name(name) : "");

function market(unit, day) {
  const model = N.saletime, name = word(unit, "type"), family = sale_family(name), F = model.families.length, T = model.types.length;
  const f = model.families.indexOf(family), t = model.types.indexOf(name), angle = (2 * Math.PI * day) / 365.25, row = [[0, 1]];
  if (f >= 0) row.push([1 + f, 1]);
  if (t >= 0) row.push([1 + F + t, 1]);
  if (f >= 0) row.push([1 + F + T + 2 * f, Math.cos(angle)], [1 + F + T + 2 * f + 1, Math.sin(angle)]);
  const at = (i, j) => (i >= j ? model.covariance[i][j] : model.covariance[j][i]), rate = own(model.log_rates, name);
  let center = 0, variance = 0, with_eta = 0;
  for (const [i, a] of row) {
    center += a * model.coefficients[i]; with_eta += a * model.with_eta[i];
    for (const [j, b] of row) variance += a * b * at(i, j);
  }
  variance += (t >= 0 ? 0 : model.scales[2] ** 2) + (f >= 0 ? 0 : model.scales[1] ** 2);
  const n_type = name ? own(model.n_type, name) || 0 : 0, sd = Math.sqrt(Math.max(variance, 0)), prior = sum(C.scales.map((s) => s * s));
  let n_family = -n_type;
  for (const other of Object.keys(model.n_type)) if (sale_family(other) === family) n_family += model.n_type[other];
  const season = own(model.season_rates, name);
  if (season) center += along_the_year(season, day);
  return { log_rate: center + (rate === undefined ? model.log_rates[""] : rate), log_rate_sd: sd, per_eta: with_eta / model.eta_sd ** 2, n_type, n_family,
    removed: clip(1 - (sd * sd) / prior, 0, 1) };
}

const unseen_sd = (one) => selling_formulas.unseen_sd(N.saletime, one.scale, one.spread, N.price.table.nu);

function haggle(unit) {
  const model = N.saletime, name = word(unit, "type"), found = name ? model.haggle_types.indexOf(name) : -1, place = found < 0 ? model.haggle_full.length - 1 : found;
  const [full_share, off_mean, off_sd] = selling_formulas.haggle(model, place, 0);
  return { full_share, off_mean, off_sd, n: found >= 0 ? Math.trunc(model.haggle_n[place]) : 0, off_slope: model.haggle_slope };
}
