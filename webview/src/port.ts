/** The only place that knows about the editor's webview. Everywhere else the view talks to a `Port`. */
import { readMessage, type MessageIn, type MessageOut } from "./messages.ts";

interface EditorApi {
  postMessage(message: unknown): void;
  getState(): unknown;
  setState(state: unknown): void;
}

export interface Port {
  /** True inside the editor, false on the stand-alone page. */
  readonly inEditor: boolean;
  send(message: MessageOut): void;
  /** Calls back with each well-formed message; others are dropped. */
  receive(handler: (message: MessageIn) => void): void;
  /** What was kept when the view was last hidden. */
  kept(): unknown;
  keep(state: unknown): void;
}

/** Opens the port to the editor, or one that leads nowhere on the stand-alone page. */
export function openPort(): Port {
  const acquire = (globalThis as { acquireVsCodeApi?: () => EditorApi }).acquireVsCodeApi;
  if (typeof acquire !== "function") {
    return { inEditor: false, send() {}, receive() {}, kept: () => undefined, keep() {} };
  }
  const api = acquire();
  return {
    inEditor: true,
    send: (message) => api.postMessage(message),
    receive(handler) {
      window.addEventListener("message", (event: MessageEvent<unknown>) => {
        const message = readMessage(event.data);
        if (message) handler(message);
      });
    },
    kept: () => api.getState(),
    keep: (state) => api.setState(state),
  };
}
