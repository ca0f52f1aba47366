// On a narrow screen the buses stay in sight above the one column: a bar each, its state by shape
// first, and a tap goes there.
import type { Show, State } from "./answers.ts";
import { button, el, words } from "./dom.ts";

function onBattery(now: State): boolean {
  const gives = Object.values(now.sources).some((s) => s.amps > 0.05);
  return !gives && Object.values(now.batteries).some((b) => b.amps > 0.05);
}

export function busStrip(show: Show, now: State, go: (id: string) => void): Node[] {
  const draining = onBattery(now);
  return show.buses
    .filter((b) => b.kind === "bus")
    .map((b) => {
      const volts = now.nodes[b.id]?.volts ?? 0;
      const state = volts < 0.5 ? "dead" : draining ? "draining" : "live";
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
