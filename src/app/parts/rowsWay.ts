/** The way from a mark of a figure, or a row of its numbers, to the rows of the log behind it; given by the cell around it. */
import {getContext, setContext} from "svelte";

/** @param mark key of the mark in its figure */
export type RowsWay = (figure: string, mark: string) => void;

const KEY = Symbol("rows way");

export const giveRowsWay = (way: RowsWay): void => void setContext(KEY, way);

/** null where no rows can be shown, e.g. outside a page */
export const rowsWay = (): RowsWay | null => getContext<RowsWay | undefined>(KEY) ?? null;
