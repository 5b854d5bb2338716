// Made by tests/to_js.py from pricing/wording, formulas and words: change it there, never here.
"use strict";
const py = {
  truth: (x) => (Array.isArray(x) ? x.length > 0 : x !== null && typeof x === "object" ? Object.keys(x).length > 0 : Boolean(x)),
  nil: (x) => x === null || x === undefined,
  add: (a, b) => (Array.isArray(a) ? [...a, ...b] : a + b),
  more: (a, b) => { if (!Array.isArray(a)) return a + b; a.push(...b); return a; },
  times: (a, n) => Array.from({ length: Math.max(n, 0) * a.length }, (_, i) => a[i % a.length]),
  len: (x) => (Array.isArray(x) || typeof x === "string" ? x.length : Object.keys(x).length),
  has: (x, y) => (Array.isArray(y) ? (Array.isArray(x) ? y.some((one) => py.eq(x, one)) : y.includes(x)) : typeof y === "string" ? y.includes(x) : Object.hasOwn(y, x)),
  get: (x, name, other = null) => (Object.hasOwn(x, name) ? x[name] : other),
  each: (x) => (Array.isArray(x) ? x : typeof x === "string" ? [...x] : Object.keys(x)),
  list: (x) => [...py.each(x)],
  eq: (a, b) => a === b || (Array.isArray(a) && Array.isArray(b) && a.length === b.length && a.every((x, i) => py.eq(x, b[i]))),
  less: (a, b) => { if (!Array.isArray(a)) return a < b ? -1 : a > b ? 1 : 0; for (let i = 0; i < a.length; i++) { const d = py.less(a[i], b[i]); if (d) return d; } return 0; },
  sorted: (x, key = (one) => one) => py.list(x).sort((a, b) => py.less(key(a), key(b))),
  split: (x, by) => (by === undefined ? x.split(/\s+/).filter(Boolean) : x.split(by)),
  count: (x, one) => (typeof x === "string" ? x.split(one).length - 1 : x.filter((other) => other === one).length),
  remove: (x, one) => { x.splice(x.findIndex((other) => py.eq(one, other)), 1); },
  insert: (x, place, one) => { x.splice(place, 0, one); },
  first: (x, name, other) => { if (!Object.hasOwn(x, name)) x[name] = other; return x[name]; },
  fromkeys: (x, value = null) => Object.fromEntries(py.list(x).map((name) => [name, value])),
  isalpha: (x) => /^\p{L}+$/u.test(x),
  isupper: (x) => x === x.toUpperCase() && x !== x.toLowerCase(),
  sum: (xs) => xs.reduce((a, b) => a + b, 0),
  max: (...xs) => Math.max(...(Array.isArray(xs[0]) ? xs[0] : xs)),
  min: (...xs) => Math.min(...(Array.isArray(xs[0]) ? xs[0] : xs)),
  range: (from, to = null, step = 1) => { const out = [], [a, b] = to === null ? [0, from] : [from, to]; for (let i = a; step > 0 ? i < b : i > b; i += step) out.push(i); return out; },
  logaddexp: (a, b) => Math.max(a, b) + Math.log1p(Math.exp(-Math.abs(a - b))),
  clip: (x, low, high) => Math.min(Math.max(x, low), high),
  // A number with at most so many digits, as "g" writes it: exact halves go to the even digit.
  general: (x, digits = 6) => {
    const [, figures, power] = /^-?([\d.]+)e(.+)$/.exec(x.toExponential(60)), exact = figures.replace(".", "");
    const tie = /^50*$/.test(exact.slice(digits)), down = tie && +exact[digits - 1] % 2 === 0;
    const near = down ? Number(`${x < 0 ? "-" : ""}${exact[0]}.${exact.slice(1, digits)}e${power}`) : x;
    const [head, told_power] = near.toExponential(digits - 1).split("e");
    if (x === 0 || (+told_power >= -4 && +told_power < digits)) return String(Number(near.toPrecision(digits)));
    return `${head.includes(".") ? head.replace(/\.?0+$/, "") : head}e${told_power[0]}${told_power.slice(1).padStart(2, "0")}`;
  },
  int: (x) => Math.trunc(Number(x)),
  round: (x, places = 0) => { if (places) return Number(x.toFixed(places)); const low = Math.floor(x), part = x - low; return part < 0.5 ? low : part > 0.5 ? low + 1 : low % 2 === 0 ? low : low + 1; },
};
const plain_words = (() => {
 const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
 function grouped(digits, mark, second) {
   let left, out, size;
  out = "";
  left = py.len(digits);
  size = 3;
  while ((left > size)) {
   out = `${mark}${digits.slice((left - size), left)}${out}`;
   left = left - size;
   size = second;
  }
  return `${digits.slice(0, left)}${out}`;
 }
 function fixed(value, places) {
   let _, digits, end, scale, sign, whole;
  scale = 1;
  for (_ of py.range(places)) {
   scale = (scale * 10);
  }
  whole = py.round((Math.abs(value) * scale));
  digits = String(whole);
  while ((py.len(digits) <= places)) {
   digits = `0${digits}`;
  }
  end = (py.len(digits) - places);
  sign = (((value < 0) && (whole > 0)) ? "-" : "");
  return py.add(`${sign}${digits.slice(0, end)}`, ((places > 0) ? `.${digits.slice(end)}` : ""));
 }
 function short(value, places) {
   let text;
  text = fixed(value, places);
  if ((places > 0)) {
   while (py.truth(text.endsWith("0"))) {
    text = text.slice(0, (py.len(text) - 1));
   }
   if (py.truth(text.endsWith("."))) {
    text = text.slice(0, (py.len(text) - 1));
   }
  }
  return text;
 }
 function money(value, place) {
  return in_steps(value, 1, place);
 }
 function limit(value, place) {
  return money(to_limit(value), place);
 }
 function to_limit(value) {
   let step;
  step = ((Math.abs(value) >= 20) ? 5 : 1);
  return (py.round((value / step)) * step);
 }
 function down(value) {
   let step, steps;
  step = ((value >= 20) ? 5 : 1);
  steps = py.int(py.add((value / step), 1e-09));
  if (((steps * step) > py.add(value, 1e-06))) {
   steps = (steps - 1);
  }
  return (steps * step);
 }
 function most_to_pay(value, place) {
  return in_steps(down(value), 1, place);
 }
 function in_steps(value, step, place) {
   let digits, less, more, whole;
  whole = (py.round((Math.abs(value) / step)) * step);
  digits = grouped(String(whole), py.get(place, "group", ","), py.get(place, "second", 3));
  more = py.get(place, "more", `${place["sign"]}#`);
  less = py.get(place, "less", `-${place["sign"]}#`);
  return (((value < 0) && (whole > 0)) ? less : more).replaceAll("#", digits);
 }
 function spread(low, high, place) {
  return `${limit(low, place)} to ${limit(high, place)}`;
 }
 function percent(share) {
  if ((0 < share && share < 0.01)) {
   return "under 1%";
  }
  if ((0.99 < share && share < 1)) {
   return "over 99%";
  }
  return `${py.round((share * 100))}%`;
 }
 function day(iso) {
  return `${MONTHS[(py.int(iso.slice(5, 7)) - 1)]} ${py.int(iso.slice(8, 10))}`;
 }
 function day_and_year(iso, today) {
  return ((py.eq(iso.slice(0, 4), today.slice(0, 4))) ? day(iso) : `${day(iso)}, ${iso.slice(0, 4)}`);
 }
 function count(n, word) {
   let sign;
  sign = ((py.round(n) < 0) ? "-" : "");
  return py.add(`${sign}${grouped(String(Math.abs(py.round(n))), ",", 3)} ${word}`, ((py.round(n) === 1) ? "" : "s"));
 }
 function hours(value) {
   let text;
  text = short(value, 1);
  return ((text === "1") ? `${text} hour` : `${text} hours`);
 }
 function sentence(text) {
   let end;
  while ((py.truth(text) && (py.has(text[(py.len(text) - 1)], ". ")))) {
   text = text.slice(0, (py.len(text) - 1));
  }
  end = ((!py.truth(text) || (py.has(text[(py.len(text) - 1)], "?!"))) ? "" : ".");
  return `${text.slice(0, 1).toUpperCase()}${text.slice(1)}${end}`;
 }
 function names(words) {
  if ((py.len(words) < 2)) {
   return words.join("");
  }
  return `${words.slice(0, (py.len(words) - 1)).join(", ")} and ${words[(py.len(words) - 1)]}`;
 }
 function legend(standings) {
   let found, meant, one, said, word;
  meant = { ["YOURS"]: "from own of your own, and like of like kinds.", ["PART"]: "partly from own of yours and like of like kinds, partly a starting figure.", ["GUESS"]: "a starting figure; nobody measured it for your area." };
  return Object.entries(meant).map(([word, said]) => ([py.each(standings).filter((one) => py.truth(one.startsWith(word))).map((one) => (one))].filter((found) => py.truth(found)).map((found) => (`${found[0]}: ${_counted(said, found[0])}`)))).flat();
 }
 function _counted(said, standing) {
   let counts;
  counts = py.split(py.split(standing.slice(0, (py.len(standing) - 1)), "(")[py.split(standing.slice(0, (py.len(standing) - 1)), "(").length - 1], "+");
  if ((py.len(counts) < 2)) {
   said = said.replaceAll(", and like of like kinds", "").replaceAll(" and like of like kinds", "");
   return said.replaceAll("own of", `${counts[0]} of`);
  }
  return said.replaceAll("own of", `${counts[0]} of`).replaceAll("like of", `${counts[1]} of`);
 }
 function guess(standing) {
  return ((standing === "GUESS") ? ["A GUESS: none of your own sales yet."] : []);
 }
 function whose(standing) {
  if (py.truth(standing.startsWith("YOURS"))) {
   return "all yours";
  }
  return (py.truth(standing.startsWith("PART")) ? "partly a guess" : "a guess");
 }
 function facts(rows, title = "") {
  return { ["name"]: "numbers", ["title"]: title, ["form"]: "facts", ["rows"]: rows };
 }
 function table(name, title, heads, rows) {
  return { ["name"]: name, ["title"]: title, ["form"]: "table", ["heads"]: heads, ["rows"]: rows };
 }
 function text(name, title, lines) {
  return { ["name"]: name, ["title"]: title, ["form"]: "text", ["lines"]: lines };
 }
 function added(terms, total, said, place) {
   let _, amount, left, name, rounding, rows;
  rows = py.each(terms).filter(([name, amount]) => (py.round(amount) !== 0)).map(([name, amount]) => ([name, money(amount, place)]));
  left = (total - py.sum(py.each(terms).map(([_, amount]) => (py.round(amount)))));
  rounding = ((py.round(left) !== 0) ? [["rounding", money(left, place)]] : []);
  return [...rows, ...rounding, [`= ${said}`, money(total, place)]];
 }
 function need(rank, said) {
  return { ["text"]: said, ["need"]: rank };
 }
 function reminders(cautions) {
   let _, i, ranks;
  ranks = py.add([6, 3], py.each(cautions).map((_) => (1)));
  return py.range(py.len(cautions)).map((i) => (need(ranks[i], cautions[i])));
 }
 function mark(sign, at, words, said) {
  return { ["sign"]: sign, ["at"]: at, ["words"]: words, ["said"]: said };
 }
 function own_fixed(fixed_of) {
  if (py.truth(fixed_of["ended"])) {
   return `you fixed ${fixed_of["fixed"]} of ${fixed_of["ended"]}`;
  }
  if (py.truth(fixed_of["other_types"])) {
   return `none yet on this type; ${fixed_of["other_types"]} on others`;
  }
  return "none of yours yet";
 }
 function likely(repairs, place) {
   let found, one, rows;
  rows = py.each(repairs).map((one) => ([one["repair"], percent(one["chance"]), money(one["parts"], place)]));
  if ((py.len(rows) < 2)) {
   return [];
  }
  found = table("likely", "Likely needs", ["repair", "chance", "parts"], rows.slice(0, 5));
  found["shares"] = repairs.slice(0, 5).map((one) => (one["chance"]));
  return [found];
 }
 return { MONTHS, grouped, fixed, short, money, limit, to_limit, down, most_to_pay, in_steps, spread, percent, day, day_and_year, count, hours, sentence, names, legend, guess, whose, facts, table, text, added, need, reminders, mark, own_fixed, likely };
})();
const decided_words = (() => {
 const { need, reminders, sentence } = plain_words;
 const HEADLINES = { ["offer"]: { ["leave"]: "LEAVE IT.", ["licensed"]: "LEAVE IT, unless a licensed person does the work.", ["scrap_only"]: "SCRAP ONLY. Take it only if they pay you.", ["mend_first"]: "LEAVE IT." }, ["bench"]: { ["leave"]: "STOP. Leave it.", ["licensed"]: "STOP. Licensed person only.", ["scrap_only"]: "STOP. Scrap only.", ["mend_first"]: "STOP until that is mended." }, ["ask"]: { ["leave"]: "DON'T SELL IT.", ["licensed"]: "DON'T SELL IT until a licensed person has put it right.", ["scrap_only"]: "DON'T SELL IT. Scrap only.", ["mend_first"]: "DON'T SELL IT until that is mended." } };
 function plate(answer, kind, told, read, unsure, more) {
   let cautions, said;
  cautions = py.each(answer["cautions"]).filter((said) => (!py.has(said, answer["dangers"]))).map((said) => (said));
  return { ["kind"]: kind, ["headline"]: told[0], ["lead"]: told.slice(1), ["dangers"]: answer["dangers"], ["read"]: read, ["guess"]: unsure, ["short"]: [...py.each(unsure).map((said) => (need(8, said))), ...told.slice(1).map((said) => (need(7, said))), ...more, ...reminders(cautions), need(8, read)], ["picture"]: null, ["sections"]: [], ["open"]: 0, ["cautions"]: cautions, ["warnings"]: py.each(answer["warnings"]).map((said) => (sentence(said))), ["legend"]: [] };
 }
 function stopped(answer, moment) {
   let read, said, view;
  read = `I read: ${answer["as_read"]}.`;
  view = plate(answer, "pass", [HEADLINES[moment][answer["decision"]]], read, [], []);
  view["short"] = [...py.each(view["cautions"]).map((said) => (need(8, said))), need(9, read)];
  return view;
 }
 function open_said(answer, field) {
   let bare, c, heard, left, ranked, said;
  heard = py.get(answer, "heard", {  });
  if ((!py.has(field, py.get(heard, "waits", [])))) {
   return "";
  }
  left = py.get(heard, "not_understood", []).filter((said) => py.truth(has_digit(said))).map((said) => (said));
  bare = py.each(left).filter((said) => (py.len(py.each(said).filter((c) => (!py.eq(c.toLowerCase(), c.toUpperCase()))).map((c) => (c))) === 0)).map((said) => (said));
  ranked = [...bare, ...left];
  return ((py.len(ranked) > 0) ? ranked[0] : "");
 }
 function has_digit(said) {
   let c;
  return (py.len(py.each(said).filter((c) => (py.has(c, "0123456789"))).map((c) => (c))) > 0);
 }
 return { HEADLINES, plate, stopped, open_said, has_digit };
})();
const alongside_words = (() => {
 const { count, day, limit, money, percent, sentence, table, text } = plain_words;
 function ads_lines(answer) {
  return ((py.has("ads", answer)) ? [_of_ads(answer["ads"])] : []);
 }
 function door_lines(answer) {
  if ((!py.has("door_tests", answer))) {
   return [];
  }
  return [`Ask at the door: ${answer["door_tests"][0]["question"]}`];
 }
 function _of_ads(ads) {
   let own;
  own = count(ads["own_sales"], "own sale");
  if ((ads["seen"] > 0)) {
   return `${count(ads["seen"], "ad")} you saw, ${own}.`;
  }
  return `${count(ads["seen_all"], "ad")} of other kinds you saw, ${own}.`;
 }
 function beside_sections(answer, place) {
   let out;
  out = [];
  if (((py.has("ads", answer)) && (py.len(answer["ads"]["nearest"]) > 0))) {
   out = py.more(out, _ads(answer, place));
  }
  if ((py.has("warranty", answer))) {
   out.push(_warranty(answer["warranty"], place));
  }
  return out;
 }
 function _warranty(told, place) {
   let rows, title;
  rows = [["come back", percent(told["share"])], ["30 days", money(told["days_30"], place)], ["90 days", money(told["days_90"], place)], ["one that comes back", money(told["one"], place)]];
  title = "What a written promise costs you";
  return table("warranty", title, ["promise", "money"], rows);
 }
 function _ads(answer, place) {
   let heads, one, over, rows;
  rows = py.each(answer["ads"]["nearest"]).map((one) => ([one["said"], day(one["seen"]), money(one["ask"], place), limit(one["says"], place)]));
  heads = ["ad", "seen", "asked", "= this one sold"];
  over = percent(answer["ads"]["over"]);
  return [table("ads", "Ads you saw that count most", heads, rows), text("ads_note", "", [sentence(`asks stand about ${over} over what units bring here`)])];
 }
 return { ads_lines, door_lines, beside_sections };
})();
const question_words = (() => {
 const { money, short } = plain_words;
 const PRICES = { ["parts"]: "parts", ["price"]: "sells for", ["helper"]: "helper", ["offered"]: "bid", ["asked_now"]: "listed at", ["spent_money"]: "spent" };
 function said_back(unit, known, made, place) {
   let named, part, parts;
  named = (py.truth(py.get(unit, "maker")) ? [name_of_maker(String(unit["maker"]))] : []);
  parts = [[...named, String((py.truth(py.get(unit, "type")) ? py.get(unit, "type") : ""))].join(" ")];
  parts = py.more(parts, py.add(_unit(unit, made, place), _known(known, place)));
  return py.each(parts).filter((part) => py.truth(part)).map((part) => (part)).join(", ");
 }
 function name_of_maker(maker) {
   let word;
  return py.split(maker, " ").filter((word) => py.truth(word)).map((word) => (`${word[0].toUpperCase()}${word.slice(1)}`)).join(" ");
 }
 function fault_said(fault) {
   let plain;
  plain = { ["works; owner upgraded"]: "works", ["not known / \"doesn't work\""]: "doesn't work" };
  return py.get(plain, fault, `"${fault}"`);
 }
 function _unit(unit, made, place) {
   let age, name, parts, told, year;
  parts = [];
  age = py.get(unit, "age");
  if (py.truth(made)) {
   parts.push(py.add("made ", py.each(made).map((year) => (String(year))).join(" or ")));
  } else {
   if ((!py.nil(age))) {
    parts.push(((age === 1) ? "1 year" : `${short(age, 2)} years`));
   }
  }
  parts = py.more(parts, ["condition", "tier", "fuel", "finish"].filter((name) => py.truth(py.get(unit, name))).map((name) => (String(unit[name]))));
  if (py.truth(py.get(unit, "features"))) {
   parts.push(unit["features"].replaceAll("; ", ", "));
  }
  if (py.truth(py.get(unit, "fault"))) {
   parts.push(fault_said(unit["fault"]));
  }
  if (py.truth(py.get(unit, "found"))) {
   parts.push(`found: ${unit["found"]}`);
  }
  if (py.truth(py.get(unit, "repair"))) {
   parts.push(py.add("repair: ", unit["repair"].replaceAll("; ", ", ")));
  }
  for (name of py.each(place["attributes"])) {
   told = py.get(unit, name);
   if ((!py.nil(told))) {
    parts.push(`${name} ${((py.has(name, place["words"])) ? told : short(told, 4))}`);
   }
  }
  return parts;
 }
 function _known(known, place) {
   let flights, floors, name, parts, pays, unit, wants, words;
  parts = [];
  wants = py.get(known, "their_price");
  if ((!py.nil(wants))) {
   pays = ((wants === 0) ? "free" : `they pay you ${money(-wants, place)}`);
   parts.push(((wants > 0) ? `wants ${money(wants, place)}` : pays));
  }
  for ([name, words] of Object.entries(PRICES)) {
   if ((!py.nil(py.get(known, name)))) {
    parts.push(`${words} ${money(known[name], place)}`);
   }
  }
  parts = py.more(parts, _worked(known));
  if ((!py.nil(py.get(known, "fix_chance")))) {
   parts.push(`${short((known["fix_chance"] * 10), 2)} of 10 to fix`);
  }
  if ((!py.nil(py.get(known, "miles")))) {
   unit = ((place["distance_unit"] === "mi") ? "miles" : "km");
   parts.push(`${short(known["miles"], 2)} ${unit} each way`);
  }
  if ((!py.nil(py.get(known, "drive_min")))) {
   parts.push(`${short(known["drive_min"], 0)} minutes there and back`);
  }
  if (py.truth(py.get(known, "stairs"))) {
   floors = known["stairs"];
   flights = ((floors === 1) ? "one flight" : `${short(floors, 1)} flights`);
   parts.push(`${flights} of stairs`);
  }
  if ((py.get(known, "on_trip", 1) > 1)) {
   parts.push(`${short(known["on_trip"], 0)} units on this drive`);
  }
  return parts;
 }
 function _worked(known) {
   let behind, name, parts, work;
  parts = [];
  for ([name, behind] of [["hours", "of work"], ["spent_hours", "in"]]) {
   if ((!py.nil(py.get(known, name)))) {
    work = short(known[name], 2);
    parts.push(`${work} hour${((work === "1") ? "" : "s")} ${behind}`);
   }
  }
  return parts;
 }
 return { PRICES, said_back, name_of_maker, fault_said };
})();
const lot_words = (() => {
 const { fault_said } = question_words;
 const [GO, SOME] = ["take all", "take some"];
 function lot_view(answer, place) {
   let all_read, as_read, each, ends, i, kind, lead, lot, one, read, rows, run, said, said_first, shared, sold, take, theirs, told, warned;
  lot = answer["lot"];
  [each, take] = [lot["each"], lot["take"]];
  rows = py.range(py.len(each)).map((i) => (_row(each[i], py.add(i, 1), (py.has(py.add(i, 1), take)), place)));
  told = py.range(py.len(each)).map((i) => (`${_what(each[i])}: ${rows[i][1]}`));
  lead = runs(told).map((run) => (py.add(py.add(_numbered(run), told[run[0]]), ((py.len(run) > 1) ? " each" : ""))));
  if ((py.len(lot["take"]) > 1)) {
   sold = lot["sells_for"];
   ends = plain_words.spread(sold["low"], sold["high"], place);
   lead = [...lead, `Fixed, in all: ${plain_words.limit(sold["median"], place)}, most likely ${ends}`];
  }
  [as_read, shared] = without_shared(py.each(each).map((one) => (one["as_read"])));
  all_read = runs(as_read).map((run) => (py.add(_times(py.len(run)), as_read[run[0]])));
  theirs = lot["their_price"];
  if ((!py.nil(theirs))) {
   shared = [...shared, ((theirs > 0) ? `${plain_words.money(theirs, place)} in all` : "all free")];
  }
  all_read = ((py.len(shared) > 0) ? [...all_read, shared.join(", ")] : all_read);
  read = py.add(py.add("I read: ", all_read.join("; ")), ".");
  kind = ((py.eq(lot["advice"], GO)) ? "go" : ((py.eq(lot["advice"], SOME)) ? "if" : "pass"));
  said_first = [headline(lot, place), ...py.each(lead).map((said) => (`${said}.`))];
  warned = py.each(answer["warnings"]).map((said) => (plain_words.need(8, plain_words.sentence(said))));
  return { ...decided_words.plate(answer, kind, said_first, read, [], warned), ["sections"]: [plain_words.table("lot", "Each, with one drive for all", ["unit", "pay up to"], rows)], ["open"]: 1 };
 }
 function headline(lot, place) {
   let at, i, most, taken, theirs, which;
  [most, theirs] = [plain_words.most_to_pay(lot["pay_up_to"], place), lot["their_price"]];
  taken = plain_words.names(py.each(lot["take"]).map((i) => (`no. ${i}`)));
  if ((py.len(lot["take"]) === 0)) {
   at = (((!py.nil(theirs)) && (theirs > 0)) ? ` at ${plain_words.money(theirs, place)}` : "");
   return `PASS on all ${lot["units"]}${at}.`;
  }
  if (((!py.nil(theirs)) && (theirs > plain_words.down(lot["pay_up_to"])))) {
   which = ((py.eq(py.len(lot["take"]), lot["units"])) ? "all of them" : taken);
   return `PASS at ${plain_words.money(theirs, place)}. Pay up to ${most} for ${which}.`;
  }
  if ((py.eq(lot["advice"], GO))) {
   return `TAKE ALL ${lot["units"]}. Pay up to ${most} for all.`;
  }
  return `TAKE ${taken} of ${lot["units"]}. Pay up to ${most}${_whole(lot, place)}.`;
 }
 function _whole(lot, place) {
  if ((py.nil(lot["all_pay_up_to"]))) {
   return py.add(", and leave the other", (((lot["units"] - py.len(lot["take"])) === 1) ? "" : "s"));
  }
  return `; ${plain_words.most_to_pay(lot["all_pay_up_to"], place)} if you must take all`;
 }
 function runs(said) {
   let i, out;
  out = [];
  for (i of py.range(py.len(said))) {
   if (((i > 0) && (py.eq(said[i], said[(i - 1)])))) {
    out[(py.len(out) - 1)].push(i);
   } else {
    out.push([i]);
   }
  }
  return out;
 }
 function without_shared(said) {
   let one, parts, shared;
  if ((py.len(runs(said)) === 1)) {
   return [said, []];
  }
  parts = py.each(said).map((one) => (py.split(one, ", ")));
  shared = [];
  while (py.truth(py.each(parts).every((one) => ((py.len(one) > 1) && (py.eq(one[(py.len(one) - 1)], parts[0][(py.len(parts[0]) - 1)])))))) {
   shared = [parts[0][(py.len(parts[0]) - 1)], ...shared];
   parts = py.each(parts).map((one) => (one.slice(0, (py.len(one) - 1))));
  }
  return [py.each(parts).map((one) => (one.join(", "))), shared];
 }
 function _numbered(run) {
   let last, to;
  to = ((py.len(run) === 2) ? " and " : " to ");
  last = ((py.len(run) > 1) ? `${to}${py.add(run[(py.len(run) - 1)], 1)}` : "");
  return `No. ${py.add(run[0], 1)}${last} `;
 }
 function _times(n) {
  return ((n > 1) ? `${n} times ` : "");
 }
 function _what(one) {
   let fault, unit;
  unit = one["unit"];
  fault = (py.truth(py.get(unit, "fault")) ? py.add(", ", fault_said(unit["fault"]).replaceAll("\"", "")) : "");
  return `${unit["type"]}${fault}`;
 }
 function _row(one, number, taken, place) {
   let most, name, said, worth;
  name = `No. ${number} ${_what(one)}`;
  if (py.truth(one["decision"])) {
   said = decided_words.HEADLINES["offer"][one["decision"]];
   return [name, py.split(said, ".")[0].toLowerCase()];
  }
  most = one["pay_up_to"];
  worth = ((plain_words.down(most) > 0) ? `up to ${plain_words.most_to_pay(most, place)}` : "pass");
  return [name, ((py.truth(taken) || (most <= 0)) ? worth : `${worth}, not on this drive`)];
 }
 return { GO, SOME, lot_view, headline, runs, without_shared };
})();
const drawing_words = (() => {
 const { fixed } = plain_words;
 const [WIDTH, HEIGHT, MIDDLE, EDGE] = [320.0, 54.0, 20.0, 14.0];
 const CLOSE = 76.0;
 function money_line(picture) {
   let first, high, last, left, low, mark, marks, middle, numbers, parts, right, room;
  [low, high, marks] = [picture["low"], picture["high"], picture["marks"]];
  numbers = py.add([low, high], py.each(marks).map((mark) => (mark["at"])));
  [first, last] = [py.min(numbers), py.max(numbers)];
  room = py.max((last - first), (Math.abs(last) * 0.02), 1.0);
  left = _place(low, first, room);
  right = _place(high, first, room);
  parts = [`<svg viewBox="0 0 ${fixed(WIDTH, 0)} ${fixed(HEIGHT, 0)}" aria-hidden="true" focusable="false">`, `<path class="axis" d="M${fixed(EDGE, 0)} ${fixed(MIDDLE, 0)}H${fixed((WIDTH - EDGE), 0)}"/>`, _rect("span", left, (MIDDLE - 7), py.max((right - left), 1.0), 14.0)];
  if (((right - left) < CLOSE)) {
   middle = py.min(py.max((py.add(left, right) / 2), 60.0), (WIDTH - 60.0));
   parts.push(_words(middle, `${picture["ends"][0]} to ${picture["ends"][1]}`));
  } else {
   parts.push(_words(py.max(left, 24.0), picture["ends"][0]));
   parts.push(_words(py.min(right, (WIDTH - 24.0)), picture["ends"][1]));
  }
  for (mark of py.each(marks)) {
   parts.push(shape(mark["sign"], _place(mark["at"], first, room), MIDDLE));
  }
  return py.add(parts.join(""), "</svg>");
 }
 function _place(value, first, room) {
  return py.add(EDGE, (((WIDTH - (2 * EDGE)) * (value - first)) / room));
 }
 function _words(x, said) {
  return `<text x="${fixed(x, 1)}" y="${fixed((HEIGHT - 6), 0)}" text-anchor="middle">${said}</text>`;
 }
 function _rect(kind, x, y, width, height) {
  return `<rect class="${kind}" x="${fixed(x, 1)}" y="${fixed(y, 1)}" width="${fixed(width, 1)}" height="${fixed(height, 1)}"/>`;
 }
 function shape(sign, x, y) {
   let begin, kind;
  if ((sign === "tag")) {
   begin = `M${fixed((x - 7), 1)} ${fixed(y, 1)}`;
   return `<path class="sign" d="${begin}l5 -6h9v12h-9z"/>`;
  }
  if ((sign === "ceiling")) {
   begin = `M${fixed((x - 7), 1)} ${fixed((y - 11), 1)}`;
   return `<path class="sign" d="${begin}h14v3h-5.5v13h-3v-13h-5.5z"/>`;
  }
  if ((sign === "floor")) {
   begin = `M${fixed((x - 7), 1)} ${fixed(py.add(y, 11), 1)}`;
   return `<path class="sign" d="${begin}h14v-3h-5.5v-13h-3v13h-5.5z"/>`;
  }
  if ((sign === "square")) {
   return _rect("sign", (x - 5), (y - 5), 10.0, 10.0);
  }
  kind = ((sign === "ring") ? "ring" : "sign");
  return `<circle class="${kind}" cx="${fixed(x, 1)}" cy="${fixed(y, 1)}" r="6"/>`;
 }
 function sign(name) {
  return `<svg class="key" viewBox="0 0 24 24" width="18" height="18" aria-hidden="true" focusable="false">${shape(name, 12.0, 12.0)}</svg>`;
 }
 function bar(share, best = false) {
   let width;
  width = (100 * py.min(py.max(share, 0.0), 1.0));
  return `<svg class="bars" viewBox="0 0 100 6" preserveAspectRatio="none" aria-hidden="true" focusable="false">${_rect((py.truth(best) ? "best" : ""), 0.0, 0.0, width, 6.0)}</svg>`;
 }
 function against(share) {
   let over;
  over = ((share > 0.5) ? _rect("over", 50, 1.0, ((100 * share) - 50), 6.0) : "");
  return `<svg class="against" viewBox="0 0 100 8" preserveAspectRatio="none" aria-hidden="true" focusable="false"><path class="axis" d="M0 4H100"/>${_rect("", 0.0, 1.0, (100 * py.min(share, 0.5)), 6.0)}${over}${_rect("at", 49.6, 0.0, 0.8, 8.0)}</svg>`;
 }
 function strip(row, scale) {
   let at, high, low, room, value, wanted, zero;
  room = py.max((scale["high"] - scale["low"]), 1e-09);
  [low, high, at, zero, wanted] = [row["low"], row["high"], row["at"], 0.0, scale["target"]].map((value) => (((100 * (value - scale["low"])) / room)));
  return `<svg class="strip" viewBox="0 0 100 9" preserveAspectRatio="none" aria-hidden="true" focusable="false"><path class="axis" d="M0 4.5H100"/>${_rect("zero", (zero - 0.2), 2.0, 0.4, 5.0)}${_rect("wanted", (wanted - 0.2), 0.0, 0.4, 9.0)}${_rect("", low, 2.0, py.max((high - low), 0.5), 5.0)}${_rect("at", (at - 0.5), 0.0, 1.0, 9.0)}</svg>`;
 }
 return { WIDTH, HEIGHT, MIDDLE, EDGE, CLOSE, money_line, shape, sign, bar, against, strip };
})();
const offer_words = (() => {
 const { ads_lines, beside_sections, door_lines } = alongside_words;
 const { open_said, plate, stopped } = decided_words;
 const { lot_view } = lot_words;
 const { added, down, facts, fixed, guess, hours, legend, likely, limit, mark, money, most_to_pay, need, own_fixed, percent, sentence, short, spread, table, text } = plain_words;
 const [HAUL, IF_FREE, IF_PAID] = ["haul", "haul if free", "only if paid"];
 const REASONS = { ["truck and helper"]: "too far to drive", ["your hours"]: "too many hours", ["parts, duds counted"]: "the parts cost too much", ["keeping it until it sells"]: "it would sit too long" };
 const TERMS = { ["sold, when fixed"]: "sale, times the chance you fix it", ["set by for comebacks"]: "kept back for comebacks", ["parts, duds counted"]: "parts, failures included", ["if it beats you"]: "what is left if you can't fix it", ["left as it is"]: "what it brings as it is" };
 function view(answer, place) {
   let at_door, headline, kind, lead, more, open_kind, said, told, unsure;
  if (py.truth(answer["decision"])) {
   return stopped(answer, "offer");
  }
  if ((py.has("lot", answer))) {
   return lot_view(answer, place);
  }
  [kind, headline] = decision(answer, place);
  lead = [_at_price(answer, place)];
  if (!py.truth(answer["go_on"])) {
   lead.push(_unfixed(kind, answer, place));
  }
  told = _first_question(answer, place);
  unsure = py.add(guess(answer["standing"]["price"]), ads_lines(answer));
  at_door = door_lines(answer);
  open_kind = (py.len(answer["by_kind"]) > 1);
  more = [need((py.truth(open_kind) ? 5 : 6), _sells(answer, place)), ...py.each(told).map((said) => (need((py.truth(open_kind) ? 6 : 4), said))), ...py.each(at_door).map((said) => (need(5, said))), ...py.each(answer["warnings"]).map((said) => (need(8, said)))];
  return { ...plate(answer, kind, [headline, ...lead], `I read: ${answer["as_read"]}.`, unsure, more), ["guess"]: py.add(unsure, at_door), ["picture"]: _picture(answer, place), ["sections"]: _sections(answer, place), ["open"]: (py.truth(answer["ask_first"]) ? 3 : 2), ["legend"]: legend(py.list(Object.values(answer["standing"]))) };
 }
 function _unfixed(kind, answer, place) {
   let brings;
  brings = answer["if_not_fixed"];
  if (((kind !== "pass") && (down(brings) > 0))) {
   return `Don't fix it: sold as it is or for parts it brings ${money(brings, place)}.`;
  }
  return `Not worth fixing at ${money(place["hour_worth"], place)} an hour.`;
 }
 function decision(answer, place) {
   let advice, begin, first, most, no_more, pay, start, theirs;
  [most, theirs] = [answer["pay_up_to"], answer["their_price"]];
  advice = answer["advice"];
  if (((py.has("their_price", waits(answer))) && (py.nil(theirs)))) {
   return ["if", `NO PRICE UNDERSTOOD. ${_would_do(most, place)}; ${what(answer)}`];
  }
  if (((py.eq(advice, HAUL)) && (most < 0))) {
   return ["go", `GO GET IT while they pay you ${money(-down(most), place)} or more.`];
  }
  if ((py.eq(advice, HAUL))) {
   start = "";
   if (((py.nil(theirs)) || (theirs > 0))) {
    first = answer["start_at"];
    start = ` Offer ${((first < 1) ? "nothing" : money(first, place))} first;`;
   }
   pay = (py.truth(start) ? "pay" : " Pay");
   begin = `GO GET IT.${start}${(py.truth(start) ? " " : "")}${pay}`;
   return ["go", `${begin} up to ${most_to_pay(most, place)}.`];
  }
  if ((py.eq(advice, IF_FREE))) {
   return ["if", `ONLY IF FREE: ${reason(answer)}.`];
  }
  if ((py.eq(advice, IF_PAID))) {
   return ["pass", `PASS unless they pay you ${money(-down(most), place)}: ${reason(answer)}.`];
  }
  if (((most >= 5) && (!py.nil(theirs)))) {
   no_more = `Pay up to ${most_to_pay(most, place)}, no more.`;
   return ["pass", `PASS at ${money(theirs, place)}. ${no_more}`];
  }
  return ["pass", `PASS: ${reason(answer)}.`];
 }
 function _would_do(most, place) {
  if ((down(most) > 0)) {
   return `Up to ${most_to_pay(most, place)} would do`;
  }
  if ((down(most) === 0)) {
   return "Worth it only for free";
  }
  return `Worth it only if they pay you ${money(-down(most), place)}`;
 }
 function waits(answer) {
  if (((py.has("heard", answer)) && (py.has("waits", answer["heard"])))) {
   return py.list(answer["heard"]["waits"]);
  }
  return [];
 }
 function what(answer) {
   let said;
  said = open_said(answer, "their_price");
  return ((said !== "") ? `"${said}": is that the price?` : "what do they want for it?");
 }
 function reason(answer) {
   let one, why, worst;
  if (py.truth(answer["free_only"])) {
   return "see the danger above";
  }
  if ((answer["fix_chance"] < 0.5)) {
   return "too seldom fixed";
  }
  [worst, why] = [0.0, "it brings too little"];
  for (one of py.each(answer["because"])) {
   if (((py.has(one["term"], REASONS)) && (one["amount"] < worst))) {
    [worst, why] = [one["amount"], REASONS[one["term"]]];
   }
  }
  return why;
 }
 function _at_price(answer, place) {
   let at, gain, paid, rate, theirs;
  [theirs, gain] = [answer["their_price"], answer["expected_gain"]];
  paid = ((py.nil(theirs)) ? answer["paid_assumed"] : theirs);
  if ((paid === 0)) {
   at = "For free";
  } else {
   if ((paid < 0)) {
    at = `With their ${money(-paid, place)}`;
   } else {
    at = `At ${money(paid, place)}`;
   }
  }
  if ((gain < 0)) {
   return `${at} you lose about ${limit(-gain, place)}.`;
  }
  if ((answer["return_per_hour"] < 0)) {
   return `${at} you keep ${limit(gain, place)}, less than storing it costs.`;
  }
  if ((answer["hours"] <= 0)) {
   return `${at} you keep ${limit(gain, place)}.`;
  }
  rate = `${money(answer["return_per_hour"], place)} an hour after storage`;
  return `${at} you keep ${limit(gain, place)}, ${rate}${_hour(answer, place)}.`;
 }
 function _hour(answer, place) {
   let least;
  if ((answer["return_per_hour"] >= place["hour_worth"])) {
   return "";
  }
  least = money(place["hour_worth"], place);
  if ((py.eq(place["hour_worth"], place["hourly_target"]))) {
   return `; you want ${least}`;
  }
  return ` (${least} elsewhere)`;
 }
 function _sells(answer, place) {
   let fix, most, sold;
  sold = answer["price"];
  fix = `you fix ${percent(answer["fix_chance"])}.`;
  if ((py.eq(sold["low"], sold["high"]))) {
   return `Fixed, it sells for ${limit(sold["median"], place)}; ${fix}`;
  }
  most = `most sell for ${spread(sold["low"], sold["high"], place)}`;
  return `Fixed: ${limit(sold["median"], place)}, ${most}; ${fix}`;
 }
 function _first_question(answer, place) {
   let ends, one, ranked, said, told;
  if ((py.len(answer["by_kind"]) > 1)) {
   return _by_kind(answer, place);
  }
  said = [];
  for (one of answer["ask_first"].slice(0, 1)) {
   ranked = ranked_answers(one);
   ends = py.each(ranked).map((told) => (`${told["answer"]}: ${may_pay(told["pay_up_to"], place)}`));
   if ((py.len(ends) > 1)) {
    ends = [ends[0], ends[(py.len(ends) - 1)]];
   }
   said.push(`Ask first: ${one["question"]} ${ends.join("; ")}.`);
  }
  return said;
 }
 function _by_kind(answer, place) {
   let alike, end, ends, limits, name, one, paid, payable, same;
  ends = py.each(answer["by_kind"]).map((one) => (py.split(one["type"], " ")[py.split(one["type"], " ").length - 1]));
  same = (py.eq(py.len(py.each(ends).filter((end) => (py.eq(end, ends[0]))).map((end) => (end))), py.len(ends)));
  limits = [];
  for (one of py.each(answer["by_kind"])) {
   name = one["type"];
   if (py.truth(same)) {
    name = py.split(name, " ").slice(0, -1).join(" ");
   }
   paid = ((down(one["pay_up_to"]) > 0) ? most_to_pay(one["pay_up_to"], place) : "pass");
   limits.push(`${name} ${paid}`);
  }
  payable = py.each(answer["by_kind"]).filter((one) => (down(one["pay_up_to"]) > 0)).map((one) => (one));
  alike = ((py.len(payable) === 0) && (py.has(answer["advice"], ["pass", IF_PAID])));
  return (py.truth(alike) ? ["Pass, whichever kind it is."] : [`Which kind? ${limits.join(", ")}.`]);
 }
 function ranked_answers(unknown) {
   let at, out, told;
  out = [];
  for (told of py.each(unknown["answers"])) {
   at = 0;
   while (((at < py.len(out)) && (out[at]["pay_up_to"] >= told["pay_up_to"]))) {
    at = py.more(at, 1);
   }
   out = [...out.slice(0, at), told, ...out.slice(at)];
  }
  return out;
 }
 function may_pay(most, place) {
  return ((down(most) > 0) ? `up to ${most_to_pay(most, place)}` : "pass");
 }
 function chances(answer, place) {
   let before, chance, curb, lose, most, said, wanted;
  [wanted, chance] = [money(place["hourly_target"], place), percent(answer["chance_of_target"])];
  lose = `Chance you lose money: ${percent(answer["chance_of_loss"])}.`;
  said = [`${lose} Chance you make ${wanted} an hour: ${chance}.`];
  [curb, most] = [answer["at_curb_pay_up_to"], answer["pay_up_to"]];
  before = answer["before_drive_pay_up_to"];
  if ((before < most)) {
   said.push(`Before the drive it was up to ${most_to_pay(before, place)}.`);
  } else {
   if (((curb > 0) && (curb > py.add(most, 1)))) {
    said.push(`Already there? Pay up to ${most_to_pay(curb, place)}.`);
   }
  }
  return said;
 }
 function _picture(answer, place) {
   let ends, marks, most, sold, theirs;
  [most, sold] = [answer["pay_up_to"], answer["price"]];
  marks = [mark("disc", sold["median"], "sells for", limit(sold["median"], place))];
  if ((most < 0)) {
   marks.push(mark("ceiling", most, "they pay you", money(-down(most), place)));
  } else {
   marks.push(mark("ceiling", most, "pay up to", most_to_pay(most, place)));
  }
  theirs = answer["their_price"];
  if ((!py.nil(theirs))) {
   marks.push(mark("square", theirs, "they want", money(theirs, place)));
  }
  ends = [limit(sold["low"], place), limit(sold["high"], place)];
  return { ["low"]: sold["low"], ["high"]: sold["high"], ["marks"]: marks, ["ends"]: ends };
 }
 function _sections(answer, place) {
   let because, door, heads, hour, one, rows, sections, terms, tests, title;
  sections = [facts(_numbers(answer, place)), text("chances", "", chances(answer, place))];
  if (py.truth(answer["ask_first"])) {
   sections.push(ask_first(answer["ask_first"], place));
  }
  sections = py.more(sections, likely(answer["repairs"], place));
  if (py.truth(answer["by_year"])) {
   rows = py.each(answer["by_year"]).map((one) => ([String(one["made"]), limit(one["price"], place), most_to_pay(one["pay_up_to"], place)]));
   heads = ["made", "sells for", "pay up to"];
   sections.push(table("by_year", "By the year it was made", heads, rows));
  }
  hour = `your hours at ${money(place["hour_worth"], place)}`;
  if (!py.truth(place["hour_told"])) {
   hour = py.more(hour, " (a guess)");
  }
  terms = { ...TERMS, ["your hours"]: hour };
  because = py.each(answer["because"]).map((one) => ([py.get(terms, one["term"], one["term"]), one["amount"]]));
  rows = added(because, down(answer["pay_up_to"]), "the most to pay", place);
  title = "What it brings, failures included";
  sections.push(table("why", title, ["term", "money"], rows));
  if ((py.has("door_tests", answer))) {
   tests = py.each(answer["door_tests"]).map((one) => (_asked(one, place)));
   title = "Two minutes at the door";
   door = { ["name"]: "door_tests", ["title"]: title, ["form"]: "answers", ["rows"]: tests };
   sections.push(door);
  }
  return py.add(sections, beside_sections(answer, place));
 }
 function ask_first(unknowns, place) {
   let one, rows;
  rows = unknowns.slice(0, 3).map((one) => (_asked(one, place)));
  return { ["name"]: "ask_first", ["title"]: "Ask them first", ["form"]: "answers", ["rows"]: rows };
 }
 function _asked(one, place) {
   let told;
  return { ["question"]: sentence(one["question"]), ["worth"]: `knowing is worth ${limit(one["worth"], place)}`, ["field"]: one["name"], ["answers"]: ranked_answers(one).map((told) => (_press(told, place))) };
 }
 function _press(told, place) {
   let said;
  said = may_pay(told["pay_up_to"], place);
  return { ["label"]: told["answer"], ["said"]: said, ["value"]: told["value"] };
 }
 function _numbers(answer, place) {
   let bench, chance, days, drive, ends, most, most_parts, own, parts, rows, sells, sold, spent, standing, work;
  [sold, spent, standing] = [answer["price"], answer["costs"], answer["standing"]];
  ends = `most: ${spread(sold["low"], sold["high"], place)}`;
  sells = ((sold["low"] < sold["high"]) ? ends : "");
  most_parts = `most: ${spread(spent["parts_low"], spent["parts_high"], place)}`;
  parts = ((spent["parts_low"] < spent["parts_high"]) ? most_parts : "");
  [chance, own] = [percent(answer["fix_chance"]), own_fixed(answer["fixed_of"])];
  rows = [["Fixed, it sells for", limit(sold["median"], place), sells, standing["price"]], ["Chance you fix it", chance, own, standing["fix"]], ["Parts, if fixed", money(spent["parts_if_fixed"], place), parts, standing["parts"]]];
  days = answer["days"];
  if (py.truth(days)) {
   most = `most: ${fixed(days["low"], 0)} to ${fixed(days["high"], 0)}`;
   rows.push(["Days to sell", fixed(days["median"], 0), most, standing["days"]]);
  }
  [drive, bench] = [py.add(spent["drive_hours"], spent["load_hours"]), short(spent["bench_hours"], 1)];
  work = `drive ${short(drive, 1)}, bench ${bench}`;
  work = py.more(work, `, clean and sell ${short(spent["clean_sell_hours"], 1)}`);
  if ((spent["comeback_hours"] >= 0.05)) {
   work = py.more(work, `, comebacks ${short(spent["comeback_hours"], 1)}`);
  }
  rows.push(["Your time", hours(answer["hours"]), work, standing["hours"]]);
  return rows;
 }
 return { HAUL, IF_FREE, IF_PAID, REASONS, TERMS, view, decision, waits, what, reason, ranked_answers, may_pay, chances, ask_first };
})();
const ask_words = (() => {
 const { ads_lines, beside_sections } = alongside_words;
 const { open_said, plate, stopped } = decided_words;
 const { added, count, day, day_and_year, facts, fixed, guess, legend, limit, mark, money, need, percent, sentence, spread, table, text, to_limit } = plain_words;
 const [TAKE, COUNTER] = ["take it", "counter"];
 const SAME = 0.015;
 const TOLD = "your number";
 function view(answer, place) {
   let bid, kind, more, read, said, since, taken, told, unknown, unsure, up, waits;
  if (py.truth(answer["decision"])) {
   return stopped(answer, "ask");
  }
  told = decision(answer, place);
  unknown = open_said(answer, "asked_now");
  if ((unknown !== "")) {
   waits = `WHAT IS "${unknown}": your ask now, or a bid?`;
   told = [waits, `Without it: ${told[0]}`, ...told.slice(1)];
  }
  [up, since] = [answer["days_listed"], "Not listed yet."];
  if ((!py.nil(up))) {
   since = ((up > 0) ? `Listed ${count(up, "day")}.` : "Listed.");
  }
  read = `I read: ${answer["as_read"]}. ${since}`;
  bid = answer["offered"];
  taken = ((!py.nil(bid)) && (py.eq(bid["say"], TAKE)));
  kind = ((py.truth(answer["plan"]) && ((py.nil(bid)) || py.truth(taken)) && (unknown === "")) ? "go" : "if");
  unsure = py.add(guess(answer["standing"]["price"]), ads_lines(answer));
  more = _closing(answer, place).map((said) => (need(6, said)));
  more = py.more(more, py.each(answer["warnings"]).map((said) => (need(8, sentence(said)))));
  return { ...plate(answer, kind, told, read, unsure, more), ["picture"]: _picture(answer, place), ["sections"]: _sections(answer, place), ["open"]: (py.truth(answer["plan"]) ? 3 : 1), ["legend"]: legend(py.list(Object.values(answer["standing"]))) };
 }
 function decision(answer, place) {
  return [..._to_bid(answer["offered"], place), ..._asks(answer, place)];
 }
 function _to_bid(bid, place) {
   let counter, later, least, offered;
  if ((py.nil(bid))) {
   return [];
  }
  [offered, least] = [money(bid["offered"], place), limit(bid["take_at_least"], place)];
  if ((py.eq(bid["say"], TAKE))) {
   return [`TAKE the ${offered} bid.`, `Today anything from ${least} is worth taking.`];
  }
  later = (py.truth(bid["until"]) ? [`If it hasn't sold by ${day(bid["until"])}, take ${offered}.`] : []);
  if ((py.eq(bid["say"], COUNTER))) {
   counter = money(bid["counter"], place);
   if ((bid["offered"] >= bid["take_at_least"])) {
    return [`SAY ${counter} to their ${offered}.`, `If they stay at ${offered}, take it.`];
   }
   return [`SAY ${counter} to their ${offered}.`, `Today, don't take under ${least}.`, ...later];
  }
  return [`SAY NO to ${offered}.`, `Today, don't take under ${least}.`, ...later];
 }
 function _asks(answer, place) {
   let ask, bid, brings, days, drops, end, expect, least, likely, now, price;
  if (!py.truth(answer["plan"])) {
   price = limit(answer["clear"]["price"], place);
   days = answer["days_listed"];
   if ((py.nil(days))) {
    return [`SELL IT OFF for about ${price}.`];
   }
   end = count(place["clear_after_days"], "day");
   return [`SELL IT OFF for about ${price}: listed ${count(days, "day")}, your limit is ${end}.`];
  }
  expect = limit(answer["price_at_ask"]["median"], place);
  drops = ((py.len(answer["plan"]) > 1) ? " after price drops" : "");
  [ask, bid] = [money(answer["ask"], place), answer["offered"]];
  if (((!py.nil(bid)) && (py.eq(bid["say"], TAKE)))) {
   return [`If it falls through, ask ${ask}: expect about ${expect}${drops}.`];
  }
  if ((!py.nil(bid))) {
   return [`Else ask ${ask}: expect about ${expect}${drops}.`];
  }
  least = limit(answer["take_at_least"], place);
  likely = `It will likely sell for about ${expect}${drops}. Today, don't take under ${least}.`;
  now = answer["in_force"];
  if (((!py.nil(now)) && (Math.abs((answer["ask"] - now)) <= (SAME * now)))) {
   brings = `Expect about ${expect}; today, don't take under ${least}.`;
   return [`KEEP IT AT ${money(now, place)}.`, _why_kept(answer, place), brings];
  }
  return [`ASK ${ask}.`, likely];
 }
 function _why_kept(answer, place) {
   let clear, days, early, sold_off, soon, step;
  days = answer["days_listed"];
  early = (((!py.nil(days)) && (days >= 7)) ? "Too soon to drop" : "Give it its week");
  soon = `${early}: half sell within ${count(answer["median_days"], "day")}.`;
  if ((py.len(answer["plan"]) > 1)) {
   step = answer["plan"][1];
   return `${soon} Not sold by ${day(step["date"])}? Ask ${money(step["ask"], place)}.`;
  }
  clear = answer["clear"];
  sold_off = `Not sold by ${day(clear["date"])}? Sell it off for`;
  return `${soon} ${sold_off} about ${limit(clear["price"], place)}.`;
 }
 function _closing(answer, place) {
   let most, sells;
  sells = answer["price_at_ask"];
  most = `Most sell for ${spread(sells["low"], sells["high"], place)}`;
  if (((py.eq(sells["low"], sells["high"])) || !py.truth(answer["plan"]))) {
   return [];
  }
  return [`${most}; half within ${count(answer["median_days"], "day")}.`];
 }
 function _picture(answer, place) {
   let bid, ends, least, marks, sells;
  sells = answer["price_at_ask"];
  marks = [mark("disc", sells["median"], "expect", limit(sells["median"], place))];
  if (py.truth(answer["plan"])) {
   least = answer["take_at_least"];
   marks = [mark("tag", answer["ask"], "ask", money(answer["ask"], place)), ...marks, mark("floor", least, "don't take under", limit(least, place))];
  }
  bid = answer["offered"];
  if ((!py.nil(bid))) {
   marks.push(mark("square", bid["offered"], "their bid", money(bid["offered"], place)));
  }
  ends = [limit(sells["low"], place), limit(sells["high"], place)];
  return { ["low"]: sells["low"], ["high"]: sells["high"], ["marks"]: marks, ["ends"]: ends };
 }
 function _sections(answer, place) {
   let sections;
  sections = [facts(_numbers(answer, place))];
  if (py.truth(answer["plan"])) {
   sections.push(_sold_by(answer));
   sections.push(_plan(answer, place));
  }
  if (py.truth(answer["choices"])) {
   sections = py.more(sections, _choices(answer, place));
  }
  if ((!py.nil(answer["pair"]))) {
   sections.push(_pair(answer["pair"], place));
  }
  if ((py.truth(answer["because"]) && (!py.eq(answer["standing"]["price"], TOLD)))) {
   sections.push(_why(answer, place));
  }
  if (py.truth(answer["similar"])) {
   sections.push(_similar(answer, place));
  }
  if (py.truth(answer["ceiling"])) {
   sections.push(text("ceiling", "", [sentence(answer["ceiling"])]));
  }
  return py.add(sections, beside_sections(answer, place));
 }
 function _numbers(answer, place) {
   let ends, most, sells, standing, under;
  [sells, standing] = [answer["price_at_ask"], answer["standing"]];
  ends = `most: ${spread(sells["low"], sells["high"], place)}`;
  most = ((sells["low"] < sells["high"]) ? ends : "");
  under = `${py.round((answer["talked_down"] * 100))}%`;
  return [["Will sell for", limit(sells["median"], place), most, standing["price"]], ["Buyers pay", under, "under your last ask", standing["haggle"]]];
 }
 function _sold_by(answer) {
   let days, made, rows, share;
  rows = Object.entries(answer["chance_sold"]).map(([days, share]) => ([`${days} days`, percent(share)]));
  made = table("sold_by", "Chance it's sold in", ["within", answer["standing"]["days"]], rows);
  made["shares"] = py.list(Object.values(answer["chance_sold"]));
  return made;
 }
 function _plan(answer, place) {
   let clear, rows, step;
  rows = py.each(answer["plan"]).map((step) => ([day(step["date"]), money(step["ask"], place), limit(step["take_at_least"], place)]));
  clear = answer["clear"];
  rows.push([day(clear["date"]), "sell it off", limit(clear["price"], place)]);
  return table("plan", "If it doesn't sell", ["from", "ask", "don't take under"], rows);
 }
 function _choices(answer, place) {
   let a_day, after, ask, heads, left, note, one, rows, sells;
  rows = [];
  for (one of py.each(answer["choices"])) {
   [ask, sells, left] = [money(one["ask"], place), limit(one["price"], place), one["left"]];
   rows.push([one["name"], ask, fixed(one["days"], 0), sells, money(left, place)]);
  }
  a_day = money(answer["holding_cost_per_day"], place);
  after = `storage (${a_day} a day)`;
  if (py.truth(answer["spot"])) {
   after = `${a_day} a day, what a spot earns you`;
  }
  heads = ["way", "ask", "days", "sells at", "left"];
  note = text("choices_note", "", [`Left: after ${after}.`]);
  return [table("choices", "Fast or dear", heads, rows), note];
 }
 function _pair(pair, place) {
   let better, one, rows;
  rows = [["as a pair", limit(pair["as_pair"], place), pair["standing"]]];
  rows = py.more(rows, py.each(pair["as_two"]).map((one) => ([one["type"], limit(one["price"], place), "by itself"])));
  better = ((pair["premium"] > 0) ? "as a pair" : "one by one");
  return table("pair", `Sell them ${better}`, ["sold", "brings", "whose"], rows);
 }
 function _why(answer, place) {
   let one, rows, said, terms;
  terms = py.each(answer["because"]).map((one) => ([one["term"], one["amount"]]));
  said = `sold your usual way, most ${spread(answer["low"], answer["high"], place)}`;
  rows = added(terms, to_limit(answer["median"]), said, place);
  return table("why", "Priced like your past sales", ["term", "money"], rows);
 }
 function _similar(answer, place) {
   let heads, made, one, price, rows, sold;
  rows = [];
  for (one of answer["similar"].slice(0, 5)) {
   [sold, price] = [day_and_year(one["sold"], answer["as_of"]), money(one["price"], place)];
   rows.push([`${one["unit"]} ${one["said"]}`, sold, price, money(one["adjusted"], place)]);
  }
  heads = ["unit", "on", "sold for", "= this unit today"];
  made = table("similar", "Your sales that count most", heads, rows);
  made["units"] = answer["similar"].slice(0, 5).map((one) => (one["unit"]));
  return made;
 }
 return { TAKE, COUNTER, SAME, TOLD, view, decision };
})();
const unknown_words = (() => {
 function fault(told, near) {
   let known;
  known = ((py.len(near) > 0) ? `; nearest known: ${near.join(", ")}` : "");
  return `I do not know the fault "${told}"${known}. Answered as "not known".`;
 }
 function type_of_offer(name, guess) {
   let meant;
  meant = ((py.nil(guess)) ? "." : `. Did you mean ${guess}?`);
  return `I have no figures for "${name}": a wide guess${meant}`;
 }
 const NO_FAULT_TOLD = "No fault was told: answered as not known.";
 function type_of_ask(name, guess) {
   let meant;
  meant = ((py.nil(guess)) ? "" : `; did you mean ${guess}?`);
  return `no ${name} in your record nor in the starting figures: the range is wide${meant}`;
 }
 function no_sale_yet(name) {
  return `no sale of a ${name} of yours yet: the range is wide`;
 }
 function person(name, people, named, guess) {
   let meant, whose;
  if (((name === "") || (py.has(name, people)))) {
   return [];
  }
  if (((py.len(people) > 0) && (py.has(name, named)))) {
   return [`no sale of ${name} tells yet: the group's prices, less sure`];
  }
  if ((py.has(name, named))) {
   return [];
  }
  whose = "the numbers of the whole record";
  if ((py.len(people) > 0)) {
   whose = "the group's numbers, less sure";
  }
  meant = ((py.nil(guess)) ? "" : `; did you mean ${guess}?`);
  return [`nobody named ${name} in the record yet: ${whose}${meant}`];
 }
 return { fault, type_of_offer, NO_FAULT_TOLD, type_of_ask, no_sale_yet, person };
})();
