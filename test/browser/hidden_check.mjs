// A failure handed out and named, in Chromium: what the student is shown tells no more than the
// seat does, and the debrief says only what is so.
//   node test/browser/hidden_check.mjs [NAME...]
import assert from "node:assert/strict";
import { accessible, askProgram, launch, makePage, open } from "./open_page.mjs";
import { runChecks } from "./run_checks.mjs";

const browser = await launch();
const made = new Map();

function page(plane, ...options) {
  const name = [plane, ...options, "hidden.html"].join("");
  if (!made.has(name)) made.set(name, makePage(`aircraft/${plane}.yaml`, name, ...options));
  return made.get(name);
}

const show = (tab, name) =>
  tab.locator("nav[aria-label=Views]").getByRole("button", { name, exact: true }).click();
const press = (tab, name) => tab.getByRole("button", { name, exact: true }).click();
const one = async (tab, selector) =>
  (await tab.locator(selector).innerText()).replace(/\s+/g, " ").trim();

const hash = (tab) => tab.evaluate(() => location.hash);

/** What the instructor sends, and what is said beside it. */
async function handOut(plane, hash) {
  const { tab, context, wrong } = await open(browser, page(plane, "--instructor"), { hash });
  await tab.getByText("Hand this out").click();
  await tab.waitForTimeout(50); // a details element tells of its opening afterwards
  const said = await one(tab, ".hand-out");
  const field = tab.locator(".hand-out input");
  const line = (await field.count()) ? await field.inputValue() : "";
  assert.deepEqual(wrong, []);
  await context.close();
  return { line, said };
}

async function paste(tab, line) {
  await show(tab, "Failures");
  await tab.getByText("Open a hidden failure").click();
  await tab.getByLabel("What your instructor sent").fill(line);
  await press(tab, "Open it");
}

/** The student with that failure before them. */
async function meet(plane, hash, options = {}) {
  const { line } = await handOut(plane, hash);
  const student = await open(browser, page(plane), options);
  await paste(student.tab, line);
  await student.tab.locator("body.hiding").waitFor();
  return student;
}

async function name(tab, named) {
  for (const [n, [part, kind]] of named.entries()) {
    if (n) await press(tab, "Something else failed too");
    const number = n ? `-${n + 1}` : "";
    await tab.locator(`#guess-part${number}`).selectOption(part);
    await tab.locator(`#guess-kind${number}`).selectOption(kind);
  }
  await press(tab, "2 fairly");
  await press(tab, "Commit and see");
  return one(tab, "[aria-label=Debrief]");
}

const checks = {
  async a_line_is_pasted_and_nothing_else_is_said() {
    const { line } = await handOut("bowline", "#phase=cruise&fail=alternator:dead");
    const { tab, context, wrong } = await open(browser, page("bowline"));
    await paste(tab, line.slice(0, 60));
    assert.match(await one(tab, ".hand-out"), /copy the whole line/);
    await tab.getByLabel("What your instructor sent").fill(line);
    await press(tab, "Open it");
    await tab.locator("body.hiding").waitFor();
    // The table of failures was still being worked out: it has nothing to say now.
    await tab.waitForTimeout(1500);
    assert.match(await one(tab, "[role=status]"), /^Something has failed\. Ammeter −\d+ A/);
    assert.equal(await tab.locator(".failure-table").count(), 0);
    await accessible(tab, "a hidden failure");
    assert.deepEqual(wrong, []);
    await context.close();
  },

  async what_the_pilot_cant_see_isnt_told() {
    // A dead meter and an open battery path: the needle stands at zero either way.
    const pages = [];
    for (const fail of ["ammeter:dead", "battery-contactor:stuck-open"]) {
      const { tab, context } = await meet("bowline", `#phase=cruise&fail=${fail}`);
      pages.push(await tab.evaluate(() => document.querySelector("#app").innerText));
      await context.close();
    }
    assert.equal(pages[0], pages[1]);
    // A fuse behind the panel, and one at the seat that has blown, look as ever.
    const all = JSON.parse(askProgram("aircraft/bowline.yaml", { ask: "show" })).answer.parts;
    assert.notEqual(all["sense-fuse"].reach, "seat");
    const away = await meet("bowline", "#phase=cruise&fail=sense-fuse:blown");
    assert.ok(!(await one(away.tab, ".shelves")).includes("sense fuse"));
    await away.context.close();
    const seat = await meet("reef", "#phase=cruise&fail=start-fuse:blown");
    const fuse = seat.tab.getByRole("switch", { name: /^START/ });
    assert.equal(await fuse.getAttribute("aria-checked"), "true");
    await fuse.click();
    assert.match(await one(seat.tab, ".would"), /^START has blown\. Would you put another in\?/);
    await seat.context.close();
  },

  async every_meter_is_read() {
    // Figures without a scale, and gauges that have lost their power.
    const { tab, context } = await meet("sheetbend", "#phase=cruise&fail=alternator:dead");
    const said = await one(tab, "[role=status]");
    const { indications } = JSON.parse(
      askProgram("aircraft/sheetbend.yaml", {
        ask: "state",
        phase: "cruise",
        fail: ["alternator=dead"],
      }),
    ).answer;
    const figures = Object.values(indications).filter((i) => /\d/.test(i.reading));
    assert.ok(figures.length >= 5);
    for (const i of figures) assert.ok(said.includes(i.reading), `${i.reading} in ${said}`);
    await context.close();
    const gauges = await meet("bowline", "#phase=cruise&fail=gauge-breaker:tripped");
    assert.match(await one(gauges.tab, "[role=status]"), /Left fuel gauge reads empty/);
    await gauges.context.close();
  },

  async time_passes_while_it_is_hidden() {
    const { tab, context, wrong } = await meet(
      "bowline",
      "#phase=night-cruise&fail=alternator:dead",
    );
    const status = () => one(tab, "[role=status]");
    const scenario = JSON.stringify({
      scenario: 1,
      title: "The same",
      start: { phase: "night-cruise", fail: { alternator: "dead" } },
      happens: [],
      ends: { at: "4 h" },
    });
    const volts = (at) =>
      JSON.parse(askProgram("aircraft/bowline.yaml", { ask: "state", scenario, at })).answer
        .indications["voltmeter"].reading;
    await press(tab, "5 min on");
    await press(tab, "1 min on");
    const said = await status();
    assert.match(said, /^Something failed 6 min ago\. Ammeter −\d+ A\./);
    assert.ok(said.includes(`Voltmeter ${volts("6min")}.`), `${volts("6min")}: ${said}`);
    assert.notEqual(volts("6min"), volts("0min"));
    // A switch that is moved now is moved now, and the address tells of it and of nothing else.
    await tab.locator(".switch-row", { hasText: "PITOT" }).getByText("off").click();
    await press(tab, "5 min on");
    assert.match(await status(), /^Something failed 11 min ago/);
    assert.match(
      await one(tab, ".log"),
      /6:00 You put PITOT HEAT to off\. 6:00 You let 5 min pass/,
    );
    const moved = await status();
    await tab.waitForFunction(() => location.hash.includes("at=660"));
    const address = decodeURIComponent(await hash(tab));
    assert.match(address, /set=pitot-heat\.switch:off/);
    assert.ok(!/alternator|dead/.test(address.replace(/drill=[\w-]+/, "")), address);
    assert.ok(!/alternator/i.test(moved), moved);
    await accessible(tab, "a hidden failure in time");
    await tab.reload();
    await tab.locator("body.hiding").waitFor();
    assert.equal(await status(), moved);
    // Named by what it does in time: a dead battery would have left the needles where they were.
    const debrief = await name(tab, [["battery", "dead"]]);
    assert.match(debrief, /That isn't it\..*would have looked different: .*Voltmeter 28\.0 V/);
    await press(tab, "Go on");
    await tab.waitForFunction(() => !location.hash.includes("drill="));
    // It has failed from the start, not since it was named.
    const since = JSON.parse(new URLSearchParams((await hash(tab)).slice(1)).get("since"));
    assert.deepEqual(since[2].fail, ["alternator=dead"]);
    assert.deepEqual(wrong, []);
    await context.close();
  },

  async one_handle_stands_once() {
    const { tab, context } = await meet("halyard", "#phase=cruise&fail=alternator:dead");
    const master = tab.locator(".switch-row", { hasText: "MASTER" });
    assert.equal(await master.count(), 1);
    await master.getByText("off").click();
    assert.match(await one(tab, "[role=status]"), /Bus volts 0\.0 V/);
    await context.close();
  },

  async what_is_set_goes_along() {
    const hash = "#phase=night-cruise&fail=com-1:open&set=taxi-light.switch:on&temperature=-20C";
    const { tab, context } = await meet("bowline", hash);
    assert.match(await one(tab, ".controls"), /Night cruise, night, −20 °C/);
    const taxi = tab.locator(".switch-row", { hasText: "TAXI" });
    const on = () => taxi.getByRole("button", { name: "on" }).getAttribute("aria-pressed");
    assert.equal(await on(), "true");
    await taxi.getByRole("button", { name: "off" }).click();
    assert.equal(await on(), "false");
    await press(tab, "Reset");
    assert.equal(await on(), "true", "as it was handed out");
    await context.close();
  },

  async half_right_is_half_right() {
    const two = "#phase=cruise&fail=alternator:dead&fail=com-1.breaker:tripped";
    const dead = ["alternator", "dead"];
    const half = await meet("bowline", two);
    await half.tab.getByRole("switch", { name: /^COM 1/ }).click();
    assert.match(await one(half.tab, ".would"), /^COM 1 is out, and you didn't pull it\./);
    await press(half.tab, "Leave it out");
    const said = await name(half.tab, [dead]);
    assert.match(
      said,
      /You named: Alternator, dead\. Right\. There was more\. You were fairly sure/,
    );
    assert.match(said, /would have looked different: .*Com 1 works/);
    assert.match(said, /What showed it: Ammeter −\d+ A instead of \+\d+ A.*Com 1 doesn't work/);
    assert.match(said, /You leave COM 1 out\./);
    await accessible(half.tab, "debrief");
    // From here on it is a failure as any other: in the address, to be mended.
    await press(half.tab, "Go on");
    assert.equal(await half.tab.locator("[aria-label=Debrief]").count(), 0);
    await half.tab.waitForFunction(() => !location.hash.includes("drill="));
    assert.match(
      decodeURIComponent(await half.tab.evaluate(() => location.hash)),
      /fail=alternator:dead&fail=com-1\.breaker:tripped/,
    );
    await half.context.close();
    const both = await meet("bowline", two);
    assert.match(await name(both.tab, [["com-1.breaker", "tripped"], dead]), /\. That is it\. You/);
    await both.context.close();
    const kind = await meet("bowline", "#phase=cruise&fail=sense-fuse:blown");
    assert.match(await name(kind.tab, [["sense-fuse", "resistive"]]), /The right part, but/);
    await kind.context.close();
  },

  async look_alikes_look_alike() {
    const same = await meet("bowline", "#phase=cruise&fail=battery-contactor:stuck-open");
    const told = await name(same.tab, [["ammeter", "dead"]]);
    assert.match(told, /That isn't it\..*the two look the same from the seat/);
    await same.context.close();
    // All needles stand alike here, but one sees which box is dark.
    const other = await meet("bowline", "#phase=cruise&fail=gps:open");
    const said = await name(other.tab, [["telephone", "open"]]);
    assert.match(said, /would have looked different: GPS works\./);
    await other.context.close();
  },

  async who_hands_out_learns_what_wont_do() {
    const unseen = await handOut("reef", "#phase=cruise&fail=start-fuse:blown");
    assert.match(unseen.said, /nothing shows it from the seat/);
    const seen = await handOut("reef", "#phase=cruise&fail=generator:dead");
    assert.ok(!seen.said.includes("nothing shows it"));
    assert.equal(seen.line.length, unseen.line.length);
    const many = ["left", "right"].flatMap((side) =>
      ["alternator:dead", "output-breaker:tripped", "field-breaker:tripped", "starter:open"].map(
        (one) => `&fail=${side}-${one}`,
      ),
    );
    const full = await handOut("clove", `#phase=cruise${many.join("")}`);
    assert.match(full.said, /more than one address holds/);
    assert.equal(full.line, "");
  },

  async another_aeroplanes_failure_is_refused() {
    const { line } = await handOut("bowline", "#phase=cruise&fail=radio-2-feeder:tripped");
    const { tab, context, wrong } = await open(browser, page("reef"), { hash: line });
    assert.match(await one(tab, ".notes"), /isn't of this aeroplane/);
    assert.equal(await tab.locator("body.hiding").count(), 0);
    assert.match(await one(tab, "[role=status]"), /Nothing is lost/);
    assert.deepEqual(wrong, []);
    await context.close();
  },

  async on_a_phone_the_debrief_comes_first() {
    const hash = "#phase=cruise&fail=alternator:dead";
    const { tab, context } = await meet("bowline", hash, {
      viewport: { width: 412, height: 915 },
      hasTouch: true,
    });
    await tab.locator(".switch-row", { hasText: "LANDING" }).getByText("on").tap();
    const top = await tab.evaluate(() => document.querySelector(".sentence").offsetTop);
    const scrolled = await tab.evaluate(() => scrollY);
    assert.ok(scrolled > 400 && top >= scrolled, "the needles stay in sight");
    await name(tab, [["alternator", "dead"]]);
    const at = await tab.evaluate(
      () => document.querySelector("[aria-label=Debrief]").getBoundingClientRect().top,
    );
    assert.ok(at > 0 && at < 600, `${at}`);
    await context.close();
  },
};

await runChecks(checks, process.argv.slice(2), () => browser.close());
