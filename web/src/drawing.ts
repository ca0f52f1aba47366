// A drawing that is kept from one state to the next: the core writes one element a line, so what
// has the same line keeps its element, and only what changed is parsed and laid out again.

import { arrange } from "./dom.ts";

const SVG = "http://www.w3.org/2000/svg";

/** Parses what the core drew: character data can't become elements, and nothing in it runs. */
export function parseDrawing(text: string): SVGSVGElement | null {
  const parsed = new DOMParser().parseFromString(text, "image/svg+xml");
  const root = parsed.documentElement;
  if (root.nodeName !== "svg") return null;
  return document.adoptNode(root) as unknown as SVGSVGElement;
}

interface Split {
  open: string;
  title: string;
  lines: string[];
}

function split(text: string): Split | null {
  const all = text.trimEnd().split("\n");
  const open = all.shift() ?? "";
  if (!open.startsWith("<svg") || all.pop() !== "</svg>") return null;
  const title = all.filter((l) => l.startsWith("<title") || l.startsWith("<desc")).join("");
  return {
    open,
    title,
    lines: all.filter((l) => !l.startsWith("<title") && !l.startsWith("<desc")),
  };
}

export class Drawing {
  private art: SVGSVGElement | null = null;
  private open = "";
  private lines: string[] = [];
  private nodes: Element[] = [];

  constructor(private readonly box: HTMLElement) {}

  get root(): SVGSVGElement | null {
    return this.art;
  }

  /** Shows another drawing; tells which elements are new. */
  show(text: string): Element[] {
    const now = split(text);
    if (!now) return [];
    if (!this.art?.isConnected || !this.open) return this.start(text, now);
    const kept = new Map<string, Element[]>();
    this.lines.forEach((line, i) => {
      const node = this.nodes[i];
      if (!node) return;
      const same = kept.get(line);
      if (same) same.push(node);
      else kept.set(line, [node]);
    });
    const wanted = now.lines.map((line) => kept.get(line)?.shift());
    const missing = now.lines.filter((_, i) => !wanted[i]);
    const fresh = this.parse(missing);
    if (fresh.length !== missing.length) return this.start(text, now);
    for (const rest of kept.values()) for (const node of rest) node.remove();
    this.resize(this.art, now.open);
    let next = 0;
    const nodes = wanted.map((node) => node ?? (fresh[next++] as Element));
    arrange(this.art, nodes);
    this.lines = now.lines;
    this.nodes = nodes;
    return fresh;
  }

  private start(text: string, now: Split): Element[] {
    this.art = parseDrawing(text);
    if (!this.art) return [];
    this.art.querySelectorAll(":scope > title, :scope > desc").forEach((n) => n.remove());
    this.open = now.open;
    this.lines = now.lines;
    this.nodes = [...this.art.children];
    if (this.nodes.length !== this.lines.length) this.open = ""; // parsed whole next time, too
    this.box.replaceChildren(this.art);
    return this.nodes;
  }

  /** The same drawing may have become taller. */
  private resize(art: SVGSVGElement, open: string): void {
    if (open === this.open) return;
    const root = new DOMParser().parseFromString(`${open}</svg>`, "image/svg+xml").documentElement;
    for (const name of ["width", "height", "viewBox", "font-size"])
      art.setAttribute(name, root.getAttribute(name) ?? "");
    this.open = open;
  }

  private parse(lines: string[]): Element[] {
    if (!lines.length) return [];
    const parsed = new DOMParser().parseFromString(
      `<svg xmlns="${SVG}">${lines.join("")}</svg>`,
      "image/svg+xml",
    );
    return [...parsed.documentElement.children].map((n) => document.adoptNode(n));
  }
}
