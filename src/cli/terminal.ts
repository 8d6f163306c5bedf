/** The world of a real terminal. */
import type {Effects} from "./effects.ts";

/** The parts of a stream that are used. */
interface Stream {
  write(text: string): unknown;
  readonly isTTY?: boolean;
  readonly columns?: number;
}

/** Words go to `err`, data to `out`; on a terminal progress is one line that is written over. */
export function terminal(out: Stream, err: Stream): Effects {
  let under = false;
  const clear = (): void => {
    if (under) err.write("\r\u001b[K");
    under = false;
  };
  return {
    print: (text) => {
      clear();
      out.write(`${text}\n`);
    },
    say: (text) => {
      clear();
      err.write(`${text}\n`);
    },
    progress: (text) => {
      if (err.isTTY !== true) {
        if (text !== "") err.write(`${text}\n`);
        return;
      }
      clear();
      if (text === "") return;
      err.write(text.slice(0, (err.columns ?? 80) - 1));
      under = true;
    },
  };
}
