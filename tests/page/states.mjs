// The states of the page that tests go through, each with how it is reached from a page just opened.
import { readFileSync } from "node:fs";
import { enter, tap, toStage, type } from "./person.mjs";

const opened = (text) => async (page) => {
  const input = await page.$("#picker");
  await page.evaluate(() => { document.getElementById("picker").onchange = null; });
  await page.evaluate((one) => dispatchEvent(Object.assign(new Event("drop", { cancelable: true }), { dataTransfer: { files: [new File([one], "job.toml")] } })), text);
  await page.waitForSelector("#answer .verdict");
  await input?.dispose();
};

export function states(folder) {
  const job = (name) => opened(readFileSync(`${folder}/${name}`, "utf8"));
  const stages = (kind) => async (page, visit) => {
    await enter(page, kind);
    const titles = await page.evaluate((one) => JSON.parse(kerfmark.text("form", { language: document.documentElement.lang })).stages.map((stage) => stage.title[one]).filter(Boolean), kind);
    for (const title of titles) {
      if (!await page.evaluate((one) => [...document.querySelectorAll(".stages button")].some((button) => button.textContent.includes(one)), title)) continue;
      await toStage(page, title);
      await page.evaluate(() => { const more = document.getElementById("more"); if (!more.hidden) more.click(); for (const details of document.querySelectorAll(".ask details")) details.open = true; });
      await visit(`${kind}, ${title}`);
    }
  };
  return [
    ["start", async (page, visit) => visit("start")],
    ["standing", async (page, visit) => {
      await (await page.$$(".doors button"))[0].click();
      await visit("standing, nothing said");
      await tap(page, "standing.line:hidden");
      await type(page, "standing.inserted", "120");
      await type(page, "standing.mark", "80");
      await visit("standing, checked");
      await tap(page, "standing.line:above");
      await visit("standing, line above");
    }],
    ["after", async (page, visit) => { await page.evaluate(() => [...document.querySelectorAll(".doors button")].at(-1).click()); await visit("after"); }],
    ["seatpost", stages("seatpost")],
    ["steerer", stages("steerer")],
    ["cut", async (page, visit) => { await job("1-cut-carbon-post.toml")(page); await page.evaluate(() => { for (const details of document.querySelectorAll("#result details")) details.open = true; }); await visit("cut"); }],
    ["hold", async (page, visit) => { await job("3-hold-ask-the-maker.toml")(page); await visit("hold"); }],
    ["reject", async (page, visit) => { await job("4-reject-post-too-short.toml")(page); await visit("reject"); }],
    ["unfit", async (page, visit) => { await job("8-after-the-cut-unfit.toml")(page); await visit("unfit"); }],
    ["wrong", async (page, visit) => { await opened('kind = "seatpost"\n[saddle]\nheight = 5000\n[post]\nlength = 31/2\n')(page).catch(() => {}); await visit("wrong file"); }],
    ["findings", async (page, visit) => { await opened('kind = "seatpost"\n[saddle]\nmeasured = "extension"\nheight = 5000\n[post]\nlength = "31/2 in"\n')(page); await visit("findings"); }],
  ];
}
