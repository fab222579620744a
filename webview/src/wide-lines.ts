/**
 * Lines of a width in CSS px, one instance a segment: a program of any length is one buffer and one draw call.
 * The camera is a parallel projection, so ends never need clipping at the eye.
 */
import {
  BufferAttribute,
  GreaterDepth,
  InstancedBufferGeometry,
  InstancedInterleavedBuffer,
  InterleavedBufferAttribute,
  LessEqualDepth,
  Mesh,
  ShaderMaterial,
  Vector2,
  Vector3,
} from "three";
import { segmentStride } from "./path-segments.ts";

/** Geometry over segment data (see `path-segments.ts`). */
export function segmentGeometry(data: Float32Array, count: number): InstancedBufferGeometry {
  const geometry = new InstancedBufferGeometry();
  // x: along the segment (0 start, 1 end); y: across (-1, 1).
  const corners = new Float32Array([0, -1, 0, 1, -1, 0, 1, 1, 0, 0, 1, 0]);
  geometry.setAttribute("position", new BufferAttribute(corners, 3));
  geometry.setIndex([0, 1, 2, 0, 2, 3]);
  const buffer = new InstancedInterleavedBuffer(data, segmentStride);
  geometry.setAttribute("from", new InterleavedBufferAttribute(buffer, 3, 0));
  geometry.setAttribute("to", new InterleavedBufferAttribute(buffer, 3, 3));
  geometry.setAttribute("about", new InterleavedBufferAttribute(buffer, 2, 6));
  geometry.instanceCount = count;
  return geometry;
}

export interface LineLook {
  /** CSS px. */
  readonly width: number;
  /** 0 to 1, for motions that are done and still to do. */
  readonly opacity: number;
  readonly opacityToDo: number;
  /** Draws only what lies behind something. */
  readonly hidden?: boolean;
  /** Rapids are dashed (true unless said otherwise). */
  readonly dashed?: boolean;
  /** mm towards the eye, so that a line on a surface is not lost in it. */
  readonly lift?: number;
  /** Drawn over everything. */
  readonly onTop?: boolean;
}

export type LineMesh = Mesh<InstancedBufferGeometry, ShaderMaterial>;

/** A mesh that draws segments in one look. Colours and the state of the program are uniforms. */
export function lineMesh(geometry: InstancedBufferGeometry, look: LineLook): LineMesh {
  const material = new ShaderMaterial({
    vertexShader,
    fragmentShader,
    transparent: true,
    depthWrite: false,
    depthTest: !look.onTop,
    depthFunc: look.hidden ? GreaterDepth : LessEqualDepth,
    uniforms: {
      size: { value: new Vector2(1, 1) },
      pixelRatio: { value: 1 },
      width: { value: look.width },
      lift: { value: look.lift ?? 0 },
      opacity: { value: look.opacity },
      opacityToDo: { value: look.opacityToDo },
      dashed: { value: look.dashed === false ? 0 : 1 },
      done: { value: 0 },
      showCuts: { value: 1 },
      showRapids: { value: 1 },
      cutColour: { value: new Vector3() },
      rapidColour: { value: new Vector3() },
    },
  });
  const mesh = new Mesh(geometry, material);
  mesh.frustumCulled = false;
  return mesh;
}

const vertexShader = /* glsl */ `
attribute vec3 from, to;
attribute vec2 about;
uniform vec2 size;
uniform float pixelRatio, width, lift, opacity, opacityToDo, done, showCuts, showRapids;
uniform vec3 cutColour, rapidColour;
varying vec4 colour;
varying float along;
varying float across;
varying float dash;
varying float halfWidth;
void main() {
  float cutting = step(0.5, about.y);
  bool shown = cutting > 0.5 ? showCuts > 0.5 : showRapids > 0.5;
  vec4 a = viewMatrix * vec4(from, 1.0);
  vec4 b = viewMatrix * vec4(to, 1.0);
  a.z += lift;
  b.z += lift;
  a = projectionMatrix * a;
  b = projectionMatrix * b;
  vec2 pxA = a.xy * size * 0.5;
  vec2 pxB = b.xy * size * 0.5;
  vec2 run = pxB - pxA;
  float length_ = length(run);
  vec2 dir = length_ > 1e-4 ? run / length_ : vec2(1.0, 0.0);
  vec2 normal = vec2(-dir.y, dir.x);
  // Rapids are thinner; half a pixel more on each side is room for the soft edge.
  halfWidth = width * mix(0.62, 1.0, cutting) * 0.5;
  float reach = halfWidth + 0.5;
  // Wide lines are drawn out to close their corners; thin ones are not, or short segments would add up to black.
  float cap = halfWidth > 1.2 ? reach * cutting : 0.0;
  float end = position.x * 2.0 - 1.0;
  vec2 px = mix(pxA, pxB, position.x) + dir * end * cap + normal * position.y * reach;
  across = position.y * reach;
  along = mix(-cap, length_ + cap, position.x);
  dash = cutting > 0.5 ? -1.0 : length_;
  colour = vec4(mix(rapidColour, cutColour, cutting), about.x < done ? opacity : opacityToDo);
  vec4 clip = mix(a, b, position.x);
  gl_Position = shown ? vec4(px * 2.0 / size, clip.z, 1.0) : vec4(2.0, 2.0, 2.0, 1.0);
}`;

const fragmentShader = /* glsl */ `
uniform float dashed, pixelRatio;
varying vec4 colour;
varying float along;
varying float across;
varying float dash;
varying float halfWidth;
void main() {
  float alpha = colour.a * clamp(halfWidth + 0.5 - abs(across), 0.0, 1.0);
  if (dashed > 0.5 && dash > 0.0 && mod(along, 9.0) > 5.0) discard;
  if (alpha < 0.004) discard;
  gl_FragColor = vec4(colour.rgb, alpha);
}`;
