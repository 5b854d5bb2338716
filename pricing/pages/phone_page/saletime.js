// How long a unit waits for a buyer, and what buyers talk down.
"use strict";
const WEEK = 7;

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

const own_factor = (nu) => (nu > 2 ? Math.min(nu / (nu - 2), 2) : 2);
const unseen_sd = (one) => Math.sqrt((N.saletime.seen_share * one.scale) ** 2 * own_factor(N.price.table.nu) + one.spread ** 2);

function haggle(unit) {
  const model = N.saletime, name = word(unit, "type"), found = name ? model.haggle_types.indexOf(name) : -1, place = found < 0 ? model.haggle_full.length - 1 : found;
  const full = model.haggle_full[place], off = clip((1 - full) * model.haggle_off[place] + model.haggle_slope * (0 - model.haggle_at[place]), 0, 0.5),
    inner = off / Math.max(1 - full, 1e-9);
  return { full_share: full, off_mean: off, off_sd: Math.sqrt((1 - full) * (model.haggle_sd ** 2 + full * inner * inner)),
    n: found >= 0 ? Math.trunc(model.haggle_n[place]) : 0, off_slope: model.haggle_slope };
}

function learned_from() {
  const model = N.saletime, many = (n) => (n === 1 ? "" : "s");
  if (model.n_listings === 0 || model.eta_sd > 0.95 * C.elasticity_sd) return "GUESS";
  return `from ${model.n_drops} drop${many(model.n_drops)} and ${model.n_listings} listing${many(model.n_listings)}`;
}
/** The highest ask over the estimate that is looked at: what was tried, and a bit beyond. */
function highest_ratio(name) {
  const model = N.saletime, place = model.types.indexOf(name), share = model.n_listings / (model.n_listings + 8);
  const tried = model.premium_mean + (place >= 0 ? model.premium_by_type[place] : 0) + 1.645 * model.premium_sd + Math.log(1.05);
  return Math.exp((1 - share) * Math.log(C.ask_ceiling) + share * tried);
}
