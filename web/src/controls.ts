// The two rows at the top: name, views and undo; phases and what it is like outside.
import type { Show, State } from "./answers.ts";
import type { BenchState } from "./bench_state.ts";
import { button, el, svg, words } from "./dom.ts";

export type View = "bench" | "breakers" | "failures" | "print" | "file" | "endurance";

export interface ControlsHost {
  view: View;
  views: View[];
  predicting: boolean;
  canUndo: boolean;
  canRedo: boolean;
  go(view: View): void;
  undo(): void;
  redo(): void;
  reset(): void;
  phase(name: string): void;
  change(with_: Partial<BenchState>): void;
  outside(id: string, word: string): void;
  predict(on: boolean): void;
}

function arrow(back: boolean): SVGSVGElement {
  const d = back
    ? "M7 3L2.5 7.5L7 12M3 7.5H11A4 4 0 0 1 11 15.5H8"
    : "M9 3L13.5 7.5L9 12M13 7.5H5A4 4 0 0 0 5 15.5H8";
  return svg(
    "svg",
    { viewBox: "0 0 16 18", class: "icon", "aria-hidden": "true" },
    svg("path", { d }),
  );
}

/** Past all that stands above it, for who has no pointer. */
function toWork(): void {
  const main = document.querySelector("main");
  const spots = ".spot[tabindex='0'], .breaker[tabindex='0']";
  const first = main?.querySelector<HTMLElement>(spots) ?? main?.querySelector("button");
  first?.focus();
}

export function header(host: ControlsHost, show: Show, hiding: boolean): HTMLElement {
  const tabs = el("nav", { "aria-label": "Views" });
  for (const v of hiding ? [] : host.views)
    tabs.append(
      button(words(v), () => host.go(v), {
        class: "tab",
        "aria-current": host.view === v ? "page" : undefined,
      }),
    );
  const undo = button("Undo", () => host.undo(), { class: "plain", disabled: !host.canUndo });
  undo.prepend(arrow(true));
  const redo = button("Redo", () => host.redo(), { class: "plain", disabled: !host.canRedo });
  redo.prepend(arrow(false));
  return el(
    "header",
    { class: "top" },
    button("To the diagram or list", toWork, { class: "plain skip" }),
    el("h1", {}, show.name || "Aeroplane", " ", el("span", { class: "tail" }, show.tail)),
    tabs,
    el(
      "div",
      { class: "acts" },
      undo,
      redo,
      button("Reset", () => host.reset(), { class: "plain" }),
    ),
  );
}

function select(
  label: string,
  value: string,
  options: [string, string][],
  act: (value: string) => void,
): HTMLElement {
  const list = el("select", { change: () => act(list.value), "data-keep": label });
  for (const [v, text] of options)
    list.append(el("option", v === value ? { value: v, selected: true } : { value: v }, text));
  return el("label", { class: "outside" }, el("span", {}, label), list);
}

const CHARGES = ["100%", "80%", "60%", "40%", "20%", "10%"];
const HOLDS = ["100%", "90%", "80%", "70%", "60%", "50%", "40%"];
const TEMPERATURES = ["-20C", "-10C", "0C", "5C", "15C", "25C", "35C"];

/** What is set more rarely; it stays open from one change to the next. */
function moreOutside(host: ControlsHost, state: BenchState, now: State): HTMLElement {
  const open = document.querySelector<HTMLDetailsElement>(".more-outside")?.open;
  const more = el("details", { class: "more-outside", open }, el("summary", {}, "More"));
  const list = el("div", { class: "more-list" });
  for (const id of ["airborne", "cloud", "icing", "stall-near"]) {
    const on = now.outside[id] === true;
    list.append(
      button(words(id), () => host.outside(id, on ? "no" : "yes"), {
        role: "switch",
        "aria-checked": String(on),
      }),
    );
  }
  list.append(
    select(
      "Battery age",
      state.capacity,
      [
        ["", "by its case"],
        ...HOLDS.map((h): [string, string] => [h, `holds ${h.replace("%", " %")}`]),
      ],
      (v) => host.change({ capacity: v }),
    ),
    el(
      "p",
      { class: "quiet" },
      "Of what it held when new. Age tells on how long it lasts: run the clock.",
    ),
  );
  more.append(list);
  return more;
}

/** On a phone the phases are one strip that slides: the chosen one comes to its middle. */
export function showChosen(strip: Element | null): void {
  const chosen = strip?.querySelector<HTMLElement>("[aria-pressed=true]");
  if (!strip || !chosen || !matchMedia("(max-width: 640px)").matches) return;
  const middle = chosen.offsetLeft + chosen.offsetWidth / 2;
  strip.scrollLeft = middle - strip.clientWidth / 2;
}

export function controls(
  host: ControlsHost,
  show: Show,
  state: BenchState,
  now: State,
  normal: State,
): HTMLElement {
  const phases = el("div", { class: "phases", role: "group", "aria-label": "Phase of flight" });
  for (const p of show.phases)
    phases.append(
      button(words(p.name), () => host.phase(p.name), {
        class: "phase",
        "aria-pressed": p.name === state.phase ? "true" : "false",
      }),
    );
  const outside = el("div", { class: "conditions" });
  const night = now.outside.night ? "yes" : "no";
  outside.append(
    select(
      "Light",
      night,
      [
        ["no", "Day"],
        ["yes", "Night"],
      ],
      (v) => host.outside("night", v),
    ),
    select(
      "Outside",
      state.temperature,
      [
        ["", `${Math.round(normal.outside.temperature)} °C`.replace("-", "−")],
        ...TEMPERATURES.map((t): [string, string] => [
          t,
          `${t.replace("C", " °C").replace("-", "−")}`,
        ]),
      ],
      (v) => host.change({ temperature: v }),
    ),
    select(
      "Charge",
      state.charge,
      [["", "as filed"], ...CHARGES.map((c): [string, string] => [c, c.replace("%", " %")])],
      (v) => host.change({ charge: v }),
    ),
  );
  outside.append(moreOutside(host, state, now));
  const predict = button("Predict first", () => host.predict(!host.predicting), {
    role: "switch",
    class: "predict-switch",
    "aria-checked": String(host.predicting),
  });
  predict.append(el("span", { class: "knob", "aria-hidden": "true" }));
  outside.append(predict);
  return el("div", { class: "controls" }, phases, outside);
}

/** While a failure is hidden: when and where it is. */
export function quietControls(now: State): HTMLElement {
  const { night, temperature } = now.outside;
  const when = `${words(now.phase)}, ${night ? "night" : "day"}, ${Math.round(temperature)} °C.`;
  return el(
    "div",
    { class: "controls" },
    el("b", {}, `A failure is hidden. ${when.replace("-", "−")}`),
  );
}
