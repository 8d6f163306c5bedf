/** A figure as SVG, PNG at twice its size, or the CSV of what it draws. Saved pictures are always in light colours. */
import type {Figure} from "../../cells/contract.ts";
import {fileNameOf, saveBlob, saveCsv} from "./save.ts";
import {standaloneSvg} from "../../charts/standaloneSvg.ts";

export interface FigureOrigin {
  /** begins the file name */
  readonly page: string;
  /** the last line under a saved picture */
  readonly origin: string;
}

const WIDTH = 860;
const SCALE = 2;

export async function saveSvg(figure: Figure, from: FigureOrigin): Promise<void> {
  const {svg} = await picture(figure, from);
  saveBlob(new Blob([svg], {type: "image/svg+xml"}), fileNameOf([from.page, figure.name], "svg"));
}

export async function savePng(figure: Figure, from: FigureOrigin): Promise<void> {
  const {svg, width, height} = await picture(figure, from);
  const image = new Image();
  image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(svg)}`;
  await image.decode();
  // the first drawing may still lack the font inside the picture
  await new Promise((resolve) => requestAnimationFrame(resolve));
  const canvas = document.createElement("canvas");
  canvas.width = width * SCALE;
  canvas.height = height * SCALE;
  canvas.getContext("2d")?.drawImage(image, 0, 0, canvas.width, canvas.height);
  const blob = await new Promise<Blob | null>((resolve) => canvas.toBlob(resolve, "image/png"));
  if (blob === null)
    throw new Error(`the browser could not make a picture of ${canvas.width} × ${canvas.height} pixels`);
  saveBlob(blob, fileNameOf([from.page, figure.name], "png"));
}

export async function saveFigureCsv(figure: Figure, from: FigureOrigin): Promise<void> {
  const {chartTable, csvOf} = await import("../../charts/index.ts");
  saveCsv(csvOf(chartTable(figure.chart)), fileNameOf([from.page, figure.name], "csv"));
}

async function picture(figure: Figure, {origin}: FigureOrigin) {
  const [{drawChart}, {chartOptions, LIGHT_PALETTE}, {default: font}] = await Promise.all([
    import("../parts/drawChart.ts"),
    import("../../charts/index.ts"),
    import("./embeddedFont.ts"),
  ]);
  const drawn = drawChart(chartOptions(figure.chart, {width: WIDTH, palette: LIGHT_PALETTE}), figure.alt);
  return standaloneSvg({
    chart: new XMLSerializer().serializeToString(drawn.svg),
    width: WIDTH,
    height: drawn.height,
    title: figure.title,
    caption: figure.caption,
    origin,
    alt: figure.alt,
    font,
  });
}
