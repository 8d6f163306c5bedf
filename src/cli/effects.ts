/** What a command may do to the world; tests pass a list to print to. */
export interface Effects {
  /** data and answers: one line, or one JSON text */
  print(text: string): void;
  /** words about the work, never data; goes to stderr */
  say(text: string): void;
  /**
   * how far the work has come; goes to stderr, on a terminal as one line that is written over. An empty text ends it.
   * Without it, progress is said line by line.
   */
  progress?(text: string): void;
}

/** The command cannot do what was asked: said in one sentence on stderr, then this exit code. */
export class CommandError extends Error {
  /** 1: the input is bad; 2: the command was used wrongly */
  readonly exitCode: 1 | 2;

  constructor(sentence: string, exitCode: 1 | 2) {
    super(sentence);
    this.name = "CommandError";
    this.exitCode = exitCode;
  }
}
