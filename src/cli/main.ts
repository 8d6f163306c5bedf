/**
 * The batch runner's front door: flags in, exit code out. Commands themselves know nothing of flags or exits.
 *
 * Exit codes: 0 done, 1 bad input, 2 bad usage.
 */
import {Command, CommanderError, Option} from "commander";
import {check} from "./check.ts";
import {CommandError, type Effects} from "./effects.ts";
import {fit} from "./fit.ts";
import {intervals} from "./intervals.ts";
import {lives} from "./lives.ts";
import {ageList, columnList, day, fraction, pickList, positive} from "./options.ts";
import {report, type ReportOptions} from "./report.ts";
import {terminal} from "./terminal.ts";

/** @returns the exit code */
export async function main(
  words: readonly string[],
  effects: Effects = terminal(process.stdout, process.stderr),
): Promise<number> {
  try {
    await program(effects).parseAsync([...words], {from: "user"});
    return 0;
  } catch (error) {
    if (error instanceof CommandError) {
      effects.say(`wearbook: ${error.message}`);
      return error.exitCode;
    }
    // commander has already said what was wrong with the words; asking for help is no error
    if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : 2;
    throw error;
  }
}

function program(effects: Effects): Command {
  const wearbook = new Command("wearbook")
    .description("Component lives, life models and renewal intervals from run logs and rebuild logs.")
    .helpCommand(false)
    .showHelpAfterError("(wearbook --help lists the commands)");

  wearbook
    .command("check")
    .description("read the logs and print what was repaired, asked, doubted or set aside")
    .argument("<folder>", "folder with runs.*, rebuilds.* and settings.yaml, or such a folder as one zip file")
    .option("--csv <file>", "save the findings as CSV")
    .option("--json", "print data only")
    .action(async (folder: string, options: {json?: true; csv?: string}) => check(folder, options, effects));

  wearbook
    .command("lives")
    .description("print the life table")
    .argument("<folder>", "folder with runs.*, rebuilds.* and settings.yaml, or such a folder as one zip file")
    .option("--csv <file>", "save it as CSV instead")
    .option("--json", "print data only")
    .action(async (folder: string, options: {csv?: string; json?: true}) => lives(folder, options, effects));

  wearbook
    .command("fit")
    .description("fit a ready-made life table: time | lower,upper, entry, status, count, mode, grouping columns")
    .argument("<file>", "CSV file")
    .addOption(
      new Option("--family <family>", "life distribution")
        .choices(["weibull", "exponential", "lognormal", "loglogistic"])
        .default("weibull"),
    )
    .addOption(new Option("--by <columns>", "one fit per value of these columns, comma between").argParser(columnList))
    .option("--mode <mode>", "failures by any other mode count as suspensions")
    .addOption(new Option("--shape <shape>", "hold the Weibull shape at this value").argParser(positive("--shape")))
    .addOption(
      new Option("--level <level>", "two-sided confidence level of every limit")
        .argParser(fraction("--level"))
        .default(0.9),
    )
    .addOption(
      new Option("--limits <kind>", "how limits are found")
        .choices(["likelihood", "adjusted", "normal", "bootstrap"])
        .default("likelihood"),
    )
    .addOption(new Option("--at <ages>", "print reliability at these ages, comma between").argParser(ageList("--at")))
    .option("--json", "print data only")
    .action(async (file: string, options: Parameters<typeof fit>[1]) => fit(file, options, effects));

  wearbook
    .command("intervals")
    .description("recommend renewal intervals per component, mud and flow regime")
    .argument("<folder>", "folder with runs.*, rebuilds.* and settings.yaml, or such a folder as one zip file")
    .option("--csv <file>", "save them as CSV")
    .option("--json", "print data only")
    .action(async (folder: string, options: {csv?: string; json?: true}) => intervals(folder, options, effects));

  wearbook
    .command("report")
    .description("write every analysis as a page that opens from disk, its figures as SVG and PNG, its tables as CSV")
    .argument(
      "<folder>",
      "folder with runs.*, rebuilds.*, settings.yaml and optionally analyses/, or such a folder as one zip file",
    )
    .requiredOption("--out <dir>", "folder to write into; made if missing")
    .addOption(
      new Option("--only <names>", "only pages whose name or title holds one of these words, comma between").argParser(
        columnList,
      ),
    )
    .option("--own", "only the pages in the folder's analyses/, not those that come with Wearbook")
    .addOption(new Option("--fleet <names>", "only these fleets, comma between").argParser(columnList))
    .addOption(new Option("--from <date>", "only from this day on, such as 2024-01-31").argParser(day("--from")))
    .addOption(new Option("--to <date>", "only up to this day").argParser(day("--to")))
    .addOption(
      new Option(
        "--pick <name=value>",
        "a choice that a page asks for, such as job=AW-0001; again for another",
      ).argParser(pickList),
    )
    .addOption(new Option("--units <units>", "units on the pages (default: settings)").choices(["metric", "oilfield"]))
    .option("--no-png", "leave the PNG out; every figure is written as SVG")
    .action(async (folder: string, options: ReportOptions) => report(folder, options, effects));

  for (const command of [wearbook, ...wearbook.commands]) {
    command.exitOverride().configureOutput({
      writeOut: (text) => effects.print(text.trimEnd()),
      writeErr: (text) => effects.say(text.trimEnd()),
    });
  }
  return wearbook;
}
