// What the card tells of a text that was edited since the page was made: the core's own words.
import { el } from "./dom.ts";
import type { Told } from "./print_view.ts";
import type { Session } from "./session.ts";

interface Card {
  works_with_everything_dead: string;
  eaters: { what: string; amps: number; basis: string }[];
  fading: { what: string; volts: number }[];
  endurance: { words: string } | null;
}

function list(lines: [figure: string, words: string][]): HTMLElement {
  return el("ul", {}, ...lines.map(([f, w]) => el("li", {}, el("b", {}, f), ` ${w}`)));
}

/** Empty where the core has no answer. */
export function toldByCore(session: Session): Told {
  const { answer } = session.plane.ask<Card>({ ask: "card" });
  const told: Told = new Map();
  if (!answer) return told;
  const soft = (basis: string) => (/^(assumed|guess)$/.test(basis) ? ", assumed" : "");
  told.set("dead", el("p", {}, answer.works_with_everything_dead));
  told.set(
    "eaters",
    list(answer.eaters.map((e) => [`${e.amps.toFixed(1)} A`, e.what + soft(e.basis)])),
  );
  told.set("fading", list(answer.fading.map((f) => [`${f.volts.toFixed(1)} V`, f.what])));
  if (answer.endurance) told.set("lasts", el("p", {}, answer.endurance.words));
  return told;
}
