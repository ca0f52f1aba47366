// The page in Firefox ESR, by WebDriver BiDi: opened from the disk, operated by mouse and keyboard,
// its answers the command line's.
import assert from "node:assert/strict";
import { pathToFileURL } from "node:url";
import puppeteer from "puppeteer-core";
import { askProgram, makePage } from "./open_page.mjs";

const bowline = "aircraft/bowline.yaml";
const page = makePage(bowline, "firefox.html");
const browser = await puppeteer.launch({
  browser: "firefox",
  executablePath: "/usr/bin/firefox-esr",
  headless: true,
});
const wrong = [];
try {
  const tab = await browser.newPage();
  tab.on("console", (m) => ["error"].includes(m.type()) && wrong.push(m.text()));
  tab.on("pageerror", (e) => wrong.push(String(e)));
  await tab.setViewport({ width: 1280, height: 800 });
  await tab.goto(`${pathToFileURL(page).href}#phase=cruise`);
  const look = (selector, what) =>
    tab.$eval(selector, (node, name) => node.getAttribute(name) ?? node[name], what);
  for (let i = 0; i < 100 && (await look("html", "data-ready")) !== "yes"; i++)
    await new Promise((go) => setTimeout(go, 100));
  assert.equal(await look("html", "data-ready"), "yes");

  const question = { ask: "state", phase: "approach", fail: ["alternator=dead"] };
  const inside = await tab.evaluate((q) => window.deadbus.ask(JSON.stringify(q)), question);
  assert.equal(inside, askProgram(bowline, question));

  const feeder = 'rect.spot[data-part="radio-2-feeder"][tabindex]';
  const out = JSON.parse(
    askProgram(bowline, { ask: "state", phase: "cruise", set: { "radio-2-feeder": "out" } }),
  ).answer;
  await tab.click(feeder);
  assert.equal(await look(feeder, "aria-checked"), "false", "mouse");
  assert.equal(await look("[role=status]", "innerText"), out.sentence);
  await tab.$eval(feeder, (node) => node.focus());
  await tab.keyboard.press("Enter");
  assert.equal(await look(feeder, "aria-checked"), "true", "keyboard");
  assert.deepEqual(wrong, []);
  console.log("Firefox ESR: the same answers, by mouse and keyboard");
} finally {
  await browser.close();
}
