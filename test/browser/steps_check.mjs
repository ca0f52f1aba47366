// The page in one browser, opened from the disk:
//   node test/browser/steps_check.mjs chromium|firefox|webkit [NAME...]
import { runChecks } from "./run_checks.mjs";
import { steps } from "./steps.mjs";

const [which, ...wanted] = process.argv.slice(2);
const { start } = await import(`./${which}_driver.mjs`);
const browser = await start();
console.log(`# ${browser.name}`);
const open = (page, hash) => browser.open(page, hash);
const checks = Object.entries(steps).map(([name, step]) => [name, () => step(open, browser.name)]);
await runChecks(Object.fromEntries(checks), wanted, () => browser.stop());
