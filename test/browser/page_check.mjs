// The page in Chromium, from the disk: what only this browser's driver can do. What every browser
// does is in steps.mjs.
//   node test/browser/page_check.mjs [NAME...]
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync, readdirSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { basename, join } from "node:path";
import { pathToFileURL } from "node:url";
import { accessible, askProgram, launch, makePage, open, program, scratch } from "./open_page.mjs";
import { runChecks } from "./run_checks.mjs";
import { initials } from "../../web/initials.mjs";

const bowline = "aircraft/bowline.yaml";
const student = makePage(bowline, "student.html");
const instructor = makePage(bowline, "instructor.html", "--instructor");
const browser = await launch();
const spot = (tab, id) => tab.locator(`rect.spot[data-part="${id}"][tabindex]`);
const status = (tab) => tab.locator("[role=status]").innerText();
const hash = (tab) => tab.evaluate(() => location.hash);

/** A module of the page, for node. */
async function bundled(entry) {
  const require = createRequire(new URL("../../web/build.mjs", import.meta.url));
  const { build } = require("esbuild");
  const outfile = join(scratch, `${basename(entry, ".ts")}.mjs`);
  const define = { INITIALS: JSON.stringify(initials) };
  const form = { bundle: true, format: "esm", define, logLevel: "error" };
  await build({ entryPoints: [entry], outfile, ...form });
  return import(pathToFileURL(outfile).href);
}

const cardOf = (file) =>
  JSON.parse(execFileSync(program, ["card", file, "--json"], { stdio: "pipe" }));

async function view(tab, name) {
  await tab.locator("nav").getByRole("button", { name, exact: true }).click();
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
      assert.deepEqual(inside, JSON.parse(askProgram(bowline, question)), question.ask);
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
    for (const wanted of ["radio-1-feeder", "radio-2-feeder", "radio-1-feeder"]) {
      await tab.keyboard.press("r");
      assert.equal(await at(), wanted, "a letter finds the next of that name");
    }
    await tab.reload();
    await tab.locator("html[data-ready=yes]").waitFor({ state: "attached" });
    await tab.keyboard.press("Tab");
    await tab.keyboard.press("Enter");
    const there = () => tab.evaluate(() => document.activeElement?.matches(".spot[tabindex='0']"));
    assert.ok(await there(), "past all that stands above the diagram");
    assert.deepEqual(wrong, []);
    await context.close();
  },

  async the_focus_is_never_lost() {
    const { tab, context, wrong } = await open(browser, student, { hash: "#phase=cruise" });
    const at = () => tab.evaluate(() => document.activeElement?.textContent);
    const press = async (role, name) => {
      await tab.getByRole(role, { name, exact: true }).first().focus();
      await tab.keyboard.press("Enter");
    };
    // What is made anew is held again.
    for (const name of ["Breakers", "Failures", "Bench", "Taxi", "Cruise", "Reset"]) {
      await press("button", name);
      assert.equal(await at(), name);
    }
    await press("switch", "Predict first");
    assert.equal(await at(), "Predict first");
    await spot(tab, "com-1.breaker").focus();
    await tab.keyboard.press("Space");
    await press("button", "3 sure");
    assert.equal(await at(), "3 sure");
    // What has gone leaves the sentence that tells what came of it.
    for (const name of ["Commit and see", "Go on"]) {
      await press("button", name);
      assert.equal(await at(), await status(tab));
    }
    const undo = tab.getByRole("button", { name: "Undo" });
    while (await undo.isEnabled()) await press("button", "Undo");
    assert.equal(await at(), await status(tab), "nothing more to undo");
    assert.deepEqual(wrong, []);
    await context.close();
  },

  async the_strip_is_as_the_bars() {
    const page = makePage("aircraft/reef.yaml", "strip.html");
    const at = { hash: "#phase=cruise", viewport: { width: 412, height: 915 } };
    const { tab, context, wrong } = await open(browser, page, at);
    const shapes = () =>
      tab.locator(".bus-strip .bus").evaluateAll((all) => all.map((b) => b.classList[1]));
    assert.deepEqual(await shapes(), ["live", "live"]);
    // A dead generator still makes the little that its iron holds: the battery carries the rest.
    await tab.evaluate(() => (location.hash = "#phase=cruise&fail=generator:dead"));
    await tab.locator(".bus-strip .draining").first().waitFor();
    assert.deepEqual(await shapes(), ["draining", "draining"]);
    await tab.evaluate(() => (location.hash = "#phase=parked"));
    await tab.locator(".bus-strip .dead").first().waitFor();
    assert.deepEqual(await shapes(), ["dead", "dead"]);
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

  async an_address_that_cant_be_shown_is_told() {
    for (const [hash, what] of [
      ["#phase=nowhere", "nowhere"],
      ["#phase=cruise&fail=nobody:dead", "nobody"],
      ["#phase=cruise&charge=300%25", "300%"],
    ]) {
      const { tab, context, wrong } = await open(browser, student, { hash });
      const told = await tab.locator(".notes").innerText();
      assert.ok(told.includes("all is as usual") && told.includes(what), told);
      assert.deepEqual(wrong, [], hash);
      await context.close();
    }
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

  async rows_that_look_alike_are_tied() {
    const { tab, context, wrong } = await open(browser, student, { hash: "#phase=cruise" });
    await view(tab, "Failures");
    await tab.getByText("single failures in").waitFor({ timeout: 60000 });
    await tab.getByLabel("Order").selectOption("look");
    const rows = await tab.evaluate(() =>
      [...document.querySelectorAll(".failure-table tbody tr")].map((row) => ({
        said: row.lastElementChild.textContent,
        drawn: getComputedStyle(row.lastElementChild, "::before").borderLeftWidth,
        above: row.classList.contains("like-above"),
        below: row.classList.contains("like-below"),
      })),
    );
    assert.ok(rows.some((r) => /^like \d+ others$/.test(r.said)));
    assert.ok(rows.some((r) => r.said === "by itself"));
    rows.forEach((row, n) => {
      const alike = row.said.startsWith("like ") || row.said === "looks normal";
      assert.equal(row.drawn === "4px", alike, `${n}: ${row.said}, ${row.drawn}`);
      assert.equal(row.below, rows[n + 1]?.above ?? false, "a bracket goes on to the next row");
    });
    // As many brackets of each length as the words tell.
    let length = 0;
    for (const row of rows) {
      length = row.above ? length + 1 : 1;
      const told = /^like (\d+)/.exec(row.said);
      if (told && !row.below) assert.equal(length, Number(told[1]) + 1, row.said);
    }
    assert.deepEqual(wrong, []);
    await context.close();
  },

  async two_fingers_and_a_drag() {
    const phone = await open(browser, student, {
      hash: "#phase=cruise",
      viewport: { width: 412, height: 800 },
      hasTouch: true,
    });
    const wide = (tab) => tab.evaluate(() => document.querySelector(".drawing svg").clientWidth);
    const session = await phone.context.newCDPSession(phone.tab);
    const touch = (type, ...points) =>
      session.send("Input.dispatchTouchEvent", {
        type,
        touchPoints: points.map(([x, y], id) => ({ x, y, id })),
      });
    const before = await wide(phone.tab);
    await touch("touchStart", [150, 600], [250, 600]);
    for (const d of [10, 20, 30, 40, 50]) await touch("touchMove", [150 - d, 600], [250 + d, 600]);
    await touch("touchEnd");
    const after = await wide(phone.tab);
    assert.ok(after > 1.8 * before && after < 2.2 * before, `${before} px, then ${after}`);
    assert.equal(await phone.tab.evaluate(() => visualViewport.scale), 1, "the page stays");
    assert.equal(await phone.tab.evaluate(() => document.documentElement.scrollWidth), 412);
    assert.equal(await hash(phone.tab), "#phase=cruise", "nothing is operated");
    await phone.tab.getByRole("button", { name: "Fit" }).click();
    assert.equal(await wide(phone.tab), before);
    assert.deepEqual(phone.wrong, []);
    await phone.context.close();

    const { tab, context, wrong } = await open(browser, student, { hash: "#phase=cruise" });
    for (let i = 0; i < 3; i++) await tab.getByRole("button", { name: "Larger" }).click();
    const left = () => tab.evaluate(() => document.querySelector(".drawing").scrollLeft);
    assert.equal(await left(), 0);
    await tab.mouse.move(600, 500);
    await tab.mouse.down();
    await tab.mouse.move(500, 500, { steps: 5 });
    await tab.mouse.up();
    assert.equal(await left(), 100, "it follows the hand");
    assert.equal(await hash(tab), "#phase=cruise", "and nothing is operated");
    assert.deepEqual(wrong, []);
    await context.close();
  },

  async every_word_put_right_is_right() {
    const { putRight } = await bundled("web/src/put_right.ts");
    let fixes = 0;
    for (const name of readdirSync("test/case/bad").filter((n) => n.endsWith(".yaml"))) {
      const bytes = readFileSync(`test/case/bad/${name}`);
      const found = (file) => JSON.parse(askProgram(file, { ask: "check" })).findings;
      for (const one of found(`test/case/bad/${name}`)) {
        const end = one.offset + one.length;
        for (const words of putRight(one, bytes.subarray(one.offset, end).toString())) {
          const mended = join(scratch, "mended.yaml");
          const parts = [bytes.subarray(0, one.offset), Buffer.from(words), bytes.subarray(end)];
          writeFileSync(mended, Buffer.concat(parts));
          const same = (f) => f.code === one.code && f.offset === one.offset;
          assert.ok(!found(mended).some(same), `${name}: ${one.text}. ${words} is no better`);
          fixes++;
        }
      }
    }
    assert.ok(fixes >= 25, `only ${fixes} words`);
  },

  async what_the_amps_of_a_bus_rest_on() {
    const { tab, context, wrong } = await open(browser, instructor, { hash: "#phase=cruise" });
    await view(tab, "File");
    const csv = execFileSync(program, ["show", bowline, "--csv"], { encoding: "utf8" });
    const rows = csv.trim().split(/\r?\n/);
    const names = rows.shift().split(",");
    const cells = rows
      .map((r) => r.match(/("([^"]|"")*"|[^,]*)(,|$)/g).map((c) => c.replace(/,$/, "")))
      .map((r) => Object.fromEntries(names.map((n, i) => [n, r[i]])));
    for (const [part, bus, label] of [
      ["com-2:", "radio-bus-2", "Radio bus 2"],
      ["pitot-heat:", "main-bus", "Main bus"],
      ["battery-contactor:", "battery", "Battery"],
    ]) {
      await tab.evaluate((words) => {
        const content = document
          .querySelector(".editor-host")
          .shadowRoot.querySelector(".cm-content");
        const { view } = content.cmTile ?? content.cmView;
        view.dispatch({
          selection: { anchor: view.state.doc.toString().indexOf(`  ${words}`) + 2 },
        });
      }, part);
      const sums = { measured: 0, book: 0, open: 0 };
      for (const c of cells.filter((r) => r.bus === bus && r.amps))
        sums[c.basis in sums ? c.basis : "open"] += Number(c.amps);
      const all = sums.measured + sums.book + sums.open;
      assert.ok(all > 0, `${bus} carries something`);
      const box = tab.locator(".rests-on");
      assert.match(await box.locator("h2").innerText(), new RegExp(`What ${label} rests on, of `));
      for (const [ground, sum] of Object.entries(sums)) {
        const strip = box.locator(`> svg .${ground}`);
        const width = sum ? parseFloat(await strip.getAttribute("width")) : 0;
        assert.equal(await strip.count(), sum ? 1 : 0, `${bus}, ${ground}`);
        assert.ok(Math.abs(width - (100 * sum) / all) < 1e-6, `${bus}, ${ground}: ${width} %`);
        const said = sum ? sum.toFixed(sum < 0.1 ? 2 : 1) : "0";
        assert.ok((await box.innerText()).replace(/\s+/g, " ").includes(`${said} ${ground}`), said);
      }
    }
    assert.deepEqual(wrong, []);
    await context.close();
  },

  async a_figure_belongs_to_the_part_of_its_line() {
    const { entryAt, awaitedPart } = await bundled("web/src/awaited.ts");
    const text = `parts:
  battery:
    battery: 28
    capacity: 10 Ah
  com: {radio: 1 A, breaker: 5}  # on the top shelf
  # a note: nothing
phases:
  cruise: {on: [com]}`.split("\n");
    const at = (line) => entryAt(text, line);
    assert.deepEqual([1, 2, 3, 4, 5, 7, 8].map(at), [
      "",
      ...Array(3).fill("battery"),
      "com",
      "",
      "cruise",
    ]);
    const show = { parts: { com: {}, "com.breaker": {}, battery: {} } };
    const column = (line, word) => text[line - 1].indexOf(word) + 1;
    const owner = (line, word) => awaitedPart(show, text, { line, column: column(line, word) });
    assert.equal(owner(5, "1 A"), "com");
    assert.equal(owner(5, "5}"), "com.breaker");
    assert.equal(owner(3, "28"), "battery");
  },

  async the_card_tells_what_the_command_tells() {
    for (const file of readdirSync("aircraft").filter((name) => name.endsWith(".yaml"))) {
      const page = makePage(`aircraft/${file}`, `cards-${file}.html`, "--instructor");
      const { tab, context, wrong } = await open(browser, page);
      const told = async () => {
        await view(tab, "Print");
        return (await tab.locator(".card").first().innerText()).replace(/\s+/g, " ");
      };
      const says = (said, card) => {
        const holds = (words) => assert.ok(said.includes(words), `${file}: "${words}" in ${said}`);
        holds(card.works_with_everything_dead);
        assert.ok(card.fading.length > 3 && card.eaters.length > 3);
        for (const one of card.eaters) holds(`${one.amps.toFixed(1)} A ${one.what}`);
        let at = 0;
        for (const one of card.fading) {
          const next = said.indexOf(`${one.volts.toFixed(1)} V ${one.what}`);
          assert.ok(next > at, `${file}: ${one.what} in its order`);
          at = next;
        }
        const { less_than_minutes, lost, reduced, words } = card.endurance;
        const what = (lost ?? reduced).replace(/-/g, " ");
        holds(`${what} is ${lost ? "lost" : "reduced"} in less than ${less_than_minutes} min`);
        holds(words);
      };
      says(await told(), cardOf(`aircraft/${file}`));
      // Of the file as it is edited it tells what the command tells of that: here half the battery.
      const text = readFileSync(`aircraft/${file}`, "utf8");
      const halved = text.replace(/capacity: ([\d.]+) Ah/g, (_, ah) => `capacity: ${ah / 2} Ah`);
      assert.notEqual(halved, text);
      const edited = join(scratch, `edited-${file}`);
      writeFileSync(edited, halved);
      const card = cardOf(edited);
      assert.notDeepEqual(card.endurance, cardOf(`aircraft/${file}`).endurance, file);
      await view(tab, "File");
      await tab.evaluate((words) => {
        const host = document.querySelector(".editor-host").shadowRoot;
        const content = host.querySelector(".cm-content");
        const { view } = content.cmTile ?? content.cmView;
        view.dispatch({ changes: { from: 0, to: view.state.doc.length, insert: words } });
      }, halved);
      await tab.waitForTimeout(700);
      says(await told(), card);
      assert.deepEqual(wrong, []);
      await context.close();
    }
  },

  async every_card_and_wall_is_one_sheet() {
    for (const file of readdirSync("aircraft").filter((name) => name.endsWith(".yaml"))) {
      const page = makePage(`aircraft/${file}`, `sheets-${file}.html`);
      const { tab, context, wrong } = await open(browser, page, { colorScheme: "dark" });
      await view(tab, "Print");
      for (const paper of ["Card, two on a sheet", "Wall diagram"]) {
        await tab.getByRole("button", { name: paper }).click();
        const pdf = (await tab.pdf({ preferCSSPageSize: true })).toString("latin1");
        const sheets = pdf.match(/\/Type \/Page\b/g).length;
        assert.equal(sheets, 1, `${file}, ${paper}: ${sheets} sheets`);
      }
      assert.deepEqual(wrong, []);
      await context.close();
    }
  },

  async the_file_is_saved() {
    const { tab, context, wrong } = await open(browser, instructor, { hash: "#phase=cruise" });
    await view(tab, "File");
    const [file] = await Promise.all([
      tab.waitForEvent("download"),
      tab.getByRole("button", { name: "Save to a file" }).click(),
    ]);
    assert.equal(readFileSync(await file.path(), "utf8"), readFileSync(bowline, "utf8"));
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
      const phase = tab.getByRole("button", { name: "Cruise", exact: true });
      const [left, right] = await phase.evaluate((b) => {
        const strip = b.parentElement.getBoundingClientRect();
        const { left, right } = b.getBoundingClientRect();
        return [left - strip.left, strip.right - right];
      });
      assert.ok(left >= 0 && right >= 0, `the phase is in sight at ${width}`);
      for (const name of ["Bench", "Breakers", "Print", "Failures"]) {
        await view(tab, name);
        if (name === "Failures")
          await tab.getByText("single failures in").waitFor({ timeout: 60000 });
        const wide = await tab.evaluate(() => document.documentElement.scrollWidth);
        assert.ok(wide <= width, `${name} is ${wide} wide at ${width}`);
        await accessible(tab, `${name} at ${width}, ${colorScheme}`);
      }
      assert.deepEqual(wrong, []);
      await context.close();
    }
  },

  async many_flights_are_the_command_lines() {
    const hash = "#phase=cruise&fail=alternator:dead";
    const { tab, context, wrong } = await open(browser, instructor, { hash });
    const press = (name) => tab.getByRole("button", { name, exact: true }).click();
    const said = () => tab.locator(".endurance .clock-top").innerText();
    await view(tab, "Endurance");
    await press("Fly 500");
    await tab.getByText(/^\d+ of 500$/).waitFor();
    await press("Stop");
    await tab.getByText(/^Stopped after \d+ of 500$/).waitFor();
    const stood = await tab.locator("progress").evaluate((bar) => bar.value);
    assert.ok(stood > 0 && stood < 500, `stopped at ${stood}`);
    await press("Fly 500");
    await tab.locator(".flown table").first().waitFor({ timeout: 120_000 });
    assert.match(await said(), /500 flights, seed 1/);
    const { answer } = JSON.parse(
      askProgram(bowline, {
        ask: "endurance",
        phase: "cruise",
        fail: ["alternator=dead"],
        flights: "500",
      }),
    );
    const minutes = (s) => (s === null ? "more than 4 h" : `${Math.floor(s / 60)} min`);
    const tables = tab.locator(".flown table");
    const cellsOf = (c) => [c.low, c.median, c.high].map(minutes).join("\t");
    for (const [i, of] of [answer.functions, answer.reduced].entries()) {
      const texts = await tables.nth(i).locator("tr").allInnerTexts();
      const rows = texts.map((t) => t.replace(/\u00a0/g, " "));
      const told = ([name, c]) =>
        c.low !== null && (i === 0 || cellsOf(c) !== cellsOf(answer.functions[name]));
      const lost = Object.entries(of).filter(told);
      assert.ok(lost.length > 3 && rows.length === lost.length + 1, `${rows.length} rows`);
      for (const [name, c] of lost) {
        const cells = cellsOf(c);
        const row = rows.find((r) => r.toLowerCase().startsWith(`${name.replace(/-/g, " ")}\t`));
        assert.ok(row?.endsWith(cells), `${name}: ${row}, not ${cells}`);
      }
    }
    const most = answer.unknowns[0];
    const share = `${most.what} ${Math.round(100 * most.share)} %`;
    assert.ok((await tab.locator(".flown").innerText()).includes(share), share);
    await accessible(tab);
    await tab.screenshot({ path: "build/flights.png", fullPage: true });
    // Another question begins anew.
    await view(tab, "Bench");
    await tab.evaluate(() => (location.hash = "#phase=taxi"));
    await view(tab, "Endurance");
    assert.equal(await tab.locator(".flown table").count(), 0);
    assert.deepEqual(wrong, []);
    await context.close();
  },

  async with_scripts_off() {
    const { tab, context, wrong } = await open(browser, student, { javaScriptEnabled: false });
    const text = await tab.locator("#plain").innerText();
    for (const wanted of ["Bowline 28", "Radio bus 2", "PITOT HT", "Fades as volts", "less than"])
      assert.ok(text.includes(wanted), `${wanted} is there`);
    assert.ok(!text.includes("carried"), "what its scripts read isn't shown");
    assert.equal(await tab.locator("#plain svg").count(), 1);
    const fuse = tab.locator("#plain tr", { has: tab.getByText("closing-fuse", { exact: true }) });
    assert.match(await fuse.innerText(), /closing-fuse\s+5\s+battery contactor/);
    assert.ok(await tab.locator("#app").isHidden());
    assert.deepEqual(wrong, []);
    await context.close();
    const other = await open(browser, instructor, { javaScriptEnabled: false });
    assert.ok((await other.tab.locator("#plain").innerText()).includes("deadbus: 1"), "the file");
  },
};

await runChecks(checks, process.argv.slice(2), () => browser.close());
