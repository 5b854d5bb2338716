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
