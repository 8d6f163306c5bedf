/** The day by the reader's own clock, as 2025-11-26. */
export function localDay(now: Date = new Date()): string {
  const two = (number: number) => String(number).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
