const lot_formulas = (() => {
 const { down } = plain_words;
 const [ALL, SOME, NONE] = ["take all", "take some", "pass"];
 function best_of(n, barred, limits_at) {
   let free, k, limits, place, ranked, take, taken, total, worth;
  worth = 0.0;
  take = [];
  free = py.range(n).filter((place) => (!py.has(place, barred))).map((place) => (place));
  for (k of py.range(1, py.add(py.len(free), 1))) {
   limits = limits_at(k);
   ranked = py.sorted(free, (place) => [-limits[place], place]);
   taken = py.sorted(ranked.slice(0, k));
   total = py.sum(py.each(taken).map((place) => (limits[place])));
   if ((total > worth)) {
    worth = total;
    take = taken;
   }
  }
  return [worth, take];
 }
 function together_of(n, barred, take) {
   let place;
  return ((py.len(take) > 0) ? take : py.range(n).filter((place) => (!py.has(place, barred))).map((place) => (place)));
 }
 function price_of(for_all, own) {
   let price;
  if (py.truth(py.each(own).every((price) => (!py.nil(price))))) {
   return py.sum(py.each(own).filter((price) => (!py.nil(price))).map((price) => (Number(price))));
  }
  return for_all;
 }
 function advice_of(take, n, their_price, pay_up_to) {
  if (((py.len(take) === 0) || ((!py.nil(their_price)) && (their_price > down(pay_up_to))))) {
   return NONE;
  }
  return ((py.eq(py.len(take), n)) ? ALL : SOME);
 }
 function sells_for(each, common, z) {
   let high, i, j, low, mean, middle, one, sd, span, variance;
  if ((py.len(each) === 1)) {
   span = each[0].span;
   return { ["mean"]: each[0].sale, ["median"]: span.median, ["low"]: span.low, ["high"]: span.high };
  }
  mean = py.sum(py.each(each).map((one) => (one.sale)));
  variance = py.sum(py.each(each).map((one) => ((one.sd ** 2))));
  for (i of py.range(py.len(each))) {
   for (j of py.range(i)) {
    variance = py.add(variance, (((2 * each[i].moves) * each[j].moves) * common[i][j]));
   }
  }
  sd = Math.sqrt(Math.log(py.add(1, (py.max(variance, 0.0) / py.max((mean * mean), 1e-12)))));
  middle = (mean * Math.exp(((-sd * sd) / 2)));
  [low, high] = [(middle * Math.exp((-z * sd))), (middle * Math.exp((z * sd)))];
  return { ["mean"]: mean, ["median"]: middle, ["low"]: low, ["high"]: high };
 }
 function told(each, take, pay_up_to, their_price, sold) {
   let barred, one, place;
  barred = py.each(each).some((one) => (one["decision"] !== ""));
  return { ["advice"]: advice_of(take, py.len(each), their_price, pay_up_to), ["units"]: py.len(each), ["take"]: py.each(take).map((place) => (py.add(place, 1))), ["pay_up_to"]: pay_up_to, ["all_pay_up_to"]: (py.truth(barred) ? null : py.sum(py.each(each).map((one) => (one["pay_up_to"])))), ["their_price"]: their_price, ["sells_for"]: sold, ["each"]: each };
 }
 function over_first(lot) {
   let barred, each, name, one, said;
  each = lot["each"];
  barred = py.each(each).every((one) => (one["decision"] !== ""));
  return { ["lot"]: lot, ["advice"]: lot["advice"], ["pay_up_to"]: lot["pay_up_to"], ["their_price"]: lot["their_price"], ["decision"]: (py.truth(barred) ? each[0]["decision"] : ""), ...Object.fromEntries(["dangers", "tags", "cautions"].map((name) => ([name, py.list(py.fromkeys(py.each(each).map((one) => (py.each(one[name]).map((said) => (said)))).flat()))]))) };
 }
 return { ALL, SOME, NONE, best_of, together_of, price_of, advice_of, sells_for, told, over_first };
})();
const open_kinds_formulas = (() => {
 const USUAL_SALES = 10.0;
 const LEAST_LIKELY = 0.05;
 const MOST_KINDS = 4;
 function likely(usual, own) {
   let kind, ranked, share, whole;
  if ((py.len(usual) < 2)) {
   return [];
  }
  whole = py.add((USUAL_SALES * py.sum(Object.values(usual))), py.sum(Object.values(own)));
  share = Object.fromEntries(py.each(usual).map((kind) => ([kind, (py.add((USUAL_SALES * usual[kind]), own[kind]) / whole)])));
  ranked = py.sorted(usual, (kind) => [-share[kind], kind]).slice(0, MOST_KINDS);
  return py.each(ranked).filter((kind) => (share[kind] >= LEAST_LIKELY)).map((kind) => ([kind, share[kind]]));
 }
 return { USUAL_SALES, LEAST_LIKELY, MOST_KINDS, likely };
})();
const limit_formulas = (() => {
 const { down } = plain_words;
 const [HAUL, IF_FREE, IF_PAID, PASS] = ["haul", "haul if free", "only if paid", "pass"];
 const WORTH_A_STOP = 5.0;
 const MOST_REMOVAL_FEE = 75.0;
 function start_at(their_price, limit, usual) {
   let asked, first;
  if ((limit <= 0)) {
   asked = ((!py.nil(their_price)) ? their_price : 0.0);
   return py.min((5.0 * Math.floor(((limit * 1.25) / 5))), asked);
  }
  first = (5.0 * Math.floor(py.add((py.min(usual, (0.8 * limit)) / 5), 1e-09)));
  if ((py.nil(their_price))) {
   return py.max(first, 0.0);
  }
  return py.max(py.min(first, their_price), py.min(0.0, their_price));
 }
 function opening(their_price, limit, usual, share) {
   let start;
  start = start_at(their_price, limit, ((py.nil(usual)) ? (share * limit) : usual));
  if ((!py.nil(their_price))) {
   return [start, their_price];
  }
  return [start, ((py.nil(usual)) ? start : usual)];
 }
 function advise(limit, their_price, decision) {
  if ((decision !== "")) {
   return decision;
  }
  if (((!py.nil(their_price)) && (limit >= their_price))) {
   return HAUL;
  }
  if ((limit >= WORTH_A_STOP)) {
   return ((py.nil(their_price)) ? HAUL : PASS);
  }
  if ((limit >= 0)) {
   return IF_FREE;
  }
  return ((limit >= -MOST_REMOVAL_FEE) ? IF_PAID : PASS);
 }
 function limits(whole, start, out, at_curb, their_price, gate) {
   let advice, limit;
  limit = (py.truth(gate.free_only) ? py.min(whole, 0.0) : whole);
  advice = advise(down(limit), their_price, gate.decision);
  return { ["advice"]: ((py.truth(gate.free_only) && (py.eq(advice, HAUL))) ? IF_FREE : advice), ["pay_up_to"]: limit, ["start_at"]: (py.truth(gate.free_only) ? py.min(start, 0.0) : start), ["before_drive"]: (py.truth(at_curb) ? (limit - out) : limit), ["at_curb_pay_up_to"]: (py.truth(at_curb) ? limit : py.add(limit, out)) };
 }
 return { HAUL, IF_FREE, IF_PAID, PASS, WORTH_A_STOP, MOST_REMOVAL_FEE, start_at, opening, advise, limits };
})();
const standing_formulas = (() => {
 const [YOURS, PART, GUESS] = ["YOURS", "PART", "GUESS"];
 const LEAST_OWN = 3;
 function standing(share_removed, n_own, n_near = 0) {
   let count, own;
  if (((py.add(n_own, n_near) === 0) || (share_removed <= 0.25))) {
   return GUESS;
  }
  count = (py.truth(n_near) ? `${n_own}+${n_near}` : `${n_own}`);
  own = ((share_removed >= 0.75) && (n_own >= LEAST_OWN));
  return `${(py.truth(own) ? YOURS : PART)} (${count})`;
 }
 return { YOURS, PART, GUESS, LEAST_OWN, standing };
})();
const pair_formulas = (() => {
 const { standing } = standing_formulas;
 const PREMIUM_SD = 0.1;
 const SALE_SD = 0.2;
 function halves(type_name, fuel, known = []) {
   let dryers, kind, mine, name, named, washer, washers, words;
  words = py.split(type_name.replaceAll("+", " "));
  if ((!py.truth(_any_of(["pair", "set"], words)) || !py.truth(_any_of(["washer", "dryer", "laundry"], words)))) {
   return null;
  }
  mine = [...known, "top-load washer", "electric dryer"];
  washers = py.each(mine).filter((name) => (py.truth(name.endsWith("washer")) && (!py.has("dish", name)))).map((name) => (name));
  named = ["front-load", "top-load"].filter((kind) => (py.has(kind, words))).map((kind) => (kind));
  washer = ((py.len(named) > 0) ? `${named[0]} washer` : washers[0]);
  if (((fuel === "gas") || (py.has("gas", words)))) {
   return [washer, "gas dryer"];
  }
  if (((fuel !== "") || (py.has("electric", words)))) {
   return [washer, "electric dryer"];
  }
  dryers = py.each(mine).filter((name) => py.truth(name.endsWith("dryer"))).map((name) => (name));
  return [washer, dryers[0]];
 }
 function _any_of(names, words) {
   let name;
  return py.each(names).some((name) => (py.has(name, words)));
 }
 function type_of(washer) {
  return ((py.has("front", washer)) ? "front-load washer + dryer pair" : "top-load washer + dryer pair");
 }
 function premium(start, found) {
   let before, each, precision;
  before = (PREMIUM_SD ** -2);
  each = (SALE_SD ** -2);
  precision = py.add(before, (py.len(found) * each));
  return [(py.add((start * before), (py.sum(found) * each)) / precision), (precision ** -0.5)];
 }
 function starting_premium(whole, first, second) {
  return py.min(py.max(Math.log((whole / py.add(first, second))), -0.2), 0.3);
 }
 function weighed(whole, parts, start, sure) {
   let _, alone, as_pair, both, center, i, shares, variance, weight;
  alone = py.each(parts).map(([center, _]) => (Math.exp(center)));
  both = py.sum(alone);
  shares = py.range(py.len(parts)).map((i) => ((((alone[i] / both) ** 2) * (parts[i][1] ** 2))));
  variance = py.add(py.sum(shares), (sure ** 2));
  weight = (variance / py.add(variance, (whole[1] ** 2)));
  as_pair = Math.exp(py.add((weight * whole[0]), ((1 - weight) * py.add(Math.log(both), start))));
  return [as_pair, ((as_pair / both) - 1)];
 }
 function told(types, whole, each, about, found) {
   let alone, as_pair, i, more, removed, sales;
  [as_pair, more] = weighed(whole, each, about[0], about[1]);
  sales = py.int(py.add(found[0], found[1]));
  removed = py.max((1 - ((about[1] / PREMIUM_SD) ** 2)), ((found[0] > 0) ? found[2] : 0.0));
  alone = py.range(py.len(types)).map((i) => ({ ["type"]: types[i], ["price"]: Math.exp(each[i][0]) }));
  return { ["as_pair"]: as_pair, ["as_two"]: alone, ["premium"]: more, ["sales"]: sales, ["standing"]: standing(removed, sales) };
 }
 function linked(sales) {
   let dryer_first, one, out, pair, two, used;
  out = [];
  used = [];
  for ([one, two] of _told_together(sales)) {
   dryer_first = (py.has("dryer", String(py.get(sales[one], "type"))));
   pair = (py.truth(dryer_first) ? [sales[two], sales[one]] : [sales[one], sales[two]]);
   if (((!py.has(one, used)) && (!py.has(two, used)) && py.truth(_fit(String(pair[0]["type"]), String(pair[1]["type"]))))) {
    used = py.more(used, [one, two]);
    out.push(pair);
   }
  }
  return out;
 }
 function _fit(washer, dryer) {
  return ((py.has("washer", washer)) && (!py.has("dryer", washer)) && (py.has("dryer", dryer)));
 }
 function _told_together(sales) {
   let i, mate, place_of, places, said, shared, told;
  place_of = Object.fromEntries(py.range(py.len(sales)).map((i) => ([String((py.truth(py.get(sales[i], "unit")) ? py.get(sales[i], "unit") : "")), i])));
  shared = {  };
  told = [];
  for (i of py.range(py.len(sales))) {
   said = String((py.truth(py.get(sales[i], "pair")) ? py.get(sales[i], "pair") : "")).trim();
   mate = py.get(place_of, said);
   if (((said !== "") && ((py.nil(mate)) || (py.eq(mate, i))))) {
    py.first(shared, said, []).push(i);
   } else {
    if (((said !== "") && (!py.nil(mate)))) {
     told.push([i, mate]);
    }
   }
  }
  return py.add(told, Object.values(shared).filter((places) => (py.len(places) === 2)).map((places) => (places)));
 }
 return { PREMIUM_SD, SALE_SD, halves, type_of, premium, starting_premium, weighed, told, linked };
})();
const faults_formulas = (() => {
 const NO_FAULT = ["works; owner upgraded", "nothing said", "dents or scratches only"];
 const UNTOLD = "not known / \"doesn't work\"";
 const FAMILY_WORDS = { ["washer/dryer"]: ["washer", "dryer"], ["pair"]: ["washer", "dryer"], ["stacked"]: ["washer", "dryer"], ["dishwasher"]: ["dishwasher"], ["washer"]: ["washer"], ["dryer"]: ["dryer"], ["microwave"]: ["microwave"], ["fridge"]: ["fridge"], ["freezer"]: ["fridge"], ["range"]: ["range"], ["oven"]: ["range"], ["cooktop"]: ["range"] };
 const FAMILY_WORDS_OF = { ["cold"]: "fridge", ["cooking"]: "range", ["dish"]: "dishwasher", ["microwave"]: "microwave" };
 const QUALIFIER_SIGNS = { ["electric"]: ["electric", "coil", "smooth"], ["gas"]: ["gas"], ["top-load"]: ["top-load", "top load"], ["front-load"]: ["front-load", "front load"] };
 const OTHER_QUALIFIER = { ["electric"]: "gas", ["gas"]: "electric", ["top-load"]: "front-load", ["front-load"]: "top-load" };
 const ELSEWHERE_CALLED = { ["range"]: { ["no heat"]: "oven won't heat", ["won't start"]: "dead or error code" }, ["fridge"]: { ["not cold"]: "not cooling", ["leaks"]: "leaks water inside" }, ["dryer"]: { ["dead"]: "won't start" }, ["washer"]: { ["won't start"]: "dead" }, ["dishwasher"]: { ["won't start"]: "dead" } };
 function families(type_name, family, of_type) {
   let name, named, word;
  if ((!py.nil(of_type))) {
   named = py.each(of_type).filter((name) => (name !== "none")).map((name) => (name));
   return ((py.len(named) > 0) ? named : ["any"]);
  }
  for (word of py.each(FAMILY_WORDS)) {
   if ((py.has(word, type_name))) {
    return FAMILY_WORDS[word];
   }
  }
  return py.get(FAMILY_WORDS, py.get(FAMILY_WORDS_OF, family, ""), ["any"]);
 }
 function able(own, table, kinds, type_name, family) {
   let fit, mine, near, row, wide;
  wide = [...kinds, "any", "danger"];
  mine = py.each(own).filter((row) => ((py.has(row.family, wide)) || (py.eq(row.family, family)))).map((row) => (row));
  near = py.each(table).filter((row) => (py.has(row.family, wide))).map((row) => (row));
  fit = py.each(near).filter((row) => ((py.len(row.types) === 0) || (py.has(type_name, row.types)))).map((row) => (row));
  return py.add(mine, py.sorted(fit, (row) => [(py.min(py.len(row.types), 1) * -1), wide.indexOf(row.family)]));
 }
 function row_of(fault, type_name, kind, rows) {
   let row, told, unknown, wanted;
  told = fault.trim().toLowerCase();
  for (wanted of [told, py.get(py.get(ELSEWHERE_CALLED, kind, {  }), told, "")]) {
   row = ((wanted !== "") ? _named(wanted, type_name, rows) : null);
   if ((!py.nil(row))) {
    return [row, true];
   }
  }
  unknown = py.each(rows).filter((row) => (py.eq(row.fault, UNTOLD))).map((row) => (row));
  return [unknown[0], (told === "")];
 }
 function _named(wanted, type_name, rows) {
   let bare, exact, fit, own, row, some;
  bare = py.split(wanted, " (")[0];
  fit = py.each(rows).filter((row) => py.truth(qualifier_fits(row.fault, type_name))).map((row) => (row));
  for (some of [fit, rows]) {
   exact = py.each(some).filter((row) => (py.eq(row.fault, wanted))).map((row) => (row));
   if ((py.len(exact) > 0)) {
    return exact[0];
   }
   for (row of py.each(some)) {
    own = py.split(row.fault, " (")[0];
    if (((py.eq(own, bare)) || (py.has(bare, py.split(own, " or "))) || (py.has(bare, py.split(own, "; "))))) {
     return row;
    }
   }
  }
  return null;
 }
 function qualifier_fits(fault, type_name) {
   let mine, other, word;
  for (word of py.each(QUALIFIER_SIGNS)) {
   if (py.truth(fault.endsWith(`(${word})`))) {
    other = QUALIFIER_SIGNS[OTHER_QUALIFIER[word]];
    mine = QUALIFIER_SIGNS[word];
    return (py.truth(_one_in(mine, type_name)) ? _one_in(mine, type_name) : !py.truth(_one_in(other, type_name)));
   }
  }
  return true;
 }
 function _one_in(signs, text) {
   let sign;
  return py.each(signs).some((sign) => (py.has(sign, text)));
 }
 return { NO_FAULT, UNTOLD, FAMILY_WORDS, FAMILY_WORDS_OF, QUALIFIER_SIGNS, OTHER_QUALIFIER, ELSEWHERE_CALLED, families, able, row_of, qualifier_fits };
})();
const repairs_needed_formulas = (() => {
 const { NO_FAULT, UNTOLD } = faults_formulas;
 const ELSE = "";
 const NEW_REPAIR_WEIGHT = 2.0;
 const KIND_WEIGHT = 12.0;
 const TYPE_WEIGHT = 20.0;
 const MOST_REPAIRS = 8;
 const UNTOLD_WEIGHT = 20.0;
 const LOW_RANKS = [[["sealed system", "compressor replaced", "compressor", "refrigerant", "evaporator leak"], 0.15, 150], [["bearing", "spider", "tub seal", "gearcase", "transmission", "drum replaced", "outer tub"], 0.55, null], [["board", "electronic", "inverter", "touch panel", "circulation pump"], 0.72, 100]];
 const HIGH_RANKS = [[[...["cleaned", "cleared", "leveled", "levelled", "tightened", "reset", "foreign object"], ...["unclogged", "adjusted"]], 0.82, 4], [["door", "latch", "brush", "handle", "knob", "hose", "lid switch"], 0.78, null]];
 const NOT_LOW = ["relay", "start device", "start capacitor", "fan"];
 function steps_of(repair) {
   let step;
  return py.split(repair, ";").filter((step) => (step.trim() !== "")).map((step) => (step.trim()));
 }
 function shares(seen, of_kind, of_type) {
   let counts, weight, wider;
  wider = _with_room(seen);
  for ([counts, weight] of [[of_kind, KIND_WEIGHT], [of_type, TYPE_WEIGHT]]) {
   wider = _narrowed(wider, counts, weight);
  }
  return _largest(wider);
 }
 function counted(needs, kind_of) {
   let count, counts, fault, place, repair, tree, type_name;
  tree = {  };
  for ([[fault, type_name, repair], count] of py.each(needs)) {
   for (place of _places(fault, kind_of(type_name), type_name)) {
    counts = py.first(tree, place, {  });
    counts[repair] = py.add(py.get(counts, repair, 0.0), count);
   }
  }
  return tree;
 }
 function shares_under(tree, fault, kind, type_name) {
   let at, of_kind, of_type, whole;
  [whole, of_kind, of_type] = _places(fault, kind, type_name).map((at) => (py.get(tree, at, {  })));
  return shares(whole, of_kind, of_type);
 }
 function _places(fault, kind, type_name) {
  return [`${fault}
`, `${fault}
${kind}
`, `${fault}
${kind}
${type_name}`];
 }
 function k_of_n(fixed, fault, type_name) {
   let done, ended, kind, n, near, own, untold, what;
  untold = (py.has(fault, ["", UNTOLD]));
  own = py.each(fixed).filter(([[what, kind], n]) => ((py.eq(kind, type_name)) && (py.truth(untold) || (py.eq(what, fault))))).map(([[what, kind], n]) => (n));
  near = py.each(fixed).filter(([[what, kind], n]) => ((!py.eq(kind, type_name)) && (py.eq(what, fault)) && !py.truth(untold))).map(([[what, kind], n]) => (n));
  [done, ended] = [py.sum(py.each(own).map((n) => (n[1]))), py.sum(py.each(own).map((n) => (n[0])))];
  return [py.int(done), py.int(ended), py.int(py.sum(py.each(near).map((n) => (n[0]))))];
 }
 function _narrowed(wider, counts, weight) {
   let n, repair, share;
  n = py.sum(Object.values(counts));
  return Object.fromEntries(Object.entries(wider).map(([repair, share]) => ([repair, (py.add(py.get(counts, repair, 0.0), (weight * share)) / py.add(n, weight))])));
 }
 function found_shares(found, counts) {
  return ((py.len(counts) > 0) ? _largest(_with_room(counts)) : { [found]: 1.0 });
 }
 function _with_room(counts) {
   let count, given, repair, total;
  total = py.add(py.sum(Object.values(counts)), NEW_REPAIR_WEIGHT);
  given = Object.fromEntries(Object.entries(counts).map(([repair, count]) => ([repair, (count / total)])));
  return { ...given, [ELSE]: (NEW_REPAIR_WEIGHT / total) };
 }
 function _largest(found) {
   let kept, named, repair, rest;
  named = py.sorted(py.each(found).filter((repair) => (!py.eq(repair, ELSE))).map((repair) => (repair)), (repair) => [-found[repair], repair]);
  kept = Object.fromEntries(named.slice(0, MOST_REPAIRS).map((repair) => ([repair, found[repair]])));
  rest = py.add(py.get(found, ELSE, 0.0), py.sum(named.slice(MOST_REPAIRS).map((repair) => (found[repair]))));
  return ((rest > 0) ? { ...kept, [ELSE]: rest } : kept);
 }
 function ranked(repair, fix, parts) {
   let cap, floor, money, name, step, words;
  for (step of steps_of(repair)) {
   name = step.toLowerCase();
   for ([words, cap, money] of py.each(LOW_RANKS)) {
    if ((py.truth(_one_in(words, name)) && !py.truth(_one_in(NOT_LOW, name)))) {
     fix = py.min(fix, cap);
     parts = py.max(parts, ((py.nil(money)) ? 0.0 : money));
    }
   }
   for ([words, floor, money] of py.each(HIGH_RANKS)) {
    if (py.truth(_one_in(words, name))) {
     fix = py.max(fix, floor);
     parts = ((py.nil(money)) ? parts : py.min(parts, money));
    }
   }
  }
  return [fix, parts];
 }
 function _one_in(words, text) {
   let word;
  return py.each(words).some((word) => (py.has(word, text)));
 }
 function untold_mix(base, own, row_for) {
   let fault, known, most, n, name, part, row, share, weight, whole, word;
  weight = Object.fromEntries(Object.entries(base).map(([fault, share]) => ([fault, (UNTOLD_WEIGHT * share)])));
  word = Object.fromEntries(py.each(base).map((fault) => ([fault, fault])));
  most = py.fromkeys(base, 0.0);
  for ([fault, n] of py.each(own)) {
   [row, known] = row_for(fault);
   if (((n > 0) && (!py.eq(row.fault, UNTOLD)) && (row.family !== "danger") && (!py.has(row.fault, NO_FAULT)))) {
    name = (py.truth(known) ? row.fault : fault);
    weight[name] = py.add(py.get(weight, name, 0.0), n);
    if ((n > py.get(most, name, 0.0))) {
     word[name] = fault;
     most[name] = n;
    }
   }
  }
  whole = py.sum(Object.values(weight));
  return Object.entries(weight).map(([name, part]) => ([word[name], (part / whole)]));
 }
 return { ELSE, NEW_REPAIR_WEIGHT, KIND_WEIGHT, TYPE_WEIGHT, MOST_REPAIRS, UNTOLD_WEIGHT, LOW_RANKS, HIGH_RANKS, NOT_LOW, steps_of, shares, counted, shares_under, k_of_n, found_shares, ranked, untold_mix };
})();
const bench_sums_formulas = (() => {
 const BLOCKS = ["family", "type", "fault", "pair", "step"];
 const FIX_SD = { ["all"]: 0.35, ["age"]: 0.05, ["failed"]: 0.0, ["family"]: 0.1, ["type"]: 0.12, ["fault"]: 0.25, ["pair"]: 0.15, ["step"]: 0.65 };
 const PARTS_SD = { ["all"]: 0.3, ["age"]: 0.0, ["failed"]: 0.0, ["family"]: 0.2, ["type"]: 0.15, ["fault"]: 0.35, ["pair"]: 0.2, ["step"]: 0.6 };
 const HOURS_SD = { ["all"]: 0.35, ["age"]: 0.0, ["failed"]: 0.3, ["family"]: 0.2, ["type"]: 0.15, ["fault"]: 0.3, ["pair"]: 0.15, ["step"]: 0.35 };
 const SELL_SD = { ["all"]: 0.4, ["age"]: 0.0, ["failed"]: 0.0, ["family"]: 0.2, ["type"]: 0.25, ["fault"]: 0.0, ["pair"]: 0.0, ["step"]: 0.0 };
 const [PARTS_SIGMA, HOURS_SIGMA, SELL_SIGMA] = [0.5, 0.4, 0.35];
 const FIX_PER_YEAR = -0.01;
 const WASTED_PARTS_SHARE = 0.5;
 const [ZERO_PARTS_SHARE, ZERO_PARTS_SHARE_NEVER] = [0.3, 0.05];
 const NODES = [...[-4.512745863399783, -3.20542900285647, -2.07684797867783, -1.023255663789133, 0.0], ...[1.023255663789133, 2.07684797867783, 3.20542900285647, 4.512745863399783]];
 const WEIGHTS = [...[2.2345844007746e-05, 0.00278914132123177, 0.0499164067652179, 0.2440975028949394], 0.4063492063492063, ...[0.2440975028949394, 0.0499164067652179, 0.00278914132123177, 2.2345844007746e-05]];
 function before(sd) {
   let name;
  return py.sum(py.each(sd).filter((name) => (!py.has(name, ["age", "failed"]))).map((name) => ((sd[name] ** 2))));
 }
 function mean_chance(mean, variance) {
   let chance, k, sd;
  sd = Math.sqrt(variance);
  chance = 0.0;
  for (k of py.range(py.len(NODES))) {
   chance = py.add(chance, (WEIGHTS[k] / py.add(1, Math.exp((-mean - (sd * NODES[k]))))));
  }
  return chance;
 }
 function aged(chance, year) {
  return (chance * py.clip(py.add(1, (FIX_PER_YEAR * year)), 0.6, 1.03));
 }
 function fix_offset(chance, shift) {
   let inside;
  inside = py.clip(chance, 0.002, 0.998);
  return py.add((Math.log((inside / (1 - inside))) * Math.sqrt(py.add(1, ((Math.PI * before(FIX_SD)) / 8)))), shift);
 }
 function parts_offset(expected, zero, n_steps) {
   let log_mean;
  log_mean = py.add(Math.log((Math.max(expected, 1.0) / (1 - zero))), Math.log(n_steps));
  return (log_mean - (py.add(before(PARTS_SD), (PARTS_SIGMA ** 2)) / 2));
 }
 function hours_offset(expected, n_steps) {
   let log_mean;
  log_mean = py.add(Math.log(Math.max(expected, 0.05)), (Math.log(n_steps) / 2));
  return (log_mean - (py.add(before(HOURS_SD), (HOURS_SIGMA ** 2)) / 2));
 }
 function sell_offset(expected) {
  return (Math.log(Math.max(expected, 0.05)) - (py.add(before(SELL_SD), (SELL_SIGMA ** 2)) / 2));
 }
 function zero_share(of_repair, pooled, prior) {
   let start;
  start = (py.add(pooled[1], (2 * prior)) / py.add(pooled[0], 2));
  return (py.add(of_repair[1], (1.5 * start)) / py.add(of_repair[0], 1.5));
 }
 function usual_zero_share(parts_low) {
  return ((parts_low <= 0) ? ZERO_PARTS_SHARE : ZERO_PARTS_SHARE_NEVER);
 }
 function waste(failed) {
  return (py.add(failed[1], (4 * WASTED_PARTS_SHARE)) / py.add(failed[0], 4));
 }
 function pair_of(fault, type_name) {
  return (((fault !== "") && (type_name !== "")) ? `${fault} / ${type_name}` : "");
 }
 function levels_of(place, told) {
   let at, k, missing, row, share, step, steps, words;
  row = [];
  missing = [0.0, 0.0, 0.0, 0.0, 0.0];
  words = [told["family"], told["type"], told["fault"]];
  words.push(pair_of(told["fault"], told["type"]));
  for (k of py.range(4)) {
   at = py.get(place[BLOCKS[k]], words[k]);
   if ((py.nil(at))) {
    missing[k] = 1.0;
   } else {
    row.push([at, 1.0]);
   }
  }
  steps = told["steps"];
  share = (1 / py.max(py.len(steps), 1));
  if ((py.len(steps) === 0)) {
   missing[4] = 1.0;
  }
  for (step of py.list(py.fromkeys(steps))) {
   at = py.get(place["step"], step);
   if ((py.nil(at))) {
    missing[4] = py.add(missing[4], ((py.count(steps, step) * share) * share));
   } else {
    row.push([at, (py.count(steps, step) * share)]);
   }
  }
  return [row, missing];
 }
 function ahead(model, told, own, person, year) {
   let bought, chance, hours, hours_log, hours_var, log_odds, parts, parts_log, parts_var, sell, sell_log, sell_var, steps, zero;
  [chance, parts, zero, steps, hours, sell] = told;
  log_odds = py.add(py.add(own[0][0], fix_offset(aged(chance, year), model.fix_shift)), person[0]);
  parts_log = py.add(own[1][0], parts_offset(parts, zero, steps));
  parts_var = py.add(own[1][1], (model.parts.sigma ** 2));
  hours_log = py.add(py.add(own[2][0], hours_offset(hours, steps)), person[2]);
  hours_var = py.add(py.add(own[2][1], person[3]), (model.hours.sigma ** 2));
  sell_log = py.add(own[3][0], sell_offset(sell));
  sell_var = py.add(own[3][1], (model.sell.sigma ** 2));
  bought = Math.exp(py.add(parts_log, (parts_var / 2)));
  return { ["fix"]: mean_chance(log_odds, py.add(own[0][1], person[1])), ["parts_log"]: parts_log, ["parts_var"]: parts_var, ["hours_log"]: hours_log, ["hours_var"]: hours_var, ["sell_log"]: sell_log, ["sell_var"]: sell_var, ["parts_mean"]: ((1 - zero) * bought), ["wasted_mean"]: (waste(model.waste) * bought), ["hours_mean"]: Math.exp(py.add(hours_log, (hours_var / 2))), ["sell_mean"]: Math.exp(py.add(sell_log, (sell_var / 2))) };
 }
 return { BLOCKS, FIX_SD, PARTS_SD, HOURS_SD, SELL_SD, PARTS_SIGMA, HOURS_SIGMA, SELL_SIGMA, FIX_PER_YEAR, WASTED_PARTS_SHARE, ZERO_PARTS_SHARE, ZERO_PARTS_SHARE_NEVER, NODES, WEIGHTS, before, mean_chance, aged, fix_offset, parts_offset, hours_offset, sell_offset, zero_share, usual_zero_share, waste, pair_of, levels_of, ahead };
})();
const exits_formulas = (() => {
 const FAILED_HOURS = 0.9;
 const FAILED_REST_HOURS = 0.25;
 const FINDING_SHARE = (1 / 3);
 const [AS_IS_HOURS, PARTED_HOURS] = [0.6, 1.0];
 const SALVAGE_WEIGHT = 3.0;
 const COMEBACKS_OF_100 = { ["cold"]: 8.0, ["dryer"]: 4.0, [""]: 6.0 };
 function scrap_money(usual, price_per_weight, in_pounds) {
  return ((usual * price_per_weight) / (py.truth(in_pounds) ? 0.07 : (0.07 / 0.45359237)));
 }
 function if_not_fixed(failed, scrap, ratio) {
  return (py.add(failed[1], ((SALVAGE_WEIGHT * scrap) * ratio)) / py.add(failed[0], SALVAGE_WEIGHT));
 }
 function share_of_price(sold, own, share) {
  return ((sold * py.add(own[1], (3 * share))) / py.add(own[0], 3));
 }
 function tried(way, own, failed, rest) {
   let share;
  share = (py.add(own, SALVAGE_WEIGHT) / py.add(py.max(own, failed), SALVAGE_WEIGHT));
  return [py.add((share * way[0]), ((1 - share) * rest[0])), py.add(way[1], ((1 - share) * rest[1]))];
 }
 function rest_hours(own) {
  return (py.add(own[1], (3 * FAILED_REST_HOURS)) / py.add(own[0], 3));
 }
 function best(money, hours, may_be_sold, target) {
   let k, other, place, worth;
  place = 0;
  worth = (py.truth(may_be_sold) ? (money[0] - (target * hours[0])) : -1e+300);
  for (k of py.range(1, py.len(money))) {
   other = (money[k] - (target * hours[k]));
   place = ((other > worth) ? k : place);
   worth = Math.max(worth, other);
  }
  return place;
 }
 function comeback_share(type_name, family, own) {
   let start;
  start = py.get(COMEBACKS_OF_100, family, COMEBACKS_OF_100[""]);
  if (((py.has("dryer", type_name)) && (!py.has("washer", type_name)))) {
   start = COMEBACKS_OF_100["dryer"];
  }
  return (py.add(own[1], ((20 * start) / 100)) / py.add(own[0], 20));
 }
 function usual_paid(of_type, of_all) {
  if (((!py.nil(of_type)) && (of_type[0] >= 5))) {
   return of_type[5];
  }
  return (((!py.nil(of_all)) && (of_all[0] >= 3)) ? of_all[5] : null);
 }
 return { FAILED_HOURS, FAILED_REST_HOURS, FINDING_SHARE, AS_IS_HOURS, PARTED_HOURS, SALVAGE_WEIGHT, COMEBACKS_OF_100, scrap_money, if_not_fixed, share_of_price, tried, rest_hours, best, comeback_share, usual_paid };
})();
const nearest_word_formulas = (() => {
 const IDLE = ["won", "t", "or", "not"];
 function nearest(told, known, cutoff = 0.6) {
   let best, later, like, most, name, wanted;
  wanted = py.list(told.toLowerCase());
  most = cutoff;
  best = null;
  for (name of py.each(known)) {
   like = likeness(py.list(name.toLowerCase()), wanted, most);
   later = ((py.nil(best)) || (like > most) || (name.toLowerCase() > best.toLowerCase()));
   if (((like >= most) && py.truth(later))) {
    most = like;
    best = name;
   }
  }
  return best;
 }
 function likeness(a, b, cutoff) {
   let left, n, shared, sign;
  n = py.add(py.len(a), py.len(b));
  if ((n === 0)) {
   return 1.0;
  }
  if ((((2 * py.min(py.len(a), py.len(b))) / n) < cutoff)) {
   return 0.0;
  }
  left = {  };
  for (sign of py.each(b)) {
   left[sign] = py.add(py.get(left, sign, 0), 1);
  }
  shared = 0;
  for (sign of py.each(a)) {
   if ((py.get(left, sign, 0) > 0)) {
    shared = py.add(shared, 1);
    left[sign] = (left[sign] - 1);
   }
  }
  return ((((2 * shared) / n) < cutoff) ? 0.0 : ((2 * _matching(a, b)) / n));
 }
 function _matching(a, b) {
   let a_high, a_low, b_high, b_low, i, j, matched, size, todo;
  todo = [[0, py.len(a), 0, py.len(b)]];
  matched = 0;
  while ((py.len(todo) > 0)) {
   [a_low, a_high, b_low, b_high] = todo[(py.len(todo) - 1)];
   todo = todo.slice(0, (py.len(todo) - 1));
   [i, j, size] = _longest(a, b, [a_low, a_high, b_low, b_high]);
   matched = py.add(matched, size);
   if (((size > 0) && (a_low < i) && (b_low < j))) {
    todo.push([a_low, i, b_low, j]);
   }
   if (((size > 0) && (py.add(i, size) < a_high) && (py.add(j, size) < b_high))) {
    todo.push([py.add(i, size), a_high, py.add(j, size), b_high]);
   }
  }
  return matched;
 }
 function _longest(a, b, within) {
   let a_high, a_low, b_high, b_low, before, best, i, j, length, now;
  [a_low, a_high, b_low, b_high] = within;
  best = [a_low, b_low, 0];
  before = py.times([0], py.add(b_high, 1));
  for (i of py.range(a_low, a_high)) {
   now = py.times([0], py.add(b_high, 1));
   for (j of py.range(b_low, b_high)) {
    if ((py.eq(a[i], b[j]))) {
     length = py.add(before[j], 1);
     now[py.add(j, 1)] = length;
     if ((length > best[2])) {
      best = [py.add((i - length), 1), py.add((j - length), 1), length];
     }
    }
   }
   before = now;
  }
  return best;
 }
 function nearest_faults(fault, plain, names, everyday) {
   let busy, close, found, heard, name, ranked, spelled, word, words;
  words = _words(fault);
  ranked = py.sorted(names, (name) => -_shared(words, _words(name.replaceAll("(", " "))));
  busy = py.each(words).filter((word) => (!py.has(word, IDLE))).map((word) => (word));
  close = py.each(ranked).filter((name) => (_shared(busy, _words(name)) > 0)).map((name) => (name));
  heard = nearest(plain, py.list(everyday), 0.75);
  spelled = nearest(fault, names, 0.4);
  found = ((py.nil(heard)) ? [] : [everyday[heard]]);
  found = py.more(found, ((py.nil(spelled)) ? [] : [spelled]));
  return py.list(py.fromkeys(py.add(found, close.slice(0, 3)))).slice(0, 3);
 }
 function _words(text) {
  return py.list(py.fromkeys(py.split(text.toLowerCase().replaceAll("'", " "))));
 }
 function _shared(words, others) {
   let word;
  return py.len(py.each(words).filter((word) => (py.has(word, others))).map((word) => (word)));
 }
 return { IDLE, nearest, likeness, nearest_faults };
})();
const unknowns_formulas = (() => {
 const { qualifier_fits } = faults_formulas;
 const MOST_ANSWERS = 6;
 const LEAST_WORTH = 0.5;
 const OWN_PLAN = ["type", "made"];
 const START_WEIGHT = 4.0;
 const FEATURE_SHARE = 0.25;
 const AGES_HEARD = [3.0, 6.0, 9.0, 12.0, 16.0];
 const CONDITIONS_HEARD = { ["rough"]: 0.1, ["fair"]: 0.3, ["good"]: 0.45, ["like new"]: 0.15 };
 function value_of_answers(worths, chances, price) {
   let gain, gains, k;
  gains = py.range(py.len(chances)).map((k) => ((chances[k] * (worths[k] - price))));
  return (py.sum(py.each(gains).filter((gain) => (gain > 0)).map((gain) => (gain))) - py.max(0.0, py.sum(gains)));
 }
 function unknowns(unit, made, heard, family, kinds, faults, named) {
   let age, ages, chance, each, found, grades, has, kind, likely, makers, name, needs, one, share, start, told, year, years;
  kind = (py.truth(py.get(unit, "type")) ? py.get(unit, "type") : "");
  likely = py.list(kinds).slice(0, MOST_ANSWERS).map((name) => ([name, kinds[name]]));
  found = [["type", `which kind of ${kind}?`, _words("type", _shares(likely))]];
  if ((py.len(made) > 1)) {
   years = py.each(made).map(([year, age]) => ([`${year}`, (1 / py.len(made)), { ["age"]: age }, `${year}`]));
   found.push(["made", "which year was it made?", years]);
  } else {
   if ((py.nil(py.get(unit, "age")))) {
    each = ages_heard(py.get(heard, "age", {  }));
    ages = py.each(each).map(([age, chance]) => ([`${py.general(age)} yr`, chance, { ["age"]: age }, `${py.general(age)}`]));
    found.push(["age", "how old is it?", ages]);
   }
  }
  if ((py.nil(py.get(unit, "condition")))) {
   told = py.get(heard, "condition", {  });
   start = CONDITIONS_HEARD;
   grades = py.each(start).map((name) => ([name, py.add(py.get(told, name, 0.0), (START_WEIGHT * start[name]))]));
   found.push(["condition", "how does it look?", _words("condition", _shares(grades))]);
  }
  if (!py.truth(py.get(unit, "fault"))) {
   found.push(["fault", "what does it do, or not do?", _words("fault", faults())]);
  } else {
   if ((!py.truth(py.get(unit, "found")) && !py.truth(py.get(unit, "repair")))) {
    needs = named().filter(([name, chance]) => (name !== "")).map(([name, chance]) => ([name, chance]));
    needs = ((py.len(needs) > 1) ? _shares(needs) : []);
    found.push(["found", "what exactly is wrong?", _words("repair", needs)]);
   }
  }
  if (!py.truth(py.get(unit, "maker"))) {
   makers = _words("maker", _top(py.get(heard, "maker", {  })));
   found.push(["maker", "what make is it?", ((py.len(makers) > 1) ? makers : [])]);
  }
  if (!py.truth(py.get(unit, "features"))) {
   for ([name, share] of _features(py.get(heard, `features:${family}`, {  }))) {
    has = [["yes", share, { ["features"]: name }, name], ["no", (1 - share), {  }, ""]];
    found.push(["features", `does it have ${name}?`, has]);
   }
  }
  return py.each(found).filter((one) => (py.len(one[2]) > 0)).map((one) => (one));
 }
 function _words(column, answers) {
   let chance, word;
  return py.each(answers).map(([word, chance]) => ([word, chance, { [column]: word }, word]));
 }
 function _shares(counts) {
   let _, count, total, word;
  total = py.sum(py.each(counts).map(([_, count]) => (count)));
  return py.each(counts).map(([word, count]) => ([word, (count / total)]));
 }
 function _most(counts, most) {
   let word, words;
  words = py.sorted(py.each(counts).filter((word) => (word !== "")).map((word) => (word)), (word) => [-counts[word], word]);
  return words.slice(0, most).map((word) => ([word, counts[word]]));
 }
 function _top(counts) {
  return _shares(_most(counts, MOST_ANSWERS));
 }
 function ages_heard(heard) {
   let age, ages, counts, first, i, level, middles, name, reached, start, wanted;
  start = Object.fromEntries(py.each(AGES_HEARD).map((age) => ([`${py.general(age)}`, (START_WEIGHT / py.len(AGES_HEARD))])));
  counts = Object.fromEntries(py.each(heard).map((name) => ([name, py.add(py.get(heard, name, 0.0), py.get(start, name, 0.0))])));
  counts = { ...start, ...counts };
  ages = py.sorted(py.each(counts).map((name) => (Number(name))));
  reached = [0.0];
  for (age of py.each(ages)) {
   reached.push(py.add(reached[reached.length - 1], counts[`${py.general(age)}`]));
  }
  middles = [];
  for (level of [0.1, 0.3, 0.5, 0.7, 0.9]) {
   wanted = (level * reached[reached.length - 1]);
   middles.push((py.range(py.len(ages)).filter((i) => (reached[py.add(i, 1)] >= wanted)).map((i) => (ages[i]))[0]));
  }
  first = py.range(5).filter((i) => ((i === 0) || (!py.eq(middles[i], middles[(i - 1)])))).map((i) => (i));
  return py.each(first).map((i) => ([middles[i], (py.count(middles, middles[i]) / 5)]));
 }
 function faults_of(kind, rows, fixed, kinds_of, of_any) {
   let _, counts, fault, kinds, n, other, row;
  kinds = kinds_of(kind);
  counts = Object.fromEntries(py.each(rows).filter((row) => ((py.has(row.family, kinds)) && (row.family !== "any") && (!py.has(row.fault, of_any)))).map((row) => ([row.fault, 1.0])));
  for ([[fault, other], [n, _]] of py.each(fixed)) {
   if (((fault !== "") && (py.eq(kinds_of(other), kinds)))) {
    counts[fault] = py.add(py.get(counts, fault, 0.0), n);
   }
  }
  return _top(Object.fromEntries(py.each(counts).filter((fault) => py.truth(qualifier_fits(fault, kind))).map((fault) => ([fault, counts[fault]]))));
 }
 function _features(heard) {
   let count, n, word;
  n = py.get(heard, "", 0.0);
  return _most(heard, 3).map(([word, count]) => ([word, (py.add(count, (2 * FEATURE_SHARE)) / py.add(n, 2))]));
 }
 return { MOST_ANSWERS, LEAST_WORTH, OWN_PLAN, START_WEIGHT, FEATURE_SHARE, AGES_HEARD, CONDITIONS_HEARD, value_of_answers, unknowns, ages_heard, faults_of };
})();
const price_terms_formulas = (() => {
 const FIRST = ["age", "condition", "maker"];
 const LAST = ["fine pattern", "sold_where", "season", "prices lately"];
 const OF_THE_DAY = ["season", "prices lately"];
 const PLAIN = { ["fine pattern"]: "this combination", ["season"]: "time of year", ["usual price"]: "your usual price", ["owner"]: "your prices beside the group's" };
 function column_terms(margins, blocks) {
   let block, k, kinds, listed, names, pair, side, sides, usual;
  names = [];
  for (block of py.each(blocks)) {
   sides = [block.left, block.right];
   kinds = py.each(sides).map((side) => (((side < py.len(margins)) ? margins[side].kind : "")));
   usual = ((py.has(block.term, ["level", "type"])) ? "type" : block.term);
   for (pair of py.each(block.pairs)) {
    if ((py.has("words", kinds))) {
     k = kinds.indexOf("words");
     listed = margins[sides[k]];
     names.push(`${listed.column}: ${listed.labels[pair[k]]}`);
    } else {
     names.push(usual);
    }
   }
  }
  return names;
 }
 function log_terms(names, here, there, slopes, start, about) {
   let base, differ, i, kind, name, values;
  values = { ["age"]: (slopes[0] - slopes[1]) };
  base = py.add(start, slopes[1]);
  for (i of py.range(py.len(names))) {
   name = names[i];
   if ((name === "type")) {
    base = py.add(base, here[i]);
   } else {
    if ((py.has(name, OF_THE_DAY))) {
     values[name] = py.add(py.get(values, name, 0.0), here[i]);
    } else {
     base = py.add(base, there[i]);
     name = ((name === "age not known") ? "age" : name);
     values[name] = (py.add(py.get(values, name, 0.0), here[i]) - there[i]);
    }
   }
  }
  kind = about[0];
  differ = py.sorted(py.each(values).filter((name) => (Math.abs(values[name]) > 1e-09)).map((name) => (name)), _place);
  return [[((kind !== "") ? `usual ${kind}` : "usual price"), base], ...py.each(differ).map((name) => ([_said(name, about), values[name]]))];
 }
 function in_money(logs) {
   let before, name, now, out, total, value;
  out = [];
  total = 0.0;
  before = 0.0;
  for ([name, value] of py.each(logs)) {
   total = py.add(total, value);
   now = py.round(Math.exp(total), 2);
   if ((!py.eq(now, before))) {
    out.push([name, py.round((now - before), 2)]);
   }
   before = now;
  }
  return out;
 }
 function _place(name) {
   let head;
  head = py.split(name, ":")[0];
  if ((py.has(head, FIRST))) {
   return [FIRST.indexOf(head), name];
  }
  return [((py.has(head, LAST)) ? py.add(100, LAST.indexOf(head)) : 50), name];
 }
 function _said(name, about) {
   let word, word_in;
  if ((name === "age")) {
   return _age_said(about[2], about[3]);
  }
  if (py.truth(name.startsWith("features: "))) {
   return name.slice(py.len("features: "));
  }
  if ((py.has(name, PLAIN))) {
   return PLAIN[name];
  }
  word_in = about[1];
  word = word_in(name);
  if ((name === "sold_where")) {
   return ((word !== "") ? `sold by ${word}` : "where it sells");
  }
  return (((word !== "") && !py.truth(name.startsWith("repair"))) ? `${name} ${word}` : name);
 }
 function _age_said(age, usual) {
   let count, years;
  if ((py.nil(age))) {
   return "age not known";
  }
  years = Math.abs((age - usual));
  if ((years < 0.5)) {
   return "age";
  }
  count = ((years < 1.5) ? "a year" : `${py.round(years)} years`);
  return `${count} ${((age > usual) ? "older" : "younger")} than usual`;
 }
 function looked_at(sales, kind, family_of, most) {
   let family, near, one, places, sale, types;
  places = py.list(py.range(py.len(sales)));
  if ((py.len(sales) <= most)) {
   return places;
  }
  family = family_of(kind);
  types = py.each(sales).map((sale) => (py.get(sale, "type", "")));
  near = py.each(types).map((one) => (((py.eq(one, kind)) ? 0 : ((py.eq(family_of(one), family)) ? 1 : 2))));
  return py.sorted(places, (i) => [near[i], -i]).slice(0, most);
 }
 function sale_said(sale) {
   let age, part, told, years;
  age = py.get(sale, "age");
  years = ((py.nil(age)) ? "" : `${py.round(age)}y`);
  told = [py.get(sale, "type"), years, py.get(sale, "condition"), py.get(sale, "features")];
  return py.each(told).filter((part) => py.truth(part)).map((part) => (part)).join(", ");
 }
 return { FIRST, LAST, OF_THE_DAY, PLAIN, column_terms, log_terms, in_money, looked_at, sale_said };
})();
const offer_sums_formulas = (() => {
 const { ELSE } = repairs_needed_formulas;
 const { standing } = standing_formulas;
 const FLIGHT_MINUTES = 12.0;
 const USUAL_MILES = 10.0;
 const TOLD_AS = { ["price"]: "price", ["fix"]: "fix_chance", ["parts"]: "parts", ["hours"]: "hours" };
 function trip_of(known, usual, settings) {
   let carry, drive, helper, load, miles, share, truck;
  miles = py.get(known, "miles", usual);
  share = (1 / py.get(known, "on_trip", 1.0));
  drive = ((py.has("drive_min", known)) ? (known["drive_min"] / 60) : ((2 * miles) / settings.average_speed));
  load = (py.get(known, "minutes", (((miles > 0) || (drive > 0)) ? settings.minutes_per_trip : 0.0)) / 60);
  truck = (((2 * miles) * settings.cost_per_distance) * share);
  helper = py.get(known, "helper", 0.0);
  carry = ((py.has("minutes", known)) ? 0.0 : ((FLIGHT_MINUTES * py.get(known, "stairs", 0.0)) / 60));
  return { ["money"]: py.add(truck, helper), ["hours"]: py.add((py.add(drive, load) * share), carry), ["out_money"]: (truck / 2), ["out_hours"]: ((drive * share) / 2), ["truck"]: truck, ["helper"]: helper, ["load_hours"]: py.add((load * share), carry) };
 }
 function usual_miles(own, unit) {
  if ((own[0] >= 3)) {
   return own[1];
  }
  return ((unit === "mi") ? USUAL_MILES : Number(py.round((USUAL_MILES / 0.621371))));
 }
 function ended(one, if_not) {
   let hours, money;
  money = py.add((one.fix * (one.net - one.parts)), ((1 - one.fix) * (if_not - one.wasted)));
  hours = py.add((one.fix * one.hours_fixed), ((1 - one.fix) * one.hours_failed));
  return [money, hours, py.add(one.keeping[0], (one.fix * one.keeping[1]))];
 }
 function found_out(one, left, target) {
   let hours, keeping, money, off, on;
  [money, hours, keeping] = ended(one, left[0]);
  on = ((money - (target * hours)) - keeping);
  off = (left[0] - (target * py.add(left[1], one.looked)));
  return [Math.max(on, off), (on >= off)];
 }
 function as_done(one, left) {
   let hours, keeping, money, stops;
  [money, hours, keeping] = ended(one, left[0]);
  stops = (1 - one.goes);
  hours = py.add((one.goes * hours), (stops * py.add(left[1], one.looked)));
  return [py.add((one.goes * money), (stops * left[0])), hours, (one.goes * keeping)];
 }
 function worth(sums, goes, paying, trip, barred, target) {
   let hours, keeping, money, pays, trip_hours, trip_money, whole;
  [money, hours, keeping] = sums;
  [trip_money, trip_hours] = trip;
  pays = (py.truth(barred) ? false : paying);
  whole = (((money - trip_money) - (target * py.add(hours, trip_hours))) - keeping);
  return { ["money"]: money, ["hours"]: hours, ["tries"]: (goes > 0), ["worth"]: (py.truth(barred) ? Math.min(whole, 0.0) : whole), ["trip_money"]: trip_money, ["trip_hours"]: trip_hours, ["pays"]: pays, ["keeping"]: keeping };
 }
 function mean(cases, of) {
   let one;
  return (py.sum(py.each(cases).map((one) => (of(one)))) / py.len(cases));
 }
 function total(case_, of) {
   let one;
  return py.sum(py.each(case_.each).map((one) => ((one.chance * of(one)))));
 }
 function _done(one) {
  return Number((one.goes * one.fix));
 }
 function _parts(one) {
  return Number((one.goes * py.add((one.fix * one.parts), ((1 - one.fix) * one.wasted))));
 }
 function _fee(one, settings) {
   let fee;
  fee = py.add((one.price * settings.selling_fee_share), settings.selling_fee_fixed);
  return (_done(one) * Number(fee));
 }
 function expected(cases, paid) {
   let gain, hours, kept;
  hours = mean(cases, (one) => py.add(one.hours, one.trip_hours));
  gain = (mean(cases, (one) => (one.money - one.trip_money)) - paid);
  kept = (gain - mean(cases, (one) => one.keeping));
  return { ["cautious"]: mean(cases, (one) => one.cautious), ["expected_gain"]: gain, ["hours"]: hours, ["return_per_hour"]: ((hours > 0) ? (kept / hours) : 0.0), ["chance_of_loss"]: mean(cases, (one) => one.loss), ["chance_of_target"]: mean(cases, (one) => one.target), ["fix_chance"]: mean(cases, (one) => total(one, (each) => each.fix)), ["tries"]: (mean(cases, (one) => (py.truth(one.tries) ? 1.0 : 0.0)) >= 0.5), ["if_not_fixed"]: mean(cases, (one) => one.if_not) };
 }
 function candidates(cases) {
   let all, case_, k, more, name, names, now, one, ranked, rows, share, sums;
  sums = {  };
  for (case_ of py.each(cases)) {
   for (one of py.each(case_.each)) {
    now = py.get(sums, one.repair, [0.0, 0.0, 0.0, 0.0]);
    more = [1.0, one.fix, one.parts, one.hours_mean];
    share = (one.chance / py.len(cases));
    sums[one.repair] = py.range(4).map((k) => (py.add(now[k], (share * more[k]))));
   }
  }
  names = py.each(sums).filter((name) => (sums[name][0] > 0)).map((name) => (name));
  ranked = py.sorted(names, (name) => [(py.eq(name, ELSE)), -sums[name][0], name]);
  rows = py.each(ranked).map((name) => ([(py.truth(name) ? name : "something else"), sums[name]]));
  return py.each(rows).map(([name, all]) => ([name, all[0], (all[1] / all[0]), (all[2] / all[0]), (all[3] / all[0])]));
 }
 function spent(cases, at_curb, known, settings) {
   let back, bench, done, failed, fixed, hours, left, tried, trip;
  trip = cases[0].trip;
  function each(of) {
   return mean(cases, (one) => total(one, of));
  }
  left = (py.truth(at_curb) ? 0.5 : 1.0);
  [done, fixed] = [each(_done), each((one) => one.fix)];
  failed = cases[0].failed;
  hours = mean(cases, (one) => one.hours);
  tried = each((one) => ((one.goes * one.hours_mean) * py.add(one.fix, ((1 - one.fix) * failed))));
  bench = py.add(tried, each((one) => ((1 - one.goes) * one.looked)));
  back = (done * mean(cases, (one) => one.comeback_hours));
  if ((py.has("hours", known))) {
   bench = py.min(bench, hours);
   back = 0.0;
  }
  return { ["truck"]: (trip.truck * left), ["helper"]: trip.helper, ["parts"]: each(_parts), ["parts_if_fixed"]: (each((one) => (one.fix * one.parts)) / py.max(fixed, 1e-09)), ["comebacks"]: (done * mean(cases, (one) => one.comeback)), ["fees"]: each((one) => _fee(one, settings)), ["drive_hours"]: ((trip.hours - trip.load_hours) * left), ["load_hours"]: trip.load_hours, ["bench_hours"]: bench, ["clean_sell_hours"]: py.max(((hours - bench) - back), 0.0), ["comeback_hours"]: back };
 }
 function because(cases, settings) {
   let amount, back, lost, term, terms;
  function tried(of) {
   return mean(cases, (one) => total(one, of));
  }
  back = mean(cases, (one) => (one.comeback * total(one, _done)));
  lost = mean(cases, (one) => (py.truth(one.tries) ? (one.if_not * (1 - total(one, _done))) : 0.0));
  terms = [["sold, when fixed", tried((one) => (_done(one) * one.price))], ["selling fees", -tried((one) => _fee(one, settings))], ["set by for comebacks", -back], ["parts, duds counted", -tried(_parts)], ["if it beats you", lost], ["left as it is", mean(cases, (one) => (py.truth(one.tries) ? 0.0 : one.if_not))], ["truck and helper", -mean(cases, (one) => one.trip_money)], ["keeping it until it sells", -mean(cases, (one) => one.keeping)], ["your hours", (-settings.hour_worth * mean(cases, (one) => py.add(one.hours, one.trip_hours)))]];
  return py.each(terms).filter(([term, amount]) => (Math.abs(amount) > 1e-09)).map(([term, amount]) => ([term, amount]));
 }
 function standings(removed, of_type, k_of_n, known) {
   let n, name, own;
  own = Object.fromEntries(py.each(removed).map((name) => ([name, ((name === "price") ? of_type : k_of_n.slice(1))])));
  return Object.fromEntries(Object.entries(own).map(([name, n]) => ([name, ((py.has(TOLD_AS[name], known)) ? "your number" : standing(removed[name], n[0], n[1]))])));
 }
 return { FLIGHT_MINUTES, USUAL_MILES, TOLD_AS, trip_of, usual_miles, ended, found_out, as_done, worth, mean, total, expected, candidates, spent, because, standings };
})();
const normal_law_formulas = (() => {
 const _A = [2509.0809287301227, 33430.57558358813, 67265.7709270087, 45921.95393154987, 13731.69376550946, 1971.5909503065513, 133.14166789178438, 3.3871328727963665];
 const _B = [5226.495278852546, 28729.085735721943, 39307.89580009271, 21213.794301586597, 5394.196021424751, 687.1870074920579, 42.31333070160091, 1.0];
 const _C = [0.0007745450142783414, 0.022723844989269184, 0.2417807251774506, 1.2704582524523684, 3.6478483247632045, 5.769497221460691, 4.630337846156546, 1.4234371107496835];
 const _D = [1.0507500716444169e-09, 0.0005475938084995345, 0.015198666563616457, 0.14810397642748008, 0.6897673349851, 1.6763848301838038, 2.053191626637759, 1.0];
 const _E = [2.0103343992922881e-07, 2.7115555687434876e-05, 0.0012426609473880784, 0.026532189526576124, 0.29656057182850487, 1.7848265399172913, 5.463784911164114, 6.657904643501103];
 const _F = [2.0442631033899397e-15, 1.421511758316446e-07, 1.8463183175100548e-05, 0.0007868691311456133, 0.014875361290850615, 0.1369298809227358, 0.599832206555888, 1.0];
 function quantile(p) {
   let middle, near, outer, q, r, tail;
  q = (p - 0.5);
  middle = (Math.abs(q) <= 0.425);
  r = (py.truth(middle) ? (0.180625 - (q * q)) : 0.0);
  tail = Math.sqrt(-Math.log((py.truth(middle) ? 0.5 : Math.min(p, (1 - p)))));
  near = (_poly(_C, (tail - 1.6)) / _poly(_D, (tail - 1.6)));
  outer = ((tail <= 5) ? near : (_poly(_E, (tail - 5)) / _poly(_F, (tail - 5))));
  return (py.truth(middle) ? ((q * _poly(_A, r)) / _poly(_B, r)) : (Math.sign(q) * outer));
 }
 function _poly(coefficients, x) {
   let one, total;
  total = 0.0;
  for (one of py.each(coefficients)) {
   total = py.add((total * x), one);
  }
  return total;
 }
 return { quantile };
})();
const selling_formulas = (() => {
 const SLIP_SDS = 4.0;
 const ASK_CEILING = 1.25;
 const SPOTS = [[-1.4, 0.13], [-0.7, 0.23], [0.0, 0.28], [0.7, 0.23], [1.4, 0.13]];
 const NEW_PRICE_CEILING = 0.6;
 const ELASTICITY_SD = 1.5;
 function highest_ratio(model, type_name) {
   let share, tried;
  tried = py.add(py.add(usual_premium(model, type_name), (1.645 * model.premium_sd)), Math.log(1.05));
  share = (model.n_listings / py.add(model.n_listings, 8));
  return Math.exp(py.add(((1 - share) * Math.log(ASK_CEILING)), (share * tried)));
 }
 function ceiling(model, type_name, estimate, new_) {
   let ratio, why;
  ratio = highest_ratio(model, type_name);
  if (((!py.nil(new_)) && ((NEW_PRICE_CEILING * new_) < (ratio * estimate)))) {
   why = "no ask over six tenths of what the plainest new one costs";
   return [(NEW_PRICE_CEILING * new_), why];
  }
  why = `no ask over ${ratio.toFixed(2)} times the estimate: nobody has seen what a higher one does`;
  return [(ratio * estimate), why];
 }
 function usual_premium(model, type_name) {
  if ((!py.has(type_name, model.types))) {
   return Number(model.premium_mean);
  }
  return Number(py.add(model.premium_mean, model.premium_by_type[model.types.indexOf(type_name)]));
 }
 function learned_from(model) {
   let drops, listings;
  [drops, listings] = [model.n_drops, model.n_listings];
  if (((listings === 0) || (model.eta_sd > (0.95 * ELASTICITY_SD)))) {
   return "GUESS";
  }
  return `from ${drops} drop${_s(drops)} and ${listings} listing${_s(listings)}`;
 }
 function _s(n) {
  return ((n === 1) ? "" : "s");
 }
 function unseen_sd(model, scale, spread, nu) {
  return Math.sqrt(py.add((((model.seen_share * scale) ** 2) * own_factor(nu)), (spread ** 2)));
 }
 function own_factor(nu) {
  return ((nu > 2) ? py.min((nu / (nu - 2)), 2.0) : 2.0);
 }
 function quality_from_ask(model, apart, q_sd) {
   let gain, seen, spread, variance;
  [seen, variance] = [model.premium_seen, (q_sd ** 2)];
  spread = py.add(((seen ** 2) * variance), (model.premium_sd ** 2));
  gain = ((Math.abs(apart) <= (SLIP_SDS * Math.sqrt(spread))) ? ((seen * variance) / spread) : 0.0);
  return [(gain * apart), Math.sqrt((variance * (1 - (gain * seen))))];
 }
 function haggle(model, place, log_ask_ratio) {
   let full, inner, moved, off;
  full = model.haggle_full[place];
  moved = (model.haggle_slope * (log_ask_ratio - model.haggle_at[place]));
  off = py.clip(py.add(((1 - full) * model.haggle_off[place]), moved), 0.0, 0.5);
  inner = (off / Math.max((1 - full), 1e-09));
  return [full, off, Math.sqrt(((1 - full) * py.add((model.haggle_sd ** 2), (full * (inner ** 2)))))];
 }
 function log_calls(x, eta, most) {
  return (py.logaddexp(0.0, (-eta * most)) - py.logaddexp(0.0, (eta * (x - most))));
 }
 function off_at(demand, log_ratio) {
  return Math.min(Math.max(py.add(demand.off, (demand.off_slope * log_ratio)), 0.0), 0.5);
 }
 function talked_off(off, full_share, moved) {
   let less;
  less = py.add(Math.min((off / Math.max((1 - full_share), 0.05)), 0.6), moved);
  return Math.min(Math.max(less, 0.0), 0.9);
 }
 function haggled(ask, off, full_share, off_sd) {
   let less, sales, spot, weight;
  sales = [[ask, full_share]];
  for ([spot, weight] of py.each(SPOTS)) {
   less = talked_off(off, full_share, (spot * off_sd));
   sales.push([(ask * (1 - less)), (weight * (1 - full_share))]);
  }
  return sales;
 }
 function net_of(at, price) {
  return ((price * (1 - at.fee_share)) - at.fee_fixed);
 }
 function gross_of(at, left) {
  return (py.add(left, at.fee_fixed) / (1 - at.fee_share));
 }
 return { SLIP_SDS, ASK_CEILING, SPOTS, NEW_PRICE_CEILING, ELASTICITY_SD, highest_ratio, ceiling, usual_premium, learned_from, unseen_sd, own_factor, quality_from_ask, haggle, log_calls, off_at, talked_off, haggled, net_of, gross_of };
})();
const by_age_formulas = (() => {
 const MIDDLE_AGE = 6.5;
 const OLDEST = 40;
 const BEND_YEARS = 6.0;
 const USUAL_AGE = { [""]: 8.5, ["rough"]: 11.5, ["fair"]: 9.5, ["good"]: 7.5, ["like new"]: 5.5 };
 const [AGE_SHAPE, START_WEIGHT, POOL_WEIGHT] = [3.3, 6.0, 12.0];
 function line(age) {
  return ((py.clip(age, 0, OLDEST) - MIDDLE_AGE) / 5);
 }
 function basis(kind, knot, age) {
   let a, level;
  a = py.clip(age, 0, OLDEST);
  if ((kind === "age line")) {
   return line(age);
  }
  if ((kind === "age since new")) {
   return (a / 5);
  }
  if ((kind === "age bend")) {
   level = (Math.exp((-MIDDLE_AGE / BEND_YEARS)) * (1 - ((a - MIDDLE_AGE) / BEND_YEARS)));
   return (2 * (Math.exp((-a / BEND_YEARS)) - level));
  }
  if ((kind === "age hinges")) {
   return (Math.max((a - knot), 0) / 5);
  }
  return ((a >= knot) ? 0.5 : ((a < knot) ? -0.5 : a));
 }
 function usual_density(grade, age) {
   let x;
  x = ((Math.max(age, 0.5) * AGE_SHAPE) / USUAL_AGE[grade]);
  return ((x ** (AGE_SHAPE - 1)) * Math.exp(-x));
 }
 function is_mixture(margins, block) {
   let margin, one;
  if (((block.right !== 0) || (block.left >= py.len(margins)) || (py.len(block.mean) === 0))) {
   return false;
  }
  margin = margins[block.left];
  return ((margin.kind === "steps") ? (margin.kind === "steps") : ((py.has(margin.kind, ["word", "words"])) && (py.sum(py.each(margin.values).map((one) => (Number(one)))) > 0)));
 }
 function levels(margin, effects, doubt, scale) {
   let at_least, each, k, shares, told, within;
  told = py.list(margin.values);
  if ((margin.kind === "words")) {
   within = py.sum(py.range(py.len(told)).map((k) => (((told[k] * (1 - told[k])) * doubt[k]))));
   each = py.range(py.len(told)).filter((k) => (told[k] > 0)).map((k) => (k));
   return [py.each(each).map((k) => ([[0.0, effects[k]], [(1 - told[k]), told[k]]])), within];
  }
  if ((margin.kind === "steps")) {
   at_least = [1.0, ...told, 0.0];
   shares = py.range(py.add(py.len(told), 1)).map((k) => ((at_least[k] - at_least[py.add(k, 1)])));
   effects = py.range(py.add(py.len(told), 1)).map((k) => (py.sum(effects.slice(0, k))));
  } else {
   told = [...told, (1 - py.sum(told))];
   [shares, effects, doubt] = [told, [...effects, 0.0], [...doubt, (scale ** 2)]];
  }
  within = py.sum(py.range(py.len(told)).map((k) => (((told[k] * (1 - told[k])) * doubt[k]))));
  return [[[py.list(effects), shares]], within];
 }
 return { MIDDLE_AGE, OLDEST, BEND_YEARS, USUAL_AGE, AGE_SHAPE, START_WEIGHT, POOL_WEIGHT, line, basis, usual_density, is_mixture, levels };
})();
const usual_way_formulas = (() => {
 function left_of_ask(held, fall, days) {
  return Math.exp((-fall * Math.floor(py.add((held / days), 1e-09))));
 }
 function surely_better(gain, weight, laws) {
   let belief, its, k, law, mean, squares;
  mean = py.sum(gain);
  squares = 0.0;
  for (law of py.range(laws)) {
   [its, belief] = [0.0, 1e-300];
   for (k of py.range(law, py.len(gain), laws)) {
    its = py.more(its, gain[k]);
    belief = py.more(belief, weight[k]);
   }
   squares = py.more(squares, ((its * its) / belief));
  }
  return (mean > py.add(Math.sqrt(py.max((squares - (mean * mean)), 0.0)), (1e-09 * Math.abs(mean))));
 }
 return { left_of_ask, surely_better };
})();
const bids_formulas = (() => {
 const [TAKE, COUNTER, HOLD] = ["take it", "counter", "hold"];
 const NEAR = 0.75;
 function judged(bid, ask, off, least, plan) {
   let counter, middle, step, told, until;
  told = { ["offered"]: bid, ["say"]: TAKE, ["take_at_least"]: least, ["counter"]: null, ["until"]: null };
  if ((bid >= py.max(least, (ask * (1 - off))))) {
   return told;
  }
  middle = py.min((5.0 * Math.floor(py.add((py.add(bid, ask) / 10), 0.5))), ask);
  counter = py.min(py.max(middle, (5.0 * Math.ceil((least / 5)))), ask);
  if ((bid >= least)) {
   return { ...told, ["say"]: ((counter > bid) ? COUNTER : TAKE), ["counter"]: counter };
  }
  until = null;
  for (step of plan.slice(1)) {
   if (((py.nil(until)) && (step["take_at_least"] <= bid))) {
    until = step["date"];
   }
  }
  if ((bid >= (NEAR * least))) {
   return { ...told, ["say"]: COUNTER, ["counter"]: counter, ["until"]: until };
  }
  return { ...told, ["say"]: HOLD, ["until"]: until };
 }
 return { TAKE, COUNTER, HOLD, NEAR, judged };
})();
const asks_formulas = (() => {
 const { left_of_ask } = usual_way_formulas;
 const WEEK = 7.0;
 const ASK_STEP = 0.15;
 const [QUICK, PATIENT] = [0.88, 1.1];
 const [PLAN, USUAL] = ["this plan", "your usual way"];
 function rounded(ask, highest = Infinity) {
   let near, nine, one, other, step;
  if ((ask < 20)) {
   near = py.max(Number(py.round(ask)), 1.0);
   return ((near > (highest * py.add(1, 1e-09))) ? py.max(Number(Math.floor(ask)), 1.0) : near);
  }
  step = ((ask < 100) ? 5.0 : ((ask < 1000) ? 25.0 : 50.0));
  nine = ((ask < 1000) ? 10.0 : 50.0);
  one = (py.round((ask / step)) * step);
  other = ((py.round((py.add(ask, 1) / nine)) * nine) - 1);
  near = ((Math.abs((one - ask)) <= Math.abs((other - ask))) ? one : other);
  if ((near <= (highest * py.add(1, 1e-09)))) {
   return near;
  }
  return py.max((Math.floor((ask / step)) * step), ((Math.floor((py.add(ask, 1) / nine)) * nine) - 1), 1.0);
 }
 function waits(spells) {
   let left;
  left = ((py.len(spells) > 0) ? (WEEK - spells[spells.length - 1][0]) : 0.0);
  return ((left >= 1) ? left : 0.0);
 }
 function in_force(spells) {
  return ((py.len(spells) > 0) ? Number(spells[spells.length - 1][1]) : null);
 }
 function spells_of(entries, listed, today, now) {
   let _, ask, day, ends, i, last, one, starts, told;
  told = py.each(entries).filter(([day, ask]) => ((py.truth(day) ? day : listed) <= today)).map(([day, ask]) => ([py.max((py.truth(day) ? day : listed), listed), ask]));
  if (((py.len(told) === 0) && (!py.nil(now)))) {
   told = [[listed, now]];
  }
  last = py.range(py.len(told)).filter((i) => py.truth(told.slice(py.add(i, 1)).every((one) => (!py.eq(one[0], told[i][0]))))).map((i) => (told[i]));
  last = py.sorted(last, (one) => one[0]);
  ends = [...last.slice(1).map(([day, _]) => (day)), today];
  starts = [listed, ...ends];
  return py.range(py.len(last)).map((i) => ([Number((ends[i] - starts[i])), last[i][1]]));
 }
 function steps(left, spells) {
   let first, rest, whole;
  first = waits(spells);
  if (((first > 0) && ((left - first) >= 0))) {
   return [first, ...steps((left - first), [])];
  }
  whole = Math.floor((py.max(left, 0.0) / WEEK));
  rest = (py.max(left, 0.0) - (whole * WEEK));
  return py.add(py.times([WEEK], whole), ((rest >= 1) ? [rest] : []));
 }
 function exposure(shape, start, end) {
   let apart;
  apart = (Math.pow(end, shape) - Math.pow(start, shape));
  return ((shape === 1.0) ? (end - start) : (apart * Math.pow(WEEK, (1 - shape))));
 }
 function gently(asks, highest, spells) {
   let ask, factor, last, least, one, out, wanted, written;
  last = ((py.len(spells) > 0) ? spells[spells.length - 1][1] : Infinity);
  last = ((last <= (2 * highest)) ? last : Infinity);
  out = [];
  for (wanted of py.each(asks)) {
   ask = py.min(wanted, last);
   least = (last * (1 - ASK_STEP));
   if (((py.len(out) === 0) && (waits(spells) > 0) && (last < Infinity))) {
    ask = last;
   } else {
    if (((last < Infinity) && (ask < least))) {
     written = [1.0, 1.02, 1.04].map((factor) => (rounded((least * factor))));
     ask = (py.each(written).filter((one) => (one >= least)).map((one) => (one))[0] ?? Number(Math.ceil(least)));
    }
   }
   out.push(ask);
   last = ask;
  }
  return out;
 }
 function usual_asks(estimate, habit, highest, days, spells) {
   let held, left, length, out, start;
  held = ((py.len(spells) === 0) ? 0.0 : spells[spells.length - 1][0]);
  start = ((py.len(spells) === 0) ? (estimate * Math.exp(habit[0])) : spells[spells.length - 1][1]);
  out = [];
  for (length of py.each(days)) {
   left = left_of_ask(held, habit[1], habit[2]);
   out.push(rounded((py.min(start, highest) * left), highest));
   held = py.add(held, length);
  }
  return out;
 }
 function dated(starts, asks, value) {
   let new_, t;
  new_ = py.range(py.len(asks)).filter((t) => ((t === 0) || (asks[t] < asks[(t - 1)]))).map((t) => (t));
  return py.each(new_).map((t) => ([py.round(starts[t]), asks[t], py.min(py.max(value[t], 0.0), asks[t])]));
 }
 function choices(found, times, off_at, median_days) {
   let asks, brought, first, left, name, one, out, own, parts, same, sold, t;
  if ((py.len(found.asks) === 0)) {
   return [];
  }
  own = [[PLAN, found]];
  if ((!py.nil(found.usual))) {
   same = py.range(py.len(found.asks)).every((t) => (py.eq(found.usual.asks[t], found.asks[t])));
   own = (py.truth(same) ? [[USUAL, found]] : [[PLAN, found], [USUAL, found.usual]]);
  }
  out = [];
  for ([name, one] of [["quick", times(QUICK)], ...own, ["patient", times(PATIENT)]]) {
   sold = one.course.sold;
   if (((name !== "patient") || (one.asks[0] > found.asks[0]))) {
    asks = one.asks;
    parts = py.range(py.len(asks)).map((t) => (((sold[t] * asks[t]) * (1 - off_at(asks[t])))));
    brought = (py.sum(parts) / py.max(py.sum(sold), 1e-12));
    [first, left] = [Number(one.asks[0]), Number(one.value[0])];
    out.push([name, first, median_days(one), Number(brought), left]);
   }
  }
  return out;
 }
 return { WEEK, ASK_STEP, QUICK, PATIENT, PLAN, USUAL, rounded, waits, in_force, spells_of, steps, exposure, gently, usual_asks, dated, choices };
})();
