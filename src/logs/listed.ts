/** A list of lines in a finding is cut after so many. */
const LISTED = 12;

/** `lines 4, 8, 9 and 23 more` */
export function listed(lines: readonly number[]): string {
  const shown = lines.slice(0, LISTED).join(", ");
  return lines.length > LISTED
    ? `lines ${shown} and ${lines.length - LISTED} more`
    : `line${lines.length > 1 ? "s" : ""} ${shown}`;
}
