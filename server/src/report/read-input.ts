/** Reading programs and job files from disk, with a plain word on each that cannot be read. */
import { readFileSync, statSync } from "node:fs";
import { InputError } from "./input-error.ts";
import { printable } from "./printable.ts";

/** Largest input read, bytes. A program of a million lines has about 30 MB. */
export const largestInput = 200 * 1024 * 1024;

/**
 * Text of an input file: UTF-8, or UTF-16 that says so with a byte order mark (which is dropped).
 * Throws `InputError` for what is missing, not a file, too large, binary or in another encoding.
 */
export function readInput(file: string): string {
  const name = printable(file);
  const fail = (message: string) => new InputError(file, `${name}: ${message}`);
  let bytes: Uint8Array;
  try {
    const stat = statSync(file);
    if (stat.isDirectory()) throw fail("this is a folder. Name the program files in it.");
    if (stat.size > largestInput) {
      throw fail(
        `the file has ${Math.round(stat.size / 1024 / 1024)} MB; at most ${largestInput / 1024 / 1024} MB are read. Split the program.`,
      );
    }
    bytes = readFileSync(file);
  } catch (error) {
    if (error instanceof InputError) throw error;
    const code = (error as { code?: string }).code;
    if (code === "ENOENT" || code === "ENOTDIR") throw fail("no such file. Check the name and the folder.");
    if (code === "EACCES" || code === "EPERM")
      throw fail("not allowed to read it. Check the file's permissions.");
    throw fail(`could not be read (${code ?? String(error)}).`);
  }
  return decode(bytes, fail);
}

function decode(bytes: Uint8Array, fail: (message: string) => InputError): string {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return new TextDecoder("utf-16le").decode(bytes);
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return new TextDecoder("utf-16be").decode(bytes);
  const zero = bytes.indexOf(0);
  if (zero >= 0) {
    throw fail(
      `line ${lineOfByte(bytes, zero)} holds a zero byte, so this is not a text file. Export the program as plain text.`,
    );
  }
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    throw fail(
      `line ${lineOfByte(bytes, firstBadByte(bytes))} is not UTF-8 text. Save the file as UTF-8 (or as UTF-16 with a byte order mark).`,
    );
  }
}

function lineOfByte(bytes: Uint8Array, offset: number): number {
  let line = 1;
  for (let i = 0; i < offset; i++) if (bytes[i] === 10) line++;
  return line;
}

/** Offset of the first byte that is not UTF-8, found by decoding line by line (a line end is never inside a character). */
function firstBadByte(bytes: Uint8Array): number {
  const decoder = new TextDecoder("utf-8", { fatal: true });
  for (let start = 0; start < bytes.length;) {
    const lineFeed = bytes.indexOf(10, start);
    const end = lineFeed < 0 ? bytes.length : lineFeed;
    try {
      decoder.decode(bytes.subarray(start, end));
    } catch {
      return start;
    }
    start = end + 1;
  }
  return 0;
}
