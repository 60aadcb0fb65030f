// same_answers.mjs BROWSER PAGE PROGRAM FOLDER…: every job of the folders gives the JSON and the sheet that the program gives, byte for
// byte; a wrong one the same findings.
import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, join } from "node:path";
import { Checks, desktop, newPage, withBrowser } from "./browser.mjs";

const [browser, file, program, ...folders] = process.argv.slice(2);
const jobs = folders.flatMap((folder) => readdirSync(folder).filter((name) => name.endsWith(".toml")).sort().map((name) => ({ folder, name })));
const work = mkdtempSync(join(tmpdir(), "kerfmark-page-"));
const checks = new Checks(`${browser}, same answers`);

function native({ folder, name }) {
  const json = spawnSync(program, ["plan", "--json", name], { cwd: folder, encoding: "utf8" }).stdout.trimEnd();
  if (JSON.parse(json).findings) return { json, pdf: "" };
  const pdf = join(work, `${basename(name)}.pdf`);
  spawnSync(program, ["plan", join(folder, name), "--quiet", "--sheet", pdf]);
  return { json, pdf: readFileSync(pdf).toString("base64") };
}

const ofPage = (text, shown, wantsSheet) => {
  const bytes = wantsSheet ? kerfmark.bytes("sheet", { paper: "a4", language: "en" }, text) : new Uint8Array();
  let binary = "";
  for (let i = 0; i < bytes.length; i += 4096) binary += String.fromCharCode(...bytes.subarray(i, i + 4096));
  return { json: kerfmark.text("json", { file: shown }, text), pdf: btoa(binary) };
};

// Posts as they stand, around the bounds: what is in by itself, or as length less what shows.
const standing = [];
for (const line of ["above", "hidden", "none"]) {
  for (const measured of [{ inserted: "120" }, { inserted: "80.4" }, { length: "13 3/4 in", exposed: "250" }]) {
    for (const known of [{}, { mark: "80" }, { minimum: "119", diameter: "27.2" }, { mark: "100", minimum: "3 1/4 in", diameter: "31.6", with: "tape" }]) {
      if (line !== "none" || !known.mark) standing.push({ line, ...measured, ...known });
    }
  }
}

const insertion = (said) => spawnSync(program, ["insertion", "--json", ...Object.entries(said).flatMap(([name, value]) => [`--${name}`, value])], { encoding: "utf8" }).stdout.trimEnd();

try {
  await withBrowser(browser, async (started) => {
    const { page, noted } = await newPage(started, file, desktop);
    for (const job of jobs) {
      const wanted = native(job);
      const got = await page.evaluate(ofPage, readFileSync(join(job.folder, job.name), "utf8"), job.name, wanted.pdf !== "");
      checks.is(got.json === wanted.json, `${job.name}: another JSON\n  program ${wanted.json}\n  page    ${got.json}`);
      checks.is(got.pdf === wanted.pdf, `${job.name}: another sheet`);
    }
    for (const said of standing) {
      const got = await page.evaluate((one) => JSON.parse(kerfmark.text("standing", one)).json, said);
      checks.is(got === insertion(said), `${JSON.stringify(said)}: another JSON\n  program ${insertion(said)}\n  page    ${got}`);
    }
    checks.is(noted.length === 0, `not silent: ${noted.slice(0, 5)}`);
  });
} finally {
  rmSync(work, { recursive: true });
}
checks.end();
