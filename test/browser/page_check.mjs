// The page in Chromium, from the disk: operated by mouse, touch and keyboard, compared with the
// command line, predicted, revealed, with a hidden failure, edited, printed, with scripts off.
//   node test/browser/page_check.mjs [NAME...]
import assert from "node:assert/strict";
import { readFileSync, readdirSync, statSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { askProgram, launch, makePage, open, scratch } from "./open_page.mjs";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const bowline = "aircraft/bowline.yaml";
const student = makePage(bowline, "student.html");
const instructor = makePage(bowline, "instructor.html", "--instructor");
const browser = await launch();
const spot = (tab, id) => tab.locator(`rect.spot[data-part="${id}"][tabindex]`);
const status = (tab) => tab.locator("[role=status]").innerText();
const hash = (tab) => tab.evaluate(() => location.hash);

async function view(tab, name) {
  await tab.locator("nav").getByRole("button", { name, exact: true }).click();
}

/** axe-core runs in a world of its own, which the page's policy doesn't bind. */
async function accessible(tab, where) {
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
  const { result } = await run(
    `axe.run(document, {runOnly: ${rules}}).then((r) => r.violations.map((v) => v.id + ": " +
      v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160) + " " +
        n.any.concat(n.all).map((a) => a.message).join("; ").slice(0, 200)).join(" | ")))`,
    true,
  );
  assert.deepEqual(result.value, [], `axe-core, ${where}`);
  await session.detach();
}

const checks = {
  async the_command_lines_answers_are_the_pages() {
    const { tab, context, wrong } = await open(browser, student);
    for (const question of [
      { ask: "state", phase: "cruise" },
      { ask: "state", phase: "approach", fail: ["alternator=dead", "radio-2-feeder=tripped"] },
      { ask: "draw", theme: "page", width: "1040" },
      { ask: "show" },
    ]) {
      const inside = await tab.evaluate((q) => window.deadbus.ask(JSON.stringify(q)), question);
      assert.equal(inside, askProgram(bowline, question), JSON.stringify(question));
    }
    assert.deepEqual(wrong, []);
    await context.close();
  },

  async a_breaker_by_mouse_touch_and_keyboard() {
    const out = JSON.parse(
      askProgram(bowline, { ask: "state", phase: "cruise", set: { "radio-2-feeder": "out" } }),
    ).answer;
    for (const how of ["mouse", "touch", "keyboard"]) {
      const { tab, context, wrong } = await open(browser, student, {
        hash: "#phase=cruise",
        hasTouch: how === "touch",
      });
      const feeder = spot(tab, "radio-2-feeder");
      assert.equal(await feeder.getAttribute("aria-checked"), "true");
      if (how === "mouse") await feeder.click({ force: true });
      else if (how === "touch") await feeder.tap({ force: true });
      else {
        await feeder.focus();
        await tab.keyboard.press("Space");
      }
      assert.equal(await feeder.getAttribute("aria-checked"), "false", how);
      assert.equal(await status(tab), out.sentence, how);
      const lost = await tab.locator(".lists").innerText();
      for (const name of ["GPS", "Com 2", "Nav 2"]) assert.ok(lost.includes(name), `${name} lost`);
      const figures = await tab.locator(".meter .big").allInnerTexts();
      for (const i of Object.values(out.indications).filter((one) => one.unit))
        assert.ok(figures.includes(i.reading), `${i.reading} is on a gauge`);
      assert.match(await hash(tab), /set=radio-2-feeder%3Aout/);
      await tab.getByRole("button", { name: "Undo" }).click();
      assert.equal(await feeder.getAttribute("aria-checked"), "true", "undone");
      await tab.getByRole("button", { name: "Redo" }).click();
      assert.equal(await feeder.getAttribute("aria-checked"), "false", "redone");
      await tab.getByRole("button", { name: "Reset" }).click();
      assert.equal(await feeder.getAttribute("aria-checked"), "true", "reset");
      assert.deepEqual(wrong, []);
      await context.close();
    }
  },

  async one_tab_stop_and_arrows() {
    const { tab, context, wrong } = await open(browser, student, { hash: "#phase=cruise" });
    assert.equal(await tab.locator("rect.spot[tabindex='0']").count(), 1);
    await spot(tab, "com-1.breaker").focus();
    await tab.keyboard.press("ArrowDown");
    const at = () => tab.evaluate(() => document.activeElement?.getAttribute("data-part"));
    assert.equal(await at(), "nav-1.breaker");
    await tab.keyboard.press("Enter");
    assert.equal(await at(), "nav-1.breaker", "focus stays where it was");
    assert.equal(await spot(tab, "nav-1.breaker").getAttribute("aria-checked"), "false");
    await tab.keyboard.press("End");
    await tab.keyboard.press("Home");
    assert.equal(await tab.locator("rect.spot[tabindex='0']").count(), 1);
    assert.deepEqual(wrong, []);
    await context.close();
  },

  async the_address_holds_the_state() {
    const { tab, context, wrong } = await open(browser, student, {
      hash: "#phase=approach&fail=alternator%3Adead&set=night%3Ayes&charge=60%25",
    });
    const said = JSON.parse(
      askProgram(bowline, {
        ask: "state",
        phase: "approach",
        fail: ["alternator=dead"],
        set: { night: "yes" },
        charge: "60%",
      }),
    ).answer;
    assert.equal(await status(tab), said.sentence);
    await tab.evaluate(() => (location.hash = "#phase=cruise&fail=nothing%3Aodd&set=%3C%2Fscript"));
    await tab.waitForTimeout(100);
    assert.deepEqual(wrong, []);
    await context.close();
    const odd = await open(browser, student, { hash: "#phase=nowhere&set=a:b&fail=x:y" });
    assert.match(await status(odd.tab), /Nothing is lost/);
    assert.deepEqual(odd.wrong, []);
    await odd.context.close();
  },

  async predict_then_reveal() {
    const { tab, context, wrong } = await open(browser, student, { hash: "#phase=cruise" });
    const before = await tab.locator(".drawing svg").innerHTML();
    assert.ok(before.includes("Radio bus 2"));
    await tab.getByRole("switch", { name: "Predict first" }).click();
    await spot(tab, "radio-2-feeder").click({ force: true });
    assert.match(await status(tab), /^You pull RADIO 2\. Mark/);
    assert.ok(!(await tab.locator("body").innerText()).includes("dead, 0 V"), "nothing is told");
    assert.equal(await hash(tab), "#phase=cruise", "nor by the address");
    for (const id of ["com-2", "nav-2", "transponder"])
      await tab.locator(`rect.spot[data-mark="${id}"]`).click({ force: true });
    await accessible(tab, "predicting");
    assert.ok(await tab.getByRole("button", { name: "Commit and see" }).isDisabled());
    await tab.getByRole("button", { name: "to discharge" }).click();
    await tab.getByRole("button", { name: "3 sure" }).click();
    await tab.getByRole("button", { name: "Commit and see" }).click();
    assert.match(await status(tab), /^You saw 2 of 4 lost/);
    const gap = await tab.locator(".gap").innerText();
    assert.match(gap, /Com 2: seen/);
    assert.match(gap, /GPS: missed/);
    assert.match(gap, /Transponder: kept after all/);
    assert.match(gap, /RADIO 2 breaker is out/);
    await accessible(tab, "revealed");
    await tab.getByRole("button", { name: "Go on" }).click();
    assert.match(await status(tab), /4 items lost/);
    assert.deepEqual(wrong, []);
    await context.close();
  },

  async a_hidden_failure_gives_nothing_away() {
    const teacher = await open(browser, student, { hash: "#phase=cruise&fail=alternator%3Adead" });
    await teacher.tab.getByText("Hand this out").click();
    const address = await teacher.tab.getByRole("link", { name: "Try it" }).getAttribute("href");
    await teacher.context.close();
    assert.ok(!/alternator|dead|cruise/.test(address) && address.length > 100);
    const { tab, context, wrong } = await open(browser, student, { hash: address });
    const shown = (where) =>
      where.evaluate(() => {
        const copy = document.querySelector("#app").cloneNode(true);
        copy.querySelectorAll("select").forEach((s) => s.remove());
        return copy.outerHTML;
      });
    const telling = async () =>
      /off line|battery only|=dead|alternator[^"]*(dead|fail)/i.exec(await shown(tab))?.[0] ?? "";
    assert.equal(await telling(), "");
    assert.equal(await tab.locator(".drawing").count(), 0, "no diagram");
    await accessible(tab, "hidden failure");
    const row = tab.getByRole("group", { name: "LANDING switch" });
    await row.getByRole("button", { name: "on", exact: true }).click();
    assert.equal(await telling(), "");
    assert.ok(!/fail=/.test(await hash(tab)));
    await tab.locator("#guess-part").selectOption("field-breaker");
    await tab.locator("#guess-kind").selectOption("tripped");
    await tab.getByRole("button", { name: "2 fairly" }).click();
    await tab.getByRole("button", { name: "Commit and see" }).click();
    const said = await tab.getByRole("region", { name: "Debrief" }).innerText();
    assert.match(said, /It was: Alternator, dead/);
    assert.match(said, /You put LANDING to on/);
    assert.deepEqual(wrong, []);
    await context.close();
  },

  async two_hidden_failures_that_look_alike_are_the_same_page() {
    const pages = [];
    for (const fail of ["com-1%3Aopen", "com-1.wire%3Aopen"]) {
      const teacher = await open(browser, student, { hash: `#phase=cruise&fail=${fail}` });
      await teacher.tab.getByText("Hand this out").click();
      const link = teacher.tab.getByRole("link", { name: "Try it" });
      const address = await link.getAttribute("href");
      await teacher.context.close();
      const { tab, context } = await open(browser, student, { hash: address });
      pages.push(await tab.evaluate(() => document.querySelector("#app").outerHTML));
      assert.equal(address.length, (await hash(tab)).length, "every address is as long");
      await context.close();
    }
    assert.equal(pages[0], pages[1]);
  },

  async a_tripped_breaker_asks_would_you() {
    const { tab, context, wrong } = await open(browser, student, {
      hash: "#phase=cruise&fail=nav-1.breaker%3Atripped",
    });
    await view(tab, "Breakers");
    await tab.getByRole("switch", { name: /NAV 1/ }).click();
    const ask = tab.getByRole("alertdialog");
    assert.match(await ask.innerText(), /Would you push it in\?/);
    await accessible(tab, "would you");
    await ask.getByRole("button", { name: "Leave it out" }).click();
    assert.equal(await ask.count(), 0);
    assert.deepEqual(wrong, []);
    await context.close();
  },

  async every_failure_in_a_table() {
    const { tab, context, wrong } = await open(browser, student, { hash: "#phase=cruise" });
    const parts = JSON.parse(askProgram(bowline, { ask: "show" })).answer.parts;
    const count = Object.values(parts).reduce((n, p) => n + p.faults.length, 0);
    await view(tab, "Failures");
    const rows = tab.locator(".failure-table tbody tr");
    await rows.nth(count - 1).waitFor({ timeout: 60000 });
    assert.equal(await rows.count(), count);
    assert.match(await status(tab), new RegExp(`^${count} single failures in cruise`));
    await tab.getByRole("checkbox", { name: /Only those/ }).click();
    assert.ok((await tab.locator(".failure-table tbody tr").count()) < count);
    await tab.getByRole("button", { name: "RADIO 2 breaker: tripped" }).click();
    assert.match(await status(tab), /4 items lost/);
    assert.deepEqual(wrong, []);
    await context.close();
  },

  async the_file_is_edited() {
    const { tab, context, wrong } = await open(browser, instructor, { hash: "#phase=cruise" });
    await view(tab, "File");
    const text = tab.locator(".cm-content");
    await text.click();
    await tab.keyboard.press("Control+End");
    await tab.keyboard.type("\nnonsense: 1\n");
    await tab.locator(".findings li.error").first().waitFor();
    assert.match(await tab.locator(".findings").innerText(), /nonsense/);
    assert.match(await status(tab), /diagram waits/);
    await accessible(tab, "file");
    await tab.keyboard.press("Control+z");
    await tab.keyboard.press("Control+z");
    await tab.locator(".findings li.error").first().waitFor({ state: "detached" });
    const [file] = await Promise.all([
      tab.waitForEvent("download"),
      tab.getByRole("button", { name: "Save to a file" }).click(),
    ]);
    assert.ok(readFileSync(await file.path(), "utf8").startsWith("# Bowline 28"));
    await tab.getByRole("button", { name: "Start a new aircraft" }).click();
    await tab.getByText("The file is right").waitFor();
    assert.deepEqual(wrong, []);
    await context.close();
  },

  async it_prints() {
    const { tab, context, wrong } = await open(browser, student, { colorScheme: "dark" });
    await view(tab, "Print");
    await accessible(tab, "print");
    const pdf = (await tab.pdf({ preferCSSPageSize: true })).toString("latin1");
    assert.match(pdf, /^%PDF/);
    assert.match(pdf, /\/Type \/Page\b/);
    assert.match(await tab.locator(".sheet").innerText(), /SYSTEM NOTES, NOT A CHECKLIST/);
    assert.deepEqual(wrong, []);
    await context.close();
  },

  async widths_themes_and_accessibility() {
    for (const [width, colorScheme] of [
      [320, "light"],
      [412, "dark"],
      [1280, "light"],
      [1920, "dark"],
    ]) {
      const { tab, context, wrong } = await open(browser, student, {
        hash: "#phase=cruise&fail=alternator%3Adead",
        viewport: { width, height: 800 },
        colorScheme,
        hasTouch: width < 500,
      });
      for (const name of ["Bench", "Breakers", "Print"]) {
        await view(tab, name);
        const wide = await tab.evaluate(() => document.documentElement.scrollWidth);
        assert.ok(wide <= width, `${name} is ${wide} wide at ${width}`);
        await accessible(tab, `${name} at ${width}, ${colorScheme}`);
      }
      assert.deepEqual(wrong, []);
      await context.close();
    }
  },

  async with_scripts_off() {
    const { tab, context, wrong } = await open(browser, student, { javaScriptEnabled: false });
    const text = await tab.locator("#plain").innerText();
    for (const wanted of ["Bowline 28", "Radio bus 2", "Normal readings", "PITOT HT", "deadbus: 1"])
      assert.ok(text.includes(wanted), `${wanted} is there`);
    assert.equal(await tab.locator("#plain svg").count(), 1);
    assert.ok(await tab.locator("#app").isHidden());
    assert.deepEqual(wrong, []);
    await context.close();
  },

  async whatever_the_file_holds_is_text() {
    const odd = `</script><img src=x onerror=alert(1)>"'&\u202e${"W".repeat(300)}`;
    const text = readFileSync(bowline, "utf8")
      .replace("name: Bowline 28", `name: ${JSON.stringify(odd)}`)
      .replace("label: RADIO 2,", `label: ${JSON.stringify(odd.slice(0, 60))},`);
    const file = join(scratch, "odd.yaml");
    writeFileSync(file, text);
    const page = makePage(file, "odd.html");
    for (const javaScriptEnabled of [true, false]) {
      const { tab, context, wrong } = await open(browser, page, { javaScriptEnabled });
      assert.equal(await tab.locator("img").count(), 0);
      assert.ok((await tab.locator("h1").first().innerText()).includes("</script><img src=x"));
      assert.deepEqual(wrong, []);
      if (javaScriptEnabled) {
        for (const name of ["Breakers", "Print"]) await view(tab, name);
        assert.equal(await tab.locator("img").count(), 0);
      }
      await context.close();
    }
  },

  async small_and_fast() {
    for (const file of readdirSync("aircraft").filter((name) => name.endsWith(".yaml"))) {
      const { size } = statSync(makePage(`aircraft/${file}`, `small-${file}.html`));
      console.log(`# student page of ${file}: ${size} bytes`);
      assert.ok(size <= 400_000, `${file}: ${size} bytes`);
    }
    const { tab, context } = await open(browser, student, { hash: "#phase=cruise" });
    const session = await context.newCDPSession(tab);
    const throttle = (rate) => session.send("Emulation.setCPUThrottlingRate", { rate });
    await throttle(6);
    await tab.reload();
    await tab.locator("html[data-ready=yes]").waitFor({ state: "attached" });
    const ready = await tab.evaluate(() => Math.round(window.deadbusReady));
    const taps = () =>
      tab.evaluate(async () => {
        const times = [];
        for (let i = 0; i < 20; i++) {
          const rect = document.querySelector('rect.spot[data-part="com-1.breaker"][tabindex]');
          const start = performance.now();
          rect.dispatchEvent(new MouseEvent("click", { bubbles: true }));
          document.body.getBoundingClientRect();
          times.push(performance.now() - start);
          await new Promise((go) => requestAnimationFrame(() => setTimeout(go, 0)));
        }
        times.sort((a, b) => a - b);
        return { least: Math.round(times[0]), median: Math.round(times[10]) };
      });
    const slow = await taps();
    await throttle(1);
    const quick = await taps();
    // The page's own time, whatever else the machine does: of the thread, not of the clock.
    await session.send("Performance.enable", { timeDomain: "threadTicks" });
    const spent = async () => {
      const { metrics } = await session.send("Performance.getMetrics");
      const of = (name) => 1000 * metrics.find((m) => m.name === name).value;
      return [of("ScriptDuration"), of("RecalcStyleDuration"), of("LayoutDuration")];
    };
    const before = await spent();
    await taps();
    const [script, style, layout] = (await spent()).map((ms, i) => (ms - before[i]) / 20);
    const own = (script + style + layout).toFixed(1);
    console.log(`# ready ${ready} ms at 6x throttle (asked: 1000)`);
    console.log(`# tap ${slow.median} ms, at best ${slow.least}, at 6x throttle (asked: 50)`);
    console.log(`# tap ${quick.median} ms, at best ${quick.least}, unthrottled (asked: 16)`);
    console.log(
      `# tap ${own} ms of the page's own thread: script ${script.toFixed(1)}, ` +
        `style ${style.toFixed(1)}, layout ${layout.toFixed(1)}`,
    );
    await context.close();
  },
};

const wanted = process.argv.slice(2);
let failed = 0;
for (const [name, check] of Object.entries(checks)) {
  if (wanted.length && !wanted.includes(name)) continue;
  try {
    await check();
    console.log(`ok - ${name}`);
  } catch (e) {
    failed++;
    console.log(`not ok - ${name}\n${String(e.stack ?? e).slice(0, 1500)}`);
  }
}
await browser.close();
console.log(failed ? `${failed} failed` : "all in order");
process.exit(failed ? 1 : 0);
