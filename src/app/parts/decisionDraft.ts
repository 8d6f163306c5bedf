/** A decision as it is filled in, and what is still missing before it can be put on record. */
import {isDay} from "../../../shared/calendarDay.ts";
import {DECISIONS, type DecisionWord, type IntervalDecision} from "../../../shared/register.ts";
import type {IntervalDecisionOffer} from "../../cells/contract.ts";

export interface DecisionDraft {
  /** place among the offer's items; empty: none chosen */
  item: string;
  word: DecisionWord | "";
  /** as typed; empty means run to failure */
  interval: string;
  date: string;
  initials: string;
  reason: string;
}

/** What is wrong, by field; empty when the draft can be recorded. */
export type DraftTrouble = Partial<Record<keyof DecisionDraft, string>>;

export function draftTrouble(draft: DecisionDraft, offer: IntervalDecisionOffer, today: string): DraftTrouble {
  const trouble: DraftTrouble = {};
  if (offer.items[Number(draft.item)] === undefined || draft.item === "") trouble.item = "choose what is decided on";
  if (!DECISIONS.some((word) => word === draft.word)) trouble.word = "accept, amend or decline";
  const age = Number(draft.interval);
  if (draft.word === "amended" && draft.interval.trim() !== "" && !(age >= 0 && age < Infinity))
    trouble.interval = `an age of 0 ${offer.unit} or more, or nothing for run to failure`;
  if (!isDay(draft.date)) trouble.date = "a day such as 2025-12-28";
  else if (draft.date > today) trouble.date = `not later than today, ${today}`;
  if (draft.initials.trim() === "") trouble.initials = "initials are needed";
  if (draft.reason.trim() === "" && (draft.word === "amended" || draft.word === "declined"))
    trouble.reason = "say why, for those who read it later";
  return trouble;
}

/** The decision of a draft without trouble. */
export function decisionOf(draft: DecisionDraft, offer: IntervalDecisionOffer): IntervalDecision {
  const item = offer.items[Number(draft.item)]!;
  const word = draft.word === "" ? "declined" : draft.word;
  const typed = draft.interval.trim() === "" ? null : Number(draft.interval);
  return {
    ...item.scope,
    decision: word,
    interval_h: word === "amended" ? typed : word === "accepted" ? item.recommended_h : null,
    recommended_h: item.recommended_h,
    before_h: item.before_h === null ? null : Math.round(item.before_h * 10) / 10,
    date: draft.date,
    initials: draft.initials.trim(),
    reason: draft.reason.trim(),
    data_to: offer.dataTo,
    filters: offer.filters,
    // what was foretold is for the recommended interval, not for another
    failures_per_1000h: word === "accepted" ? item.failures : null,
  };
}
