/** The drawing: canvas, camera and everything in it. Draws only when something changed. */
import { Color, LinearSRGBColorSpace, Scene as Three, Vector3, WebGLRenderer } from "three";
import { pointOnMotion } from "../../server/src/machine/geometry.ts";
import { MotionFlag } from "../../server/src/machine/motions.ts";
import type { Scene } from "../../server/src/report/scene.ts";
import { BedLine, boardLabels, drawnBox, ZeroMark } from "./zero-mark.ts";
import { BoardDrawing } from "./board-drawing.ts";
import { BoardMaterial } from "./board-material.ts";
import type { Palette } from "./colours.ts";
import { element } from "./elements.ts";
import { FindingMarkers } from "./finding-markers.ts";
import { listenForGestures } from "./gestures.ts";
import { LabelLayer } from "./labels.ts";
import { lengthText, placeText, roundStep } from "./lengths.ts";
import { depthText } from "./motion-text.ts";
import { Orbit, viewAngles, type Box, type Pose, type ViewName } from "./orbit.ts";
import { PathDrawing } from "./path-drawing.ts";
import { pathSegments, type PathSegments } from "./path-segments.ts";
import { motionsNear } from "./picking.ts";
import type { Session } from "./session.ts";
import { ToolDrawing } from "./tool-drawing.ts";

/** Time for carving in one frame, ms. */
const carveBudget = 40;
/** While there is much to carve, pictures of the state in between are this far apart at least, ms. */
const betweenPictures = 400;
/** Room around the board when it is fitted, CSS px. */
const fitMargin = 44;

interface Drawn {
  readonly scene: Scene;
  readonly segments: PathSegments;
  readonly path: PathDrawing;
  readonly material: BoardMaterial | undefined;
  readonly board: BoardDrawing | undefined;
  readonly box: Box;
  skinKnown: boolean;
}

export class Stage {
  readonly node: HTMLElement;
  readonly canvas: HTMLCanvasElement;
  readonly orbit = new Orbit();
  private readonly three = new Three();
  private readonly renderer: WebGLRenderer;
  private readonly labels = new LabelLayer();
  private readonly markers: FindingMarkers;
  private readonly zero = new ZeroMark();
  private readonly bedLine = new BedLine();
  private readonly tool = new ToolDrawing();
  private readonly hover = element("div", { class: "cw-hover", "aria-hidden": "true" });
  private readonly progress = element("div", { class: "cw-progress", "aria-hidden": "true" });
  private readonly notice = element("div", { class: "cw-stage-notice", role: "status" });
  private palette: Palette;
  private drawn: Drawn | undefined;
  private requested = 0;
  private meshed = -1;
  /** The camera moved since the last picture; when that was done and how long it took, ms. */
  private moved = false;
  private lastPicture = 0;
  private pictureCost = 0;
  private lost = false;
  private readonly ground = new Color();
  private fitted = false;
  private restored = false;
  private lastPick = { x: -100, y: -100, nth: 0 };
  private waiting: (() => void)[] = [];

  /**
   * Throws where the browser gives no WebGL.
   * @param onPick called with the motion that was clicked
   * @param onPose called after the camera moved
   */
  constructor(
    private readonly session: Session,
    palette: Palette,
    onPick: (motion: number) => void,
    onFinding: (index: number) => void,
    private readonly onPose: () => void,
  ) {
    this.canvas = element("canvas", {
      class: "cw-canvas",
      "data-testid": "cut-view-canvas",
      tabindex: 0,
      role: "application",
      "aria-roledescription": "drawing",
      "aria-label": "The board in 3D. Arrow keys turn it, question mark lists the keys.",
    });
    const context = this.canvas.getContext("webgl2", { antialias: true, alpha: false });
    if (!context) throw new Error("The browser gives no WebGL 2 context.");
    this.renderer = new WebGLRenderer({ canvas: this.canvas, context });
    // The palette is in the screen's own colours and the shaders write them unchanged.
    this.renderer.outputColorSpace = LinearSRGBColorSpace;
    this.markers = new FindingMarkers(onFinding);
    this.node = element(
      "section",
      { class: "cw-stage", "aria-label": "Drawing" },
      this.canvas,
      this.labels.node,
      this.markers.node,
      this.hover,
      this.progress,
      this.notice,
    );
    this.three.add(...this.zero.meshes, this.bedLine.mesh, this.tool.mesh);
    this.palette = palette;
    new ResizeObserver(() => this.resize()).observe(this.node);
    this.canvas.addEventListener("webglcontextlost", (event) => {
      event.preventDefault();
      this.lost = true;
      this.notice.textContent =
        "The drawing was interrupted by the graphics system and will come back by itself.";
    });
    this.canvas.addEventListener("webglcontextrestored", () => {
      this.lost = false;
      this.notice.textContent = "";
      this.request();
    });
    listenForGestures(this.canvas, this.orbit, {
      moved: () => {
        this.moved = true;
        this.onPose();
        this.request();
      },
      clicked: (x, y) => {
        const motion = this.pick(x, y);
        if (motion !== undefined) onPick(motion);
      },
      hovered: (place) => this.showHover(place),
    });
    session.onChange((change) => {
      if (change === "scene") this.load();
      if (change === "finding") {
        this.markers.setChosen(session.finding);
        this.bringIntoView(session.finding);
      }
      this.request();
    });
  }

  /** Turns to a named view and fits the board. */
  look(view: ViewName): void {
    this.orbit.azimuth = viewAngles[view].azimuth;
    this.orbit.elevation = viewAngles[view].elevation;
    this.orbit.update();
    this.fit();
  }

  fit(): void {
    if (!this.drawn) return;
    this.orbit.fit(this.drawn.box, Math.min(fitMargin, this.orbit.width * 0.09));
    this.moved = true;
    this.onPose();
    this.request();
  }

  setPalette(palette: Palette): void {
    this.palette = palette;
    this.applyPalette();
    this.request();
  }

  /** Takes up a camera that was kept; the next scene is shown with it instead of fitted. */
  restore(pose: Pose): void {
    this.orbit.pose = pose;
    this.fitted = true;
    this.restored = true;
  }

  /** Resolves after the next picture that shows the session's state in full. */
  frame(): Promise<void> {
    return new Promise((resolve) => {
      this.waiting.push(resolve);
      this.request();
    });
  }

  /** Middle of a motion on the canvas, CSS px; undefined where it is not in the picture. */
  screenPointOfMotion(i: number): { x: number; y: number } | undefined {
    if (!this.drawn || i < 0 || i >= this.drawn.scene.motions.count) return undefined;
    const { x, y } = this.orbit.project(...pointOnMotion(this.drawn.scene.motions, i, 0.5));
    return x >= 0 && y >= 0 && x <= this.orbit.width && y <= this.orbit.height ? { x, y } : undefined;
  }

  private load(): void {
    const { scene } = this.session;
    if (!scene) return;
    const before = this.drawn;
    if (before) {
      this.three.remove(before.path.group);
      before.path.dispose();
      if (before.board) {
        this.three.remove(before.board.group);
        before.board.dispose();
      }
    }
    const segments = pathSegments(scene.motions);
    const path = new PathDrawing(segments, scene.board.size[0] * scene.board.size[1]);
    const material = BoardMaterial.of(scene);
    const longest = Math.max(...scene.board.size);
    const board = material
      ? new BoardDrawing(
          material.surface,
          scene.board.underside !== null,
          roundStep(longest / 40, scene.units),
        )
      : undefined;
    this.three.add(path.group);
    if (board) this.three.add(board.group);
    const box = drawnBox(scene, material?.surface.base);
    this.drawn = { scene, segments, path, material, board, box, skinKnown: scene.skins.length === 0 };
    this.meshed = -1;
    this.bedLine.load(box, scene.board.underside ?? undefined);
    this.labels.set(boardLabels(scene, box));
    this.markers.set(scene.findings, scene.board.top);
    this.applyPalette();
    const sameBoard = before && before.box.every((value, k) => Math.abs(value - box[k]) < 1);
    if (!sameBoard && !this.restored) this.fitted = false;
    this.restored = false;
    this.resize();
  }

  private resize(): void {
    const { clientWidth: width, clientHeight: height } = this.node;
    if (width === 0 || height === 0) return;
    const ratio = Math.min(window.devicePixelRatio, 2);
    this.renderer.setPixelRatio(ratio);
    this.renderer.setSize(width, height, false);
    this.orbit.width = width;
    this.orbit.height = height;
    this.orbit.update();
    if (!this.fitted && this.drawn) {
      this.fitted = true;
      this.fit();
    }
    this.request();
  }

  private applyPalette(): void {
    const { palette, drawn } = this;
    drawn?.board?.setPalette(palette);
    drawn?.path.setPalette(palette);
    this.zero.setPalette(palette);
    this.bedLine.setPalette(palette);
    this.tool.setPalette(palette);
  }

  /** Asks for a picture with the next frame. */
  request(): void {
    if (this.requested !== 0) return;
    this.requested = requestAnimationFrame(() => {
      this.requested = 0;
      this.draw();
    });
  }

  private draw(): void {
    const { drawn, session, orbit, renderer } = this;
    if (!drawn || this.lost || orbit.width <= 1) {
      if (!drawn) this.settle();
      return;
    }
    const carved = this.carve(drawn);
    const now = performance.now();
    if (!carved && !this.moved && now - this.lastPicture < Math.max(betweenPictures, 4 * this.pictureCost)) {
      // The time is better spent on carving.
      this.request();
      return;
    }
    this.moved = false;
    if (!carved) drawn.board?.update();
    const ratio = renderer.getPixelRatio();
    drawn.path.setSize(orbit.width, orbit.height, orbit.scale);
    drawn.path.setDone(session.done);
    drawn.path.setMark(session.mark);
    drawn.path.setCurrent(session.current);
    drawn.path.show(session.layers.toolpath, session.layers.rapids);
    drawn.board?.showSkin(session.layers.skin);
    drawn.board?.showStock(session.layers.stock);
    drawn.board?.setScale(ratio);
    this.zero.place(orbit);
    this.bedLine.place(orbit);
    this.node.classList.toggle("cw-level-view", orbit.elevation < 0.06);
    this.placeTool(drawn);
    this.markers.node.hidden = !session.layers.findings;
    this.labels.place(orbit);
    if (session.layers.findings) this.markers.place(orbit);
    // Set each time: a restored context has forgotten it.
    renderer.setClearColor(
      this.ground.setRGB(...this.palette.rgb.background.toArray(), LinearSRGBColorSpace),
    );
    renderer.render(this.three, orbit.camera);
    this.lastPicture = performance.now();
    this.pictureCost = this.lastPicture - now;
    if (carved) this.settle();
    else this.request();
  }

  private settle(): void {
    for (const resolve of this.waiting.splice(0)) resolve();
  }

  /** Brings the board towards the session's place; false while there is more to carve. */
  private carve({ material, board, scene, ...drawn }: Drawn): boolean {
    if (!material || !board) return true;
    if (!drawn.skinKnown) {
      // The map of the skin is read off the finished board, once.
      if (!material.advance(scene.motions.count, carveBudget)) return this.carving(material);
      board.setSkin(material.skinMask());
      this.drawn!.skinKnown = true;
    }
    const there = material.advance(this.session.done, carveBudget);
    if (!there) return this.carving(material);
    if (this.meshed !== this.session.done) {
      board.update();
      this.meshed = this.session.done;
    }
    this.progress.textContent = "";
    return true;
  }

  private carving(material: BoardMaterial): false {
    this.meshed = -1;
    const share = Math.floor((100 * material.motionCount) / Math.max(this.session.motionCount, 1));
    this.progress.textContent = `Carving ${share} %`;
    return false;
  }

  private placeTool({ scene, box }: Drawn): void {
    const { session } = this;
    const { motions } = scene;
    const i = Math.max(session.current, 0);
    const before = session.current < 0;
    const known =
      motions.count > 0 && !(motions.flags[i] & (before ? MotionFlag.startUnknown : MotionFlag.endUnknown));
    const tool = known ? scene.tools.find((entry) => entry.number === motions.tool[i]) : undefined;
    this.tool.mesh.visible = session.layers.tool && tool !== undefined;
    if (!tool) return;
    const share = before ? 0 : session.underway > 0 ? session.underway : 1;
    const [x, y, z] = pointOnMotion(motions, i, share);
    this.tool.place(tool, x, y, z, box[5] - box[2]);
  }

  /** The motion at a place; another click there goes on to the next one behind it. */
  private pick(x: number, y: number): number | undefined {
    if (!this.drawn) return undefined;
    const { layers } = this.session;
    const found = motionsNear(this.drawn.segments, this.orbit, x, y, {
      cuts: layers.toolpath,
      rapids: layers.rapids,
    });
    if (found.length === 0) return undefined;
    const again = Math.hypot(x - this.lastPick.x, y - this.lastPick.y) < 3;
    this.lastPick = { x, y, nth: again ? this.lastPick.nth + 1 : 0 };
    return found[this.lastPick.nth % found.length];
  }

  private bringIntoView(finding: number): void {
    const at = this.drawn?.scene.findings[finding]?.at;
    if (!at) return;
    const { orbit } = this;
    const { x, y } = orbit.project(...at);
    const edge = 40;
    const inView = x > edge && y > edge && x < orbit.width - edge && y < orbit.height - edge;
    if (inView) return;
    orbit.target.set(...at);
    orbit.update();
    this.onPose();
  }

  private showHover(place: { x: number; y: number } | undefined): void {
    const text = place && this.session.layers.stock ? this.materialUnder(place.x, place.y) : undefined;
    this.hover.textContent = text ?? "";
    this.hover.classList.toggle("cw-off", text === undefined);
  }

  /** What the pointer touches: the line of sight is followed down into the height field. */
  private materialUnder(x: number, y: number): string | undefined {
    const { drawn, orbit } = this;
    const material = drawn?.material;
    if (!drawn || !material || orbit.elevation < 0.05) return undefined;
    const { top, base, grid } = material.surface;
    const start = orbit.unproject(x, y);
    start.addScaledVector(orbit.back, (top - start.z) / orbit.back.z);
    const level = Math.hypot(orbit.back.x, orbit.back.y) / orbit.back.z;
    const drop = Math.min(0.1, level > 0 ? (0.5 * Math.min(grid.dx, grid.dy)) / level : Infinity);
    const spot = new Vector3();
    for (let z = top; z > base - 10; z -= drop) {
      spot.copy(start).addScaledVector(orbit.back, (z - top) / orbit.back.z);
      const height = material.heightAt(spot.x, spot.y);
      if (height === undefined || height < z - 1e-4) continue;
      return this.materialText(drawn.scene, spot, height);
    }
    return undefined;
  }

  private materialText(scene: Scene, spot: Vector3, height: number): string {
    const { units, board } = scene;
    const where = placeText(spot.x, spot.y, 0, units).replace(/ Z.*/, "");
    if (board.underside !== null && height <= board.underside + 5e-4) {
      const deep = board.underside - height;
      return `${where}: cut through${deep > 5e-4 ? `, ${lengthText(deep, units)} below the underside` : ""}`;
    }
    return `${where}: ${depthText(scene, height)}`;
  }
}
