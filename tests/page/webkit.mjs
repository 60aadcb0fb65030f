// WebKitGTK through its own driver (W3C WebDriver), with the few calls of a page that same_answers.mjs makes. Requests and console
// messages are not seen through it; Chromium and Firefox are asked for those. Run under xvfb-run: WebKitGTK has no headless mode.
import { spawn } from "node:child_process";
import { setTimeout as pause } from "node:timers/promises";

const port = 4000 + (process.pid % 2000);
const address = `http://127.0.0.1:${port}`;

async function call(method, path, body) {
  const reply = await fetch(address + path, { method, body: body && JSON.stringify(body), headers: { "Content-Type": "application/json" } });
  const { value } = await reply.json();
  if (!reply.ok) throw new Error(`WebKit: ${value.error}: ${value.message}`);
  return value;
}

async function untilReady(left = 100) {
  try {
    await call("GET", "/status");
  } catch (trouble) {
    if (!left) throw trouble;
    await pause(100);
    await untilReady(left - 1);
  }
}

class Page {
  constructor(session) { this.at = `/session/${session}`; }
  on() {}
  async setViewport(size) { await call("POST", `${this.at}/window/rect`, size); }
  async goto(url) { await call("POST", `${this.at}/url`, { url }); }
  async evaluate(work, ...given) { return call("POST", `${this.at}/execute/sync`, { script: `return (${work}).apply(null, arguments)`, args: given }); }
  async waitForSelector(selector, { timeout }) {
    for (const end = Date.now() + timeout; !(await this.evaluate((one) => document.querySelector(one) !== null, selector)); await pause(50)) {
      if (Date.now() > end) throw new Error(`WebKit: no ${selector}`);
    }
  }
}

export async function launch() {
  const driver = spawn("WebKitWebDriver", [`--port=${port}`], { stdio: "ignore" });
  await untilReady();
  const { sessionId } = await call("POST", "/session", { capabilities: {} });
  return {
    newPage: async () => new Page(sessionId),
    close: async () => { await call("DELETE", `/session/${sessionId}`); driver.kill(); },
  };
}
