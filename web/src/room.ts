// The room that the drawing leaves under its short columns: what one has and what is lost stands
// there, beside why it is so, instead of below it all.

export interface Room {
  x: number;
  y: number;
}

const NARROWEST = 320;
const LOWEST = 170;
const ABOVE = 40;

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
  const texts = [...art.querySelectorAll("text")].map((t) => ({ x: of(t, "x"), y: of(t, "y") }));
  let best: Room | null = null;
  let most = 0;
  for (const x of new Set(spots.filter((s) => s.row).map((s) => s.left))) {
    // All that reaches to the right of a column's edge ends above its room.
    const low = Math.max(
      0,
      ...spots.filter((s) => s.right > x).map((s) => s.low),
      ...texts.filter((t) => t.x >= x).map((t) => t.y),
    );
    const [wide, tall] = [width - x, height - low - ABOVE];
    if (wide < NARROWEST || tall < LOWEST || wide * tall <= most) continue;
    most = wide * tall;
    best = { x, y: low + ABOVE };
  }
  return best;
}
