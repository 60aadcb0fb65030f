// A real browser with the page open from its file, offline, and with every request and console message noted.
import { pathToFileURL } from "node:url";
import puppeteer from "puppeteer-core";
import * as webkit from "./webkit.mjs";

const browsers = {
  chromium: { browser: "chrome", executablePath: "/usr/bin/chromium", args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync", "--lang=en-GB"] },
  firefox: { browser: "firefox", executablePath: "/usr/bin/firefox-esr", extraPrefsFirefox: { "intl.accept_languages": "en-GB, en" } },
};

export const phone = { width: 360, height: 740 };
export const desktop = { width: 1280, height: 800 };

export const openPage = async (page, file, hash = "") => {
  await page.goto(pathToFileURL(file).href + hash);
  await page.waitForSelector("main", { timeout: 60000 });
};

export async function withBrowser(name, work) {
  const browser = await (name === "webkit" ? webkit.launch() : puppeteer.launch({ ...browsers[name], headless: true, protocolTimeout: 60000 }));
  try {
    return await work(browser);
  } finally {
    await browser.close();
  }
}

// A page of its own, and what it did that it must not do.
export async function newPage(browser, file, size, hash = "") {
  const page = await browser.newPage();
  const noted = [];
  page.on("console", (message) => noted.push(`console: ${message.text()}`));
  page.on("pageerror", (error) => noted.push(`error: ${error.message}`));
  page.on("request", (request) => { if (!/^(file|data|blob):/.test(request.url())) noted.push(`request: ${request.url()}`); });
  page.on("dialog", (dialog) => dialog.accept());
  await page.setViewport(size);
  await openPage(page, file, hash);
  return { page, noted };
}

// Counts what is checked, says what failed, and ends the process with the answer.
export class Checks {
  constructor(name) { Object.assign(this, { name, done: 0, failed: 0 }); }
  is(right, what) {
    this.done += 1;
    if (right) return;
    this.failed += 1;
    console.log(`FAILED ${what}`);
  }
  end() {
    console.log(`${this.name}: ${this.done} checks, ${this.failed} failed`);
    process.exitCode = this.failed || !this.done ? 1 : 0;
  }
}
