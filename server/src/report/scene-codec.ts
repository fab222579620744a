/**
 * A scene as text and back: JSON in which typed arrays are base64 (little-endian, as every platform this
 * runs on stores them). Runs in the browser and in Node alike.
 */
import type { Scene } from "./scene.ts";

const arrayTypes = { Uint8Array, Uint16Array, Uint32Array, Int32Array, Float32Array, Float64Array } as const;
type ArrayName = keyof typeof arrayTypes;
type Column = InstanceType<(typeof arrayTypes)[ArrayName]>;

/** Bytes turned to base64 at a time; a multiple of 3, so that the parts join without padding between them. */
const encodeStep = 3 * 8192;
const decodeStep = 4 * 8192;

/** The scene as one JSON text. Non-finite numbers and maps survive. */
export function encodeScene(scene: Scene): string {
  return JSON.stringify(scene, (_key, value: unknown) => {
    if (typeof value === "number" && !Number.isFinite(value)) return { $number: String(value) };
    if (value instanceof Map) return { $map: [...value] };
    if (ArrayBuffer.isView(value)) return { $array: arrayName(value), data: toBase64(value) };
    return value;
  });
}

/** The scene that `encodeScene` wrote. Throws a plain sentence where the text is not one. */
export function decodeScene(text: string): Scene {
  const scene = JSON.parse(text, (_key, value: unknown) => {
    if (typeof value !== "object" || value === null) return value;
    if ("$number" in value) return Number(value.$number);
    if ("$map" in value) return new Map(value.$map as [unknown, unknown][]);
    if ("$array" in value && "data" in value)
      return fromBase64(value.$array as ArrayName, value.data as string);
    return value;
  }) as Scene;
  if (scene?.version !== 1) throw new Error("This is not a scene of a version that this view can draw.");
  return scene;
}

function arrayName(view: ArrayBufferView): ArrayName {
  const name = view.constructor.name;
  // A subclass (Node's Buffer) is written as what it is underneath.
  if (name in arrayTypes) return name as ArrayName;
  if (view instanceof Uint8Array) return "Uint8Array";
  throw new Error(`A scene holds an array of a kind that cannot be written: ${name}.`);
}

function toBase64(view: ArrayBufferView): string {
  const bytes = new Uint8Array(view.buffer, view.byteOffset, view.byteLength);
  const parts: string[] = [];
  for (let i = 0; i < bytes.length; i += encodeStep) {
    parts.push(btoa(String.fromCharCode(...bytes.subarray(i, i + encodeStep))));
  }
  return parts.join("");
}

function fromBase64(name: ArrayName, data: string): Column {
  const padding = data.endsWith("==") ? 2 : data.endsWith("=") ? 1 : 0;
  const bytes = new Uint8Array((data.length / 4) * 3 - padding);
  let at = 0;
  for (let i = 0; i < data.length; i += decodeStep) {
    const part = atob(data.slice(i, i + decodeStep));
    for (let k = 0; k < part.length; k++) bytes[at++] = part.charCodeAt(k);
  }
  return new arrayTypes[name](bytes.buffer);
}
