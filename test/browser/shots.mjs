// Pictures of every view, in every width and look: node test/browser/shots.mjs PAGE.html FOLDER
// [PART-OF-NAME...]. PAGE is the instructor's. They are for people to look at; what can be told
// without looking is told here: nothing is wider than the screen.
import assert from "node:assert/strict";
import { mkdirSync } from "node:fs";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { launch, rested } from "./open_page.mjs";

const [page, folder, ...wanted] = process.argv.slice(2);
const address = pathToFileURL(resolve(page)).href;

/** Parts that the pictures move and break, whatever the aeroplane. */
async function castOf(browser) {
  const tab = await browser.newPage();
  await tab.goto(address);
  await rested(tab);
  const cast = await tab.evaluate(() => {
    const of = (kind) =>
      [...document.querySelectorAll(`#part-choice optgroup[label="${kind}"] option`)].map(
        (option) => option.value,
      );
    const worked = (id) => document.querySelector(`rect.spot[data-part="${id}"][role]`);
    const breakers = of("Breaker").filter((id) => !/field|output|alternator|spare/.test(id));
    return {
      sources: [...of("Alternator"), ...of("Generator")],
      feeder: breakers.filter(worked).at(-1) ?? breakers[0],
    };
  });
  assert.ok(cast.feeder, "the page offers a breaker to fail");
  await tab.close();
  return cast;
}

const browser = await launch();
const cast = await castOf(browser);
const gone = cast.sources.map((id) => `fail=${id}:dead`);
const dead = `#${["phase=cruise", ...gone, `fail=${cast.feeder}:tripped`].join("&")}`;

const go = (name) => (tab) =>
  tab.locator("nav[aria-label=Views]").getByRole("button", { name, exact: true }).click();
const press = (tab, name) => tab.getByRole("button", { name }).click();

async function predict(tab) {
  await tab.getByRole("switch", { name: "Predict first" }).click();
  const feeder = tab.locator(`rect.spot[data-part="${cast.feeder}"]`);
  await feeder.first().click({ force: true });
  for (const n of [0, 3]) await tab.locator("rect.spot[data-mark]").nth(n).click({ force: true });
  // Whatever its meters are, the first falls.
  await tab
    .getByRole("button", { name: /^(to discharge|falls)$/ })
    .first()
    .click();
}

async function hide(tab) {
  await tab.getByText("Hand this out").click();
  const link = await tab.getByRole("link", { name: "Try it" }).getAttribute("href");
  await tab.goto(address + link);
}

async function later(tab) {
  await hide(tab);
  await press(tab, "20 min on");
}

const views = {
  bench: { hash: "#phase=cruise" },
  dead: { hash: dead },
  predict: { hash: "#phase=cruise", act: predict },
  reveal: {
    hash: "#phase=cruise",
    async act(tab) {
      await predict(tab);
      await press(tab, "3 sure");
      await press(tab, "Commit and see");
    },
  },
  hidden: { hash: dead, act: hide },
  later: { hash: dead, act: later },
  clock: {
    hash: `${dead}&at=300`,
    async act(tab) {
      await tab.locator(".clock-chart").waitFor();
      await tab.locator(".when > summary").click();
    },
  },
  would: {
    hash: `#phase=cruise&fail=${cast.feeder}:tripped`,
    async act(tab) {
      await go("Breakers")(tab);
      await tab.locator(`button.breaker[data-id="${cast.feeder}"]`).click();
    },
  },
  breakers: { hash: dead, act: go("Breakers") },
  failures: {
    hash: "#phase=cruise",
    async act(tab) {
      await go("Failures")(tab);
      await tab.getByText("single failures in").waitFor({ timeout: 60000 });
    },
  },
  endurance: {
    hash: dead,
    async act(tab) {
      await go("Endurance")(tab);
      await press(tab, "Fly 500");
      await tab.locator(".flown table").first().waitFor({ timeout: 120000 });
    },
  },
  card: { hash: dead, act: go("Print") },
  wall: {
    hash: dead,
    async act(tab) {
      await go("Print")(tab);
      await press(tab, "Wall diagram");
    },
  },
  file: {
    hash: "#phase=cruise",
    async act(tab) {
      await go("File")(tab);
      await tab.locator(".cm-content").focus();
      await tab.keyboard.press("Control+Home");
      await tab.keyboard.type("nonsense: 1\n");
      await tab.locator(".findings li.error").first().waitFor();
    },
  },
  plain: { scripts: false },
};

const looks = {
  light: {},
  dark: { colorScheme: "dark" },
  grey: { vision: "achromatopsia" },
  deuteranopia: { vision: "deuteranopia" },
  protanopia: { vision: "protanopia" },
  "dark-protanopia": { vision: "protanopia", colorScheme: "dark" },
  forced: { forcedColors: "active" },
  "forced-dark": { forcedColors: "active", colorScheme: "dark" },
  print: { media: "print" },
  a4: { paper: "A4" },
  letter: { paper: "Letter", colorScheme: "dark" },
};
const widths = { 320: 640, 412: 915, 1280: 800, 1920: 1080 };
// Each view in each width, light and dark; the other looks where a laptop shows them.
const shots = Object.keys(views).flatMap((view) =>
  Object.entries(looks).flatMap(([look]) =>
    Object.keys(widths)
      .filter((width) => /^(light|dark)$/.test(look) || width === "1280")
      .map((width) => ({ view, look, width, name: `${view}-${width}-${look}` })),
  ),
);

async function take(browser, { view, look, width, name }) {
  const { hash = "", act, scripts = true } = views[view];
  const { vision, media, paper, ...options } = looks[look];
  const context = await browser.newContext({
    viewport: { width: Number(width), height: widths[width] },
    hasTouch: width < 700,
    javaScriptEnabled: scripts,
    reducedMotion: "reduce",
    ...options,
  });
  const tab = await context.newPage();
  const wrong = [];
  tab.on("console", (m) => ["error", "warning"].includes(m.type()) && wrong.push(m.text()));
  tab.on("pageerror", (e) => wrong.push(String(e)));
  await tab.goto(address + hash);
  if (scripts) await rested(tab);
  await act?.(tab);
  if (media) await tab.emulateMedia({ media });
  if (vision) {
    const session = await context.newCDPSession(tab);
    await session.send("Emulation.setEmulatedVisionDeficiency", { type: vision });
  }
  // What sticks to the top stands where it does before anyone has scrolled.
  await tab.evaluate(() => scrollTo(0, 0));
  await tab.waitForTimeout(300);
  if (paper)
    await tab.pdf({ path: `${folder}/${name}.pdf`, format: paper, preferCSSPageSize: true });
  else await tab.screenshot({ path: `${folder}/${name}.png`, fullPage: true });
  const wide = await tab.evaluate(() => document.documentElement.scrollWidth);
  if (!media) assert.ok(wide <= width, `${name}: ${wide} wide`);
  assert.deepEqual(wrong, [], name);
  await context.close();
}

mkdirSync(folder, { recursive: true });
let taken = 0;
for (const shot of shots) {
  if (wanted.length && !wanted.some((part) => shot.name.includes(part))) continue;
  await take(browser, shot);
  taken++;
}
await browser.close();
assert.ok(taken > 0, "no picture is called that");
console.log(`${taken} pictures in ${folder}`);
