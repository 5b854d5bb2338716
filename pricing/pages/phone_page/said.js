// Numbers and questions in words, as the command says them.
"use strict";

/** A number with at most so many digits, as Python's "g" writes it: exact halves go to the even digit. */
function general(x, digits = 6) {
  const [, figures, power] = /^-?([\d.]+)e(.+)$/.exec(x.toExponential(60)), exact = figures.replace(".", "");
  const tie = /^50*$/.test(exact.slice(digits)), down = tie && +exact[digits - 1] % 2 === 0;
  const near = down ? Number(`${x < 0 ? "-" : ""}${exact[0]}.${exact.slice(1, digits)}e${power}`) : x;
  const [head, told_power] = near.toExponential(digits - 1).split("e");
  if (x === 0 || (+told_power >= -4 && +told_power < digits)) return String(Number(near.toPrecision(digits)));
  return `${head.includes(".") ? head.replace(/\.?0+$/, "") : head}e${told_power[0]}${told_power.slice(1).padStart(2, "0")}`;
}

/** Money to the nearest `step`, the sign before the currency, thousands apart. */
function money(value, step = 1) {
  const whole = rint(value / step) * step, digits = String(Math.abs(whole)).replace(/\B(?=(\d{3})+$)/g, ",");
  return `${whole < 0 ? "-" : ""}${S.sign}${digits}`;
}
const limit_text = (value) => money(value, Math.abs(value) >= 20 ? 5 : 1);

const CHANCES = [3, 4, 5, 6, 10, 20].flatMap((n) =>
  range(n).slice(1).filter((k) => (k === 1 || k === n - 1 || [5, 10, 3].includes(n)) && 2 * k !== n).map((k) => [k, n]));

/** A chance in words that are never more exact than they should be. */
function chance_text(value) {
  if (value < 0.02) return "hardly ever";
  if (value > 0.98) return "nearly always";
  if (value >= 0.47 && value <= 0.53) return "half";
  if (value > 0.53 && value < 0.6) return "over half";
  const far = ([k, n]) => Math.abs(k / n - value) + (0.004 * n) / 10;
  const [k, n] = CHANCES.reduce((best_so_far, one) => (far(one) < far(best_so_far) || (far(one) === far(best_so_far) && one[1] < best_so_far[1]) ? one : best_so_far));
  return k === 1 ? `${k} in ${n}` : `${k} of ${n}`;
}

const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
const day_text = (iso) => `${MONTHS[+iso.slice(5, 7) - 1]} ${+iso.slice(8)}`;

/** `electric dryer, 8 years, good, "no heat", wants $40, 12 miles each way`: the question in our words. */
function said_back(question) {
  const unit = question.unit, known = question.known, made = question.made || [], told = (name) => unit[name] !== undefined && unit[name] !== null;
  const maker = String(unit.maker || "").split(" ").filter(Boolean).map((one) => one[0].toUpperCase() + one.slice(1)).join(" ");
  const parts = [[maker, unit.type].filter(Boolean).join(" ")];
  if (made.length) parts.push(`made ${made.join(" or ")}`);
  else if (told("age")) parts.push(unit.age === 1 ? "1 year" : `${general(unit.age)} years`);
  for (const name of ["condition", "tier", "fuel", "finish"]) if (unit[name]) parts.push(String(unit[name]));
  if (unit.features) parts.push(unit.features.replaceAll("; ", ", "));
  if (unit.fault) parts.push(`"${unit.fault}"`);
  if (unit.found) parts.push(`found: ${unit.found}`);
  if (unit.repair) parts.push(`repair: ${unit.repair.replaceAll("; ", ", ")}`);
  for (const name of S.attributes) if (told(name)) parts.push(`${name} ${typeof unit[name] === "number" ? general(unit[name]) : unit[name]}`);
  if ("their_price" in known) {
    const price = known.their_price;
    parts.push(price > 0 ? `wants ${money(price)}` : price === 0 ? "free" : `they pay you ${money(-price)}`);
  }
  for (const [name, words] of [["parts", "parts "], ["price", "sells for "], ["helper", "helper "], ["offered", "bid "], ["asked_now", "listed at "]]) {
    if (name in known) parts.push(words + money(known[name]));
  }
  if ("hours" in known) parts.push(`${general(known.hours, 4)} hour${known.hours === 1 ? "" : "s"} of work`);
  if ("fix_chance" in known) parts.push(`${general(known.fix_chance * 10, 4)} of 10 to fix`);
  if ("miles" in known) parts.push(`${general(known.miles, 5)} ${S.distance_unit === "mi" ? "miles" : "km"} each way`);
  if (known.on_trip > 1) parts.push(`${general(known.on_trip)} units on this drive`);
  return parts.filter(Boolean).join(", ");
}
