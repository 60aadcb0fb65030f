// A post as it stands: is enough of it in the frame?
import { answerBand, band, cautionsPart, figuresPart, limitsPart, picture } from "./answer.js";
import { button, byId, make, pressed } from "./dom.js";
import { figureText } from "./job_text.js";
import { state } from "./state.js";
import { say } from "./words.js";

const post = state.standing; // { line, way, with, and the figures by name, each { text, unit } }

function asked() {
  if (!post.line || post.line === "above") return [];
  const measured = post.way === "exposed" ? ["length", "exposed"] : ["inserted"];
  return [...measured, ...(post.line === "hidden" ? ["mark"] : []), "minimum", "diameter"];
}

function options() {
  const figures = asked().map((name) => [name, figureText(post[name]?.text ?? "", "length", post[name]?.unit)]);
  return { language: state.language, ...Object.fromEntries(figures), line: post.line ?? "", with: post.with };
}

function entry(name, changed) {
  const unit = () => post[name]?.unit ?? (state.inches ? "in" : "mm");
  const input = make("input", { id: `standing.${name}`, className: "figure", value: post[name]?.text ?? "", inputMode: unit() === "in" ? "text" : "decimal", autocomplete: "off",
    "aria-describedby": `standing.${name}:how standing.${name}:wrong`, oninput: () => { post[name] = { text: input.value, unit: unit() }; changed(); } });
  const toggle = button(unit(), () => { post[name] = { text: input.value, unit: unit() === "mm" ? "in" : "mm" }; toggle.textContent = unit(); input.inputMode = unit() === "in" ? "text" : "decimal"; changed(); },
    { className: "unit", "aria-label": say("page.unit", { unit: unit() }) });
  return make("div", { className: "ask" }, make("label", { className: "label", htmlFor: `standing.${name}` }, say("page.standing." + name)),
    make("p", { id: `standing.${name}:how`, className: "soft" }, say("page.standing." + name + "_how")), make("div", { className: "entries" }, make("span", { className: "entry" }, input, toggle)),
    make("p", { id: `standing.${name}:wrong`, className: "wrong", hidden: true }));
}

function choice(title, how, name, words, redraw) {
  return make("div", { className: "ask" }, make("span", { className: "label", id: `standing.${name}:label` }, title), how && make("p", { className: "soft" }, how),
    make("div", { className: "row choice", role: "group", "aria-labelledby": `standing.${name}:label` }, words.map(([word, text]) =>
      pressed(text, post[name] === word, () => { post[name] = word; redraw(`standing.${name}:${word}`); }, { id: `standing.${name}:${word}` }))));
}

function instrument(changed) {
  const lengths = state.form.instruments.filter((one) => one.sort === "length");
  return make("label", { className: "ask" }, make("span", { className: "label" }, say("page.standing.with")), " ", make("select", { onchange: (event) => { post.with = event.target.value; changed(); } },
    lengths.map((one) => make("option", { value: one.name, selected: one.name === post.with }, `${one.label}, ±${one.within}`))));
}

function said(answer, shell) {
  const { says } = answer;
  const mood = answer.verdict === "keep" && !post.diameter?.text.trim() ? "wait" : undefined;
  return [mood ? band(mood, says.verdict, says.headline, says.action, `${say("page.not_answered")} ${say("page.standing.diameter")}`) : answerBand(answer.verdict, says.verdict, says.headline, says.action), picture(answer.svg), figuresPart(says.figures), limitsPart(says), says.how && make("p", {}, says.how), cautionsPart(says.cautions),
    make("p", { className: "soft" }, `kerfmark ${state.form.version}`),
    make("div", { className: "row", id: "out" }, button(say("page.standing.sheet"), () => shell.tried(() => shell.giveFile(shell.core.bytes("standing sheet", { ...shell.options(), ...options() }), "seatpost-check.pdf", "application/pdf")), { className: "main" }))];
}

// Which of the two measures of what is inside is asked for, only the page knows.
const ways = (name) => (name === "inserted" && post.way === "exposed" ? ["length", "exposed"] : [name]);

function lacking(answer) {
  const missing = answer.missing.flatMap(ways);
  const wrong = Object.keys(answer.wrong).length + (answer.too_much_shows ? 1 : 0);
  return band(wrong ? "no" : "open", wrong ? say("page.findings", { count: wrong }) : say("page.not_yet", { count: missing.length }),
    ...missing.map((name) => say("page.standing." + name)));
}

export function standingPage(shell) {
  const place = make("section", { id: "result", tabIndex: -1, "aria-label": say("page.answer") });
  const questions = make("div", { id: "questions" });
  function changed() {
    const answer = shell.tried(() => shell.core.json("standing", options()));
    if (!answer) return;
    for (const name of asked()) {
      const wrong = byId(`standing.${name}:wrong`);
      if (!wrong) continue;
      wrong.textContent = answer.wrong[name] ?? (name === "exposed" && answer.too_much_shows ? say("page.standing.too_much_shows") : "");
      wrong.hidden = !wrong.textContent;
      byId(`standing.${name}`).toggleAttribute("aria-invalid", !wrong.hidden);
    }
    place.replaceChildren(...[answer.verdict ? said(answer, shell) : lacking(answer)].flat(Infinity).filter(Boolean));
    shell.announce(answer.verdict ? answer.says.verdict : place.querySelector(".verdict").textContent);
  }
  function redraw(focus) {
    const lines = state.form.lines_seen.map((word) => [word, say("page.standing." + word)]);
    const measured = [["inserted", say("page.standing.by_inserted")], ["exposed", say("page.standing.by_exposed")]];
    post.way ??= "inserted";
    questions.replaceChildren(...[make("h1", { id: "title", tabIndex: -1 }, say("page.door.standing.title")), choice(say("page.standing.line"), say("page.standing.line_how"), "line", lines, redraw),
      asked().length > 0 && choice(say("page.standing.way"), undefined, "way", measured, redraw), asked().map((name) => entry(name, changed)), asked().length > 0 && instrument(changed)].flat().filter(Boolean));
    changed();
    byId(focus)?.focus();
  }
  redraw();
  return [make("div", { className: "two" }, questions, place)];
}
