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
  function told(each, take, pay_up_to, their_price) {
    let barred, one, place;
    barred = py.each(each).some((one) => (one["decision"] !== ""));
    return { ["advice"]: advice_of(take, py.len(each), their_price, pay_up_to), ["units"]: py.len(each), ["take"]: py.each(take).map((place) => (py.add(place, 1))), ["pay_up_to"]: pay_up_to, ["all_pay_up_to"]: (py.truth(barred) ? null : py.sum(py.each(each).map((one) => (one["pay_up_to"])))), ["their_price"]: their_price, ["each"]: each };
  }
  function over_first(lot) {
    let barred, each, name, one, said;
    each = lot["each"];
    barred = py.each(each).every((one) => (one["decision"] !== ""));
    return { ["lot"]: lot, ["advice"]: lot["advice"], ["pay_up_to"]: lot["pay_up_to"], ["their_price"]: lot["their_price"], ["decision"]: (py.truth(barred) ? each[0]["decision"] : ""), ...Object.fromEntries(["dangers", "tags", "cautions"].map((name) => ([name, py.list(py.fromkeys(py.each(each).map((one) => (py.each(one[name]).map((said) => (said)))).flat()))]))) };
  }
  return { ALL, SOME, NONE, best_of, price_of, advice_of, told, over_first };
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
  return { HAUL, IF_FREE, IF_PAID, PASS, WORTH_A_STOP, MOST_REMOVAL_FEE, start_at, opening, advise };
})();
const pair_formulas = (() => {
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
  return { PREMIUM_SD, SALE_SD, halves, type_of, premium, starting_premium, weighed, linked };
})();
