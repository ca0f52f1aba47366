// Two fingers make the diagram larger, a mouse drags what doesn't fit; one finger scrolls by
// itself.

const LARGEST = 4;
const STILL = 4; // px that a click may tremble

interface Spread {
  apart: number;
  x: number;
  y: number;
}

function spread(touches: TouchList): Spread | null {
  const [a, b] = [touches[0], touches[1]];
  if (!a || !b || touches.length !== 2) return null;
  const [dx, dy] = [a.clientX - b.clientX, a.clientY - b.clientY];
  return {
    apart: Math.max(1, Math.hypot(dx, dy)),
    x: (a.clientX + b.clientX) / 2,
    y: (a.clientY + b.clientY) / 2,
  };
}

export class Pinch {
  private size = 1;
  private from: { size: number; at: Spread } | null = null;
  private held: { x: number; y: number; left: number; moved: boolean } | null = null;

  constructor(private readonly box: HTMLElement) {
    box.addEventListener("touchstart", (e) => this.start(e.touches), { passive: true });
    box.addEventListener("touchmove", (e) => this.move(e), { passive: false });
    for (const end of ["touchend", "touchcancel"] as const)
      box.addEventListener(end, (e) => this.start(e.touches));
    box.addEventListener("pointerdown", (e) => this.hold(e));
    box.addEventListener("pointermove", (e) => this.drag(e));
    box.addEventListener("click", (e) => this.swallow(e), true);
  }

  reset(): void {
    this.resize(1);
  }

  private resize(size: number): void {
    this.size = size;
    this.box.style.setProperty("--pinch", String(size));
  }

  private start(touches: TouchList): void {
    const at = spread(touches);
    this.from = at && { size: this.size, at };
  }

  private move(e: TouchEvent): void {
    const now = spread(e.touches);
    if (!this.from || !now) return;
    if (e.cancelable) e.preventDefault(); // else the whole page would grow
    const before = this.size;
    const { at } = this.from;
    this.resize(Math.min(LARGEST, Math.max(1, (this.from.size * now.apart) / at.apart)));
    // What lies between the fingers stays between them.
    const edge = this.box.getBoundingClientRect();
    const grown = this.size / before;
    this.box.scrollLeft += (now.x - edge.left + this.box.scrollLeft) * (grown - 1);
    scrollBy(0, (now.y - edge.top) * (grown - 1));
  }

  private hold(e: PointerEvent): void {
    this.held = null;
    if (e.pointerType !== "mouse" || e.button !== 0) return;
    if (this.box.scrollWidth <= this.box.clientWidth) return;
    this.held = { x: e.clientX, y: e.clientY, left: this.box.scrollLeft, moved: false };
  }

  private drag(e: PointerEvent): void {
    const { held } = this;
    if (!held || e.pointerType !== "mouse") return;
    if (!(e.buttons & 1)) {
      this.held = null;
      return;
    }
    const [dx, dy] = [e.clientX - held.x, e.clientY - held.y];
    if (!held.moved && Math.hypot(dx, dy) <= STILL) return;
    held.moved = true;
    this.box.scrollLeft = held.left - dx;
  }

  /** A drag isn't a click on what lies under its end. */
  private swallow(e: Event): void {
    if (this.held?.moved) {
      e.stopPropagation();
      e.preventDefault();
    }
    this.held = null;
  }
}
