// What the browser tests share: Chromium from Debian, a page opened from the disk, and a watch on
// everything that mustn't happen.
import { execFileSync } from "node:child_process";
import { mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

export const program = process.env.DEADBUS ?? "build/deadbus";
export const scratch = mkdtempSync(join(tmpdir(), "deadbus-page-"));

export function makePage(file, name, ...options) {
  const page = join(scratch, name);
  execFileSync(program, ["page", file, "-o", page, ...options], { stdio: "pipe" });
  return page;
}

/** The command line's answer to a question in JSON. */
export function askProgram(file, question) {
  const args = ["ask", file, "--question", JSON.stringify(question)];
  return execFileSync(program, args, { encoding: "utf8", maxBuffer: 1 << 26 });
}

export async function launch() {
  return chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox"] });
}

/** Opens a page and collects requests, policy violations and errors beside it. */
export async function open(browser, page, { hash = "", ...options } = {}) {
  const context = await browser.newContext({
    viewport: { width: 1280, height: 800 },
    reducedMotion: "reduce",
    ...options,
  });
  const wrong = [];
  const tab = await context.newPage();
  const address = pathToFileURL(resolve(page)).href;
  tab.on("request", (r) => {
    const url = r.url();
    if (!url.startsWith(address) && !url.startsWith("data:")) wrong.push(`request: ${url}`);
  });
  tab.on("console", (m) => ["error", "warning"].includes(m.type()) && wrong.push(m.text()));
  tab.on("pageerror", (e) => wrong.push(String(e)));
  await tab.addInitScript(() =>
    document.addEventListener("securitypolicyviolation", (e) =>
      console.error(`policy: ${e.violatedDirective} ${e.blockedURI}`),
    ),
  );
  await tab.goto(address + hash);
  if (options.javaScriptEnabled !== false)
    await tab.locator("html[data-ready=yes]").waitFor({ state: "attached" });
  return { tab, context, wrong };
}
