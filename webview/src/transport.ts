/** Steps through the program: one counter with a way back and a way on for motions, passes and cuts; and playing. */
import { button, drawing, element } from "./elements.ts";
import { Player, speeds } from "./player.ts";
import type { Session } from "./session.ts";
import { nextStop, stopsReached, type StepStops, type StepUnit } from "./steps.ts";

const units = ["motion", "pass", "cut"] as const;
const plural: Record<StepUnit, string> = { motion: "motions", pass: "passes", cut: "cuts" };

export class Transport {
  readonly node: HTMLElement;
  readonly player: Player;
  private readonly counters = new Map<StepUnit, HTMLElement>();
  private readonly play: HTMLButtonElement;
  private stops: StepStops | undefined;

  constructor(private readonly session: Session) {
    this.player = new Player(session);
    this.play = button(playSign(false), () => this.player.toggle(), {
      class: "cw-play",
      "aria-label": "Play",
      "data-testid": "play",
    });
    const speed = element(
      "select",
      { class: "cw-speed", "aria-label": "Speed of playing" },
      ...speeds.map((value) =>
        element("option", { value, selected: value === this.player.speed }, `${value}×`),
      ),
    );
    speed.addEventListener("change", () => (this.player.speed = Number(speed.value)));
    this.node = element(
      "div",
      { class: "cw-transport", role: "group", "aria-label": "Steps" },
      element("span", { class: "cw-playing" }, this.play, speed),
      ...units.map((unit) => this.stepper(unit)),
    );
    session.onChange((change) => {
      if (change === "place" || change === "scene") this.count();
      if (change === "playing") {
        this.play.replaceChildren(playSign(session.playing));
        this.play.setAttribute("aria-label", session.playing ? "Stop playing" : "Play");
      }
    });
  }

  load(stops: StepStops): void {
    this.stops = stops;
    this.count();
  }

  step(unit: StepUnit, direction: 1 | -1): void {
    const { session, stops } = this;
    if (!stops) return;
    session.setPlaying(false);
    session.goTo(nextStop(stops, unit, session.done, direction, session.motionCount));
  }

  private stepper(unit: StepUnit): HTMLElement {
    const counter = element("span", { class: "cw-counter" });
    this.counters.set(unit, counter);
    return element(
      "span",
      { class: "cw-stepper", role: "group", "aria-label": `Step by ${unit}` },
      button(stepSign(-1), () => this.step(unit, -1), {
        "aria-label": `One ${unit} back`,
        "data-testid": `${unit}-back`,
      }),
      counter,
      button(stepSign(1), () => this.step(unit, 1), {
        "aria-label": `One ${unit} on`,
        "data-testid": `${unit}-on`,
      }),
    );
  }

  private count(): void {
    const { session, stops } = this;
    if (!stops) return;
    for (const unit of units) {
      const total = unit === "motion" ? session.motionCount : stops[unit].length;
      const reached = unit === "motion" ? session.done : stopsReached(stops[unit], session.done);
      const counter = this.counters.get(unit)!;
      counter.replaceChildren(
        element("b", {}, String(reached)),
        element(
          "span",
          { class: "cw-counter-of" },
          element("span", { class: "cw-total" }, `/ ${total} `),
          plural[unit],
        ),
      );
    }
  }
}

function sign(d: string): SVGSVGElement {
  return drawing(
    "svg",
    {
      viewBox: "0 0 16 16",
      width: 16,
      height: 16,
      class: "cw-sign",
      "aria-hidden": "true",
      focusable: "false",
    },
    drawing("path", { d }),
  );
}

function playSign(playing: boolean): SVGSVGElement {
  return sign(playing ? "M4 3h3v10H4zM9 3h3v10H9z" : "M4 2.5v11l9-5.5z");
}

function stepSign(direction: 1 | -1): SVGSVGElement {
  return sign(direction > 0 ? "M6 3.5l5 4.5-5 4.5z" : "M10 3.5L5 8l5 4.5z");
}
