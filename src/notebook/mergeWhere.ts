/** The page's own filters and the strip's, both holding. */
import type {Where} from "../cells/contract.ts";

/** Stands in a list that nothing can match, since an empty list means all. */
export const NOTHING = "(none)";

/** Lists are intersected; of two dates the narrower holds. */
export function mergeWhere(page: Where, strip: Where): Where {
  const from = later(page.from, strip.from);
  const to = earlier(page.to, strip.to);
  const lists = (["fleet", "component", "mud", "regime"] as const).map(
    (key) => [key, both(page[key], strip[key])] as const,
  );
  return {
    ...Object.fromEntries(lists.filter(([, list]) => list !== undefined)),
    ...(from === undefined ? {} : {from}),
    ...(to === undefined ? {} : {to}),
  };
}

function both(a: readonly string[] | undefined, b: readonly string[] | undefined): readonly string[] | undefined {
  if (a === undefined || a.length === 0) return b === undefined || b.length === 0 ? undefined : b;
  if (b === undefined || b.length === 0) return a;
  const shared = a.filter((code) => b.includes(code));
  return shared.length === 0 ? [NOTHING] : shared;
}

const later = (a?: string, b?: string) => (a === undefined ? b : b === undefined ? a : a > b ? a : b);
const earlier = (a?: string, b?: string) => (a === undefined ? b : b === undefined ? a : a < b ? a : b);
