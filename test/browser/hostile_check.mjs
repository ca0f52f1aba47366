// Names as no one should write them: 10,000 letters, markup, quotes, marks that turn the text
// round; in every place of a file that takes words. In the page they are text, and nothing gives
// way: node test/browser/hostile_check.mjs [FOLDER for pictures]
import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { launch, makePage, open, scratch } from "./open_page.mjs";

const markup =
  `</script><img src=x onerror=alert(1)>` + `<svg onload=alert(2)>"'&amp;</title></textarea>`;
const kinds = {
  markup: (n) => `${n} ${markup} \u202e\u2067\u200f`,
  long: (n) => `${n} ${"W".repeat(10_000)}`,
  words: (n) => `${n} ${"word ".repeat(2000)}end`,
  both: (n) => `${n}${markup}\u202e${"W".repeat(10_000)}`,
};

/** A small aeroplane whose every word is one of those. */
function aeroplane(odd) {
  let count = 0;
  const word = () => JSON.stringify(odd(`N${++count}`));
  return `deadbus: 1
aircraft: {name: ${word()}, tail: ${word()}, nominal: 28 V, note: ${word()}}
papers: {equipment-list: 2026-02-11, certified-under: ${word()}}
parts:
  battery:    {battery: 24 V, capacity: 10 Ah at 1 h, label: ${word()}, note: ${word()}}
  contactor:  {contactor: continuous, from: battery, to: main, coil-from: battery, coil-to: master}
  master:     {switch: ${word()}, to: ground, place: panel no 1}
  main:       {bus: ${word()}}
  second:     {bus: ${word()}}
  feeder:     {breaker: 20 A, from: main, to: second, label: ${word()}, place: row 1 no 1}
  alternator: {alternator: 60 A, to: main, field-from: field, turned-by: engine, label: ${word()}}
  field:      {breaker: 5 A, from: main, label: ${word()}, place: row 1 no 2, handbook: ${word()}}
  radio:
    {radio: 1 A, from: second, breaker: 5 A COM, gives: talk, label: ${word()}, note: ${word()}}
  lamp:       {lamp: 50 W, from: second, breaker: 10 A LAND, switch: ${word()}, gives: light}
  engine:     {engine: four, label: ${word()}}
seen:
  volts:      {voltmeter: 20 to 32 V, reads: main, label: ${word()}}
  amps:
    {ammeter: center-zero, reads: contactor, scale: 60 A, right: towards battery, label: ${word()}}
  warning:    {light: low-volts, lit-when: main below 25 V, from: main, label: ${word()}}
phases:
  cruise:     {engine: 2400 rpm, airborne: yes, on: [master, lamp.switch]}
`;
}

const browser = await launch();
const nav = (tab, name) =>
  tab.locator("nav[aria-label=Views]").getByRole("button", { name, exact: true }).click();
const ahead = "#phase=cruise";

/** Nothing became an element, nothing is wider than the screen, the work isn't pushed away. */
async function stands(tab, where, width) {
  const found = await tab.evaluate(() => ({
    made: document.querySelectorAll("img, iframe, #app svg[onload], #app script").length,
    wide: document.documentElement.scrollWidth,
    work: document.querySelector(".body").getBoundingClientRect().top + scrollY,
    tall: document.documentElement.scrollHeight,
  }));
  assert.equal(found.made, 0, `${where}: text became an element`);
  assert.ok(found.wide <= width, `${where}: ${found.wide} wide`);
  assert.ok(found.work <= 1000, `${where}: the view begins ${found.work} px down`);
  assert.ok(found.tall <= 30_000, `${where}: ${found.tall} px tall`);
}

async function check(kind, width) {
  const text = aeroplane(kinds[kind]);
  const file = join(scratch, `hostile-${kind}.yaml`);
  writeFileSync(file, text);
  const page = makePage(file, `hostile-${kind}.html`, "--instructor");
  const folder = process.argv[2];
  const size = { viewport: { width, height: 800 }, hasTouch: width < 500 };
  const { tab, context, wrong } = await open(browser, page, { hash: ahead, ...size });
  const name = kinds[kind]("N1");
  const shows = async (selector, words) =>
    assert.ok((await tab.locator(selector).allTextContents()).some((t) => t.includes(words)));
  await shows("h1", name.trimEnd());
  for (const one of ["Bench", "Breakers", "Failures", "Print", "File"]) {
    await nav(tab, one);
    if (one === "Failures") await tab.getByText("single failures in").waitFor();
    await stands(tab, `${kind}, ${one} at ${width}`, width);
    if (folder) await tab.screenshot({ path: `${folder}/hostile-${kind}-${one}-${width}.png` });
  }
  await nav(tab, "Bench");
  await tab.locator("rect.spot[data-part='feeder'][tabindex]").click({ force: true });
  await stands(tab, `${kind}, pulled at ${width}`, width);
  await tab.getByRole("switch", { name: "Predict first" }).click();
  await tab.locator("rect.spot[data-part='feeder'][tabindex]").click({ force: true });
  await stands(tab, `${kind}, predicting at ${width}`, width);
  if (folder) await tab.screenshot({ path: `${folder}/hostile-${kind}-predict-${width}.png` });
  await tab.getByRole("button", { name: "3 sure" }).click();
  await tab.getByRole("button", { name: "Commit and see" }).click();
  await stands(tab, `${kind}, revealed at ${width}`, width);
  await tab.getByRole("button", { name: "Go on" }).click();
  await tab.evaluate(() => (location.hash = "#phase=cruise&fail=radio:open"));
  await tab.getByText("Hand this out").click();
  const link = await tab.getByRole("link", { name: "Try it" }).getAttribute("href");
  await tab.evaluate((to) => (location.hash = to), link);
  await tab.getByText("Name the failure").waitFor();
  await stands(tab, `${kind}, hidden at ${width}`, width);
  if (folder) await tab.screenshot({ path: `${folder}/hostile-${kind}-hidden-${width}.png` });
  assert.deepEqual(wrong, []);
  await context.close();

  const plain = await open(browser, page, { javaScriptEnabled: false, ...size });
  assert.ok((await plain.tab.locator("#plain h1").innerText()).includes(name.slice(0, 60)));
  assert.equal(await plain.tab.locator("img").count(), 0);
  const wide = await plain.tab.evaluate(() => document.documentElement.scrollWidth).catch(() => 0);
  assert.ok(wide <= width, `${kind}, scripts off at ${width}: ${wide} wide`);
  await plain.context.close();
}

let failed = 0;
for (const kind of Object.keys(kinds))
  for (const width of [320, 1280])
    try {
      await check(kind, width);
      console.log(`ok - names: ${kind} at ${width}`);
    } catch (e) {
      failed++;
      console.log(`not ok - names: ${kind} at ${width}\n${String(e.stack ?? e).slice(0, 1500)}`);
    }
await browser.close();
console.log(failed ? `${failed} failed` : "odd names are text");
process.exit(failed ? 1 : 0);
