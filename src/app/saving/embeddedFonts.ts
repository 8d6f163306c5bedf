/** The text fonts as data: addresses; loaded only when something is saved. */
import sans from "@fontsource-variable/source-sans-3/files/source-sans-3-latin-wght-normal.woff2?inline";
import serif from "@fontsource-variable/source-serif-4/files/source-serif-4-latin-wght-normal.woff2?inline";
import type {ReportFonts} from "../../report/reportStyle.ts";

export const EMBEDDED_FONTS: ReportFonts = {sans, serif};
