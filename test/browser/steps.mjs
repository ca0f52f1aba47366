// What every browser has to do, told once: the drivers differ, the steps don't.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { askProgram, makePage, scratch } from "./open_page.mjs";

const bowline = "aircraft/bowline.yaml";
const student = makePage(bowline, "steps-student.html");
const fullest = makePage("aircraft/clove.yaml", "steps-fullest.html");
const instructor = makePage(bowline, "steps-instructor.html", "--instructor");
const spot = (id) => `rect.spot[data-part="${id}"][tabindex]`;
const answer = (question) => JSON.parse(askProgram(bowline, question)).answer;

/** What the page tells, without the lists of all parts and faults that one chooses from. */
function shown(tab) {
  return tab.run(() => {
    const copy = document.querySelector("#app").cloneNode(true);
    copy.querySelectorAll("select").forEach((s) => s.remove());
    return copy.outerHTML;
  });
}

/** The address that hides what fails now, as the instructor hands it out. */
async function handOut(open, fail) {
  const tab = await open(student, `#phase=cruise&fail=${encodeURIComponent(fail)}`);
  await tab.click("summary", "Hand this out as a hidden failure");
  const address = await tab.look(".hand-out a", "href", "Try it");
  await tab.close();
  return address.slice(address.indexOf("#"));
}

/** Print rules for every medium: as much of a sheet as a browser shows that can't print here. */
function asPrinted(tab) {
  return tab.run(() => {
    let made = 0;
    for (const sheet of document.styleSheets)
      for (const rule of sheet.cssRules)
        if (rule.media?.mediaText === "print") {
          rule.media.mediaText = "all";
          made++;
        }
    return made;
  });
}

function checkPdf(pdf, name) {
  assert.equal(pdf.subarray(0, 4).toString(), "%PDF");
  const file = join(scratch, `${name}.pdf`);
  writeFileSync(file, pdf);
  const info = execFileSync("pdfinfo", [file], { encoding: "utf8" });
  assert.match(info, /Pages: +1\n/, info);
  const [, width, height] = /Page size: +([\d.]+) x ([\d.]+)/.exec(info).map(Number);
  // A4 on its side, in points (ISO 216: 210 x 297 mm).
  assert.ok(Math.abs(width - 841.9) < 2 && Math.abs(height - 595.3) < 2, `${width} x ${height}`);
  const text = execFileSync("pdftotext", ["-layout", file, "-"], { encoding: "utf8" });
  for (const wanted of ["SYSTEM NOTES, NOT A CHECKLIST", "BREAKERS BY PLACE", "Checked by"])
    assert.ok(text.includes(wanted), `${wanted} is on the sheet`);
  for (const unwanted of ["Undo", "Predict first", "Wall diagram"])
    assert.ok(!text.includes(unwanted), `${unwanted} isn't printed`);
}

export const steps = {
  async the_command_lines_answers(open) {
    const tab = await open(student, "#phase=cruise");
    for (const question of [
      { ask: "state", phase: "approach", fail: ["alternator=dead"] },
      { ask: "draw", theme: "page", width: "1040" },
    ]) {
      const inside = await tab.run((q) => window.deadbus.ask(q), JSON.stringify(question));
      assert.deepEqual(inside, JSON.parse(askProgram(bowline, question)));
    }
    await tab.close();
  },

  async a_breaker_by_mouse_and_keyboard(open) {
    const tab = await open(student, "#phase=cruise");
    const feeder = spot("radio-2-feeder");
    const out = answer({ ask: "state", phase: "cruise", set: { "radio-2-feeder": "out" } });
    await tab.click(feeder);
    assert.equal(await tab.look(feeder, "aria-checked"), "false", "mouse");
    assert.equal(await tab.status(), out.sentence);
    const figures = await tab.run(() =>
      [...document.querySelectorAll(".meter .big")].map((e) => e.innerText),
    );
    for (const i of Object.values(out.indications).filter((one) => one.unit))
      assert.ok(figures.includes(i.reading), `${i.reading} is on a gauge`);
    await tab.focus(feeder);
    await tab.press("Enter");
    assert.equal(await tab.look(feeder, "aria-checked"), "true", "keyboard");
    await tab.press("ArrowDown");
    const at = await tab.run(() => document.activeElement?.getAttribute("data-part"));
    assert.ok(at && at !== "radio-2-feeder", `the arrow goes on, to ${at}`);
    await tab.close();
  },

  async predict_then_reveal(open) {
    const tab = await open(student, "#phase=cruise");
    await tab.click("[role=switch]", "Predict first");
    await tab.click(spot("radio-2-feeder"));
    assert.match(await tab.status(), /^You pull RADIO 2\. Mark/);
    assert.ok(!(await tab.look("body", "innerText")).includes("dead, 0 V"), "nothing is told");
    assert.equal(await tab.run(() => location.hash), "#phase=cruise", "nor by the address");
    for (const id of ["com-2", "nav-2", "transponder"])
      await tab.click(`rect.spot[data-mark="${id}"]`);
    await tab.accessible("predicting");
    const commit = () => tab.look("button", "disabled", "Commit and see");
    assert.notEqual(await commit(), null, "not before one says how sure one is");
    assert.notEqual(await commit(), false);
    await tab.click(".ways button", "to discharge");
    await tab.click(".sure button", "3 sure");
    await tab.click("button", "Commit and see");
    assert.match(await tab.status(), /^You saw 2 of 4 lost/);
    const gap = await tab.look(".gap-list", "innerText");
    assert.match(gap, /Com 2: seen/);
    assert.match(gap, /GPS: missed/);
    assert.match(gap, /Transponder: kept after all/);
    assert.match(gap, /RADIO 2 breaker is out/);
    await tab.accessible("revealed");
    await tab.click("button", "Go on");
    assert.match(await tab.status(), /4 items lost/);
    await tab.close();
  },

  async a_hidden_failure_gives_nothing_away(open) {
    const address = await handOut(open, "alternator:dead");
    assert.ok(!/alternator|dead|cruise/.test(address) && address.length > 100);
    const tab = await open(student, address);
    const telling = async () =>
      /off line|battery only|=dead|alternator[^"]*(dead|fail)/i.exec(await shown(tab))?.[0] ?? "";
    assert.match(await tab.status(), /^Something has failed/);
    assert.equal(await telling(), "");
    assert.equal(await tab.count(".drawing"), 0, "no diagram");
    await tab.accessible("hidden failure");
    await tab.click('[aria-label="LANDING switch"] button', "on");
    assert.equal(await telling(), "");
    assert.ok(!/fail=/.test(await tab.run(() => location.hash)));
    await tab.choose("#guess-part", "field-breaker");
    await tab.choose("#guess-kind", "tripped");
    await tab.click(".sure button", "2 fairly");
    assert.equal(await telling(), "", "until one commits");
    await tab.click("button", "Commit and see");
    const said = await tab.look('[aria-label="Debrief"]', "innerText");
    assert.match(said, /It was: Alternator, dead/);
    assert.match(said, /You put LANDING to on/);
    assert.equal(await tab.count(".drawing svg"), 1, "and the diagram is there");
    await tab.close();
  },

  async a_mistake_in_the_file_shows_at_its_line(open) {
    const tab = await open(instructor, "#phase=cruise");
    await tab.view("File");
    const line = readFileSync(bowline, "utf8").split("\n").length + 1;
    await tab.focus(".editor-host >>> .cm-content");
    await tab.press("Control", "End");
    await tab.type("\nnonsense: 1\n");
    await tab.until("a finding", () => tab.count(".findings li.error"));
    const found = await tab.look(".findings li.error", "innerText");
    assert.match(found, /nonsense/);
    assert.ok(found.startsWith(`Line ${line}`), `${found} is of line ${line}`);
    assert.match(await tab.status(), /diagram waits/);
    const beside = await tab.run(() => {
      const root = document.querySelector(".editor-host").shadowRoot;
      const mark = root.querySelector(".cm-lint-marker-error")?.getBoundingClientRect();
      const lines = [...root.querySelectorAll(".cm-line")];
      const said = lines.find((l) => l.textContent.includes("nonsense")).getBoundingClientRect();
      return mark && mark.top >= said.top - 4 && mark.bottom <= said.bottom + 4;
    });
    assert.ok(beside, "the mark stands beside it");
    const below = ".editor-host >>> .said-below.error";
    assert.match(await tab.look(below, "innerText"), /nonsense/, "and below its line");
    await tab.accessible("file");
    await tab.click(".findings button", `Line ${line}`);
    for (let i = 0; i < 30 && (await tab.count(".findings li.error")); i++) {
      await tab.press("Control", "z");
      await new Promise((go) => setTimeout(go, 400));
    }
    assert.equal(await tab.count(".findings li.error"), 0, "taken back");
    assert.match(await tab.status(), /The file is right/);
    await tab.close();
  },

  async what_is_plain_is_put_right(open) {
    const tab = await open(instructor, "#phase=cruise");
    await tab.view("File");
    await tab.click("button", "Start a new aircraft");
    const said = async () => (await tab.status()).startsWith("The file is right");
    const drawn = () => tab.look(".file-view .drawing", "textContent");
    await tab.until("the short aircraft", async () => !(await drawn()).includes("Radio bus"));
    assert.ok(await said(), await tab.status());
    await tab.focus(".editor-host >>> .cm-content");
    await tab.press("Control", "End");
    await tab.type("  taxi:            {engin: 1000}\n");
    const write = (words) => tab.click(".editor-host >>> .said-below button", `Write ${words}`);
    const offered = (words) => tab.count(".editor-host >>> .said-below button", `Write ${words}`);
    await tab.until("the key that is meant", () => offered("engine"));
    await write("engine");
    await tab.until("the unit that is missing", () => offered("1000 rpm"));
    await write("1000 rpm");
    await tab.until("a file that is right again", said);
    const text = await tab.run(
      () =>
        document.querySelector(".editor-host").shadowRoot.querySelector(".cm-content").innerText,
    );
    assert.match(text, /taxi: +\{engine: 1000 rpm\}/);
    await tab.close();
  },

  async a_missing_figure_has_its_place(open) {
    const tab = await open(instructor, "#phase=cruise");
    await tab.view("File");
    await tab.click("button", "Start a new aircraft");
    const editor = ".editor-host >>> .cm-content";
    const right = async () => (await tab.status()).startsWith("The file is right");
    const drawn = () => tab.look(".file-view .drawing", "textContent");
    await tab.until("the short aircraft", async () => !(await drawn()).includes("Radio bus"));
    const lines = (await tab.look(editor, "innerText")).split("\n").filter((l) => l !== "");
    const at = lines.findIndex((l) => l.trimStart().startsWith("com:"));
    await tab.focus(editor);
    await tab.press("Control", "Home");
    const typed = async (key, times) => {
      for (let i = 0; i < times; i++) await tab.press(key);
    };
    const unit = " A, from: main-bus, breaker: 5 A COM, gives: communication}";
    assert.ok(lines[at].endsWith(unit));
    // Empty lines aren't in the list; what hangs on the part's row tells when its line is reached.
    const chosen = () => tab.look(".file-view .chosen", "data-part");
    for (let i = 0; i < 40 && (await chosen()) !== "com"; i++) await tab.press("ArrowDown");
    assert.equal(await chosen(), "com", "the drawing follows the line");
    await tab.press("End");
    await typed("ArrowLeft", unit.length - 2);
    await typed("Backspace", 2);
    await tab.until("the place of the figure", () => tab.count(".awaited"));
    assert.equal(await tab.status(), "The diagram waits for one figure.");
    const inside = await tab.run(() => {
      const mark = document.querySelector('.awaited[data-part="com"]').getBoundingClientRect();
      const row = document.querySelector('.file-view .spot[data-part="com"][data-kind="row"]');
      const box = row.getBoundingClientRect();
      const middle = mark.top + mark.height / 2;
      return middle > box.top && middle < box.bottom && Math.abs(mark.right - box.right) < 4;
    });
    assert.ok(inside, "it stands where the amps would");
    await tab.accessible("a missing figure");
    await tab.click(".editor-host >>> .said-below button", "Write 1.2 A");
    await tab.until("a file that is right again", right);
    assert.equal(await tab.count(".awaited"), 0);
    await tab.close();
  },

  async the_clock_runs_and_is_kept(open) {
    const lost = "#phase=night-cruise&fail=alternator%3Adead";
    const story = (happens) =>
      JSON.stringify({
        scenario: 1,
        title: "Lost by night",
        start: { phase: "night-cruise", fail: { alternator: "dead" } },
        happens,
        ends: { at: "4 h" },
      });
    const said = (at, happens = []) =>
      answer({ ask: "state", scenario: story(happens), at }).sentence;
    const tab = await open(student, `${lost}&at=300`);
    assert.equal(await tab.status(), said("300s"));
    await tab.click(spot("com-2.breaker"));
    const pulled = [{ at: "300 s", set: { "com-2.breaker": "out" } }];
    await tab.until(
      "the breaker is out",
      async () => (await tab.status()) === said("300s", pulled),
    );
    await tab.click(".clock button", "Run");
    await tab.until(
      "time passes",
      async () => (await tab.look(".clock output", "innerText")) !== "5:00",
    );
    await tab.click(".clock button", "Pause");
    await tab.until("what comes is drawn", async () =>
      /Low case: .* lost after \d+ min/.test(await tab.look(".clock > p", "innerText")),
    );
    await tab.close();
  },

  async the_fullest_card_is_one_sheet(open, name) {
    const tab = await open(fullest, "#phase=cruise");
    await tab.view("Print");
    const pdf = await tab.pdf();
    if (pdf) checkPdf(pdf, name);
    await tab.close();
  },

  async the_bench_prints_as_one_sheet(open, name) {
    const tab = await open(student, "#phase=cruise&fail=alternator:dead");
    const pdf = await tab.pdf();
    if (pdf) {
      const file = join(scratch, `bench-${name}.pdf`);
      writeFileSync(file, pdf);
      assert.match(execFileSync("pdfinfo", [file], { encoding: "utf8" }), /Pages: +1\n/);
      const text = execFileSync("pdftotext", ["-layout", file, "-"], { encoding: "utf8" });
      for (const wanted of ["Battery discharging", "RADIO 1", "approved handbook"])
        assert.ok(text.includes(wanted), `${wanted} is on the sheet`);
    }
    await tab.close();
  },

  async it_prints(open, name) {
    const tab = await open(student, "#phase=cruise");
    await tab.view("Print");
    await tab.accessible("print");
    const pdf = await tab.pdf();
    if (pdf) checkPdf(pdf, name);
    else {
      console.log(`# ${name} has no print command: its print rules are applied on the screen`);
      assert.ok((await asPrinted(tab)) >= 2, "there are rules for print");
      for (const gone of [".top", ".controls", ".print-bar", "[role=status]"])
        assert.equal(
          await tab.run((s) => document.querySelector(s).getClientRects().length, gone),
          0,
          `${gone} isn't printed`,
        );
      const cards = await tab.run(() =>
        [...document.querySelectorAll(".card")].map((c) => {
          const box = c.getBoundingClientRect();
          const look = getComputedStyle(c);
          return { top: box.top, color: look.color, background: look.backgroundColor };
        }),
      );
      assert.equal(cards.length, 2);
      assert.equal(cards[0].top, cards[1].top, "two on a sheet");
      for (const c of cards) {
        assert.equal(c.color, "rgb(0, 0, 0)");
        assert.equal(c.background, "rgb(255, 255, 255)");
      }
    }
    await tab.close();
  },
};
