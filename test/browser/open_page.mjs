// What the browser tests share: Chromium from Debian, a page opened from the disk, and a watch on
// everything that mustn't happen.
import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { readFileSync, mkdtempSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

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
  const { stdout, status } = spawnSync(program, args, { encoding: "utf8", maxBuffer: 1 << 26 });
  assert.ok(status === 0 || status === 1, `${args.join(" ")} ends with ${status}`);
  return stdout;
}

export async function launch() {
  return chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox"] });
}

/** Waits for the bench, and for the long lists that come beside it in the first pause. */
export async function rested(tab) {
  await tab.locator("html[data-ready=yes]").waitFor({ state: "attached" });
  await tab.evaluate(() => new Promise((done) => requestIdleCallback(() => done())));
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
  if (options.javaScriptEnabled !== false) await rested(tab);
  return { tab, context, wrong };
}

/**
 * axe-core runs in a world of its own, which the page's policy doesn't bind: the rules of WCAG on
 * the whole page, or all its rules within one element.
 */
export async function accessible(tab, where, within = null) {
  const session = await tab.context().newCDPSession(tab);
  const { frameTree } = await session.send("Page.getFrameTree");
  const { executionContextId } = await session.send("Page.createIsolatedWorld", {
    frameId: frameTree.frame.id,
  });
  const run = (expression, awaitPromise = false) =>
    session.send("Runtime.evaluate", {
      expression,
      contextId: executionContextId,
      awaitPromise,
      returnByValue: true,
    });
  await run(axe);
  const rules = '["wcag2a","wcag2aa","wcag21a","wcag21aa","wcag22aa"]';
  const on = within
    ? `document.querySelector(${JSON.stringify(within)})`
    : `document, {runOnly: ${rules}}`;
  const { result } = await run(
    `axe.run(${on}).then((r) => r.violations.map((v) => v.id + ": " +
      v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160) + " " +
        n.any.concat(n.all).map((a) => a.message).join("; ").slice(0, 200)).join(" | ")))`,
    true,
  );
  assert.deepEqual(result.value, [], `axe-core, ${where}`);
  await session.detach();
}
