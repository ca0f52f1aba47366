// On a narrow screen the buses stay in sight above the one column: a bar each, its state by shape
// first, and a tap goes there.
import type { Show, State } from "./answers.ts";
import { button, el, words } from "./dom.ts";

/** As its bar is drawn. */
export type BarState = "live" | "draining" | "dead";

export function busStrip(
  show: Show,
  now: State,
  bars: Map<string, BarState>,
  go: (id: string) => void,
): Node[] {
  return show.buses
    .filter((b) => b.kind === "bus")
    .map((b) => {
      const volts = now.nodes[b.id]?.volts ?? 0;
      const state = bars.get(b.id) ?? "dead";
      const one = button("", () => go(b.id), { class: `bus ${state}` });
      const said = state === "dead" ? "dead" : `${volts.toFixed(1)} V`;
      one.append(
        el("span", { class: "bus-bar" }),
        el("span", { class: "bus-name" }, words(b.label.toLowerCase())),
        el("b", {}, said),
      );
      return one;
    });
}
