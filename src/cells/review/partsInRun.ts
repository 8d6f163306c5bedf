/** The parts that were in the tool in a run, with the age each went in and came out with. */
import {wordAt} from "../../../shared/columnar.ts";
import {tidy, type LifeTable} from "../../lives/index.ts";

export interface PartInRun {
  /** row of the life table */
  readonly life: number;
  readonly component: string;
  readonly position: string | null;
  /** place of the run among the stretches of the life, see `Exposure` */
  readonly stretch: number;
  /** age when the run began and when it ended or the part failed, in the settings' clock */
  readonly ageBefore: number;
  readonly ageAfter: number;
}

/** In the order of the life table. */
export function partsInRun(lives: LifeTable, tool: string | null, run: number): PartInRun[] {
  const code = tool === null ? -1 : lives.tool.words.indexOf(tool);
  const {offsets, hours, run: runs} = lives.exposure;
  const parts: PartInRun[] = [];
  if (code < 0) return parts;
  for (let life = 0; life < lives.rows; life++) {
    if (lives.tool.codes[life] !== code) continue;
    let age = lives.entry[life]!;
    for (let s = offsets[life]!; s < offsets[life + 1]!; s++) {
      if (runs[s] === run) {
        parts.push({
          life,
          component: wordAt(lives.component, life) ?? "",
          position: wordAt(lives.position, life),
          stretch: s,
          ageBefore: tidy(age),
          ageAfter: tidy(age + hours[s]!),
        });
        break;
      }
      age += hours[s]!;
    }
  }
  return parts;
}
