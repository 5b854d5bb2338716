// A worded answer (pricing/wording) laid out: dangers, the plate, what it rests on, the rest folded. It says nothing of its own.
"use strict";
const small = (text) => el("p", { class: "small" }, text);
const fold = (title, ...inside) => el("details", {}, el("summary", {}, title), ...inside);
const caution = (text) => el("p", { class: "caution" }, text);
const mark = (text) => el("span", { class: "mark" }, text);
const plain_text = (text) => text.replaceAll("&", "&amp;").replaceAll("<", "&lt;"); // the sign of money is the person's own

/** Pictures are strings of numbers and amounts. */
function inline(svg) {
  const box = el("span", { class: "picture" });
  box.innerHTML = svg;
  return box;
}

function picture_of(view) {
  if (!view.picture) return null;
  const picture = { ...view.picture, ends: view.picture.ends.map(plain_text) };
  return el("div", { class: "drawn" }, inline(drawing_words.money_line(picture)), el("ul", {}, ...picture.marks.map((one) =>
    el("li", {}, inline(drawing_words.sign(one.sign)), ` ${one.words} `, el("strong", {}, one.said)))));
}

function plate_of(view) {
  return el("div", { class: `plate ${view.kind}${view.guess.length ? " guess" : ""}`, tabindex: "-1" }, el("p", { class: "verdict" }, view.headline),
    ...view.lead.map((line, i) => el("p", i ? {} : { class: "lead" }, line)), ...view.guess.map((text) => el("p", {}, mark(text))), picture_of(view));
}

function section_of(one) {
  const title = one.title ? [el("h2", {}, one.title)] : [];
  if (one.form === "text") return [...title, ...one.lines.map((text) => el("p", {}, text))];
  if (one.form === "facts") {
    return [...title, el("table", {}, el("tbody", {}, ...one.rows.map(([words, number, more, whose]) => el("tr", {},
      el("th", { scope: "row" }, words, el("span", { class: "small more" }, more)), el("td", { class: "r" }, number), el("td", { class: "r" }, whose ? mark(whose) : "")))))];
  }
  if (one.form === "answers") {
    return [...title, ...one.rows.map((row) => el("p", {}, el("strong", {}, row.question), ` ${row.answers.map((told) => `${told.label}: ${told.said}`).join("; ")}`))];
  }
  const cells = (row) => row.map((cell, i) => el(i ? "td" : "th", i ? { class: "r" } : { scope: "row" }, cell, !i && one.shares ? inline(drawing_words.bar(one.shares[one.rows.indexOf(row)])) : null));
  return [...title, el("table", {}, el("thead", {}, el("tr", {}, ...one.heads.map((head, i) => el("th", { scope: "col", class: i ? "r" : "" }, head)))),
    el("tbody", {}, ...one.rows.map((row) => el("tr", {}, ...cells(row)))))];
}

/** after: what stands between the plate and the numbers; asks: place for what is worked out later. */
function answer_view(view, after = [], asks = []) {
  const shown = view.sections.slice(0, view.open), rest = view.sections.slice(view.open);
  return [
    ...view.dangers.map(caution), plate_of(view), small(view.read), ...after, ...view.cautions.map(caution), ...view.warnings.map(caution),
    ...shown.flatMap(section_of), ...asks, ...(rest.length ? [fold("More: the reasons, and what it rests on", ...rest.flatMap(section_of))] : []), ...view.legend.map(small),
  ];
}

const offer_words_of = (found) => offer_words.view({ ...found, ask_first: [] }, S.place);

/** keep_call: called with what came of it. */
function offer_view(found, keep_call) {
  const view = offer_words_of(found), passed = view.kind === "pass";
  const button = (words, came) => el("button", { type: "button", class: "second", onclick: () => keep_call(came) }, words);
  const took = button(passed ? "Taken anyway" : "I take it", GOT), pass = button("I pass on it", PASSED);
  const keeping = el("div", { class: "keep" }, ...(passed ? [pass, took] : [took, pass]), button("Keep the call", ""));
  if (found.lot) return answer_view(view, [small("Say one of them alone to keep its call.")]);
  return answer_view(view, [keeping], [el("div", { id: "ask-them" }, el("h2", {}, "Ask them first"), el("p", {}, "…"))]);
}

/** ranked: of `ask_first`. */
const ask_them = (ranked) => (ranked.length ? section_of(offer_words.ask_first(ranked, S.place)) : []);
const ask_view = (found) => answer_view(ask_words.view(found, S.place));
