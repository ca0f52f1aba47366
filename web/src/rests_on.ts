// What the amps of a bus rest on: measured solid, from a book hatched, open hollow.
import type { Bus, Show } from "./answers.ts";
import { el, svg, words } from "./dom.ts";

export type Ground = "measured" | "book" | "open";

export const GROUNDS: Ground[] = ["measured", "book", "open"];

/** What nobody measured or looked up is open, whoever wrote it. */
export function groundOf(basis: string): Ground {
  return basis === "measured" || basis === "book" ? basis : "open";
}

/** The bus a part hangs on or is; else the one with most on it. */
export function busOf(show: Show, part: string): Bus | undefined {
  const on = show.buses.find(
    (b) =>
      b.id === part ||
      b.rows.some(
        (r) => r.id === part || r.breaker === part || r.through.some((t) => t.id === part),
      ),
  );
  return on ?? [...show.buses].sort((a, b) => b.rows.length - a.rows.length)[0];
}

/** What is written for all that hangs on it, each taker once. */
export function restsOn(bus: Bus): Record<Ground, number> {
  const sums = { measured: 0, book: 0, open: 0 };
  const seen = new Set<string>();
  for (const row of bus.rows) {
    const taker = `${row.end} ${row.id}`;
    if (row.amps === undefined || seen.has(taker)) continue;
    seen.add(taker);
    sums[groundOf(row.basis ?? "")] += row.amps;
  }
  return sums;
}

const amps = (value: number) => (value ? value.toFixed(value < 0.1 ? 2 : 1) : "0");

let bars = 0;

/** Strips of these shares one behind the other. */
function strips(shares: Record<Ground, number>, name: string): SVGSVGElement {
  const hatch = `hatch-${++bars}`;
  const out = svg("svg", { class: "rests", role: "img", "aria-label": name });
  out.append(
    svg(
      "pattern",
      {
        id: hatch,
        width: 9,
        height: 9,
        patternUnits: "userSpaceOnUse",
        patternTransform: "rotate(-45)",
      },
      svg("path", { d: "M0 0V9", stroke: "var(--ink)", "stroke-width": 5 }),
    ),
  );
  let at = 0;
  for (const ground of GROUNDS) {
    const share = shares[ground] * 100;
    if (share <= 0) continue;
    const fill = ground === "measured" ? "var(--ink)" : ground === "book" ? `url(#${hatch})` : "";
    out.append(
      svg("rect", {
        class: ground,
        x: `${at}%`,
        y: 2,
        width: `${share}%`,
        height: 20,
        fill: fill || "none",
      }),
    );
    at += share;
  }
  return out;
}

export function restsBar(bus: Bus): HTMLElement {
  const sums = restsOn(bus);
  const all = GROUNDS.reduce((sum, g) => sum + sums[g], 0);
  const name = words(bus.label.toLowerCase());
  const box = el("section", { class: "rests-on" });
  if (!all) {
    box.append(el("h2", {}, `Nothing on ${name} takes amps`));
    return box;
  }
  const said = GROUNDS.map((g) => `${amps(sums[g])} ${g}`);
  const shares = { ...sums };
  for (const g of GROUNDS) shares[g] /= all;
  const list = el("ul");
  GROUNDS.forEach((g, i) => {
    const [figure = "", word = ""] = said[i]?.split(" ") ?? [];
    const swatch = strips({ measured: 0, book: 0, open: 0, [g]: 1 }, word);
    swatch.setAttribute("aria-hidden", "true");
    list.append(el("li", {}, swatch, el("b", {}, figure), ` ${word}`));
  });
  box.append(
    el("h2", {}, `What ${name} rests on, of ${amps(all)} A if all is on`),
    strips(shares, `${said.join(", ")}, in amps`),
    list,
  );
  return box;
}
