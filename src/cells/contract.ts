/**
 * What a cell kind is: a parameter schema, a pure computation and a presentation.
 * Cells run in a worker and in Node alike; what they return survives structured clone.
 */
import type {GenericSchema} from "valibot";
import type {ReviewAction} from "../../shared/actions.ts";
import type {Finding, RowCount} from "../../shared/findings.ts";
import type {DecisionScope, Register} from "../../shared/register.ts";
import type {Settings} from "../../shared/settings.ts";
import type {Chart} from "../charts/chart.ts";
import type {RunConditions} from "../hydraulics/runConditions.ts";
import type {FailureTable} from "../lives/failureTable.ts";
import type {LifeTable} from "../lives/lifeTable.ts";
import type {LeftOutRows} from "../logs/leftOut.ts";
import type {RebuildTable, RunTable} from "../logs/logTable.ts";

/** The page's filters. Empty or missing means all. */
export interface Where {
  readonly fleet?: readonly string[];
  /** ISO dates, both ends included */
  readonly from?: string;
  readonly to?: string;
  /** component codes */
  readonly component?: readonly string[];
  /** mud codes */
  readonly mud?: readonly string[];
  /** regime codes */
  readonly regime?: readonly string[];
}

/** All a cell may look at. Lives are already cut to the page's filters; `all` are the lives before them. */
export interface CellInputs {
  readonly runs: RunTable;
  readonly rebuilds: RebuildTable;
  readonly lives: LifeTable;
  readonly all: LifeTable;
  /** every failure of the logs, not cut to the filters */
  readonly failures: FailureTable;
  /** mud and regime of every run, not cut to the filters */
  readonly conditions: RunConditions;
  readonly findings: readonly Finding[];
  /** rows of the logs that are in no table; none where it is missing */
  readonly leftOut?: LeftOutRows;
  readonly counts: readonly RowCount[];
  /** actions agreed in job reviews, as `actions.yaml` beside the logs has them; none where it is missing */
  readonly actions?: readonly ReviewAction[];
  readonly settings: Settings;
  /** interval decisions of the shop */
  readonly register: Register;
  readonly where: Where;
  /** velocity bands in force, m/s, and the convention behind the regimes, as printed on charts */
  readonly bands: readonly [number, number];
  readonly regimeConvention: string;
}

/** What people have decided, kept beside the logs: the interval register and the actions of reviews. */
export type RecordName = "register" | "actions";

/**
 * Gives back what was made under the key before, or makes it. Lives as long as one set of tables and settings: a key names
 * the filters that its computation depends on, so that a filter which only chooses rows computes nothing again.
 */
export type Memo = <T>(key: string, make: () => T) => T;

/** How a long computation reports and is stopped. */
export interface CellEffects {
  progress(done: number, of: number): void;
  readonly signal: AbortSignal;
  /** shares work between the cells of a page; without it each cell does its own */
  readonly memo?: Memo;
}

/** One column of a table to show or save. Numbers are right-aligned and formatted on the page by `format`. */
export interface TableColumn {
  readonly name: string;
  readonly label: string;
  /** unit as shown in the header */
  readonly unit?: string;
  readonly format?: "text" | "count" | "hours" | "money" | "rate" | "share" | "number" | "date";
  readonly values: readonly (string | number | null)[];
  /** stands in the saved CSV, not on the page */
  readonly savedOnly?: boolean;
  /** names rows of the logs, in a few words on the page: the figure and its marks, so that a page can lead to them */
  readonly leads?: {
    readonly figure: string;
    readonly marks: readonly ({readonly key: string; readonly rows: number; readonly text: string} | null)[];
  };
}

export interface CellTable {
  readonly name: string;
  readonly title: string;
  readonly columns: readonly TableColumn[];
  /** a sentence under the table: what the limits are, what is counted */
  readonly note?: string;
}

export interface Figure {
  readonly name: string;
  /** states the finding, not the axes */
  readonly title: string;
  /** counts, level, convention */
  readonly caption: string;
  /** text alternative for those who cannot see it */
  readonly alt: string;
  readonly chart: Chart;
}

/**
 * A choice that the page itself offers, e.g. which tool. What is chosen overrides the parameter of that name in every cell
 * of the page that has such a field, and stands in the address.
 */
export interface AskedField {
  /** name of the parameter it overrides */
  readonly name: string;
  readonly label: string;
  readonly kind: "one" | "number" | "text";
  /** for `one`, in the order offered */
  readonly choices?: readonly {readonly value: string; readonly label: string}[];
  /** what is in force now, given or taken by default */
  readonly value: string;
  readonly unit?: string;
  readonly min?: number;
  readonly max?: number;
  /** a few words beside the field, e.g. how the default was found */
  readonly note?: string;
}

/** A page to go on to, with the choices that it then starts from. */
export interface Onward {
  readonly label: string;
  /** name of the page as it stands in the address, e.g. `next-run` */
  readonly page: string;
  readonly picks: Readonly<Record<string, string>>;
}

/** What a page offers to keep beside the logs; the page shows the form that fits. */
export type RecordOffer = ReviewActionOffer | IntervalDecisionOffer;

/** Actions of a review: those there are, and the form for another one. */
export interface ReviewActionOffer {
  readonly type: "review action";
  /** what a new action would be about; null: nothing can be added here */
  readonly about: Pick<ReviewAction, "job" | "run" | "tool"> | null;
  readonly actions: readonly ReviewAction[];
  /** what the review suggests to do, to be taken as it is or changed */
  readonly suggestions: readonly string[];
}

/** A row of the interval sheet that can be accepted, amended or declined. */
export interface DecisionItem {
  readonly scope: DecisionScope;
  readonly label: string;
  /** null: run to failure */
  readonly recommended_h: number | null;
  readonly before_h: number | null;
  /** the recommendation in words */
  readonly advice: string;
  /** the decision in force, in words; null for none */
  readonly inForce: string | null;
  /** failures per 1,000 of exposure, today and as recommended; null where they cannot be told */
  readonly failures: {readonly before: number; readonly foretold: number} | null;
}

export interface IntervalDecisionOffer {
  readonly type: "interval decision";
  /** unit of the intervals */
  readonly unit: string;
  readonly items: readonly DecisionItem[];
  /** the one fleet it would be for; null: every fleet */
  readonly fleet: string | null;
  /** last day of the logs behind the recommendations; ISO */
  readonly dataTo: string | null;
  /** filters in force, in words */
  readonly filters: string;
  /** why nothing can be recorded; null when it can */
  readonly trouble: string | null;
}

export interface Presentation {
  /** the answer in one sentence, with its limits and counts */
  readonly headline: string;
  readonly figures: readonly Figure[];
  readonly tables: readonly CellTable[];
  readonly cautions: readonly string[];
  /** what the page offers to choose; cells of a page that share a name share the choice */
  readonly asks?: readonly AskedField[];
  /** pages on which the reader may go on, with what is chosen there */
  readonly onward?: readonly Onward[];
  /** what can be kept from here beside the logs */
  readonly records?: readonly RecordOffer[];
  /** lines to be filled in by hand, on paper only */
  readonly signOff?: readonly string[];
}

/** One parameter, as a form shows it and a message explains it. */
export interface ParamField {
  readonly name: string;
  /** what it says, in words */
  readonly meaning: string;
  /** accepted values, in words */
  readonly accepts: string;
  /** the closed list, where there is one; `value` is what stands in the analysis */
  readonly choices?: readonly {readonly value: string; readonly label: string}[];
  /** words offered beside others that are accepted too, e.g. codes */
  readonly offers?: readonly string[];
  /** what holds when it is left out, where that is one value; as it would stand in the analysis */
  readonly fallback?: string;
  /** limits of a number; an open end is left out */
  readonly number?: {readonly min: number; readonly max?: number};
  /** unit of a number, as a form shows it */
  readonly unit?: string;
  readonly many: boolean;
  readonly required: boolean;
  /** a choice on the page may override it */
  readonly asked?: boolean;
}

export interface CellKind<P = unknown, R = unknown> {
  /** the word after `cell` in the info string */
  readonly kind: string;
  /** what the cell answers, for the list of cells to add */
  readonly summary: string;
  readonly schema: GenericSchema<unknown, P>;
  /** the parameters, in the order of a form */
  readonly fields: readonly ParamField[];
  /** body of a cell to begin with */
  readonly example: string;
  /** the records it looks at: its answers are asked again when they change, and no other kind's */
  readonly reads?: readonly RecordName[];
  compute(inputs: CellInputs, params: P, effects: CellEffects): R;
  present(result: R, params: P, inputs: CellInputs): Presentation;
}
