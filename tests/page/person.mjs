// Fills in the page as a person would: keys and taps on what can be seen, one field after the other.

const byId = (page, id) => page.evaluateHandle((one) => document.getElementById(one), id);

async function tap(page, id) {
  const element = (await byId(page, id)).asElement();
  if (!element) throw new Error(`nothing to tap: ${id}`);
  await element.evaluate((one) => one.scrollIntoView({ block: "center", behavior: "instant" }));
  await element.click();
}

async function tapText(page, within, text) {
  const found = await page.evaluateHandle((scope, wanted) => [...document.querySelectorAll(`${scope} button, ${scope} summary`)].find((one) => one.textContent.includes(wanted) && one.offsetParent), within, text);
  const element = found.asElement();
  if (!element) throw new Error(`nothing says "${text}" in ${within}`);
  await element.evaluate((one) => one.scrollIntoView({ block: "center", behavior: "instant" }));
  await element.click();
}

async function type(page, id, text) {
  await tap(page, id);
  await page.evaluate((one) => document.getElementById(one).select?.(), id);
  await page.keyboard.type(text);
}

export const isShown = (page, id) => page.evaluate((one) => Boolean(document.getElementById(one)?.offsetParent), id);

// The door of a kind, by its place among the doors: the first asks about a post as it stands.
export async function enter(page, kind) {
  const at = await page.evaluate((one) => JSON.parse(kerfmark.text("form", { language: "en" })).kinds.indexOf(one), kind);
  await page.evaluate((nth) => document.querySelectorAll(".doors button")[nth].scrollIntoView({ block: "center", behavior: "instant" }), at + 1);
  await (await page.$$(".doors button"))[at + 1].click();
  await page.waitForSelector("#questions");
}

async function toStage(page, title) {
  await page.evaluate(() => { document.querySelector("#questions > details").open = true; });
  await tapText(page, ".stages", title);
}

// The way to a field that is folded away: "More that may matter", a further row.
async function uncover(page, key, path, row) {
  if (key.repeated) while (!(await page.evaluate((one) => document.getElementById(one) !== null, path))) await tap(page, `${key.table}:add`);
  if (!(await isShown(page, `${path}:ask`)) && (await isShown(page, "more"))) await tap(page, "more");
  if (!(await isShown(page, `${path}:ask`))) throw new Error(`${path} cannot be reached${row}`);
}

const inDetails = (path) => `[id="${path}:ask"] details`;

async function openDetails(page, path) {
  await page.evaluate((one) => { document.querySelector(one).open = true; }, inDetails(path));
}

async function figures(page, key, path, value) {
  const parts = value.items.map((item) => item.match(/^(.*?) ?(mm|in|kg|lb|deg)?$/).slice(1));
  const unit = parts[0]?.[1];
  if (key.sort === "rings" && !value.list) await page.evaluate((one) => document.querySelector(one).click(), `[id="${path}:ask"] .tick input`);
  if (key.sort === "rings" && value.list && !value.items.length) { await tap(page, `${path}:none`); return; }
  if (key.unknown && value.items[0] === "unknown") { await tap(page, `${path}:unknown`); return; }
  for (const [i, [text, own]] of parts.entries()) {
    const id = i ? `${path}:${i}` : path;
    const scope = `[id="${path}:ask"]`;
    if (!(await isShown(page, id))) {
      if (value.list && ["rings", "list"].includes(key.sort)) await tapText(page, scope, "One more");
      else { await openDetails(page, path); await tapText(page, scope, "Second reading"); }
    }
    await type(page, id, own === unit ? text : value.items[i]);
  }
  const shown = await page.evaluate((one) => document.getElementById(one)?.textContent, `${path}:unit`);
  if (shown && unit && unit !== shown && ["in", "lb"].includes(unit)) await tap(page, `${path}:unit`);
  if (value.with) {
    await openDetails(page, path);
    await page.select(`${inDetails(path)} select`, value.with);
  }
  if (value.within) {
    await openDetails(page, path);
    await (await page.$(`${inDetails(path)} input.figure`)).click();
    await page.keyboard.type(value.within);
  }
}

async function answer(page, key, path, value) {
  if (key.sort === "choice" || key.sort === "flag") {
    const at = key.choices.findIndex((choice) => choice.word === value.items[0].toLowerCase());
    const id = at ? `${path}:${at}` : path;
    if (await page.evaluate((one) => document.getElementById(one).getAttribute("aria-pressed"), id) !== "true") await tap(page, id);
  } else if (key.sort === "text") await type(page, path, value.items[0]);
  else if (key.sort === "instruments") await type(page, path, value.raw);
  else await figures(page, key, path, value);
}

// Spacers with several readings each stand in a file as they were written there; nobody types them.
export const canBeTyped = (page, text) => page.evaluate((one) => Object.entries(JSON.parse(kerfmark.text("fields", {}, one)).values).every(([path, value]) => value.plain || path === "measuring.instruments"), text);

// Fills in everything that the text of a job says, in the order in which the page asks. Where the page begins with an answer that the job
// leaves to its default, the default, the first of the choices, is tapped.
export async function fillIn(page, text) {
  const { form, found } = await page.evaluate((one) => ({ form: JSON.parse(kerfmark.text("form", { language: "en" })), found: JSON.parse(kerfmark.text("fields", {}, one)) }), text);
  await enter(page, found.kind);
  const keys = form.keys.filter((key) => key.kind === found.kind);
  const started = form.start[found.kind] ?? {};
  for (const path of Object.keys(started)) found.values[path] ??= { items: [keys.find((key) => key.path === path).choices[0].word] };
  for (const stage of form.stages) {
    const own = Object.entries(found.values).map(([path, value]) => ({ path, value, key: keys.find((key) => key.path === path.replace(/-\d+(?=\.)/, "")) })).filter(({ key }) => key.stage === stage.word);
    if (!own.length) continue;
    own.sort((a, b) => keys.indexOf(a.key) - keys.indexOf(b.key) || a.path.localeCompare(b.path));
    await toStage(page, stage.title[found.kind]);
    for (const { key, path, value } of own) {
      await uncover(page, key, path, text);
      await answer(page, key, path, value);
    }
  }
}

// What a button would save: the bytes as text, without a download.
export async function saved(page, label) {
  await page.evaluate(() => {
    globalThis.given = [];
    URL.createObjectURL = (blob) => { globalThis.given.push(blob); return "data:,"; };
  });
  await tapText(page, "#out", label);
  return page.evaluate(async () => globalThis.given.at(-1).text());
}

export { tap, tapText, toStage, type };
