// access.mjs BROWSER PAGE JOBS [PICTURES]: every state, in both languages and both schemes, without a violation that axe-core knows; nothing
// wider than the screen at 320 px; every target 44 px. With a folder PICTURES, a picture of each.
import { mkdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { Checks, desktop, newPage, phone, withBrowser } from "./browser.mjs";
import { states } from "./states.mjs";

const [browser, file, folder, pictures] = process.argv.slice(2);
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const checks = new Checks(`${browser}, for everyone`);
if (pictures) mkdirSync(pictures, { recursive: true });

// A name within a sentence is as high as its line (WCAG 2.2, 2.5.8: inline).
const tooSmall = () => [...document.querySelectorAll("button, summary, select, input, textarea")].filter((one) => one.offsetParent && !one.closest(".tick, .within"))
  .filter((one) => { const { width, height } = one.getBoundingClientRect(); return width < 43.5 || height < 43.5; }).map((one) => one.outerHTML.slice(0, 120));

// Of targets, axe-core wants 24 px also where the bar at the foot happens to cover a part of them until the page is scrolled on: 44 px are
// asked of each here.
async function look(page, what, language, width) {
  await page.evaluate(axe);
  const found = await page.evaluate(() => axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"], rules: { "target-size": { enabled: false } } }));
  for (const one of found.violations) checks.is(false, `${what}, ${language}: ${one.id}: ${one.help}\n  ${one.nodes.slice(0, 3).map((node) => `${node.html.slice(0, 200)} ${node.failureSummary}`).join("\n  ")}`);
  checks.is(found.passes.length > 0, `${what}: axe looked at nothing`);
  const small = await page.evaluate(tooSmall);
  checks.is(small.length === 0, `${what}, ${language}: smaller than 44 px: ${small.slice(0, 3)}`);
  await page.setViewport({ width: 320, height: 740 });
  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
  checks.is(wide <= 320, `${what}, ${language}: ${wide} px wide on a screen of 320`);
  await page.setViewport(width);
}

await withBrowser(browser, async (started) => {
  for (const language of ["en", "de"]) {
    for (const [name, reach] of states(folder)) {
      const { page, noted } = await newPage(started, file, phone);
      await page.emulateMediaFeatures([{ name: "prefers-color-scheme", value: language === "de" ? "dark" : "light" }, { name: "prefers-reduced-motion", value: "reduce" }]).catch(() => {});
      await page.evaluate((tag) => document.getElementById(`tongue-${tag}`).click(), language);
      await reach(page, async (what) => {
        await look(page, what, language, phone);
        if (!pictures) return;
        const as = `${pictures}/${what.replace(/\W+/g, "-")}-${language}`;
        await page.screenshot({ path: `${as}-phone.png`, fullPage: true });
        await page.setViewport(desktop);
        await page.screenshot({ path: `${as}-desktop.png`, fullPage: false });
        await page.setViewport(phone);
      });
      checks.is(noted.length === 0, `${name}: not silent: ${noted.slice(0, 3)}`);
      await page.close();
    }
  }
});
checks.end();
