/** The cutter at the current place: its own outline turned about the axis, clear in the middle so that the cut is seen. */
import { BufferGeometry, DoubleSide, LatheGeometry, Mesh, ShaderMaterial, Vector2, Vector3 } from "three";
import type { Tool } from "../../server/src/job/facts.ts";
import { cutterFrom, heightAboveTip } from "../../server/src/stock/cutter.ts";
import type { Palette } from "./colours.ts";

export class ToolDrawing {
  readonly mesh: Mesh<BufferGeometry, ShaderMaterial>;
  private shape = "";

  constructor() {
    const material = new ShaderMaterial({
      vertexShader,
      fragmentShader,
      transparent: true,
      depthWrite: false,
      side: DoubleSide,
      uniforms: { tool: { value: new Vector3() } },
    });
    this.mesh = new Mesh(new BufferGeometry(), material);
    this.mesh.frustumCulled = false;
    this.mesh.renderOrder = 8;
  }

  /** Shows a tool with its tip at (x, y, z), mm. `above` is how far its shank rises at least, mm. */
  place(tool: Tool, x: number, y: number, z: number, above: number): void {
    const shape = [tool.shape, tool.diameter, tool.angle, tool.tipDiameter, tool.cornerRadius, above].join(
      " ",
    );
    if (shape !== this.shape) {
      this.shape = shape;
      this.mesh.geometry.dispose();
      this.mesh.geometry = new LatheGeometry(outline(tool, above), 48);
    }
    this.mesh.position.set(x, y, z);
  }

  setPalette(palette: Palette): void {
    this.mesh.material.uniforms.tool.value = palette.rgb.tool;
  }

  dispose(): void {
    this.mesh.geometry.dispose();
    this.mesh.material.dispose();
  }
}

/** Half outline from the tip upwards: distance from the axis, height above the tip, mm. */
function outline(tool: Tool, above: number): Vector2[] {
  const cutter = cutterFrom(tool);
  const points = [new Vector2(0, 0)];
  const steps = 16;
  if (cutter.flatRadius > 0) points.push(new Vector2(cutter.flatRadius, 0));
  if (cutter.flatRadius < cutter.radius) {
    for (let k = 1; k <= steps; k++) {
      const r = cutter.flatRadius + ((cutter.radius - cutter.flatRadius) * k) / steps;
      points.push(new Vector2(r, heightAboveTip(cutter, r * r)));
    }
  }
  const shoulder = points[points.length - 1].y;
  const edges = Math.max(tool.cuttingLength ?? tool.diameter * 3, shoulder);
  points.push(new Vector2(cutter.radius, edges));
  points.push(new Vector2(cutter.radius, Math.max(edges, above) + tool.diameter * 1.5));
  return points;
}

const vertexShader = /* glsl */ `
varying vec3 facing;
varying float heightOut;
void main() {
  // The lathe turns about its own y axis; here that axis is the machine's z.
  vec3 turned = vec3(position.x, -position.z, position.y);
  vec3 n = vec3(normal.x, -normal.z, normal.y);
  facing = (viewMatrix * vec4(n, 0.0)).xyz;
  heightOut = position.y;
  gl_Position = projectionMatrix * viewMatrix * vec4(turned + modelMatrix[3].xyz, 1.0);
}`;

const fragmentShader = /* glsl */ `
uniform vec3 tool;
varying vec3 facing;
varying float heightOut;
void main() {
  float edge = 1.0 - abs(normalize(facing).z);
  float light = 0.75 + 0.25 * normalize(facing).x;
  gl_FragColor = vec4(tool * light, mix(0.16, 0.85, edge * edge * edge));
}`;
