// The room that the drawing leaves under its short columns: what one has and what is lost stands
// there, beside why it is so, instead of below it all.

export interface Room {
  x: number;
  y: number;
  width: number;
}

const LETTER = 8;
const LINE = 25;

/** About how high lists become at a width: told by their letters, before they are laid out. */
function heightOf(lists: Element, width: number): number {
  const lines = (e: Element) => Math.ceil(((e.textContent ?? "").length * LETTER) / width);
  const count = (what: string) => lists.querySelectorAll(what).length;
  const texts = [...lists.querySelectorAll("dt, dd, p")];
  const written = texts.reduce((sum, e) => sum + lines(e) * LINE + 6, 0);
  return written + (count("li") / 2) * LINE + count("h2") * 2 * LINE;
}

/**
 * Whether the page ends higher with the lists there than with all of them below the drawing. Where
 * they stand already they don't jump away for a line or two.
 */
export function isShorter(room: Room, lists: Element, art: SVGSVGElement, there: boolean): boolean {
  const [width, height] = sizeOf(art);
  const need = heightOf(lists, room.width);
  return room.y + need <= height + (need * room.width) / width + (there ? 4 : 1) * BIAS;
}

const NARROWEST = 320;
const LOWEST = 170;
const BIAS = 100; // what is lost stands better beside why it is
const ABOVE = 40;
const BESIDE = 40; // wires go down beside a column

interface Extent {
  row: boolean;
  left: number;
  right: number;
  low: number;
}

// An element of the drawing never moves: another takes its place.
const extents = new WeakMap<Element, Extent>();

/** Of a spot, or of where a text begins. */
function extentOf(node: Element): Extent {
  const known = extents.get(node);
  if (known) return known;
  const of = (name: string) => Number(node.getAttribute(name));
  const extent = {
    row: node.getAttribute("data-kind") === "row",
    left: of("x"),
    right: of("x") + of("width"),
    low: of("y") + of("height"),
  };
  extents.set(node, extent);
  return extent;
}

function sizeOf(art: SVGSVGElement): [number, number] {
  const [, , width = 0, height = 0] = (art.getAttribute("viewBox") ?? "").split(" ").map(Number);
  return [width, height];
}

/** Told from what is written in the drawing: nothing is laid out for it. */
export function roomIn(art: SVGSVGElement): Room | null {
  const [width, height] = sizeOf(art);
  const drawn = [...art.querySelectorAll("rect.spot, text")].map(extentOf);
  let best: Room | null = null;
  let most = 0;
  const take = (x: number, right: number): void => {
    // All that reaches between the two ends above the room.
    const low = Math.max(0, ...drawn.map((d) => (d.right >= x && d.left < right ? d.low : 0)));
    const [wide, tall] = [right - x, height - low - ABOVE];
    if (wide < NARROWEST || tall < LOWEST || wide * tall <= most) return;
    most = wide * tall;
    best = { x, y: low + ABOVE, width: wide };
  };
  for (const x of new Set(drawn.filter((d) => d.row).map((d) => d.left))) {
    take(x, width);
    take(0, x - BESIDE);
  }
  return best;
}
