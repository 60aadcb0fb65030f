// behave.mjs BROWSER PAGE JOBS: nothing leaves and nothing is kept unasked, files of strangers are inert, a link and a file come back as
// they went, and going back, reloading, tapping twice, pasting and a second tab lose nothing.
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { Checks, desktop, newPage, openPage, phone, withBrowser } from "./browser.mjs";
import { enter, saved, tap, tapText, type } from "./person.mjs";

const [browser, file, folder] = process.argv.slice(2);
const checks = new Checks(`${browser}, behaviour`);
const cut = readFileSync(`${folder}/1-cut-carbon-post.toml`, "utf8");

const drop = (page, text, name = "job.toml") => page.evaluate(async (one, as) => {
  dispatchEvent(Object.assign(new Event("drop", { cancelable: true }), { dataTransfer: { files: [new File([one], as)] } }));
  await new Promise((done) => setTimeout(done, 200));
}, text, name);
const digest = (page) => page.$eval("#digest", (one) => one.textContent);
const textOf = (page, selector) => page.$eval(selector, (one) => one.textContent);
const stored = (page) => page.evaluate(() => [document.cookie, Object.keys(localStorage), Object.keys(sessionStorage)].flat().filter(Boolean));

const hostile = (text) => `kind = "seatpost"\n[job]\nbike = ${JSON.stringify(text)}\nnotes = ${JSON.stringify(text)}\n[saddle]\nmeasured = "extension"\nheight = 140\n` +
  `[post]\nlength = 350\nmark = 100\ndiameter = 27.2\nmaterial = "aluminium"\n[[frame.blockage]]\nwhat = ${JSON.stringify(text.slice(0, 70))}\ndepth = 180\n`;

// A job that says something of every key, sensible or not: what is asked is only whether it comes to its field.
const samples = { length: "100", angle: "3", mass: "80", number: "2", flag: "true", text: '"a"', rings: "[10]", list: "[10]", pair: "[10, 20]", instruments: "{ tape = 1 }" };

function fullJob(kind, keys) {
  const tables = keys.reduce((all, key) => all.set(key.table, [...(all.get(key.table) ?? []), key]), new Map());
  const line = (key) => `${key.path.slice(key.table.length + 1)} = ${key.sort === "choice" ? `"${key.choices[0].word}"` : samples[key.sort]}`;
  return `kind = "${kind}"\n` + [...tables].map(([table, own]) => [own[0].repeated ? `[[${table}]]` : `[${table}]`, ...own.map(line), ""].join("\n")).join("");
}

// In the page: goes to the stage of each key, unfolds what is folded, and says what its field shows.
function lookAtEveryKey(kind, keys) {
  const form = JSON.parse(kerfmark.text("form", { language: "en" }));
  return form.stages.filter((stage) => stage.title[kind]).flatMap((stage) => {
    [...document.querySelectorAll(".stages button")].find((one) => one.textContent.includes(stage.title[kind]))?.click();
    document.getElementById("more")?.click();
    return keys.filter((key) => key.stage === stage.word).map((key) => {
      const path = key.repeated ? `${key.table}-1${key.path.slice(key.table.length)}` : key.path;
      const asks = document.getElementById(`${path}:ask`);
      const field = asks?.querySelector("input.figure, input.wide, textarea, code, [aria-pressed=true]");
      return { path, shown: Boolean(asks?.offsetParent), answer: field?.value || field?.textContent || "" };
    });
  });
}

const trials = {
  async "nothing is kept unasked"(open) {
    const { page } = await open();
    await drop(page, cut);
    checks.is((await stored(page)).length === 0, "something is stored before anybody asked");
    await page.evaluate(() => document.querySelector("button.brand").click());
    await tap(page, "keep");
    await drop(page, cut);
    checks.is((await stored(page)).length === 1, "asked to keep, and nothing is stored");
    const was = await digest(page);
    await openPage(page, file);
    await page.waitForSelector("section .row button");
    checks.is(await page.$eval("#keep", (one) => one.checked), "after a reload nothing is kept any more");
    await page.evaluate(() => document.querySelector("section .row button").click());
    checks.is(await digest(page) === was, "a job that was kept has another digest");
    await page.evaluate(() => document.querySelector("button.brand").click());
    await tap(page, "keep");
    checks.is((await stored(page)).length === 0, "switched off, and something is still stored");
  },
  async "a link comes back"(open) {
    const { page } = await open();
    await drop(page, `${cut}\n# a comment\n`);
    const was = await digest(page);
    await tapText(page, "#out", "Copy a link");
    await page.waitForFunction(() => location.hash.startsWith("#job="));
    const hash = await page.evaluate(() => location.hash);
    const other = await open(desktop, hash);
    await other.page.waitForSelector("#digest");
    checks.is(await digest(other.page) === was, "the job of a link has another digest");
    await tapText(other.page, "#questions", "All steps");
    checks.is(!(await saved(other.page, "Save the job file")).match(/owner|notes|bike|number/), "a link carries names");
    await openPage(page, file, "#job=AAAA%");
    await page.waitForSelector("#notice:not([hidden])");
    checks.is((await textOf(page, "#notice")).includes("damaged"), "a damaged link is not told");
  },
  async "a file keeps its comments and its order"(open) {
    const { page } = await open();
    const text = `# of the shop\n${cut}`;
    await drop(page, text);
    checks.is(await saved(page, "Save the job file") === text, "a file that nobody changed is saved as another");
    await tapText(page, "#questions", "All steps");
    await tapText(page, ".stages", "the saddle as it is to stand");
    await type(page, "saddle.height", "672.4");
    const changed = await saved(page, "Save the job file");
    checks.is(changed.includes("# of the shop") && /^height = \[672\.4, 673\] +# read twice$/m.test(changed), `comments are lost:\n${changed}`);
    checks.is(changed.split("\n").length === text.split("\n").length, "lines are lost");
  },
  async "files of strangers are inert"(open) {
    const nasty = ["<img src=x onerror=alert(1)><script>document.title='taken'</script>", "\u202Eecart\u202C \u2066x\u2069 \u200B", "\" onmouseover=\"alert(1)", "</text></svg><svg onload=alert(1)>", "]]>&amp;&lt;"];
    const { page, noted } = await open();
    const scripts = await page.evaluate(() => document.scripts.length);
    for (const text of nasty) {
      await drop(page, hostile(text));
      checks.is(await page.evaluate(() => document.querySelectorAll("#answer .verdict").length) === 1, `no answer to a job with ${JSON.stringify(text)}`);
      checks.is(await page.evaluate(() => [...document.querySelectorAll("*")].every((one) => one.tagName !== "IMG" && ![...one.attributes].some((own) => own.name.startsWith("on")))), `markup came alive: ${text}`);
    }
    checks.is(await page.evaluate(() => document.scripts.length) === scripts && await page.title() !== "taken", "a script came in");
    await drop(page, `kind = "seatpost"\n${"#".repeat(1000)}\n`.padEnd(2 ** 20 + 10, "#\n"));
    checks.is((await textOf(page, "#notice")).includes("too large"), "more than 1 MiB is not refused");
    await drop(page, hostile("rows") + '[[frame.blockage]]\ndepth = 200\n'.repeat(63));
    checks.is(await page.evaluate(() => document.querySelectorAll("#answer .verdict").length) === 1, "64 blockages give no answer");
    await drop(page, hostile("rows") + '[[frame.blockage]]\ndepth = 200\n'.repeat(70));
    checks.is((await textOf(page, "#answer")).includes("To put right"), "71 blockages are not refused");
    await drop(page, 'kind = "seatpost"\n[post]\nlenght = 350\nlength = 350\n');
    checks.is((await textOf(page, "#notice")).includes("post.lenght"), "an unknown key is not named");
    await drop(page, "kind = \n");
    checks.is((await textOf(page, "#notice")).includes("1:"), "no TOML, and no place is told");
    checks.is(noted.length === 0, `not silent: ${noted.slice(0, 3)}`);
  },
  async "every key of the table can be reached and comes back from a file"(open) {
    const { page } = await open(desktop);
    const form = await page.evaluate(() => JSON.parse(kerfmark.text("form", { language: "en" })));
    for (const kind of form.kinds) {
      const keys = form.keys.filter((key) => key.kind === kind && key.path !== "kind");
      await drop(page, fullJob(kind, keys));
      const unknown = await page.$eval("#notice", (one) => (one.hidden ? "" : one.textContent));
      checks.is(!unknown, `${kind}: ${unknown}`);
      const given = await page.evaluate(lookAtEveryKey, kind, keys);
      checks.is(given.length === keys.length, `${kind}: ${given.length} of ${keys.length} keys`);
      for (const { path, shown, answer } of given) checks.is(shown && answer !== "", `${kind}, ${path}: ${shown ? "its answer is not there" : "cannot be reached"}`);
    }
  },
  // The post of the README's first job, as the page asks for it: it says what the README says.
  async "an ordinary post takes at most 12 answers and 60 characters"(open) {
    const { page } = await open();
    const taken = { answers: 0, characters: 0 };
    const pick = async (id) => { await tap(page, id); taken.answers += 1; };
    const say = async (id, text) => { await type(page, id, text); taken.answers += 1; taken.characters += text.length; };
    const onward = async () => { await (await page.$("#onward")).click(); await new Promise((done) => setTimeout(done, 450)); }; // no double tap
    await enter(page, "seatpost");
    await pick("post.material:1");
    await pick("post.cutting");
    await onward();
    await say("saddle.height", "139.7");
    await onward();
    await onward(); // nothing was pushed in until it rests
    await say("frame.blockage-1.depth", "225");
    await onward();
    await say("post.length", "400");
    await say("post.mark", "100");
    checks.is((await textOf(page, "#show")).includes("1"), "the bar does not say that one answer is missing");
    await say("post.diameter", "27.2");
    const said = await textOf(page, "#answer .band");
    checks.is(said.includes("CUT") && said.includes("38 mm off the lower end; 362 mm"), `another answer than the README's: ${said}`);
    checks.is((await saved(page, "Cut sheet")).startsWith("%PDF-"), "no sheet");
    checks.is(taken.answers <= 12 && taken.characters <= 60, `${taken.answers} answers and ${taken.characters} characters`);
  },
  // Whoever left out what the tube holds, or how far the expander reaches, is shown no plain yes, and led to the question.
  async "a yes that rests on no answer says so"(open) {
    const { page } = await open();
    const unprobed = 'kind = "seatpost"\n[saddle]\nmeasured = "extension"\nheight = 215\n[post]\nlength = 400\nmark = 100\ndiameter = 27.2\nmaterial = "steel"\ncutting = "allowed"\n';
    const looks = () => page.$eval("#answer .band", (one) => [one.className.includes("yes"), [...one.querySelectorAll(".lead")].map((each) => each.textContent)]);
    await drop(page, unprobed);
    checks.is(JSON.stringify(await looks()) === '[false,["Blockage: depth","Post resting on the blockage"]]', `nobody has probed the tube: ${await looks()}`);
    await page.evaluate(() => document.querySelector("#answer .band .lead").click());
    checks.is(await page.evaluate(() => document.activeElement.id) === "frame.blockage-1.depth", "the question of the blockage is not led to");
    await drop(page, `${unprobed}[[frame.blockage]]\ndepth = 200\n`);
    checks.is(JSON.stringify(await looks()) === "[true,[]]", `the tube is probed: ${await looks()}`);
    await drop(page, unprobed.replace("steel", "carbon").replace('cutting = "allowed"\n', "") + "[[frame.blockage]]\ndepth = 150\n");
    const said = await textOf(page, "#answer");
    checks.is(said.includes("HOLD") && !said.includes("post.cutting") && said.includes("Cutting, says the maker"), "a key of the job file is named where its question should be");
  },
  async "answers are not given up unasked"(open) {
    const { page } = await open();
    page.removeAllListeners("dialog");
    let asked = 0;
    page.on("dialog", (dialog) => { asked += 1; dialog.dismiss(); });
    await enter(page, "seatpost");
    await type(page, "post.material", "");
    await page.evaluate(() => document.querySelector("button.brand").click());
    await page.evaluate(() => [...document.querySelectorAll(".doors button")].at(-1).click());
    checks.is((await textOf(page, "main")).includes("The job that is open: Seatpost"), "after the cut, the job that is open is not offered");
    await page.evaluate(() => [...document.querySelectorAll("main .row button")].at(-1).click());
    checks.is(asked === 1 && (await textOf(page, "main")).includes("The job that is open: Seatpost"), "another part is begun, and nothing was asked");
    await drop(page, cut);
    checks.is(asked === 2 && !(await textOf(page, "main")).includes("CUT"), "another file is opened, and nothing was asked");
  },
  async "a hold and a reject show no length to cut"(open) {
    const { page } = await open();
    for (const name of ["3-hold-ask-the-maker.toml", "4-reject-post-too-short.toml"]) {
      await drop(page, readFileSync(`${folder}/${name}`, "utf8"));
      const shown = await page.evaluate(() => [...document.querySelectorAll("#answer > *")].filter((one) => one.tagName !== "DETAILS").map((one) => one.textContent).join("\n"));
      checks.is(shown.length > 100 && !/cut \d|\d mm off/i.test(shown), `${name}: ${shown.match(/.*(cut \d|\d mm off).*/i)?.[0]}`);
    }
  },
  async "back, twice, pasted"(open) {
    const { page } = await open();
    await enter(page, "seatpost");
    await tap(page, "post.material:1");
    await (await page.$("#onward")).click();
    await type(page, "saddle.height", "140");
    await page.evaluate(() => history.back());
    await page.waitForFunction(() => document.getElementById("post.material:1"));
    checks.is(await page.$eval("[id='post.material:1']", (one) => one.getAttribute("aria-pressed")) === "true", "going back loses an answer");
    await page.evaluate(() => history.forward());
    await page.waitForFunction(() => document.getElementById("saddle.height"));
    checks.is(await page.$eval("[id='saddle.height']", (one) => one.value) === "140", "going forward loses an answer");
    await page.evaluate(() => { const height = document.getElementById("saddle.height"); height.focus(); height.select(); document.execCommand("insertText", false, " 141,5 "); });
    checks.is(!(await textOf(page, "#answer")).includes("To put right"), "a pasted figure with blanks and a comma is refused");
    await page.setViewport({ width: 740, height: 360 });
    checks.is(await page.$eval("[id='saddle.height']", (one) => one.value) === " 141,5 ", "turning the phone loses an answer");
    await new Promise((done) => setTimeout(done, 450)); // the last tap on it was another one
    await page.evaluate(() => { const onward = document.getElementById("onward"); for (const tapped of [0, 1].map(() => new MouseEvent("click", { bubbles: true }))) onward.dispatchEvent(tapped); });
    checks.is(await page.evaluate(() => document.querySelectorAll("#questions").length) === 1, "tapped twice, the page is there twice");
    checks.is((await textOf(page, "h1")).includes("Step 3 of 5"), "tapped twice, a step is passed over unseen");
  },
  async "a damaged page says so"(open) {
    const { page } = await open();
    const whole = readFileSync(file, "utf8");
    const at = whole.indexOf('id="core">') + 20000;
    const work = mkdtempSync(join(tmpdir(), "kerfmark-damaged-"));
    const ways = { "another letter": whole.slice(0, at) + (whole[at] === "A" ? "B" : "A") + whole.slice(at + 1), "cut off": whole.slice(0, at) };
    for (const [way, text] of Object.entries(ways)) {
      const damaged = join(work, "kerfmark.html");
      writeFileSync(damaged, text);
      await page.goto(pathToFileURL(damaged).href);
      await page.waitForSelector("#too-old:not([hidden])", { timeout: 20000 }).catch(() => {});
      checks.is((await page.$eval("#too-old", (one) => one.innerText)).includes("damaged"), `${way}: nothing is said`);
    }
    rmSync(work, { recursive: true });
  },
  async "two tabs"(open) {
    const [one, two] = [await open(), await open()];
    await one.page.bringToFront();
    await tap(one.page, "keep");
    await drop(one.page, cut);
    await two.page.bringToFront();
    await drop(two.page, cut.replace(/^number = .*$/m, 'number = "other"'));
    const kept = await two.page.evaluate(() => Object.keys(JSON.parse(localStorage.getItem("kerfmark")).jobs).length);
    checks.is(kept === 2, `two tabs keep ${kept} jobs`);
    await one.page.evaluate(() => localStorage.clear());
  },
  async "keyboard alone"(open) {
    const { page } = await open(desktop);
    const seen = [];
    for (let i = 0; i < 60; ++i) {
      await page.keyboard.press("Tab");
      const at = await page.evaluate(() => { const one = document.activeElement; return one === document.body ? "" : one.id || one.textContent.slice(0, 40); });
      if (!at || seen.includes(at)) break;
      seen.push(at);
    }
    const all = await page.evaluate(() => [...document.querySelectorAll("button, summary, input, pre")].filter((one) => one.offsetParent).length);
    checks.is(seen.length >= all - 1, `the tab key reaches ${seen.length} of ${all}`);
    await enter(page, "seatpost");
    checks.is(await page.evaluate(() => document.activeElement.id) === "title", "a door leads to no heading");
    checks.is((await textOf(page, "#live")).length > 0, "the live region says nothing");
  },
};

await withBrowser(browser, async (started) => {
  for (const [name, trial] of Object.entries(trials)) {
    const pages = [];
    const open = async (size = phone, hash = "") => { const one = await newPage(started, file, size, hash); pages.push(one); return one; };
    try { await trial(open); } catch (trouble) { checks.is(false, `${name}: ${trouble.stack}`); }
    for (const { page } of pages) await page.close();
  }
});
checks.end();
