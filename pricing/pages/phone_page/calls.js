// Calls kept on the phone, and the sheet that hands them over.
"use strict";
const GOT = "got", PASSED = "passed", DROVE = "drove";

/** A call as it is kept. came: what came of it, "" while open; offered, paid, minutes, note: as typed. */
function call_of(question, found, day, came, id) {
  const { costs } = found, share = question.at_curb ? 2 : 1; // at the curb the costs of the answer are the way home alone
  return {
    id, day, came, came_on: came ? day : "", unit: question.unit, known: question.known, made: question.made, advice: found.advice, up_to: found.pay_up_to,
    wanted: found.their_price === null ? "" : String(found.their_price), offered: "", paid: "",
      minutes: question.known.minutes === undefined ? "" : String(question.known.minutes), note: "",
    drive_min: rint(60 * (costs.drive_hours * share + costs.load_hours)), haul_cost: (costs.truck * share + costs.helper).toFixed(2),
  };
}

/** The calls that came to an end, as CSV text in the columns of the record: a unit got, or a trip of its own that brought nothing home. */
function csv_of(calls) {
  const heads = [...["unit", "type", "maker", "age", "made", "condition", "features", "fault", "size"], ...S.attributes,
    ...["miles", "got", "paid", "hours", "drive_min", "haul_cost", "trip", "outcome", "note"]];
  const rows = calls.filter((one) => one.came).map((one) => (one.came === GOT ? unit_got(one) : call_passed(one)));
  return [heads, ...rows.map((each) => heads.map((head) => each[head]))].map((line) => line.map(cell_of).join(",")).join("\r\n") + "\r\n";
}

function unit_got(one) {
  const paid = one.paid.trim() || one.wanted.trim(), made = one.made.length ? one.made.join(", ") : "",
    said = [one.offered.trim() ? `offered ${one.offered.trim()}` : "", one.note.trim()];
  return { ...one.unit, unit: one.id, made, miles: one.known.miles, got: one.came_on, paid: plain_number(paid), outcome: "in work",
    note: said.filter(Boolean).join("; ") };
}

/** As the command writes down a call that was passed on: its minutes on the phone, or its drive. */
function call_passed(one) {
  const { their_price: _, ...known } = one.known, wanted = number_in(one.wanted), drove = one.came === DROVE, minutes = number_in(one.minutes, "minutes");
  const asked = said_back({ unit: one.unit, made: one.made, known: Number.isFinite(wanted) ? { ...known, their_price: wanted } : known }),
    offered = number_in(one.offered);
  const note = [`${drove ? "empty trip" : "passed on"}: ${asked}`,
    one.offered.trim() ? `I offered ${Number.isFinite(offered) ? money(offered) : one.offered.trim()}` : "", one.note.trim()];
  const name = `${drove ? "trip" : "call"} ${one.id}`;
  return {
    unit: name, type: one.unit.type, outcome: "trip", got: one.came_on, note: note.filter(Boolean).join("; "),
    ...(drove ? { trip: name, drive_min: one.drive_min, haul_cost: one.haul_cost, miles: one.known.miles } : minutes > 0 ? { hours: (minutes / 60).toFixed(2) } : {}),
  };
}

const plain_number = (text) => { const value = number_in(text); return Number.isFinite(value) ? String(value) : text; };

/** One cell. What a spreadsheet would take for a formula is led by an apostrophe. */
function cell_of(value) {
  const text = value === undefined || value === null ? "" : String(value), led = /^[=+@\t\r]|^-(?!\d)/.test(text) ? `'${text}` : text;
  return /[",\n\r]/.test(led) ? `"${led.replaceAll('"', '""')}"` : led;
}
