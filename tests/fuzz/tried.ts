/** Opens what was damaged and says what went wrong, if anything did. */
import type {Damaged, Given} from "./damage.ts";
import type {LogFile} from "../../src/logs/index.ts";
import {triedPack} from "./triedPack.ts";
import {triedPage} from "./triedPage.ts";
import {triedWorkspace} from "./triedWorkspace.ts";

export interface Tried {
  /** rows of logs that were read */
  readonly rows: number;
  /** ms of computing, whatever else the machine does */
  readonly took: number;
  /** a sentence; null: all is well */
  readonly wrong: string | null;
}

/** Says what is wrong with how files were taken; null when nothing is, with the rows of logs among them. */
export type Trial = (files: readonly LogFile[]) => Promise<{readonly rows: number; readonly wrong: string | null}>;

/** Nobody waits longer for a file of a few kilobytes, or for one line of a million cells; of this process alone. */
const HANGS_MS = 20_000;

const TRIALS: Readonly<Record<Given, Trial>> = {
  logs: triedWorkspace,
  workspace: triedWorkspace,
  page: triedPage,
  pack: triedPack,
};

export async function tried({given, files}: Pick<Damaged, "given" | "files">): Promise<Tried> {
  const from = process.cpuUsage();
  try {
    const {rows, wrong} = await TRIALS[given](files);
    const took = computed(from);
    return {rows, took, wrong: wrong ?? (took > HANGS_MS ? `took ${Math.round(took)} ms` : null)};
  } catch (error) {
    const wrong = error instanceof Error ? (error.stack ?? error.message) : String(error);
    return {rows: 0, took: computed(from), wrong};
  }
}

function computed(since: NodeJS.CpuUsage): number {
  const {user, system} = process.cpuUsage(since);
  return (user + system) / 1000;
}
