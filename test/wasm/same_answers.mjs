// The module of all commands and the program answer with the same bytes, on every demo aircraft and
// in every form; with every scenario that comes along, and those that are wrong.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { readFileSync, readdirSync } from "node:fs";
import { openModule } from "./support/module.mjs";

const { ask } = openModule(process.env.DEADBUS_WASM_ALL);

const questions = [
  ["check"],
  ["check", "--json"],
  ["show"],
  ["show", "--json"],
  ["show", "--csv"],
  ["show", "--faults"],
  ["show", "--faults", "--json"],
  ["show", "--normal"],
  ["show", "--normal", "--json"],
  ["state"],
  ["state", "--json"],
  ["state", "--phase", "cruise", "--json"],
  ["state", "--fail", "battery=dead", "--json"],
  ["endurance"],
  ["endurance", "--json"],
  ["endurance", "--flights", "100"],
  ["endurance", "--flights", "100", "--seed", "7", "--charge", "70%", "--json"],
  ["shed", "--need", "45min"],
  ["shed", "--need", "30min", "--phase", "night-cruise", "--json"],
  ["shed", "--need", "30min", "--set", "icing=yes"],
  ["endurance", "--fail", "battery=weak", "--shed", "battery-switch=off"],
  ["draw"],
  ["draw", "--theme", "print"],
  ["card"],
  ["card", "--json"],
  ["card", "--form", "html"],
  ["card", "--form", "svg", "--paper", "half-letter"],
  ["card", "--form", "svg", "--paper", "a4"],
];
const asked = new Set();

function same(command, path, file, options, scenario = null, beside = null) {
  asked.add(command);
  const what = `${command} ${path} ${scenario ?? ""} ${options.join(" ")}`;
  const names = [path, scenario].filter(Boolean);
  const native = spawnSync(process.env.DEADBUS, [command, ...names, ...options], {
    encoding: "utf8",
    env: { ...process.env, NO_COLOR: "1" },
    maxBuffer: 1 << 26,
  });
  assert.equal(native.error, undefined, what);
  const inside = ask(command, path ?? "", file, options, beside);
  assert.equal(inside.exit, native.status, `exit of ${what}\n${native.stderr}${inside.messages}`);
  assert.equal(inside.out, native.stdout, `answer of ${what}`);
  assert.equal(inside.messages, native.stderr, `messages of ${what}`);
}

const listed = (folder) => readdirSync(folder).filter((name) => name.endsWith(".yaml"));
const aircraft = new Map(
  listed("aircraft").map((n) => [`aircraft/${n}`, readFileSync(`aircraft/${n}`)]),
);
assert.ok(aircraft.size > 0, "no aircraft");
for (const [path, file] of aircraft) {
  for (const [command, ...options] of questions) same(command, path, file, options);
  for (const kind of ["student", "instructor"]) {
    const empty = { name: kind, bytes: readFileSync(`build/web/${kind}.html`) };
    same("page", path, file, kind === "student" ? [] : ["--instructor"], null, empty);
  }
}

// A lesson is flown in the aeroplane that it names.
let flown = 0;
for (const folder of ["lessons", "test/case/bad-scenario"])
  for (const name of listed(folder)) {
    const scenario = { name: `${folder}/${name}`, bytes: readFileSync(`${folder}/${name}`) };
    const wanted = /^aircraft: *(\w+)/m.exec(scenario.bytes.toString())?.[1]?.toLowerCase();
    const path = [...aircraft.keys()].find((p) => p.includes(`/${wanted}`)) ?? "aircraft/reef.yaml";
    for (const options of folder === "lessons" ? [[], ["--json"], ["--csv"], ["--chart"]] : [[]])
      same("run", path, aircraft.get(path), options, scenario.name, scenario);
    flown++;
  }
assert.ok(flown > 20, `only ${flown} scenarios`);

for (const options of [[], ["--scenario"]]) same("schema", null, null, options);

// None is forgotten: the program's own list, but for the door that test/wasm/page_glue.mjs takes.
const help = spawnSync(process.env.DEADBUS, ["--help"], { encoding: "utf8" }).stdout;
const all = [...help.matchAll(/^ {2}([a-z]+) {2,}/gm)].map((found) => found[1]);
assert.ok(all.length > 8, `the help lists ${all.length} commands`);
for (const command of all)
  assert.ok(asked.has(command) || command === "ask", `${command} is asked`);
console.log(`${[...asked].length} commands, ${aircraft.size} aircraft, ${flown} scenarios`);
