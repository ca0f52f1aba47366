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

/** Whether the page ends higher with the lists there than with all of them below the drawing. */
export function isShorter(room: Room, lists: Element, art: SVGSVGElement): boolean {
  const [, , width = 0, height = 0] = (art.getAttribute("viewBox") ?? "").split(" ").map(Number);
  const need = heightOf(lists, room.width);
  return room.y + need <= height + (need * room.width) / width + BIAS;
}

const NARROWEST = 320;
const LOWEST = 170;
const BIAS = 100; // what is lost stands better beside why it is
const ABOVE = 40;
const BESIDE = 40; // wires go down beside a column

/** Told from what is written in the drawing: nothing is laid out for it. */
export function roomIn(art: SVGSVGElement): Room | null {
  const [, , width = 0, height = 0] = (art.getAttribute("viewBox") ?? "").split(" ").map(Number);
  const of = (node: Element, name: string) => Number(node.getAttribute(name));
  const spots = [...art.querySelectorAll("rect.spot")].map((s) => ({
    row: s.getAttribute("data-kind") === "row",
    left: of(s, "x"),
    right: of(s, "x") + of(s, "width"),
    low: of(s, "y") + of(s, "height"),
  }));
  const texts = [...art.querySelectorAll("text")].map((t) => ({
    left: of(t, "x"),
    right: of(t, "x"),
    low: of(t, "y"),
  }));
  const drawn = [...spots, ...texts];
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
  for (const x of new Set(spots.filter((s) => s.row).map((s) => s.left))) {
    take(x, width);
    take(0, x - BESIDE);
  }
  return best;
}
