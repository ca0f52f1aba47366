// The site after the first visit, with its server stopped: node test/browser/site_check.mjs FOLDER
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { createServer } from "node:http";
import { join, normalize } from "node:path";
import { launch } from "./open_page.mjs";

const folder = process.argv[2] ?? "build/site";
const types = { html: "text/html; charset=utf-8", js: "text/javascript" };
const server = createServer(async (request, response) => {
  const path = normalize(decodeURIComponent(new URL(request.url, "http://x").pathname));
  const name = path.endsWith("/") ? `${path}index.html` : path;
  try {
    const body = await readFile(join(folder, name));
    response.writeHead(200, { "content-type": types[name.split(".").pop()] ?? "text/plain" });
    response.end(body);
  } catch {
    response.writeHead(404);
    response.end();
  }
});
await new Promise((go) => server.listen(0, "127.0.0.1", go));
const address = `http://127.0.0.1:${server.address().port}/`;
const browser = await launch();
const tab = await (await browser.newContext()).newPage();
await tab.goto(address);
const links = await tab.locator("main a").count();
assert.ok(links >= 5, `${links} aircraft`);
await tab.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
await tab.waitForTimeout(500);
server.closeAllConnections();
await new Promise((go) => server.close(go));
await assert.rejects(fetch(address), "the server still answers");
await tab.goto(address);
await tab.locator("main a").first().click();
await tab.locator("html[data-ready=yes]").waitFor({ state: "attached" });
assert.match(await tab.locator("[role=status]").innerText(), /lost/);
await browser.close();
console.log(`the site works with its server stopped: ${links} aircraft`);
