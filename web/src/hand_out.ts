// Handing a failure out, hidden in an address, and opening one that was handed out.
import type { Show } from "./answers.ts";
import { questionOf } from "./bench_state.ts";
import { button, el } from "./dom.ts";
import { differences } from "./from_seat.ts";
import { hide, hiddenIn } from "./hidden.ts";
import type { Session } from "./session.ts";
import { isTimed, untimed } from "./story.ts";

/** Whether the seat shows it: what nobody can see, nobody can name. */
function shows(session: Session): boolean {
  const now = untimed(session.now);
  const seen = (fails: string[]) => ({
    state: session.look(questionOf({ ...now, fail: fails })),
    fails,
  });
  return differences(session.show, seen(now.fail), seen([])).length > 0;
}

/** `forStudents`: this page is the one that students have, at an address that they can open. */
export function handOut(session: Session, forStudents: boolean): HTMLElement {
  const box = el(
    "details",
    { class: "hand-out" },
    el("summary", {}, "Hand this out as a hidden failure"),
  );
  const code = hide(untimed(session.now));
  if (!code) {
    box.append(el("p", {}, "This is more than one address holds: mend something first."));
    return box;
  }
  const way = forStudents
    ? "Whoever opens this address"
    : "Send this line with the students' page: they paste it under Failures. Who opens it";
  const field = el("input", {
    readonly: true,
    value: `${forStudents ? location.href.split("#")[0] : ""}#drill=${code}`,
    "aria-label": "Address with the failure hidden",
    focus: () => field.select(),
  });
  const told = el("p");
  box.append(
    el(
      "p",
      {},
      `${way} sees the seat, may try switches, and names the failure before anything is shown. ` +
        "It can't be read from the line.",
    ),
    field,
    told,
    el("a", { href: `#drill=${code}`, class: "link" }, "Try it"),
  );
  box.addEventListener("toggle", () => {
    const timed = isTimed(session.now) ? "It begins with the clock at its start. " : "";
    const seen = shows(session) ? "" : "As the switches stand, nothing shows it from the seat.";
    told.textContent = timed + seen;
  });
  return box;
}

/** Where a student puts in what the instructor sent. */
export function openHidden(show: Show): HTMLElement {
  const field = el("input", { "aria-label": "What your instructor sent", autocomplete: "off" });
  const told = el("p", { "aria-live": "polite" });
  const open = () => {
    const code = hiddenIn(field.value);
    if (code) location.hash = `drill=${code}`;
    else told.textContent = "That is no hidden failure: copy the whole line, to its end.";
  };
  field.addEventListener("keydown", (e) => e.key === "Enter" && open());
  return el(
    "details",
    { class: "hand-out" },
    el("summary", {}, "Open a hidden failure"),
    el("p", {}, `Paste the line that your instructor sent for ${show.tail || show.name}.`),
    field,
    button("Open it", open, { class: "link" }),
    told,
  );
}
