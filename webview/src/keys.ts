/** Keys, and the panel that lists them. They act while the focus is in the drawing or on the time strip. */
import { button, element } from "./elements.ts";
import type { ViewName } from "./orbit.ts";
import type { StepUnit } from "./steps.ts";

export interface KeyTargets {
  step(unit: StepUnit, direction: 1 | -1): void;
  play(): void;
  look(view: ViewName): void;
  fit(): void;
  /** Shows the current motion's line in the editor. */
  toLine(): void;
  finding(direction: 1 | -1): void;
  help(): void;
}

/** The one key that has no use on the stand-alone page. */
const editorKey = "Enter";

const list: readonly (readonly [keys: string, does: string])[] = [
  [", and .", "one motion back, one on"],
  ["[ and ]", "one pass back, one on"],
  ["{ and }", "one cut back, one on"],
  ["Space", "play or stop"],
  ["N and P", "next finding, previous finding"],
  [editorKey, "show the current line in the editor"],
  ["Arrow keys", "turn the board (in the drawing)"],
  ["Shift + arrow keys", "move the picture"],
  ["+ and -", "larger, smaller"],
  ["0", "fit the board"],
  ["1 2 3 4", "top, front, side, slant view"],
  ["?", "this list"],
];

/** Handles a key; true where it had a meaning. */
function handle(key: string, targets: KeyTargets): boolean {
  const actions: Record<string, () => void> = {
    ",": () => targets.step("motion", -1),
    ".": () => targets.step("motion", 1),
    "[": () => targets.step("pass", -1),
    "]": () => targets.step("pass", 1),
    "{": () => targets.step("cut", -1),
    "}": () => targets.step("cut", 1),
    " ": () => targets.play(),
    n: () => targets.finding(1),
    p: () => targets.finding(-1),
    Enter: () => targets.toLine(),
    "0": () => targets.fit(),
    "1": () => targets.look("top"),
    "2": () => targets.look("front"),
    "3": () => targets.look("side"),
    "4": () => targets.look("slant"),
    "?": () => targets.help(),
  };
  const action = actions[key.length === 1 ? key.toLowerCase() : key];
  action?.();
  return action !== undefined;
}

/** Listens within the given parts of the page. Keys that a control in them uses itself are left to it. */
export function listenForKeys(parts: readonly HTMLElement[], targets: KeyTargets): void {
  for (const part of parts) {
    part.addEventListener("keydown", (event) => {
      if (event.ctrlKey || event.metaKey || event.altKey) return;
      const target = event.target as HTMLElement;
      const pressed = event.key === " " || event.key === "Enter";
      if (target instanceof HTMLSelectElement || (pressed && target instanceof HTMLButtonElement)) return;
      if (handle(event.key, targets)) event.preventDefault();
    });
  }
}

/** The list of keys as a dialog; `open` shows it, Escape closes it. */
export function keysDialog(inEditor: boolean): { node: HTMLDialogElement; open: () => void } {
  const rows = list
    .filter(([keys]) => inEditor || keys !== editorKey)
    .flatMap(([keys, does]) => [element("dt", {}, keys), element("dd", {}, does)]);
  const node = element(
    "dialog",
    { class: "cw-dialog", "aria-labelledby": "cw-keys-title" },
    element("h2", { id: "cw-keys-title" }, "Keys"),
    element("p", { class: "cw-hint" }, "They act while the drawing or the strip below it has the focus."),
    element("dl", {}, ...rows),
    element(
      "p",
      { class: "cw-hint" },
      "Pointer: drag turns, Shift or the right button moves, the wheel or two fingers zoom. A click on a line shows its motion; another click there takes the one behind it.",
    ),
    button("Close", () => node.close(), { class: "cw-button", autofocus: true }),
  );
  return { node, open: () => node.showModal() };
}
