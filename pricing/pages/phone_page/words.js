// Which family a type belongs to, which row of the starting table speaks of a fault, and which reminders a unit calls for.
"use strict";
const squash = (text) => text.normalize("NFKC").toLowerCase().replace(/[^\p{L}\p{N}]/gu, " ").split(/\s+/).filter(Boolean).join(" ");
const split_words = (text) => text.split(/\s+/).filter(Boolean);
const steps_of = (repair) => repair.split(";").map((step) => step.trim()).filter(Boolean);

let kept_families = new Map();
function family_by_name(type_name) {
  if (!kept_families.has(type_name)) kept_families.set(type_name, family_in(type_name));
  return kept_families.get(type_name);
}

function family_in(type_name) {
  const row = own(C.families, type_name);
  if (row !== undefined) return row;
  const words = new Set(squash(type_name).split(" "));
  for (const [family, signs] of C.family_signs) if (signs.some((sign) => words.has(sign))) return family;
  return "other";
}
const family_of = (type_name) => own(C.own_families, type_name) || family_by_name(type_name);

function fault_families(type_name, family) {
  const row = C.types.find((one) => one.type === type_name);
  if (row && row.fault_family.length) return row.fault_family.filter((name) => name !== "none").length ? row.fault_family : ["any"];
  const sign = Object.keys(C.family_words).find((word) => type_name.includes(word)) || own(C.family_words_of, family);
  return own(C.family_words, sign || "") || ["any"];
}

function fault_row(fault, type_name, family) {
  const kinds = fault_families(type_name, family), told = fault.trim().toLowerCase(), all = [...kinds, "any", "danger"];
  const mine = C.faults.slice(0, C.n_own_faults).filter((row) => all.includes(row.family) || row.family === family);
  const able = C.faults.slice(C.n_own_faults).filter((row) => all.includes(row.family) && (!row.types.length || row.types.includes(type_name)));
  const order = (row) => (row.types.length ? 0 : 100) + all.indexOf(row.family);
  const rows = [...mine, ...able.sort((a, b) => order(a) - order(b))];
  const elsewhere = C.elsewhere_called.find(([kind, name]) => kind === kinds[0] && name === told);
  for (const wanted of [told, elsewhere ? elsewhere[2] : ""]) {
    const row = wanted ? row_named(wanted, type_name, rows) : null;
    if (row) return [row, true];
  }
  return [rows.find((row) => row.fault === C.unknown_fault), !told];
}

function row_named(wanted, type_name, rows) {
  const bare = wanted.split(" (")[0];
  for (const fits of [true, false]) {
    const able = rows.filter((row) => qualifier_fits(row.fault, type_name) || !fits);
    const exact = able.find((row) => row.fault === wanted);
    if (exact) return exact;
    for (const row of able) {
      const name = row.fault.split(" (")[0];
      if (name === bare || name.split(" or ").includes(bare) || name.split("; ").includes(bare)) return row;
    }
  }
  return null;
}

const OTHER_QUALIFIER = { electric: "gas", gas: "electric", "top-load": "front-load", "front-load": "top-load" };
function qualifier_fits(fault, type_name) {
  const said = Object.keys(C.qualifier_signs).find((sign) => fault.endsWith(`(${sign})`));
  if (said === undefined || C.qualifier_signs[said].some((sign) => type_name.includes(sign))) return true;
  return !C.qualifier_signs[OTHER_QUALIFIER[said]].some((sign) => type_name.includes(sign));
}

// ---- reminders
const words_of = (unit, names) => names.map((name) => String(unit[name] || "")).join(" ").toLowerCase();

function first_of(unit, as_of) {
  const type_name = String(unit.type || ""), family = family_of(type_name), age = unit.age;
  const words = words_of(unit, ["fault", "found", "repair", "features", "note"]);
  if (/smell(?:s|ed|ing)?\s+(?:of\s+|like\s+)?gas|gas\s+(?:smell|leak|odou?r)/.test(words)) return said("gas smell");
  if (type_name.includes("microwave") && !nothing_to_open(words)) return said("microwave");
  const old = typeof age === "number" && +as_of.slice(0, 4) - age <= C.latch_year;
  if (family === "cold" && (old || /\blatch(?:es|ed|ing)?\b(?!\s*(?:switch|strike))/.test(words))) return said("latch fridge");
  if (/sealed system|refrigerant|freon|compressor (?:dead|bad|seized|replaced|shot|locked)|(?:bad|dead|seized|new) compressor/.test(words) && ["cold", "air", "other"].includes(family)) return said("sealed system");
  return null;
}

const nothing_to_open = (words) => /\bworks\b|upgraded|turntable|tray|plate missing|cleaned|handle|knob/.test(words) && !words.includes("doesn't work");

function cautions_for(unit, stage, most = 2) {
  const type_name = String(unit.type || ""), family = family_of(type_name);
  const fuel = String(unit.fuel || (type_name.includes("gas") ? "gas" : ""));
  const words = words_of(unit, ["fault", "found", "repair"]);
  const dryer = type_name.includes("dryer"), washer = type_name.includes("washer") && !type_name.includes("dish");
  const newer = typeof unit.age !== "number" || unit.age <= 12;
  const pounds = (C.types_by.get(type_name) || C.generic_type).weight_lb;
  const weight = S.weight_unit === "lb" ? `${rint(pounds)} lb` : `${rint(pounds * 0.45359237)} kg`;
  const call = stage === "call", bench = stage === "bench", sale = stage === "sale";
  const unchecked = unit.recall_checked === undefined || unit.recall_checked === null;
  const wanted = [
    ["gas off", call && fuel === "gas"],
    ["pests", call && /mold|mould|smell|roach|bug/.test(words)],
    ["weight", call && pounds >= C.heavy_lb],
    ["move front-load", call && type_name.includes("front-load")],
    ["fridge move", call && family === "cold"],
    ["recall call", call && unchecked],
    ["gas bench", bench && fuel === "gas"],
    ["fuse", bench && dryer],
    ["flammable", bench && ["cold", "air"].includes(family) && newer],
    ["refrigerant", bench && ["cold", "air"].includes(family)],
    ["inverter", bench && washer],
    ["unplug", bench && !dryer && !washer],
    ["recall sale", sale && unchecked],
    ["gas sale", sale && fuel === "gas"],
    ["cord", sale && fuel !== "gas" && (dryer || (family === "cooking" && !type_name.includes("cooktop")))],
    ["bracket", sale && type_name.includes("range") && !type_name.includes("microwave")],
    ["ground test", sale && fuel !== "gas"],
    ["hoses", sale && washer],
    ["fridge sale", sale && family === "cold"],
    ["stored door", sale && (family === "cold" || washer || dryer)],
    ["meeting", sale],
  ];
  return wanted.filter(([, called]) => called).slice(0, most).map(([name]) => said(name, weight));
}

const for_offer = (unit) => [...cautions_for(unit, "call", 1), ...cautions_for(unit, "bench", 1)];
const said = (name, weight = "") => ({ name, full: C.cautions[name][0].replace("{weight}", weight), cap: C.cautions[name][1] });
