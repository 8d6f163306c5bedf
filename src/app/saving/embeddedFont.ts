/** The text font as a data: address; loaded only when a picture is saved. */
import font from "@fontsource-variable/source-sans-3/files/source-sans-3-latin-wght-normal.woff2?inline";

export default font;
