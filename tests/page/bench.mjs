// bench.mjs PAGE JOB: bytes, start, first answer, an answer to a keystroke, a sheet, memory, in both browsers. Figures are for people; nothing
// is asserted.
import { readFileSync, statSync } from "node:fs";
import { desktop, newPage, withBrowser } from "./browser.mjs";

const [file, job] = process.argv.slice(2);
const text = readFileSync(job, "utf8");
console.log(`page: ${statSync(file).size} bytes`);

for (const name of ["chromium", "firefox"]) {
  await withBrowser(name, async (started) => {
    const { page } = await newPage(started, file, desktop);
    const figures = await page.evaluate(async (one) => {
      const middle = (work, times) => {
        const spans = Array.from({ length: times }, () => { const from = performance.now(); work(); return performance.now() - from; });
        return spans.sort((a, b) => a - b)[times >> 1].toFixed(1);
      };
      const begun = performance.getEntriesByName("kerfmark")[0]?.startTime.toFixed(0);
      const first = middle(() => kerfmark.text("judge", { language: "en" }, one), 1);
      dispatchEvent(Object.assign(new Event("drop", { cancelable: true }), { dataTransfer: { files: [new File([one], "job.toml")] } }));
      await new Promise((done) => setTimeout(done, 500));
      const field = document.querySelector("#questions input.figure");
      const values = [`${field.value}.5`, field.value];
      const key = middle(() => { field.value = values.reverse()[0]; field.dispatchEvent(new Event("input", { bubbles: true })); }, 21);
      const sheet = middle(() => kerfmark.bytes("sheet", { language: "en", paper: "a4" }, one), 11);
      return { begun, first, key, sheet, memory: performance.memory?.usedJSHeapSize };
    }, text);
    console.log(`${name}: start ${figures.begun} ms, first answer ${figures.first} ms, keystroke to verdict ${figures.key} ms, sheet ${figures.sheet} ms` +
      (figures.memory ? `, ${(figures.memory / 2 ** 20).toFixed(0)} MiB of scripts` : ""));
  });
}
