// Unpacks the core and puts the page's views over the plain markup. If anything is missing the
// plain markup stays: it can be read without any of this.
import { App, type Extra } from "./app.ts";
import { Core } from "./core.ts";

/** The style of the views (app.css); the page's policy names its hash. */
declare const APP_STYLE: string;

declare global {
  interface Window {
    deadbusModules: Promise<ArrayBuffer[]>;
  }
}

/** `file`: where the aeroplane stands, as the page's core reads it. */
export async function start(file: string, extras: Extra[]): Promise<void> {
  const text = document.getElementById(file)?.textContent ?? "";
  try {
    const core = await Core.start(await window.deadbusModules);
    const style = document.createElement("style");
    style.textContent = APP_STYLE;
    document.head.append(style);
    const app = new App(core, text, extras);
    document.documentElement.dataset["ready"] = "yes";
    Object.defineProperty(window, "deadbusReady", { value: performance.now() });
    // For tests and for those who look behind: the page's core answers as the command line does.
    Object.defineProperty(window, "deadbus", {
      value: { ask: (q: string) => app.session.plane.ask(JSON.parse(q)) },
    });
  } catch (e) {
    document.documentElement.dataset["ready"] = "no";
    const note = document.createElement("p");
    note.className = "caution";
    note.textContent = "This reader can't run the bench; what follows can be read all the same.";
    document.querySelector("#plain header")?.append(note);
    console.error(e);
  }
}
