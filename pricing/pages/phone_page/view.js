// The page: its three views, the answer below the form, the calls kept. Nothing is computed here.
"use strict";
const KEPT = "pricing-calls", GONE = "pricing-call-removed", OLD_DAYS = 60, VIEWS = [["offer", "Before the drive"], ["ask", "Set the ask"], ["calls", "Calls"]];
const CAME = [["", "still open"], [GOT, "I got it"], [PASSED, "I passed on it"], [DROVE, "Wasted trip"]];
let view = "offer", latest = null;

function answer() {
  const typed = raw(), [question, wrong] = question_of(view, shown_only(typed), today()), place = document.getElementById("answer");
  keep(LAST, typed);
  for (const input of document.querySelectorAll("form [aria-invalid]")) input.removeAttribute("aria-invalid");
  if (wrong.length) return refuse(wrong, place);
  const mine = latest = { question, day: today(), found: view === "offer" ? offer_at_once(question, today()) : ask(question, today()) };
  place.replaceChildren(...(view === "offer" ? offer_view(latest.found, keep_call) : ask_view(latest.found)));
  place.querySelector(".plate").focus({ preventScroll: true });
  place.scrollIntoView({ block: "start" });
  if (view === "offer") requestAnimationFrame(() => setTimeout(() => ask_them_too(mine), 0)); // the decision is on the screen first
}

function ask_them_too(mine) {
  const place = document.getElementById("ask-them");
  if (latest === mine && place) place.replaceChildren(...ask_them(ask_first(mine.question, mine.found.paid_assumed, mine.day)));
}

function refuse(wrong, place) {
  for (const [name] of wrong) {
    const input = document.getElementById(name);
    if (!input) continue;
    input.setAttribute("aria-invalid", "true");
    const shut = input.closest("details");
    if (shut) shut.open = true;
  }
  place.replaceChildren(el("div", { class: "problems", role: "alert" }, ...wrong.map(([, text]) => el("p", {}, text))));
  place.scrollIntoView({ block: "nearest" });
  const first = document.getElementById(wrong[0][0]);
  if (first) first.focus();
}

/** Another type has other faults; the past sales that are looked at for it are read while the form is filled in. */
function type_changed() {
  keep(LAST, raw());
  const faults = document.getElementById("fault"), name = document.getElementById("type").value;
  if (faults) faults.replaceChildren(...options_of("fault", faults_for(name)));
  read_ahead(name ? looked_at(name) : []);
}

function read_ahead(places) {
  if (places.length) setTimeout(() => { places.slice(0, 20).forEach(past_row); read_ahead(places.slice(20)); }, 10);
}

// ---- calls
function keep_call(came) {
  const calls = recall(KEPT, []), { question, found, day } = latest;
  const id = `P${day.slice(2).replaceAll("-", "")}-${calls.length + 1}-${Math.floor(Math.random() * 1e4)}`;
  calls.push({ ...call_of(question, found, day, came, id), verdict: offer_words_of(found).headline });
  keep(KEPT, calls);
  go_to("calls");
}

function calls_view() {
  const calls = recall(KEPT, []), ended = calls.filter((one) => one.came).length, open = calls.length - ended;
  const back = () => { keep(KEPT, [...calls, recall(GONE)]); keep(GONE, null); draw(); };
  const gone = recall(GONE) ? [el("button", { type: "button", class: "second", onclick: back }, "Bring back the call you removed")] : [];
  if (!calls.length) return [...gone, el("p", {}, "No calls kept yet. Ask \"Before the drive\"; below the answer, press what came of it.")];
  return [
    ...(lasting ? [] : [el("p", { class: "problems", role: "alert" }, "This phone lets the page keep nothing: hand the calls over before you close it.")]),
    ...gone, ...calls.map((one, i) => call_view(calls, i)).reverse(),
    el("h2", {}, "Hand them over"),
    el("p", { class: "small", id: "count" }, hand_over_words(ended, open)),
    el("textarea", { id: "csv", rows: "5", readonly: true, "aria-label": "The calls that came to an end, as a sheet" }, csv_of(calls)),
    el("div", { class: "keep" }, el("button", { type: "button", class: "second", onclick: save_csv }, "Save as a file"),
      el("button", { type: "button", class: "second", onclick: copy_csv }, "Copy")),
  ];
}

function hand_over_words(ended, open) {
  return `${ended} to hand over${open ? `, ${open} still open and not in it` : ""}. Save the sheet and give it to pricing add; given twice, it changes nothing twice.`;
}

function call_view(calls, i) {
  const one = calls[i], newest = i === calls.length - 1;
  const changed = () => {
    keep(KEPT, calls);
    const ended = calls.filter((each) => each.came).length;
    document.getElementById("csv").value = csv_of(calls);
    document.getElementById("count").textContent = hand_over_words(ended, calls.length - ended);
  };
  const typed = (name, label, more = {}) => field(`${name}${i}`, label,
    el("input", { id: `${name}${i}`, autocomplete: "off", maxlength: "2000", value: one[name], ...more,
    oninput: (event) => { one[name] = event.target.value; changed(); } }));
  const amount = (name, label) => typed(name, label, { inputmode: "decimal" });
  const fields = () => [
    amount("wanted", "They wanted"), amount("offered", "I offered"), ...(one.came === GOT ? [amount("paid", "I paid")] : []),
      ...(one.came === PASSED ? [amount("minutes", "Minutes it took")] : []),
    el("div", { class: "long" }, typed("note", one.came === PASSED || one.came === DROVE ? "Why not" : "Note")),
  ];
  const place = el("div", { class: "fields" }, ...fields());
  const came = el("select", { id: `came${i}`, onchange: (event) => { one.came = event.target.value; one.came_on = one.came ? today() : ""; place.replaceChildren(...fields()); changed(); } },
    ...CAME.map(([value, words]) => el("option", { value, selected: value === one.came }, words)));
  const remove = el("button", { type: "button", class: "second", onclick: () => { keep(GONE, calls.splice(i, 1)[0]); keep(KEPT, calls); draw(); } }, "Remove");
  return el("details", { open: newest }, el("summary", {}, `${day_text(one.day)}: ${one.unit.type}`), el("p", {}, el("strong", {}, one.verdict)),
    el("p", { class: "small" }, said_back({ unit: one.unit, known: one.known, made: one.made })), field(`came${i}`, "What came of it", came), place, remove);
}

function save_csv() {
  const sheet = new Blob([document.getElementById("csv").value], { type: "text/csv" });
  el("a", { href: URL.createObjectURL(sheet), download: `calls-${today()}.csv` }).click();
}

function copy_csv() {
  const box = document.getElementById("csv"), by_hand = () => { box.select(); document.execCommand("copy"); };
  if (navigator.clipboard) navigator.clipboard.writeText(box.value).catch(by_hand); else by_hand();
}

// ---- the page
function go_to(name) {
  if (document.querySelector("form")) keep(LAST, raw());
  view = name;
  draw();
  document.querySelector("[aria-current=page]").focus();
}

function draw() {
  const views = VIEWS.map(([name, label]) => el("button", { type: "button", "aria-current": name === view ? "page" : null, onclick: () => go_to(name) }, label));
  const cleared = () => { keep(LAST, {}); draw(); };
  document.getElementById("app").replaceChildren(el("nav", { class: "tabs", "aria-label": "What to ask" }, ...views),
    el("h1", { class: "hidden" }, VIEWS.find(([name]) => name === view)[1]),
    ...(view === "calls" ? calls_view() : [form_of(view, type_changed, answer, cleared), el("div", { id: "answer" })]));
}

const old_by = ordinal(today()) - ordinal(N.as_of);
const stale = `This file was learned ${old_by} days ago. Write a new one: pricing fit, then pricing phone.`;
if (old_by > OLD_DAYS) Object.assign(document.getElementById("old"), { hidden: false, textContent: stale });
const table = document.getElementById("table"); // the answer comes first where scripts run: the table is folded
table.replaceWith(el("details", { id: "table" }, el("summary", {}, "Prices and limits without asking"), ...[...table.children].slice(1)));
draw();
// Once before it is needed, while the form is filled in: the first answer would take three times as long as the next.
setTimeout(() => {
  for (let i = 0; i < 3; i++) for (const answer_of of [ask, offer]) answer_of({ unit: { type: picks.type[0] }, known: {}, made: [], at_curb: false }, today());
  read_ahead(looked_at(last_typed("type") || picks.type[0]));
}, 200);
