/**
 * A figure as SVG, as PNG, or as the numbers it draws: saved, or put on the clipboard. Pictures are always in light
 * colours, in the size for a page, a slide or print.
 */
import type {Figure} from "../../cells/contract.ts";
import type {Picture} from "../../report/picture.ts";
import type {PictureSize} from "../../report/pictureSizes.ts";
import {fileNameOf, saveBlob, saveCsv} from "./save.ts";

export interface FigureOrigin {
  /** begins the file name */
  readonly page: string;
  /** the last line under a saved picture */
  readonly origin: string;
}

export async function saveSvg(figure: Figure, from: FigureOrigin, size: PictureSize): Promise<void> {
  const {svg} = await picture(figure, from, size);
  saveBlob(new Blob([svg], {type: "image/svg+xml"}), nameOf(figure, from, size, "svg"));
}

export async function savePng(figure: Figure, from: FigureOrigin, size: PictureSize): Promise<void> {
  saveBlob(await png(await picture(figure, from, size)), nameOf(figure, from, size, "png"));
}

export async function saveFigureCsv(figure: Figure, from: FigureOrigin): Promise<void> {
  const {chartTable, csvOf} = await import("../../charts/index.ts");
  saveCsv(csvOf(chartTable(figure.chart)), nameOf(figure, from, "page", "csv"));
}

/** @throws Error when the browser refuses the clipboard or cannot take pictures on it */
export async function copyPicture(figure: Figure, from: FigureOrigin, size: PictureSize): Promise<void> {
  if (typeof ClipboardItem === "undefined") throw new Error("this browser takes no pictures on the clipboard");
  // handed over as a promise: some browsers allow the clipboard only in the moment of the click
  const blob = picture(figure, from, size).then(png);
  await navigator.clipboard.write([new ClipboardItem({"image/png": blob})]);
}

/** The numbers with tabs between, as spreadsheets take them from the clipboard. */
export async function copyNumbers(figure: Figure): Promise<void> {
  const {chartTable, tabbedOf} = await import("../../charts/index.ts");
  await navigator.clipboard.writeText(tabbedOf(chartTable(figure.chart)));
}

function nameOf({name}: Figure, {page}: FigureOrigin, size: PictureSize, ending: string): string {
  return fileNameOf(size === "page" ? [page, name] : [page, name, size], ending);
}

async function picture(figure: Figure, {origin}: FigureOrigin, size: PictureSize): Promise<Picture> {
  const [{drawSvg}, {pictureOf}, {EMBEDDED_FONTS}] = await Promise.all([
    import("./drawSvg.ts"),
    import("../../report/picture.ts"),
    import("./embeddedFonts.ts"),
  ]);
  return pictureOf(figure, {size, draw: drawSvg, origin, font: EMBEDDED_FONTS.sans});
}

async function png({svg, width, height, density}: Picture): Promise<Blob> {
  const image = new Image();
  image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(svg)}`;
  await image.decode();
  // the first drawing may still lack the font inside the picture
  await new Promise((resolve) => requestAnimationFrame(resolve));
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(width * density);
  canvas.height = Math.round(height * density);
  canvas.getContext("2d")?.drawImage(image, 0, 0, canvas.width, canvas.height);
  const blob = await new Promise<Blob | null>((resolve) => canvas.toBlob(resolve, "image/png"));
  if (blob === null)
    throw new Error(`the browser could not make a picture of ${canvas.width} × ${canvas.height} pixels`);
  return blob;
}
