/**
 * The defects that old shop spreadsheets have, numbered; rules refer to them by these numbers. From trade practice, no
 * source. A defect without a rule says where else it is answered.
 */
export const DEFECTS: Readonly<Record<number, string>> = {
  1: "two units in one column",
  2: "the unit stands in the header only, or the header changes down the sheet",
  3: "degrees Fahrenheit under Celsius",
  4: "a spreadsheet's day number in place of a date",
  5: "day and month in an order that nothing says",
  6: "two-digit years, months in words of other languages",
  7: "time zones missing or mixed, clock change",
  8: "a run that ends before it starts",
  9: "serials with spaces, other case, O for 0, I for 1",
  10: "leading zeros of a serial lost",
  11: "a serial in scientific notation",
  12: "decimal commas",
  13: "marks between thousands",
  14: "text or units beside a number",
  15: "words for nothing, 0 for missing hours",
  16: "merged cells, headers over two rows",
  17: "totals, signatures and blank rows",
  18: "the headers again among the rows",
  19: "a row entered twice",
  20: "one run entered twice with a difference",
  21: "running totals in place of the hours of a run",
  22: "negative hours, hours in above hours out",
  23: "hours counted twice in different ways",
  24: "drilling, circulating and below-rotary hours out of order",
  25: "more hours than passed",
  26: "a rebuild dated before its last run",
  27: "runs of one tool that overlap",
  28: "a run missing between two rebuilds",
  29: "a part in another tool without a record of the move",
  30: "one part serial in two tools",
  31: "a renewal without serials",
  32: "modes, muds and parts in shop words, misspelt",
  33: "several modes in one cell",
  34: "good beside a failure, a failure with 0 hours",
  35: "a mud word that may be several muds",
  36: "a slipped decimal in the sand content",
  37: "hidden rows and columns, a filter left on, colours that mean something",
  38: "broken formulas",
  39: "wrong encoding, odd spaces and quotes",
  40: "a tool that changed its model",
  41: "one serial at two sites",
  42: "cells that a spreadsheet would execute",
};

/** Defects that text files do not have. */
export const NOT_IN_TEXT: Readonly<Record<number, string>> = {
  40: "neither log names the model of a tool; its serial says which tool it is",
};
