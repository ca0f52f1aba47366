// The page in WebKitGTK, by WebDriver: opened from the disk, operated by mouse and keyboard, its
// answers the command line's. Needs a display: `xvfb-run -a node test/browser/webkit_check.mjs`.
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { existsSync } from "node:fs";
import { pathToFileURL } from "node:url";
import { askProgram, makePage } from "./open_page.mjs";

const bowline = "aircraft/bowline.yaml";
const page = makePage(bowline, "webkit.html");
const port = 20000 + (process.pid % 20000);
const env = { ...process.env, WEBKIT_DISABLE_COMPOSITING_MODE: "1" };
delete env.LC_ALL; // MiniBrowser ends at once where it is set to a locale that isn't installed
const driver = spawn("WebKitWebDriver", [`--port=${port}`], { stdio: "ignore", env });
const ELEMENT = "element-6066-11e4-a52e-4f735466cecf";

async function call(method, path, body) {
  const answer = await fetch(`http://127.0.0.1:${port}${path}`, {
    method,
    body: body === undefined ? undefined : JSON.stringify(body),
  });
  const { value } = await answer.json();
  if (!answer.ok) throw new Error(`${path}: ${value.error} ${value.message}`);
  return value;
}

async function retry(times, what) {
  for (let i = 0; ; i++)
    try {
      return await what();
    } catch (e) {
      if (i === times) throw e;
      await new Promise((go) => setTimeout(go, 200));
    }
}

function browserBinary() {
  const folders = ["/usr/lib/x86_64-linux-gnu", "/usr/lib/aarch64-linux-gnu"];
  for (const version of ["4.1", "4.0"])
    for (const folder of folders) {
      const path = `${folder}/webkit2gtk-${version}/MiniBrowser`;
      if (existsSync(path)) return path;
    }
  throw new Error("there is no MiniBrowser");
}

try {
  await retry(50, () => call("GET", "/status"));
  const { sessionId } = await call("POST", "/session", {
    capabilities: {
      alwaysMatch: {
        "webkitgtk:browserOptions": { binary: browserBinary(), args: ["--automation"] },
      },
    },
  });
  const at = `/session/${sessionId}`;
  const run = (script, ...args) => call("POST", `${at}/execute/sync`, { script, args });
  await call("POST", `${at}/window/rect`, { width: 1300, height: 900 });
  await call("POST", `${at}/url`, { url: `${pathToFileURL(page).href}#phase=cruise` });
  await retry(100, async () =>
    assert.equal(await run("return document.documentElement.dataset.ready"), "yes"),
  );
  const question = { ask: "state", phase: "approach", fail: ["alternator=dead"] };
  const inside = await run("return window.deadbus.ask(arguments[0])", JSON.stringify(question));
  assert.equal(inside, askProgram(bowline, question));

  const out = JSON.parse(
    askProgram(bowline, { ask: "state", phase: "cruise", set: { "radio-2-feeder": "out" } }),
  ).answer;
  const selector = 'rect.spot[data-part="radio-2-feeder"][tabindex]';
  const find = () => call("POST", `${at}/element`, { using: "css selector", value: selector });
  const checked = () =>
    run(`return document.querySelector(arguments[0]).getAttribute("aria-checked")`, selector);
  await run("document.querySelector(arguments[0]).scrollIntoView({block:'center'})", selector);
  const spot = (await find())[ELEMENT];
  const center = { [ELEMENT]: spot };
  await call("POST", `${at}/actions`, {
    actions: [
      {
        type: "pointer",
        id: "mouse",
        actions: [
          { type: "pointerMove", origin: center, x: 0, y: 0 },
          { type: "pointerDown", button: 0 },
          { type: "pointerUp", button: 0 },
        ],
      },
    ],
  });
  assert.equal(await checked(), "false", "mouse");
  const said = await run(`return document.querySelector("[role=status]").innerText`);
  assert.equal(said, out.sentence);
  await run("document.querySelector(arguments[0]).focus()", selector);
  await call("POST", `${at}/actions`, {
    actions: [
      {
        type: "key",
        id: "keys",
        actions: [
          { type: "keyDown", value: "\uE007" },
          { type: "keyUp", value: "\uE007" },
        ],
      },
    ],
  });
  assert.equal(await checked(), "true", "keyboard");
  await call("DELETE", at);
  console.log("WebKitGTK: the same answers, by mouse and keyboard");
} finally {
  driver.kill();
}
