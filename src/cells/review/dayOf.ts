/** The day of a moment, as `2025-02-03`; `an unknown day` where the log gives none. */
export const dayOf = (time: number): string =>
  Number.isFinite(time) ? new Date(time).toISOString().slice(0, 10) : "an unknown day";
