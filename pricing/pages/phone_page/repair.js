// What a fault turns out to need, whether it gets fixed, and what parts and hours go into it.
"use strict";
const BLOCKS = ["family", "type", "fault", "pair", "step"];

// ---- pooled regressions on words
function prepare_effects(effects) {
  let start = 3;
  effects.place = {};
  effects.prior = [effects.sd.all ** 2, effects.sd.age ** 2, effects.sd.failed ** 2];
  for (const block of BLOCKS) {
    effects.place[block] = new Map(effects.levels[block].map((level, k) => [level, start + k]));
    start += effects.levels[block].length;
    for (const _ of effects.levels[block]) effects.prior.push(effects.sd[block] ** 2);
  }
}

/** The row of one cell as [place, value] pairs, and how much of each block is not in it, as squared weight. */
function design(effects, cell) {
  const row = new Map([[0, 1], [1, cell.age], [2, 0]]), missing = [0, 0, 0, 0, 0];
  const pair = cell.fault && cell.type ? `${cell.fault} / ${cell.type}` : "";
  [cell.family, cell.type, cell.fault, pair].forEach((level, k) => {
    const at = effects.place[BLOCKS[k]].get(level);
    if (at === undefined) missing[k] = 1; else row.set(at, 1);
  });
  if (!cell.steps.length) missing[4] = 1;
  const share = 1 / Math.max(cell.steps.length, 1);
  for (const step of cell.steps) {
    const at = effects.place.step.get(step);
    if (at === undefined) missing[4] += share * share; else row.set(at, (row.get(at) || 0) + share);
  }
  return [[...row], missing];
}

/** Mean, variance, and variance before any unit, of one cell. */
function predict(effects, cell) {
  const [row, missing] = design(effects, cell), cov = effects.cov;
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

function mean_chance(mean, variance) {
  let chance = 0;
  C.chance_nodes.forEach((node, k) => { chance += C.chance_weights[k] / (1 + Math.exp(-(mean + Math.sqrt(variance) * node))); });
  return chance;
}

// ---- money and habits
function if_not_fixed(type_name) {
  const scrap = scrap_money(type_name), row = N.repair.failed_money.find(([name]) => name === type_name) || ["", 0, 0];
  return (row[2] + C.salvage_weight * scrap * N.repair.failed_ratio) / (row[1] + C.salvage_weight);
}

/** The best way to be rid of one that is not fixed. sold: what it sells for once it is. */
function best_exit(type_name, sold, may_be_sold) {
  const model = N.repair, row = C.types_by.get(type_name) || C.generic_type, target = S.hour_worth;
  const own_share = ([n, total], share) => (sold * (total + 3 * share)) / (n + 3);
  const ways = [
    { money: own_share(model.as_is, row.as_is_share) * (1 - S.selling_fee_share) - S.selling_fee_fixed, hours: C.as_is_hours },
    { money: own_share(model.parted, row.parted_share), hours: C.parted_hours },
    { money: if_not_fixed(type_name), hours: (model.failed_hours[1] + 3 * C.failed_rest_hours) / (model.failed_hours[0] + 3) },
  ].slice(may_be_sold ? 0 : 1);
  let top = ways[0];
  for (const way of ways) if (way.money - target * way.hours > top.money - target * top.hours) top = way;
  return top;
}

function scrap_money(type_name) {
  const row = C.types_by.get(type_name) || C.generic_type;
  return (row.scrap * S.scrap_price_per_weight) / (S.weight_unit === "lb" ? 0.07 : 0.07 / 0.45359237);
}

function comeback_share(type_name, family) {
  if (S.comebacks_of_100 !== null) return S.comebacks_of_100 / 100;
  const table = C.comebacks_of_100, usual = own(table, family);
  const start = (type_name.includes("dryer") && !type_name.includes("washer") ? table.dryer : usual === undefined ? table[""] : usual) / 100;
  const [sold_units, back] = N.repair.comebacks;
  return (back + 20 * start) / (sold_units + 20);
}

function usual_paid(type_name) {
  for (const [name, least] of [[type_name, 5], ["", 3]]) {
    const levels = N.repair.paid.find(([what]) => what === name);
    if (levels && levels[1] >= least) return levels[6];
  }
  return null;
}

function k_of_n(fault, type_name) {
  if (!fault || fault === C.unknown_fault) {
    const mine = N.repair.fixed_of.filter((other) => other[1] === type_name);
    return [Math.trunc(sum(mine.map((other) => other[3]))), Math.trunc(sum(mine.map((other) => other[2]))), 0];
  }
  const row = N.repair.fixed_by.get(pair_key(fault, type_name)) || [fault, type_name, 0, 0];
  const near = sum(N.repair.fixed_of.filter((other) => other[0] === fault && other[1] !== type_name).map((other) => other[2]));
  return [Math.trunc(row[3]), Math.trunc(row[2]), Math.trunc(near)];
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
  const type_name = String(unit.type || ""), blank = !unit.fault || unit.fault === C.unknown_fault;
  const mix = blank && !unit.found && !unit.repair ? untold_mix(type_name) : [];
  if (!mix.length) return outlook_of_told(unit);
  const views = mix.map(([fault]) => outlook_of_told({ ...unit, fault })), mean = (name) => sum(views.map((view, k) => mix[k][1] * view[name]));
  return { ...views[0], each: views.flatMap((view, k) => view.each.map((one) => ({ ...one, chance: one.chance * mix[k][1] }))),
    fix_known: mean("fix_known"), parts_known: mean("parts_known"), hours_known: mean("hours_known"),
    row: [fault_row("", type_name, family_of(type_name))[0], true] };
}

function untold_mix(type_name) {
  const base = own(C.told_shares.of, type_name), weight = new Map(), word = new Map(), family = family_of(type_name);
  if (!base || type_name.includes("microwave")) return [];
  for (let i = 0; i < base.length; i += 2) weight.set(C.told_shares.names[base[i]], C.untold_weight * base[i + 1]);
  for (const [fault, kind, n] of N.repair.fixed_of) {
    if (kind !== type_name || n <= 0) continue;
    const [row, known] = fault_row(fault, type_name, family);
    if (row.fault === C.unknown_fault || row.family === "danger" || C.no_fault.includes(row.fault)) continue;
    const name = known ? row.fault : fault;
    weight.set(name, (weight.get(name) || 0) + n);
    if (!word.has(name) || n > word.get(name)[1]) word.set(name, [fault, n]);
  }
  const all = sum(weight.values());
  return [...weight].map(([name, part]) => [word.has(name) ? word.get(name)[0] : name, part / all]);
}

function outlook_of_told(unit) {
  const type_name = String(unit.type || ""), fault = String(unit.fault || ""), family = family_of(type_name);
  const ahead = ahead_of(type_name, fault, String(unit.found || ""), String(unit.repair || ""), family);
  const year = unit.age === undefined || unit.age === null ? 0 : Number(unit.age) - C.ages.middle, model = N.repair, person = person_of(unit.owner);
  const each = ahead.repairs.map((repair, k) => {
    const cell = { family, type: type_name, fault, steps: steps_of(repair), age: year };
    const zero = zero_share(repair, ahead.zero), n_steps = Math.max(cell.steps.length, 1);
    const [fix_log, fix_var, fix_before] = predict(model.fix, cell), [parts_log, parts_var, parts_before] = predict(model.parts, cell);
    const [hours_log, hours_var, hours_before] = predict(model.hours, cell), [sell_log, sell_var] = predict(model.sell, cell);
    const [abler, abler_var, slower, slower_var] = person.shift;
    const removed = (after, before) => 1 - after / Math.max(before, 1e-12);
    return {
      repair, chance: ahead.chance[k],
      fix: mean_chance(fix_log + fix_offset(ahead.fix[k] * clip(1 + C.fix_per_year * year, 0.6, 1.03)) + abler, fix_var + abler_var),
      parts_log: parts_log + parts_offset(ahead.parts[k], zero, n_steps), parts_var: parts_var + model.parts.sigma ** 2, no_parts: zero,
      hours_log: hours_log + hours_offset(ahead.hours, n_steps) + slower, hours_var: hours_var + slower_var + model.hours.sigma ** 2,
      sell_log: sell_log + sell_offset(ahead.sell), sell_var: sell_var + model.sell.sigma ** 2,
      fix_removed: removed(fix_var + abler_var, fix_before + person.fix_sd ** 2), parts_removed: removed(parts_var, parts_before),
      hours_removed: removed(hours_var + slower_var, hours_before + person.hours_sd ** 2),
    };
  });
  const waste = (model.waste[1] + 4 * C.wasted_parts_share) / (model.waste[0] + 4);
  for (const one of each) {
    const bought = Math.exp(one.parts_log + one.parts_var / 2);
    one.parts_mean = (1 - one.no_parts) * bought;
    one.wasted_mean = waste * bought;
    one.hours_mean = Math.exp(one.hours_log + one.hours_var / 2);
    one.sell_mean = Math.exp(one.sell_log + one.sell_var / 2);
  }
  const known = (name) => clip(sum(each.map((one) => one.chance * one[name])), 0, 1);
  return {
    each, waste, failed_log: Math.log(C.failed_hours) + model.hours.mean[2],
    fix_known: known("fix_removed") * (model.n_failed > 0 ? 1 : 0), parts_known: known("parts_removed"), hours_known: known("hours_removed"), row: ahead.row,
  };
}

/** Variance of one linear predictor before any unit, at the middle age. */
const before = (sd) => sum(Object.keys(sd).filter((name) => name !== "age" && name !== "failed").map((name) => sd[name] ** 2));

function fix_offset(chance) {
  const inside = clip(chance, 0.002, 0.998);
  return Math.log(inside / (1 - inside)) * Math.sqrt(1 + (Math.PI * before(C.fix_sd)) / 8) + N.repair.fix_shift;
}
const parts_offset = (expected, zero, n_steps) => Math.log(Math.max(expected, 1) / (1 - zero)) - (before(C.parts_sd) + C.parts_sigma ** 2) / 2 + Math.log(n_steps);
const hours_offset = (expected, n_steps) => Math.log(Math.max(expected, 0.05)) - (before(C.hours_sd) + C.hours_sigma ** 2) / 2 + Math.log(n_steps) / 2;
const sell_offset = (expected) => Math.log(Math.max(expected, 0.05)) - (before(C.sell_sd) + C.sell_sigma ** 2) / 2;

function zero_share(repair, prior) {
  const pooled = N.repair.zero_share, start = (pooled[1] + 2 * prior) / (pooled[0] + 2);
  const [, n, zeros] = N.repair.zero_parts.find(([name]) => name === repair) || ["", 0, 0];
  return (zeros + 1.5 * start) / (n + 1.5);
}

function ahead_of(type_name, fault, found, repair, family) {
  let [row, known] = fault_row(fault, type_name, family);
  if (found) { const [found_row, found_known] = fault_row(found, type_name, family); if (found_known) [row, known] = [found_row, true]; }
  const shares = repair ? new Map([[repair, 1]]) : found ? found_shares(found) : shares_of(fault, type_name, family);
  const repairs = [...shares.keys()], ranked = repairs.map((name) => ranked_row(name, row));
  return {
    repairs, chance: [...shares.values()], fix: ranked.map(([fix]) => fix), parts: ranked.map(([, parts]) => parts), hours: row.bench_h,
    sell: (C.types_by.get(type_name) || C.generic_type).clean_sell_h, zero: row.parts_low <= 0 ? C.zero_parts_share : C.zero_parts_share_never,
    row: [row, known || N.repair.fixed_of.some(([what]) => what === fault)],
  };
}

function ranked_row(repair, row) {
  let { fix, parts } = row;
  for (const step of steps_of(repair)) {
    const name = step.toLowerCase();
    for (const [words, cap, money] of C.low_ranks) {
      if (words.some((w) => name.includes(w)) && !C.not_low.some((w) => name.includes(w))) { fix = Math.min(fix, cap); parts = Math.max(parts, money || 0); }
    }
    for (const [words, floor, money] of C.high_ranks) {
      if (words.some((w) => name.includes(w))) { fix = Math.max(fix, floor); if (money !== null) parts = Math.min(parts, money); }
    }
  }
  return [fix, parts];
}

/** Units by fault, by kind of appliance and by type, summed once. */
function tree() {
  if (N.repair.tree) return N.repair.tree;
  const out = { by_fault: new Map(), by_kind: new Map(), by_type: new Map() }, kinds = new Map();
  const kind_of = (name) => { if (!kinds.has(name)) kinds.set(name, fault_families(name, family_of(name))[0]); return kinds.get(name); };
  for (const { fault, type: type_name, repair, count } of rows_of_table(N.repair.needs)) {
    for (const [table, key] of [[out.by_type, pair_key(fault, type_name)], [out.by_kind, pair_key(fault, kind_of(type_name))], [out.by_fault, fault]]) {
      if (!table.has(key)) table.set(key, new Map());
      table.get(key).set(repair, (table.get(key).get(repair) || 0) + count);
    }
  }
  return (N.repair.tree = out);
}

function shares_of(fault, type_name, family) {
  const { by_fault, by_kind, by_type } = tree(), seen = by_fault.get(fault) || new Map(), total = sum(seen.values());
  let shares = new Map([...seen].map(([repair, count]) => [repair, count / (total + C.new_repair_weight)]));
  shares.set("", C.new_repair_weight / (total + C.new_repair_weight));
  const kind = fault_families(type_name, family)[0];
  for (const [table, key, weight] of [[by_kind, pair_key(fault, kind), C.kind_weight], [by_type, pair_key(fault, type_name), C.type_weight]]) {
    const counts = table.get(key) || new Map(), n = sum(counts.values());
    shares = new Map([...shares].map(([repair, share]) => [repair, ((counts.get(repair) || 0) + weight * share) / (n + weight)]));
  }
  return largest(shares);
}

function found_shares(found) {
  const counts = N.repair.found_needs.filter(([what]) => what === found);
  if (!counts.length) return new Map([[found, 1]]);
  const total = sum(counts.map(([, , count]) => count));
  const shares = new Map(counts.map(([, repair, count]) => [repair, count / (total + C.new_repair_weight)]));
  return largest(shares.set("", C.new_repair_weight / (total + C.new_repair_weight)));
}

function largest(shares) {
  const named = [...shares].filter(([repair]) => repair !== "").sort((a, b) => b[1] - a[1] || by_word(a[0], b[0]));
  const kept_shares = new Map(named.slice(0, C.most_repairs));
  const rest = (shares.get("") || 0) + sum(named.slice(C.most_repairs).map(([, share]) => share));
  if (rest > 0) kept_shares.set("", rest);
  return kept_shares;
}
