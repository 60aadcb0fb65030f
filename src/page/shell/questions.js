// The questions of one stage: what to measure, where, by what, and what is wrong with the answer.
import { button, byId, drawing, folded, make, pressed } from "./dom.js";
import { isGiven, isList, pathOf, unitsOf } from "./job_text.js";
import { ownKeys, state } from "./state.js";
import { say } from "./words.js";

// What the page does when an answer has changed; set once.
export const hooks = { changed: () => {}, sketch: () => "" };

const answerAt = (path) => state.answers.get(path) ?? { items: [""] };

function set(path, change) {
  const answer = { ...answerAt(path), ...change };
  for (const name of ["raw", "line", "whole"]) delete answer[name];
  state.answers.set(path, answer);
  state.dirty = true;
  hooks.changed();
}

function setItem(path, i, text) {
  const items = [...answerAt(path).items];
  items[i] = text;
  set(path, { items, none: false });
}

// ---- figures ----

const measuredBy = () => state.answers.get("saddle.measured")?.items[0];
const instrumentOf = (key) => key.instrument_by_way[measuredBy()] ?? key.instrument;

const unitOf = (key, path) => answerAt(path).unit ?? unitsOf(key)[key.sort !== "angle" && state.inches ? 1 : 0];

function itemName(key, i, count) {
  if (key.sort === "pair") return say(i ? "page.to" : "page.from");
  return count > 1 ? `${key.label}, ${i + 1}` : undefined;
}

function entry(key, path, i) {
  const answer = answerAt(path);
  const whole = unitOf(key, path) === "in";
  return make("input", {
    id: i ? `${path}:${i}` : path, className: "figure", value: answer.items[i] === "unknown" ? "" : answer.items[i] ?? "", type: "text",
    inputMode: whole ? "text" : "decimal", autocomplete: "off", autocapitalize: "off", spellcheck: false, enterKeyHint: "next",
    "aria-describedby": `${path}:how ${path}:wrong`, "aria-label": itemName(key, i, answer.items.length), placeholder: whole ? "" : key.fallback,
    oninput: (event) => { if (!answerAt(path).unit) state.answers.set(path, { ...answerAt(path), unit: unitOf(key, path) }); setItem(path, i, event.target.value); },
    onkeydown: (event) => { if (event.key === "Enter") { event.preventDefault(); nextEntry(event.target); } },
  });
}

// Enter goes on to the next field, as the key of a phone's keyboard says.
function nextEntry(from) {
  const all = [...document.querySelectorAll("#questions input, #questions textarea, #onward")].filter((one) => one.offsetParent);
  all[all.indexOf(from) + 1]?.focus();
}

function unitButton(key, path) {
  const [first, second] = unitsOf(key);
  const unit = unitOf(key, path);
  if (!second) return make("span", { className: "unit" }, first === "deg" ? "°" : first ?? "");
  return button(unit, () => { set(path, { unit: unit === first ? second : first }); redraw(key, path, `${path}:unit`); },
    { id: `${path}:unit`, className: "unit", "aria-label": say("page.unit", { unit }) });
}

function minus(key, path) {
  return key.negative && button("±", () => {
    const [item, ...more] = answerAt(path).items;
    set(path, { items: [item.startsWith("-") ? item.slice(1) : `-${item}`, ...more] });
    redraw(key, path, path);
  }, { className: "unit", "aria-label": say("page.minus", { label: key.label }) });
}

function figures(key, path) {
  const answer = answerAt(path);
  const count = key.sort === "pair" ? 2 : answer.items.length;
  const entries = Array.from({ length: count }, (_, i) => make("span", { className: "entry" }, entry(key, path, i), i === 0 && minus(key, path), i === 0 && unitButton(key, path)));
  const more = () => { state.answers.set(path, { ...answerAt(path), items: [...answerAt(path).items, ""], none: false }); redraw(key, path, `${path}:${answerAt(path).items.length - 1}`); };
  const choices = [
    isList(key) && key.sort !== "pair" && !answer.sum && button(say("page.one_more"), more),
    key.sort === "rings" && pressed(say("page.no_spacers"), answer.none, () => { set(path, { items: [""], none: !answer.none }); redraw(key, path, `${path}:none`); }, { id: `${path}:none` }),
    key.unknown && pressed(say("page.unknown"), answer.items[0] === "unknown", () => { set(path, { items: [answer.items[0] === "unknown" ? "" : "unknown"] }); redraw(key, path, `${path}:unknown`); }, { id: `${path}:unknown` }),
  ].filter(Boolean);
  return [make("div", { className: "entries" }, entries), choices.length > 0 && make("div", { className: "row" }, choices), key.sort === "rings" && sumOrEach(key, path), instrument(key, path, more)];
}

const sumOrEach = (key, path) => make("label", { className: "tick" }, make("input", { type: "checkbox", checked: Boolean(answerAt(path).sum),
  onchange: (event) => { set(path, { sum: event.target.checked, items: answerAt(path).items.slice(0, event.target.checked ? 1 : undefined) }); redraw(key, path); } }), say("page.as_sum"));

// Instruments of this job's own, by the names in its table of them: which sort each is, the program knows.
function ownInstruments() {
  const table = state.answers.get("measuring.instruments")?.items[0] ?? "";
  return [...table.matchAll(/(?:"([^"]+)"|([\w-]+))\s*=/g)].map((found) => found[1] ?? found[2]);
}

// How it was read: another instrument, an own half-width, a second reading.
function instrument(key, path, more) {
  const sort = key.sort === "rings" ? "length" : key.sort;
  if (!["length", "angle", "mass"].includes(sort)) return undefined;
  const answer = answerAt(path);
  const choices = state.form.instruments.filter((one) => one.sort === sort);
  for (const name of ownInstruments()) if (!choices.some((one) => one.name === name)) choices.push({ name, label: name });
  const used = choices.find((one) => one.name === (answer.with || instrumentOf(key)));
  const within = answer.within ? `±${answer.within}` : `±${used?.within ?? ""}`;
  const named = ({ label, within: width }) => [label, width && `±${width}`].filter(Boolean).join(", ");
  return folded(used || answer.within ? say("page.read_by", { name: used?.label ?? answer.with ?? "", within }) : say("page.exact"),
    !isList(key) && button(say("page.read_again"), more),
    choices.length > 0 && make("label", {}, say("page.read_with"), make("select", { onchange: (event) => { set(path, { with: event.target.value === instrumentOf(key) ? "" : event.target.value }); redraw(key, path); } },
      !instrumentOf(key) && make("option", { value: "" }, "–"), choices.map((one) => make("option", { value: one.name, selected: one === used }, named(one))))),
    make("label", {}, say("page.within"), make("input", { className: "figure", value: answer.within ?? "", inputMode: "decimal", autocomplete: "off", oninput: (event) => set(path, { within: event.target.value.trim() }) })));
}

// ---- choices and texts ----

function choices(key, path) {
  const picked = answerAt(path).items[0];
  return make("div", { className: "row choice", role: "group", "aria-labelledby": `${path}:label`, "aria-describedby": `${path}:how` }, key.choices.map((choice, i) =>
    pressed(choice.label, picked === choice.word, () => {
      set(path, { items: [picked === choice.word ? "" : choice.word] });
      redraw(key, path, i ? `${path}:${i}` : path);
      if (path === "saddle.measured") redrawHeights();
    }, { id: i ? `${path}:${i}` : path })));
}

function text(key, path) {
  const long = key.longest >= 1000;
  const shared = { id: path, className: "wide", value: answerAt(path).items[0], "aria-describedby": `${path}:how ${path}:wrong`, oninput: (event) => set(path, { items: [event.target.value] }) };
  if (long) return make("textarea", { ...shared, maxLength: key.longest, rows: 4 });
  return make("input", { ...shared, maxLength: key.longest || 200, autocomplete: "off", type: "text" });
}

const asWritten = (key, path) => make("div", { className: "row" }, make("code", {}, answerAt(path).raw),
  button(say("page.answer_anew"), () => { state.answers.delete(path); hooks.changed(); redraw(key, path, path); }, { id: path }));

function field(key, path) {
  if (answerAt(path).whole) return asWritten(key, path);
  if (key.sort === "choice" || key.sort === "flag") return choices(key, path);
  return key.sort === "text" || key.sort === "instruments" ? text(key, path) : figures(key, path);
}

// ---- one question ----

function question(key, row) {
  const path = pathOf(key, row);
  const grouped = key.sort === "choice" || key.sort === "flag" || answerAt(path).whole;
  const label = make(grouped ? "span" : "label", { id: `${path}:label`, className: "label", htmlFor: grouped ? undefined : path }, key.letter && make("b", { className: "letter" }, key.letter), key.label);
  const element = make("div", { className: "ask", id: `${path}:ask`, onfocusin: () => light(key) }, label,
    make("p", { id: `${path}:how`, className: "soft" }, key.how), field(key, path), make("p", { id: `${path}:wrong`, className: "wrong", hidden: true }));
  element.asks = { key, row, path };
  return element;
}

function redraw(key, path, focus) {
  const old = byId(`${path}:ask`);
  if (!old) return;
  const opened = old.querySelector("details")?.open;
  const fresh = question(key, old.asks.row);
  old.replaceWith(fresh);
  const reading = fresh.querySelector("details");
  if (reading && opened) reading.open = true;
  mark();
  byId(focus)?.focus();
}

// Where a height is measured and by what goes by how it is measured.
function redrawHeights() {
  for (const key of ownKeys()) if (Object.keys(key.instrument_by_way).length) redraw(key, key.path);
  lightFirst(state.stage);
}

// ---- the stage ----

// Needed by the kind and the answers so far, answered, or wrong; the rest is folded away until it is wanted.
function isOpen({ key, path }) {
  const { judged } = state;
  return key.asked || state.shown.has(key.stage) || isGiven(state.answers.get(path)) || judged?.missing.includes(path) || findingsAt(path).length > 0;
}

const findingsAt = (path) => (state.judged?.findings ?? []).filter((one) => one.key === path || one.key.startsWith(`${path}-`));

// A figure that the program offers instead, to tap: with its unit, as a keyboard of figures has no letters.
const offered = /"(\d[\d ./]* ?(?:mm|cm|in|deg|kg|lb))"/g;
const offers = ({ key, path }, wrong) => (isList(key) ? [] : [...new Set([...wrong.matchAll(offered)].map((found) => found[1]))])
  .map((text) => button(text, () => { set(path, { items: [text] }); redraw(key, path, path); }));

// Brings what is shown, and what is said to be wrong, up to date without touching a field.
export function mark() {
  let left = 0;
  for (const element of document.querySelectorAll(".ask")) {
    if (!element.asks) continue;
    const { path } = element.asks;
    element.hidden = !isOpen(element.asks);
    left += element.hidden ? 1 : 0;
    const place = byId(`${path}:wrong`);
    const wrong = findingsAt(path).map((one) => one.message).join(" ");
    if (place.said !== wrong) place.replaceChildren(wrong, ...offers(element.asks, wrong));
    place.said = wrong;
    place.hidden = !wrong;
    if (wrong) byId(path)?.setAttribute("aria-invalid", "true");
    else byId(path)?.removeAttribute("aria-invalid");
  }
  const sketch = byId("sketch");
  if (sketch) sketch.hidden = ![...document.querySelectorAll(".ask")].some((one) => one.asks?.key.letter && !one.hidden);
  const more = byId("more");
  if (more) {
    more.hidden = left === 0;
    more.textContent = say("page.more", { count: left });
  }
}

// An extension is measured elsewhere than any other height.
export const placeIn = (path) => (path === "saddle.height" && measuredBy() === "extension" ? "saddle.extension" : path);

// The sketch keeps its height: what moves between touching down and letting go is not tapped.
function light(key) {
  const place = byId("sketch");
  const lit = key.letter ? key.path : "";
  if (!place || place.dataset.lit === placeIn(lit)) return;
  place.dataset.lit = placeIn(lit);
  place.replaceChildren(drawing(hooks.sketch(key.stage, placeIn(lit))));
  comeNearer(place.firstChild);
}

// On a narrow screen only the part around what is lit is shown: the letters could not be read otherwise.
function comeNearer(svg) {
  const lit = svg.querySelector(".lit");
  if (!matchMedia("(max-width: 40rem)").matches || !lit?.childElementCount) return;
  const { x, y, width, height } = lit.getBBox();
  const all = svg.viewBox.baseVal;
  const w = Math.min(all.width, Math.max(105, width + 20));
  const h = Math.min(all.height, Math.max(52, height + 12));
  const inside = (from, size, most) => Math.min(Math.max(0, from), most - size);
  svg.setAttribute("viewBox", [inside(x + width / 2 - w / 2, w, all.width), inside(y + height / 2 - h / 2, h, all.height), w, h].join(" "));
}

function rowsOf(keys, redrawStage) {
  const { table } = keys[0];
  if (!state.rows.get(table)?.length) state.rows.set(table, [1]);
  const rows = state.rows.get(table);
  const sayOfRow = (what, filling) => say("page.row." + table.split(".").pop() + "." + what, filling);
  return [rows.map((row) => make("fieldset", {}, make("legend", {}, sayOfRow("one", { number: row })), keys.map((key) => question(key, row)),
    rows.length > 1 && button(sayOfRow("remove", { number: row }), () => { removeRow(keys, row); redrawStage(`${table}:add`); }))),
  button(sayOfRow("add"), () => { rows.push(rows.length + 1); redrawStage(pathOf(keys.find((key) => key.asked) ?? keys[0], rows.length)); }, { id: `${table}:add` })];
}

// The rows behind it move up.
function removeRow(keys, gone) {
  const rows = state.rows.get(keys[0].table);
  for (let row = gone; row <= rows.length; ++row) {
    for (const key of keys) {
      const next = state.answers.get(pathOf(key, row + 1));
      if (next) state.answers.set(pathOf(key, row), next);
      else state.answers.delete(pathOf(key, row));
    }
  }
  rows.pop();
  state.dirty = true;
  hooks.changed();
}

export function stageQuestions(stage, redrawStage) {
  const keys = ownKeys().filter((key) => key.stage === stage);
  if (!keys.some((key) => key.asked)) state.shown.add(stage); // there is nothing that could be shown first
  const parts = [];
  for (const key of keys) {
    if (!key.repeated) parts.push(question(key));
    else if (key === keys.find((one) => one.table === key.table)) parts.push(...rowsOf(keys.filter((one) => one.table === key.table), redrawStage));
  }
  const more = button("", () => { state.shown.add(stage); mark(); parts.flat(Infinity).find((one) => one.asks && !one.hidden && !one.asks.key.asked)?.querySelector("input, button")?.focus(); }, { id: "more", "aria-expanded": "false" });
  const sketch = keys.some((key) => key.letter) && make("div", { id: "sketch", className: "picture" });
  return [sketch, parts, more];
}

export function lightFirst(stage) {
  const keys = ownKeys().filter((one) => one.stage === stage);
  const key = keys.find((one) => one.letter && one.asked) ?? keys.find((one) => one.letter);
  if (key) light(key);
}
