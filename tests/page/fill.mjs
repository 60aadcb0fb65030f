// fill.mjs BROWSER PAGE SIZE FILE…: a job filled in field by field, as a person would, saves the job that the file has: the same digest
// and the same answer.
import { readFileSync } from "node:fs";
import { basename } from "node:path";
import { Checks, desktop, newPage, phone, withBrowser } from "./browser.mjs";
import { canBeTyped, fillIn, saved } from "./person.mjs";

const [browser, file, size, ...files] = process.argv.slice(2);
const checks = new Checks(`${browser}, filled in on a ${size}`);

const digestOf = (page, text) => page.evaluate((one) => JSON.parse(kerfmark.text("judge", { language: "en" }, one)).digest, text);
const jsonOf = (page, text) => page.evaluate((one) => kerfmark.text("json", { file: "" }, one), text);

await withBrowser(browser, async (started) => {
  for (const name of files) {
    const text = readFileSync(name, "utf8");
    const { page, noted } = await newPage(started, file, size === "phone" ? phone : desktop);
    try {
      if (!await canBeTyped(page, text)) continue;
      await fillIn(page, text);
      const own = await saved(page, "Save the job file");
      checks.is(await digestOf(page, own) === await digestOf(page, text), `${basename(name)}: another digest\n${own}`);
      checks.is(await jsonOf(page, own) === await jsonOf(page, text), `${basename(name)}: another answer\n${own}`);
      checks.is((await page.$eval("#digest", (one) => one.textContent)).includes(await digestOf(page, text)), `${basename(name)}: the digest that is shown`);
    } catch (trouble) {
      checks.is(false, `${basename(name)}: ${trouble.message}`);
    } finally {
      await page.close();
    }
    checks.is(noted.length === 0, `${basename(name)}: not silent: ${noted.slice(0, 5)}`);
  }
});
checks.end();
