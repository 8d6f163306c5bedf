/** `data/README.md`: what the demo data are and are not. */
import type {Grown} from "./grow.ts";

export function readme(grown: Grown): string {
  const rows = grown.fleets.map(({name, tools, model, muds}) => {
    const runs = grown.runs.filter(({fleet}) => fleet === name);
    const rebuilds = new Set(grown.inspections.filter(({fleet}) => fleet === name).map(({rebuild}) => rebuild)).size;
    const hours = runs.reduce((sum, {circulating}) => sum + circulating, 0);
    const failures = runs.filter(({failure}) => failure).length;
    const cells = [
      name,
      model,
      tools,
      Object.keys(muds).join(", "),
      runs.length,
      Math.round(hours),
      failures,
      rebuilds,
    ];
    return `| ${cells.join(" | ")} |`;
  });
  return `# The demo fleets

**These data are invented.** No company, fleet, tool, part, person, well, cost or failure in them is real, and no figure
in them is a limit or an interval of any maker. They were grown by a program (\`seeds/\`) from laws of wear that we made
up, so that the tests can ask whether the truth is found again, and so that a new user has something to look at.
Do not take an interval from here to a bench.

| fleet | tool | tools | muds | runs | circulating h | failures downhole | rebuilds |
|---|---|---|---|---|---|---|---|
${rows.join("\n")}

The counts are of what happened, before anything was written down badly. Each fleet keeps its two logs in its own way:

| file | habits |
|---|---|
| \`runs.alder.csv\`, \`rebuilds.alder.csv\` | commas; SG and gpm in the headers; dates year first; mode codes; hours on every part |
| \`runs.basalt.csv\`, \`rebuilds.basalt.csv\` | commas; ppg, ft, degF, inches; dates month first; shop words for parts and modes; thousands with commas; hours on parts at about half the rows |
| \`runs.cobalt.csv\`, \`rebuilds.cobalt.csv\` | semicolons and decimal commas; dates day first; endings of mode codes; hours only on parts that were changed |
| \`settings.yaml\` | costs, flow bands and today's renewal policy of each fleet |
| \`register.yaml\` | three invented interval decisions, for the register page to show |
| \`dictionary.md\` | every column and setting with its meaning and unit |

The files are as untidy as such files are: repeated header lines, a totals line, a row entered twice, text in number
columns, a misspelt mode, muds with no base, serials in two hands, two serials swapped for three months, a run that nobody
logged. All of it was put there on purpose and is listed in \`seeds/planted.json\`; the page for logs and findings must
name each one. In every fleet some tools already ran when the log begins; of a few of them nobody knows the hours.

What is true in this world is written in \`seeds/scenario.ts\`. Lots, shops and technicians have no effect on lives in it,
sand has none either: a difference between two of them is chance.

\`npm run demo-data\` writes this folder again, with the same bytes.
`;
}
