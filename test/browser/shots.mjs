// Pictures of the page: node test/browser/shots.mjs PAGE.html FOLDER [NAME...]
import { mkdirSync } from "node:fs";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const [page, folder, ...names] = process.argv.slice(2);
const shots = [
  { name: "bench-light", width: 1440, height: 900 },
  {
    name: "bench-dark",
    width: 1440,
    height: 900,
    dark: true,
    hash: "#phase=cruise&fail=alternator:dead&fail=radio-2-feeder:tripped",
  },
  { name: "bench-1280", width: 1280, height: 800, hash: "#phase=cruise&fail=alternator:dead" },
  { name: "bench-1920", width: 1920, height: 1080 },
  { name: "phone-412", width: 412, height: 915, hash: "#phase=cruise&fail=alternator:dead" },
  { name: "phone-320", width: 320, height: 640 },
  { name: "breakers", width: 1440, height: 900, view: "Breakers" },
  { name: "failures", width: 1440, height: 900, view: "Failures", wait: 2500 },
  { name: "predict", width: 1440, height: 900, predict: true },
  { name: "phone-predict", width: 412, height: 915, predict: true },
  { name: "print", width: 1440, height: 900, view: "Print" },
  { name: "file", width: 1440, height: 900, view: "File" },
  { name: "plain", width: 1280, height: 900, scripts: false },
];
mkdirSync(folder, { recursive: true });
const browser = await chromium.launch({
  executablePath: "/usr/bin/chromium",
  args: ["--no-sandbox"],
});
for (const s of shots) {
  if (names.length && !names.includes(s.name)) continue;
  const context = await browser.newContext({
    viewport: { width: s.width, height: s.height },
    colorScheme: s.dark ? "dark" : "light",
    javaScriptEnabled: s.scripts !== false,
  });
  const tab = await context.newPage();
  tab.on(
    "console",
    (m) => ["error", "warning"].includes(m.type()) && console.log(s.name, m.text()),
  );
  tab.on("pageerror", (e) => console.log(s.name, String(e)));
  await tab.goto(pathToFileURL(resolve(page)).href + (s.hash ?? ""));
  if (s.scripts !== false) await tab.locator("html[data-ready=yes]").waitFor({ state: "attached" });
  if (s.view) await tab.locator("nav").getByRole("button", { name: s.view, exact: true }).click();
  if (s.predict) {
    await tab.getByRole("switch", { name: "Predict first" }).click();
    await tab.locator("rect.spot[data-part='radio-2-feeder'][role]").first().click({ force: true });
  }
  await tab.waitForTimeout(s.wait ?? 300);
  await tab.screenshot({ path: `${folder}/${s.name}.png`, fullPage: true });
  await context.close();
}
await browser.close();
