// The computing core: the same C code as the command line's, as a WebAssembly module that imports
// nothing. One question in JSON goes in, one answer in JSON comes out. In a student's page the map
// is a module of its own: it lists what is on board and draws what the core tells it.
import type { Answer, Question } from "./answers.ts";

// What both modules export.
interface Door {
  memory: WebAssembly.Memory;
  _initialize(): void;
  module_memory(size: number): number;
  module_release(block: number): void;
  module_open(file: number, length: number): number;
  module_close(opened: number): void;
  module_out(answer: number): number;
  module_out_length(answer: number): number;
  module_forget(answer: number): void;
}

// With them what wasm/exports.txt lists; a test compares the two.
interface CoreDoor extends Door {
  module_ask_json(opened: number, question: number, length: number): number;
  module_fly(opened: number, question: number, length: number, flights: number): number;
}

// And what wasm/exports_map.txt lists.
interface MapDoor extends Door {
  module_show(opened: number): number;
  module_draw(opened: number, told: number, length: number): number;
}

const encoder = new TextEncoder();
const decoder = new TextDecoder();

export class NoMemory extends Error {}

async function start<D extends Door>(bytes: ArrayBuffer): Promise<D> {
  const { instance } = await WebAssembly.instantiate(bytes, {});
  const door = instance.exports as unknown as D;
  door._initialize();
  return door;
}

/** What `call` makes of a text in the module's memory. */
function lend(door: Door, text: string, call: (at: number, length: number) => number): number {
  const bytes = encoder.encode(text);
  const at = door.module_memory(Math.max(1, bytes.length));
  if (at === 0) throw new NoMemory();
  new Uint8Array(door.memory.buffer, at, bytes.length).set(bytes);
  const made = call(at, bytes.length);
  door.module_release(at);
  if (made === 0) throw new NoMemory();
  return made;
}

function take(door: Door, answer: number): string {
  const out = door.module_out(answer);
  const length = door.module_out_length(answer);
  const text = out ? decoder.decode(new Uint8Array(door.memory.buffer, out, length)) : "";
  door.module_forget(answer);
  if (out === 0) throw new NoMemory();
  return text;
}

const open = (door: Door, text: string) =>
  lend(door, text, (at, length) => door.module_open(at, length));

/** The map of one aircraft, whose core solves and draws nothing. */
class PlaneMap {
  private readonly handle: number;

  constructor(
    private readonly door: MapDoor,
    text: string,
  ) {
    this.handle = open(door, text);
  }

  show(): string {
    const answer = this.door.module_show(this.handle);
    if (answer === 0) throw new NoMemory();
    return take(this.door, answer);
  }

  draw(told: string): string {
    const { door, handle } = this;
    const answer = lend(door, told, (at, length) => door.module_draw(handle, at, length));
    return take(door, answer);
  }

  close(): void {
    this.door.module_close(this.handle);
  }
}

/** One aircraft, read and compiled once. */
export class Plane {
  private readonly handle: number;

  constructor(
    private readonly door: CoreDoor,
    readonly text: string,
    private readonly map: PlaneMap | null,
  ) {
    this.handle = open(door, text);
  }

  /** The answer's bytes as the command line writes them; of so many flights more, if any. */
  askText(question: Question, flights = 0): string {
    const { door, handle } = this;
    const answer = lend(door, JSON.stringify(question), (at, length) =>
      flights
        ? door.module_fly(handle, at, length, flights)
        : door.module_ask_json(handle, at, length),
    );
    return take(door, answer);
  }

  ask<T>(question: Question): Answer<T> {
    const { map } = this;
    if (map && question.ask === "show")
      return { exit: 0, ask: "show", findings: [], answer: JSON.parse(map.show()) as T };
    const answer = JSON.parse(this.askText(question)) as Answer<T>;
    if (map && question.ask === "draw" && answer.answer !== null)
      return { ...answer, answer: map.draw(answer.answer as string) as T };
    return answer;
  }

  close(): void {
    this.door.module_close(this.handle);
    this.map?.close();
  }
}

export class Core {
  private constructor(
    private readonly core: CoreDoor,
    private readonly map: MapDoor | null,
  ) {}

  /** Of the core's bytes and, where that isn't in it, the map's. */
  static async start([core, map]: ArrayBuffer[]): Promise<Core> {
    if (!core) throw new Error("no core");
    const doors = [start<CoreDoor>(core), map ? start<MapDoor>(map) : null] as const;
    return new Core(await doors[0], await doors[1]);
  }

  open(text: string): Plane {
    const { core, map } = this;
    return new Plane(core, text, map && new PlaneMap(map, text));
  }
}
