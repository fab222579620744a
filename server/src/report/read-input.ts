/** Reading programs and job files from disk, with a plain word on each that cannot be read. */
import { readFileSync, statSync } from "node:fs";
import { longestText } from "../language/read.ts";
import { InputError } from "./input-error.ts";
import { printable } from "./printable.ts";

/**
 * Largest input read, bytes. A text never has more characters than bytes, so that what is let in here is not
 * refused for its length by the reader. A program of a million lines has about 30 MB.
 */
export const largestInput = longestText;

/**
 * Text of an input file: UTF-8, or UTF-16 that says so with a byte order mark (which is dropped). Other bytes
 * are taken for Windows-1252, in which older drawing programs write comments with \u00b0 and \u00d8.
 * Throws `InputError` for what is missing, not a file, too large, or binary (which UTF-16 without a mark is).
 */
export function readInput(file: string): string {
  return read(file, windows1252);
}

/** The same for JSON (job files, settings), which is never Windows-1252 (RFC 8259 section 8.1: UTF-8). */
export function readJsonInput(file: string): string {
  return read(file, (_, fail) => {
    throw fail("this is not UTF-8 text. Save the file as UTF-8.");
  });
}

type Fail = (message: string) => InputError;
/** What to make of bytes that are not UTF-8. */
type Fallback = (bytes: Uint8Array, fail: Fail) => string;

function read(file: string, fallback: Fallback): string {
  const name = printable(file);
  const fail = (message: string) => new InputError(file, `${name}: ${message}`);
  let bytes: Uint8Array;
  try {
    const stat = statSync(file);
    if (stat.isDirectory()) throw fail("this is a folder. Name the program files in it.");
    if (stat.size > largestInput) throw fail(tooLarge(stat.size));
    bytes = readFileSync(file);
    // A pipe tells its size only once it was read.
    if (bytes.length > largestInput) throw fail(tooLarge(bytes.length));
  } catch (error) {
    if (error instanceof InputError) throw error;
    const code = (error as { code?: string }).code;
    if (code === "ENOENT" || code === "ENOTDIR") throw fail("no such file. Check the name and the folder.");
    if (code === "EACCES" || code === "EPERM")
      throw fail("not allowed to read it. Check the file's permissions.");
    throw fail(`could not be read (${code ?? String(error)}).`);
  }
  return decode(bytes, fail, fallback);
}

function decode(bytes: Uint8Array, fail: Fail, fallback: Fallback): string {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return new TextDecoder("utf-16le").decode(bytes);
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return new TextDecoder("utf-16be").decode(bytes);
  const zero = bytes.indexOf(0);
  if (zero >= 0) {
    throw fail(
      `line ${lineOfByte(bytes, zero)} holds a zero byte, so this is not a text file. Export the program as plain text (UTF-8; UTF-16 only with a byte order mark).`,
    );
  }
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    return fallback(bytes, fail);
  }
}

/** What the bytes 0x80 to 0x9f mean in Windows-1252 (WHATWG Encoding Standard, index windows-1252). */
const windows1252High =
  "\u20ac\u0081\u201a\u0192\u201e\u2026\u2020\u2021\u02c6\u2030\u0160\u2039\u0152\u008d\u017d\u008f" +
  "\u0090\u2018\u2019\u201c\u201d\u2022\u2013\u2014\u02dc\u2122\u0161\u203a\u0153\u009d\u017e\u0178";

/** Not `TextDecoder("windows-1252")`: Node 20 decodes that as Latin-1, with control characters for 0x80 to 0x9f. */
function windows1252(bytes: Uint8Array): string {
  const latin1 = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).toString("latin1");
  return latin1.replace(/[\u0080-\u009f]/g, (mark) => windows1252High[mark.charCodeAt(0) - 0x80]);
}

function tooLarge(size: number): string {
  return `the file has ${grouped(size)} bytes; at most ${grouped(largestInput)} are read. Split the program.`;
}

/** "209 715 200". */
function grouped(count: number): string {
  return String(count).replace(/\B(?=(\d{3})+$)/g, " ");
}

function lineOfByte(bytes: Uint8Array, offset: number): number {
  let line = 1;
  for (let i = 0; i < offset; i++) if (bytes[i] === 10) line++;
  return line;
}
