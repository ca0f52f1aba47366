// The page in one browser, opened from the disk:
//   node test/browser/steps_check.mjs chromium|firefox|webkit [NAME...]
import { steps } from "./steps.mjs";

const [which, ...wanted] = process.argv.slice(2);
const { start } = await import(`./${which}_driver.mjs`);
const browser = await start();
let failed = 0;
try {
  for (const [name, step] of Object.entries(steps)) {
    if (wanted.length && !wanted.includes(name)) continue;
    try {
      await step((page, hash) => browser.open(page, hash), browser.name);
      console.log(`ok - ${browser.name}: ${name}`);
    } catch (e) {
      failed++;
      console.log(`not ok - ${browser.name}: ${name}\n${String(e.stack ?? e).slice(0, 1500)}`);
    }
  }
} finally {
  await browser.stop();
}
console.log(failed ? `${failed} failed` : `${browser.name}: all in order`);
process.exit(failed ? 1 : 0);
