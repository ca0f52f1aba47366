// The page's clock in Chromium: what it shows at a time is what the command line says of that
// moment; it runs and stands; what is done while it runs is kept, undone and handed on.
//   node test/browser/clock_check.mjs [NAME...]
import assert from "node:assert/strict";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { execFileSync } from "node:child_process";
import { accessible, launch, makePage, open, program, scratch } from "./open_page.mjs";
import { runChecks } from "./run_checks.mjs";

const bowline = "aircraft/bowline.yaml";
const student = makePage(bowline, "clock.html");
const browser = await launch();
const status = (tab) => tab.locator("[role=status]").innerText();
const sentence = (tab) => tab.locator(".clock > p").first().innerText();
const time = (tab) => tab.locator(".clock output").innerText();
const lost = "#phase=night-cruise&fail=alternator:dead";

function ask(scenario, ...words) {
  const file = join(scratch, "story.json");
  writeFileSync(file, JSON.stringify(scenario));
  const answer = execFileSync(program, [words[0], bowline, file, ...words.slice(1), "--json"], {
    encoding: "utf8",
    maxBuffer: 1 << 26,
    stdio: ["ignore", "pipe", "ignore"],
  });
  return JSON.parse(answer);
}

function story(happens = [], which = "middle", lasts = 14400) {
  return {
    scenario: 1,
    title: "On the bench",
    start: { phase: "night-cruise", set: {}, fail: { alternator: "dead" }, case: which },
    happens,
    ends: { at: `${lasts} s` },
  };
}

async function addressSays(tab, what) {
  for (let i = 0; i < 100; i++) {
    if ((await tab.evaluate(() => location.hash)).includes(what)) return;
    await tab.waitForTimeout(100);
  }
  assert.fail(`the address doesn't say ${what}`);
}

const checks = {
  async a_moment_is_the_command_lines() {
    const { tab, context, wrong } = await open(browser, student, { hash: `${lost}&at=500` });
    const { sentence: said, indications } = ask(story(), "state", "--at", "500s");
    assert.equal(await status(tab), said);
    const volts = await tab.locator(".seat, aside.rail").first().innerText();
    assert.ok(volts.includes(indications.voltmeter.reading), indications.voltmeter.reading);
    assert.equal(await time(tab), "8:20");
    assert.deepEqual(wrong, []);
    await context.close();
  },

  async what_comes_is_the_runs() {
    const { tab, context, wrong } = await open(browser, student, { hash: `${lost}&at=60` });
    await tab.locator(".clock-chart").waitFor();
    const first = (run) => run.events.find((e) => e.what === "lost");
    const low = first(ask(story([], "low", 3600), "run"));
    const likely = first(ask(story([], "middle", 3600), "run"));
    const said = await sentence(tab);
    const name = low.part.replace(/-/g, " ");
    assert.ok(said.startsWith(`Low case: ${name} lost after ${Math.floor(low.t / 60)} min;`), said);
    assert.ok(said.endsWith(`likely ${Math.floor(likely.t / 60)} min.`), said);
    assert.ok(low.t < likely.t);
    assert.equal(await tab.locator(".clock-chart .low").count(), 4, "legend, volts, amps, charge");
    const rows = await tab.locator(".goes tr").count();
    assert.ok(rows > 5, `${rows} rows`);
    assert.deepEqual(wrong, []);
    await context.close();
  },

  async an_old_battery_lasts_less() {
    const { tab, context, wrong } = await open(browser, student, { hash: `${lost}&at=60` });
    await tab.locator(".clock-chart").waitFor();
    const fresh = await sentence(tab);
    await tab.locator(".more-outside > summary").click();
    await tab.getByLabel("Battery age").selectOption("50%");
    assert.ok(await tab.getByLabel("Battery age").isVisible(), "the list stays open");
    await tab.waitForFunction(
      (old) => document.querySelector(".clock > p").innerText !== old,
      fresh,
    );
    const first = (which) => {
      const old = story([], which, 3600);
      old.start.capacity = "50%";
      return ask(old, "run").events.find((e) => e.what === "lost");
    };
    const [low, likely] = [first("low"), first("middle")];
    const minutes = (e) => `${Math.floor(e.t / 60)} min`;
    const said = await sentence(tab);
    assert.ok(said.includes(`lost after ${minutes(low)};`), said);
    assert.ok(said.endsWith(`likely ${minutes(likely)}.`), said);
    const before = Number(/lost after (\d+) min/.exec(fresh)[1]);
    assert.ok(Math.floor(low.t / 60) < before, "sooner than by the case");
    await addressSays(tab, "capacity=50%25");
    await tab.reload();
    await tab.locator(".clock-chart").waitFor();
    assert.equal(await sentence(tab), said, "after the address was handed on");
    await accessible(tab, "more of what is outside");
    assert.deepEqual(wrong, []);
    await context.close();
  },

  async it_runs_and_stands() {
    const { tab, context, wrong } = await open(browser, student, { hash: lost });
    await tab.locator(".clock > summary").click();
    await tab.locator(".clock-chart").waitFor();
    await tab.getByLabel("Speed").selectOption("600");
    await tab.getByRole("button", { name: "Run", exact: true }).click();
    await tab
      .locator(".clock output")
      .filter({ hasNotText: /^0:00$/ })
      .waitFor();
    await tab.getByRole("button", { name: "Pause" }).click();
    await addressSays(tab, "at=");
    const stood = await time(tab);
    assert.notEqual(stood, "0:00");
    await tab.waitForTimeout(400);
    assert.equal(await time(tab), stood);
    assert.match(await status(tab), /Battery discharging|dead/);
    await tab.getByRole("slider").focus();
    await tab.keyboard.press("Home");
    assert.equal(await time(tab), "0:00");
    await tab.keyboard.press("ArrowRight");
    assert.equal(await time(tab), "0:01");
    assert.deepEqual(wrong, []);
    await context.close();
  },

  async what_is_done_while_it_runs_is_kept() {
    const { tab, context, wrong } = await open(browser, student, { hash: `${lost}&at=300` });
    const before = await status(tab);
    await tab.locator('rect.spot[data-part="pitot-heat.breaker"][tabindex]').click();
    const pulled = [{ at: "300 s", set: { "pitot-heat.breaker": "out" } }];
    const said = ask(story(pulled), "state", "--at", "300s").sentence;
    assert.equal(await status(tab), said);
    assert.notEqual(said, before);
    await tab.locator(".happens").getByText("out").first().waitFor();
    await addressSays(tab, "since=");
    await tab.reload();
    await tab.locator("html[data-ready=yes]").waitFor({ state: "attached" });
    assert.equal(await status(tab), said, "after the address was handed on");
    await tab.locator(".clock input[type=range]").fill("600");
    const later = ask(story(pulled), "state", "--at", "600s").sentence;
    assert.equal(await status(tab), later);
    await tab.locator(".happens").getByRole("button", { name: "To 5:00" }).first().click();
    assert.equal(await time(tab), "5:00");
    assert.deepEqual(wrong, []);
    await context.close();
  },

  async undo_takes_it_back() {
    const { tab, context } = await open(browser, student, { hash: `${lost}&at=300` });
    const before = await status(tab);
    await tab.locator('rect.spot[data-part="com-1.breaker"][tabindex]').click();
    await tab.getByRole("button", { name: "Undo" }).click();
    assert.equal(await status(tab), before);
    await tab.getByRole("button", { name: "Reset" }).click();
    assert.equal(await time(tab), "0:00");
    await context.close();
  },

  async an_odd_address_gives_way() {
    for (const odd of [
      "at=1e99",
      "at=-5",
      "at=5&capacity=900%25",
      "at=5&capacity=old",
      "at=5&since=[",
      "at=5&since=[1,[],{}]",
      "since=[9,[]]",
    ]) {
      const { tab, context, wrong } = await open(browser, student, { hash: `${lost}&${odd}` });
      assert.match(await status(tab), /bus/, odd);
      assert.deepEqual(wrong, [], odd);
      await context.close();
    }
  },

  async open_to_everyone() {
    for (const colorScheme of ["light", "dark"]) {
      const options = { hash: `${lost}&at=400`, colorScheme };
      const { tab, context } = await open(browser, student, options);
      await tab.locator(".clock-chart").waitFor();
      await tab.locator(".when > summary").click();
      await accessible(tab, `the page with its clock, ${colorScheme}`);
      await accessible(tab, `clock, ${colorScheme}`, ".clock");
      await context.close();
    }
  },
};

await runChecks(checks, process.argv.slice(2), () => browser.close());
