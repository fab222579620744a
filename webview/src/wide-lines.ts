/**
 * Lines of a width in CSS px. The segments lie in a texture and the vertex shader makes each one's quad from its
 * number: a program of any length is one texture and one draw call, and any stretch of it can be drawn from the
 * same texture. (Instances would do on a graphics card, but software rendering takes them one by one.)
 * The camera is a parallel projection, so ends never need clipping at the eye.
 */
import {
  BufferGeometry,
  DataTexture,
  FloatType,
  GreaterDepth,
  LessEqualDepth,
  Mesh,
  RGBAFormat,
  ShaderMaterial,
  Vector2,
  Vector3,
} from "three";
import { segmentStride } from "./path-segments.ts";

/** Texels in a row of the texture; a segment takes two. Every WebGL 2 allows as many rows. */
const rowTexels = 2048;
/** Vertices of a segment's quad: two triangles. */
const quadVertices = 6;

/** A texture of `count` segments (see `path-segments.ts` for their layout). */
export function segmentTexture(data: Float32Array, count: number): DataTexture {
  const rows = Math.max(1, Math.ceil((count * 2) / rowTexels));
  const texels = new Float32Array(rows * rowTexels * 4);
  texels.set(data.subarray(0, count * segmentStride));
  const texture = new DataTexture(texels, rowTexels, rows, RGBAFormat, FloatType);
  texture.needsUpdate = true;
  return texture;
}

/** Draws `count` segments of a mesh's texture from `first` on; none hides it. */
export function drawSegments(mesh: LineMesh, first: number, count: number): void {
  mesh.material.uniforms.first.value = first;
  mesh.geometry.setDrawRange(0, count * quadVertices);
  mesh.visible = count > 0;
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

export type LineMesh = Mesh<BufferGeometry, ShaderMaterial>;

/** A mesh that draws segments of a texture in one look. Colours and the state of the program are uniforms. */
export function lineMesh(segments: DataTexture, look: LineLook): LineMesh {
  const material = new ShaderMaterial({
    vertexShader,
    fragmentShader,
    transparent: true,
    depthWrite: false,
    depthTest: !look.onTop,
    depthFunc: look.hidden ? GreaterDepth : LessEqualDepth,
    uniforms: {
      segments: { value: segments },
      first: { value: 0 },
      size: { value: new Vector2(1, 1) },
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
  const mesh: LineMesh = new Mesh(new BufferGeometry(), material);
  mesh.frustumCulled = false;
  drawSegments(mesh, 0, 0);
  return mesh;
}

const vertexShader = /* glsl */ `
uniform sampler2D segments;
uniform int first;
uniform vec2 size;
uniform float width, lift, opacity, opacityToDo, done, showCuts, showRapids;
uniform vec3 cutColour, rapidColour;
varying vec4 colour;
varying float along;
varying float across;
varying float dash;
varying float halfWidth;
void main() {
  int segment = first + gl_VertexID / ${quadVertices};
  int corner = gl_VertexID % ${quadVertices};
  ivec2 texel = ivec2((segment * 2) % ${rowTexels}, (segment * 2) / ${rowTexels});
  vec4 one = texelFetch(segments, texel, 0);
  vec4 two = texelFetch(segments, texel + ivec2(1, 0), 0);
  vec3 from = one.xyz;
  vec3 to = vec3(one.w, two.xy);
  // Index of the motion; 0 for a rapid, 1 for cutting.
  vec2 about = two.zw;
  // Along the segment (0 start, 1 end) and across it (-1, 1).
  vec2 quad = vec2(
    corner == 1 || corner == 2 || corner == 4 ? 1.0 : 0.0,
    corner == 2 || corner == 4 || corner == 5 ? 1.0 : -1.0);
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
  float end = quad.x * 2.0 - 1.0;
  vec2 px = mix(pxA, pxB, quad.x) + dir * end * cap + normal * quad.y * reach;
  across = quad.y * reach;
  along = mix(-cap, length_ + cap, quad.x);
  dash = cutting > 0.5 ? -1.0 : length_;
  colour = vec4(mix(rapidColour, cutColour, cutting), about.x < done ? opacity : opacityToDo);
  vec4 clip = mix(a, b, quad.x);
  gl_Position = shown ? vec4(px * 2.0 / size, clip.z, 1.0) : vec4(2.0, 2.0, 2.0, 1.0);
}`;

const fragmentShader = /* glsl */ `
uniform float dashed;
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
