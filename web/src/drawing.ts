// A drawing that is kept from one state to the next: the core writes one element a line, so what
// has the same line keeps its element, and only what changed is parsed and laid out again.

import { arrange, SVG, svg } from "./dom.ts";

/** Parses what the core drew: character data can't become elements, and nothing in it runs. */
export function parseDrawing(text: string): SVGSVGElement | null {
  const parsed = new DOMParser().parseFromString(text, "image/svg+xml");
  const root = parsed.documentElement;
  if (root.nodeName !== "svg") return null;
  return document.adoptNode(root) as unknown as SVGSVGElement;
}

// A line without character references: what it says is what stands there.
const PLAIN = /^<(\w+)((?: [\w-]+="[^"&]*")*)(?:\/>|>(?:<title>([^<&]*)<\/title>)?([^<&]*)<\/\1>)$/;

/** Most of what changes is a figure, and a parser takes longer to begin than to read it. */
function plain(line: string): Element | null {
  const [, name, attributes = "", title, said = ""] = PLAIN.exec(line) ?? [];
  if (!name) return null;
  const node = document.createElementNS(SVG, name);
  for (const [, key = "", value = ""] of attributes.matchAll(/ ([\w-]+)="([^"]*)"/g))
    node.setAttribute(key, value);
  if (title) node.append(svg("title", {}, title));
  if (said) node.append(said);
  return node;
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
    // Most stands where it stood; only the rest is looked for.
    const kept = new Map<string, Element[]>();
    this.lines.forEach((line, i) => {
      const node = this.nodes[i];
      if (!node || line === now.lines[i]) return;
      const same = kept.get(line);
      if (same) same.push(node);
      else kept.set(line, [node]);
    });
    const wanted = now.lines.map((line, i) =>
      line === this.lines[i] ? this.nodes[i] : kept.get(line)?.shift(),
    );
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
    const made = lines.map(plain);
    const rest = lines.filter((_, i) => !made[i]);
    if (!rest.length) return made as Element[];
    const parsed = new DOMParser().parseFromString(
      `<svg xmlns="${SVG}">${rest.join("")}</svg>`,
      "image/svg+xml",
    );
    const others = [...parsed.documentElement.children].map((n) => document.adoptNode(n));
    if (others.length !== rest.length) return [];
    return made.map((node) => node ?? (others.shift() as Element));
  }
}
