// The page's glue and the module agree: every function that web/src/core.ts calls is exported, and
// questions in JSON get the command line's bytes, from an aircraft that stays open too.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { readFileSync, readdirSync, statSync } from "node:fs";

// A page carries the modules; this is what its core may weigh before compression.
const HEAVIEST = 250_000;

const names = (file) =>
  readFileSync(file, "utf8")
    .split("\n")
    .filter((line) => /^[a-z_]/.test(line));
const glue = readFileSync("web/src/core.ts", "utf8");
const declared = (door) => {
  const body = new RegExp(`^interface ${door}( extends Door)? \\{\\n([^}]*)`, "m").exec(glue)?.[2];
  assert.ok(body, `the glue declares no ${door}`);
  return [...body.matchAll(/^ {2}(\w+)\(/gm)].map((m) => m[1]);
};
const called = new Set([...glue.matchAll(/door\.(\w+)\(/g)].map((m) => m[1]));
const both = declared("Door");
const [core, map] = [declared("CoreDoor"), declared("MapDoor")];
for (const [own, file] of [
  [core, "wasm/exports.txt"],
  [map, "wasm/exports_map.txt"],
])
  assert.deepEqual([...both, ...own].sort(), names(file).sort(), `the glue and ${file} differ`);
assert.deepEqual([...called].sort(), [...both, ...core, ...map].sort(), "called and declared");

const weight = statSync(process.env.DEADBUS_WASM).size;
assert.ok(weight <= HEAVIEST, `the core weighs ${weight} bytes`);

class Module {
  constructor(path) {
    const module = new WebAssembly.Module(readFileSync(path));
    this.core = new WebAssembly.Instance(module, {}).exports;
    this.core._initialize();
  }
  /** What `call` makes of these bytes in the module's memory. */
  with(data, call) {
    const at = this.core.module_memory(Math.max(1, data.length));
    assert.notEqual(at, 0, "no memory");
    new Uint8Array(this.core.memory.buffer, at, data.length).set(data);
    const result = call(at, data.length);
    this.core.module_release(at);
    return result;
  }
  open(file) {
    const opened = this.with(file, (at, length) => this.core.module_open(at, length));
    assert.notEqual(opened, 0, "no memory");
    return opened;
  }
  answered(answer) {
    const { core } = this;
    const [at, length] = [core.module_out(answer), core.module_out_length(answer)];
    const out = Buffer.from(core.memory.buffer, at, length).toString("utf8");
    core.module_forget(answer);
    return out;
  }
  ask(opened, question) {
    const words = Buffer.from(question);
    return this.answered(
      this.with(words, (at, length) => this.core.module_ask_json(opened, at, length)),
    );
  }
  fly(opened, question, flights) {
    const words = Buffer.from(question);
    return this.answered(
      this.with(words, (at, length) => this.core.module_fly(opened, at, length, flights)),
    );
  }
}

/** A student's page: a core that draws nothing, and the map, which solves nothing. */
class Student {
  constructor() {
    this.core = new Module(process.env.DEADBUS_WASM);
    this.map = new Module(process.env.DEADBUS_WASM_MAP);
  }
  open(letters) {
    return { core: this.core.open(letters), map: this.map.open(letters) };
  }
  show(opened) {
    return this.map.answered(this.map.core.module_show(opened.map));
  }
  draw(opened, told) {
    return this.map.answered(
      this.map.with(Buffer.from(told), (at, n) => this.map.core.module_draw(opened.map, at, n)),
    );
  }
  /** As Plane.ask of web/src/core.ts. */
  ask(opened, question) {
    const { ask } = JSON.parse(question);
    if (ask === "show")
      return { exit: 0, ask, findings: [], answer: JSON.parse(this.show(opened)) };
    const answer = JSON.parse(this.core.ask(opened.core, question));
    if (ask !== "draw" || answer.answer === null) return answer;
    return { ...answer, answer: this.draw(opened, answer.answer) };
  }
  close(opened) {
    this.core.core.module_close(opened.core);
    this.map.core.module_close(opened.map);
  }
}

function program(name, ...words) {
  const { error, stdout } = spawnSync(process.env.DEADBUS, words, {
    encoding: "utf8",
    env: { ...process.env, NO_COLOR: "1" },
    maxBuffer: 1 << 26,
  });
  assert.equal(error, undefined, name);
  return stdout;
}
const askProgram = (name, question) => program(name, "ask", name, "--question", question);

/** The aeroplane as a student's page carries it. */
function carried(name) {
  const found = /<script type="text\/plain" id="aircraft">([^<]*)</.exec(
    program(name, "page", name),
  );
  assert.ok(found, `the page of ${name} carries no aeroplane`);
  return Buffer.from(found[1]);
}

// The battery alone: the same parts in every aircraft.
const scenario = (charge) =>
  JSON.stringify({
    scenario: 1,
    title: "Battery dead",
    start: { phase: "cruise", charge },
    happens: [{ at: "2 min", fail: { battery: "dead" } }],
    ends: { at: "5 min" },
  });
const moment = (ask, charge, at, more = {}) =>
  JSON.stringify({ ask, scenario: scenario(charge), at, ...more });

const questions = [
  '{"ask":"state"}',
  '{"ask":"state","fail":["battery=dead"]}',
  '{"ask":"draw","theme":"page","width":"1040"}',
  '{"ask":"show"}',
  '{"ask":"state","phase":"nowhere"}',
  '{"ask":"state"}',
  // The last outcome is kept: what is asked next isn't always about the same.
  '{"ask":"draw","theme":"page"}',
  '{"ask":"state","before-trip":true}',
  '{"ask":"draw","charge":"40%"}',
  '{"ask":"state","charge":"40%"}',
  moment("state", "40 %", "1min"),
  '{"ask":"state","charge":"40%"}',
  moment("state", "40 %", "1min"),
  moment("draw", "40 %", "1min"),
  moment("draw", "40 %", "3min"),
  moment("state", "60 %", "3min"),
  moment("state", "60 %", "3min", { phase: "cruise" }),
  '{"ask":"state","at":"3min"}',
  JSON.stringify({ ask: "run", scenario: scenario("60 %") }),
  '{"ask":"state"}',
];
const student = new Student();
const instructor = new Module(process.env.DEADBUS_WASM_INSTRUCTOR);
const files = readdirSync("aircraft").filter((name) => name.endsWith(".yaml"));
assert.ok(files.length > 0, "no aircraft");
for (const name of files.map((f) => `aircraft/${f}`)) {
  const [of, ofInstructor] = [student.open(carried(name)), instructor.open(readFileSync(name))];
  for (const question of questions) {
    const native = askProgram(name, question);
    const inPage = student.ask(of, question);
    assert.deepEqual(inPage.answer, JSON.parse(native).answer, `${question} of ${name}`);
    // What needs no map comes as it is, byte for byte.
    if (!/"ask":"(draw|show)"/.test(question))
      assert.equal(student.core.ask(of.core, question), native, `${question} of ${name}`);
    assert.equal(instructor.ask(ofInstructor, question), native, `${question} of ${name}`);
  }
  // What is wrong with a text and what its card says is asked where it can be edited.
  for (const question of ['{"ask":"check"}', '{"ask":"card"}']) {
    assert.equal(instructor.ask(ofInstructor, question), askProgram(name, question), name);
    assert.equal(student.ask(of, question).findings[0].code, "not-here");
  }
  // What no core has told isn't drawn.
  const { answer: told } = JSON.parse(student.core.ask(of.core, '{"ask":"draw"}'));
  for (const wrong of ["", told.slice(0, -9), told.replace('"', "x"), told.replace(" ", "  ")])
    assert.equal(student.draw(of, wrong), "", "drawn from nothing");
  student.close(of);
  instructor.core.module_close(ofInstructor);
}

// A text with errors, in the editor; and what no page carries.
{
  const name = "test/case/bad/unit-missing.yaml";
  const opened = instructor.open(readFileSync(name));
  for (const question of [...questions, '{"ask":"check"}'])
    assert.equal(instructor.ask(opened, question), askProgram(name, question), question);
  instructor.core.module_close(opened);
  const nothing = student.open(readFileSync(name));
  assert.equal(student.ask(nothing, '{"ask":"state"}').exit, 1);
  assert.equal(student.show(nothing), "");
  student.close(nothing);
}

// The instructor's module flies many flights a few at a time: once they are flown it is the command
// line's answer, byte for byte.
{
  const name = "aircraft/halyard.yaml";
  const opened = instructor.open(readFileSync(name));
  for (const question of [
    '{"ask":"endurance","flights":"300"}',
    '{"ask":"endurance","flights":"120","charge":"60%","seed":"5"}',
  ]) {
    let [answer, asked, before] = ["", 0, 0];
    for (; asked < 100; asked++) {
      answer = instructor.fly(opened, question, 16);
      const { flown, of } = JSON.parse(answer).answer;
      if (flown === undefined) break;
      assert.ok(flown <= of && flown > before && flown <= before + 16, answer);
      before = flown;
      // What else is asked meanwhile takes nothing away.
      instructor.ask(opened, '{"ask":"state"}');
    }
    assert.ok(asked >= 2, "flown in several goes");
    assert.equal(answer, askProgram(name, question), question);
  }
  instructor.core.module_close(opened);
}
