// The figures that a mistake keeps from the core: whose they are, and a "?" where they would stand.
import type { Finding, Show } from "./answers.ts";
import { svg } from "./dom.ts";

const FIGURE = new Set(["no-unit", "unknown-unit", "wrong-unit", "number", "empty"]);
const KEY = /^(\s*)(?:"([^"]+)"|([^\s:#'"{}[\],]+))\s*:(?=\s|$)/;

export function awaitsFigure(f: Finding): boolean {
  return f.severity === "error" && FIGURE.has(f.code);
}

/** The key of the entry of its section in which a line stands; "" between them. */
export function entryAt(lines: string[], line: number): string {
  let found = "";
  let shallowest = Infinity;
  for (let n = line - 1; n >= 0; n--) {
    const [, indent = "", quoted, plain] = KEY.exec(lines[n] ?? "") ?? [];
    const key = quoted ?? plain;
    if (key === undefined || indent.length >= shallowest) continue;
    if (indent.length === 0) return found;
    found = key;
    shallowest = indent.length;
  }
  return found;
}

/** The part whose figure it is: a short row's breaker is a part of its own. */
export function awaitedPart(show: Show, lines: string[], f: Finding): string {
  const entry = entryAt(lines, f.line);
  const before = [...(lines[f.line - 1] ?? "")].slice(0, f.column - 1).join("");
  const key = /([\w-]+):[^,{}:]*$/.exec(before)?.[1] ?? "";
  const own = `${entry}.${key}`;
  return show.parts[own] ? own : entry;
}

const of = (node: Element, name: string) => Number(node.getAttribute(name));

function mark(art: SVGSVGElement, part: string, x: number, y: number): void {
  art.append(
    svg(
      "g",
      { class: "awaited", "data-part": part },
      svg("rect", { x: x - 13, y: y - 19, width: 26, height: 26, rx: 5 }),
      svg("text", { x, y, "text-anchor": "middle" }, "?"),
    ),
  );
}

/** In place of the figure beside a spot: a rating after a symbol, amps at the end of a row. */
function markAt(art: SVGSVGElement, spot: Element, part: string): void {
  const [x, y, width, height] = ["x", "y", "width", "height"].map((name) => of(spot, name));
  const [top, right] = [y ?? 0, (x ?? 0) + (width ?? 0)];
  const row = spot.getAttribute("data-kind") === "row";
  for (const text of art.querySelectorAll("text")) {
    const [tx, ty] = [of(text, "x"), of(text, "y")];
    if (ty < top || ty > top + (height ?? 0) + 4) continue;
    const figure = row
      ? text.classList.contains("e") && Math.abs(tx - right) < 2
      : tx >= right - 4 && tx < right + 40 && /^[\d.]+( |$)/.test(text.textContent ?? "");
    if (!figure) continue;
    const name = row ? "" : (text.textContent ?? "").replace(/^[\d.]+ ?/, "");
    if (!name) text.remove();
    else {
      text.textContent = name;
      text.setAttribute("x", String(tx + 34));
    }
    mark(art, part, row ? right - 13 : name ? tx + 13 : tx, ty);
    return;
  }
  mark(art, part, row ? right - 13 : right + 15, row ? top + 20 : top + (height ?? 0) / 2 + 6);
}

/** What the drawing shows of a part: its row before its symbol. */
export function spotOf(art: Element, part: string): Element | null {
  const spots = `rect.spot[data-part="${CSS.escape(part)}"]`;
  return art.querySelector(`${spots}[data-kind="row"]`) ?? art.querySelector(spots);
}

/** Gives those that the drawing has no place for. */
export function markAwaited(art: SVGSVGElement, parts: Iterable<string>): string[] {
  const homeless: string[] = [];
  for (const part of parts) {
    const spot = spotOf(art, part);
    if (spot) markAt(art, spot, part);
    else homeless.push(part);
  }
  return homeless;
}
