/** Where an analysis stands in the contents, and whether its answers lead someone to the bench. */
import type {Analysis, Section} from "./analysis.ts";

type Told = Pick<Analysis, "section" | "where" | "blocks">;

/** The section it asks for; else parts for a page about components, logs for one about the log itself. */
export function sectionOf({section, where: {component = []}, blocks}: Told): Section {
  if (section !== null) return section;
  if (component.length > 0) return "Parts";
  const kinds = blocks.flatMap((block) => (block.type === "cell" ? [block.kind] : []));
  return kinds.length > 0 && kinds.every((kind) => kind === "findings" || kind === "lives") ? "Logs" : "Fleet";
}

/** Such a page carries the usual cautions. */
export function leadsToBench(analysis: Told): boolean {
  const section = sectionOf(analysis);
  const intervals = analysis.blocks.some((block) => block.type === "cell" && block.kind.startsWith("interval"));
  return section === "Parts" || section === "Bench" || intervals;
}
