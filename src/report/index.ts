export {basisOf, originOf, type ReportBasis} from "./basis.ts";
export {PICTURE_SIZES, pictureOf, SIZE_LABELS, type Draw, type Picture, type PictureSize} from "./picture.ts";
export {reportIndex, type ListedPage} from "./reportIndex.ts";
export {reportPage, type ReportBlock, type ReportFrame, type ReportLink, type ReportPage} from "./reportPage.ts";
export type {ReportFonts} from "./reportStyle.ts";
