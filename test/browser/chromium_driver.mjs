// Chromium by playwright-core. axe-core runs here, in a world that the page's policy doesn't bind.
import { accessible, launch, open } from "./open_page.mjs";
import { Tab } from "./tab.mjs";

export async function start() {
  const browser = await launch();
  return {
    name: "Chromium",
    stop: () => browser.close(),
    async open(page, hash) {
      const { tab, context, wrong } = await open(browser, page, { hash, colorScheme: "dark" });
      return new Tab({
        evaluate: (text) => tab.evaluate(text),
        pointer: (x, y) => tab.mouse.click(x, y),
        keys: (keys) => tab.keyboard.press(keys.map((k) => (k === " " ? "Space" : k)).join("+")),
        pdf: () => tab.pdf({ format: "A4", preferCSSPageSize: true }),
        accessible: (where) => accessible(tab, where),
        wrong: () => wrong,
        close: () => context.close(),
      });
    },
  };
}
