/**
 * Stands in for the Arrow reader and writer that Arquero brings along: nothing here reads or writes Arrow, and they weigh
 * as much as four cell kinds. Whoever begins to use Arrow takes the alias out of `vite.config.ts`.
 */
const refuse = (): never => {
  throw new Error("this build leaves Arrow out; see the alias in vite.config.ts");
};

export {
  refuse as columnFromArray,
  refuse as columnFromValues,
  refuse as tableFromColumns,
  refuse as tableFromIPC,
  refuse as tableToIPC,
};
