// The lists beside and below the diagram, in Chromium: each loss with its reason, and where they
// stand.
//   node test/browser/lists_check.mjs [NAME...]
import assert from "node:assert/strict";
import { launch, makePage, open } from "./open_page.mjs";
import { runChecks } from "./run_checks.mjs";

const browser = await launch();
const page = (plane) => makePage(`aircraft/${plane}.yaml`, `lists-${plane}.html`);

const checks = {
  async every_loss_has_its_reason() {
    for (const [plane, fail, off] of [
      ["clove", "right-bus:short", "Cabin heat"],
      ["reef", "main-bus:short", "Pitot heat"],
      ["sheetbend", "essential-bus:short", ""],
    ]) {
      const hash = `#phase=cruise&fail=${fail}`;
      const { tab, context, wrong } = await open(browser, page(plane), { hash });
      const lost = tab.locator(".list", { has: tab.getByRole("heading", { name: "Lost" }) });
      const said = await lost.locator("dt").evaluateAll((all) =>
        all.map((dt) => {
          const next = dt.nextElementSibling;
          return [dt.textContent, next?.localName === "dd" ? next.textContent : ""];
        }),
      );
      assert.ok(said.length >= 1, plane);
      for (const [what, why] of said) assert.ok(why, `${plane}: ${what} has no reason`);
      const reason = said.find(([what]) => off && what.includes(off))?.[1];
      assert.equal(reason ?? "", off ? "Off now, and it wouldn't come on" : "", plane);
      assert.deepEqual(wrong, []);
      await context.close();
    }
  },

  async lists_stand_where_the_page_is_shorter() {
    // Much to say and a narrow room: below the drawing. Room under short columns: there.
    for (const [plane, hash, beside] of [
      ["halyard", "#phase=cruise&fail=engine-bus:short", false],
      ["clove", "#phase=cruise", true],
    ]) {
      const viewport = { width: 1920, height: 1080 };
      const { tab, context } = await open(browser, page(plane), { hash, viewport });
      assert.equal(await tab.locator(".work.roomy").count(), beside ? 1 : 0, plane);
      const [lists, drawing] = await tab.evaluate(() =>
        [".lists", ".drawing svg"].map((s) => document.querySelector(s).getBoundingClientRect()),
      );
      assert.equal(lists.top < drawing.bottom, beside, plane);
      await context.close();
    }
  },
};

await runChecks(checks, process.argv.slice(2), () => browser.close());
