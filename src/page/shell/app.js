// The page: which part is shown, and what happens when an answer changes.
import { answerParts, inShort, moodOf, signOf } from "./answer.js";
import { start, unpackedText } from "./core.js";
import { button, byId, folded, giveFile, make, once, pressed } from "./dom.js";
import { answerOf, editedText, isGiven, jobText, pathOf } from "./job_text.js";
import { fromLink, isLink, toLink } from "./link.js";
import { hooks, lightFirst, mark, placeIn, stageQuestions } from "./questions.js";
import { shelf } from "./shelf.js";
import { standingPage } from "./standing.js";
import { isOnTheWay, kindName, ownKeys, placeOf, stagesOf, state, titleOf, wayOf } from "./state.js";
import { languages, learn, say, speak } from "./words.js";

let core;
let licences;
const after = "after"; // the stage of what is measured once the part is cut

// ---- what is said to whoever uses the page ----

function tell(text) {
  const place = byId("notice");
  place.replaceChildren(make("p", {}, text), button(say("page.close"), () => { place.hidden = true; }));
  place.hidden = false;
}

const announce = (text) => { const live = byId("live"); if (live.textContent !== text) live.textContent = text; };

// Whatever goes wrong in the program is told, and the page stays as it is.
function tried(work) {
  try { return work(); } catch (trouble) { tell(say("page.trouble", { why: trouble.message })); return undefined; }
}

// ---- the answer to what was said so far ----

const ownText = () => jobText(ownKeys(), state.kind, state.answers);
const options = () => ({ language: state.language, paper: paper(), shop: state.habits.shop });
const judge = (text) => core.json("judge", { language: state.language }, text);

function refresh() {
  if (state.view !== "job") return;
  const judged = tried(() => judge(ownText()));
  if (!judged) return;
  state.judged = judged;
  mark();
  byId("answer").replaceChildren(...answerParts(judged, goTo).flat(Infinity).filter(Boolean));
  byId("out").hidden = !judged.verdict;
  byId("show").className = `pill ${moodOf(judged)}`;
  byId("show").replaceChildren(make("span", { "aria-hidden": "true" }, `${signOf(judged)} `), inShort(judged));
  announce(inShort(judged));
  keepDraft();
}

const ownName = () => ["job.number", "job.bike"].map((path) => state.answers.get(path)?.items[0]).filter(Boolean).join(" ");

function keepDraft() {
  if (!shelf.isOn() || !state.answers.size) return;
  state.id ??= crypto.randomUUID?.() ?? String(Date.now());
  if (!shelf.keep(state.id, { kind: state.kind, name: ownName(), text: wholeText() })) tell(say("page.not_kept"));
  else state.dirty = false;
}

// The file that was opened, as far as its lines can be kept, or one of our own: never another job than the answers say.
function wholeText() {
  const own = ownText();
  if (!state.opened) return own;
  const edited = editedText(state.opened.text, state.opened.answers, ownKeys(), state.answers);
  const same = (one) => { const said = judge(one); return JSON.stringify([said.digest, said.missing, said.findings.map((each) => [each.key, each.message])]); };
  return edited !== undefined && same(edited) === same(own) ? edited : own;
}

// ---- going about ----

function remember() { history.pushState({ view: state.view, stage: state.stage }, ""); }

function go(view, change = {}) {
  Object.assign(state, { view, ...change });
  remember();
  draw("title");
}

function toStage(word, focus = "title") {
  if (word !== state.stage) { state.stage = word; remember(); }
  draw(focus);
}

function goTo(name) {
  const { key, row } = placeOf(name);
  if (!key) return;
  if (key.repeated) while ((state.rows.get(key.table) ?? []).length < row) state.rows.set(key.table, [...(state.rows.get(key.table) ?? []), (state.rows.get(key.table)?.length ?? 0) + 1]);
  toStage(key.stage, pathOf(key, row));
}

// Answers that are nowhere else are not given up without a question.
const mayReplace = () => !state.dirty || !state.answers.size || confirm(say("page.replace", { kind: kindName(state.kind) }));

function begin(kind, change = {}) {
  if (!mayReplace()) return;
  const answers = new Map(Object.entries(state.form.start[kind] ?? {}));
  go("job", { kind, stage: wayOf(kind)[0].word, answers, rows: new Map(), shown: new Set(), opened: undefined, id: undefined, dirty: false, ...change });
}

// A file, a link or a job of the shelf: every value into its field, and what the form has no field for is named.
function take(text, change = {}) {
  const found = tried(() => core.json("fields", { language: state.language }, text));
  if (!found) return;
  if (!state.form.kinds.includes(found.kind)) {
    const why = found.findings.map((one) => `${one.line}:${one.column}: ${one.message}`).join("; ");
    tell(say("page.cannot_open", { why: why || say("page.no_kind") }));
    return;
  }
  const keys = state.form.keys.filter((key) => key.kind === found.kind);
  const answers = new Map();
  const rows = new Map();
  const unknown = [...found.unknown];
  for (const [path, value] of Object.entries(found.values)) {
    const key = keys.find((one) => one.path === path.replace(/-\d+(?=\.)/, ""));
    if (!key) { unknown.push(path); continue; }
    const answer = answerOf(key, value);
    if (answer) answers.set(path, answer);
    if (key.repeated) rows.set(key.table, Array.from({ length: Math.max(rows.get(key.table)?.length ?? 0, Number(path.match(/-(\d+)\./)[1])) }, (_, i) => i + 1));
  }
  begin(found.kind, { answers, rows, opened: { text, answers: new Map(answers) }, ...change });
  if (unknown.length) tell(say("page.unknown_keys", { keys: unknown.join(", ") }));
}

async function openFile(file, change) {
  if (!file) return;
  if (file.size > state.form.most_bytes) { tell(say("page.cannot_open", { why: say("page.too_large") })); return; }
  take(await file.text(), change);
}

function pick(change) {
  const picker = byId("picker");
  picker.onchange = () => { openFile(picker.files[0], change); picker.value = ""; };
  picker.click();
}

async function takeLink() {
  if (!isLink(location.hash)) return;
  const text = await fromLink(location.hash);
  if (text) take(text);
  else tell(say("page.cannot_open", { why: say("page.bad_link") }));
}

// ---- out ----

const regionOfLetter = /-(US|CA|MX|CL|CO|PH)$/; // where paper is letter size: common practice
const paper = () => state.habits.paper ?? (regionOfLetter.test(navigator.language) ? "letter" : "a4");
const fileStem = () => (state.answers.get("job.number")?.items[0] ?? "").replace(/[^\w-]+/g, "-").replace(/^-+|-+$/g, "") || state.kind;

const isAfter = () => [...state.answers].some(([path, answer]) => path.startsWith("as_cut.") && isGiven(answer));

function give(bytes, name, type) {
  giveFile(bytes, name, type);
  tell(say("page.saved", { name }));
}

const giveSheet = () => tried(() => give(core.bytes("sheet", options(), wholeText()), `${fileStem()}-${isAfter() ? "after" : "cut"}.pdf`, "application/pdf"));
const giveBlank = (kind) => tried(() => give(core.bytes("blank", { ...options(), kind }), `${kind}-form.pdf`, "application/pdf"));
function giveJob() { give(new TextEncoder().encode(wholeText()), `${fileStem()}.toml`, "application/toml"); state.dirty = false; }

async function giveLink() {
  const link = await toLink(ownKeys(), state.kind, state.answers);
  history.replaceState(history.state, "", link);
  await navigator.clipboard?.writeText(location.href).catch(() => {});
  tell(say("page.link_copied"));
}

function habit(name, value) { state.habits[name] = value; shelf.keepHabits(state.habits); }

function paperChoice() {
  const choose = (name, text) => pressed(text, paper() === name, (event) => {
    habit("paper", name);
    for (const one of event.target.parentElement.children) one.setAttribute("aria-pressed", String(one === event.target));
  });
  return make("div", { className: "row", role: "group", "aria-label": say("page.paper") }, choose("a4", "A4"), choose("letter", "Letter"));
}

function outPart() {
  return make("section", { id: "out", hidden: true, "aria-label": say("page.out") },
    make("div", { className: "row" }, button(say("page.sheet"), giveSheet, { className: "main" }), button(say("page.job_file"), giveJob), button(say("page.link"), giveLink), button(say("page.print"), () => print())),
    folded(say("page.sheet_options"), paperChoice(), make("label", {}, say("page.shop"), make("input", { className: "wide", maxLength: 200, value: state.habits.shop, autocomplete: "organization", oninput: (event) => habit("shop", event.target.value) }))));
}

// ---- the parts of the page ----

function head() {
  const tongue = (tag) => pressed(tag.toUpperCase(), tag === state.language, () => { speakIn(tag); draw(); byId(`tongue-${tag}`)?.focus(); }, { lang: tag, id: `tongue-${tag}`, "aria-label": `${tag.toUpperCase()}, ${new Intl.DisplayNames(tag, { type: "language" }).of(tag)}` });
  const unit = (inches, name) => pressed(name, state.inches === inches, () => { state.inches = inches; draw(); byId(`unit-${name}`)?.focus(); }, { id: `unit-${name}`, "aria-label": `${name}, ${say(inches ? "page.inches" : "page.millimetres")}` });
  return make("header", {}, state.view === "home" ? make("span", { className: "brand" }, "kerfmark") : button([make("span", { "aria-hidden": "true" }, "‹ "), "kerfmark"], () => go("home"), { className: "brand", "aria-label": say("page.home") }),
    make("div", { className: "settings", role: "group", "aria-label": say("page.settings") }, languages().map(tongue), unit(false, "mm"), unit(true, "in")));
}

const door = (title, text, onclick) => button([make("strong", {}, title), make("span", {}, text)], onclick);

function homePage() {
  const { kinds } = state.form;
  return [make("h1", { id: "title", tabIndex: -1 }, say("page.title")), make("p", {}, say("page.what_for")),
    state.answers.size > 0 && button(say("page.go_on", { kind: kindName(state.kind) }), () => go("job"), { className: "main" }),
    make("div", { className: "doors" }, door(say("page.door.standing.title"), say("page.door.standing.text"), () => go("standing")),
      kinds.map((kind) => door(say("page.door." + kind + ".title"), say("page.door." + kind + ".text"), () => begin(kind))),
      door(say("page.door.after.title"), say("page.door.after.text"), () => go("after"))),
    make("div", { className: "row" }, button(say("page.open"), () => pick({}))), shelfPart(),
    make("h2", {}, say("page.blanks")), make("p", {}, say("page.blanks_for")),
    make("div", { className: "row" }, kinds.map((kind) => button(kindName(kind), () => giveBlank(kind))), paperChoice()),
    make("h2", {}, say("page.cautions")), make("p", {}, say("page.ask_mechanic")), make("p", {}, say("page.nothing_leaves")),
    folded(say("page.licences"), make("pre", { tabIndex: 0 }, licences)), make("p", { className: "soft" }, `kerfmark ${state.form.version}`)];
}

// Without its file, a part that was cut is asked for from the beginning.
function afterPage() {
  return [make("h1", { id: "title", tabIndex: -1 }, say("page.door.after.title")), make("p", {}, say("page.after_how")),
    state.answers.size > 0 && button(say("page.open_now", { kind: jobName({ kind: state.kind, name: ownName() }) }), () => go("job", { stage: after }), { className: "main" }),
    make("div", { className: "row" }, button(say("page.open"), () => pick({ stage: after }), { className: "main" })),
    shelf.jobs().map((one) => button(keptName(one), () => take(one.text, { id: one.id, stage: after }))),
    make("p", {}, say("page.after_without")), make("div", { className: "row" }, state.form.kinds.map((kind) => button(kindName(kind), () => begin(kind))))];
}

const jobName = (one) => [kindName(one.kind), one.name].filter(Boolean).join(" ");
const keptName = (one) => say("page.kept", { name: jobName(one) });

function shelfPart() {
  const kept = shelf.jobs();
  const sure = () => !kept.length || confirm(say("page.sure"));
  const change = (on) => { if (!on && !sure()) { draw("keep"); return; } if (!on) shelf.switchOff(); else if (!shelf.switchOn()) tell(say("page.not_kept")); draw("keep"); };
  return make("section", { "aria-label": say("page.keep_here") }, make("label", { className: "tick" }, make("input", { id: "keep", type: "checkbox", checked: shelf.isOn(), onchange: (event) => change(event.target.checked) }), say("page.keep_here")),
    kept.map((one) => make("div", { className: "row" }, button(keptName(one), () => take(one.text, { id: one.id })), button(say("page.forget"), () => { if (confirm(say("page.sure"))) shelf.forget(one.id); draw("keep"); }, { "aria-label": say("page.forget_one", { name: jobName(one) }) }))),
    kept.length > 0 && button(say("page.forget_all"), () => change(false)));
}

function stageList() {
  const way = wayOf(state.kind);
  const at = way.findIndex((stage) => stage.word === state.stage);
  const item = (stage, name) => make("li", {}, pressed(name, stage.word === state.stage, () => toStage(stage.word), { "aria-current": stage.word === state.stage ? "step" : undefined }));
  const title = titleOf(stagesOf(state.kind).find((stage) => stage.word === state.stage));
  return [make("h1", { id: "title", tabIndex: -1 }, make("span", { className: "soft" }, at < 0 ? kindName(state.kind) : say("page.step", { number: at + 1, of: way.length })), title),
    folded(say("page.steps"), make("ol", { className: "stages" }, way.map((stage) => item(stage, titleOf(stage)))),
      make("ul", { className: "stages" }, stagesOf(state.kind).filter((stage) => !isOnTheWay(stage, state.kind)).map((stage) => item(stage, titleOf(stage)))))];
}

function bar() {
  const way = wayOf(state.kind);
  const at = way.findIndex((stage) => stage.word === state.stage);
  const show = () => { byId("result").focus({ preventScroll: true }); byId("result").scrollIntoView(); };
  const last = at < 0 || at + 1 === way.length;
  return make("div", { id: "bar" }, button([make("span", { "aria-hidden": "true" }, "‹ "), say("page.back")], once("back", () => (at > 0 ? toStage(way[at - 1].word) : go("home")))),
    button("", show, { id: "show", className: "pill" }),
    button([say(last ? "page.answer" : "page.next"), make("span", { "aria-hidden": "true" }, " ›")], once("onward", () => (last ? show() : toStage(way[at + 1].word))), { id: "onward", className: "main" }));
}

function jobPage() {
  return make("div", { className: "two" }, make("div", { id: "questions" }, stageList(), stageQuestions(state.stage, (focus) => draw(focus)), bar()),
    make("section", { id: "result", tabIndex: -1, "aria-label": say("page.answer") }, make("p", { className: "on-paper" }, [state.habits.shop, ownName()].filter(Boolean).join(" · ")), make("div", { id: "answer" }), outPart()));
}

const pages = { home: homePage, after: afterPage, job: jobPage, standing: () => standingPage({ core, tried, announce, options, giveFile }) };

function draw(focus) {
  byId("page").replaceChildren(head(), make("main", {}, ...[pages[state.view]()].flat(Infinity).filter(Boolean)));
  if (state.view === "job") {
    refresh();
    lightFirst(state.stage);
  }
  const place = byId(focus);
  const question = place?.closest(".ask");
  place?.focus({ preventScroll: Boolean(question) });
  question?.scrollIntoView({ block: "start" }); // below the drawing, which stays in sight
  if (focus === "title") scrollTo(0, 0);
}

function speakIn(language) {
  state.language = language;
  speak(language);
  state.form = core.json("form", { language });
}

function listen() {
  addEventListener("popstate", (event) => {
    const { view = "home", stage } = event.state ?? {};
    Object.assign(state, { view: view === "job" && !state.kind ? "home" : view, stage: stagesOf(state.kind).some((one) => one.word === stage) ? stage : state.stage });
    draw("title");
  });
  addEventListener("hashchange", takeLink);
  addEventListener("dragover", (event) => event.preventDefault());
  addEventListener("drop", (event) => { event.preventDefault(); openFile(event.dataTransfer.files[0], {}); });
  addEventListener("beforeunload", (event) => { if (state.dirty) event.preventDefault(); });
}

async function open() {
  await learn();
  core = await start();
  licences = await unpackedText("licences");
  globalThis.kerfmark = core; // for scripts and tests: the program itself
  performance.mark("kerfmark");
  speakIn(navigator.languages.map((own) => own.split("-")[0]).find((tag) => languages().includes(tag)) ?? languages()[0]);
  Object.assign(state.habits, shelf.habits());
  hooks.changed = refresh;
  hooks.sketch = (stage, lit) => core.text("sketch", { language: state.language, kind: state.kind, lit, keys: ownKeys().filter((one) => one.stage === stage && one.letter).map((one) => placeIn(one.path)).join() });
  draw();
  byId("too-old").hidden = true;
  listen();
  await takeLink();
}

open().catch(() => { byId("too-old").hidden = false; });
