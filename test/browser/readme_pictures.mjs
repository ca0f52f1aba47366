// The README's pictures of the page: node test/browser/readme_pictures.mjs FOLDER
import assert from "node:assert/strict";
import { launch, makePage, open } from "./open_page.mjs";

const [folder] = process.argv.slice(2);
assert.ok(folder, "say which folder");
const page = makePage("aircraft/bowline.yaml", "bowline.html");

const tripped = "#phase=cruise&fail=radio-2-feeder:tripped";
const pictures = {
  "page-bench": { hash: tripped, width: 1280 },
  "page-phone": { hash: tripped, width: 412 },
  "page-clock": {
    hash: "#phase=night-cruise&fail=alternator:dead&at=300",
    width: 1280,
    async act(tab) {
      await tab.locator(".clock-chart").waitFor();
      await tab.locator(".clock").evaluate((clock) => clock.scrollIntoView());
    },
  },
};

const browser = await launch();
for (const [name, { hash, width, act }] of Object.entries(pictures)) {
  const { tab, context, wrong } = await open(browser, page, {
    hash,
    viewport: { width, height: 860 },
  });
  await act?.(tab);
  await tab.waitForTimeout(300);
  await tab.screenshot({ path: `${folder}/${name}.png` });
  assert.deepEqual(wrong, []);
  await context.close();
}
await browser.close();
