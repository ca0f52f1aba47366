// WebKitGTK by WebDriver. Needs a display: `xvfb-run -a node test/browser/steps_check.mjs webkit`.
import { spawn } from "node:child_process";
import { existsSync } from "node:fs";
import { pathToFileURL } from "node:url";
import { Tab } from "./tab.mjs";

const KEYS = {
  Backspace: "\uE003",
  Enter: "\uE007",
  Control: "\uE009",
  End: "\uE010",
  Home: "\uE011",
  ArrowLeft: "\uE012",
  ArrowUp: "\uE013",
  ArrowRight: "\uE014",
  ArrowDown: "\uE015",
};

function browserBinary() {
  const folders = ["/usr/lib/x86_64-linux-gnu", "/usr/lib/aarch64-linux-gnu"];
  for (const version of ["4.1", "4.0"])
    for (const folder of folders) {
      const path = `${folder}/webkit2gtk-${version}/MiniBrowser`;
      if (existsSync(path)) return path;
    }
  throw new Error("there is no MiniBrowser");
}

export async function start() {
  const port = 20000 + (process.pid % 20000);
  const env = { ...process.env, WEBKIT_DISABLE_COMPOSITING_MODE: "1" };
  delete env.LC_ALL; // MiniBrowser ends at once where it is set to a locale that isn't installed
  const driver = spawn("WebKitWebDriver", [`--port=${port}`], { stdio: "ignore", env });

  async function call(method, path, body) {
    const answer = await fetch(`http://127.0.0.1:${port}${path}`, {
      method,
      body: body === undefined ? undefined : JSON.stringify(body),
    });
    const { value } = await answer.json();
    if (!answer.ok) throw new Error(`${path}: ${value.error} ${value.message}`);
    return value;
  }

  for (let i = 0; ; i++)
    try {
      await call("GET", "/status");
      break;
    } catch (e) {
      if (i === 50) throw e;
      await new Promise((go) => setTimeout(go, 200));
    }
  const { sessionId } = await call("POST", "/session", {
    capabilities: {
      alwaysMatch: {
        "webkitgtk:browserOptions": { binary: browserBinary(), args: ["--automation"] },
      },
    },
  });
  const at = `/session/${sessionId}`;
  await call("POST", `${at}/window/rect`, { width: 1300, height: 900 });

  const evaluate = (text) =>
    call("POST", `${at}/execute/sync`, { script: `return ${text}`, args: [] });
  const act = (...actions) => call("POST", `${at}/actions`, { actions });
  const pointer = (x, y) =>
    act({
      type: "pointer",
      id: "mouse",
      actions: [
        { type: "pointerMove", x, y },
        { type: "pointerDown", button: 0 },
        { type: "pointerUp", button: 0 },
      ],
    });
  const keys = (all) => {
    const values = all.map((k) => KEYS[k] ?? k);
    return act({
      type: "key",
      id: "keys",
      actions: [
        ...values.map((value) => ({ type: "keyDown", value })),
        ...[...values].reverse().map((value) => ({ type: "keyUp", value })),
      ],
    });
  };
  const pdf = async () => {
    try {
      return Buffer.from(await call("POST", `${at}/print`, { orientation: "landscape" }), "base64");
    } catch (e) {
      if (/unknown (command|method)|unsupported/.test(String(e))) return null;
      throw e;
    }
  };

  return {
    name: "WebKitGTK",
    async stop() {
      await call("DELETE", at).catch(() => undefined);
      driver.kill();
    },
    async open(page, hash) {
      // Another hash alone wouldn't load the page again.
      await call("POST", `${at}/url`, { url: "about:blank" });
      await call("POST", `${at}/url`, { url: pathToFileURL(page).href + hash });
      const wrong = () => evaluate("window.wrong ?? []");
      const made = new Tab({ evaluate, pointer, keys, pdf, wrong, close: () => undefined });
      // The driver doesn't tell what the console says: from here on the page itself keeps it.
      await made.run(() => {
        window.wrong = [];
        addEventListener("error", (e) => window.wrong.push(String(e.message)));
        addEventListener("unhandledrejection", (e) => window.wrong.push(String(e.reason)));
        document.addEventListener("securitypolicyviolation", (e) =>
          window.wrong.push(`policy: ${e.violatedDirective} ${e.blockedURI}`),
        );
      });
      await made.until("a page that is ready", async () => (await ready(made)) === "yes");
      return made;
    },
  };
}

const ready = (tab) => tab.look("html", "data-ready");
