/**
 * One drawing at a time, with room for the reader's keys and clicks between two: many charts drawn in one go would
 * freeze the page for as long as all of them take.
 */
const waiting: (() => void)[] = [];
let running = false;

/** Resolves when it is the caller's turn; what it then does at once has the turn to itself. */
export function inTurn(): Promise<void> {
  return new Promise((resolve) => {
    waiting.push(resolve);
    if (!running) next();
  });
}

function next(): void {
  running = true;
  setTimeout(() => {
    waiting.shift()?.();
    if (waiting.length > 0) next();
    else running = false;
  });
}
