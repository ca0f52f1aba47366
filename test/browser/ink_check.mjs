// No state is told by color alone: with one ink for everything and no letter shown, what differs
// must still differ, by shape, weight or line. Words would tell as well; they are left out so that
// the marks alone are looked at.
//   node test/browser/ink_check.mjs [NAME...]
import assert from "node:assert/strict";
import { writeFileSync } from "node:fs";
import { launch, makePage, open } from "./open_page.mjs";
import { runChecks } from "./run_checks.mjs";

const bowline = makePage("aircraft/bowline.yaml", "ink.html", "--instructor");
const browser = await launch();

const ONE_INK = `:root {
  --ink: #000 !important; --live: #000 !important; --draining: #000 !important;
  --quiet: #000 !important; --warn: #000 !important; --hair: #000 !important;
  --paper: #fff !important; --wash: #fff !important; --chosen: #fff !important;
}
* { -webkit-text-fill-color: transparent !important; caret-color: transparent !important; }
svg text { visibility: hidden !important; }`;

// Two screens' pixels for one of the page's: this many are a mark, fewer are a rounding.
const LEAST = 24;

// INK_PICTURES names a folder for the pictures, to look at what was looked at.
let taken = 0;

/** How many pixels of two pictures differ, over what both have. */
function differing([one, other]) {
  const pixels = async (png) => {
    const bytes = Uint8Array.from(atob(png), (c) => c.charCodeAt(0));
    const map = await createImageBitmap(new Blob([bytes], { type: "image/png" }));
    return map;
  };
  return Promise.all([pixels(one), pixels(other)]).then(([a, b]) => {
    const [width, height] = [Math.min(a.width, b.width), Math.min(a.height, b.height)];
    const data = [a, b].map((map) => {
      const canvas = new OffscreenCanvas(width, height).getContext("2d");
      canvas.drawImage(map, 0, 0);
      return canvas.getImageData(0, 0, width, height).data;
    });
    let count = 0;
    for (let i = 0; i < data[0].length; i += 4)
      if (Math.abs(data[0][i] - data[1][i]) > 100) count++;
    return count;
  });
}

/** A picture of one element and what stands close around it, in one ink and without letters. */
async function picture({ hash = "", width = 1280, act, at, around = 0, skip = 0, style = "" }) {
  const { tab, context, wrong } = await open(browser, bowline, {
    hash,
    viewport: { width, height: 900 },
    deviceScaleFactor: 2,
    bypassCSP: true,
  });
  await act?.(tab);
  await tab.addStyleTag({ content: ONE_INK + style });
  const element = tab.locator(at).first();
  await element.scrollIntoViewIfNeeded();
  const box = await element.boundingBox();
  const clip = {
    x: Math.round(box.x) - around + skip,
    y: Math.round(box.y) - around,
    width: Math.round(box.width) + 2 * around - skip,
    height: Math.round(box.height) + 2 * around,
  };
  const png = await tab.screenshot({ clip, animations: "disabled" });
  if (process.env.INK_PICTURES) writeFileSync(`${process.env.INK_PICTURES}/${++taken}.png`, png);
  assert.deepEqual(wrong, []);
  await context.close();
  return png.toString("base64");
}

const blank = await (await browser.newContext()).newPage();

/** Every two of these states look different. */
async function allDiffer(states, style = "") {
  const shots = [];
  for (const [name, how] of Object.entries(states))
    shots.push([name, await picture({ ...how, style })]);
  const alike = [];
  shots.forEach(([a, one], i) =>
    shots.slice(i + 1).forEach(([b, other]) => alike.push([`${a} and ${b}`, one, other])),
  );
  for (const [what, one, other] of alike) {
    const count = await blank.evaluate(differing, [one, other]);
    assert.ok(count >= LEAST, `${what} differ in ${count} pixels only`);
  }
}

const view = (name) => (tab) =>
  tab.locator("nav[aria-label=Views]").getByRole("button", { name, exact: true }).click();
const part = (id, kind) => `rect.spot[data-part="${id}"][data-kind="${kind}"]`;
const cruise = "#phase=cruise";
const battery = `${cruise}&fail=alternator%3Adead`;
const dead = `${cruise}&set=radio-2-feeder%3Aout`;

// What hangs on one row, without the bus beside it: its wire is of one power or another, cut, open.
const row = (hash) => ({ hash, at: part("com-2", "row"), skip: 14 });
const rows = {
  live: row(cruise),
  draining: row(battery),
  dead: row(dead),
  "breaker out": row(`${cruise}&set=com-2.breaker%3Aout`),
  "wire open": row(`${cruise}&fail=com-2.wire%3Aopen`),
};

const lamp = (hash) => ({ hash, at: '.light:has-text("PITOT HEAT") svg' });
const lamps = { lit: lamp(cruise), unlit: lamp(`${cruise}&set=pitot-heat.switch%3Aon`) };

/** Marks, then commits, so that something was seen, something missed, something kept after all. */
async function reveal(tab) {
  await tab.getByRole("switch", { name: "Predict first" }).click();
  await tab.locator("rect.spot[data-part='radio-2-feeder'][role]").first().click({ force: true });
  for (const id of ["com-2", "transponder"])
    await tab.locator(`rect.spot[data-mark="${id}"]`).click({ force: true });
  await tab.getByRole("button", { name: "3 sure" }).click();
  await tab.getByRole("button", { name: "Commit and see" }).click();
}

const asks = (id) => async (tab) => {
  await tab.getByRole("switch", { name: "Predict first" }).click();
  await tab.locator("rect.spot[data-part='radio-2-feeder'][role]").first().click({ force: true });
  if (id) await tab.locator(`rect.spot[data-mark="${id}"]`).click({ force: true });
};

const clock = async (tab) => {
  await tab.locator(".clock-chart").waitFor();
};

const checks = {
  async wires_and_rows() {
    await allDiffer(rows);
  },

  async buses() {
    const at = part("radio-bus-2", "bus");
    await allDiffer({
      live: { hash: cruise, at },
      draining: { hash: battery, at },
      dead: { hash: dead, at },
    });
  },

  async buses_of_a_phone() {
    const at = '.bus-strip button:has-text("Radio bus 2") .bus-bar';
    const width = 412;
    await allDiffer({
      live: { hash: cruise, at, width },
      draining: { hash: battery, at, width },
      dead: { hash: dead, at, width },
    });
  },

  async breakers_switches_and_sources() {
    const of = (id) => (hash) => ({ hash, at: part(id, "symbol"), around: 24 });
    const feeder = of("radio-2-feeder");
    await allDiffer({ in: feeder(cruise), out: feeder(dead) });
    const lights = of("landing-light.switch");
    await allDiffer({
      off: lights(cruise),
      on: lights(`${cruise}&set=landing-light.switch%3Aon`),
    });
    const alternator = of("alternator");
    await allDiffer({ gives: alternator(cruise), failed: alternator(battery) });
    const contactor = of("battery-contactor");
    await allDiffer({
      closed: contactor(cruise),
      open: contactor(`${cruise}&fail=battery-contactor%3Astuck-open`),
    });
  },

  async discs_by_place() {
    const at = '.breaker:has-text("RADIO 2") svg';
    const act = view("Breakers");
    await allDiffer({ in: { hash: cruise, act, at }, out: { hash: dead, act, at } });
  },

  async lamps() {
    await allDiffer(lamps);
  },

  async predictions() {
    const at = part("com-2", "row");
    await allDiffer({
      kept: { hash: cruise, act: asks(""), at },
      lost: { hash: cruise, act: asks("com-2"), at },
    });
    const mark = (kind) => ({ hash: cruise, act: reveal, at: `.gap-list .diamond.${kind}` });
    await allDiffer({ seen: mark("seen"), missed: mark("missed"), kept: mark("kept") });
  },

  async choices() {
    const button = '.phases button:has-text("Cruise")';
    await allDiffer({
      chosen: { hash: cruise, at: button },
      other: { hash: "#phase=approach", at: button },
    });
    const box = '.more-list button:has-text("Icing")';
    const more = (tab) => tab.locator(".more-outside > summary").click();
    await allDiffer({
      no: { hash: cruise, act: more, at: box },
      yes: { hash: `${cruise}&set=icing%3Ayes`, act: more, at: box },
    });
    const tab = 'nav[aria-label=Views] button:has-text("Breakers")';
    await allDiffer({
      here: { hash: cruise, act: view("Breakers"), at: tab },
      elsewhere: { hash: cruise, at: tab },
    });
  },

  async lines_of_the_clock() {
    const only = (wanted) => async (tab) => {
      await clock(tab);
      await tab.evaluate((name) => {
        for (const line of document.querySelectorAll(".clock-chart :is(.low, .likely, .happened)"))
          if (!line.classList.contains(name)) line.remove();
      }, wanted);
    };
    const at = ".clock-chart";
    const hash = `${battery}&at=1200`;
    await allDiffer(
      Object.fromEntries(
        ["low", "likely", "happened"].map((name) => [name, { hash, act: only(name), at }]),
      ),
    );
  },

  async grounds_of_figures() {
    const at = (ground) => ({ act: view("File"), at: `.rests-on li:has-text("${ground}") svg` });
    await allDiffer({ measured: at("measured"), book: at("book"), open: at("open") });
  },

  async findings() {
    const act = async (tab) => {
      await view("File")(tab);
      await tab.evaluate(() => {
        for (const kind of ["error", "warning", "note"]) {
          const line = document.createElement("li");
          line.className = kind;
          line.textContent = "Line 1";
          document.querySelector(".findings").append(line);
        }
      });
    };
    const of = (kind) => ({ act, at: `.findings li.${kind}` });
    await allDiffer({ error: of("error"), warning: of("warning"), note: of("note") });
  },

  /** Each mark taken away is missed: what these checks look at is what the eye has. */
  async a_mark_less_is_found() {
    const without = async (states, style, what) =>
      assert.rejects(allDiffer(states, style), /pixels only/, `${what} isn't missed`);
    const { live, draining } = rows;
    const wire = (dashes) =>
      `.w, .rail, .thin, .gap { stroke-width: 3.4 !important;
        stroke-dasharray: ${dashes} !important; }
       .gap { display: none !important; }`;
    await without({ live, draining }, wire("none"), "the double rail");
    const at = part("radio-bus-2", "bus");
    await without(
      { live: { hash: cruise, at }, draining: { hash: battery, at } },
      `rect[fill^="url"] { fill: #000 !important; stroke: none !important; }
       .drawing rect:not(.spot) { fill: #000 !important; stroke: none !important; }`,
      "the hatch",
    );
    await without(lamps, ".lamp * { fill: none !important; stroke: none !important; }", "the rays");
    const mark = (kind) => ({ hash: cruise, act: reveal, at: `.gap-list .diamond.${kind}` });
    await without(
      { seen: mark("seen"), missed: mark("missed") },
      ".diamond .tick { display: none !important; }",
      "the tick",
    );
  },
};

await runChecks(checks, process.argv.slice(2), () => browser.close());
