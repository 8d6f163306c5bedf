/**
 * A chart as data: what to draw, free of functions, so that it crosses a worker boundary and saves as CSV.
 * Each member has its own file of the same name that turns it into Plot options.
 */
export type Chart = {readonly kind: "none"};
