// What the program says of the answers so far.
import { button, drawing, folded, make } from "./dom.js";
import { placeOf, state } from "./state.js";
import { say } from "./words.js";

const moods = { cut: "yes", keep: "yes", fit: "yes", hold: "wait", reject: "no", unfit: "no" };
// Never colour alone: each mood has a sign of its own.
const signs = { yes: "✓", wait: "…", no: "✕", open: "?" };
const standings = { holds: "✓", in_doubt: "…", broken: "✕" };

// A yes that rests on a question nobody has answered is not as green as one that does not.
const restsOn = (judged) => (moods[judged?.verdict] === "yes" ? judged.open.filter((path) => placeOf(path).key) : []);
export const moodOf = (judged) => (restsOn(judged).length ? "wait" : moods[judged?.verdict] ?? (judged?.findings.length ? "no" : "open"));
export const signOf = (judged) => signs[moodOf(judged)];

// One sentence for the bar and for whoever cannot see it.
export function inShort(judged) {
  if (judged.verdict) return judged.says.verdict;
  if (judged.findings.length) return say("page.findings", { count: judged.findings.length });
  return say("page.not_yet", { count: judged.missing.length });
}

export const figuresPart = (list) => make("dl", {}, list.map(([label, value]) => make("div", {}, make("dt", {}, label), make("dd", {}, value))));

function bandAround(mood, verdict, inside) {
  return make("div", { className: `band ${mood}` }, make("h2", { className: "verdict" }, make("span", { className: "sign", "aria-hidden": "true" }, signs[mood]), verdict), inside);
}

export const band = (mood, verdict, ...sentences) => bandAround(mood, verdict, sentences.filter(Boolean).map((text) => make("p", {}, linked(text))));

// Where a sentence names a key of the job file, its question is named instead, to go to.
let lead = () => {};
const named = /\b[a-z_]+(?:\.[a-z_]+)?(?:-\d+)?\.[a-z_]+\b/g;
function linked(text) {
  const parts = [];
  let at = 0;
  for (const found of typeof text === "string" && state.kind ? text.matchAll(named) : []) {
    if (!placeOf(found[0]).key) continue;
    parts.push(text.slice(at, found.index), make("q", {}, button(nameOf(found[0]), () => lead(found[0]), { className: "within" })));
    at = found.index + found[0].length;
  }
  return at ? [...parts, text.slice(at)] : text;
}

export const answerBand = (verdict, ...texts) => band(moods[verdict], ...texts);

function limit(one) {
  const head = [make("span", { className: `status ${one.standing}` }, make("span", { "aria-hidden": "true" }, standings[one.standing]), ` ${one.status}`), make("span", { className: "name" }, one.name), make("span", { className: "n" }, one.margin)];
  const rows = [["needs", one.bound], ["has", one.has], ["margin", one.margin], ["doubt", one.doubt], ["odds", one.odds], ["origin", [one.origin, one.source].filter(Boolean).join(", ")]];
  const words = { needs: say("page.column.needs"), has: say("page.column.has"), margin: say("page.column.margin"), doubt: say("page.column.doubt"), odds: say("page.column.odds"), origin: say("page.column.origin") };
  return make("li", {}, make("details", { className: one.stands_out ? "limit out" : "limit" }, make("summary", {}, head), make("p", {}, one.what),
    figuresPart(rows.filter(([, value]) => value).map(([name, value]) => [words[name], value]))));
}

export const limitsPart = (says) => says.limits.length > 0 && [says.limits_title && make("h3", {}, says.limits_title), make("ul", { className: "limits" }, says.limits.map(limit))];

const steps = (next) => next.length > 0 && [make("h3", {}, say("page.what_to_do")), make("ul", {}, next.map(([why, action]) => make("li", {}, why && [linked(why), " "], make("strong", {}, linked(action)))))];

export const cautionsPart = (cautions) => [make("h3", {}, say("page.cautions")), make("ul", { className: "cautions" }, cautions.map((text) => make("li", {}, linked(text))))];

// On a narrow screen the drawing goes on to the side; it begins where the part is cut, at its right-hand end.
export function picture(svg) {
  if (!svg) return undefined;
  const place = make("div", { className: "picture", tabIndex: 0, role: "region", "aria-label": say("page.picture") }, drawing(svg));
  requestAnimationFrame(() => { place.scrollLeft = place.scrollWidth; });
  return [place, make("p", { className: "soft swipe" }, say("page.swipe"))];
}

function said(judged) {
  const { says } = judged;
  const open = restsOn(judged);
  return [band(moodOf(judged), says.verdict, says.headline, says.because, open.length > 0 && [say("page.not_answered"), " ", open.map((path) => leadTo(path, lead))]), steps(says.next), picture(judged.svg), figuresPart(says.figures), limitsPart(says),
    says.if_settled.length > 0 && folded(says.if_settled_title, figuresPart(says.if_settled)),
    cautionsPart(says.cautions), make("p", { className: "soft" }, `kerfmark ${state.form.version} · `, make("span", { id: "digest" }, say("page.digest", { digest: judged.digest })))];
}

function nameOf(path) {
  const { key, row } = placeOf(path);
  return key ? key.label + (row > 1 ? ` ${row}` : "") : path;
}

const leadTo = (path, goTo) => button(nameOf(path), () => goTo(path), { className: "lead" });

function findings(list, goTo) {
  return bandAround("no", say("page.findings", { count: list.length }),
    make("ul", {}, list.map((one) => make("li", {}, placeOf(one.key).key ? leadTo(one.key, goTo) : make("code", {}, one.key), " ", linked(one.message)))));
}

function lacking(missing, goTo) {
  return bandAround("open", say("page.not_yet", { count: missing.length }),
    make("ul", {}, missing.map((path) => make("li", {}, leadTo(path, goTo)))));
}

export function answerParts(judged, goTo) {
  lead = goTo;
  return [judged.findings.length > 0 && findings(judged.findings, goTo), judged.verdict ? said(judged) : judged.missing.length > 0 && lacking(judged.missing, goTo)];
}
