// How large the pages are and how quick, in Chromium: the figures are printed, for tools/bench too.
//   node test/browser/speed_check.mjs
import assert from "node:assert/strict";
import { readdirSync, statSync } from "node:fs";
import { launch, makePage, open } from "./open_page.mjs";
import { runChecks } from "./run_checks.mjs";

const planes = readdirSync("aircraft").filter((name) => name.endsWith(".yaml"));
const pages = new Map(planes.map((name) => [name, makePage(`aircraft/${name}`, `${name}.html`)]));
const pageOf = (file) => pages.get(file);
const browser = await launch();

/** Switches worked twenty times, one after another: each tap until all of it is laid out. */
const taps = (tab, ids) =>
  tab.evaluate(async (ids) => {
    const times = [];
    for (let i = 0; i < 20; i++) {
      // Each twice: as it stood, it stands again.
      const id = ids[(i >> 1) % ids.length];
      const rect = document.querySelector(`rect.spot[data-part="${CSS.escape(id)}"][tabindex]`);
      const start = performance.now();
      rect.dispatchEvent(new MouseEvent("click", { bubbles: true }));
      document.body.getBoundingClientRect();
      times.push(performance.now() - start);
      await new Promise((go) => requestAnimationFrame(() => setTimeout(go, 0)));
    }
    times.sort((a, b) => a - b);
    return { least: Math.round(times[0]), median: Math.round(times[10]) };
  }, ids);

/** Of ten breakers' taps, in the page's thread, whatever else the machine does. */
async function ownTime(file) {
  const { tab, context } = await open(browser, pageOf(file), { hash: "#phase=cruise" });
  const session = await context.newCDPSession(tab);
  await session.send("Performance.enable", { timeDomain: "threadTicks" });
  const spent = async () => {
    const { metrics } = await session.send("Performance.getMetrics");
    const of = (name) => 1000 * metrics.find((m) => m.name === name).value;
    return [of("ScriptDuration"), of("RecalcStyleDuration"), of("LayoutDuration")];
  };
  const all = await tab
    .locator("rect.spot[role=switch]")
    .evaluateAll((spots) => spots.map((s) => s.dataset.part));
  const ids = all.filter((_, i) => i % Math.floor(all.length / 10) === 0).slice(0, 10);
  await taps(tab, ids); // once, so that the engine has compiled it
  const before = await spent();
  await taps(tab, ids);
  const [script, style, layout] = (await spent()).map((ms, i) => (ms - before[i]) / 20);
  await context.close();
  const own = (script + style + layout).toFixed(1);
  return (
    `${own} ms of the page's own thread: script ${script.toFixed(1)}, ` +
    `style ${style.toFixed(1)}, layout ${layout.toFixed(1)}`
  );
}

const checks = {
  async small_and_fast() {
    for (const file of planes) {
      const { size } = statSync(pageOf(file));
      console.log(`# student page of ${file}: ${size} bytes`);
      assert.ok(size <= 400_000, `${file}: ${size} bytes`);
    }
    const { tab, context } = await open(browser, pageOf("bowline.yaml"), { hash: "#phase=cruise" });
    const session = await context.newCDPSession(tab);
    const throttle = (rate) => session.send("Emulation.setCPUThrottlingRate", { rate });
    await throttle(6);
    await tab.reload();
    await tab.locator("html[data-ready=yes]").waitFor({ state: "attached" });
    const ready = await tab.evaluate(() => Math.round(window.deadbusReady));
    const slow = await taps(tab, ["com-1.breaker"]);
    await throttle(1);
    const quick = await taps(tab, ["com-1.breaker"]);
    console.log(`# ready ${ready} ms at 6x throttle (asked: 1000)`);
    console.log(`# tap ${slow.median} ms, at best ${slow.least}, at 6x throttle (asked: 50)`);
    console.log(`# tap ${quick.median} ms, at best ${quick.least}, unthrottled (asked: 16)`);
    await context.close();
    for (const file of planes) console.log(`# tap in ${file}: ${await ownTime(file)}`);
  },
};

await runChecks(checks, process.argv.slice(2), () => browser.close());
