// What a fault turns out to need, whether it gets fixed, and what parts and hours go into it.
"use strict";
const { BLOCKS } = bench_sums_formulas;

// ---- pooled regressions on words
function prepare_effects(effects) {
  let start = 3;
  effects.place = {};
  effects.prior = [effects.sd.all ** 2, effects.sd.age ** 2, effects.sd.failed ** 2];
  for (const block of BLOCKS) {
    effects.place[block] = Object.fromEntries(effects.levels[block].map((level, k) => [level, start + k]));
    start += effects.levels[block].length;
    for (const _ of effects.levels[block]) effects.prior.push(effects.sd[block] ** 2);
  }
}

/** Mean, variance, and variance before any unit, of one cell. */
function predict(effects, cell) {
  const [words, missing] = bench_sums_formulas.levels_of(effects.place, cell), cov = effects.cov, row = [[0, 1], [1, cell.age], ...words];
  const at = (i, j) => (i >= j ? cov[(i * (i + 1)) / 2 + j] : cov[(j * (j + 1)) / 2 + i]);
  let mean = 0, variance = 0, before = 0, open = 0;
  for (const [i, a] of row) {
    mean += a * effects.mean[i];
    before += a * a * effects.prior[i];
    for (const [j, b] of row) variance += a * b * at(i, j);
  }
  missing.forEach((weight, k) => { open += weight * effects.sd[BLOCKS[k]] ** 2; });
  return [mean, Math.max(variance + open, 0), before + open];
}

// ---- money and habits
const row_of = (table, name) => (table.find(([what]) => what === name) || ["", 0, 0]).slice(1);

function if_not_fixed(type_name) {
  const row = C.types_by.get(type_name) || C.generic_type, scrap = exits_formulas.scrap_money(row.scrap, S.scrap_price_per_weight, S.weight_unit === "lb");
  return exits_formulas.if_not_fixed(row_of(N.repair.failed_money, type_name), scrap, N.repair.failed_ratio);
}

/** The best way to be rid of one that is not fixed. sold: what it sells for once it is. */
function best_exit(type_name, sold, may_be_sold) {
  const model = N.repair, row = C.types_by.get(type_name) || C.generic_type, of = exits_formulas;
  const rest = [if_not_fixed(type_name), of.rest_hours(model.failed_hours)], tried = (money, hours, own) => of.tried([money, hours], own[0], model.n_failed, rest);
  const ways = [tried(of.share_of_price(sold, model.as_is, row.as_is_share) * (1 - S.selling_fee_share) - S.selling_fee_fixed, of.AS_IS_HOURS, model.as_is),
    tried(of.share_of_price(sold, model.parted, row.parted_share), of.PARTED_HOURS, model.parted), rest];
  const [money, hours] = ways[of.best(ways.map((way) => way[0]), ways.map((way) => way[1]), may_be_sold, S.hour_worth)]; return { money, hours };
}

const comeback_share = (type_name, family) =>
  (S.comebacks_of_100 === null ? exits_formulas.comeback_share(type_name, family, N.repair.comebacks) : S.comebacks_of_100 / 100);

function usual_paid(type_name) {
  const of = (name) => { const row = row_of(N.repair.paid, name); return row.length > 2 ? row : null; };
  return exits_formulas.usual_paid(of(type_name), of(""));
}

/** How one person differs from the group at the bench: mean and variance of the shift of the log odds to fix and of ln hours; spreads between people. */
function person_of(owner) {
  const skill = N.repair.skill;
  if (!skill) return { shift: [0, 0, 0, 0], fix_sd: 0, hours_sd: 0 };
  const place = skill.names.indexOf(String(owner || ""));
  return { shift: place < 0 ? skill.anyone : [...skill.fix[place], ...skill.hours[place]], fix_sd: skill.fix_sd, hours_sd: skill.hours_sd };
}

// ---- what lies ahead of one unit
/** Of an untold fault: the mixture of the faults it may have. */
function outlook(unit) {
  const type_name = String(unit.type || ""), blank = !unit.fault || unit.fault === UNTOLD;
  const mix = blank && !unit.found && !unit.repair ? untold_mix(type_name) : [];
  if (!mix.length) return outlook_of_told(unit);
  const views = mix.map(([fault]) => outlook_of_told({ ...unit, fault })), mean = (name) => sum(views.map((view, k) => mix[k][1] * view[name]));
  return { ...views[0], each: views.flatMap((view, k) => view.each.map((one) => ({ ...one, told: k, chance: one.chance * mix[k][1] }))),
    fix_known: mean("fix_known"), parts_known: mean("parts_known"), hours_known: mean("hours_known"),
    row: [fault_row("", type_name, family_of(type_name))[0], true] };
}

function untold_mix(type_name) {
  const shares = own(C.told_shares, type_name) || {}, family = family_of(type_name), own_units = N.repair.fixed_of.filter(([, kind]) => kind === type_name);
  if (!Object.keys(shares).length || type_name.includes("microwave")) return [];
  return repairs_needed_formulas.untold_mix(shares, own_units.map(([fault, , n]) => [fault, n]), (fault) => fault_row(fault, type_name, family));
}

function outlook_of_told(unit) {
  const type_name = String(unit.type || ""), fault = String(unit.fault || ""), family = family_of(type_name);
  const of = bench_sums_formulas, ahead = ahead_of(type_name, fault, String(unit.found || ""), String(unit.repair || ""), family);
  const year = unit.age === undefined || unit.age === null ? 0 : Number(unit.age) - MIDDLE_AGE, model = N.repair, person = person_of(unit.owner);
  const each = ahead.repairs.map((repair, k) => {
    const cell = { family, type: type_name, fault, steps: steps_of(repair), age: year }, own = ["fix", "parts", "hours", "sell"].map((name) => predict(model[name], cell));
    const zero = of.zero_share(row_of(model.zero_parts, repair), model.zero_share, of.usual_zero_share(ahead.row[0].parts_low)), shift = person.shift;
    const told = [ahead.fix[k], ahead.parts[k], zero, Math.max(cell.steps.length, 1), ahead.hours, ahead.sell], removed = (after, before) => 1 - after / Math.max(before, 1e-12);
    const [[, fix_var, fix_before], [, parts_var, parts_before], [, hours_var, hours_before]] = own;
    return {
      repair, told: 0, chance: ahead.chance[k], no_parts: zero, ...of.ahead(model, told, own, shift, year), fix_removed: removed(fix_var + shift[1], fix_before + person.fix_sd ** 2),
      parts_removed: removed(parts_var, parts_before), hours_removed: removed(hours_var + shift[3], hours_before + person.hours_sd ** 2),
    };
  });
  const known = (name) => clip(sum(each.map((one) => one.chance * one[name])), 0, 1);
  return {
    each, waste: of.waste(model.waste), failed_log: Math.log(exits_formulas.FAILED_HOURS) + model.hours.mean[2],
    fix_known: known("fix_removed") * (model.n_failed > 0 ? 1 : 0), parts_known: known("parts_removed"), hours_known: known("hours_removed"), row: ahead.row,
  };
}

function ahead_of(type_name, fault, found, repair, family) {
  let [row, known] = fault_row(fault, type_name, family);
  if (found) { const [found_row, found_known] = fault_row(found, type_name, family); if (found_known) [row, known] = [found_row, true]; }
  const shares = repair ? { [repair]: 1 } : found ? found_shares(found) : shares_of(fault, type_name, family), repairs = Object.keys(shares);
  const ranked = repairs.map((name) => repairs_needed_formulas.ranked(name, row.fix, row.parts));
  return {
    repairs, chance: Object.values(shares), fix: ranked.map(([fix]) => fix), parts: ranked.map(([, parts]) => parts), hours: row.bench_h,
    sell: (C.types_by.get(type_name) || C.generic_type).clean_sell_h, row: [row, known || N.repair.fixed_of.some(([what]) => what === fault)],
  };
}

/** Units by fault, by kind of appliance and by type, summed once. */
function shares_of(fault, type_name, family) {
  const of = repairs_needed_formulas, kinds = new Map(), model = N.repair;
  const kind_of = (name) => { if (!kinds.has(name)) kinds.set(name, fault_families(name, family_of(name))[0]); return kinds.get(name); };
  if (!model.tree) model.tree = of.counted(model.needs.map(([told, type, repair, count]) => [[told, type, repair], count]), kind_of);
  return of.shares_under(model.tree, fault, fault_families(type_name, family)[0], type_name);
}

function found_shares(found) {
  const counts = N.repair.found_needs.filter(([what]) => what === found).map(([, repair, count]) => [repair, count]);
  return repairs_needed_formulas.found_shares(found, Object.fromEntries(counts));
}
