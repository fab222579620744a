/** The board and the bed in the drawing: meshed by tiles, so that a step redraws only what it changed. */
import {
  BufferAttribute,
  BufferGeometry,
  DataTexture,
  DoubleSide,
  Group,
  LinearFilter,
  LineSegments,
  Mesh,
  RedFormat,
  ShaderMaterial,
  Vector2,
  Vector3,
} from "three";
import type { Grid } from "../../server/src/stock/field.ts";
import type { BoardSurface } from "./board-mesh.ts";
import { MeshData, meshTile, tileReach, type Tile } from "./board-mesh.ts";
import { depthStops, type Palette } from "./colours.ts";

/** Cells along the edge of a tile. */
const tileEdge = 64;

interface DrawnTile extends Tile {
  readonly mesh: Mesh<BufferGeometry, ShaderMaterial>;
  readonly rim: LineSegments<BufferGeometry, ShaderMaterial>;
  drawn: boolean;
}

export class BoardDrawing {
  readonly group = new Group();
  private readonly bed: Mesh<BufferGeometry, ShaderMaterial> | undefined;
  private readonly tiles: DrawnTile[] = [];
  private readonly shown: Float32Array;
  private readonly data = new MeshData();
  private readonly material: ShaderMaterial;
  private readonly lid: Mesh<BufferGeometry, ShaderMaterial>;
  private readonly rimMaterial: ShaderMaterial;
  private readonly mask: DataTexture;
  private readonly maskData: Uint8Array;
  private hasSkin = false;

  /** @param hasBed false where no thickness is declared: then nobody knows where the bed lies */
  constructor(
    private readonly surface: BoardSurface,
    hasBed: boolean,
    dotStep: number,
  ) {
    const { grid } = surface;
    this.shown = new Float32Array(surface.height.length).fill(NaN);
    this.maskData = new Uint8Array(surface.height.length);
    this.mask = new DataTexture(this.maskData, grid.columns, grid.rows, RedFormat);
    this.mask.minFilter = this.mask.magFilter = LinearFilter;
    this.mask.unpackAlignment = 1;
    this.material = boardMaterial(surface, this.mask, dotStep);
    this.rimMaterial = new ShaderMaterial({
      vertexShader: rimVertex,
      fragmentShader: rimFragment,
      uniforms: { rim: { value: new Vector3() } },
    });
    for (let row0 = 0; row0 < grid.rows; row0 += tileEdge) {
      for (let column0 = 0; column0 < grid.columns; column0 += tileEdge) {
        const mesh = new Mesh(new BufferGeometry(), this.material);
        const rim = new LineSegments(new BufferGeometry(), this.rimMaterial);
        mesh.frustumCulled = rim.frustumCulled = false;
        rim.renderOrder = 1;
        this.group.add(mesh, rim);
        this.tiles.push({
          column0,
          row0,
          column1: Math.min(column0 + tileEdge, grid.columns),
          row1: Math.min(row0 + tileEdge, grid.rows),
          mesh,
          rim,
          drawn: false,
        });
      }
    }
    this.lid = skinLid(surface, this.mask);
    this.lid.visible = false;
    this.group.add(this.lid);
    if (hasBed) {
      this.bed = new Mesh(bedGeometry(grid, surface.base), this.material);
      this.group.add(this.bed);
    }
  }

  /** Redraws the tiles whose heights changed. */
  update(): void {
    const { surface, shown } = this;
    for (const tile of this.tiles) {
      if (tile.drawn && !this.changed(tile)) continue;
      meshTile(surface, tile, this.data);
      fill(tile, this.data);
      tile.drawn = true;
    }
    shown.set(surface.height);
  }

  setSkin(mask: Uint8Array): void {
    this.maskData.set(mask);
    this.mask.needsUpdate = true;
    this.hasSkin = mask.some((value) => value > 0);
  }

  showSkin(on: boolean): void {
    this.material.uniforms.showSkin.value = on ? 1 : 0;
    this.lid.visible = on && this.hasSkin;
  }

  /** Where no board is drawn the bed keeps its place, with the board's footprint open. */
  showStock(on: boolean): void {
    for (const tile of this.tiles) tile.mesh.visible = tile.rim.visible = on;
  }

  setScale(pixelRatio: number): void {
    this.material.uniforms.pixelRatio.value = pixelRatio;
    this.lid.material.uniforms.pixelRatio.value = pixelRatio;
  }

  setPalette(palette: Palette): void {
    const { uniforms } = this.material;
    const { rgb } = palette;
    uniforms.topColour.value = rgb["board-top"];
    uniforms.wallColour.value = rgb["board-wall"];
    uniforms.bedColour.value = rgb.bed;
    uniforms.bedDot.value = rgb["bed-dot"];
    uniforms.bedWall.value = rgb["bed-wall"];
    uniforms.skinColour.value = rgb.skin;
    uniforms.skinGap.value = rgb["skin-gap"];
    uniforms.ground.value = rgb.background;
    uniforms.depthColours.value = palette.depth;
    this.rimMaterial.uniforms.rim.value = rgb.rim;
    this.lid.material.uniforms.skinColour.value = rgb.skin;
  }

  dispose(): void {
    for (const tile of this.tiles) {
      tile.mesh.geometry.dispose();
      tile.rim.geometry.dispose();
    }
    this.bed?.geometry.dispose();
    this.lid.geometry.dispose();
    this.lid.material.dispose();
    this.material.dispose();
    this.rimMaterial.dispose();
    this.mask.dispose();
  }

  private changed(tile: Tile): boolean {
    const { grid, height } = this.surface;
    const column0 = Math.max(tile.column0 - tileReach, 0);
    const column1 = Math.min(tile.column1 + tileReach, grid.columns);
    const row1 = Math.min(tile.row1 + tileReach, grid.rows);
    for (let row = Math.max(tile.row0 - tileReach, 0); row < row1; row++) {
      const end = row * grid.columns + column1;
      for (let cell = row * grid.columns + column0; cell < end; cell++)
        if (height[cell] !== this.shown[cell]) return true;
    }
    return false;
  }
}

function fill(tile: DrawnTile, data: MeshData): void {
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(data.position.slice(0, data.vertexCount * 3), 3));
  geometry.setAttribute("facing", new BufferAttribute(data.normal.slice(0, data.vertexCount * 4), 4));
  geometry.setIndex(new BufferAttribute(data.index.slice(0, data.indexCount), 1));
  tile.mesh.geometry.dispose();
  tile.mesh.geometry = geometry;
  const rim = new BufferGeometry();
  rim.setAttribute("position", new BufferAttribute(data.rim.slice(0, data.rimCount * 6), 3));
  tile.rim.geometry.dispose();
  tile.rim.geometry = rim;
}

/** The bed around the board's footprint: a frame of four quads. */
function bedGeometry(grid: Grid, z: number): BufferGeometry {
  const [x0, y0] = [grid.x0, grid.y0];
  const [x1, y1] = [x0 + grid.dx * grid.columns, y0 + grid.dy * grid.rows];
  const out = bedReach(grid);
  const geometry = new BufferGeometry();
  const quads = [
    [x0 - out, y0 - out, x1 + out, y0],
    [x0 - out, y1, x1 + out, y1 + out],
    [x0 - out, y0, x0, y1],
    [x1, y0, x1 + out, y1],
  ];
  const position = quads.flatMap(([a, b, c, d]) => [a, b, z, c, b, z, c, d, z, a, d, z]);
  const index = quads.flatMap((_, q) => [0, 1, 2, 0, 2, 3].map((k) => k + 4 * q));
  const facing = new Int8Array(quads.length * 16);
  for (let v = 0; v < quads.length * 4; v++) facing[v * 4 + 2] = 127;
  geometry.setAttribute("position", new BufferAttribute(new Float32Array(position), 3));
  geometry.setAttribute("facing", new BufferAttribute(facing, 4));
  geometry.setIndex(index);
  return geometry;
}

/**
 * The map of the skin once more, as loose hatching at the height of the board's top: the floor of a deep, narrow
 * cut is out of sight in a slanting view.
 */
function skinLid(surface: BoardSurface, mask: DataTexture): Mesh<BufferGeometry, ShaderMaterial> {
  const { grid, top } = surface;
  const [x0, y0] = [grid.x0, grid.y0];
  const [x1, y1] = [x0 + grid.dx * grid.columns, y0 + grid.dy * grid.rows];
  const geometry = new BufferGeometry();
  const position = new Float32Array([x0, y0, top, x1, y0, top, x1, y1, top, x0, y1, top]);
  geometry.setAttribute("position", new BufferAttribute(position, 3));
  geometry.setIndex([0, 1, 2, 0, 2, 3]);
  const material = new ShaderMaterial({
    vertexShader: lidVertex,
    fragmentShader: lidFragment,
    transparent: true,
    depthWrite: false,
    uniforms: {
      mask: { value: mask },
      origin: { value: new Vector2(x0, y0) },
      size: { value: new Vector2(x1 - x0, y1 - y0) },
      pixelRatio: { value: 1 },
      skinColour: { value: new Vector3() },
    },
  });
  const mesh = new Mesh(geometry, material);
  mesh.renderOrder = 1;
  return mesh;
}

/** How far the bed is drawn beyond the board, mm. */
function bedReach(grid: Grid): number {
  return 0.16 * Math.max(grid.dx * grid.columns, grid.dy * grid.rows) + 10;
}

function boardMaterial(surface: BoardSurface, mask: DataTexture, dotStep: number): ShaderMaterial {
  const { grid, top, base } = surface;
  const origin = new Vector2(grid.x0, grid.y0);
  const size = new Vector2(grid.dx * grid.columns, grid.dy * grid.rows);
  const none = () => ({ value: new Vector3() });
  return new ShaderMaterial({
    vertexShader: boardVertex,
    fragmentShader: boardFragment,
    side: DoubleSide,
    // Lines that lie on the wood win over it.
    polygonOffset: true,
    polygonOffsetFactor: 1,
    polygonOffsetUnits: 1,
    uniforms: {
      top: { value: top },
      base: { value: base },
      origin: { value: origin },
      size: { value: size },
      reach: { value: bedReach(grid) },
      dotStep: { value: dotStep },
      pixelRatio: { value: 1 },
      mask: { value: mask },
      showSkin: { value: 1 },
      topColour: none(),
      wallColour: none(),
      bedColour: none(),
      bedDot: none(),
      bedWall: none(),
      skinColour: none(),
      skinGap: none(),
      ground: none(),
      depthColours: { value: Array.from({ length: depthStops }, () => new Vector3()) },
    },
  });
}

const boardVertex = /* glsl */ `
attribute vec4 facing;
varying vec3 place;
varying vec3 normalOut;
varying float kind;
void main() {
  place = position;
  normalOut = facing.xyz / 127.0;
  kind = facing.w;
  gl_Position = projectionMatrix * viewMatrix * vec4(position, 1.0);
}`;

const boardFragment = /* glsl */ `
uniform float top, base, dotStep, reach, pixelRatio, showSkin;
uniform vec2 origin, size;
uniform sampler2D mask;
uniform vec3 topColour, wallColour, bedColour, bedDot, bedWall, skinColour, skinGap, ground;
uniform vec3 depthColours[${depthStops}];
varying vec3 place;
varying vec3 normalOut;
varying float kind;

vec3 depthColour(float share) {
  float at = clamp(share, 0.0, 1.0) * float(${depthStops - 1});
  vec3 colour = depthColours[0];
  for (int i = 0; i < ${depthStops - 1}; i++)
    colour = mix(colour, depthColours[i + 1], clamp(at - float(i), 0.0, 1.0));
  return colour;
}

void main() {
  vec3 n = normalize(normalOut);
  float light = dot(n, normalize(vec3(-0.45, -0.6, 0.9)));
  vec3 colour;
  if (kind < 0.5) {
    float depth = top - place.z;
    if (place.z <= base + 0.0005) {
      // The bed: a flat tone with dots in step with the program's units; grooves cut into it are darker.
      vec2 toDot = (fract(place.xy / dotStep + 0.5) - 0.5) * dotStep;
      float radius = dotStep * 0.035;
      float soft = fwidth(place.x) + fwidth(place.y);
      float dotted = 1.0 - smoothstep(radius, radius + soft, length(toDot));
      colour = mix(bedColour, bedDot, dotted * 0.7);
      if (place.z < base - 0.02) colour *= 0.86;
      vec2 beyond = max(max(origin - place.xy, place.xy - origin - size), 0.0);
      float away = length(beyond) / reach;
      // A narrow soft shadow sets the board off; farther out the bed fades into the ground.
      float shade = length(beyond) / (0.22 * reach);
      if (away > 0.0) colour *= 1.0 - 0.12 * (1.0 - smoothstep(0.0, 1.0, shade));
      colour = mix(colour, ground, smoothstep(0.1, 1.0, away));
    } else {
      colour = depth < 0.005 ? topColour : depthColour(depth / (top - base));
      colour *= 0.72 + 0.28 * max(light, 0.0) / 0.77;
      if (showSkin > 0.5 && texture2D(mask, (place.xy - origin) / size).r > 0.5) {
        float stripe = fract((gl_FragCoord.x + gl_FragCoord.y) / (7.0 * pixelRatio));
        float soft = 1.0 / (7.0 * pixelRatio);
        float on = smoothstep(0.0, soft, stripe) * (1.0 - smoothstep(0.5, 0.5 + soft, stripe));
        colour = mix(skinGap, skinColour, on);
      }
    }
  } else {
    colour = kind < 1.5 ? wallColour : bedWall;
    float level = clamp((place.z - base) / max(top - base, 0.001), 0.0, 1.0);
    colour *= (0.66 + 0.34 * clamp(light * 0.5 + 0.5, 0.0, 1.0)) * (kind < 1.5 ? 0.82 + 0.18 * level : 1.0);
  }
  gl_FragColor = vec4(colour, 1.0);
}`;

const lidVertex = /* glsl */ `
varying vec2 place;
void main() {
  place = position.xy;
  gl_Position = projectionMatrix * viewMatrix * vec4(position, 1.0);
}`;

const lidFragment = /* glsl */ `
uniform vec2 origin, size;
uniform float pixelRatio;
uniform sampler2D mask;
uniform vec3 skinColour;
varying vec2 place;
void main() {
  if (texture2D(mask, (place - origin) / size).r < 0.5) discard;
  float stripe = fract((gl_FragCoord.x + gl_FragCoord.y) / (7.0 * pixelRatio));
  float soft = 1.0 / (7.0 * pixelRatio);
  float on = smoothstep(0.0, soft, stripe) * (1.0 - smoothstep(0.5, 0.5 + soft, stripe));
  gl_FragColor = vec4(skinColour, 0.85 * on);
}`;

const rimVertex = /* glsl */ `
void main() {
  gl_Position = projectionMatrix * viewMatrix * vec4(position, 1.0);
}`;

const rimFragment = /* glsl */ `
uniform vec3 rim;
void main() {
  gl_FragColor = vec4(rim, 1.0);
}`;
