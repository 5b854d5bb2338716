const perils_words = (() => {
 const STOPS = ",.;:!?()[]{}|\n\r\t/";
 const NOT = py.split("no not never without doesn't doesnt isn't isnt don't dont didn't didnt won't wont can't cant cannot wasn't wasnt hasn't hasnt haven't havent ain't aint aren't arent weren't werent nor zero couldn't couldnt", " ");
 const BETWEEN = py.split("any a an the in sign signs of visible been ever even have has had smell like got gas on or nor so much as whiff a mice mouse rats bugs roaches pests mold fire floods flood leaks sparks smoke recalls", " ");
 const FUEL_OF = py.split("dryer range stove oven cooktop cook appliance model unit version type or powered fired fridge slide clothes laundry apartment", " ");
 const TELLS_GAS = ["smell", "leak", "of", "like", "odor", "hiss"];
 function clauses(text) {
   let dash, flat, found, part, stop, word, words;
  flat = text.toLowerCase().replaceAll("’", "'").replaceAll("‘", "'").replaceAll("`", "'").replaceAll("´", "'");
  for (dash of py.each("-–—_\"“”*+&")) {
   flat = flat.replaceAll(dash, " ");
  }
  for (stop of py.each(STOPS)) {
   flat = flat.replaceAll(stop, "|");
  }
  flat = flat.replaceAll(" but ", "|").replaceAll(" except ", "|").replaceAll(" though ", "|");
  found = [];
  for (part of py.split(flat, "|")) {
   words = py.split(part, " ").filter((word) => (word !== "")).map((word) => (word));
   if ((py.len(words) > 0)) {
    found.push(py.add(py.add(" ", words.join(" ")), " "));
   }
  }
  return found;
 }
 function without_fuel(clause) {
   let after, before, fuel, i, out, w, words;
  words = py.split(clause.trim(), " ");
  out = " ";
  for (i of py.range(py.len(words))) {
   after = ((py.add(i, 1) < py.len(words)) ? words[py.add(i, 1)] : "");
   before = ((i > 0) ? words[(i - 1)] : "");
   fuel = ((words[i] === "gas") && (py.len(py.each(FUEL_OF).filter((w) => py.truth(after.startsWith(w))).map((w) => (w))) > 0));
   if ((py.truth(fuel) && (py.len(py.each(TELLS_GAS).filter((w) => py.truth(before.startsWith(w))).map((w) => (w))) === 0))) {
    continue;
   }
   out = py.add(py.add(out, words[i]), " ");
  }
  return out;
 }
 const SOUGHT = {  };
 function sought(said) {
   let whole;
  if ((!py.has(said, SOUGHT))) {
   whole = said.startsWith("=");
   SOUGHT[said] = py.add(" ", (py.truth(whole) ? py.add(said.slice(1), " ") : said).replaceAll("-", " "));
  }
  return SOUGHT[said];
 }
 function denied(clause, at) {
   let i, word, words;
  words = py.split(clause.slice(0, at), " ").filter((word) => (word !== "")).map((word) => (word));
  i = (py.len(words) - 1);
  while (((i >= 0) && (py.has(words[i], BETWEEN)))) {
   i = (i - 1);
  }
  return ((i >= 0) && (py.has(words[i], NOT)));
 }
 function told(clause, group, flat) {
   let said, wanted;
  for (said of py.each(group)) {
   wanted = sought(said);
   if (((py.has(wanted, clause)) && (py.truth(flat) || py.truth(not_denied(clause, wanted))))) {
    return true;
   }
  }
  return false;
 }
 function not_denied(clause, wanted) {
   let at;
  at = clause.indexOf(wanted);
  while ((at >= 0)) {
   if (!py.truth(denied(clause, py.add(at, 1)))) {
    return true;
   }
   at = clause.indexOf(wanted, py.add(at, 1));
  }
  return false;
 }
 function fits(clause, row) {
   let flat, group;
  flat = (row["flat"] === "yes");
  for (group of py.each(row["all_of"])) {
   if (!py.truth(told(clause, group, flat))) {
    return false;
   }
  }
  return !py.truth(told(clause, row["none_of"], true));
 }
 function may_be(only_for, kind) {
   let burns, held, late, year;
  late = py.each(kind["made"]).filter((year) => (year >= 1990)).map((year) => (year));
  burns = ((py.has("range", kind["families"])) ? (py.has("range", kind["families"])) : (py.has("dryer", kind["families"])));
  held = { [""]: true, ["gas"]: (kind["gas"] === "yes"), ["maybe gas"]: (kind["gas"] !== "no"), ["not gas"]: (kind["gas"] !== "yes"), ["old"]: ((py.len(kind["made"]) > 0) && (py.len(late) === 0)), ["other"]: !py.truth(kind["resale"]), ["microwave"]: (py.has("microwave", kind["families"])), ["not microwave"]: (!py.has("microwave", kind["families"])), ["cold"]: (py.truth(kind["cold"]) ? kind["cold"] : !py.truth(kind["known"])), ["not cold"]: !py.truth(kind["cold"]), ["burns"]: (py.truth(burns) ? burns : !py.truth(kind["known"])) };
  return held[only_for];
 }
 function perils_in(text, kind, signs) {
   let clause, fit, found, i, places;
  fit = clauses(text).map((clause) => (fitting(without_fuel(clause), signs)));
  found = [];
  for (i of py.sorted(py.each(fit).map((places) => (py.each(places).map((i) => (i)))).flat())) {
   if (((!py.has(signs[i]["caution"], found)) && py.truth(may_be(signs[i]["only_for"], kind)))) {
    found.push(signs[i]["caution"]);
   }
  }
  return found;
 }
 const KEPT = { ["signs"]: null, ["of"]: {  } };
 const MOST_KEPT = 5000;
 function fitting(clause, signs) {
   let i, of;
  if (((KEPT["signs"] !== signs) || (py.len(KEPT["of"]) > MOST_KEPT))) {
   KEPT["of"] = {  };
   KEPT["signs"] = signs;
  }
  of = KEPT["of"];
  if ((!py.has(clause, of))) {
   of[clause] = py.range(py.len(signs)).filter((i) => py.truth(fits(clause, signs[i]))).map((i) => (i));
  }
  return of[clause];
 }
 return { STOPS, NOT, BETWEEN, FUEL_OF, TELLS_GAS, clauses, without_fuel, SOUGHT, sought, denied, told, not_denied, fits, may_be, perils_in, KEPT, MOST_KEPT, fitting };
})();
const gate_words = (() => {
 const { perils_in } = perils_words;
 const [LEAVE, SCRAP_ONLY, LICENSED, MEND_FIRST] = ["leave", "scrap_only", "licensed", "mend_first"];
 const [CALL, BENCH, SALE] = ["call", "bench", "sale"];
 const DECISIONS = { ["leave it"]: LEAVE, ["scrap only"]: SCRAP_ONLY, ["licensed person"]: LICENSED };
 const RANK = { ["leave it"]: 0, ["scrap only"]: 1, ["licensed person"]: 2, ["never as-is"]: 3, ["none"]: 4 };
 const STAGES = { [CALL]: ["call", "door"], [BENCH]: ["bench"], [SALE]: ["sale"] };
 const OF_KIND = ["dehumidifiers", "stored or scrapped doors", "not a resale unit", "propane or natural", "3 or 4 wires", "live test", "lint and bypass", "stored charge"];
 const ALONE = ["before 1980", "not a resale unit"];
 const OFTEN = 0.25;
 const OUTSIDE_FAULTS = ["", "works; owner upgraded", "turntable won't turn", "light out", "dents or scratches only", "parts missing", "door, lid or handle broken", "worked when stored"];
 const LAW = [[" (EPA 608)", ""], [" (15 USC 2068)", ""], [" (40 CFR 82.154)", ""], ["may not be sold or given away", "don't sell it or give it away"], ["letting refrigerant out on purpose is unlawful", "letting refrigerant out does harm"], ["Selling, offering or giving away a recalled product is unlawful, for private persons too,", "Don't sell, offer or give away a recalled product"], [" (unlawful with doors on in most states)", ""], ["Spoken promises count as warranty; ", "Spoken promises may count as warranty; "], ["call the gas company or 911", "call the gas company or the emergency number"], ["911 from outside", "call for help from outside"]];
 const DEFER = "Your local code and licensed people decide; these lines only remind.";
 function verdict(unit, stage, kind, cautions, signs) {
   let at, dangers, decision, how, one, out, rank, row, said, tag, told, usual, worst;
  kind = _with_one_above(kind, unit["text"].toLowerCase());
  told = perils_in(unit["text"], kind, signs);
  for (tag of py.each(unit["tags"])) {
   told = [...told, ..._row_of(tag, cautions, kind, told)];
  }
  dangers = [];
  usual = [];
  out = { ["decision"]: "", ["as_is"]: true, ["free_only"]: false, ["scrap"]: true };
  worst = 9;
  for (row of py.each(cautions)) {
   how = _how(row, unit, kind, stage, told);
   if ((how === "")) {
    continue;
   }
   said = _said(row, kind);
   if ((how === "usual")) {
    usual.push(said);
    continue;
   }
   rank = RANK[row["effect"]];
   at = 0;
   while (((at < py.len(dangers)) && (dangers[at][0] <= rank))) {
    at = py.add(at, 1);
   }
   dangers = [...dangers.slice(0, at), [rank, said], ...dangers.slice(at)];
   if ((how === "warns")) {
    continue;
   }
   decision = _decision(row, stage, unit["repaired"]);
   if (((decision !== "") && (rank < worst))) {
    worst = rank;
    out["decision"] = decision;
   }
   out["as_is"] = (py.truth(out["as_is"]) && !py.truth(row["as_is"].startsWith("no")));
   out["free_only"] = (py.truth(out["free_only"]) ? out["free_only"] : (row["go"] === "only if free"));
   out["scrap"] = (py.truth(out["scrap"]) && py.truth(row["scrap"].startsWith("yes")));
  }
  out["dangers"] = py.each(dangers).map((one) => (one[1]));
  out["cautions"] = usual;
  return out;
 }
 const DECIDING_TAGS = ["shock", "pests", "flood", "stolen", "burnt wiring", "glass", "recall", "co"];
 function _with_one_above(kind, text) {
   let above, bare, one, types;
  above = Object.fromEntries(py.each(kind["types"]).filter((one) => (py.has("microwave", one))).map((one) => ([one, kind["types"][one]])));
  if (((py.len(above) === 0) || (py.eq(py.len(above), py.len(kind["types"]))))) {
   return kind;
  }
  bare = py.each(kind["families"]).filter((one) => (one !== "microwave")).map((one) => (one));
  if ((text.indexOf("micro") >= 0)) {
   return { ...kind, ["types"]: above, ["families"]: [...bare, "microwave"] };
  }
  if ((py.sum(py.list(Object.values(above))) >= OFTEN)) {
   return kind;
  }
  types = Object.fromEntries(py.each(kind["types"]).filter((one) => (!py.has(one, above))).map((one) => ([one, kind["types"][one]])));
  return { ...kind, ["types"]: types, ["families"]: bare };
 }
 function _row_of(tag, cautions, kind, told) {
   let known, named, row, rows;
  rows = py.each(cautions).filter((row) => (py.eq(row["tag"], tag))).map((row) => (row));
  if ((py.has(tag, DECIDING_TAGS))) {
   known = py.each(rows).filter((row) => (py.has(row["name"], told))).map((row) => (row));
   return ((py.len(known) === 0) ? [rows[0]["name"]] : []);
  }
  rows = py.each(rows).filter((row) => ((!py.has(row["name"], told)) && (row["effect"] === "none"))).map((row) => (row));
  rows = py.each(rows).filter((row) => py.truth(_of_types(row, kind))).map((row) => (row));
  named = py.each(rows).filter((row) => (py.len(row["words"]) > 0)).map((row) => (row["name"]));
  return [...named, ...py.each(rows).map((row) => (row["name"]))].slice(0, 1);
 }
 function _how(row, unit, kind, stage, told) {
   let inside, name, only_told, word;
  name = row["name"];
  if ((py.has(name, told))) {
   return ((row["effect"] === "none") ? "warns" : "decides");
  }
  if (!py.truth(_of_types(row, kind))) {
   return "";
  }
  if ((py.len(py.each(unit["found"]).filter((word) => (py.has(word, row["findings"]))).map((word) => (word))) > 0)) {
   return ((row["effect"] === "none") ? "usual" : "decides");
  }
  if ((py.len(py.each(unit["faults"]).filter((word) => (py.has(word, row["faults"]))).map((word) => (word))) > 0)) {
   if ((row["effect"] === "none")) {
    return (py.truth(_now(row, stage)) ? "usual" : "");
   }
   return (((row["go"] === "yes") && (row["effect"] !== "never as-is")) ? "warns" : "decides");
  }
  if ((name === "microwave")) {
   inside = py.each(unit["faults"]).filter((word) => (!py.has(word, OUTSIDE_FAULTS))).map((word) => (word));
   if (((py.len(inside) > 0) && (py.len(kind["families"]) === 1))) {
    return "decides";
   }
   return ((!py.eq(stage, SALE)) ? "warns" : "");
  }
  if ((name === "dehumidifiers")) {
   if ((py.truth(unit["recall_checked"]) || !py.truth(_made_2003_to_2017(kind)))) {
    return "";
   }
   return (((py.eq(stage, SALE)) && py.truth(unit["repaired"])) ? "warns" : "decides");
  }
  if (((py.has(name, ALONE)) || ((name === "old latch door") && py.truth(_all_before(kind, 1959))))) {
   return "decides";
  }
  if ((name === "old latch door")) {
   return "";
  }
  if (((row["effect"] !== "none") || !py.truth(_now(row, stage)))) {
   return "";
  }
  if (((row["tag"] === "recall") && py.truth(unit["recall_checked"]))) {
   return "";
  }
  only_told = ((py.len(row["faults"]) > 0) || (py.len(row["findings"]) > 0) || (py.len(row["words"]) > 0));
  return ((py.truth(only_told) && (!py.has(name, OF_KIND))) ? "" : "usual");
 }
 const MENDED = ["microwave", "gas parts", "yellow flame", "sealed system told"];
 function _decision(row, stage, repaired) {
  if ((row["effect"] === "never as-is")) {
   return (((py.eq(stage, SALE)) && !py.truth(repaired)) ? MEND_FIRST : "");
  }
  if (((py.eq(stage, SALE)) && py.truth(repaired) && (py.has(row["name"], MENDED)))) {
   return "";
  }
  return DECISIONS[row["effect"]];
 }
 function _now(row, stage) {
   let one;
  return (py.len(py.each(row["stage"]).filter((one) => (py.has(one, STAGES[stage]))).map((one) => (one))) > 0);
 }
 function _of_types(row, kind) {
   let one, share;
  share = 0.0;
  for (one of py.each(row["types"])) {
   if ((one === "all")) {
    return true;
   }
   if (py.truth(one.startsWith("all over "))) {
    return py.truth((kind["weight_lb"] > Number(py.split(one, " ")[2])));
   }
   if ((one === "all made before 1980")) {
    return _all_before(kind, 1980);
   }
   if (py.truth(one.startsWith("family "))) {
    if ((py.has(one.slice(7), kind["families"]))) {
     share = py.add(share, 1.0);
    }
   } else {
    share = py.add(share, py.get(kind["types"], one, 0.0));
   }
  }
  if (((row["tag"] === "gas") && (row["effect"] === "none") && (kind["gas"] === "no"))) {
   return false;
  }
  return ((row["effect"] !== "none") ? (share > 0) : (share >= 0.5));
 }
 function _all_before(kind, year) {
   let one;
  return ((py.len(kind["made"]) > 0) && (py.len(py.each(kind["made"]).filter((one) => (one >= year)).map((one) => (one))) === 0));
 }
 function _made_2003_to_2017(kind) {
   let held, one;
  held = py.each(kind["made"]).filter((one) => (2002 <= one && one <= 2018)).map((one) => (one));
  return ((py.len(kind["made"]) === 0) ? (py.len(kind["made"]) === 0) : (py.len(held) > 0));
 }
 function _said(row, kind) {
   let full, line;
  line = row["line"].replaceAll("{weight}", kind["weight"]);
  full = row["full"].replaceAll("{weight}", kind["weight"]);
  [line, full] = [by_law(line, kind["us"]), by_law(full, kind["us"])];
  return { ["name"]: row["name"], ["tag"]: row["tag"], ["line"]: line, ["full"]: full };
 }
 function by_law(text, us) {
   let elsewhere, ours;
  if (py.truth(us)) {
   return text;
  }
  for ([ours, elsewhere] of py.each(LAW)) {
   text = text.replaceAll(ours, elsewhere);
  }
  return text;
 }
 return { LEAVE, SCRAP_ONLY, LICENSED, MEND_FIRST, CALL, BENCH, SALE, DECISIONS, RANK, STAGES, OF_KIND, ALONE, OFTEN, OUTSIDE_FAULTS, LAW, DEFER, verdict, DECIDING_TAGS, MENDED, by_law };
})();
const gate_input_words = (() => {
 const { SALE } = gate_words;
 const NOT_RESALE = ["water heater", "garbage disposer"];
 const COLD_TOO = ["heat-pump dryer", "all-in-one washer-dryer"];
 const ELECTRIC = ["electric", "induction", "compact dryer", "heat-pump", "wall oven", "double wall"];
 const TEXTS = ["fault", "found", "repair", "features", "note", "fuel"];
 const WAS_WRONG = ["fault", "found", "repair"];
 function told(unit, stage, said, heard, more) {
   let name, one, past, texts;
  past = (((py.eq(stage, SALE)) && py.truth(py.get(unit, "repair"))) ? WAS_WRONG : []);
  texts = [...TEXTS, ...more].filter((name) => (!py.has(name, past))).map((name) => (py.get(unit, name)));
  return { ["text"]: [py.get(unit, "type"), said, ...texts].filter((one) => py.truth(one)).map((one) => (String(one))).join(", "), ["faults"]: [py.get(unit, "fault"), ...heard["faults"]].filter((one) => py.truth(one)).map((one) => (String(one))), ["found"]: [..._parts(py.get(unit, "found")), ..._parts(py.get(unit, "repair")), ...heard["found"]], ["tags"]: heard["tags"], ["repaired"]: py.truth(py.get(unit, "repair")), ["recall_checked"]: (!py.nil(py.get(unit, "recall_checked"))) };
 }
 function _parts(text) {
   let word;
  return py.split(String((py.truth(text) ? text : "")), "; ").filter((word) => py.truth(word)).map((word) => (word));
 }
 function kind_of(name, fuel, made, of, pounds, settings) {
   let families, heavy, in_pounds, k, kinds, known;
  [kinds, families, known] = of;
  heavy = ((py.nil(pounds[0])) ? pounds[1] : pounds[0]);
  in_pounds = (settings.weight_unit === "lb");
  return { ["types"]: kinds, ["families"]: families, ["known"]: known, ["resale"]: (py.truth(known) && (!py.has(name, NOT_RESALE))), ["cold"]: ((py.has("fridge", families)) || (py.has("air", families)) || py.truth(py.each(kinds).some((k) => (py.has(k, COLD_TOO))))), ["gas"]: _burns(fuel, families, py.list(kinds)), ["made"]: made, ["weight_lb"]: ((py.nil(pounds[0])) ? 0.0 : pounds[0]), ["weight"]: (py.truth(in_pounds) ? `${py.round(heavy)} lb` : `${py.round((heavy * 0.45359237))} kg`), ["us"]: (settings.region === "US") };
 }
 function _burns(fuel, families, kinds) {
   let gas, name;
  if (py.truth(fuel)) {
   return (py.truth(["gas", "propane", "lp"].some((gas) => py.truth(fuel.startsWith(gas)))) ? "yes" : "no");
  }
  gas = py.each(kinds).filter((name) => py.truth(name.startsWith("gas "))).map((name) => (name));
  if ((py.eq(py.len(gas), py.len(kinds)))) {
   return "yes";
  }
  if (((py.len(gas) > 0) || py.truth(py.each(kinds).some((name) => (py.has("gas", name)))))) {
   return "maybe";
  }
  if (((py.len(families) > 0) && (!py.has("range", families)) && (!py.has("dryer", families)))) {
   return "no";
  }
  return (py.truth(py.each(kinds).every((name) => py.truth(_by_wire(name)))) ? "no" : "maybe");
 }
 function _by_wire(name) {
   let word;
  return py.each(ELECTRIC).some((word) => py.truth(name.startsWith(word)));
 }
 return { NOT_RESALE, COLD_TOO, ELECTRIC, TEXTS, WAS_WRONG, told, kind_of };
})();
const digits_words = (() => {
 const DIGITS = "0123456789";
 const APART = ".,'’ ";
 const SIGNS = "$€£¥₹";
 const ROUGHLY = ["about", "around", "approx", "approx.", "roughly", "circa", "ca", "ca.", "~"];
 const CODES = ["usd", "cad", "aud", "nzd", "gbp", "eur", "jpy", "inr", "zar", "chf", "sek", "nok", "dkk"];
 const UNITS = [...["", "%", "k", "of 10", "out of 10", "of ten", "out of ten", "/10", "/ 10", "units", "or so"], ...["y", "yr", "yrs", "year", "years", "m", "month", "months", "mi", "mile", "miles", "km"], ...["h", "hr", "hrs", "hour", "hours", "min", "mins", "minute", "minutes", "lb", "lbs", "kg"], ...["dollar", "dollars", "buck", "bucks", "euro", "euros", "pounds", "quid", "cash", "each"], ...CODES];
 const FREE = ["free", "nothing", "gratis", "for free"];
 function read_digits(text, mark, money) {
   let apart, last, n, parts, taken, thousands, together, value;
  taken = _taken_apart(text);
  parts = taken[0];
  apart = taken[1];
  n = py.len(apart);
  if ((n === 0)) {
   return [parts[0], "", ""];
  }
  last = apart[(n - 1)];
  thousands = _are_groups(parts, apart);
  if ((!py.truth(thousands) && !py.truth(_has_tail(parts, apart)))) {
   return ["", "", ""];
  }
  together = parts.join("");
  if ((py.truth(thousands) && ((n > 1) || (py.has(last, " '’"))))) {
   return [together, "", ""];
  }
  value = py.add(py.add((py.truth(parts.slice(0, n).join("")) ? parts.slice(0, n).join("") : "0"), "."), (py.truth(parts[n]) ? parts[n] : "0"));
  if ((!py.truth(thousands) || (parts[0] === "0"))) {
   return [value, "", ((py.has(mark, ["", last])) ? "" : "mark")];
  }
  return _three_places(together, value, last, mark, money);
 }
 function _three_places(together, value, last, mark, money) {
  if ((!py.has(mark, ["", last]))) {
   return [together, "", ""];
  }
  if (((mark === "") && (last === ",") && py.truth(money))) {
   return [together, "", "thousands"];
  }
  if ((py.truth(money) || ((mark === "") && (last === ",")))) {
   return [together, value, ""];
  }
  return [value, "", ""];
 }
 function _taken_apart(text) {
   let apart, c, group, parts;
  parts = [];
  apart = "";
  group = "";
  for (c of py.each(text)) {
   if ((py.has(c, DIGITS))) {
    group = py.more(group, c);
   } else {
    if ((py.has(c, APART))) {
     apart = py.more(apart, c);
     parts.push(group);
     group = "";
    } else {
     return [[""], ""];
    }
   }
  }
  parts.push(group);
  return [parts, apart];
 }
 function _has_tail(parts, apart) {
   let last, n;
  n = py.len(apart);
  last = apart[(n - 1)];
  if ((!py.has(last, ".,"))) {
   return false;
  }
  if ((n === 1)) {
   return ((parts[0] !== "") ? (parts[0] !== "") : (parts[1] !== ""));
  }
  return ((parts[n] !== "") && (!py.eq(last, apart[0])) && py.truth(_are_groups(parts.slice(0, n), apart.slice(0, (n - 1)))));
 }
 function _are_groups(parts, apart) {
   let i, middle, n;
  n = py.len(apart);
  if (((n === 0) || !(1 <= py.len(parts[0]) && py.len(parts[0]) <= 3) || (py.len(parts[n]) !== 3))) {
   return false;
  }
  middle = ((n > 1) ? py.len(parts[1]) : 3);
  if (((middle < 2) || (middle > 3) || ((middle === 2) && ((py.len(parts[0]) > 2) || (apart[0] !== ","))))) {
   return false;
  }
  for (i of py.range(n)) {
   if (((!py.eq(apart[i], apart[0])) || ((0 < i) && (!py.eq(py.len(parts[i]), middle))))) {
    return false;
   }
  }
  return true;
 }
 function said_number(text, mark, money) {
   let digits, end, one, plain, times, unit;
  plain = _bare(text);
  if ((py.has(plain, FREE))) {
   return [0.0];
  }
  plain = _after(plain, ROUGHLY);
  times = 1;
  if (py.truth(plain.startsWith("-"))) {
   times = -1;
   plain = plain.slice(1).trim();
  } else {
   if ((py.truth(plain.startsWith("(")) && py.truth(plain.endsWith(")")))) {
    times = -1;
    plain = plain.slice(1, (py.len(plain) - 1)).trim();
   }
  }
  plain = _after(plain, CODES);
  end = 0;
  while (((end < py.len(plain)) && ((py.has(plain[end], DIGITS)) || (py.has(plain[end], APART))))) {
   end = py.more(end, 1);
  }
  unit = plain.slice(end).trim();
  if (py.truth(unit.endsWith("."))) {
   unit = unit.slice(0, (py.len(unit) - 1));
  }
  if (((end > 30) || (!py.has(unit, UNITS)))) {
   return [];
  }
  digits = plain.slice(0, end).trim();
  while ((py.has(digits.slice((py.len(digits) - 1)), [".", ","]))) {
   digits = digits.slice(0, (py.len(digits) - 1));
  }
  if ((unit === "k")) {
   times = (times * 1000);
   money = false;
  }
  return read_digits(digits, mark, money).slice(0, 2).filter((one) => (one !== "")).map((one) => ((Number(one) * times)));
 }
 function _after(plain, words) {
   let word;
  for (word of py.each(words)) {
   if ((py.truth(plain.startsWith(word)) && (py.has(plain.slice(py.len(word), py.add(py.len(word), 1)), ["-", " ", ...DIGITS])))) {
    return plain.slice(py.len(word)).trim();
   }
  }
  return plain;
 }
 function _bare(text) {
   let c, out;
  out = "";
  for (c of text.toLowerCase()) {
   if ((py.has(c, "   "))) {
    out = py.more(out, " ");
   } else {
    if ((py.has(c, "−–"))) {
     out = py.more(out, "-");
    } else {
     if ((!py.has(c, SIGNS))) {
      out = py.more(out, c);
     }
    }
   }
  }
  return out.trim();
 }
 return { DIGITS, APART, SIGNS, ROUGHLY, CODES, UNITS, FREE, read_digits, said_number };
})();
