/**
 * The program from its first motion to its last: how deep it goes where, which passes and operations it has,
 * and a slider over it all.
 */
import { MotionKind } from "../../server/src/machine/motions.ts";
import type { Scene } from "../../server/src/report/scene.ts";
import type { Palette } from "./colours.ts";
import { element } from "./elements.ts";
import { motionText } from "./motion-text.ts";
import type { Session } from "./session.ts";
import type { StepStops } from "./steps.ts";

/** CSS px. */
const profileHeight = 40;
const tickHeight = 7;
/** Half the slider's thumb: the drawing is set in by as much, so that both have one scale. */
const inset = 8;

/** Least Z of the cutting motions in each of `bins` equal shares of the motions, mm; NaN where nothing is cut. */
export function depthProfile(scene: Scene, bins: number): Float64Array {
  const { motions } = scene;
  const profile = new Float64Array(bins).fill(NaN);
  for (let i = 0; i < motions.count; i++) {
    if (motions.kind[i] === MotionKind.rapid || motions.kind[i] === MotionKind.dwell) continue;
    const low = Math.min(motions.z[i], motions.z[i + 1]);
    const first = Math.floor((i / motions.count) * bins);
    const last = Math.max(Math.ceil(((i + 1) / motions.count) * bins), first + 1);
    for (let bin = first; bin < last && bin < bins; bin++) if (!(profile[bin] <= low)) profile[bin] = low;
  }
  return profile;
}

export class TimeStrip {
  readonly node: HTMLElement;
  readonly slider = element("input", {
    type: "range",
    class: "cw-slider",
    min: 0,
    step: 1,
    "aria-label": "Motions done",
    "data-testid": "scrubber",
  });
  private readonly canvas = element("canvas", { class: "cw-profile", "aria-hidden": "true" });
  private readonly operations = element("div", { class: "cw-operations", "aria-hidden": "true" });
  private stops: StepStops | undefined;
  private palette: Palette | undefined;

  constructor(private readonly session: Session) {
    this.node = element("div", { class: "cw-strip" }, this.canvas, this.slider, this.operations);
    this.slider.addEventListener("input", () => {
      session.setPlaying(false);
      session.goTo(Number(this.slider.value));
    });
    // A press on the profile goes there, as on the slider below it.
    const seek = (event: PointerEvent) => {
      const box = this.canvas.getBoundingClientRect();
      const share = (event.clientX - box.left - inset) / Math.max(box.width - 2 * inset, 1);
      session.setPlaying(false);
      session.goTo(share * session.motionCount);
    };
    this.canvas.addEventListener("pointerdown", (event) => {
      this.canvas.setPointerCapture(event.pointerId);
      seek(event);
    });
    this.canvas.addEventListener("pointermove", (event) => {
      if (event.buttons & 1) seek(event);
    });
    new ResizeObserver(() => {
      this.draw();
      this.dropNarrowNames();
    }).observe(this.canvas);
    session.onChange((change) => {
      if (change === "place" || change === "scene") this.follow();
    });
  }

  load(scene: Scene, stops: StepStops): void {
    this.stops = stops;
    this.slider.max = String(scene.motions.count);
    this.follow();
    this.nameOperations(scene);
    this.draw();
  }

  setPalette(palette: Palette): void {
    this.palette = palette;
    this.draw();
  }

  private follow(): void {
    const { session, slider } = this;
    slider.max = String(session.motionCount);
    slider.value = String(session.done);
    const { scene, done } = session;
    let text = `${done} of ${session.motionCount} motions done`;
    if (scene && done > 0) text += `, ${motionText(scene, done - 1).line}`;
    slider.setAttribute("aria-valuetext", text);
  }

  private nameOperations(scene: Scene): void {
    const { passes, cuts, operations } = scene.tree;
    const count = Math.max(scene.motions.count, 1);
    this.operations.replaceChildren(
      ...operations.map((operation) => {
        const ranges = operation.cuts.flatMap((cut) => cuts[cut].passes.map((pass) => passes[pass]));
        const first = ranges.reduce((low, pass) => Math.min(low, pass.first), count);
        const end = ranges.reduce((high, pass) => Math.max(high, pass.end), 0);
        const name = element("span", { class: "cw-operation", title: operation.name }, operation.name);
        name.style.left = `${(100 * first) / count}%`;
        name.style.width = `${(100 * Math.max(end - first, 0)) / count}%`;
        return name;
      }),
    );
    this.dropNarrowNames();
  }

  /** A name of which only a letter or two would show is left to the tooltip. */
  private dropNarrowNames(): void {
    const names = [...this.operations.children] as HTMLElement[];
    const narrow = names.map((name) => name.clientWidth < 34);
    names.forEach((name, k) => name.classList.toggle("cw-narrow", narrow[k]));
  }

  private draw(): void {
    const { canvas, palette, stops, session } = this;
    const { scene } = session;
    const { clientWidth: width } = canvas;
    if (!scene || !palette || !stops || width < 20) return;
    const height = profileHeight + tickHeight;
    const ratio = Math.min(window.devicePixelRatio, 2);
    canvas.width = Math.round(width * ratio);
    canvas.height = Math.round(height * ratio);
    const context = canvas.getContext("2d");
    if (!context) return;
    context.scale(ratio, ratio);
    const across = width - 2 * inset;
    const bins = Math.max(Math.floor(across), 1);
    const profile = depthProfile(scene, bins);
    const { board } = scene;
    let lowest = board.underside ?? board.top;
    for (const z of profile) if (z < lowest) lowest = z;
    const room = Math.max(board.top - lowest, 1e-6);
    const down = (z: number) => ((board.top - Math.min(z, board.top)) / room) * (profileHeight - 3) + 1;
    const thickness = board.underside === null ? room : board.top - board.underside;
    for (let bin = 0; bin < bins; bin++) {
      const z = profile[bin];
      if (!(z < board.top)) continue;
      const share = Math.min((board.top - z) / thickness, 1);
      context.fillStyle =
        palette.depthCss[
          Math.min(Math.round(share * (palette.depthCss.length - 1)), palette.depthCss.length - 1)
        ];
      context.fillRect(inset + (bin * across) / bins, 1, across / bins + 0.4, down(z) - 1);
      // The depth is told by the bar's end, also where its shade is close to the ground's.
      context.fillStyle = palette.css.text;
      context.fillRect(inset + (bin * across) / bins, down(z) - 1, across / bins + 0.4, 1);
    }
    context.strokeStyle = palette.css.text;
    context.globalAlpha = 0.55;
    context.beginPath();
    context.moveTo(inset, 0.5);
    context.lineTo(width - inset, 0.5);
    context.stroke();
    if (board.underside !== null) {
      context.setLineDash([5, 3]);
      context.beginPath();
      const y = Math.round(down(board.underside)) + 0.5;
      context.moveTo(inset, y);
      context.lineTo(width - inset, y);
      context.stroke();
      context.setLineDash([]);
    }
    this.ticks(context, stops, across);
  }

  /** A tick at the end of each pass, a longer one at the end of each cut; none where they would run together. */
  private ticks(context: CanvasRenderingContext2D, stops: StepStops, across: number): void {
    const count = Math.max(this.session.motionCount, 1);
    for (const [list, length] of [
      [stops.pass, 3.5],
      [stops.cut, tickHeight],
    ] as const) {
      if (list.length > across / 2) continue;
      context.globalAlpha = length > 4 ? 0.9 : 0.5;
      context.beginPath();
      for (const stop of list) {
        const x = Math.round(inset + (stop / count) * across) + 0.5;
        context.moveTo(x, profileHeight + tickHeight - length);
        context.lineTo(x, profileHeight + tickHeight);
      }
      context.stroke();
    }
  }
}
