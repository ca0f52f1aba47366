// Firefox ESR by WebDriver BiDi.
import { pathToFileURL } from "node:url";
import puppeteer from "puppeteer-core";
import { Tab } from "./tab.mjs";

export async function start() {
  const browser = await puppeteer.launch({
    browser: "firefox",
    executablePath: "/usr/bin/firefox-esr",
    headless: true,
  });
  return {
    name: "Firefox ESR",
    stop: () => browser.close(),
    async open(page, hash) {
      const wrong = [];
      const tab = await browser.newPage();
      tab.on("console", (m) => ["error", "warn"].includes(m.type()) && wrong.push(m.text()));
      tab.on("pageerror", (e) => wrong.push(String(e)));
      await tab.setViewport({ width: 1280, height: 800 });
      await tab.goto(pathToFileURL(page).href + hash);
      const made = new Tab({
        evaluate: (text) => tab.evaluate(text),
        pointer: (x, y) => tab.mouse.click(x, y),
        async keys(keys) {
          for (const k of keys) await tab.keyboard.down(k);
          for (const k of [...keys].reverse()) await tab.keyboard.up(k);
        },
        pdf: async () => Buffer.from(await tab.pdf({ format: "A4", preferCSSPageSize: true })),
        wrong: () => wrong,
        close: () => tab.close(),
      });
      await made.until("a page that is ready", async () => (await ready(made)) === "yes");
      return made;
    },
  };
}

const ready = (tab) => tab.look("html", "data-ready");
