/** Keeps one review for each open program, up to date, and tells who asks or listens. */
import { dirname } from "node:path";
import { InputError } from "../report/input-error.ts";
import { loadReview } from "../report/load-review.ts";
import type { Review } from "../review/review.ts";
import { fileOf, type Documents, type TextDocument } from "./documents.ts";
import { isJobFile } from "./paths.ts";
import type { Settings } from "./settings.ts";

/** Quiet time after an edit before the review runs, ms. */
const quietTime = 150;
/** A slow program waits twice as long as its last review took, at most this, ms: typing stays smooth. */
const longestQuietTime = 3000;

/** A review, or why there is none, for one version of a document. */
export interface Reviewed {
  readonly uri: string;
  readonly version: number;
  readonly review: Review | undefined;
  /** A sentence, where the program could not be reviewed. */
  readonly failure: string | undefined;
}

interface Entry {
  reviewed: Reviewed | undefined;
  /** False once the text, the job or the settings changed. */
  fresh: boolean;
  timer: NodeJS.Timeout | undefined;
  milliseconds: number;
  waiting: ((reviewed: Reviewed | undefined) => void)[];
}

export class Reviews {
  private readonly entries = new Map<string, Entry>();

  constructor(
    private readonly documents: Documents,
    private readonly settings: Settings,
    private readonly publish: (reviewed: Reviewed) => void,
    private readonly report: (message: string) => void,
  ) {}

  /** Reviews a program anew after a quiet moment (at once, when it has none yet). */
  schedule(uri: string): void {
    let entry = this.entries.get(uri);
    if (!entry) {
      entry = { reviewed: undefined, fresh: false, timer: undefined, milliseconds: 0, waiting: [] };
      this.entries.set(uri, entry);
    }
    entry.fresh = false;
    clearTimeout(entry.timer);
    const wait = entry.reviewed ? Math.min(Math.max(quietTime, 2 * entry.milliseconds), longestQuietTime) : 0;
    entry.timer = setTimeout(() => void this.run(uri), wait);
  }

  /** All open programs anew: the settings changed. */
  scheduleAll(): void {
    for (const document of this.documents.programs()) this.schedule(document.uri);
  }

  /** Programs that rest on a file: those beside a job file, and those that run after a program. */
  scheduleDependents(file: string): void {
    const folder = dirname(file);
    for (const document of this.documents.programs()) {
      const own = fileOf(document.uri);
      if (own === file) continue;
      const job = this.entries.get(document.uri)?.reviewed?.review?.job;
      const rests = isJobFile(file)
        ? dirname(own) === folder || job?.jobFile === file
        : job !== undefined && job.programs.includes(file);
      if (rests) this.schedule(document.uri);
    }
  }

  /** The document is gone. */
  forget(uri: string): void {
    const entry = this.entries.get(uri);
    if (!entry) return;
    clearTimeout(entry.timer);
    this.entries.delete(uri);
    for (const answer of entry.waiting) answer(undefined);
  }

  /** The review of the document as it is now: waits for the one that is due. Undefined when it is not open. */
  current(uri: string): Promise<Reviewed | undefined> {
    const entry = this.entries.get(uri);
    if (!entry || !this.documents.get(uri)) return Promise.resolve(undefined);
    if (entry.fresh) return Promise.resolve(entry.reviewed);
    return new Promise((answer) => entry.waiting.push(answer));
  }

  private async run(uri: string): Promise<void> {
    const entry = this.entries.get(uri);
    const settings = await this.settings.value();
    const document = this.documents.get(uri);
    // Closed, or opened again, while the settings were asked for.
    if (!entry || !document || this.entries.get(uri) !== entry) return;
    const begun = performance.now();
    const reviewed = this.review(document, settings);
    entry.milliseconds = performance.now() - begun;
    entry.reviewed = reviewed;
    entry.fresh = true;
    const waiting = entry.waiting;
    entry.waiting = [];
    this.publish(reviewed);
    for (const answer of waiting) answer(reviewed);
  }

  private review(document: TextDocument, settings: unknown): Reviewed {
    const { uri, version } = document;
    try {
      const review = loadReview(fileOf(uri), {
        readText: this.documents.openText,
        ...(settings === undefined || settings === null ? {} : { settings }),
      });
      return { uri, version, review, failure: undefined };
    } catch (error) {
      if (error instanceof InputError) return { uri, version, review: undefined, failure: error.message };
      this.report(
        `Review of ${uri} failed: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}`,
      );
      const failure = `This program could not be reviewed because of a defect in Cutwright (${String(error)}). Nothing is known about it.`;
      return { uri, version, review: undefined, failure };
    }
  }
}
