/** Puts the parts of the view together and answers the editor's messages. */
import { decodeScene } from "../../server/src/report/scene-codec.ts";
import type { Scene } from "../../server/src/report/scene.ts";
import { readPalette } from "./colours.ts";
import { DepthLegend } from "./depth-legend.ts";
import { button, element } from "./elements.ts";
import { FindingsPanel } from "./findings-panel.ts";
import { readKeptState } from "./kept-state.ts";
import { keysDialog, listenForKeys } from "./keys.ts";
import { layersPanel } from "./layers-panel.ts";
import type { MessageIn } from "./messages.ts";
import { viewAngles, type ViewName } from "./orbit.ts";
import type { Port } from "./port.ts";
import { Readout } from "./readout.ts";
import { layerNames, Session, type MotionRange } from "./session.ts";
import { severityOrder } from "./severity-shapes.ts";
import { Stage } from "./stage.ts";
import { stopsOf } from "./steps.ts";
import { exposeTestHooks } from "./test-hooks.ts";
import { followTheme } from "./theme.ts";
import { TimeStrip } from "./time-strip.ts";
import { Transport } from "./transport.ts";

const viewWords: Record<ViewName, string> = { top: "Top", front: "Front", side: "Side", slant: "Slant" };

export class CutView {
  private readonly session = new Session();
  private readonly stage: Stage | undefined;
  private readonly strip = new TimeStrip(this.session);
  private readonly transport = new Transport(this.session);
  private readonly legend = new DepthLegend();
  private readonly findings: FindingsPanel;
  private readonly title = element("h1", { class: "cw-title" });
  private readonly summary = element("section", { class: "cw-summary cw-panel", "aria-label": "Summary" });
  private readonly body: HTMLElement;
  private keeping: ReturnType<typeof setTimeout> | undefined;
  private readonly empty = element("div", { class: "cw-empty", role: "status" });

  constructor(
    root: HTMLElement,
    private readonly port: Port,
  ) {
    const { session } = this;
    followTheme(root, () => {
      const palette = readPalette(root);
      this.stage?.setPalette(palette);
      this.strip.setPalette(palette);
    });
    this.findings = new FindingsPanel(session, (index) => this.showFinding(index, true));
    const toLine = port.inEditor ? (motion: number) => this.toLine(motion) : undefined;
    const readout = new Readout(session, toLine);
    const kept = readKeptState(port.kept());
    for (const name of layerNames) session.layers[name] = kept.layers[name] ?? session.layers[name];
    this.stage = this.makeStage(root);
    if (kept.pose) this.stage?.restore(kept.pose);
    const dialog = keysDialog(port.inEditor);
    const views = (Object.keys(viewAngles) as ViewName[]).map((view) =>
      button(viewWords[view], () => this.stage?.look(view), { "data-testid": `view-${view}` }),
    );
    const bar = element(
      "header",
      { class: "cw-bar" },
      this.title,
      element(
        "div",
        { class: "cw-views", role: "group", "aria-label": "View" },
        ...views,
        button("Fit", () => this.stage?.fit(), { "data-testid": "fit" }),
      ),
      button("Keys", dialog.open, { class: "cw-button", "aria-haspopup": "dialog" }),
    );
    const time = element(
      "section",
      { class: "cw-time", "aria-label": "Time" },
      this.transport.node,
      this.strip.node,
    );
    const side = element(
      "aside",
      { class: "cw-side", "aria-label": "Review" },
      this.summary,
      this.findings.node,
      element("div", { class: "cw-side-foot" }, this.legend.node, layersPanel(session)),
    );
    this.body = element(
      "div",
      { class: this.stage ? "cw-body" : "cw-body cw-undrawn" },
      bar,
      this.stage?.node ?? noDrawing(),
      time,
      readout.node,
      side,
    );
    root.replaceChildren(this.body, this.empty, dialog.node);
    this.showEmpty("Nothing to show yet.");
    listenForKeys([...(this.stage ? [this.stage.node] : []), time], {
      step: (unit, direction) => this.transport.step(unit, direction),
      play: () => this.transport.player.toggle(),
      look: (view) => this.stage?.look(view),
      fit: () => this.stage?.fit(),
      toLine: () => this.toLine(session.current),
      finding: (direction) => this.nextFinding(direction),
      help: dialog.open,
    });
    this.strip.setPalette(readPalette(root));
    session.onChange((change) => {
      if (change === "layers") this.keep();
    });
    port.receive((message) => this.answer(message));
    exposeTestHooks(session, this.stage);
  }

  /** Shows a scene as `encodeScene` wrote it. */
  showEncoded(text: string): void {
    let scene: Scene;
    try {
      scene = decodeScene(text);
    } catch (error) {
      this.showEmpty(
        `The review could not be read: ${error instanceof Error ? error.message : String(error)}`,
      );
      return;
    }
    this.body.hidden = false;
    this.empty.hidden = true;
    const stops = stopsOf(scene);
    this.title.textContent = scene.title;
    this.title.title = scene.title;
    this.summary.replaceChildren(...scene.summary.map((sentence) => element("p", {}, sentence)));
    this.session.show(scene);
    this.transport.load(stops);
    this.strip.load(scene, stops);
    this.legend.load(scene);
    this.findings.load(scene);
  }

  /** Shows one sentence instead of a scene. */
  showEmpty(message: string): void {
    this.session.setPlaying(false);
    this.body.hidden = true;
    this.empty.hidden = false;
    this.empty.replaceChildren(element("p", {}, message));
  }

  private makeStage(root: HTMLElement): Stage | undefined {
    try {
      return new Stage(
        this.session,
        readPalette(root),
        (motion) => this.pick(motion),
        (index) => this.showFinding(index, true),
        () => this.keep(),
      );
    } catch (error) {
      // The rest of the view works without a drawing, so this is told on the page and not thrown on.
      console.warn("cut view: no drawing,", error);
      return undefined;
    }
  }

  private answer(message: MessageIn): void {
    switch (message.type) {
      case "scene":
        this.showEncoded(message.scene);
        break;
      case "empty":
        this.showEmpty(message.message);
        break;
      case "reveal":
        this.session.setPlaying(false);
        this.session.goTo(message.motion + 1);
        break;
      case "cursor":
        this.followCursor(message.line, message.endLine);
        break;
    }
  }

  /** Marks the motions of the editor's lines and goes there; a place within them already is kept. */
  private followCursor(line: number, endLine: number): void {
    const { session } = this;
    if (!session.scene || session.playing) return;
    const { motions } = session.scene;
    let [first, last, before] = [-1, -1, -1];
    for (let i = 0; i < motions.count; i++) {
      if (motions.line[i] < line) before = i;
      else if (motions.line[i] <= endLine) {
        if (first < 0) first = i;
        last = i;
      }
    }
    session.setMark(first >= 0 ? { first, end: last + 1 } : undefined);
    const { current } = session;
    if (first >= 0 && current >= first && current <= last) return;
    // A line without motions shows the board as the machine finds it when it gets there.
    session.goTo((first >= 0 ? last : before) + 1);
  }

  private pick(motion: number): void {
    const { session } = this;
    session.setPlaying(false);
    session.setMark(undefined);
    session.goTo(motion + 1);
    this.toLine(motion);
  }

  private toLine(motion: number): void {
    const { scene } = this.session;
    if (scene && motion >= 0) this.port.send({ type: "revealLine", line: scene.motions.line[motion] });
  }

  private showFinding(index: number, tell: boolean): void {
    const { session } = this;
    const finding = session.scene?.findings[index];
    if (!finding) return;
    session.setPlaying(false);
    const range = finding.motions ?? this.motionsOfLine(finding.line - 1);
    if (range && range[1] > range[0]) {
      const mark: MotionRange = { first: range[0], end: range[1] };
      session.goTo(mark.end);
      session.setMark(mark);
    } else session.setMark(undefined);
    session.setFinding(index);
    if (tell) this.port.send({ type: "showFinding", index });
  }

  private motionsOfLine(line: number): readonly [number, number] | null {
    const { motions } = this.session.scene!;
    const first = motions.line.indexOf(line);
    return first >= 0 && first < motions.count ? [first, motions.line.lastIndexOf(line) + 1] : null;
  }

  private nextFinding(direction: 1 | -1): void {
    const { session } = this;
    const findings = session.scene?.findings ?? [];
    if (findings.length === 0) return;
    const order = findings
      .map((_, index) => index)
      .sort(
        (a, b) =>
          severityOrder[findings[a].severity] - severityOrder[findings[b].severity] ||
          findings[a].line - findings[b].line,
      );
    const at = order.indexOf(session.finding);
    const next = at < 0 && direction < 0 ? order.length - 1 : (at + direction + order.length) % order.length;
    this.showFinding(order[next], true);
  }

  /** Keeps camera and layers for when the editor shows the view again; once things have come to rest. */
  private keep(): void {
    clearTimeout(this.keeping);
    this.keeping = setTimeout(
      () => this.port.keep({ pose: this.stage?.orbit.pose, layers: this.session.layers }),
      300,
    );
  }
}

function noDrawing(): HTMLElement {
  return element(
    "section",
    { class: "cw-stage cw-no-drawing", role: "status", "data-testid": "no-drawing" },
    element("h2", {}, "The board cannot be drawn here"),
    element(
      "p",
      {},
      "This window gives no WebGL graphics. The summary, the findings and the steps through the program work without it. To see the board, turn on hardware acceleration, or open the review page in a browser.",
    ),
  );
}
