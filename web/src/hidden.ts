// A failure that the instructor has hidden: the address holds it so that it can't be read, and
// nothing on the page tells it before the student has committed.
import type { BenchState } from "./bench_state.ts";
import { copyState } from "./bench_state.ts";

// Not a secret: it only keeps an honest reader from reading what isn't meant to be read yet.
function stream(seed: number): () => number {
  let a = seed >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) >>> 0;
    let t = a;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) & 255;
  };
}

const LENGTH = 96; // every address is equally long, whatever it hides

export function hide(fail: string[], phase: string): string {
  const bytes = new TextEncoder().encode(JSON.stringify([phase, ...fail]));
  if (bytes.length > LENGTH - 2) return "";
  const salt = new Uint8Array(4);
  crypto.getRandomValues(salt);
  const next = stream(new DataView(salt.buffer).getUint32(0));
  const out = new Uint8Array(4 + LENGTH);
  out.set(salt);
  for (let i = 0; i < LENGTH; i++) {
    const plain = i === 0 ? bytes.length : (bytes[i - 1] ?? 0);
    out[4 + i] = plain ^ next();
  }
  return btoa(String.fromCharCode(...out))
    .replace(/\+/g, "-")
    .replace(/\//g, "_")
    .replace(/=+$/, "");
}

export function unhide(text: string): { phase: string; fail: string[] } | null {
  try {
    const raw = atob(text.replace(/-/g, "+").replace(/_/g, "/"));
    const bytes = Uint8Array.from(raw, (c) => c.charCodeAt(0));
    if (bytes.length !== 4 + LENGTH) return null;
    const next = stream(new DataView(bytes.buffer).getUint32(0));
    const plain = bytes.slice(4).map((b) => b ^ next());
    const length = plain[0] ?? 0;
    const said: unknown = JSON.parse(new TextDecoder().decode(plain.slice(1, 1 + length)));
    if (!Array.isArray(said) || !said.every((s) => typeof s === "string")) return null;
    const [phase = "", ...fail] = said as string[];
    return fail.length ? { phase, fail } : null;
  } catch {
    return null;
  }
}

export function hiddenInAddress(): string | null {
  return new URLSearchParams(location.hash.slice(1)).get("drill");
}

export function hiddenAddress(s: BenchState): string {
  return `#drill=${hide(s.fail, s.phase)}`;
}

/** The state with its hidden failure, for the core only. */
export function withHidden(s: BenchState, fail: string[]): BenchState {
  const out = copyState(s);
  out.fail = [...fail, ...s.fail];
  return out;
}
